package practice

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// rig is a practice flight by hand, with events recorded at the flight times that the test says.
type rig struct {
	*Flight
	t     require.TestingT
	count int
	start time.Time
}

func demoSheet(t require.TestingT) *sheet.Sheet {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.False(t, plan.HasErrors(problems), "%v", problems)
	s, problems := sheet.Compute(p)
	require.False(t, plan.HasErrors(problems), "%v", problems)
	return s
}

// seated is a flight with the hands on, just airborne.
func seated(t require.TestingT, seed uint64) *rig {
	s := demoSheet(t)
	r := &rig{Flight: NewFlight(s, Hidden{Seed: seed}), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	r.does(0, flight.Event{Act: flight.Hands, Hands: "on"})
	r.does(0, flight.Event{Act: flight.OffBlocks})
	r.does(5, flight.Event{Act: flight.Airborne})
	return r
}

// does records an event so many minutes after off-blocks.
func (r *rig) does(minutes float64, e flight.Event) {
	r.count++
	e.N, e.T, e.Confirmed = r.count, r.at(minutes), true
	e.Rec = e.T
	require.NoError(r.t, r.Check(e), "%v", flight.Describe(e))
	require.NoError(r.t, r.Apply(e))
}

func (r *rig) at(minutes float64) time.Time {
	return r.start.Add(time.Duration(minutes * float64(time.Minute)))
}

func (r *rig) craft(minutes float64) craft { return r.world.to(r.at(minutes)) }

func steer(heading float64) flight.Event {
	return flight.Event{Act: flight.Steering, Heading: &heading}
}

// Forty minutes' dead reckoning from heading, airspeed and wind, a triangle for every four of them, leads to where the seconds led, but
// for the gusts and the hand. What wanders with a standard error s and is forgotten in a time c moves the aircraft in a time t by
// s × √(2ct) (the integral of an Ornstein-Uhlenbeck process, t much longer than c).
func TestSteeringIntegratesHeadingAirspeedAndWind(t *testing.T) {
	for seed := range uint64(8) {
		r := seated(t, seed)
		compass := float64(40 + 40*seed)
		r.does(5.1, steer(compass))
		const from, until, piece = 14, 54, 4
		before, after := r.craft(from), r.craft(until)
		require.Equal(t, sheet.Cruise, before.phase)
		wind, _ := r.world.air.Layers.At(before.altitudeFt)
		want := before.at
		for range (until - from) / piece {
			field, err := earth.Variation(want, before.altitudeFt, r.world.sheet.Plan.OffBlocks)
			require.NoError(t, err)
			track, speed := deadreckon.TrackFor(r.world.magneticOf(compass)+field, before.tasKt, wind)
			want, _ = earth.Direct(want, track, deadreckon.Distance(speed, piece))
		}
		moved := func(sigmaKt, forgottenSeconds float64) float64 {
			return sigmaKt / 3600 * math.Sqrt(2*forgottenSeconds*60*(until-from))
		}
		sigma := math.Hypot(moved(gustLeastKt+gustShare*wind.SpeedKt, gustSeconds), moved(before.tasKt*angle.Sin(heldErrorDeg), heldSeconds))
		off := earth.Inverse(want, after.at).DistanceNM
		assert.Less(t, off, 4*sigma, "seed %d", seed)
		assert.Greater(t, off, sigma/50, "seed %d: there are gusts", seed)

		flown, err := r.world.sheet.Route.Perform(sheet.Cruise, before.altitudeFt, r.world.air)
		require.NoError(t, err)
		assert.InDelta(t, flown.TASKt, before.tasKt, 1e-9)
	}
}

// A standard rate turn is 3° a second: 180° in a minute (Instrument Flying Handbook).
func TestTurnsAreStandardRateAndTheShortWay(t *testing.T) {
	r := seated(t, 1)
	r.does(6, steer(90))
	require.InDelta(t, 0, angle.Turn(r.world.magneticOf(90), r.craft(9).magnetic), 0.01)
	r.does(10, steer(270.5))
	half := r.craft(10.5).magnetic
	assert.InDelta(t, 90, math.Abs(angle.Turn(r.world.magneticOf(90), half)), 3.1)
	assert.InDelta(t, 0, angle.Turn(r.world.magneticOf(270.5), r.craft(11.1).magnetic), 0.01)
	r.does(12, steer(10))
	assert.Positive(t, angle.Turn(270, r.craft(12.2).magnetic), "right, the short way, through north")
	assert.InDelta(t, 0, angle.Turn(r.world.magneticOf(10), r.craft(12.7).magnetic), 0.01)
}

// The climb is the table's: the reckoner that made the sheet comes to the level at the same time, gusts being horizontal.
func TestClimbAndDescentAreTheTables(t *testing.T) {
	r := seated(t, 3)
	way, err := r.world.sheet.Route.Reckon(sheet.Start{AltitudeFt: r.world.sheet.Route.Legs[0].From.ElevationFt}, r.world.air)
	require.NoError(t, err)
	leg, after, ok := way.TopOfClimb()
	require.True(t, ok)
	minutes, _ := way.MinutesTo(leg, after)
	assert.Less(t, r.craft(5+minutes-0.2).altitudeFt, 3485.0)
	assert.InDelta(t, 3500, r.craft(5+minutes+0.2).altitudeFt, 1)

	r.does(20, flight.Event{Act: flight.Controls, Altitude: new(2500.0)})
	assert.InDelta(t, 3000, r.craft(21).altitudeFt, 10, "500 ft a minute")
	assert.InDelta(t, 2500, r.craft(23).altitudeFt, 1)
	r.does(24, flight.Event{Act: flight.Controls, Altitude: new(3000.0)})
	assert.InDelta(t, 3000, r.craft(26).altitudeFt, 1)
}

func TestAnEmptyTankStopsTheEngineAndAnotherRestartsIt(t *testing.T) {
	s := demoSheet(t)
	s.Plan.Fuel.OnBoard = map[string]float64{"left": 30, "right": 8}
	r := &rig{Flight: NewFlight(s, Hidden{Seed: 4}), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	r.does(0, flight.Event{Act: flight.Hands, Hands: "on"})
	r.does(0, flight.Event{Act: flight.OffBlocks})
	r.does(2, flight.Event{Act: flight.Airborne})
	stood := 0.0
	for minute := 2.0; minute < 30 && stood == 0; minute += 1.0 / 60 {
		if r.craft(minute).standing > 0 {
			stood = minute
		}
	}
	require.NotZero(t, stood)
	burn := (2*s.Plan.Aircraft.TaxiFlow + (stood-2)*26) / 60 // climb at 29 to 27 litres an hour, cruise at 22
	assert.InDelta(t, 6, burn, 0.6, "what was usable, at some 26 litres an hour")
	assert.Equal(t, EngineFalters, r.View(r.at(stood-0.3)).Seat.Panel.Engine)
	assert.Contains(t, r.View(r.at(stood+0.1)).Seat.Trouble, "THE ENGINE HAS STOPPED: the right tank is empty")
	assert.Equal(t, EngineStopped, r.View(r.at(stood+0.1)).Seat.Panel.Engine)
	high := r.craft(stood).altitudeFt
	assert.InDelta(t, high-glideFtMin, r.craft(stood+1).altitudeFt, 20)

	r.does(stood+1, flight.Event{Act: flight.TankChange, Tank: "left"})
	assert.Contains(t, r.View(r.at(stood+1.08)).Seat.Trouble, "catching")
	assert.Equal(t, EngineRuns, r.View(r.at(stood+1.3)).Seat.Panel.Engine)
	assert.Greater(t, r.craft(stood+3).altitudeFt, r.craft(stood+1.3).altitudeFt)
	assert.InDelta(t, 2, r.craft(stood + 5).tanks[1], 1e-9, "what can't be used stays")
}

// Without an engine the flight ends in a field, and the program says so.
func TestNoFuelEndsInAField(t *testing.T) {
	s := demoSheet(t)
	s.Plan.Fuel.OnBoard = map[string]float64{"left": 2, "right": 8}
	r := &rig{Flight: NewFlight(s, Hidden{Seed: 4}), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	r.does(0, flight.Event{Act: flight.Hands, Hands: "on"})
	r.does(0, flight.Event{Act: flight.OffBlocks})
	r.does(2, flight.Event{Act: flight.Airborne})
	c := r.craft(60)
	require.True(t, c.down)
	e, ok := r.NextEvent(r.At(r.at(60)), r.at(60))
	require.True(t, ok)
	assert.Equal(t, flight.Landed, e.Act)
	r.does(60, e)
	report := r.Report(r.at(61))
	last := report.Happenings[len(report.Happenings)-1]
	assert.Contains(t, last.Text, "came down in a field")
}

// scripted is a drawn flight by hand: what is done when.
func scripted(t *rapid.T) *rig {
	r := seated(t, rapid.Uint64Range(0, 50).Draw(t, "seed"))
	minute := 5.5
	for range rapid.IntRange(1, 12).Draw(t, "acts") {
		minute += rapid.Float64Range(0.05, 6).Draw(t, "after")
		e := rapid.SampledFrom([]flight.Event{
			steer(rapid.Float64Range(1, 360).Draw(t, "heading")),
			{Act: flight.TankChange, Tank: "left"},
			{Act: flight.TankChange, Tank: "right"},
			{Act: flight.Controls, Altitude: new(rapid.Float64Range(2000, 5000).Draw(t, "altitude"))},
			{Act: flight.Tuned, Receiver: "NAV1", Beacon: "LKM"},
			{Act: flight.Void, Event: rapid.IntRange(5, max(5, r.count)).Draw(t, "void")},
			{Act: flight.Passing, Point: rapid.SampledFrom([]string{"DAM", "LKM", "FNW"}).Draw(t, "point")},
			{Act: flight.Hands, Hands: "off"},
			{Act: flight.Hands, Hands: "on"},
		}).Draw(t, "act")
		e.Confirmed = true
		r.count++
		e.N, e.T = r.count, r.at(minute)
		e.Rec = e.T
		if r.Check(e) != nil {
			r.count--
			continue
		}
		require.NoError(t, r.Apply(e))
	}
	return r
}

// Whoever asks, however often and in whatever order, the same flight has the same places; and a journal folded at once gives the flight
// that was flown as its entries came.
func TestTheWorldIsAFunctionOfTheEvents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := scripted(t)
		var events []flight.Event
		for _, taken := range r.world.taken {
			events = append(events, *taken.Event)
		}
		again, err := Fold(r.world.sheet, Hidden{Seed: r.world.seed}, events)
		require.NoError(t, err)
		for range 12 {
			at := r.at(rapid.Float64Range(0, 80).Draw(t, "look"))
			require.Equal(t, again.world.to(at), r.world.to(at))
			require.Equal(t, again.world.Sights(at), r.world.Sights(at))
		}
	})
}

