package flight_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

var lochs = sync.OnceValue(func() *sheet.Sheet {
	s, err := flighttest.SheetsIn(flights + "/plans")("lochs.yaml")
	if err != nil {
		panic(err)
	}
	return s
})

// journal draws the events of a flight as a pilot might log it: in some order, some late, some wrong, some voided or amended.
func journal(t *rapid.T, s *sheet.Sheet) []flight.Event {
	return journalOf(t, s, append(flight.Acts(), flight.Airborne, flight.Passing, flight.Passing, flight.Passing, flight.TankChange, "icing"))
}

// journalOf draws the events of a flight in which these acts are done.
func journalOf(t *rapid.T, s *sheet.Sheet, acts []flight.Act) []flight.Event {
	start := s.Plan.OffBlocks.Add(-10 * time.Minute)
	rate := 1.0
	events := []flight.Event{{N: 1, T: start, Rec: start, Act: flight.Clock, Set: &start, Rate: &rate}}
	now := start
	state := flight.New(s, "live")
	require.NoError(t, state.Apply(events[0]))
	for range rapid.IntRange(0, 25).Draw(t, "events") {
		now = now.Add(time.Duration(rapid.IntRange(0, 400).Draw(t, "seconds")) * time.Second)
		e := flight.Event{N: len(events) + 1, T: now, Rec: now}
		if rapid.IntRange(0, 5).Draw(t, "late?") == 0 {
			e.T = now.Add(-time.Duration(rapid.IntRange(1, 600).Draw(t, "ago")) * time.Second)
		}
		act(t, s, state.At(now), acts, &e)
		e.Confirmed = rapid.Bool().Draw(t, "confirmed")
		if state.Check(e) != nil && rapid.IntRange(0, 3).Draw(t, "nonetheless?") != 0 {
			continue
		}
		if state.Apply(e) != nil {
			continue
		}
		events = append(events, e)
	}
	return events
}

