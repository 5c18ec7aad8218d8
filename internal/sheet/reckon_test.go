package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// bent is a flight in still standard air of legs that turn by 60° each: climb at 600 ft/min and 72 kt, cruise at 100 kt, descent at
// 500 ft/min and 100 kt, all true and nearly the same at every height (at the height in the middle of 4,000 ft exactly).
func bent(fromFt, arrivalFt float64, legs ...bentLeg) *plan.Plan {
	p := level(0, 10, 100, 8, air.Wind{})
	climbing(p, 72, 0, 4000, 600, 12)
	descending(p, 100, 0, 4000, 500, 6)
	at, track := earth.Position{Lat: 52, Lon: -2}, 0.0
	p.Points = []plan.Point{{Ident: "P0", Kind: plan.Aerodrome, At: at, ElevationFt: fromFt}}
	p.Route = plan.Route{From: "P0"}
	for i, leg := range legs {
		at, _ = earth.Direct(at, track, leg.distanceNM)
		track += 60
		ident := string(rune('A' + i))
		p.Points = append(p.Points, plan.Point{Ident: ident, Kind: plan.Aerodrome, At: at, ElevationFt: arrivalFt - 1000, CircuitFt: 1000})
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: ident, Level: plan.Level{AltitudeFt: leg.levelFt}})
	}
	return p
}

type bentLeg struct{ distanceNM, levelFt float64 }

// TestClimbAcrossTurns: 4,000 ft take 6:40 and about 8 nm, over three legs of 3 nm.
func TestClimbAcrossTurns(t *testing.T) {
	way := reckoned(t, bent(0, 4000, bentLeg{3, 4000}, bentLeg{3, 4000}, bentLeg{30, 4000}))
	leg, afterNM, ok := way.TopOfClimb()
	require.True(t, ok)
	assert.Equal(t, 2, leg)
	assert.InDelta(t, 2, afterNM, 0.05)
	assert.InDelta(t, 4000.0/600, totalMinutes(way.FirstClimb()), 1e-6)
	_, _, ok = way.TopOfDescent()
	assert.False(t, ok, "it arrives at its level")
}

// TestClimbGoesOnToAHigherLevel: a turn to a higher level before the first is reached is one climb.
func TestClimbGoesOnToAHigherLevel(t *testing.T) {
	way := reckoned(t, bent(0, 4000, bentLeg{3, 3000}, bentLeg{30, 4000}))
	assert.InDelta(t, 4000.0/600, totalMinutes(way.FirstClimb()), 1e-6)
	leg, _, _ := way.TopOfClimb()
	assert.Equal(t, 1, leg)
}

// TestStepClimb: a change of level begins at the leg's start.
func TestStepClimb(t *testing.T) {
	way := reckoned(t, bent(0, 4000, bentLeg{20, 2000}, bentLeg{30, 4000}))
	assert.InDelta(t, 2000.0/600, totalMinutes(way.FirstClimb()), 1e-6)
	second := way.OnLeg(1)
	assert.Equal(t, sheet.Climb, second[0].Phase)
	assert.Equal(t, 2000.0, second[0].FromFt)
	assert.Equal(t, sheet.Cruise, second[len(second)-1].Phase)
}

// TestStepDescent: to a lower level with the descent's figures, and not the last descent.
func TestStepDescent(t *testing.T) {
	way := reckoned(t, bent(4000, 1000, bentLeg{20, 4000}, bentLeg{30, 2000}))
	second := way.OnLeg(1)
	assert.Equal(t, sheet.Descent, second[0].Phase)
	assert.InDelta(t, 4, minutesIn(second, sheet.Descent)-totalMinutes(way.LastDescent()), 1e-6, "2,000 ft at 500 ft/min")
	leg, afterNM, ok := way.TopOfDescent()
	require.True(t, ok)
	assert.Equal(t, 1, leg)
	assert.InDelta(t, 30-2*100.0/60, afterNM, 0.1, "1,000 ft take 2 min")
}

