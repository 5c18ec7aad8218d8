package flight_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
)

// namedActs are the acts that event.go gives a name.
func namedActs(t *testing.T) []flight.Act {
	file, err := parser.ParseFile(token.NewFileSet(), "event.go", nil, 0)
	require.NoError(t, err)
	var acts []flight.Act
	ast.Inspect(file, func(node ast.Node) bool {
		spec, ok := node.(*ast.ValueSpec)
		if !ok || len(spec.Values) != 1 {
			return true
		}
		if kind, ok := spec.Type.(*ast.Ident); ok && kind.Name == "Act" {
			text, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			require.NoError(t, err)
			acts = append(acts, flight.Act(text))
		}
		return true
	})
	require.Greater(t, len(acts), 30)
	return acts
}

// An act that has a name has its row, no row stands for itself alone, and each has its words and its letter on a time-line.
func TestEveryActHasItsRow(t *testing.T) {
	require.ElementsMatch(t, namedActs(t), flight.Acts())
	for _, act := range flight.Acts() {
		require.Len(t, act.Mark(), 1, act)
		require.NotPanics(t, func() { flight.Describe(flight.Event{Act: act}) }, act)
	}
}

// What an event carries belongs to an act, and what an act takes is a field.
func TestEveryFieldBelongsToAnAct(t *testing.T) {
	of := []string{"n", "t", "rec", "do", "by", "confirmed"} // any act
	for _, act := range flight.Acts() {
		of = append(of, act.Takes()...)
	}
	var have []string
	event := reflect.TypeFor[flight.Event]()
	for i := range event.NumField() {
		if name, _, _ := strings.Cut(event.Field(i).Tag.Get("json"), ","); name != "-" {
			have = append(have, name)
		}
	}
	slices.Sort(of)
	require.ElementsMatch(t, have, slices.Compact(of))
}

// Every figure has a range, and what lies outside it, or is no number, is refused.
func TestEveryFigureHasARange(t *testing.T) {
	event := reflect.TypeFor[flight.Event]()
	figures := 0
	for i := range event.NumField() {
		field := event.Field(i)
		if field.Type != reflect.TypeFor[*float64]() {
			continue
		}
		figures++
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		within := flight.RangeOf(name)
		require.NotEmpty(t, within.Name, name)
		require.Less(t, within.Low, within.High, name)
		for value, right := range map[float64]bool{
			within.Low: true, within.High: true, within.Low - 1: false, within.High + 1: false, 1e300: false, math.NaN(): false, math.Inf(1): false,
		} {
			e := flight.Event{Act: flight.NoteText}
			reflect.ValueOf(&e).Elem().Field(i).Set(reflect.ValueOf(&value))
			require.Equal(t, right, flight.CheckRanges(&e) == nil, "%s of %g", name, value)
		}
	}
	require.Greater(t, figures, 15)
}

// A journal may hold anything: what has figures that nothing can have stands in the list of entries and changes nothing.
func TestWhatLiesOutsideItsRangeChangesNothing(t *testing.T) {
	s := lochs()
	at := s.Airborne.Add(20 * time.Minute)
	far := time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		e := flight.Event{T: s.Airborne.Add(10 * time.Minute), Rec: at, Act: rapid.SampledFrom(flight.Acts()).Draw(t, "do"), Event: 1}
		e.Point, e.Tank, e.Beacon, e.Receiver, e.To, e.Prompt = "KVN", "left", "KVN", "NAV1", "STR", "turn-0"
		event := reflect.ValueOf(&e).Elem()
		for i := range event.NumField() {
			if event.Field(i).Type() == reflect.TypeFor[*float64]() {
				value := rapid.SampledFrom([]float64{1e300, -1e300, 1e9, -1e6}).Draw(t, "value")
				event.Field(i).Set(reflect.ValueOf(&value))
			}
		}
		if e.Act == flight.Void || e.Act == flight.Amend {
			e.Act = flight.Clock
		}
		switch rapid.IntRange(0, 2).Draw(t, "also") {
		case 0:
			e.Set = &far
		case 1:
			e.T = far
		}
		e.At = &earth.Position{Lat: 1e10, Lon: -4}
		clean, odd := fly(t, s), fly(t, s)
		n := len(clean.At(at).Entries)
		e.N = n + 1
		require.NoError(t, odd.Apply(e))
		require.Len(t, odd.At(at).Entries, n+1)
		expected, got := clean.At(at), odd.At(at)
		expected.Entries, got.Entries = nil, nil
		require.Equal(t, seen(t, expected), seen(t, got))
	})
}

