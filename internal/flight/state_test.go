package flight_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

func ref[T any](value T) *T { return &value }

func TestApplyRefusesWhatCantBePartOfThisJournal(t *testing.T) {
	s := lochs()
	at := s.Plan.OffBlocks
	for name, e := range map[string]flight.Event{
		"a number out of order":       {N: 3, Act: flight.NoteText},
		"a number again":              {N: 1, Act: flight.NoteText},
		"a void of nothing":           {N: 2, Act: flight.Void},
		"a void of itself":            {N: 2, Act: flight.Void, Event: 2},
		"a void of what comes later":  {N: 2, Act: flight.Void, Event: 3},
		"an amendment without fields": {N: 2, Act: flight.Amend, Event: 1},
		"an amendment of the act":     {N: 2, Act: flight.Amend, Event: 1, With: json.RawMessage(`{"do":"landed"}`)},
		"an amendment that is none":   {N: 2, Act: flight.Amend, Event: 1, With: json.RawMessage(`{"altitude":"high"}`)},
	} {
		t.Run(name, func(t *testing.T) {
			state := flight.New(s, "live")
			require.NoError(t, state.Apply(flight.Event{N: 1, T: at, Rec: at, Act: flight.OffBlocks}))
			before := seen(t, state.At(at))
			e.T, e.Rec = at, at
			require.Error(t, state.Apply(e))
			require.Equal(t, before, seen(t, state.At(at)), "nothing has changed")
		})
	}
}

// Undo takes back the pilot's entries one after the other, the last first; not what the program, a feed or the clock logged.
func TestUndoableIsThePilotsLast(t *testing.T) {
	s := lochs()
	at := s.Plan.OffBlocks
	state := flight.New(s, "practice")
	n := 0
	record := func(e flight.Event) {
		n++
		e.N, e.T, e.Rec = n, at, at
		require.NoError(t, state.Apply(e))
	}
	require.Nil(t, state.Undoable())
	record(flight.Event{Act: flight.Clock, Rate: ref(1.0), Set: &at})
	require.Nil(t, state.Undoable())
	record(flight.Event{Act: flight.OffBlocks})
	record(flight.Event{Act: flight.NoteText, Text: "wind calm"})
	record(flight.Event{Act: flight.TankChange, Tank: "left", By: "program"})
	record(flight.Event{Act: flight.Position, At: &earth.Position{Lat: 56, Lon: -4}})
	record(flight.Event{Act: flight.Hands, Hands: "on"})
	require.Equal(t, 3, state.Undoable().N)
	record(flight.Event{Act: flight.Amend, Event: 3, With: json.RawMessage(`{"text":"wind 240"}`)})
	require.Equal(t, 7, state.Undoable().N, "an amendment is undone like any entry")
	record(flight.Event{Act: flight.Void, Event: 7})
	require.Equal(t, 3, state.Undoable().N)
	record(flight.Event{Act: flight.Void, Event: 3})
	require.Equal(t, 2, state.Undoable().N)
	record(flight.Event{Act: flight.Void, Event: 2})
	require.Nil(t, state.Undoable())
	require.Equal(t, flight.BeforeStart, state.At(at).Phase)
}

// The setting after the clock events is the one that a running clock adopts: both read the same from then on.
func TestSettingIsWhatTheClockAdopts(t *testing.T) {
	wall := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	start := lochs().Plan.OffBlocks
	state := flight.New(lochs(), "live")
	hand := clock.NewHand(wall)
	running := clock.New(clock.Real(wall), hand.Wall)
	n := 0
	for _, e := range []flight.Event{
		{Set: &start, Rate: ref(4.0)}, {Rate: ref(0.5)}, {Paused: ref(true)}, {Paused: ref(false), Rate: ref(16.0)},
	} {
		n++
		e.N, e.Act, e.T, e.Rec = n, flight.Clock, running.Now(), running.Wall()
		require.NoError(t, state.Apply(e))
		running.Adopt(state.Setting())
		hand.Move(time.Minute)
	}
	require.Equal(t, start.Add(4*time.Minute+30*time.Second+16*time.Minute), running.Now())
}

