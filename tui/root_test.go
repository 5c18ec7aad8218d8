package tui_test

import (
	"errors"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/terminal"
)

// rig is a root over a flight of the demo plan, with a clock moved by hand and a recorder that keeps in memory.
type rig struct {
	*tui.Root
	t        *testing.T
	flight   *watched
	hand     *clock.Hand
	clock    *clock.Clock
	recorded []flight.Event
	broken   error // what the recorder answers with
	storage  tui.Storage
}

// watched counts how often a Snapshot was taken.
type watched struct {
	*flight.State
	looks int
}

func (w *watched) At(t time.Time) flight.Snapshot {
	w.looks++
	return w.State.At(t)
}

func (r *rig) Record(e flight.Event) (flight.Event, error) {
	if r.broken != nil {
		return flight.Event{}, r.broken
	}
	e.N, e.Rec = len(r.recorded)+2, r.clock.Wall() // the flight begins with one entry
	r.recorded = append(r.recorded, e)
	return e, nil
}

// Look is what the test says of the disk; news are said once.
func (r *rig) Look() tui.Storage {
	now := r.storage
	r.storage.News, r.storage.Moved = "", ""
	return now
}

// day is that of the demo plan.
func day(text string) time.Time { return screentest.Clock(text).AddDate(0, 0, 6) }

// demoFlight is the demo's before anything is done.
var (
	demo       sync.Once
	demoFlight *flight.State
)

// newRig starts at a time before off-blocks; change may set options.
func newRig(t *testing.T, at string, change func(*tui.Options, *rig)) *rig {
	demo.Do(func() { demoFlight = screentest.DemoFlight(t) })
	r := &rig{t: t, flight: &watched{State: demoFlight.Clone()}, hand: clock.NewHand(day(at))}
	r.clock = clock.New(clock.Real(day(at)), r.hand.Wall)
	o := tui.Options{Flight: r.flight, Mode: tui.Live(r, nil), Clock: r.clock, Theme: "plain", Profile: termenv.Ascii}
	if change != nil {
		change(&o, r)
	}
	root, err := tui.New(o)
	require.NoError(t, err)
	r.Root = root
	return r
}

// airborne is a rig a minute after take-off.
func airborne(t *testing.T, change func(*tui.Options, *rig)) *rig {
	r := newRig(t, "08:24:00", change)
	r.keys(" ")
	r.pass(6 * time.Minute)
	r.keys("eairborne<enter>") // the first beacons wait
	r.pass(time.Minute)
	require.Equal(t, flight.Climbing, r.flight.State.At(r.clock.Now()).Phase)
	return r
}

// pass lets time pass and the tick come.
func (r *rig) pass(by time.Duration) terminal.Effect {
	r.hand.Move(by)
	return r.Update(terminal.Tick{At: r.hand.Wall()})
}

// keys presses keys one after the other and returns the last effect. Words in angle brackets are named keys.
func (r *rig) keys(typed string) (effect terminal.Effect) {
	named := map[string]tea.KeyType{
		"<enter>": tea.KeyEnter, "<esc>": tea.KeyEsc, "<tab>": tea.KeyTab, "<ctrl+c>": tea.KeyCtrlC,
		"<up>": tea.KeyUp, "<down>": tea.KeyDown, "<left>": tea.KeyLeft, "<right>": tea.KeyRight, "<end>": tea.KeyEnd, "<back>": tea.KeyBackspace,
	}
	for typed != "" {
		if end := strings.Index(typed, ">"); typed[0] == '<' && end > 0 {
			effect = r.Update(tea.KeyMsg{Type: named[typed[:end+1]]})
			typed = typed[end+1:]
			continue
		}
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{rune(typed[0])}}
		if typed[0] == ' ' {
			msg.Type = tea.KeySpace
		}
		effect = r.Update(msg)
		typed = typed[1:]
	}
	return effect
}

func (r *rig) screen() string { return ansi.Strip(strings.Join(r.Rows(120, 36), "\n")) }

func (r *rig) shows(text string) {
	r.t.Helper()
	require.Contains(r.t, r.screen(), text)
}

func (r *rig) last() flight.Event {
	r.t.Helper()
	require.NotEmpty(r.t, r.recorded)
	return r.recorded[len(r.recorded)-1]
}