// TestDescentAcrossTurns: 3,000 ft take 6 min and about 10 nm, so the top lies on the leg before the last two.
func TestDescentAcrossTurns(t *testing.T) {
	way := reckoned(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 4000}, bentLeg{4, 4000}))
	leg, afterNM, ok := way.TopOfDescent()
	require.True(t, ok)
	assert.Equal(t, 0, leg)
	assert.InDelta(t, 28, afterNM, 0.1)
	assert.InDelta(t, 6, totalMinutes(way.LastDescent()), 1e-6)
	assert.InDelta(t, 1000, way[len(way)-1].ToFt, 1e-9)
	s := computed(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 4000}, bentLeg{4, 4000}))
	assert.Equal(t, []string{"mixed", "descent", "descent"}, []string{s.Legs[0].Kind, s.Legs[1].Kind, s.Legs[2].Kind})
}

// TestDescentPassesOverALowLevel: where the last descent begins before a lower level could be reached, it is one descent.
func TestDescentPassesOverALowLevel(t *testing.T) {
	way := reckoned(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 2000}))
	assert.InDelta(t, 6, totalMinutes(way.LastDescent()), 1e-6)
	assert.InDelta(t, 6, minutesIn(way, sheet.Descent), 1e-6)
}

// TestTheLastLevelIsThatOfTheCircuit: a step down to the height of the arrival, which is held until overhead the destination: that is where the last
// descent is met, and nothing is left of it.
func TestTheLastLevelIsThatOfTheCircuit(t *testing.T) {
	for arrivalFt := 1500.0; arrivalFt < 3500; arrivalFt += 37 {
		way := reckoned(t, bent(4000, arrivalFt, bentLeg{20, 4000}, bentLeg{30, arrivalFt}))
		_, _, descends := way.TopOfDescent()
		require.False(t, descends, "%.0f ft", arrivalFt)
		last := way[len(way)-1]
		require.Equal(t, sheet.Cruise, last.Phase)
		require.InDelta(t, arrivalFt, last.ToFt, 1e-9)
		require.InDelta(t, 50, way.DistanceNM(), 1e-6)
		require.InDelta(t, (4000-arrivalFt)/500, minutesIn(way, sheet.Descent), 1e-6)
	}
}

// TestPeak: a climb that must end before its level. From sea level to 1,000 ft over 12 nm: up at 600 ft/min and 72 kt (500 ft/nm),
// down at 500 ft/min and 100 kt (300 ft/nm), so they meet where 500 x = 1000 + 300 (12 − x).
func TestPeak(t *testing.T) {
	p := bent(0, 1000, bentLeg{12, 6000})
	way := reckoned(t, p)
	_, afterNM, ok := way.TopOfDescent()
	require.True(t, ok)
	assert.InDelta(t, 4600.0/800, afterNM, 0.12, "airspeeds change with height")
	peak, _ := way.AltitudeAt(0, afterNM)
	assert.InDelta(t, 2875, peak, 60)
	_, top, _ := way.TopOfClimb()
	assert.Equal(t, top, afterNM)

	_, problems := sheet.Compute(p)
	caution := findProblem(problems, "route.legs[0].altitude")
	require.NotNil(t, caution)
	assert.Equal(t, plan.Caution, caution.Severity)
	assert.Regexp(t, `^the climb does not reach 6000 ft: it meets the descent to A at 28\d\d ft$`, caution.Text)
}

// TestTooHighToDescend: with too little distance left, the descent begins at once with the rate that arrives.
func TestTooHighToDescend(t *testing.T) {
	p := bent(5000, 1000, bentLeg{5, 5500})
	way := reckoned(t, p)
	for _, piece := range way {
		assert.Equal(t, sheet.Descent, piece.Phase)
		assert.InEpsilon(t, way[0].FromFt-1000, (piece.FromFt-piece.ToFt)/piece.Minutes*way.TotalMinutes(), 1e-3, "one rate")
	}
	assert.InDelta(t, 1000, way[len(way)-1].ToFt, 0.02)
	_, problems := sheet.Compute(p)
	assert.Regexp(t, `the descent to A needs 1[34]\d\d ft/min from the start, the aircraft's is 500`, allTexts(problems))
}