// act draws what was done: mostly what a flight does next.
func act(t *rapid.T, s *sheet.Sheet, snapshot flight.Snapshot, acts []flight.Act, e *flight.Event) {
	float := func(low, high float64) *float64 {
		value := rapid.Float64Range(low, high).Draw(t, "value")
		return &value
	}
	e.Act = rapid.SampledFrom(acts).Draw(t, "do")
	switch e.Act {
	case flight.Passing:
		e.Point = rapid.SampledFrom([]string{"DAM", "railway", "KVN", "two lakes", "GRN", "OBN", "DUN", "STR", "nowhere"}).Draw(t, "point")
		if snapshot.Next != nil && rapid.IntRange(0, 3).Draw(t, "next?") > 0 {
			e.Point = snapshot.Next.Point
		}
		if rapid.Bool().Draw(t, "off?") {
			e.OffTrack = float(-3, 3)
		}
	case flight.Steering:
		e.Heading = float(0, 360)
	case flight.Airspeed:
		e.TAS = float(60, 140)
	case flight.Altitude, flight.LevelOff:
		e.Altitude = float(1500, 7000)
	case flight.Altimeter:
		e.QNH = float(980, 1040)
	case flight.WindReported:
		e.WindFrom, e.WindSpeed = float(0, 360), float(0, 70)
	case flight.TankChange:
		e.Tank = rapid.SampledFrom([]string{"left", "right"}).Draw(t, "tank")
	case flight.Gauges:
		e.Tanks = map[string]float64{"left": *float(0, 57), "right": *float(0, 57)}
	case flight.Flow:
		e.Flow = float(0, 60)
	case flight.Tuned, flight.Identified:
		e.Receiver, e.Beacon = rapid.SampledFrom([]string{"NAV1", "ADF"}).Draw(t, "receiver"), rapid.SampledFrom([]string{"KVN", "GRN", "OBN"}).Draw(t, "beacon")
	case flight.Fix:
		e.Beacon, e.DME = "KVN", float(0, 40)
		if rapid.Bool().Draw(t, "radial?") {
			e.Radial = float(0, 360)
		}
	case flight.Divert:
		e.To = rapid.SampledFrom([]string{"STR", "DUN", "GRN"}).Draw(t, "to")
		if rapid.Bool().Draw(t, "rejoin?") {
			leg := rapid.IntRange(-1, 4).Draw(t, "rejoin")
			e.Rejoin = &leg
		}
	case flight.Cross:
		e.Point = rapid.SampledFrom([]string{"railway", "GRN", "OBN", "DUN"}).Draw(t, "point")
		if rapid.Bool().Draw(t, "wanted?") {
			wanted := e.T.Add(time.Duration(rapid.IntRange(-300, 5000).Draw(t, "wanted")) * time.Second)
			e.Wanted = &wanted
		}
		if rapid.Bool().Draw(t, "height?") {
			e.Altitude = float(0, 6000)
		}
	case flight.Bearing:
		e.Beacon = rapid.SampledFrom([]string{"KVN", "OBN"}).Draw(t, "beacon")
		if rapid.Bool().Draw(t, "radial?") {
			e.Radial = float(0, 360)
		} else {
			e.Relative = float(0, 360)
		}
	case flight.Hold:
		e.Point = rapid.SampledFrom([]string{"", "KVN", "GRN"}).Draw(t, "point")
	case flight.Done, flight.Skipped, flight.Snoozed:
		if n := len(snapshot.Prompts); n > 0 {
			e.Prompt = snapshot.Prompts[rapid.IntRange(0, n-1).Draw(t, "prompt")].ID
		}
	case flight.Position:
		at := s.Route.PositionAt(0, *float(0, 28))
		e.At = &at
	case flight.Cleared:
		e.Kind, e.Text = rapid.SampledFrom(flight.ClearedKinds).Draw(t, "kind"), "information D"
		e.Squawk = rapid.SampledFrom([]string{"", "4271", "7700", "48"}).Draw(t, "squawk")
		e.Frequency = float(110, 140)
		if rapid.Bool().Draw(t, "QNH said") {
			e.Text += " QNH " + strconv.Itoa(rapid.IntRange(980, 1040).Draw(t, "QNH"))
		}
	case flight.VORCheck:
		e.Receiver = rapid.SampledFrom([]string{"NAV1", "NAV2", "ADF"}).Draw(t, "receiver")
		e.Radial, e.Course = float(0, 360), float(0, 360)
	case flight.Clock:
		rate := rapid.Float64Range(0.5, 16).Draw(t, "rate")
		e.Rate, e.T = &rate, e.Rec
	case flight.Hands:
		e.Hands = rapid.SampledFrom([]string{"on", "off"}).Draw(t, "hands")
	case flight.Controls:
		e.Altitude = float(1500, 7000)
	case flight.QuickCheck:
		e.Text = rapid.SampledFrom([]string{"", "end"}).Draw(t, "text")
	case flight.Answered:
		e.Prompt, e.Text = "drift", "5"
	case flight.OffBlocks, flight.Airborne, flight.Descend, flight.Landed, flight.OnBlocks, flight.Unhold, flight.NoteText, "icing":
		e.Text = "as it was"
	case flight.Void:
		e.Event = rapid.IntRange(1, max(1, e.N-1)).Draw(t, "n")
	case flight.Amend:
		e.Event = rapid.IntRange(1, max(1, e.N-1)).Draw(t, "n")
		moment, err := json.Marshal(e.T.Add(-time.Duration(rapid.IntRange(0, 900).Draw(t, "amended")) * time.Second))
		require.NoError(t, err)
		e.With = json.RawMessage(fmt.Sprintf(`{"t":%s}`, moment))
	default:
		require.Failf(t, "an act that no random flight has", "%s", e.Act)
	}
}

