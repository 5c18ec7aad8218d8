package sheet_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
)

// TestLegOfTheLog checks a level leg's row of the log against published wind triangles.
func TestLegOfTheLog(t *testing.T) {
	for _, c := range []struct {
		source                              string
		track, tas                          float64
		wind                                air.Wind
		correction, heading, groundspeed, d float64
	}{
		{"PHAK navigation chapter, wind triangle steps 1-4, case 1.01", 90, 120, air.Wind{FromTrue: 45, SpeedKt: 40}, -13.63, 76.37, 88.33, 0.05},
		{"EQB general navigation, case 1.06", 110, 200, air.Wind{FromTrue: 15, SpeedKt: 40}, -11.49, 98.51, 199.48, 0.05},
		{"EQB PPL navigation, case 1.08", 255, 100, air.Wind{FromTrue: 200, SpeedKt: 10}, -4.70, 250.30, 93.93, 0.05},
		{"PPL flight-computer lesson, case 1.11", 80, 90, air.Wind{FromTrue: 140, SpeedKt: 20}, 11.10, 91.10, 78.32, 0.05},
		{"definition, pure headwind, case 1.36", 360, 98, air.Wind{FromTrue: 360, SpeedKt: 15}, 0, 0, 83, 0.05},
		{"definition, pure tailwind, case 1.37", 270, 98, air.Wind{FromTrue: 90, SpeedKt: 15}, 0, 270, 113, 0.05},
		{"definition, crosswind from the right, case 1.38", 45, 98, air.Wind{FromTrue: 135, SpeedKt: 18}, 10.58, 55.58, 96.33, 0.05},
		{"definition, heading through north, case 1.40", 358, 98, air.Wind{FromTrue: 40, SpeedKt: 20}, 7.85, 5.85, 82.22, 0.05},
	} {
		t.Run(c.source, func(t *testing.T) {
			leg := computed(t, level(c.track, 40, c.tas, 8, c.wind)).Legs[0]
			assert.Equal(t, "cruise", leg.Kind)
			assert.InDelta(t, c.correction, leg.CorrectionDeg, c.d)
			assert.InDelta(t, c.heading, leg.HeadingTrue, c.d)
			assert.InDelta(t, c.groundspeed, leg.GroundspeedKt, c.d)
			assert.InDelta(t, 40/c.groundspeed*60, leg.Minutes, 0.05)
		})
	}
}

// TestTimeAndFuelOfALeg checks time and fuel against published legs.
func TestTimeAndFuelOfALeg(t *testing.T) {
	for _, c := range []struct {
		source                                 string
		track, distance, tas, flow             float64
		wind                                   air.Wind
		minutes, fuel, minuteDelta, fuelsDelta float64
	}{
		{"PHAK flight log, Chickasha to Guthrie (results from memory), case 1.13", 31, 53, 115, 8, air.Wind{FromTrue: 360, SpeedKt: 10}, 29.9, 3.99, 0.05, 0.01},
		{"FAA-QB, case 1.17", 75, 135, 80, 105, air.Wind{FromTrue: 175, SpeedKt: 20}, 99.98, 174.97, 0.05, 0.05},
		{"PHAK basic calculations, case 1.27", 10, 210, 140, 10, air.Wind{}, 90, 15, 0.001, 0.001},
		{"EQB dead reckoning, case 1.33", 200, 500, 240, 10, air.Wind{}, 125, 20.8333, 0.001, 0.001},
	} {
		t.Run(c.source, func(t *testing.T) {
			s := computed(t, level(c.track, c.distance, c.tas, c.flow, c.wind))
			assert.InDelta(t, c.distance, s.Legs[0].DistanceNM, 1e-6)
			assert.InDelta(t, c.minutes, s.Legs[0].Minutes, c.minuteDelta)
			assert.InDelta(t, c.fuel, s.Legs[0].Fuel, c.fuelsDelta)
		})
	}
}

// heldSpeed is what the distance of a climb or descent of height may differ by, as a share, from the published sum: that takes the
// true airspeed half-way up for the whole of it, where an aircraft holds its indicated airspeed. The true airspeed grows by e in
// some 60,000 ft, so its mean over a height h exceeds the one half-way by h²/24 of that: 0.08 % over 8,500 ft, and at most half as
// much again where a headwind takes a part of the speed. Rounding to two decimals is added.
func heldSpeed(heightFt, distanceNM float64) float64 {
	return 1.5*math.Pow(heightFt/60000, 2)/24*distanceNM + 0.005
}