func TestSnapshotOutlivesWhatComesAfterIt(t *testing.T) {
	s := lochs()
	state := flight.New(s, "live")
	add := func(e flight.Event) {
		e.N, e.Rec = len(state.At(s.Airborne).Entries)+1, e.T
		require.NoError(t, state.Apply(e))
	}
	add(flight.Event{T: s.Plan.OffBlocks, Act: flight.OffBlocks})
	add(flight.Event{T: s.Airborne, Act: flight.Airborne})
	add(flight.Event{T: s.Airborne.Add(8 * time.Minute), Act: flight.Passing, Point: "DAM"})
	kept := state.At(s.Airborne.Add(9 * time.Minute))
	before := seen(t, kept)
	add(flight.Event{T: s.Airborne.Add(10 * time.Minute), Act: flight.TankChange, Tank: "left"})
	add(flight.Event{T: s.Airborne.Add(11 * time.Minute), Act: flight.Amend, Event: 3, With: json.RawMessage(`{"offtrack":1.5}`)})
	add(flight.Event{T: s.Airborne.Add(12 * time.Minute), Act: flight.Void, Event: 3})
	add(flight.Event{T: s.Airborne.Add(13 * time.Minute), Act: flight.Divert, To: "STR"})
	require.Equal(t, before, seen(t, kept))
}

func TestClosedListsEveryPromptWithItsTime(t *testing.T) {
	s := lochs()
	state := fly(t, s,
		flight.Event{T: s.Airborne.Add(time.Minute), Act: flight.Tuned, Receiver: "NAV1", Beacon: "KVN"},
		flight.Event{T: s.Airborne.Add(2 * time.Minute), Act: flight.Skipped, Prompt: "check-pump and landing light off"})
	var ids []string
	for _, prompt := range state.Closed(s.Airborne.Add(2 * time.Minute)) {
		ids = append(ids, prompt.ID+" "+string(prompt.State))
		require.NotNil(t, prompt.Answered)
	}
	require.Equal(t, []string{"airborne done", "tune-0-NAV1-KVN done", "check-pump and landing light off skipped"}, ids)
}

func TestDescribe(t *testing.T) {
	at := time.Date(2026, 6, 14, 9, 2, 11, 0, time.UTC)
	for want, e := range map[string]flight.Event{
		"off blocks":                                {Act: flight.OffBlocks},
		"level":                                     {Act: flight.LevelOff},
		"level at 4000 ft":                          {Act: flight.LevelOff, Altitude: ref(4000.0)},
		"passing KVN":                               {Act: flight.Passing, Point: "KVN"},
		"steering 360":                              {Act: flight.Steering, Heading: ref(0.2)},
		"wind 230/05":                               {Act: flight.WindReported, WindFrom: ref(230.0), WindSpeed: ref(5.0)},
		"gauges left 43, right 4":                   {Act: flight.Gauges, Tanks: map[string]float64{"right": 4, "left": 43}},
		"clock set 09:02:11Z, rate 4, running":      {Act: flight.Clock, Set: &at, Rate: ref(4.0), Paused: ref(false)},
		"passing two lakes, on track":               {Act: flight.Passing, Point: "two lakes", OffTrack: ref(-0.04)},
		"fix 12.0 nm along, on track":               {Act: flight.Fix, After: ref(12.0), OffTrack: ref(0.0)},
		"passing two lakes, 0.8 nm left of track":   {Act: flight.Passing, Point: "two lakes", OffTrack: ref(-0.8)},
		"fix KVN radial 096 DME 12.4":               {Act: flight.Fix, Beacon: "KVN", Radial: ref(96.0), DME: ref(12.4)},
		"fix 12.0 nm along, 1.0 nm right of track":  {Act: flight.Fix, After: ref(12.0), OffTrack: ref(1.0)},
		"divert to DUN":                             {Act: flight.Divert, To: "DUN"},
		"done: cruise check":                        {Act: flight.Done, Prompt: "check-cruise check-2"},
		"done: pump and landing light off":          {Act: flight.Done, Prompt: "check-pump and landing light off"},
		"skipped: tune NAV1 ADH":                    {Act: flight.Skipped, Prompt: "tune-1-NAV1-ADH"},
		"skipped: report KVN":                       {Act: flight.Skipped, Prompt: "report-KVN"},
		"done: engine and fuel pressure":            {Act: flight.Done, Prompt: "confirm-1"},
		"later: the change of tank, 3 min":          {Act: flight.Snoozed, Prompt: "tank-2", Minutes: ref(3.0)},
		"QNH 1015 / 29.97 inHg":                     {Act: flight.Altimeter, QNH: ref(1014.9), Inches: true},
		"QNH 1013.25":                               {Act: flight.Altimeter, QNH: ref(1013.25)},
		"flow 24.5 an hour at 65 %":                 {Act: flight.Flow, Flow: ref(24.5), Power: ref(65.0)},
		"icing light":                               {Act: "icing", Text: "light"},
		`amend entry 3: point GRN`:                  {Act: flight.Amend, Event: 3, With: json.RawMessage(`{"point":"GRN"}`)},
		"note: two gliders right of track, 3500 ft": {Act: flight.NoteText, Text: "two gliders right of track, 3500 ft"},
	} {
		require.Equal(t, want, flight.Describe(e))
	}
}