func TestOneKeyOneAct(t *testing.T) {
	r := airborne(t, nil)
	require.Equal(t, []flight.Act{flight.OffBlocks, flight.Airborne}, []flight.Act{r.recorded[0].Act, r.recorded[1].Act})
	require.Equal(t, day("08:30:00"), r.recorded[1].T)
	r.shows("LEG 1 of 5")

	r.pass(3*time.Minute + 30*time.Second)
	r.keys("p")
	require.Equal(t, flight.Event{N: 4, T: day("08:34:30"), Rec: day("08:34:30"), Act: flight.Passing, Point: "JNC"}, r.last())
	r.shows("recorded passing JNC 08:34:30Z · u undoes")

	r.keys("t")
	require.Equal(t, "left", r.last().Tank)
	r.keys("u")
	require.Equal(t, flight.Event{N: 6, T: day("08:34:30"), Rec: day("08:34:30"), Act: flight.Void, Event: 5}, r.last())
	require.Equal(t, "right", r.flight.State.At(r.clock.Now()).Tanks.Selected)
	r.shows("undone: tank left 08:34:30Z (entry 5 is void)")
	r.keys("u")
	require.Equal(t, 4, r.last().Event, "the entry before")

	r.pass(time.Second)
	r.keys("x")
	require.Equal(t, flight.Skipped, r.last().Act)
	r.keys("z")
	require.Equal(t, flight.Skipped, r.last().Act, "another has just come first")
	r.pass(time.Second)
	r.keys("z")
	require.Equal(t, flight.Snoozed, r.last().Act)
}

// Who only looks on has no passing key that could come to mean something else.
func TestWhoLooksOnIsNotToldOfThePassingKey(t *testing.T) {
	r := newRig(t, "08:30:00", func(o *tui.Options, r *rig) {
		o.Mode = tui.Watch(nil)
		require.NoError(t, r.flight.Apply(flight.Event{N: 2, T: day("08:30:00"), Rec: day("08:30:00"), Act: flight.Airborne, Confirmed: true}))
	})
	for r.flight.At(r.clock.Now()).Next.Point == "JNC" {
		r.pass(time.Second)
		require.NotContains(t, r.screen(), "p is now")
	}
	require.Equal(t, "DAM", r.flight.At(r.clock.Now()).Next.Point)
}

// When time alone changes what the passing key means, that is said, and a finger on its way is asked.
func TestThePassingKeyDoesNotChangeUnderTheFinger(t *testing.T) {
	r := airborne(t, nil)
	for r.flight.At(r.clock.Now()).Next.Point == "JNC" {
		r.pass(time.Second)
	}
	r.shows("JNC is overdue and was not logged: p is now DAM")
	r.keys("p")
	require.Len(t, r.recorded, 2)
	r.shows("JNC was not logged. Is this DAM?")
	r.keys("y")
	require.Equal(t, "DAM", r.last().Point)
}

// A finger on its way to the first prompt does not answer one that time has just put before it.
func TestAPromptThatHasJustComeFirstIsNotAnsweredByHaste(t *testing.T) {
	r := airborne(t, nil)
	first := func() string { return r.flight.At(r.clock.Now()).Prompts[0].ID }
	before := first()
	for first() == before {
		r.pass(time.Second)
	}
	recorded := len(r.recorded)
	r.keys(" ")
	require.Len(t, r.recorded, recorded)
	r.shows("has just come first")
	r.pass(time.Second)
	r.keys(" ")
	require.NotContains(t, r.screen(), "has just come first")
}

func TestAKeyThatCanNotBeUsedNowSaysSo(t *testing.T) {
	r := newRig(t, "08:20:00", nil)
	r.keys("p")
	r.shows("p (passing next or marked point) can't be used now")
	require.Empty(t, r.recorded)
}

func TestAnActBeforeNow(t *testing.T) {
	r := airborne(t, nil)
	r.pass(4 * time.Minute)
	r.keys("b2 min ago<enter>")
	r.shows("the next key counts from 08:33:00Z")
	require.Len(t, r.recorded, 2)
	r.keys("p")
	require.Equal(t, day("08:33:00"), r.last().T)
	require.Equal(t, day("08:35:00"), r.last().Rec)
	r.keys("t")
	require.Equal(t, day("08:35:00"), r.last().T, "only the next act")

	r.keys("b08:34:10<enter><esc>t")
	require.Equal(t, day("08:35:00"), r.last().T, "esc drops it")

	r.keys("bsoon<enter>")
	r.shows(`"soon" is not a time`)
	r.keys("<esc>esteer 050 08:34<enter>")
	require.Equal(t, day("08:34:00"), r.last().T)
	require.Equal(t, 50.0, *r.last().Heading)
}

