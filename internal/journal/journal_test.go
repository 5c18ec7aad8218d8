package journal_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
)

var opened = time.Date(2026, 6, 14, 9, 2, 11, 0, time.UTC)

func wall() time.Time { return opened }

func somePlan() *plan.Plan {
	return &plan.Plan{Version: 1, Title: "Three <lochs> & back", OffBlocks: opened, Points: []plan.Point{{Ident: "KVN"}}}
}

func create(t testing.TB) (*journal.Writer, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	w, err := journal.Create(path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	t.Cleanup(func() { _ = w.Close() })
	return w, path
}

func passing(point string) flight.Event {
	return flight.Event{T: opened.Add(time.Minute), Act: flight.Passing, Point: point}
}

func add(t testing.TB, w *journal.Writer, events ...flight.Event) {
	t.Helper()
	for _, event := range events {
		_, err := w.Append(event)
		require.NoError(t, err)
	}
}

func extend(t *testing.T, path, text string) {
	t.Helper()
	file, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = file.WriteString(text)
	require.NoError(t, err)
	require.NoError(t, file.Close())
}

func TestAppendNumbersStampsAndWritesOneLine(t *testing.T) {
	w, path := create(t)
	event, err := w.Append(passing("KVN"))
	require.NoError(t, err)
	require.Equal(t, 1, event.N)
	require.Equal(t, opened, event.Rec)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	require.Len(t, lines, 3)
	require.True(t, strings.HasPrefix(lines[0], `{"legclock":1,"opened":"2026-06-14T09:02:11Z","mode":"live","plan":{`), lines[0])
	require.Contains(t, lines[0], "Three <lochs> & back", "text stays readable")
	require.Regexp(t, `^{"n":1,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"passing","point":"KVN","check":"[0-9a-f]{16}"}$`, lines[1])
	require.Regexp(t, `,"check":"[0-9a-f]{16}"}$`, lines[0])
	require.Empty(t, lines[2])
}

func TestLoadGivesBackHeaderAndEvents(t *testing.T) {
	path := filepath.Join(t.TempDir(), "practice.jsonl")
	seed := uint64(1<<63 + 7)
	w, err := journal.Create(path, journal.Header{Mode: "practice", Seed: &seed}, somePlan(), wall)
	require.NoError(t, err)
	add(t, w, passing("KVN"), passing("GRN"))
	contents, err := journal.Load(path)
	require.NoError(t, err, "a journal can be read while it is written")
	require.Equal(t, somePlan(), contents.Header.Plan)
	require.Equal(t, seed, *contents.Header.Seed)
	require.Len(t, contents.Events, 2)
	require.Equal(t, "GRN", contents.Events[1].Point)
	require.Nil(t, contents.Torn)
}

func TestCreateNeverOverwrites(t *testing.T) {
	_, path := create(t)
	_, err := journal.Create(path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.ErrorIs(t, err, os.ErrExist)
}

func TestOneWriterAtATime(t *testing.T) {
	w, path := create(t)
	_, _, _, err := journal.Resume(path, nil, wall)
	var locked *journal.Locked
	require.ErrorAs(t, err, &locked)
	require.ErrorContains(t, err, "process ")
	require.ErrorContains(t, err, "2026-06-14T09:02:11Z")
	require.NoError(t, w.Close())
	require.NoFileExists(t, path+".holder")
	again, _, notice, err := journal.Resume(path, nil, wall)
	require.NoError(t, err)
	require.Empty(t, notice)
	require.NoError(t, again.Close())
	_, err = again.Append(passing("KVN"))
	require.ErrorIs(t, err, journal.ErrClosed)
}

func TestResumeGoesOnCounting(t *testing.T) {
	w, path := create(t)
	add(t, w, passing("KVN"), passing("GRN"))
	require.NoError(t, w.Close())
	w, contents, _, err := journal.Resume(path, nil, wall)
	require.NoError(t, err)
	require.Len(t, contents.Events, 2)
	add(t, w, passing("DUN"))
	require.NoError(t, w.Close())
	contents, err = journal.Load(path)
	require.NoError(t, err)
	require.Equal(t, 3, contents.Events[2].N)
}

func TestAppendRefusesNumbersOutOfOrder(t *testing.T) {
	w, path := create(t)
	for _, n := range []int{-1, 2, 100} {
		event := passing("KVN")
		event.N = n
		_, err := w.Append(event)
		require.ErrorContains(t, err, "where 1 must follow")
	}
	_, err := w.Append(flight.Event{Act: flight.Passing})
	require.ErrorContains(t, err, "both its times")
	_, err = w.Append(flight.Event{T: opened})
	require.ErrorContains(t, err, "does not say what was done")
	contents, err := journal.Load(path)
	require.NoError(t, err)
	require.Empty(t, contents.Events, "what was refused was not written")
}

// unchecked takes the checks out of a journal: as versions before wrote it.
func unchecked(t testing.TB, path string) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	text = regexp.MustCompile(`,"check":"[0-9a-f]{16}"}`).ReplaceAll(text, []byte("}"))
	require.NoError(t, os.WriteFile(path, text, 0o644))
}

func TestTornLastLineIsCutOffAndSaid(t *testing.T) {
	for name, torn := range map[string]string{
		"half a line":             `{"n":2,"t":"2026-06-14T09:04`,
		"one byte":                `{`,
		"zeros":                   "\x00\x00\x00\x00",
		"zeros with the line end": "\x00\x00\x00\x00\"}\n",
		"half a letter":           "{\"n\":2,\"text\":\"\xc3",
		"another number":          `{"n":9,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"note"}`,
		"no check":                `{"n":2,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"note"}`,
	} {
		t.Run(name, func(t *testing.T) {
			w, path := create(t)
			add(t, w, passing("KVN"))
			require.NoError(t, w.Close())
			before, err := os.ReadFile(path)
			require.NoError(t, err)
			extend(t, path, torn)

			contents, err := journal.Load(path)
			require.NoError(t, err)
			require.Equal(t, torn, string(contents.Torn))
			require.Empty(t, contents.Damages)

			w, contents, notice, err := journal.Resume(path, nil, wall)
			require.NoError(t, err)
			require.Contains(t, notice, "cut off")
			require.Len(t, contents.Events, 1)
			after, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, before, after)
			add(t, w, passing("GRN"))
			require.NoError(t, w.Close())
			contents, err = journal.Load(path)
			require.NoError(t, err)
			require.Empty(t, contents.Damages)
			require.Equal(t, "GRN", contents.Events[1].Point)
		})
	}
}

