package cli

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
	"example.com/legclock/tui"
	"example.com/legclock/tui/screentest"
)

// One fact has one text. A flight has a set of facts: what its Snapshots, its sheet and its debrief hold as values. Every time, span,
// distance and amount that stands anywhere in words must be the text of one of them, so that a surface that rounds, reckons or words a
// fact for itself is found: a second out is a text that no fact has.

// facts are the texts that the values of a structure may have.
type facts map[string]bool

var moment = regexp.MustCompile(`^\d{4}-\d\d-\d\dT`)

// of adds what stands in the JSON of a value.
func (f facts) of(t testing.TB, now time.Time, value any) {
	text, err := json.Marshal(value)
	require.NoError(t, err)
	var tree any
	require.NoError(t, json.Unmarshal(text, &tree))
	f.walk(now, "", tree)
}

// flown adds the spans from one passing to another, as logged, those of the whole route, and the miles between two points of a leg.
func (f facts) flown(s flight.Snapshot, events []flight.Event) {
	var passed []time.Time
	for _, e := range events {
		if e.Act == flight.Passing || e.Act == flight.Fix || e.Act == flight.Divert {
			passed = append(passed, e.T)
		}
	}
	for _, point := range s.Route {
		if point.Actual != nil {
			passed = append(passed, *point.Actual)
		}
	}
	for _, from := range passed {
		for _, to := range passed {
			f.span(say.Apart(from, to).Seconds())
			if flown, ok := flight.FlownBetween(from, to, s.Holds); ok {
				f.span(flown.Seconds())
			}
		}
	}
	first, last := s.Route[0], s.Route[len(s.Route)-1]
	f.span(last.Planned.Sub(first.Planned).Seconds())
	if start := cmp.Or(first.Actual, first.Revised); start != nil && last.Revised != nil {
		f.span(last.Revised.Sub(*start).Seconds())
	}
	for _, hold := range s.Holds {
		f.span(say.Apart(hold.From, hold.To).Seconds())
	}
	f.said(s.Tanks.ScheduleProblem)
	if s.Crossing != nil {
		f.said(s.Crossing.Problem)
	}
	for i, from := range s.Route {
		for _, to := range s.Route[i+1:] {
			f[say.Tenth(math.Abs(to.AfterNM-from.AfterNM))] = f[say.Tenth(math.Abs(to.AfterNM-from.AfterNM))] || to.Leg == from.Leg
		}
	}
}

// said adds the figures of a sentence that alone states them.
func (f facts) said(sentence string) {
	for _, form := range figureTexts {
		for _, match := range form.FindAllStringSubmatch(sentence, -1) {
			f[match[1]] = true
		}
	}
}

func (f facts) walk(now time.Time, key string, value any) {
	switch v := value.(type) {
	case map[string]any:
		for name, part := range v {
			f.walk(now, name, part)
		}
	case []any:
		for _, part := range v {
			f.walk(now, key, part)
		}
	case string:
		if at, err := time.Parse(time.RFC3339, v); err == nil && moment.MatchString(v) {
			f.time(now, at)
		}
	case float64:
		f.number(key, v)
	}
}

func (f facts) time(now, at time.Time) {
	f[strings.TrimSuffix(say.Time(at), "Z")] = true
	f[say.Time(at)[3:8]] = true // the hour is said where it changes
	f[strings.TrimPrefix(say.Time(at)[3:8], "0")] = true
	f.span(at.Sub(now).Seconds())
	f.span(at.Sub(now.Truncate(time.Second)).Seconds())
}

func (f facts) span(seconds float64) {
	f[say.Span(seconds)] = true
	f[strings.TrimPrefix(say.Elapsed(&seconds), "-")] = true
}