// seen is a Snapshot as it can be compared: as JSON, which also shows that nothing in it is not a number.
func seen(t require.TestingT, s flight.Snapshot) string {
	require.Empty(t, notNumbers("", reflect.ValueOf(read(s))), "not a number")
	text, err := json.MarshalIndent(s, "", " ")
	require.NoError(t, err)
	return string(text)
}

// notNumbers lists the places of a value that are no numbers, or infinite.
func notNumbers(path string, value reflect.Value) (paths []string) {
	switch value.Kind() {
	case reflect.Float64:
		if f := value.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return []string{path}
		}
	case reflect.Pointer, reflect.Interface:
		if !value.IsNil() {
			return notNumbers(path, value.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range value.Len() {
			paths = append(paths, notNumbers(fmt.Sprintf("%s[%d]", path, i), value.Index(i))...)
		}
	case reflect.Struct:
		for i := range value.NumField() {
			paths = append(paths, notNumbers(path+"."+value.Type().Field(i).Name, value.Field(i))...)
		}
	case reflect.Map:
		for _, key := range value.MapKeys() {
			paths = append(paths, notNumbers(fmt.Sprintf("%s[%v]", path, key), value.MapIndex(key))...)
		}
	}
	return paths
}

func last(events []flight.Event) time.Time {
	latest := events[0].T
	for _, e := range events {
		if e.T.After(latest) {
			latest = e.T
		}
	}
	return latest
}

// A clone goes its own way: what is applied to it does not show in the flight that it was made of, nor the other way round.
func TestACloneGoesItsOwnWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		at := last(events).Add(time.Minute)
		known := rapid.IntRange(1, len(events)).Draw(t, "known")
		state, err := flight.Fold(lochs(), "live", events[:known], nil)
		require.NoError(t, err)
		first, second := state.Clone(), state.Clone()
		before := seen(t, state.At(at))
		for _, e := range events[known:] { // one after the other, as they would write into what they share
			require.NoError(t, first.Apply(e))
			require.NoError(t, second.Apply(e))
		}
		require.Equal(t, before, seen(t, state.At(at)))
		note := flight.Event{N: known + 1, T: at, Rec: at, Act: flight.NoteText, Text: "another way"}
		require.NoError(t, state.Apply(note))
		whole, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		require.Equal(t, seen(t, whole.At(at)), seen(t, first.At(at)))
		require.Equal(t, seen(t, whole.At(at)), seen(t, second.At(at)))
	})
}

// Folding event by event gives what folding the whole journal at once gives.
func TestIncrementalStateEqualsFoldFromScratch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state := flight.New(lochs(), "live")
		for _, e := range events {
			require.NoError(t, state.Apply(e))
		}
		folded, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Minute)
		require.Equal(t, seen(t, folded.At(at)), seen(t, state.At(at)))
		require.Equal(t, seen(t, state.At(at)), seen(t, state.At(at)), "asked twice")
	})
}

// A voided entry is as if it had never been made, but for its place in the list of entries.
func TestVoidedEntryIsAsIfNeverMade(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		if len(events) < 2 {
			return
		}
		index := rapid.IntRange(1, len(events)-1).Draw(t, "voided")
		var without []flight.Event
		renumbered := map[int]int{}
		for i, e := range events {
			if i == index || e.Event == index+1 {
				continue
			}
			renumbered[e.N] = len(without) + 1
			e.N = len(without) + 1
			if e.Event > 0 {
				if e.Event = renumbered[e.Event]; e.Event == 0 {
					return // it means an entry that was left out with another
				}
			}
			without = append(without, e)
		}
		clean, err := flight.Fold(lochs(), "live", without, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Minute)
		if events[index].Act == flight.Void || events[index].Act == flight.Clock {
			return
		}
		voided, err := flight.Fold(lochs(), "live", append(events[:len(events):len(events)], flight.Event{
			N: len(events) + 1, T: at, Rec: at, Act: flight.Void, Event: index + 1,
		}), nil)
		require.NoError(t, err)
		expected, got := clean.At(at), voided.At(at)
		expected.Entries, got.Entries = nil, nil
		require.Equal(t, seen(t, expected), seen(t, got))
	})
}