// Taking an act back moves the hand back and leaves what was flown.
func TestVoidTakesTheHandBackNotTheFlight(t *testing.T) {
	r := seated(t, 2)
	r.does(6, steer(60))
	r.does(10, steer(200))
	turned := r.craft(12)
	r.does(12, flight.Event{Act: flight.Void, Event: r.count})
	assert.Equal(t, turned.at, r.craft(12).at)
	assert.InDelta(t, 0, angle.Turn(r.world.magneticOf(60), r.craft(14).magnetic), 0.01, "back on the heading before")
}

// Handing over by mistake is taken back as if it had never been: the flight is that of one who did not.
func TestHandingOverIsTakenBack(t *testing.T) {
	never, mistaken := seated(t, 2), seated(t, 2)
	for _, r := range []*rig{never, mistaken} {
		r.does(6, steer(30))
	}
	mistaken.does(14, flight.Event{Act: flight.Hands, Hands: "off"})
	assert.NotEqual(t, never.craft(17).at, mistaken.craft(17).at)
	mistaken.does(17, flight.Event{Act: flight.Void, Event: mistaken.count})
	assert.Equal(t, never.craft(20).at, mistaken.craft(20).at)
	assert.True(t, mistaken.world.handsOn)
}

// A hand is seen where it was put in the moment in which it moved, also while the clock stands.
func TestTheHandMovesAtOnce(t *testing.T) {
	r := seated(t, 2)
	before := r.craft(9.005)
	r.does(9.005, steer(123))
	seat := r.View(r.at(9.005)).Seat
	assert.Equal(t, 123.0, *seat.Panel.Steering)
	assert.Equal(t, before.at, r.craft(9.005).at)
}