func (f facts) number(key string, v float64) {
	switch {
	case strings.HasSuffix(key, "seconds"):
		f.span(v)
	case strings.HasSuffix(key, "minutes"):
		f.span(60 * v)
	}
	f[strings.TrimPrefix(say.Tenth(v), "-")] = true
	if math.Abs(v) <= 720 {
		f[say.Degrees(v)] = true
	}
}

// figureTexts are the texts that are held to be a fact's: times, spans, distances, amounts of fuel and directions.
var figureTexts = []*regexp.Regexp{
	regexp.MustCompile(`\b(\d\d:\d\d:\d\d)Z?\b`),
	regexp.MustCompile(`(?:^|[^\d:])(\d{1,2}:\d\d)(?:[^\d:Z]|$)`),
	regexp.MustCompile(`\b(\d+\.\d) nm\b`),
	regexp.MustCompile(`\b(\d+\.\d) (?:L|US gal|imp gal)\b`),
	regexp.MustCompile(`\b(?:steer|track|course|radial|QDM|QDR|(?:turn|turn right|turn left)(?: onto)?) (\d{3})\b`),
}

// around is where a text stands in a line, with some of what is about it.
func around(line, text string) string {
	const enough = 60
	at := strings.Index(line, text)
	return text + " in: " + line[max(0, at-enough):min(len(line), at+enough)]
}

// levelOff is a row of the nav log that ends where a climb or descent does: no other surface has a time for that place.
var levelOff = regexp.MustCompile(`\bTO[CD]\b`)

func strangers(f facts, text string, forms []*regexp.Regexp) (found []string) {
	for _, line := range strings.Split(text, "\n") {
		if levelOff.MatchString(line) {
			continue
		}
		for _, form := range forms {
			for _, match := range form.FindAllStringSubmatch(line, -1) {
				if !f[match[1]] {
					found = append(found, around(line, match[1]))
				}
			}
		}
	}
	return found
}

// surfaces are all the places where a moment of a flight is put into words.
func surfaces(t testing.TB, s flight.Snapshot) map[string]string {
	var status bytes.Buffer
	require.NoError(t, writeStatus(&status, s))
	all := map[string]string{"status": status.String()}
	for _, key := range "12345" {
		root, err := tui.New(tui.Options{Flight: screentest.Still{Snapshot: s}, Mode: tui.Watch(nil), Clock: clock.Fixed(s.At), Theme: "plain"})
		require.NoError(t, err)
		root.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{key}})
		all["screen "+string(key)] = strings.Join(root.Rows(200, 60), "\n")
	}
	s.Prompts = slices.DeleteFunc(slices.Clone(s.Prompts), func(p flight.Prompt) bool { return p.State == flight.PromptDone || p.State == flight.PromptSkipped })
	text, err := json.Marshal(s)
	require.NoError(t, err)
	all["sentences of the JSON"] = string(text)
	return all
}

// misnamed finds the places where a name of the plan stands otherwise than the plan has it, but for figures of a segment display, which
// know capitals only.
func misnamed(p *plan.Plan, text string) (found []string) {
	var names, idents []string
	for _, point := range p.Points {
		names, idents = append(names, point.Name), append(idents, point.Ident)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Compare(len(b), len(a)) }) // "long lake north" before "long lake"
	for _, name := range append(names, idents...) {
		if len(name) < 3 {
			continue
		}
		form := regexp.MustCompile(`(?i)\b` + regexp.QuoteMeta(name) + `\b`)
		for _, got := range form.FindAllString(text, -1) {
			if got != name {
				found = append(found, fmt.Sprintf("%s for %s", around(text, got), name))
			}
		}
		text = form.ReplaceAllString(text, "")
	}
	return found
}

// flown is a flight with the moments at which it is looked at.
type flown struct {
	name   string
	sheet  *sheet.Sheet
	mode   flight.Mode
	events []flight.Event
}