// With a time given first, the passing key means the point that was ahead then, not the next one; the key row says which.
func TestThePassingKeyMeansThePointThatFitsTheTime(t *testing.T) {
	r := airborne(t, nil)
	for r.flight.At(r.clock.Now()).Next.Point == "JNC" {
		r.pass(time.Second)
	}
	r.pass(time.Minute)
	r.shows("p passing DAM")
	r.keys("b08:35:20<enter>")
	r.shows("p passing JNC")
	r.keys("p")
	require.Equal(t, "JNC", r.last().Point)
	require.Equal(t, day("08:35:20"), r.last().T)
	r.shows("p passing DAM")
}

// Every prompt can be answered, skipped and put off, not the first only: the arrows mark one, and the keys mean it; enter shows the same as choices.
func TestAMarkedPromptIsMeantInPlaceOfTheFirst(t *testing.T) {
	for typed, act := range map[string]flight.Act{
		" ": flight.Done, "x": flight.Skipped, "z": flight.Snoozed,
		"<enter><enter>": flight.Done, "<enter><down><enter>": flight.Skipped, "<enter><down><down><enter>": flight.Snoozed,
	} {
		r := airborne(t, nil)
		for !strings.Contains(r.screen(), "marked: pump and landing light off") {
			r.keys("<down>")
		}
		r.shows(">  0:25 pump and landing")
		r.keys(typed)
		require.Equal(t, act, r.last().Act, typed)
		require.Contains(t, r.last().Prompt, "pump and landing light", typed)
		require.NotContains(t, r.screen(), ">  0:25", "the mark is gone with it")
	}
}

// What is marked ahead is in view at every size that shows what lies ahead, and p means a marked point.
func TestTheMarkAheadIsInView(t *testing.T) {
	for _, size := range goldenSizes {
		r := airborne(t, nil)
		for range r.flight.At(r.clock.Now()).Ahead {
			r.keys("<down>")
			require.Regexp(t, `>( *late| *due|[ \d:]+( min)?|\d+ h \d\d| {6}) \S|>\S| >  `, strings.Join(screentest.Bare(r.Rows(size.Width, size.Height))[2:], "\n"), "%v", size)
		}
	}
	r := airborne(t, nil)
	for !strings.Contains(r.screen(), "marked: DAM") {
		r.keys("<down>")
	}
	r.shows("p passing DAM")
	r.keys("<esc>")
	r.shows("p passing JNC")
}

// After e a letter stands for what is entered most, and whoever types the word out gets the same.
func TestALetterAfterEStandsForAWord(t *testing.T) {
	for typed, want := range map[string]string{
		"es": "steer ", "esteer": "steer", "esteer ": "steer ", "es 05": "steer 05", "es05": "steer 05", "esquawk 4271": "squawk 4271", "esq": "sq",
		"enovercast": "note overcast", "en on top": "note on top", "enon top": "note on top", "eflkm": "fix lkm", "eflow 2": "flow 2", "egleft 4": "gauges left 4",
		"eq1016": "qnh 1016", "eo1": "off-track 1", "eoff blocks": "off blocks", "ei92": "ias 92", "eidentified": "identified", "ew25": "wind 25",
		"es<back>w": "wind ", "edescend": "descend", "es<left>": "steer ",
	} {
		r := airborne(t, nil)
		r.keys(typed)
		line := regexp.MustCompile(`enter > (.*?)\s*\n`).FindStringSubmatch(r.screen())
		require.NotEmpty(t, line, typed)
		require.Equal(t, strings.TrimRight(want, " "), strings.TrimRight(strings.Replace(line[1], "_", "", 1), " "), typed)
	}
	r := airborne(t, nil)
	r.keys("es050<enter>")
	require.Equal(t, 50.0, *r.last().Heading)
}

// A flight that is only shown offers no key and no choice that would record, on any screen.
func TestWhatIsOnlyShownOffersNothingThatRecords(t *testing.T) {
	for name, mode := range map[string]tui.Mode{"watch": tui.Watch(nil), "replay": tui.Replay(nil)} {
		r := airborne(t, nil)
		root, err := tui.New(tui.Options{Flight: r.flight, Mode: mode, Clock: r.clock, Theme: "plain"})
		require.NoError(t, err)
		r.Root = root
		for _, screen := range []string{"1", "2", "3", "4", "5", "d"} {
			r.keys(screen)
			for _, binding := range keys.NewGlobal().Acts() {
				pressed := binding.Keys()[0]
				r.keys(map[string]string{"enter": "<enter>"}[pressed] + map[bool]string{true: pressed}[len(pressed) == 1])
				require.False(t, r.Typing(), "%s, screen %s, %q", name, screen, pressed)
			}
			r.keys("<enter>") // what was opened changes what is shown
		}
		require.Len(t, r.recorded, 2, name)
	}
}