// TestTopOfClimb checks the climb's time, distance and fuel.
func TestTopOfClimb(t *testing.T) {
	for _, c := range []struct {
		source                  string
		leg                     straight
		tas, rate, flow         float64
		minutes, distance, fuel float64
	}{
		{
			"definition, case 12.15",
			straight{fromFt: 450, levelFt: 4500},
			72, 600, 10, 6.75, 8.10, 1.125,
		},
		{
			"FAA-QB (remembered; computation agrees), case 12.02",
			straight{trackTrue: 215, fromFt: 1000, levelFt: 9500, wind: air.Wind{FromTrue: 290, SpeedKt: 20}},
			135, 500, 13, 17, 36.39, 3.683,
		},
	} {
		t.Run(c.source, func(t *testing.T) {
			c.leg.distanceNM, c.leg.tasKt, c.leg.flow, c.leg.arrivalFt = 100, 140, 10, c.leg.levelFt
			s := computed(t, climbing(c.leg.plan(), c.tas, c.leg.fromFt, c.leg.levelFt, c.rate, c.flow))
			assert.InDelta(t, c.minutes, s.Climb.Minutes, 0.001)
			assert.InDelta(t, c.distance, s.Climb.TopAfterNM, heldSpeed(c.leg.levelFt-c.leg.fromFt, c.distance))
			assert.InDelta(t, c.fuel, s.Climb.Fuel, 0.001)
			assert.Equal(t, 0, s.Climb.TopLeg)
		})
	}
}

// TestClimbToFlightLevel checks that a flight level is a pressure altitude: from an aerodrome at 2,000 ft by a QNH of 1003, FL100
// is 7,725 ft above and FL50 2,725 ft. The question is read in its source, the answers computed: case 12.13.
func TestClimbToFlightLevel(t *testing.T) {
	for flightLevel, distance := range map[int]float64{100: 10.3, 50: 3.6} {
		leg := straight{distanceNM: 60, fromFt: 2000, levelFt: 10000, tasKt: 100, flow: 10, wind: air.Wind{FromTrue: 0, SpeedKt: 20}}
		p := leg.plan()
		p.Conditions.QNH = 1003
		p.Route.Legs[0].Level.AltitudeFt, p.Route.Legs[0].Level.FlightLevel = 0, flightLevel
		levelFt := p.Route.Legs[0].Level.AltitudeFtAt(1003)
		p.Points[1].ElevationFt = levelFt - 1000
		s := computed(t, climbing(p, 100, 2275, float64(flightLevel)*100, 1000, 10))
		assert.InDelta(t, distance, s.Climb.DistanceNM, 0.1)
		assert.InDelta(t, (float64(flightLevel)*100-2275)/1000, s.Climb.Minutes, 0.02)
	}
}

// TestTopOfDescent checks the last descent's time, distance and fuel.
func TestTopOfDescent(t *testing.T) {
	for _, c := range []struct {
		source                  string
		leg                     straight
		tas, rate, flow         float64
		minutes, distance, fuel float64
	}{
		{
			"definition, case 12.16",
			straight{levelFt: 5500, arrivalFt: 1450},
			112, 500, 10, 8.10, 15.12, 1.35,
		},
		{
			"FAA-QB, case 12.01",
			straight{trackTrue: 335, levelFt: 6500, arrivalFt: 1500, wind: air.Wind{FromTrue: 60, SpeedKt: 15}},
			110, 500, 8.5, 10, 17.94, 1.417,
		},
		{
			"FAA-QB (remembered; computation agrees), case 12.03",
			straight{trackTrue: 165, levelFt: 7500, arrivalFt: 2100, wind: air.Wind{FromTrue: 240, SpeedKt: 20}},
			120, 300, 9.6, 18, 33.98, 2.88,
		},
		{
			"FAA-QB (remembered; part of the question read), case 12.04",
			straight{trackTrue: 263, levelFt: 10500, arrivalFt: 2700, wind: air.Wind{FromTrue: 330, SpeedKt: 30}},
			135, 600, 11.5, 13, 26.09, 2.49,
		},
	} {
		t.Run(c.source, func(t *testing.T) {
			c.leg.distanceNM, c.leg.tasKt, c.leg.flow, c.leg.fromFt = 100, 140, 10, c.leg.levelFt
			s := computed(t, descending(c.leg.plan(), c.tas, c.leg.levelFt, c.leg.arrivalFt, c.rate, c.flow))
			assert.InDelta(t, c.minutes, s.Descent.Minutes, 0.001)
			assert.InDelta(t, c.distance, 100-s.Descent.TopAfterNM, heldSpeed(c.leg.levelFt-c.leg.arrivalFt, c.distance))
			assert.InDelta(t, c.fuel, s.Descent.Fuel, 0.005)
			assert.Equal(t, c.leg.arrivalFt, s.Trajectory[len(s.Trajectory)-1].ToFt)
		})
	}
}

