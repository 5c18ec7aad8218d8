package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// TestProblems: what does not hold is said, at its place and with its weight.
func TestProblems(t *testing.T) {
	safe := 3000.0
	for _, c := range []struct {
		name     string
		plan     *plan.Plan
		change   func(*plan.Plan)
		severity plan.Severity
		path     string
		text     string // a regular expression
	}{
		{
			"a level for which a leg is too short", bent(0, 4000, bentLeg{3, 4000}, bentLeg{30, 4000}), nil,
			plan.Note, "route.legs[0].altitude", `^4000 ft is not reached on this leg: at A the climb has come to 1\d\d\d ft$`,
		},
		{
			"a level that the descent passes by", bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 4500}), nil,
			plan.Note, "route.legs[1].altitude", `^4500 ft is not flown: the descent to B begins before the leg$`,
		},
		{
			"below the safe altitude in the climb", bent(0, 4000, bentLeg{30, 4000}),
			func(p *plan.Plan) { p.Route.Legs[0].SafeAltitudeFt = &safe },
			plan.Note, "route.legs[0].safe_altitude", `^P0 to A: below the MSA of 3000 ft in the climb, for the first 6\.0 nm$`,
		},
		{
			"below the safe altitude in the descent", bent(4000, 1000, bentLeg{30, 4000}),
			func(p *plan.Plan) { p.Route.Legs[0].SafeAltitudeFt = &safe },
			plan.Note, "route.legs[0].safe_altitude", `^P0 to A: below the MSA of 3000 ft in the descent, for the last 6\.7 nm$`,
		},
		{
			"below the safe altitude in the descent and level after it", bent(4000, 1000, bentLeg{30, 4000}),
			func(p *plan.Plan) {
				two := 2.0
				p.Route.LevelBeforeNM = &two
				p.Route.Legs[0].SafeAltitudeFt = &safe
			},
			plan.Note, "route.legs[0].safe_altitude", `^P0 to A: below the MSA of 3000 ft in the descent, for the last 8\.7 nm$`,
		},
		{
			"a beacon below the horizon at take-off", bent(0, 4000, bentLeg{50, 4000}),
			func(p *plan.Plan) {
				p.Points[1].Kind, p.Points[1].RangeNM, p.Points[1].ElevationFt = plan.VOR, 60, 0
				p.Route.Legs[0].Radio = []plan.RadioStep{{Receiver: "NAV1", Beacon: "A"}}
			},
			plan.Note, "route.legs[0].radio[0]", `^A is due on NAV1 at 09:18Z, at 0 ft, but is received from 09:2[01]Z, at 1[45]\d\d ft$`,
		},
		{
			"too little fuel for the way", level(360, 100, 100, 80, air.Wind{}),
			func(p *plan.Plan) { p.Fuel.OnBoard = map[string]float64{"left": 20, "right": 30} },
			plan.Error, "fuel.on_board", `^the fuel does not last to ZZZ: taxi and trip take 81\.1 L, usable are 46\.0 L$`,
		},
		{
			"into the reserve", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) {
				p.Fuel.OnBoard = map[string]float64{"left": 10, "right": 10}
				p.Fuel.ReserveMinutes, p.Fuel.ReserveSource = 60, plan.ReserveFromPlan
			},
			plan.Error, "fuel.on_board", `^the fuel on arrival is 6\.9 L, below the final reserve of 16\.0 L: 60 min at the flow of holding, by the plan$`,
		},
		{
			"required but not on board", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) {
				p.Fuel.OnBoard = map[string]float64{"left": 10, "right": 10}
				p.Fuel.ReserveMinutes, p.Fuel.ReserveSource, p.Fuel.ContingencyPercent = 20, plan.ReserveFromPlan, 30
			},
			plan.Error, "fuel.on_board", `^the fuel is 0\.8 L short: the minimum block fuel is 16\.8 L and 16\.0 L are usable$`,
		},
		{
			"a reserve that the rule chose", level(360, 100, 100, 8, air.Wind{}), nil,
			plan.Note, "fuel.reserve_minutes", `largest published minimum for the time of arrival is kept, 30 min by day at normal cruise \(14 CFR 91\.151\), 4\.0 L$`,
		},
		{
			// 14 CFR 91.151: 45 minutes by night, for the time of arrival.
			"a reserve for the day on a flight that arrives by night", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) {
				p.OffBlocks = time.Date(2026, 6, 14, 21, 0, 0, 0, time.UTC)
				p.Fuel.ReserveMinutes, p.Fuel.ReserveSource = 20, plan.ReserveFromPlan
			},
			plan.Caution, "fuel.reserve_minutes",
			`^the final reserve of 20 min at the flow of holding, by the plan, 5\.3 L, is less than the published minimum for the arrival at .*: 45 min by night at normal cruise \(14 CFR 91\.151\), 6\.0 L$`,
		},
		{
			"above the limit at the start", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) {
				p.Fuel.OnBoard, p.Fuel.StartOn = map[string]float64{"left": 40, "right": 46}, "right"
				p.Aircraft.Fuel.MaxImbalance = new(3.0)
			},
			plan.Caution, "fuel.on_board", `^tanks: above the imbalance limit before take-off: right is heavier than left by 6\.0 L at off blocks and 4\.9 L at take-off, limit 3 L: 3\.0 L over$`,
		},
		{
			"tanks that can't be kept level", level(360, 100, 100, 20, air.Wind{}),
			func(p *plan.Plan) { p.Aircraft.Fuel.MaxImbalance = new(0.1) },
			plan.Caution, "aircraft.fuel.max_imbalance", `^tanks: at \d\d:\d\dZ the imbalance of left and right`,
		},
		{
			"an arrival in twilight", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) { p.OffBlocks = time.Date(2026, 6, 14, 19, 45, 0, 0, time.UTC) },
			plan.Caution, "off_blocks", `^ZZZ is reached at 20:53Z, in twilight: the sun set at 20:3\dZ$`,
		},
		{
			"an arrival by night", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) { p.OffBlocks = time.Date(2026, 6, 14, 21, 0, 0, 0, time.UTC) },
			plan.Caution, "off_blocks", `^ZZZ is reached at 22:08Z, by night: civil twilight ended at 21:2\dZ$`,
		},
		{
			"an arrival in the polar night", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) {
				p.OffBlocks = time.Date(2026, 12, 21, 10, 0, 0, 0, time.UTC)
				p.Points[0].At, p.Points[1].At = earth.Position{Lat: 80, Lon: 10}, earth.Position{Lat: 81, Lon: 10}
			},
			plan.Caution, "off_blocks", `by night: there is no civil twilight that day$`,
		},
		{
			"an alternate by night", lochs(),
			func(p *plan.Plan) { p.OffBlocks = p.OffBlocks.Add(12 * time.Hour) },
			plan.Note, "off_blocks", `^STR is reached at 22:27Z, by night`,
		},
		{
			"an alternate at the destination", level(360, 100, 100, 8, air.Wind{}),
			func(p *plan.Plan) { p.Fuel.Alternate = "ZZZ" },
			plan.Caution, "fuel.alternate", `^no fuel is planned for the alternate`,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.change != nil {
				c.change(c.plan)
			}
			s, problems := sheet.Compute(c.plan)
			require.NotNil(t, s)
			assert.Equal(t, problems, s.Problems)
			var there []plan.Problem
			for _, problem := range problems {
				if problem.Path == c.path && problem.Severity == c.severity {
					there = append(there, problem)
				}
			}
			require.NotEmpty(t, there, "%v", problems)
			assert.Regexp(t, c.text, there[0].Text)
			for i := 1; i < len(problems); i++ {
				assert.False(t, problems[i].Severity == plan.Error && problems[i-1].Severity != plan.Error, "the gravest first")
			}
		})
	}
}