// TestDescending: a descent begun early is made to last, one begun late is made steeper, and neither climbs.
func TestDescending(t *testing.T) {
	route := routed(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 4000}))
	through := sheet.Air{QNH: air.StandardQNH}
	for _, start := range []sheet.Start{
		{Leg: 0, AfterNM: 10, AltitudeFt: 3500, Descending: true},
		{Leg: 1, AfterNM: 1, AltitudeFt: 3500, Descending: true},
	} {
		way, err := route.Reckon(start, through)
		require.NoError(t, err)
		altitudeFt := start.AltitudeFt
		for _, piece := range way {
			assert.Equal(t, sheet.Descent, piece.Phase)
			assert.InDelta(t, altitudeFt, piece.FromFt, 1e-9)
			assert.Less(t, piece.ToFt, piece.FromFt)
			altitudeFt = piece.ToFt
		}
		assert.InDelta(t, 1000, altitudeFt, 0.02)
	}
	way, err := route.Reckon(sheet.Start{Leg: 1, AltitudeFt: 900, Descending: true}, through)
	require.NoError(t, err)
	assert.Equal(t, 900.0, way[len(way)-1].ToFt, "below circuit height it stays level")
	assert.InDelta(t, 4, way.DistanceNM(), 1e-6)
}

// TestTooLateToDescend: past the top of descent and still level, the descent begins where the aircraft is.
func TestTooLateToDescend(t *testing.T) {
	route := routed(t, bent(4000, 1000, bentLeg{30, 4000}))
	way, err := route.Reckon(sheet.Start{AfterNM: 25, AltitudeFt: 4000}, sheet.Air{QNH: air.StandardQNH})
	require.NoError(t, err)
	assert.Equal(t, sheet.Descent, way[0].Phase)
	assert.InDelta(t, 3, way.TotalMinutes(), 0.1, "5 nm at 100 kt")
	assert.InDelta(t, 1000, (way[0].FromFt-way[0].ToFt)/way[0].Minutes, 30, "3,000 ft in them")
	assert.Equal(t, 4000.0, way[0].FromFt)
	assert.InDelta(t, 1000, way[len(way)-1].ToFt, 0.02)
}

// TestFlightLevelByTheQNHOfTheAir: a flight level lies lower where the pressure is lower than planned.
func TestFlightLevelByTheQNHOfTheAir(t *testing.T) {
	p := lochs()
	route := routed(t, p)
	through := sheet.Forecast(p)
	through.QNH = 1003
	way, err := route.Reckon(startOf(p), through)
	require.NoError(t, err)
	minutes, ok := way.MinutesTo(3, 1)
	require.True(t, ok)
	assert.InDelta(t, air.AltitudeFt(5500, 1003), way.At(minutes).AltitudeFt, 1e-6)
	assert.Equal(t, 4000.0, way.OnLeg(1)[0].FromFt, "an altitude stays what it is")
}

// TestNoCircuit: a destination that is not an aerodrome is reached at the level; so is one whose circuit is higher.
func TestNoCircuit(t *testing.T) {
	p := bent(4000, 1000, bentLeg{30, 4000})
	p.Points[1].Kind = plan.Visual
	way := reckoned(t, p)
	assert.Equal(t, 4000.0, way[len(way)-1].ToFt)
	_, ok := routed(t, p).ArrivalFt()
	assert.False(t, ok)

	p = bent(2000, 3000, bentLeg{30, 2000})
	way = reckoned(t, p)
	assert.Equal(t, 2000.0, way[len(way)-1].ToFt)
	_, problems := sheet.Compute(p)
	assert.Contains(t, allTexts(problems), "A is reached at 2000 ft, but its circuit is joined at 3000 ft")
}