func TestARefusalRecordsNothingAndLosesNothing(t *testing.T) {
	r := airborne(t, nil)
	r.keys("epassing NOWHERE<enter>")
	require.Len(t, r.recorded, 2)
	r.shows("passing NOWHERE")
	r.shows("enter > ")
	require.True(t, r.Typing())
	r.keys("<esc>")
	require.False(t, r.Typing())
}

func TestWhatCantBeRecordedIsAnAlarmAndIsNotFolded(t *testing.T) {
	r := airborne(t, nil)
	r.broken = errors.New("writing journal: no space left on device")
	r.keys("t")
	r.shows(" NOT RECORDED: tank left: writing journal: no space left on device")
	require.Equal(t, "right", r.flight.State.At(r.clock.Now()).Tanks.Selected)
	r.keys("<esc>1")
	r.shows(" NOT RECORDED") // it stays until something can be recorded
	r.broken = nil
	r.keys("t")
	require.NotContains(t, r.screen(), "NOT RECORDED")
}

func TestWhatIsNotOnDiskIsKeptFoldedAndSaid(t *testing.T) {
	r := airborne(t, nil)
	r.storage = tui.Storage{Kept: 1, Trouble: "writing journal: no space left on device"}
	r.keys("t")
	require.Equal(t, "left", r.flight.State.At(r.clock.Now()).Tanks.Selected)
	r.shows(" NOT ON DISK: 1 entry kept in memory: writing journal: no space left on device")
	r.shows("NOT ON DISK, kept in memory: tank left")
	require.NotContains(t, r.screen(), "recorded tank left")
	r.keys("<esc>1")
	r.shows(" NOT ON DISK")
	r.keys("q")
	r.shows("Quit while 1 entry is not on disk?")
	r.keys("n")
	r.storage = tui.Storage{News: "all is on disk again: 1 kept entry was written"}
	r.Update(terminal.Tick{At: r.hand.Wall()})
	r.shows("all is on disk again")
	require.NotContains(t, r.screen(), "NOT ON DISK")
}

func TestWhereTheFlightIsRecordedNowStandsUntilTheNextAct(t *testing.T) {
	r := airborne(t, nil)
	r.storage = tui.Storage{Moved: "a.jsonl was deleted or renamed: the whole flight is now in a-2.jsonl"}
	effect := r.Update(terminal.Tick{At: r.hand.Wall()})
	require.True(t, effect.Ring)
	r.shows(" a.jsonl was deleted or renamed: the whole flight is now in a-2.jsonl")
	r.keys("<esc>1")
	r.shows("a-2.jsonl")
	r.keys("t")
	require.NotContains(t, r.screen(), "a-2.jsonl")
	r.shows("recorded tank left")
}

func TestPasteGoesToTheEntryLineAlone(t *testing.T) {
	r := airborne(t, nil)
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("tpu"), Paste: true}
	r.Update(paste)
	require.Len(t, r.recorded, 2)
	r.keys("enote ")
	r.Update(paste)
	r.keys("<enter>")
	require.Equal(t, "tpu", r.last().Text)
}

func TestEscapeOnlyCloses(t *testing.T) {
	r := airborne(t, nil)
	r.keys("5?")
	r.shows("? HELP")
	r.keys("<esc>")
	r.shows("5 LOG")
	r.shows("LEG 01:00")
	r.keys("<esc>")
	r.shows("1 FLYING")
	r.keys("<esc><esc>")
	require.Len(t, r.recorded, 2)
}

func TestScreensKeepTheirCursor(t *testing.T) {
	r := airborne(t, nil)
	r.keys("5<down><down>")
	marked := r.screen()
	r.keys("15")
	require.Equal(t, marked, r.screen())
}

func TestThemes(t *testing.T) {
	r := airborne(t, nil)
	r.keys("l")
	r.shows("light: terminal")
	_, err := tui.New(tui.Options{Flight: r.flight, Mode: tui.Watch(nil), Clock: r.clock, Theme: "noon"})
	require.ErrorContains(t, err, `unknown theme "noon"`)
}

func TestTheCautionStandsUntilTheFirstKey(t *testing.T) {
	r := newRig(t, "08:24:00", nil)
	r.shows(say.ShortCaution)
	require.Less(t, len(say.ShortCaution), 79, "it is whole on 80 columns")
	require.Contains(t, strings.Join(screentest.Bare(r.Rows(40, 10)), "\n"), say.ShortestCaution)
	r.keys("1")
	require.NotContains(t, r.screen(), say.ShortCaution)
}