// Whatever is logged, the Snapshot holds together.
func TestSnapshotHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Duration(rapid.IntRange(0, 3600).Draw(t, "later")) * time.Second)
		s := state.At(at)
		seen(t, s)
		for name, quantity := range s.Tanks.Quantities {
			require.GreaterOrEqual(t, quantity, 0.0, name)
		}
		worstFirst(t, s)
		ids := map[string]bool{}
		for _, prompt := range s.Prompts {
			require.False(t, ids[prompt.ID], "%s stands twice", prompt.ID)
			ids[prompt.ID] = true
		}
		var before time.Time
		for _, row := range s.Route {
			if row.Revised != nil {
				require.False(t, row.Revised.Before(before), "%s comes before the point before it", row.Point)
				before = *row.Revised
			}
			if row.SigmaSeconds != nil {
				require.GreaterOrEqual(t, *row.SigmaSeconds, 0.0)
			}
		}
		arrived := s.Route[len(s.Route)-1].Actual != nil
		switch s.Phase {
		case flight.Climbing, flight.Cruising, flight.Diverting, flight.Descending:
			require.NotNil(t, s.Position, "in flight there is a place: %v", s.Notices)
			require.Equal(t, arrived, s.Next == nil, "in flight there is a next point")
			require.NotNil(t, s.Destination)
		}
		if s.Position != nil {
			require.GreaterOrEqual(t, s.Position.ToGoNM, -1e-6)
			require.GreaterOrEqual(t, s.Position.AfterNM, -1e-6)
		}
	})
}

// Fuel has four figures: the endurance is the usable fuel over the flow that it names, in flight the present one; what is over the final
// reserve and the final reserve are together the fuel on arrival, wherever that is.
func TestFuelFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 3600).Draw(t, "later")) * time.Second))
		const close = 1e-9 // units of fuel, minutes
		e := s.Tanks.Endurance
		require.InDelta(t, e.Usable, e.FlowPerHour*s.Tanks.EnduranceMinutes/60, close)
		if e.By != "gauges" {
			require.InDelta(t, s.Tanks.TotalUsable, e.Usable, close)
		}
		if flying := s.Clock.AirborneSeconds != nil && s.Flown == nil && s.Phase != flight.Taxi && s.Tanks.FlowPerHour > 0; flying && e.Usable > 0 {
			require.GreaterOrEqual(t, e.FlowPerHour, s.Tanks.FlowPerHour-close, "the least endurance counts")
			if e.By == "flow meter" || e.By == "plan" && e.MeterMinutes == nil {
				require.InDelta(t, s.Tanks.FlowPerHour, e.FlowPerHour, close, "the present flow")
			}
		} else if !flying {
			require.Equal(t, "cruise", e.At)
		}
		if report := s.Report; report != nil && e.At == "cruise" {
			require.Equal(t, "endurance "+say.ReportLong(s.Tanks.EnduranceMinutes), report.Lines[len(report.Lines)-1], "what is said to a station")
		}
		if d := s.Destination; d != nil {
			require.InDelta(t, d.Fuel, d.ExtraFuel+s.FinalReserve.Fuel, close)
			require.Equal(t, d.ExtraFuel < 0, d.ExtraMinutes < 0)
			if d.Fuel > 0 { // at one flow
				require.InDelta(t, d.ReserveHeldMinutes*d.ExtraFuel, d.ExtraMinutes*d.Fuel, 1e-6)
			}
		}
		for _, way := range s.WaysOut.All() {
			if way.Minutes > 0 {
				require.InDelta(t, way.Fuel, way.ExtraFuel+s.FinalReserve.Fuel, close, way.Point)
			}
		}
		if state := s.FuelState; state != nil {
			require.InDelta(t, state.Fuel, state.ExtraFuel+s.FinalReserve.Fuel, close)
		}
	})
}