// TestStartAtTheEnd: overhead the destination nothing is left, but where that is can still be asked.
func TestStartAtTheEnd(t *testing.T) {
	route := routed(t, bent(4000, 1000, bentLeg{30, 4000}))
	for _, start := range []sheet.Start{{AfterNM: 30, AltitudeFt: 1000}, {AfterNM: 31, AltitudeFt: 4000}, {AfterNM: 30, AltitudeFt: 1000, Descending: true}} {
		way, err := route.Reckon(start, sheet.Air{QNH: air.StandardQNH})
		require.NoError(t, err)
		assert.Zero(t, way.TotalMinutes())
		assert.Zero(t, way.Fuel())
		assert.InDelta(t, route.Legs[0].DistanceNM, way.At(0).AfterNM, 1e-6)
	}
	assert.Equal(t, sheet.Point{}, sheet.Trajectory{}.At(3))
}

// TestMinutesToWhatIsNotAhead: a place behind the start, a leg that is not there.
func TestMinutesToWhatIsNotAhead(t *testing.T) {
	route := routed(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{30, 4000}))
	way, err := route.Reckon(sheet.Start{AfterNM: 10, AltitudeFt: 4000}, sheet.Air{QNH: air.StandardQNH})
	require.NoError(t, err)
	_, ok := way.MinutesTo(0, 9)
	assert.False(t, ok)
	minutes, ok := way.MinutesTo(0, 10)
	assert.True(t, ok)
	assert.Zero(t, minutes)
	minutes, ok = way.MinutesTo(1, 0)
	assert.True(t, ok)
	assert.InDelta(t, 12, minutes, 1e-6, "20 nm at 100 kt")
	_, ok = way.MinutesTo(1, 31)
	assert.False(t, ok)
	_, ok = way.MinutesTo(2, 0)
	assert.False(t, ok)
}

// TestTASBias is added to every airspeed of the tables.
func TestTASBias(t *testing.T) {
	route := routed(t, lochs())
	start := startOf(lochs())
	book, err := route.Reckon(start, sheet.Air{QNH: 1013.25})
	require.NoError(t, err)
	faster, err := route.Reckon(start, sheet.Air{QNH: 1013.25, TASBiasKt: 3})
	require.NoError(t, err)
	assert.Equal(t, book[0].TASKt+3, faster[0].TASKt)
	assert.Equal(t, book[len(book)-1].TASKt+3, faster[len(faster)-1].TASKt)
	assert.Less(t, faster.TotalMinutes(), book.TotalMinutes())
}

// TestAirspeedOfTheClimb: what the indicator shows, corrected for its position, made true for the height and the temperature.
func TestAirspeedOfTheClimb(t *testing.T) {
	p := bent(0, 4000, bentLeg{30, 4000})
	p.Aircraft.PositionError = []air.Correction{{IndicatedKt: 60, CalibratedKt: 64}, {IndicatedKt: 80, CalibratedKt: 82}}
	p.Aircraft.Climb.IASKt = 70
	p.Conditions.QNH = 1003
	warm := 10.0
	p.Conditions.ISADeviation = warm
	piece := reckoned(t, p)[3]
	altitude := air.PressureAltitudeFt((piece.FromFt+piece.ToFt)/2, 1003)
	assert.InDelta(t, air.TASFromCAS(73, altitude, air.ISATemperatureC(altitude)+warm), piece.TASKt, 1e-9)
}