// flights are every script of testdata/flights and, with fractions of a second, whole practice flights of the demo plan.
func flights(t *testing.T) []flown {
	const folder = "../../testdata/flights"
	var all []flown
	scripts, err := filepath.Glob(folder + "/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, scripts)
	for _, name := range scripts {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		r, err := flighttest.Fly(string(text), flighttest.SheetsIn(filepath.Join(folder, "plans")))
		require.NoError(t, err, name)
		all = append(all, flown{strings.TrimSuffix(filepath.Base(name), ".txt"), r.Sheet, "live", r.Events})
	}
	demo, err := flighttest.Sheet(plans.DemoFile, plans.FS.ReadFile)
	require.NoError(t, err)
	for seed := range uint64(2) {
		events, err := practice.Whole(demo, seed)
		require.NoError(t, err)
		all = append(all, flown{fmt.Sprintf("practice %d", seed), demo, "practice", events})
	}
	for i := range all { // nobody presses a key on the full second
		all[i].events = slices.Clone(all[i].events)
		for j := range all[i].events {
			e := &all[i].events[j]
			e.T, e.Rec = e.T.Add(724*time.Millisecond), e.Rec.Add(724*time.Millisecond)
		}
	}
	return all
}

func TestOneFactOneText(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	for _, f := range flights(t) {
		t.Run(f.name, func(t *testing.T) {
			state := flight.New(f.sheet, f.mode)
			for i, event := range f.events {
				require.NoError(t, state.Apply(event))
				if i%5 != 4 && i+1 < len(f.events) {
					continue
				}
				at := state.Setting().At(event.Rec).Add(2*time.Minute + 700*time.Millisecond)
				s := state.At(at)
				known := facts{}
				known.of(t, s.At, s)
				known.of(t, s.At, f.sheet.Radio)
				known.flown(s, f.events[:i+1])
				for _, problem := range f.sheet.Problems {
					known.said(problem.Text)
				}
				for where, text := range surfaces(t, s) {
					for _, stranger := range strangers(known, text, figureTexts) {
						t.Errorf("%s at %s: no fact reads %s", where, say.Time(at), stranger)
					}
					for _, name := range misnamed(f.sheet.Plan, ansi.Strip(text)) {
						t.Errorf("%s at %s: %s", where, say.Time(at), name)
					}
				}
				if t.Failed() {
					return
				}
			}
		})
	}
}

func written(t testing.TB, write func(io.Writer, string) error, format string) string {
	var text bytes.Buffer
	require.NoError(t, write(&text, format))
	return text.String()
}

// The nav log says what the flight says before anything has happened, the debrief and the line of a replay what had been said and logged as
// the flight went on.
func TestSheetAndDebriefSayWhatTheFlightSays(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	for _, f := range flights(t) {
		t.Run(f.name, func(t *testing.T) {
			known := facts{}
			state := flight.New(f.sheet, f.mode)
			look := func(at time.Time) {
				s := state.At(at)
				known.of(t, s.At, s)
				known.of(t, s.At, f.sheet.Radio)
				known.flown(s, nil)
			}
			look(f.sheet.Plan.OffBlocks)
			for where, text := range map[string]string{"text": written(t, f.sheet.Write, "text"), "csv": written(t, f.sheet.Write, "csv")} {
				for _, stranger := range strangers(known, text, figureTexts[:1]) {
					t.Errorf("the sheet (%s): no fact of the flight reads %s", where, stranger)
				}
			}
			for _, event := range f.events {
				look(state.Setting().At(event.Rec))
				require.NoError(t, state.Apply(event))
				look(state.Setting().At(event.Rec))
			}
			report, err := debrief.Of(debrief.Log{Sheet: f.sheet, Mode: f.mode, Events: f.events})
			require.NoError(t, err)
			for _, lesson := range report.Lessons {
				if lesson.At != nil { // a replay opens there, and shows it as its now
					known.time(*lesson.At, *lesson.At)
				}
			}
			if at := report.Tanks.HighestAt; at != nil { // the debrief alone looks for it, and finds it between entries
				known.time(*at, *at)
			}
			for _, stranger := range strangers(known, written(t, report.Write, "text"), figureTexts[:1]) {
				t.Errorf("the debrief: no fact of the flight reads %s", stranger)
			}
			tape, err := replay.New(f.sheet, f.mode, f.events)
			require.NoError(t, err)
			var line strings.Builder // of the replay: its moments, and what turned out of each
			for _, moment := range report.Moments(tape.Records()) {
				fmt.Fprintln(&line, moment.Text)
				for _, words := range report.Turned(tape.At(moment.At, replay.Known)).Words() {
					fmt.Fprintf(&line, "%s\n%s\n", words.Long, words.Short)
				}
			}
			for _, stranger := range strangers(known, line.String(), figureTexts[:1]) {
				t.Errorf("the replay: no fact of the flight reads %s", stranger)
			}
			for _, name := range misnamed(f.sheet.Plan, line.String()) {
				t.Errorf("the replay: %s", name)
			}
		})
	}
}

// tracked is the way of a flight as a receiver would have recorded it, a position every five seconds.
func tracked(t *testing.T, f flown) (samples []feed.Sample) {
	state, err := flight.Fold(f.sheet, f.mode, f.events, nil)
	require.NoError(t, err)
	route, s := f.sheet.Route, state.At(f.events[len(f.events)-1].T)
	for at := *s.Route[0].Actual; at.Before(*s.Route[len(s.Route)-1].Actual); at = at.Add(5 * time.Second) {
		next := slices.IndexFunc(s.Route, func(p flight.RoutePoint) bool { return p.Actual != nil && p.Actual.After(at) })
		before, after := s.Route[next-1], s.Route[next]
		share := at.Sub(*before.Actual).Seconds() / after.Actual.Sub(*before.Actual).Seconds()
		leg, from := after.Leg, before.AfterNM
		if before.Leg != leg {
			from = 0
		}
		altitude, speed := 2500.0, 90.0
		samples = append(samples, feed.Sample{Time: at, At: route.PositionAt(leg, from+share*(after.AfterNM-from)), AltitudeFt: &altitude, GroundspeedKt: &speed})
	}
	return samples
}

// What import reports of a track is what the flight that it writes says, and its debrief.
func TestImportSaysWhatItsFlightSays(t *testing.T) {
	all := flights(t)
	demo := all[len(all)-1]
	samples := tracked(t, demo)
	found := feed.Find(demo.sheet.Route, samples, feed.DefaultWithinNM)
	require.Greater(t, len(found.Passings), len(demo.sheet.Route.Legs))
	state, known := flight.New(demo.sheet, flight.Import), facts{}
	var accepted []flight.Event
	for _, event := range feed.Events(samples, found, feed.UsualThinning) {
		event.N = len(accepted) + 1
		var refusal *flight.Refusal
		if errors.As(state.Check(event), &refusal) {
			continue
		}
		require.NoError(t, state.Apply(event))
		accepted = append(accepted, event)
	}
	end := accepted[len(accepted)-1].T
	known.of(t, end, state.At(end).Route)
	known.of(t, end, state.At(end).Entries)
	known.of(t, end, demo.sheet.Plan)
	report, err := debrief.Of(debrief.Log{Sheet: demo.sheet, Mode: flight.Import, Events: accepted})
	require.NoError(t, err)
	require.Empty(t, strangers(known, written(t, report.Write, "text"), figureTexts[:1]))
	var imported bytes.Buffer
	require.NoError(t, writeFound(&imported, found, "flown.jsonl", len(accepted)))
	require.Empty(t, strangers(known, imported.String(), figureTexts[:1]))
	require.Empty(t, misnamed(demo.sheet.Plan, imported.String()))
	for _, passing := range found.Passings {
		require.Contains(t, imported.String(), say.Time(passing.Time)+"  passing "+passing.Point)
	}
}