// Every act has its words, and what is needed to record it.
func TestEventsOfEveryActComeBackFromJSON(t *testing.T) {
	at := time.Date(2026, 6, 14, 9, 2, 11, 0, time.UTC)
	e := flight.Event{
		N: 7, T: at, Rec: at.Add(time.Second), Act: flight.Fix, Beacon: "KVN", DME: ref(12.4), Radial: ref(0.0), Confirmed: true,
		Tanks: map[string]float64{"left": 12}, At: &earth.Position{Lat: 56, Lon: -4}, Paused: ref(false), Set: &at,
		Unknown: map[string]json.RawMessage{"colour": json.RawMessage(`"red"`)},
	}
	text, err := json.Marshal(e)
	require.NoError(t, err)
	var back flight.Event
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, e, back)
	require.Error(t, json.Unmarshal([]byte(`{"n":"seven"}`), &back))
	require.Error(t, json.Unmarshal([]byte(`[]`), &back))
}

func TestDiversionTarget(t *testing.T) {
	p := lochs().Plan
	point, level, err := flight.DiversionTarget(p, flight.Event{To: "DUN"}, 3700)
	require.NoError(t, err)
	require.Equal(t, "DUN", point.Ident)
	require.Equal(t, plan.Level{AltitudeFt: 3700}, level, "at the height flown")
	point, level, err = flight.DiversionTarget(p, flight.Event{At: &earth.Position{Lat: 56, Lon: -4}, Altitude: ref(2500.0)}, 3700)
	require.NoError(t, err)
	require.Equal(t, earth.Position{Lat: 56, Lon: -4}, point.At)
	require.Equal(t, plan.Level{AltitudeFt: 2500}, level)
	_, level, err = flight.DiversionTarget(p, flight.Event{To: "DUN"}, 100)
	require.NoError(t, err)
	require.InDelta(t, 2158, level.AltitudeFt, 5, "soon after take-off: the lowest of the cruise table, 2000 ft at 1019 hPa")
	_, _, err = flight.DiversionTarget(p, flight.Event{To: "XYZ"}, 3700)
	require.ErrorContains(t, err, `"XYZ" is not a point of the plan`)
}

// Two checks may have one name: each is prompted and answered for itself.
func TestChecksOfOneNameAreKeptApart(t *testing.T) {
	p := *lochs().Plan
	p.Checks = []plan.Check{{Name: "area QNH", Passing: "KVN"}, {Name: "area QNH", Passing: "GRN"}}
	s, problems := sheet.Compute(&p)
	require.NotNil(t, s, "%v", problems)
	state := fly(t, s,
		flight.Event{T: s.Legs[0].ETA, Act: flight.Passing, Point: "KVN"},
		flight.Event{T: s.Legs[0].ETA.Add(time.Minute), Act: flight.Done, Prompt: "check-area QNH"})
	states := map[string]flight.PromptState{}
	for _, prompt := range state.At(s.Legs[0].ETA.Add(2 * time.Minute)).Prompts {
		if prompt.Kind == flight.PromptCheck {
			states[prompt.ID] = prompt.State
		}
	}
	require.Equal(t, map[string]flight.PromptState{"check-area QNH": flight.PromptDone, "check-area QNH #2": flight.Coming}, states)
}
