package flight_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/sheet"
)

// filled is the three lochs round with other quantities on board.
func filled(t require.TestingT, left, right float64) *sheet.Sheet {
	p := *lochs().Plan
	p.Fuel.OnBoard = map[string]float64{"left": left, "right": right}
	s, problems := sheet.Compute(&p)
	require.NotNil(t, s, "%v", problems)
	return s
}

// At the time by which an alternate has to be turned to, what the way out says is left there is the reserve; the two are reckoned
// separately. When the reserve is touched nothing else is left.
func TestTheTimeToTurnLeavesTheReserve(t *testing.T) {
	for _, usable := range []float64{20, 24, 28, 31} {
		s := filled(t, 2, usable+2) // right is started on, and need not be changed
		at := s.Airborne.Add(time.Minute)
		state := fly(t, s)
		now := state.At(at)
		require.Len(t, now.Tanks.LatestDivert, 1)
		latest := now.Tanks.LatestDivert[0]
		require.NotNil(t, latest.At, "%v usable: %s", usable, latest.Text)
		require.False(t, latest.AfterArrival, "%v usable: %s", usable, latest.Text)
		require.NotNil(t, now.Tanks.ReserveTouchedAt)

		for leg := range s.Legs { // so that the flight goes on past the leg's ends
			if s.Legs[leg].ETA.Before(*latest.At) {
				state = fly(t, s, legsFlown(s, leg+1)...)
			}
		}
		then := state.At(*latest.At)
		require.Len(t, then.Alternates, 1)
		assert.InDelta(t, s.Fuel.Reserve, then.Alternates[0].Fuel, 0.05, "%v usable: %s", usable, latest.Text)

		for leg := range s.Legs {
			if s.Legs[leg].ETA.Before(*now.Tanks.ReserveTouchedAt) {
				state = fly(t, s, legsFlown(s, leg+1)...)
			}
		}
		assert.InDelta(t, s.Fuel.Reserve, state.At(*now.Tanks.ReserveTouchedAt).Tanks.TotalUsable, 0.05, "%v usable", usable)
	}
}

// Before anything is logged a flight knows what its sheet says: one endurance, also where the levels of a route differ.
func TestTheEnduranceBeforeTheFlightIsTheSheets(t *testing.T) {
	for _, name := range []string{"bearings", "eastward", "exercise", "joining", "lochs", "lochs-four", "lochs-plain", "lochs-short", "lochs-three", "uneven"} {
		s, err := flighttest.SheetsIn(flights + "/plans")(name + ".yaml")
		require.NoError(t, err)
		now := flight.New(s, "live").At(s.Plan.OffBlocks)
		assert.InDelta(t, s.Fuel.EnduranceMinutes, now.Tanks.EnduranceMinutes, 1e-9, name)
	}
}

// legsFlown are the passings of so many legs' ends, as planned.
func legsFlown(s *sheet.Sheet, legs int) []flight.Event {
	var events []flight.Event
	for _, leg := range s.Legs[:legs] {
		events = append(events, flight.Event{T: leg.ETA, Act: flight.Passing, Point: leg.To.Ident})
	}
	return events
}