// A clock that is set back takes the flight back: it can be flown again from there, otherwise.
func TestAClockSetBackTakesTheFlightBack(t *testing.T) {
	r := seated(t, 2)
	r.does(6, steer(60))
	at := r.craft(12)
	r.does(12.5, steer(200))
	there := r.craft(30)
	back := r.at(12)
	r.count++
	require.NoError(t, r.Apply(flight.Event{N: r.count, Act: flight.Clock, T: back, Rec: r.at(30), Set: &back}))
	assert.Equal(t, at.at, r.craft(12).at)
	assert.Greater(t, earth.Inverse(there.at, r.craft(30).at).DistanceNM, 5.0, "the turn to 200 has not been flown")
}

// Hands off again, the aircraft goes straight to the end of the leg and on from there, and the program logs it.
func TestHandingBackGoesOnFromWhereOneIs(t *testing.T) {
	r := seated(t, 5)
	r.does(6, steer(0))
	before := r.craft(14)
	r.does(14, flight.Event{Act: flight.Hands, Hands: "off"})
	assert.Less(t, earth.Inverse(before.at, r.craft(14.1).at).DistanceNM, 0.5)
	lkm, _ := r.world.sheet.Plan.Point("LKM")
	_, distance := r.world.nearest(lkm.At, r.at(14), r.at(60))
	assert.Less(t, distance, 0.1)
	logged := map[flight.Act]int{}
	for minute := 14.0; minute < 120; minute += 0.25 {
		for e, ok := r.NextEvent(r.At(r.at(minute)), r.at(minute)); ok; e, ok = r.NextEvent(r.At(r.at(minute)), r.at(minute)) {
			r.count++
			e.N, e.Rec, e.Confirmed = r.count, r.at(minute), true
			require.NoError(t, r.Apply(e))
			logged[e.Act]++
		}
	}
	assert.Equal(t, 1, logged[flight.Landed])
	assert.GreaterOrEqual(t, logged[flight.Passing], 5)
}

