package flight_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// levelInWind is a flight of the level plan through a wind that was told before take-off.
func levelInWind(t *testing.T, from, speed float64, events ...flight.Event) (*sheet.Sheet, *flight.State) {
	t.Helper()
	s := level(t, 100, 8, along(30, 40), along(130, 30))
	return s, fly(t, s, append([]flight.Event{{T: s.Airborne, Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed}}, events...)...)
}

// Two legs, 030 for 40 nm and 130 for 30 nm, TAS 100 in a wind of 240/18: 38.026 minutes; six minutes later at the end take a TAS of
// 85.147 kt, two earlier one of 106.067 kt (scipy 1.10.1, optimize.brentq over numpy's vectors of air and wind).
func TestTheSpeedForATimeThatIsWanted(t *testing.T) {
	s, state := levelInWind(t, 240, 18)
	eta := state.At(s.Airborne).Destination.ETA
	require.InDelta(t, 38.026*60, eta.Sub(s.Airborne).Seconds(), 0.5+0.005*60) // shown to the whole second
	s.Plan.Aircraft.Cruise.Table = append(s.Plan.Aircraft.Cruise.Table,        // a power that is fast enough
		plan.CruiseRow{AltitudeFt: 0, Power: 75, TASKt: 110, FlowPerHour: 10}, plan.CruiseRow{AltitudeFt: 8000, Power: 75, TASKt: 110, FlowPerHour: 10})
	faster, problems := sheet.Compute(s.Plan)
	require.NotNil(t, faster, "%v", problems)
	from, speed := 240.0, 18.0
	for later, tasKt := range map[time.Duration]float64{6 * time.Minute: 85.147, -2 * time.Minute: 106.067} {
		wanted := after(s, 38.026).Add(later)
		state := fly(t, faster, flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed},
			flight.Event{T: s.Airborne, Act: flight.Cross, Point: "P2", Wanted: &wanted})
		c := state.At(s.Airborne).Crossing
		require.InDelta(t, later.Seconds(), *c.LoseSeconds, 0.6) // against an ETA to the whole second
		require.NotNil(t, c.Speed, c.Problem)
		require.InDelta(t, tasKt, c.Speed.TASKt, 0.02)
	}
}

// What an airspeed is found for is what it does: told to the flight, the ETA becomes the time that was wanted.
func TestTheSpeedFoundBringsTheTimeWanted(t *testing.T) {
	s, state := levelInWind(t, 240, 18)
	wanted := state.At(s.Airborne).Destination.ETA.Add(6 * time.Minute)
	tas := 85.147
	from, speed := 240.0, 18.0
	state = fly(t, s, flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed},
		flight.Event{T: s.Airborne, Act: flight.Cross, Point: "P2", Wanted: &wanted},
		flight.Event{T: s.Airborne, Act: flight.Airspeed, TAS: &tas})
	require.InDelta(t, 0, *state.At(s.Airborne).Crossing.LoseSeconds, 1)
}

// Six minutes at 8 gallons an hour; at the last route point before the one that a time is wanted of.
func TestTheHoldForATimeThatIsWanted(t *testing.T) {
	s, state := levelInWind(t, 240, 18)
	before := state.At(s.Airborne)
	wanted := before.Destination.ETA.Add(30 * time.Minute)
	require.NoError(t, state.Apply(flight.Event{N: 3, T: s.Airborne, Rec: s.Airborne, Act: flight.Cross, Point: "P2", Wanted: &wanted}))
	c := state.At(s.Airborne).Crossing
	require.Nil(t, c.Speed, "the slowest, that of the climb, is too fast")
	require.Contains(t, c.Problem, "slowing to IAS 80 loses")
	require.Equal(t, "P1", c.Hold.Point)
	require.InDelta(t, 30, c.Hold.Minutes, 0.01)
	require.InDelta(t, 4, c.Hold.Fuel, 0.01)
	require.Equal(t, *before.Route[1].Revised, c.Hold.Enter)
	require.WithinDuration(t, c.Hold.Enter.Add(30*time.Minute), c.Hold.Leave, time.Second)
}

// Straight from P0 to the end of legs of 058 for 40 nm and 150 for 25 nm on the ellipsoid: 46.42450 nm, azimuth 90.56070 half-way
// (GeographicLib 2.0); at TAS 100 in a wind of 240/18 that is heading 095.8118, 115.07995 kt, 24.20465 minutes (numpy 1.24.2).
func TestAWayOut(t *testing.T) {
	s := level(t, 100, 8, along(58, 40), along(150, 25))
	from, speed := 240.0, 18.0
	state := fly(t, s, flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed})
	now := state.At(s.Airborne)
	for _, way := range now.WaysOut.All() {
		if way.Point != "P2" {
			continue
		}
		require.InDelta(t, 46.42450, way.DistanceNM, 1e-4)
		require.InDelta(t, 24.20465, way.Minutes, 1e-3)
		require.InDelta(t, 95.8118-90.5607, way.HeadingMagnetic-way.TrackMagnetic, 1e-3)
		require.InDelta(t, 100-8*24.20465/60, way.Fuel, 1e-3)
		require.InDelta(t, way.HeadingMagnetic-*now.Steer.HeadingMagnetic, *way.Turn, 1e-6)
		return
	}
	t.Fatal("P2 is a way out")
}