// The plan stays: what late and early are measured against is the sheet's time of a point, whatever was flown in between, and each place has one
// ETA wherever it is shown. So it is after a diversion and a return.
func TestPlanStaysAndEachPlaceHasOneETA(t *testing.T) {
	acts := []flight.Act{
		flight.OffBlocks, flight.Airborne, flight.Airborne, flight.Passing, flight.Passing, flight.Passing, flight.Divert, flight.Divert, flight.Hold, flight.Unhold,
		flight.TankChange, flight.Altitude, flight.WindReported, flight.Fix,
	}
	planned := map[string][]time.Time{}
	for _, leg := range lochs().Legs {
		planned[leg.To.Ident] = append(planned[leg.To.Ident], leg.ETA.Round(time.Second))
		for i, checkpoint := range leg.Checkpoints {
			planned[checkpoint.Name] = append(planned[checkpoint.Name], leg.CheckpointETAs[i].Round(time.Second))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		events := journalOf(t, lochs(), acts)
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 1800).Draw(t, "later")) * time.Second))
		var next, destination *flight.RoutePoint
		for i := range s.Route {
			row := &s.Route[i]
			switch {
			case row.Leg < 0:
			case row.Leg < len(lochs().Legs), row.Leg > 0 && s.Route[i].Turned == nil && row.Planned.Before(lochs().Arrival().Add(time.Minute)):
				require.Contains(t, planned[row.Point], row.Planned, "the plan of %s stays", row.Point)
			}
			if row.Diverted && row.Actual == nil {
				require.Nil(t, row.Revised, "%s was left out", row.Point)
			}
			if s.Next != nil && row.Leg == s.Leg.Index && row.Point == s.Next.Point && row.Checkpoint == s.Next.IsCheckpoint {
				next = row
			}
			if s.Destination != nil && !row.Checkpoint && !row.Diverted {
				destination = row
			}
		}
		if next != nil && next.Revised != nil {
			require.Equal(t, *next.Revised, s.Next.ETA, "the next point's ETA is one")
			require.Equal(t, next.Planned, s.Next.Planned)
			require.Equal(t, *next.DifferenceSeconds, s.Next.DifferenceSeconds)
		}
		if destination != nil && destination.Revised != nil {
			require.Equal(t, *destination.Revised, s.Destination.ETA, "the destination's ETA is one")
			require.Equal(t, destination.Planned, s.Destination.Planned)
		}
		for _, way := range s.WaysOut.All() {
			if d := s.Destination; d != nil && !d.Passed && s.Holding == nil && s.Position != nil && s.Phase != flight.Taxi && s.Phase != flight.BeforeStart && s.Leg.To == d.Point && way.Point == d.Point {
				require.Equal(t, d.ETA, way.ETA, "on the way straight to %s there is one ETA", d.Point)
				require.InDelta(t, d.Fuel, way.Fuel, 1e-9)
			}
		}
		rows := map[string]flight.RoutePoint{}
		for _, row := range s.Route {
			if !row.Checkpoint && !row.Diverted && row.Revised != nil && row.Leg >= 0 {
				rows[fmt.Sprintf("turn-%d", row.Leg)] = row
			}
		}
		for _, prompt := range s.Prompts {
			if row, turns := rows[prompt.ID]; turns && prompt.Open() && !prompt.Snoozed {
				require.Equal(t, *row.Revised, prompt.Due, "%s is due at the ETA", prompt.ID)
			}
		}
		for _, mark := range s.Leg.Marks {
			for _, row := range s.Route {
				if mark.Kind == flight.MarkCheckpoint && row.Checkpoint && row.Leg == s.Leg.Index && row.Point == mark.Name && row.Revised != nil {
					require.Equal(t, *row.Revised, *mark.ETA, mark.Name)
				}
			}
		}
	})
}