func TestShownOnly(t *testing.T) {
	r := newRig(t, "08:24:00", func(o *tui.Options, _ *rig) { o.Mode = tui.Replay(nil) })
	r.keys(" ptuxz")
	require.Empty(t, r.recorded)
	r.keys("c08:25<enter>+")
	require.Equal(t, day("08:25:00"), r.clock.Now())
	require.Equal(t, 2.0, r.clock.Setting().Rate)
	r.keys("esteer 090<enter>")
	r.shows("can't be used now")
	require.False(t, r.Typing(), "no line is opened that would refuse")
	require.NotNil(t, r.keys("<esc>q").Command)
}

func TestAnotherFlightIsFollowed(t *testing.T) {
	r := newRig(t, "08:24:00", func(o *tui.Options, _ *rig) { o.Mode = tui.Watch(nil) })
	event := flight.Event{N: 2, T: day("08:25:00"), Rec: day("08:25:00"), Act: flight.OffBlocks}
	r.Update(tui.Recorded{Events: []flight.Event{event}})
	r.shows("off blocks 08:25:00Z")
	r.Update(tui.Recorded{Events: []flight.Event{event}})
	r.shows(" THE JOURNAL CAN'T BE FOLLOWED")
}

func TestActsOfAFeedAreRecordedQuietly(t *testing.T) {
	r := airborne(t, nil)
	r.keys("t")
	r.Update(tui.Act{Event: flight.Event{Act: flight.Position, By: "feed", GS: new(100.0), At: &earth.Position{Lat: 53.22, Lon: 14.65}}})
	require.Equal(t, flight.Position, r.last().Act)
	r.shows("recorded tank left")
}

// pilot logs off-blocks and take-off at their times.
type pilot struct{}

func (pilot) NextEvent(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	next := []flight.Event{{Act: flight.OffBlocks, T: day("08:25:00")}, {Act: flight.Airborne, T: day("08:30:00")}}
	handsOn := false
	for _, entry := range s.Entries {
		if entry.Event.Act == flight.Hands {
			handsOn = entry.Event.Hands == "on"
		}
		if len(next) > 0 && entry.Event.Act == next[0].Act {
			next = next[1:]
		}
	}
	if handsOn || len(next) == 0 || next[0].T.After(t) {
		return flight.Event{}, false
	}
	next[0].By = "program"
	return next[0], true
}

func (pilot) Outside(time.Time) string           { return "a wide river" }
func (pilot) Seat(flight.Snapshot) practice.Seat { return practice.Seat{} }

func TestHandsOfAPracticeFlight(t *testing.T) {
	r := newRig(t, "08:24:00", func(o *tui.Options, r *rig) { o.Mode = tui.Practice(r, nil, pilot{}, true) })
	r.shows("OUTSIDE  a wide river")
	r.shows("practice, hands off")
	r.pass(20 * time.Minute)
	require.Equal(t, []flight.Act{flight.OffBlocks, flight.Airborne}, []flight.Act{r.recorded[0].Act, r.recorded[1].Act})
	require.Equal(t, "program", r.last().By)

	r = newRig(t, "08:24:00", func(o *tui.Options, r *rig) { o.Mode = tui.Practice(r, nil, pilot{}, true) })
	r.keys("h")
	require.Equal(t, "on", r.last().Hands)
	r.pass(20 * time.Minute)
	require.Len(t, r.recorded, 1)
	r.keys("h")
	require.Equal(t, "off", r.last().Hands)
}

// What the program records at once behind an act of the pilot's does not take its echo away before it can be read.
func TestWhatWasEchoedIsReadBeforeItGoes(t *testing.T) {
	r := newRig(t, "08:24:56", func(o *tui.Options, r *rig) { o.Mode = tui.Practice(r, nil, pilot{}, true) })
	r.keys("enlow cloud<enter>")
	r.shows("recorded note: low cloud 08:24:56Z · u undoes")
	r.pass(4 * time.Second)
	require.Equal(t, flight.OffBlocks, r.last().Act)
	r.shows("recorded note: low cloud 08:24:56Z · u undoes · recorded off blocks 08:25:00Z")

	r.Update(tui.Said{Text: "the feed is silent"})
	r.shows("u undoes · the feed is silent")
	r.pass(6 * time.Second)
	r.Update(tui.Said{Text: "the feed is back"})
	r.shows(" the feed is back")
	require.NotContains(t, r.screen(), "low cloud 08:24:56Z · u")
}