// An engine that burns more than the table by some factor, and gauges that are off by something each: what is found is the burn, not what
// the gauges are off by.
func TestTheBurnIsFoundWhateverTheGaugesAreOffBy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := lochs()
		more := rapid.Float64Range(0, 8).Draw(t, "more per hour")
		off := map[string]float64{"left": rapid.Float64Range(-2, 2).Draw(t, "left off"), "right": rapid.Float64Range(-2, 2).Draw(t, "right off")}
		state := flight.New(s, "live")
		n := 0
		record := func(e flight.Event) {
			n++
			e.N, e.Rec, e.Confirmed = n, e.T, true
			require.NoError(t, state.Apply(e))
		}
		record(flight.Event{T: s.Airborne, Act: flight.Airborne})
		fedFor := map[string]float64{}
		start := s.Airborne.Add(-time.Duration(s.Plan.TaxiMinutes * float64(time.Minute)))
		last, tank := start, s.Plan.Fuel.StartOn
		for _, at := range []float64{10, 15, 20, 25, 30} {
			moment := s.Airborne.Add(time.Duration(at * float64(time.Minute)))
			fedFor[tank] += moment.Sub(last).Minutes()
			last = moment
			snapshot := state.At(moment)
			tanks := map[string]float64{}
			for name, quantity := range snapshot.Tanks.Quantities {
				tanks[name] = quantity + off[name] - more*fedFor[name]/60
			}
			record(flight.Event{T: moment, Act: flight.Gauges, Tanks: tanks})
			if at == 20 {
				tank = "left"
				record(flight.Event{T: moment, Act: flight.TankChange, Tank: tank})
			}
		}
		now := state.At(last)
		if now.Tanks.GaugeDisagreement != "" {
			t.Skip("a reading counted")
		}
		require.NotNil(t, now.Tanks.Burn)
		require.InDelta(t, now.Tanks.Burn.ReckonedPerHour+more, now.Tanks.Burn.FlowPerHour, 1e-6)
		e := now.Tanks.Endurance
		least := e.PlanMinutes
		if now.Tanks.Burn.Counts {
			least = math.Min(least, *e.GaugesMinutes)
		}
		require.Equal(t, least, now.Tanks.EnduranceMinutes)
	})
}

func TestAnAmendmentCantPutInWhatATankDoesNotHold(t *testing.T) {
	s := lochs()
	at := s.Airborne
	state := fly(t, s, flight.Event{T: at, Act: flight.Gauges, Tanks: map[string]float64{"left": 47}})
	for with, want := range map[string]string{
		`{"tanks":{"left":80}}`:  "left can't hold 80: it is from 0 to 57 L",
		`{"tanks":{"left":-1}}`:  "left can't read -1: it is from 0 to 57 L",
		`{"tanks":{"centre":8}}`: `there is no tank "centre": the aircraft has left, right`,
	} {
		require.EqualError(t, state.Check(flight.Event{T: at, Act: flight.Amend, Event: 2, With: json.RawMessage(with)}), want)
	}
}

// The history begins at off-blocks, stays in order and bounded however much is logged, and what a Snapshot has of it doesn't change.
func TestTheHistoryOfTheTanksIsBounded(t *testing.T) {
	s := lochs()
	state := flight.New(s, "live")
	var early flight.Snapshot
	var kept []flight.TankMoment
	at := s.Plan.OffBlocks
	for n := 1; n <= 1500; n++ {
		e := flight.Event{N: n, T: at, Rec: at, Act: flight.TankChange, Tank: []string{"left", "right"}[n%2]}
		switch n {
		case 1:
			e = flight.Event{N: n, T: at, Rec: at, Act: flight.OffBlocks}
		case 2:
			e = flight.Event{N: n, T: at, Rec: at, Act: flight.Airborne}
		}
		require.NoError(t, state.Apply(e))
		if n == 300 {
			early = state.At(at)
			kept = slices.Clone(early.Tanks.History)
		}
		at = at.Add(20 * time.Second)
	}
	history := state.At(at).Tanks.History
	require.LessOrEqual(t, len(history), 512)
	require.Greater(t, len(history), 200)
	require.Equal(t, s.Plan.OffBlocks, history[0].At)
	for i := 1; i < len(history); i++ {
		require.False(t, history[i].At.Before(history[i-1].At))
	}
	require.Equal(t, kept, early.Tanks.History)
}