func TestWholeLastLineWithoutItsEndIsKept(t *testing.T) {
	for _, old := range []bool{false, true} {
		w, path := create(t)
		add(t, w, passing("KVN"))
		require.NoError(t, w.Close())
		if old {
			unchecked(t, path)
		}
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, text[:len(text)-1], 0o644))
		w, contents, notice, err := journal.Resume(path, nil, wall)
		require.NoError(t, err)
		require.Contains(t, notice, "was kept")
		require.Len(t, contents.Events, 1)
		add(t, w, passing("GRN"))
		contents, err = journal.Load(path)
		require.NoError(t, err)
		require.Empty(t, contents.Damages)
		require.Len(t, contents.Events, 2)
	}
}

// What is damaged is named and left out, what stands behind it serves, and the flight can go on.
func TestDamageNamesTheLineAndTheRestServes(t *testing.T) {
	const entry = `{"n":2,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"note"}`
	for name, c := range map[string]struct {
		line, want string
		old        bool
	}{
		"garbage":                 {"hello", `:3: "hello" is not an entry`, false},
		"garbage in an old one":   {"hello", `:3: "hello" is not an entry`, true},
		"empty line":              {"", `:3: "" is not an entry`, true},
		"number repeated":         {strings.Replace(entry, `"n":2`, `"n":1`, 1), ":3: entry number 1 where 2 must follow", true},
		"number of nowhere":       {strings.Replace(entry, `"n":2`, `"n":7`, 1), ":3: entry number 7 where 2 must follow", true},
		"no act":                  {strings.Replace(entry, `,"do":"note"`, ``, 1), ":3: entry 2 does not say what was done", true},
		"no time":                 {strings.Replace(entry, `"t":"2026-06-14T09:03:11Z",`, ``, 1), ":3: entry 2 needs both its times", true},
		"wrong type":              {strings.Replace(entry, `"n":2`, `"n":2,"heading":"north"`, 1), `:3: "{\"n\":2`, true},
		"not UTF-8":               {"\xff", ":3: not UTF-8 text", true},
		"a figure of nothing":     {strings.Replace(entry, `"note"`, `"airspeed","tas":1e300`, 1), ":3: entry 2, airspeed: a true airspeed of 1e+300", true},
		"a year of nobody":        {strings.Replace(entry, `"t":"2026`, `"t":"9999`, 1), ":3: entry 2, note: the year 9999", true},
		"void of nothing":         {strings.Replace(entry, `"note"`, `"void","event":2`, 1), ":3: entry 2, void: no entry 2 to void", true},
		"an amendment of nothing": {strings.Replace(entry, `"note"`, `"amend","event":1,"with":[1]`, 1), ":3: entry 2, amend: an amendment needs", true},
		"no check":                {entry, ":3: the line has been changed: its check is missing", false},
		"changed":                 {strings.Replace(entry, `"note"}`, `"note","check":"0000000000000000"}`, 1), ":3: the line has been changed: it does not agree", false},
	} {
		t.Run(name, func(t *testing.T) {
			w, path := create(t)
			add(t, w, passing("KVN"), passing("DAM"), passing("GRN"))
			require.NoError(t, w.Close())
			if c.old {
				unchecked(t, path)
			}
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			lines := strings.Split(string(text), "\n")
			lines[2] = c.line
			require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644))

			contents, err := journal.Load(path)
			require.NoError(t, err)
			require.Len(t, contents.Damages, 1)
			require.Equal(t, 3, contents.Damages[0].Line)
			require.ErrorContains(t, contents.Damages[0], "flight.jsonl"+c.want)
			require.Len(t, contents.Events, 3)
			require.Equal(t, flight.Damaged, contents.Events[1].Act)
			require.Equal(t, "GRN", contents.Events[2].Point)

			w, _, _, err = journal.Resume(path, nil, wall)
			require.NoError(t, err)
			add(t, w, passing("DUN"))
			require.NoError(t, w.Close())
			contents, err = journal.Load(path)
			require.NoError(t, err)
			require.Len(t, contents.Damages, 1, "what is written after damage is good")
			require.Equal(t, "DUN", contents.Events[3].Point)
		})
	}
}