// TestNothingToSay: a plan that holds has no caution.
func TestNothingToSay(t *testing.T) {
	_, problems := sheet.Compute(lochs())
	for _, problem := range problems {
		assert.Equal(t, plan.Note, problem.Severity, problem.String())
	}
}

// TestReserve: by the plan, at the holding flow, else by the published rule for the time of arrival, at the flow that it names, normal
// cruise (14 CFR 91.151).
func TestReserve(t *testing.T) {
	p := level(360, 100, 100, 8, air.Wind{})
	s := computed(t, p)
	assert.Equal(t, 30.0, s.Fuel.ReserveMinutes)
	assert.InDelta(t, 4, s.Fuel.Reserve, 1e-9, "30 min at 8 an hour")

	p.OffBlocks = time.Date(2026, 6, 14, 21, 0, 0, 0, time.UTC)
	s = computed(t, p)
	assert.Equal(t, 45.0, s.Fuel.ReserveMinutes, "by night")
	assert.Contains(t, s.Fuel.ReserveSource, "14 CFR 91.151")

	assert.InDelta(t, 6, s.Fuel.Reserve, 1e-9, "45 min at 8 an hour")
	assert.InDelta(t, 4, s.FinalReserve(false).Fuel, 1e-9, "for an arrival by day")

	p.Fuel.ReserveMinutes, p.Fuel.ReserveSource = 45, plan.ReserveFromPlan
	assert.InDelta(t, 12, computed(t, p).Fuel.Reserve, 1e-9, "45 min at 16 an hour of holding")
	p.Aircraft.Holding = nil
	assert.InDelta(t, 6, computed(t, p).Fuel.Reserve, 1e-9, "45 min at 8 an hour of cruise")

	p.Fuel.ReserveMinutes, p.Fuel.ReserveSource = 0, plan.ReserveFromPlan
	assert.Zero(t, computed(t, p).Fuel.Reserve, "the plan may ask for none")
}