// The states of fuel by their definitions, from what else a Snapshot says: ICAO Annex 6 Part I, 4.3.7.2. They never stand where the final
// reserve is kept with time to spare, and nothing that is done silences them.
func TestFuelStatesAreThoseOfTheirDefinition(t *testing.T) {
	short, err := flighttest.SheetsIn(flights + "/plans")("lochs-short.yaml")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, short)
		state, err := flight.Fold(short, flight.Live, events, nil)
		require.NoError(t, err)
		if rapid.Bool().Draw(t, "low") {
			t0, quantity := last(events), rapid.Float64Range(1, 15)
			for _, e := range []flight.Event{
				{Act: flight.Airborne}, {Act: flight.Gauges, Tanks: map[string]float64{"left": quantity.Draw(t, "left"), "right": quantity.Draw(t, "right")}},
			} {
				e.N, e.T, e.Rec, e.Confirmed = len(events)+1, t0, t0, true
				if state.Apply(e) == nil {
					events = append(events, e)
				}
			}
		}
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 5400).Draw(t, "later")) * time.Second))
		kept, elsewhere, aerodromes := false, false, 0
		for _, way := range s.WaysOut.All() {
			if way.Aerodrome() && (way.Minutes > 0 || way.DistanceNM < flight.NearNM) {
				aerodromes++
				asFlown := s.Destination != nil && way.Point == s.Destination.Point && !s.Destination.BelowReserve()
				kept = kept || !way.BelowReserve() || asFlown
				elsewhere = elsewhere || !way.BelowReserve() && (s.Destination == nil || way.Point != s.Destination.Point)
			}
		}
		name := ""
		if s.FuelState != nil {
			name = s.FuelState.Name
			first := s.Notices[0]
			if strings.Contains(first.Text, "no usable fuel left") { // in the tank that feeds: the engine stops before that
				first = s.Notices[1]
			}
			require.Equal(t, flight.Alarm, first.Severity)
			require.Contains(t, first.Text, name)
			require.Contains(t, s.FuelState.Say, name)
		}
		flying := s.Clock.AirborneSeconds != nil && s.Phase != flight.Taxi && s.Phase != flight.Arrived
		require.Equal(t, flying && aerodromes > 0 && !kept, name == flight.MaydayFuel, "%+v", s.FuelState)
		if name == flight.MinimumFuel {
			require.False(t, elsewhere)
			require.False(t, s.Destination.BelowReserve())
			require.Less(t, s.Destination.ExtraMinutes, 10.0)
		}
	})
}

// In a hold the changes of tank are those for the arrival that is shown: as long as the schedule keeps all rules, none that is still to come
// stands in the no-change period before it.
func TestInAHoldNoChangeComesToStandBeforeLanding(t *testing.T) {
	s := lochs()
	quiet := time.Duration(s.Plan.Aircraft.Fuel.QuietBeforeLandingMinutes * float64(time.Minute))
	points := []string{"KVN", "GRN", "OBN"}
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(points)-1).Draw(t, "point")
		events, minutes := []flight.Event{}, 0.0
		for _, point := range points[:at+1] {
			minutes += rapid.Float64Range(12, 19).Draw(t, "leg")
			events = append(events, flight.Event{T: after(s, minutes), Act: flight.Passing, Point: point, Confirmed: true})
		}
		if rapid.Bool().Draw(t, "changed") {
			events = append(events, flight.Event{T: after(s, minutes+0.1), Act: flight.TankChange, Tank: "left"})
		}
		events = append(events, flight.Event{T: after(s, minutes+0.2), Act: flight.Hold, Point: points[at]})
		state := fly(t, s, events...)
		for range 10 {
			moment := after(s, minutes+0.2+rapid.Float64Range(0, 60).Draw(t, "held"))
			now := state.At(moment)
			if now.Tanks.ScheduleProblem != "" {
				continue
			}
			for _, change := range now.Tanks.Planned {
				if change.At.After(moment.Add(time.Minute)) { // the hold is taken to go on for the minute
					require.LessOrEqual(t, change.At, now.Destination.ETA.Add(time.Minute-quiet), "a change to %s at %s, held until %s", change.To, change.At, moment)
				}
			}
		}
	})
}