// Of every byte, one bit after the other: not one changed bit is taken for what was written, and all other entries serve.
func TestEveryFlippedBitIsFound(t *testing.T) {
	w, path := create(t)
	points := []string{"KVN", "DAM", "GRN", "DUN"}
	for _, point := range points {
		add(t, w, passing(point))
	}
	require.NoError(t, w.Close())
	good, err := os.ReadFile(path)
	require.NoError(t, err)
	whole, err := journal.Load(path)
	require.NoError(t, err)
	for at := range good {
		for bit := range 8 {
			bad := bytes.Clone(good)
			bad[at] ^= 1 << bit
			contents, err := journal.Read(bytes.NewReader(bad), "flight.jsonl")
			if at < bytes.IndexByte(good, '\n') && err != nil {
				continue // the plan
			}
			require.NoError(t, err, "byte %d, bit %d", at, bit)
			if contents.Torn == nil && at != len(good)-1 {
				require.NotEmpty(t, contents.Damages, "byte %d, bit %d", at, bit)
			}
			lost := 0
			for i, event := range whole.Events {
				if i >= len(contents.Events) || contents.Events[i].Act == flight.Damaged {
					lost++
					continue
				}
				require.Equal(t, event, contents.Events[i], "byte %d, bit %d", at, bit)
			}
			require.LessOrEqual(t, lost, 2, "byte %d, bit %d: a line, or the two that its end parts", at, bit)
			require.LessOrEqual(t, len(contents.Events), len(whole.Events)+1)
		}
	}
}