// 5,500 ft to a circuit of 1,450 ft at 500 ft/min and a groundspeed of 112 kt: 8.10 minutes, 15.12 nm, as taught 12.15 nm (case 12.16,
// definition).
func TestTopOfDescent(t *testing.T) {
	s := level(t, 100, 8, along(90, 60))
	p := s.Plan
	p.Points[1].Kind, p.Points[1].ElevationFt, p.Points[1].CircuitFt = plan.Aerodrome, 450, 1000
	p.Points[0].ElevationFt, p.Route.Legs[0].Level = 5500, plan.Level{AltitudeFt: 5500}
	const half = (5500 + 1450) / 2
	tail := 112 - air.TASFromCAS(p.Aircraft.Descent.IASKt, air.PressureAltitudeFt(half, p.Conditions.QNH), air.ISATemperatureC(half))
	p.Conditions.Winds = []plan.WindLevel{{AltitudeFt: 4000, FromTrue: 270, SpeedKt: tail}}
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	state := fly(t, s)
	d := state.At(s.Airborne).Descent
	require.NotNil(t, d)
	require.InDelta(t, 8.10, d.Minutes, 0.01)
	require.InDelta(t, 112, d.GroundspeedKt, 0.1)
	require.InDelta(t, 15.12, d.BeforeNM, 0.02)
	require.InDelta(t, 12.15, d.TaughtNM, 1e-9)
	require.False(t, d.Late)
	require.Nil(t, d.NeededFtMin)

	// Three minutes late at 100 kt and the tailwind: what is left of 15.12 nm is flown in the rest of the time.
	late := d.LeaveAt.Add(3 * time.Minute)
	d = state.At(late).Descent
	require.True(t, d.Late)
	require.InDelta(t, deadreckon.RateForDistance(4050, d.ToGoNM, d.GroundspeedKt), *d.NeededFtMin, 1e-6)
	require.InDelta(t, 4050/(8.10-3), *d.NeededFtMin, 15, "the way down is a little slower than the level")
	require.Less(t, math.Abs(d.ToGoNM-(15.12-3.0/60*112)), 0.2)
}

func TestHowAPointIsToBeCrossed(t *testing.T) {
	at := func(minute, second int) time.Time { return time.Date(2026, 6, 14, 9, minute, second, 0, time.UTC) }
	wanted := func(lose float64, change func(*flight.CrossingNow)) *flight.CrossingNow {
		c := &flight.CrossingNow{Point: "GRN", Wanted: new(at(52, 0)), LoseSeconds: &lose}
		if change != nil {
			change(c)
		}
		return c
	}
	slower := func(c *flight.CrossingNow) {
		c.Speed, c.Hold = &flight.SpeedWanted{IASKt: 81.6}, &flight.HoldWanted{Leave: at(36, 35)}
	}
	descent := &flight.DescentNow{ToFt: 2500, LeaveAt: at(44, 10)}
	late := &flight.DescentNow{ToFt: 2500, LeaveAt: at(44, 10), NeededFtMin: new(551.0)}
	for want, got := range map[string]string{
		"":                          (*flight.CrossingNow)(nil).Said(descent),
		"GRN at 09:52:00Z, on time": wanted(-9, nil).Said(nil),
		"GRN at 09:52:00Z, 2:35 to lose: IAS 82 or hold here until 09:36:35Z": wanted(155, slower).Said(nil),
		"GRN at 09:52:00Z, 10:15 to lose: hold at KVN until 09:46:00Z":        wanted(615, func(c *flight.CrossingNow) { c.Hold = &flight.HoldWanted{Point: "KVN", Leave: at(46, 0)} }).Said(nil),
		"GRN at 09:52:00Z, 2:35 to lose: take off so much later":              wanted(155, func(c *flight.CrossingNow) { c.Problem = "take off so much later" }).Said(nil),
		"GRN at 09:52:00Z, 1:00 to make up: IAS 99":                           wanted(-60, func(c *flight.CrossingNow) { c.Speed = &flight.SpeedWanted{IASKt: 99} }).Said(nil),
		"GRN at 09:52:00Z, too early: at IAS 94 it is 09:49:24Z":              wanted(-265, func(c *flight.CrossingNow) { c.Problem = "too early: at IAS 94 it is 09:49:24Z" }).Said(nil),
		"GRN at 2500 ft: top of descent 09:44:10Z":                            (&flight.CrossingNow{Point: "GRN", AltitudeFt: new(2500.0)}).Said(descent),
		"GRN at 09:52:00Z, on time, at 2500 ft: 551 ft/min from here":         wanted(0, func(c *flight.CrossingNow) { c.AltitudeFt = new(2500.0) }).Said(late),
		"GRN at 3000 ft": (&flight.CrossingNow{Point: "GRN", AltitudeFt: new(3000.0)}).Said(descent),
	} {
		require.Equal(t, want, got)
	}
}