// TestLevelBefore checks a descent that is over before the destination: EQB general navigation, case 12.05: 4500 to 2500 ft at 500 ft/min and
// 130 kt, level 5 nm before: the top of descent is 13.67 nm before. The level part is counted at the flow of cruise, 10 an hour: 5 nm at 130 kt
// are 2.31 min (a little more at the airspeed of the lower level), 0.38.
func TestLevelBefore(t *testing.T) {
	leg := straight{levelFt: 4500, arrivalFt: 2500, fromFt: 4500, distanceNM: 100, tasKt: 140, flow: 10}
	p := descending(leg.plan(), 130, 4500, 2500, 500, 6)
	before := 5.0
	p.Route.LevelBeforeNM = &before
	s := computed(t, p)
	assert.InDelta(t, 13.67, 100-s.Descent.TopAfterNM, heldSpeed(2000, 8.67)+0.01)
	altitudeFt, ok := s.Trajectory.AltitudeAt(0, 95)
	require.True(t, ok)
	assert.InDelta(t, 2500, altitudeFt, 0.1)
	assert.InDelta(t, 4+5/130.0*60, s.Descent.Minutes, 0.06)
	assert.InDelta(t, 4*6/60.0+5/130.0*10, s.Descent.Fuel, 0.01)

	// In flight: the same from any place on the way, above, in the descent or level already.
	route := routed(t, p)
	for _, start := range []sheet.Start{
		{Leg: 0, AfterNM: 50, AltitudeFt: 4500},
		{Leg: 0, AfterNM: 90, AltitudeFt: 3500, Descending: true},
		{Leg: 0, AfterNM: 93, AltitudeFt: 4500},
		{Leg: 0, AfterNM: 97, AltitudeFt: 2500, Descending: true},
		{Leg: 0, AfterNM: 97, AltitudeFt: 2500},
	} {
		way, err := route.Reckon(start, sheet.Forecast(p))
		require.NoError(t, err)
		assert.InDelta(t, 2500, way[len(way)-1].ToFt, 0.1, "%+v", start)
		if start.AfterNM < 95 {
			altitudeFt, ok := way.AltitudeAt(0, 95)
			require.True(t, ok)
			assert.InDelta(t, 2500, altitudeFt, 0.1, "%+v", start)
		}
	}
}

// TestUnflyable checks that a track that the wind closes is an error that names its leg: cases 1.42 and 1.43, by definition.
func TestUnflyable(t *testing.T) {
	for _, c := range []struct {
		wind   air.Wind
		reason error
	}{
		{air.Wind{FromTrue: 0, SpeedKt: 70}, deadreckon.ErrUnflyable},
		{air.Wind{FromTrue: 95, SpeedKt: 65}, deadreckon.ErrNoHeadway},
	} {
		p := level(90, 40, 60, 8, c.wind)
		s, problems := sheet.Compute(p)
		require.Nil(t, s)
		require.NotEmpty(t, problems)
		last := problems[len(problems)-1]
		assert.Equal(t, "route.legs[0]", last.Path)
		assert.Contains(t, last.Text, "leg 1, AAA to ZZZ")

		_, err := routed(t, p).Reckon(startOf(p), sheet.Forecast(p))
		assert.ErrorIs(t, err, c.reason)
	}
}

// TestGroundspeedRatio reckons the legs of case 1.35 (by definition) again in the headwind that was found on the first.
func TestGroundspeedRatio(t *testing.T) {
	p := level(360, 30, 100, 10, air.Wind{})
	planned, found := []float64{18, 24, 15, 31}, []float64{20, 26.7, 16.7, 34.4}
	p.Route.Legs = nil
	from := p.Points[0]
	for i, minutes := range planned {
		to := from
		to.Ident = fmt.Sprintf("P%d", i)
		to.At, _ = earth.Direct(from.At, 0, minutes*100/60)
		p.Points = append(p.Points, to)
		p.Route.Legs = append(p.Route.Legs, straight{levelFt: 4000}.plan().Route.Legs[0])
		p.Route.Legs[i].To = to.Ident
		from = to
	}
	p.Points[len(p.Points)-1].ElevationFt = 3000
	route := routed(t, p)
	headwind := sheet.Forecast(p)
	headwind.Layers[0].Wind = air.Wind{FromTrue: 0, SpeedKt: 10}
	for i, want := range map[float64][]float64{0: planned, 10: found} {
		through := sheet.Forecast(p)
		if i > 0 {
			through = headwind
		}
		way, err := route.Reckon(startOf(p), through)
		require.NoError(t, err)
		for leg := range planned {
			assert.InDelta(t, want[leg], totalMinutes(way.OnLeg(leg)), 0.1, "leg %d", leg)
		}
	}
}