func TestLinesOfAnotherJournalAndLinesLeftOutShow(t *testing.T) {
	w, path := create(t)
	add(t, w, passing("KVN"), passing("DAM"), passing("GRN"), passing("DUN"))
	require.NoError(t, w.Close())
	other, otherPath := create(t)
	add(t, other, passing("XXX"), passing("YYY"), passing("ZZZ"))
	require.NoError(t, other.Close())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	foreign, err := os.ReadFile(otherPath)
	require.NoError(t, err)
	lines, others := strings.SplitAfter(string(text), "\n"), strings.SplitAfter(string(foreign), "\n")

	exchanged := slices.Clone(lines)
	exchanged[3] = others[3]
	contents, err := journal.Read(strings.NewReader(strings.Join(exchanged, "")), "flight.jsonl")
	require.NoError(t, err)
	require.Len(t, contents.Damages, 1)
	require.ErrorContains(t, contents.Damages[0], "flight.jsonl:4: the line does not follow the one before it")
	require.Len(t, contents.Events, 4)

	contents, err = journal.Read(strings.NewReader(strings.Join(slices.Delete(slices.Clone(lines), 2, 4), "")), "flight.jsonl")
	require.NoError(t, err)
	require.NotEmpty(t, contents.Damages)
	require.Len(t, contents.Events, 4)
	require.Equal(t, "DUN", contents.Events[3].Point)
}