// TestCruiseTable: interpolated over pressure altitude and power, never beyond.
func TestCruiseTable(t *testing.T) {
	cruise := func(power float64, level plan.Level) (sheet.Trajectory, error) {
		p := bent(level.AltitudeFtAt(air.StandardQNH), level.AltitudeFtAt(air.StandardQNH), bentLeg{30, 0})
		p.Route.Legs[0].Level = level
		p.Aircraft.Cruise = plan.Cruise{Power: power, Table: append(trainer().Cruise.Table, plan.CruiseRow{AltitudeFt: 2000, Power: 90, TASKt: 110, FlowPerHour: 30})}
		route := routed(t, p)
		return route.Reckon(startOf(p), sheet.Air{QNH: air.StandardQNH})
	}
	for _, c := range []struct {
		power float64
		level plan.Level
		tas   float64
		flow  float64
	}{
		{75, plan.Level{AltitudeFt: 2000}, 98, 23.5},
		{75, plan.Level{AltitudeFt: 4000}, 100, 23.65},
		{65, plan.Level{FlightLevel: 50}, 94, 20.7},
		{70, plan.Level{AltitudeFt: 2000}, 94.5, 22},
		{80, plan.Level{AltitudeFt: 2000}, 102, 23.5 + 6.5/3},
		{70, plan.Level{AltitudeFt: 5000}, (94 + 101) / 2.0, (20.7 + 23.725) / 2},
	} {
		way, err := cruise(c.power, c.level)
		require.NoError(t, err)
		assert.InDelta(t, c.tas, way[0].TASKt, 1e-9, "%v %% at %v", c.power, c.level)
		assert.InDelta(t, c.flow, way[0].FlowPerHour, 1e-9)
	}
	for _, c := range []struct {
		power float64
		level plan.Level
	}{
		{75, plan.Level{AltitudeFt: 1900}},
		{75, plan.Level{AltitudeFt: 6500}},
		{70, plan.Level{FlightLevel: 70}},
		{80, plan.Level{AltitudeFt: 4000}},
		{95, plan.Level{AltitudeFt: 2000}},
		{60, plan.Level{AltitudeFt: 4000}},
	} {
		_, err := cruise(c.power, c.level)
		var onLeg *sheet.LegError
		require.ErrorAs(t, err, &onLeg)
		assert.Equal(t, 0, onLeg.Leg)
		assert.ErrorContains(t, err, "leg 1, P0 to A: cruise at")
		assert.ErrorContains(t, err, "75 % from 2000 to 6000 ft")
	}
}

// TestClimbTable: not beyond its top; below sea level its lowest line holds, if that is at sea level.
func TestClimbTable(t *testing.T) {
	p := bent(0, 4000, bentLeg{60, 9000})
	p.Aircraft.Climb = trainer().Climb
	p.Aircraft.Cruise.Table = append(p.Aircraft.Cruise.Table, plan.CruiseRow{AltitudeFt: 9000, Power: 75, TASKt: 100, FlowPerHour: 8})
	_, err := routed(t, p).Reckon(startOf(p), sheet.Forecast(p))
	assert.ErrorContains(t, err, "leg 1, P0 to A: climb at 8125 ft: the climb table has no 8125 ft of pressure altitude: it covers 0 to 8000 ft")

	p.Route.Legs[0].Level.AltitudeFt = 4000
	p.Conditions.QNH = 1040
	s, problems := sheet.Compute(p)
	require.NotNil(t, s)
	assert.InDelta(t, 250.0/720, s.Trajectory[0].Minutes, 1e-9)
	assert.Contains(t, allTexts(problems), "below the table: its lowest row, 0 ft, is used")

	p.Aircraft.Climb.Table[0].AltitudeFt = 100
	_, err = routed(t, p).Reckon(startOf(p), sheet.Forecast(p))
	assert.ErrorContains(t, err, "it covers 100 to 8000 ft")

	p.Aircraft.Climb.Table = []plan.ClimbRow{{AltitudeFt: 0, RateFtMin: 500, FlowPerHour: 9}, {AltitudeFt: 3000, RateFtMin: -100, FlowPerHour: 9}, {AltitudeFt: 9000, RateFtMin: -100, FlowPerHour: 9}}
	_, err = routed(t, p).Reckon(startOf(p), sheet.Forecast(p))
	assert.ErrorContains(t, err, "the aircraft does not climb")
}