func TestCleared(t *testing.T) {
	s := lochs()
	state := fly(t, s)
	now := s.Airborne.Add(time.Minute)
	for name, test := range map[string]struct {
		event   flight.Event
		refused string
		doubted string
	}{
		"a code":                        {event: flight.Event{Kind: "squawk", Squawk: "4271"}},
		"no octal digit":                {event: flight.Event{Kind: "squawk", Squawk: "4281"}, refused: `a transponder has no code "4281": four digits from 0 to 7`},
		"three digits":                  {event: flight.Event{Kind: "squawk", Squawk: "427"}, refused: `a transponder has no code "427": four digits from 0 to 7`},
		"a call for help":               {event: flight.Event{Kind: "squawk", Squawk: "7700"}, doubted: "7700 is the code for an emergency"},
		"a channel 25 kHz wide":         {event: flight.Event{Kind: "contact", Frequency: ref(118.275)}},
		"a channel 8.33 kHz wide":       {event: flight.Event{Kind: "contact", Frequency: ref(132.055)}},
		"the first of its group":        {event: flight.Event{Kind: "contact", Frequency: ref(121.505)}},
		"no channel":                    {event: flight.Event{Kind: "contact", Frequency: ref(118.27)}, refused: "118.270 lies between channels: the nearest channel is 118.275"},
		"no channel between the groups": {event: flight.Event{Kind: "contact", Frequency: ref(118.02)}, refused: "118.020 lies between channels: the nearest channel is 118.025"},
		"below the band":                {event: flight.Event{Kind: "contact", Frequency: ref(113.5)}, refused: "a frequency of 113.5: it is from 118 to 136.99 MHz"},
		"an ATIS":                       {event: flight.Event{Kind: "atis", Text: "D 240/12 1019"}},
		"an ATIS that says nothing":     {event: flight.Event{Kind: "atis"}, refused: `"cleared" lacks what it records: give the kind (atis, clearance, squawk or contact) and what was said: a text, four digits, a frequency`},
		"another kind":                  {event: flight.Event{Kind: "wish", Text: "home"}, refused: `there is no kind "wish": it is atis, clearance, squawk, contact`},
	} {
		t.Run(name, func(t *testing.T) {
			e := test.event
			e.Act, e.T, e.Rec = flight.Cleared, now, now
			err := state.Check(e)
			switch {
			case test.refused != "":
				require.EqualError(t, err, test.refused)
			case test.doubted != "":
				var doubt *flight.Doubt
				require.ErrorAs(t, err, &doubt)
				require.EqualError(t, err, test.doubted)
			default:
				require.NoError(t, err)
			}
		})
	}
	n := len(state.At(now).Entries)
	for i, e := range []flight.Event{
		{Kind: "contact", Frequency: ref(118.275), Text: "tower"}, {Kind: "atis", Text: "C"}, {Kind: "squawk", Squawk: "4271"}, {Kind: "atis", Text: "D"},
	} {
		e.Act, e.T, e.Rec, e.N = flight.Cleared, now, now, n+1+i
		require.NoError(t, state.Apply(e))
	}
	var lines []string
	for _, last := range state.At(now).Cleared {
		lines = append(lines, last.Line)
	}
	require.Equal(t, []string{"ATIS D", "squawk 4271", "contact 118.275 tower"}, lines)
}

// An event comes back from its line with every field of it.
func TestClearedComesBackFromJSON(t *testing.T) {
	var e flight.Event
	require.NoError(t, json.Unmarshal([]byte(`{"n":1,"t":"2026-06-14T09:10:04Z","rec":"2026-06-14T09:10:04Z","do":"cleared","kind":"contact","frequency":118.275}`), &e))
	require.Empty(t, e.Unknown)
	require.Equal(t, "contact 118.275", flight.Describe(e))
}