func TestHeaderFaults(t *testing.T) {
	w, path := create(t)
	require.NoError(t, w.Close())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for name, c := range map[string]struct{ text, want string }{
		"empty":           {"", ":1: no header"},
		"cut off":         {string(text[:40]), ":1: no header"},
		"something else":  {"{}\n", ":1: \"{}\" is not a journal header"},
		"newer version":   {strings.Replace(string(text), `"legclock":1`, `"legclock":2`, 1), ":1: journal version 2: this program reads version 1"},
		"no plan":         {`{"legclock":1,"opened":"2026-06-14T09:02:11Z","mode":"live"}` + "\n", ":1: the header has no plan"},
		"plan tampered":   {strings.Replace(string(text), "KVN", "KVM", 1), ":1: the plan in the header has been changed"},
		"endless":         {strings.Repeat("x", journal.MaxLine+2), ":1: not a journal: its first line has more than"},
		"no line at all":  {"\n", ":1: \"\" is not a journal header"},
		"an entry's line": {`{"n":1,"do":"note"}` + "\n", "is not a journal header"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := journal.Read(strings.NewReader(c.text), "flight.jsonl")
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestUnknownActsAndFieldsAreKeptAndWrittenBackTheSame(t *testing.T) {
	const line = `{"n":1,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"icing","heading":450,` +
		`"T":"not t","grade":{"b":[1,2.50],"a":null},"where":"left <wing>"}`
	w, path := create(t)
	require.NoError(t, w.Close())
	unchecked(t, path)
	extend(t, path, line+"\n")
	contents, err := journal.Load(path)
	require.NoError(t, err)
	event := contents.Events[0]
	require.Equal(t, flight.Act("icing"), event.Act)
	require.Equal(t, 450.0, *event.Heading, "what a newer version means is not for this one to judge")
	require.Len(t, event.Unknown, 3)

	again, err := journal.Create(filepath.Join(t.TempDir(), "copy.jsonl"), journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	defer again.Close()
	add(t, again, event)
	text, err := os.ReadFile(again.Path())
	require.NoError(t, err)
	require.Contains(t, string(text), strings.TrimSuffix(line, "}")+`,"check":`)
}

// events generates events as a journal may hold them.
func events() *rapid.Generator[flight.Event] {
	number := rapid.Ptr(rapid.Float64Range(-1e6, 1e6), true)
	moment := rapid.Custom(func(t *rapid.T) time.Time {
		return opened.Add(time.Duration(rapid.Int64Range(0, 1e15).Draw(t, "ns")))
	})
	return rapid.Custom(func(t *rapid.T) flight.Event {
		event := flight.Event{
			T: moment.Draw(t, "t"), Rec: moment.Draw(t, "rec"),
			Act:      flight.Act(rapid.StringMatching(`[a-z-]{1,12}`).Draw(t, "do")),
			Point:    rapid.String().Draw(t, "point"),
			OffTrack: number.Draw(t, "offtrack"), Heading: number.Draw(t, "heading"), QNH: number.Draw(t, "qnh"),
			Tanks:     rapid.MapOfN(rapid.String(), rapid.Float64Range(0, 500), 0, 3).Draw(t, "tanks"),
			Paused:    rapid.Ptr(rapid.Bool(), true).Draw(t, "paused"),
			Text:      rapid.String().Draw(t, "text"),
			Confirmed: rapid.Bool().Draw(t, "confirmed"),
			Event:     rapid.IntRange(0, 99).Draw(t, "event"),
		}
		if len(event.Tanks) == 0 {
			event.Tanks = nil
		}
		if rapid.Bool().Draw(t, "at?") {
			event.At = &earth.Position{Lat: rapid.Float64Range(-90, 90).Draw(t, "lat"), Lon: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		}
		if rapid.Bool().Draw(t, "set?") {
			set := moment.Draw(t, "set")
			event.Set = &set
		}
		if rapid.Bool().Draw(t, "unknown?") {
			event.Unknown = map[string]json.RawMessage{"x" + rapid.StringMatching(`[a-z"é<]{0,5}`).Draw(t, "name"): json.RawMessage(`[1,"a"]`)}
		}
		return event
	})
}

func TestWhatIsAppendedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		folder, err := os.MkdirTemp("", "journal")
		require.NoError(t, err)
		defer os.RemoveAll(folder)
		w, err := journal.Create(filepath.Join(folder, "flight.jsonl"), journal.Header{Mode: "live"}, somePlan(), wall)
		require.NoError(t, err)
		var recorded []flight.Event
		for _, event := range rapid.SliceOfN(events(), 0, 5).Draw(t, "events") {
			event, err = w.Append(event)
			require.NoError(t, err)
			recorded = append(recorded, event)
		}
		require.NoError(t, w.Close())
		contents, err := journal.Load(w.Path())
		require.NoError(t, err)
		require.Equal(t, recorded, contents.Events)
	})
}

// Whatever bytes follow a good beginning, the beginning is read, and what was read can be written and read again.
func FuzzRead(f *testing.F) {
	w, path := create(f)
	add(f, w, passing("KVN"))
	unchecked(f, path)
	text, err := os.ReadFile(path)
	require.NoError(f, err)
	f.Add("")
	f.Add(`{"n":2,"t":"2026-06-14T09:03:11Z","rec":"2026-06-14T09:02:11Z","do":"gauges","tanks":{"left":12.5}}` + "\n")
	f.Add(`{"n":2,"t":"2026-06-14T09:03:11+02:00","rec":"2026-06-14T09:02:11Z","do":"amend","event":1,"with":{"point":"GRN"}}` + "\n{")
	f.Add("\x00\x00\n")
	f.Fuzz(func(t *testing.T, more string) {
		contents, err := journal.Read(strings.NewReader(string(text)+more), "flight.jsonl")
		require.NotEmpty(t, contents.Events)
		require.Equal(t, "KVN", contents.Events[0].Point)
		require.NoError(t, err)
		for _, event := range contents.Events {
			line, err := json.Marshal(event)
			require.NoError(t, err)
			var again flight.Event
			require.NoError(t, json.Unmarshal(line, &again))
			twice, err := json.Marshal(again)
			require.NoError(t, err)
			require.JSONEq(t, string(line), string(twice))
		}
	})
}

func BenchmarkAppend(b *testing.B) {
	w, _ := create(b)
	for b.Loop() {
		if _, err := w.Append(passing("KVN")); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead10000(b *testing.B) {
	path := filepath.Join(b.TempDir(), "long.jsonl")
	var events []flight.Event
	for n := 1; n <= 10_000; n++ {
		event := passing("KVN")
		event.N, event.Rec = n, wall()
		events = append(events, event)
	}
	require.NoError(b, journal.Save(path, journal.Header{Mode: "live"}, somePlan(), events, wall))
	text, err := os.ReadFile(path)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		contents, err := journal.Read(bytes.NewReader(text), "flight.jsonl")
		if err != nil || len(contents.Damages) > 0 || len(contents.Events) != len(events) {
			b.Fatal(err, contents.Damages)
		}
	}
}