func TestWhatCantBeDoneFromThisSeat(t *testing.T) {
	r := seated(t, 1)
	refused := func(minutes float64, e flight.Event, why string) {
		e.T, e.Rec = r.at(minutes), r.at(minutes)
		require.ErrorContains(t, r.Check(e), why)
	}
	refused(20, flight.Event{Act: flight.Landed}, "there is no aerodrome here: land within 3 nm of one")
	refused(6, flight.Event{Act: flight.Controls, Altitude: new(200.0)}, "too low")
	refused(6, flight.Event{Act: flight.Controls, Receiver: "NAV9", Course: new(90.0)}, `no course on "NAV9"`)
	refused(6, flight.Event{Act: flight.Answered, Prompt: "eta-3", Text: "10:42"}, "no such question")
	r.does(7, flight.Event{Act: flight.Hands, Hands: "off"})
	refused(8, flight.Event{Act: flight.Controls, Altitude: new(2000.0)}, "the program flies: h takes over")
}

// Where the reckoner has no way on, the program does not take over.
func TestTheProgramTakesOverOnlyWhereItCanFlyOn(t *testing.T) {
	r := seated(t, 1)
	r.does(6, steer(120))
	here := r.craft(20)
	r.does(20, flight.Event{Act: flight.Divert, To: "home", At: &here.at})
	at := r.at(20)
	err := r.Check(flight.Event{Act: flight.Hands, Hands: "off", T: at, Rec: at})
	require.ErrorContains(t, err, "the program can't fly on from here")
	r.does(24, flight.Event{Act: flight.Hands, Hands: "off"})
}

func BenchmarkAnHourByHand(b *testing.B) {
	for b.Loop() {
		r := seated(b, 1)
		r.craft(65)
	}
}