// TestForecast: a temperature at a level stands for a deviation from standard there.
func TestForecast(t *testing.T) {
	forecast := sheet.Forecast(lochs())
	wind, deviation := forecast.Layers.At(5000)
	assert.InDelta(t, 22, wind.SpeedKt, 1e-9)
	pressureAltitude := air.PressureAltitudeFt(5000, 1019)
	assert.InDelta(t, 4-air.ISATemperatureC(pressureAltitude), deviation, 1e-9)
	_, deviation = forecast.Layers.At(1000)
	assert.InDelta(t, 2, deviation, 1e-9)
	assert.Equal(t, 1019.0, forecast.QNH)
}

func totalMinutes(way sheet.Trajectory) (minutes float64) {
	for _, piece := range way {
		minutes += piece.Minutes
	}
	return minutes
}

func minutesIn(way sheet.Trajectory, phase sheet.Phase) (minutes float64) {
	for _, piece := range way {
		if piece.Phase == phase {
			minutes += piece.Minutes
		}
	}
	return minutes
}

func findProblem(problems []plan.Problem, path string) *plan.Problem {
	for i, problem := range problems {
		if problem.Path == path {
			return &problems[i]
		}
	}
	return nil
}

func allTexts(problems []plan.Problem) (texts string) {
	for _, problem := range problems {
		texts += problem.Text + "\n"
	}
	return texts
}

// TestCruiseRPM: interpolated like the rest of the row and read to 10, where it is not a row's own; the mixture is the nearest row's.
func TestCruiseRPM(t *testing.T) {
	p := bent(4000, 4000, bentLeg{60, 0})
	rows := []plan.CruiseRow{
		{AltitudeFt: 0, Power: 65, RPM: 2275, TASKt: 93, FlowPerHour: 20.8, Mixture: "leaned for best power"},
		{AltitudeFt: 8000, Power: 65, RPM: 2450, TASKt: 99, FlowPerHour: 21.2},
		{AltitudeFt: 0, Power: 75, RPM: 2375, TASKt: 98, FlowPerHour: 23},
		{AltitudeFt: 4000, Power: 75, TASKt: 99, FlowPerHour: 23},
		{AltitudeFt: 8000, Power: 75, RPM: 2550, TASKt: 104, FlowPerHour: 24},
	}
	for _, c := range []struct {
		power, altitudeFt, rpm float64
		mixture                string
	}{
		{65, 0, 2275, "leaned for best power"},
		{65, 3500, 2350, "leaned for best power"}, // 2351.6
		{65, 4300, 2370, ""},                      // 2369.1
		{65, 8000, 2450, ""},
		{75, 4000, 2460, ""}, // 2462.5, over a row that gives none
		{70, 4000, 2410, ""}, // 2412.5; the row at 75 % and 4000 ft is the nearest
	} {
		p.Aircraft.Cruise = plan.Cruise{Power: c.power, Table: rows}
		s, problems := sheet.Compute(p)
		require.NotNil(t, s, "%v", problems)
		setting := s.Setting(sheet.Cruise, c.altitudeFt)
		assert.InDelta(t, c.rpm, setting.RPM, 1e-9, "%v %% at %v ft", c.power, c.altitudeFt)
		assert.Equal(t, c.mixture, setting.Mixture, "%v %% at %v ft", c.power, c.altitudeFt)
	}
	p.Aircraft.Cruise = plan.Cruise{Power: 65, Table: append([]plan.CruiseRow{{AltitudeFt: 0, Power: 65, TASKt: 93, FlowPerHour: 20.8}}, rows[1])}
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	assert.Zero(t, s.Setting(sheet.Cruise, 4000).RPM, "one row tells nothing of what lies below it")
}