// Whenever one looks, the changes to come lead from tank to tank, the first away from the one in use: nothing of the schedule is left out,
// however long a change is overdue and whatever was done instead.
func TestChangesToComeLeadFromTankToTank(t *testing.T) {
	s, err := flighttest.SheetsIn(flights + "/plans")("lochs-three.yaml")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		events := journalOf(t, s, []flight.Act{flight.Airborne, flight.Airborne, flight.Passing, flight.Passing, flight.TankChange, flight.Gauges, flight.Hold, flight.Unhold})
		state, err := flight.Fold(s, "live", events, nil)
		require.NoError(t, err)
		now := last(events)
		for range 3 {
			now = now.Add(time.Duration(rapid.IntRange(0, 1500).Draw(t, "later")) * time.Second)
			snapshot := state.At(now)
			feeds := snapshot.Tanks.Selected
			for i, change := range snapshot.Tanks.Planned {
				require.NotEqual(t, feeds, change.To, "change %d of %+v at %s", i, snapshot.Tanks.Planned, now)
				feeds = change.To
			}
		}
	})
}

// TestWhatIsBurnedIsTheFlowThatIsShown: whatever was logged, in each second that much less is in the tanks; climb is burned in a climb only.
func TestWhatIsBurnedIsTheFlowThatIsShown(t *testing.T) {
	overdue := fly(t, lochs(), legsFlown(lochs(), 1)...) // over where the way climbs
	burnedAsShown(t, overdue, lochs().Legs[1].ETA.Add(3*time.Minute))
	assert.Equal(t, flight.Cruising, overdue.Look(lochs().Legs[1].ETA.Add(3*time.Minute)).Phase())
	rapid.Check(t, func(t *rapid.T) {
		s := lochs()
		events := journal(t, s)
		state, err := flight.Fold(s, "live", events, nil)
		require.NoError(t, err)
		last := events[0].T
		for _, e := range events {
			if e.T.After(last) {
				last = e.T
			}
		}
		at := last.Add(time.Duration(rapid.IntRange(1, 2400).Draw(t, "after")) * time.Second)
		burnedAsShown(t, state, at)
	})
}

func burnedAsShown(t require.TestingT, state *flight.State, at time.Time) {
	now, then := state.Look(at).Tanks(), state.Look(at.Add(time.Second)).Tanks()
	for _, tank := range then.Tanks {
		if tank.Quantity == 0 {
			return // dry: it gives no more
		}
	}
	burned := 0.0
	for i := range now.Tanks {
		burned += now.Tanks[i].Quantity - then.Tanks[i].Quantity
	}
	if now.FlowPerHour == then.FlowPerHour { // no other part of the flight began in this second
		assert.InDelta(t, now.FlowPerHour, burned*3600, 1e-4, "%s: burned against the flow that is shown", state.Look(at).Phase())
	}
	if phase := state.Look(at).Phase(); phase == flight.Climbing {
		assert.Equal(t, "climb", now.Endurance.At)
	}
}

// TestATankIsLateFromTheLimitOn: a change of tank that is left is late from when the limit was passed, however often the changes are planned again since.
func TestATankIsLateFromTheLimitOn(t *testing.T) {
	s := lochs()
	state := fly(t, s, legsFlown(s, 1)...)
	var limit *time.Time
	for at := s.Legs[0].ETA.Add(time.Second); at.Before(s.Legs[1].ETA); at = at.Add(time.Second) {
		now := state.At(at)
		i := slices.IndexFunc(now.Prompts, func(p flight.Prompt) bool { return p.Kind == flight.PromptTank && p.Open() })
		require.GreaterOrEqual(t, i, 0)
		if now.Tanks.LimitAt != nil && !now.Tanks.LimitAt.After(at) && limit == nil {
			limit = now.Tanks.LimitAt
		}
		if limit != nil {
			require.NotNil(t, now.Prompts[i].LateAt)
			require.False(t, now.Prompts[i].LateAt.After(*limit), "at %s late from %s, the limit was passed at %s", at, now.Prompts[i].LateAt, limit)
		}
	}
	require.NotNil(t, limit)
}