// TestFuelNeeded works the fuel out by hand: 100 nm at 100 kt and 8 an hour, the alternate 50 nm on.
func TestFuelNeeded(t *testing.T) {
	p := level(360, 100, 100, 8, air.Wind{})
	beyond, _ := earth.Direct(p.Points[1].At, 0, 50)
	p.Points = append(p.Points, plan.Point{Ident: "ALT", Kind: plan.Aerodrome, At: beyond, CircuitFt: 1000})
	p.Route.Alternates = []string{"ALT"}
	p.Fuel.ReserveMinutes, p.Fuel.ReserveSource = 45, plan.ReserveFromPlan
	f := computed(t, p).Fuel
	assert.InDelta(t, 8*8/60.0, f.Taxi, 1e-9)
	assert.InDelta(t, 8, f.Trip, 1e-6)
	assert.InDelta(t, 0.4, f.Contingency, 1e-6)
	assert.InDelta(t, 30, f.AlternateMinutes, 1e-6)
	assert.InDelta(t, 4, f.Alternate, 1e-6)
	assert.InDelta(t, 12, f.Reserve, 1e-9)
	assert.InDelta(t, 25.4667, f.MinimumBlock, 1e-4)
	assert.Equal(t, 99.0, f.Block)
	assert.Equal(t, 4.0, f.Unusable)
	assert.InDelta(t, 95-25.4667, f.Extra, 1e-4)
	assert.InDelta(t, 95/8.0*60, f.EnduranceMinutes, 1e-6)
}

// TestDaylightOfAlternates: the alternates follow the destination, each for its own time of arrival.
func TestDaylightOfAlternates(t *testing.T) {
	s := computed(t, lochs())
	require.Len(t, s.Daylight, 2)
	assert.Equal(t, "DUN", s.Daylight[0].Ident)
	assert.Equal(t, s.Legs[3].ETA, s.Daylight[0].Arrival)
	assert.Equal(t, "STR", s.Daylight[1].Ident)
	assert.InDelta(t, s.Fuel.AlternateMinutes, s.Daylight[1].Arrival.Sub(s.Daylight[0].Arrival).Minutes(), 1.0/60+1e-6, "each is a whole second")
}

// TestLegWithoutCruise: its wind, airspeed and heading are those at its mean height, in the phase that most of it is flown in.
func TestLegWithoutCruise(t *testing.T) {
	p := bent(0, 4000, bentLeg{6, 4000}, bentLeg{30, 4000})
	p.Conditions.Winds = []plan.WindLevel{{AltitudeFt: 0, FromTrue: 270, SpeedKt: 0}, {AltitudeFt: 4000, FromTrue: 270, SpeedKt: 20}}
	s := computed(t, p)
	leg := s.Legs[0]
	assert.Equal(t, "climb", leg.Kind)
	mean := s.Trajectory[len(s.Trajectory.OnLeg(0))-1].ToFt / 2 // it climbs nearly evenly
	assert.InDelta(t, mean/200, leg.Wind.SpeedKt, 0.2)
	assert.InDelta(t, 72, leg.TASKt, 1)
	assert.Less(t, leg.HeadingTrue, 360.0)
	assert.Greater(t, leg.HeadingTrue, 340.0)
	assert.Equal(t, "mixed", s.Legs[1].Kind)
	assert.InDelta(t, 100, s.Legs[1].TASKt, 1e-9, "the cruise counts")
}
