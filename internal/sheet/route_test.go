package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/sheet"
)

// far is a plan with a leg of about 400 nm between two VORs, at FL080.
func far() *plan.Plan {
	p := lochs()
	from, to := -3.0, 1.5
	p.Points = append(p.Points,
		plan.Point{Ident: "WES", Kind: plan.VOR, At: earth.Position{Lat: 55, Lon: -6}, Frequency: 112.1, Declination: &from, RangeNM: 100},
		plan.Point{Ident: "EAS", Kind: plan.VOR, At: earth.Position{Lat: 56, Lon: 6}, Frequency: 113.1, Declination: &to, RangeNM: 100},
	)
	p.Route = plan.Route{From: "WES", Legs: []plan.Leg{{To: "EAS", Level: plan.Level{FlightLevel: 60}}}}
	return p
}

// TestThreeAzimuths: on a long leg the outbound course, the track at mid-leg and the inbound course differ by the convergence of
// the meridians, longitude × sin(mid-latitude) over the whole leg, which is the textbook's figure for it.
func TestThreeAzimuths(t *testing.T) {
	leg := routed(t, far()).Legs[0]
	start, end := *leg.CourseOutbound-3, *leg.CourseInbound+1.5 // true, by the stations' declinations: 3° W and 1.5° E
	convergence := 12 * angle.Sin(55.5)
	assert.InDelta(t, convergence, angle.Turn(start, end), 0.1)
	assert.InDelta(t, convergence/2, angle.Turn(start, leg.TrackTrue), 0.1)
	assert.InDelta(t, angle.Wrap360(leg.TrackTrue-leg.Variation), leg.TrackMagnetic, 1e-9)
}

// TestLongLegInPieces: over 120 nm a leg is cut into equal parts, each with the azimuth at its own middle.
func TestLongLegInPieces(t *testing.T) {
	p := far()
	leg := routed(t, p).Legs[0]
	require.Len(t, leg.Tracks, 4)
	from := 0.0
	for i, track := range leg.Tracks {
		assert.InDelta(t, from, track.FromNM, 1e-9)
		assert.InDelta(t, leg.DistanceNM/4, track.ToNM-track.FromNM, 1e-9)
		at, azimuth := leg.Line.At((track.FromNM + track.ToNM) / 2)
		assert.InDelta(t, azimuth, track.TrackTrue, 1e-9)
		declination, err := earth.Variation(at, leg.AltitudeFt, p.OffBlocks)
		require.NoError(t, err)
		assert.InDelta(t, declination, track.Variation, 1e-9)
		if i > 0 {
			assert.Greater(t, track.TrackTrue, leg.Tracks[i-1].TrackTrue)
		}
		from = track.ToNM
	}
	assert.Equal(t, leg.DistanceNM, leg.Tracks[3].ToNM)
	assert.Equal(t, leg.Tracks[1], leg.TrackAt(leg.DistanceNM*0.3))
	assert.Equal(t, leg.Tracks[0], leg.TrackAt(-1))
	assert.Equal(t, leg.Tracks[3], leg.TrackAt(leg.DistanceNM+1))

	short := routed(t, lochs()).Legs[0]
	require.Len(t, short.Tracks, 1)
	assert.Equal(t, short.TrackTrue, short.Tracks[0].TrackTrue)
}

// TestLongLegIsReckonedInPieces: each part of a long leg has the groundspeed of its own track.
func TestLongLegIsReckonedInPieces(t *testing.T) {
	p := far()
	p.Conditions.Winds = []plan.WindLevel{{FromTrue: 90, SpeedKt: 40}}
	route := routed(t, p)
	way, err := route.Reckon(sheet.Start{AltitudeFt: route.Legs[0].AltitudeFt}, sheet.Forecast(p))
	require.NoError(t, err)
	require.Len(t, way, 4)
	for i, piece := range way {
		headwind, _ := piece.Wind.Along(route.Legs[0].Tracks[i].TrackTrue)
		assert.InDelta(t, piece.TASKt*angle.Cos(piece.Heading.CorrectionDeg)-headwind, piece.Heading.GroundspeedKt, 1e-9)
	}
}

// TestDeclinationOfAStation: a VOR's radials count from its own declination; where the plan gives none, from that of the magnetic
// model at the station, and that is said once.
func TestDeclinationOfAStation(t *testing.T) {
	p := lochs()
	route, problems := sheet.NewRoute(p)
	require.NotNil(t, route)
	_, inbound := route.Legs[0].Line.At(route.Legs[0].DistanceNM)
	assert.InDelta(t, inbound+2.5, *route.Legs[0].CourseInbound, 1e-9)
	assert.Nil(t, route.Legs[0].CourseOutbound, "an aerodrome has no radials")
	assert.Nil(t, route.Legs[2].CourseInbound, "nor has an NDB")

	station, _ := p.Point("GRN")
	declination, err := earth.Variation(station.At, station.ElevationFt, p.OffBlocks)
	require.NoError(t, err)
	_, inbound = route.Legs[1].Line.At(route.Legs[1].DistanceNM)
	assert.InDelta(t, inbound-declination, *route.Legs[1].CourseInbound, 1e-9)
	said := 0
	for _, problem := range problems {
		if problem.Path == "points[GRN]" {
			said++
			assert.Equal(t, plan.Note, problem.Severity)
		}
	}
	assert.Equal(t, 1, said)
}

// TestCheckpoints: a point is taken abeam, a distance as given; they come by distance, and one off the leg is left out with a word.
func TestCheckpoints(t *testing.T) {
	p := lochs()
	leg := &p.Route.Legs[0]
	leg.Checkpoints = append(leg.Checkpoints, plan.Checkpoint{Name: "OBN", Point: "OBN"}, plan.Checkpoint{Name: "GRN", Point: "GRN"})
	beyond := 40.0
	leg.Checkpoints = append(leg.Checkpoints, plan.Checkpoint{Name: "too far", AfterNM: &beyond})
	route, problems := sheet.NewRoute(p)
	require.NotNil(t, route)
	var names []string
	for _, checkpoint := range route.Legs[0].Checkpoints {
		names = append(names, checkpoint.Name)
	}
	assert.Equal(t, []string{"railway", "DAM", "OBN", "GRN"}, names)
	for _, checkpoint := range route.Legs[0].Checkpoints {
		at, azimuth := route.Legs[0].Line.At(checkpoint.AfterNM)
		if point, ok := p.Point(checkpoint.Name); ok {
			abeam := earth.Inverse(at, point.At)
			assert.InDelta(t, 90, absolute(angle.Turn(azimuth, abeam.AzimuthStart)), 0.01, checkpoint.Name)
			assert.InDelta(t, abeam.DistanceNM, absolute(checkpoint.RightNM), 0.001, checkpoint.Name)
			assert.Equal(t, angle.Turn(azimuth, abeam.AzimuthStart) > 0, checkpoint.RightNM > 0, "right is positive")
		}
	}
	var texts []string
	for _, problem := range problems {
		if problem.Severity == plan.Caution {
			texts = append(texts, problem.Path+": "+problem.Text)
		}
	}
	assert.Equal(t, []string{"route.legs[0].checkpoints[4]: too far lies 12.0 nm beyond KVN, so it is left out"}, texts)
}

func absolute(value float64) float64 { return max(value, -value) }

// TestPlannedRadioSteps: where each kind of step is due, and what to select.
func TestPlannedRadioSteps(t *testing.T) {
	p := lochs()
	before, course := 5.0, 77.0
	p.Route.Legs[0].Radio = []plan.RadioStep{
		{Receiver: "NAV1", Beacon: "KVN", Course: plan.Inbound},
		{Receiver: "NAV2", Beacon: "GRN", Course: plan.Given, CourseMagnetic: &course, BeforeNM: &before},
		{Receiver: "ADF", Beacon: "OBN", At: plan.HalfWay},
		{Receiver: "DME", Beacon: "KVN", At: plan.InRange},
		{Receiver: "NAV1", Beacon: "GRN", Course: plan.Outbound, At: plan.HalfWay},
	}
	leg := routed(t, p).Legs[0]
	steps := map[string]sheet.RadioStep{}
	for i, step := range leg.Radio {
		steps[step.Receiver+" "+step.Beacon.Ident] = step
		if i > 0 {
			assert.GreaterOrEqual(t, step.AfterNM, leg.Radio[i-1].AfterNM)
		}
	}
	assert.Zero(t, steps["NAV1 KVN"].AfterNM)
	assert.Equal(t, *leg.CourseInbound, *steps["NAV1 KVN"].CourseMagnetic)
	assert.InDelta(t, leg.DistanceNM-5, steps["NAV2 GRN"].AfterNM, 1e-9)
	assert.Equal(t, 77.0, *steps["NAV2 GRN"].CourseMagnetic)
	assert.InDelta(t, leg.DistanceNM/2, steps["ADF OBN"].AfterNM, 1e-9)
	assert.Nil(t, steps["ADF OBN"].CourseMagnetic)
	assert.Zero(t, steps["DME KVN"].AfterNM, "in range from the start")

	// Inbound to a beacon off the leg: the way to it from where the step is due, as its radials count.
	p.Route.Legs[0].Radio = []plan.RadioStep{{Receiver: "NAV2", Beacon: "GRN", Course: plan.Inbound, BeforeNM: &before}}
	step := routed(t, p).Legs[0].Radio[0]
	due, _ := leg.Line.At(leg.DistanceNM - 5)
	grn, _ := p.Point("GRN")
	declination, _, err := p.StationDeclination(grn)
	require.NoError(t, err)
	assert.InDelta(t, earth.Inverse(due, grn.At).AzimuthEnd-declination, *step.CourseMagnetic, 1e-6)

	// Outbound from a beacon off the leg: the radial that the leg's end lies on.
	radial := earth.Inverse(grn.At, leg.To.At).AzimuthStart - declination
	assert.InDelta(t, radial, *steps["NAV1 GRN"].CourseMagnetic, 1e-9)
}

// TestInRange: the first place within the published range and the line of sight at the leg's level, 1.23(√h₁+√h₂).
func TestInRange(t *testing.T) {
	for _, c := range []struct {
		name          string
		published     float64
		altitude      float64
		stationFt     float64
		kind          plan.Kind
		wantRange     float64
		wantAutomatic float64 // nm to the beacon where it is tuned automatically on a leg of 100 nm
	}{
		{"published range counts", 40, 8000, 0, plan.VOR, 40, 40},
		{"line of sight counts", 100, 900, 0, plan.VORDME, 1.23 * 30, 1.23 * 30},
		{"height of the station helps", 100, 900, 400, plan.VORDME, 1.23 * 50, 50},
		{"half-way is later", 80, 8000, 0, plan.VOR, 80, 50},
		{"an NDB needs no line of sight", 60, 900, 0, plan.NDB, 60, 50},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := level(360, 100, 100, 8, air.Wind{})
			p.Points[0].ElevationFt = 0
			end := &p.Points[1]
			end.Kind, end.ElevationFt, end.RangeNM, end.Frequency = c.kind, c.stationFt, c.published, 113.6
			p.Route.Legs[0].Level.AltitudeFt = c.altitude
			leg := routed(t, p).Legs[0]
			require.Len(t, leg.Radio, 1)
			step := leg.Radio[0]
			assert.True(t, step.Automatic)
			assert.InDelta(t, c.wantRange, step.RangeNM, 1e-9)
			assert.InDelta(t, c.wantAutomatic, leg.DistanceNM-step.AfterNM, 0.01)
			assert.InDelta(t, c.wantAutomatic, step.DistanceNM, 0.01)
			assert.True(t, step.InRange)
		})
	}
}

// TestAutomaticSteps: a leg for which the plan has no list keeps the beacon left, outbound, and goes over to the one ahead half-way.
func TestAutomaticSteps(t *testing.T) {
	p := lochs()
	p.Route.Legs[1].Radio = nil
	leg := routed(t, p).Legs[1]
	require.Len(t, leg.Radio, 2)
	left, ahead := leg.Radio[0], leg.Radio[1]
	assert.Equal(t, "KVN", left.Beacon.Ident)
	assert.Equal(t, "NAV1", left.Receiver)
	assert.Zero(t, left.AfterNM)
	assert.Equal(t, *leg.CourseOutbound, *left.CourseMagnetic)
	assert.Equal(t, "GRN", ahead.Beacon.Ident)
	assert.InDelta(t, leg.DistanceNM/2, ahead.AfterNM, 1e-9)
	assert.Equal(t, *leg.CourseInbound, *ahead.CourseMagnetic)

	p.Aircraft.Receivers = []string{"DME"}
	for _, step := range routed(t, p).Legs[1].Radio {
		assert.Equal(t, "DME", step.Receiver, "the distance of a VOR-DME")
		assert.Nil(t, step.CourseMagnetic, "a DME has no course to select")
	}
	p.Aircraft.Receivers = []string{"ADF"}
	assert.Empty(t, routed(t, p).Legs[1].Radio, "no receiver tunes a VOR")
}

// TestReceptionProblems: a beacon that is out of range where it is used.
func TestReceptionProblems(t *testing.T) {
	for _, c := range []struct {
		name string
		step plan.RadioStep
		want string
	}{
		{"when it is due", plan.RadioStep{Receiver: "NAV1", Beacon: "ZZZ"}, "ZZZ is received within 30.0 nm at 4000 ft, but is 100.0 nm away where NAV1 is to be tuned to it"},
		{"when its use ends", plan.RadioStep{Receiver: "NAV1", Beacon: "AAA"}, "AAA is received within 30.0 nm at 4000 ft, but is 100.0 nm away where its use on NAV1 ends"},
		{"all along", plan.RadioStep{Receiver: "NAV1", Beacon: "OFF"}, "OFF is received within 30.0 nm at 4000 ft, and the leg comes no nearer than 45.0 nm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := level(360, 100, 100, 8, air.Wind{})
			middle := earth.Position{Lat: 52, Lon: -2}
			off, _ := earth.Direct(middle, 90, 45)
			p.Points = append(p.Points, plan.Point{Ident: "OFF", At: off})
			for i := range p.Points {
				p.Points[i].Kind, p.Points[i].RangeNM, p.Points[i].Declination = plan.VOR, 30, new(float64)
			}
			p.Route.Legs[0].Radio = []plan.RadioStep{c.step}
			route, problems := sheet.NewRoute(p)
			require.NotNil(t, route)
			require.Len(t, problems, 1)
			assert.Equal(t, plan.Caution, problems[0].Severity)
			assert.Equal(t, "route.legs[0].radio[0]", problems[0].Path)
			assert.Equal(t, c.want, problems[0].Text)
			assert.NotEmpty(t, problems[0].Hint)
			assert.False(t, route.Legs[0].Radio[0].InRange)

			p.Points[0].ElevationFt = 0
			_, problems = sheet.Compute(p)
			said := 0
			for _, problem := range problems {
				if problem.Path == "route.legs[0].radio[0]" {
					said++
				}
			}
			assert.Equal(t, 1, said, "the climb adds nothing to it")
		})
	}
}

// TestUseEndsAtTheNextStep: a beacon need not be received after the receiver has gone on to another.
func TestUseEndsAtTheNextStep(t *testing.T) {
	p := level(360, 100, 100, 8, air.Wind{})
	for i := range p.Points {
		p.Points[i].Kind, p.Points[i].RangeNM = plan.VOR, 60
	}
	p.Route.Legs[0].Radio = []plan.RadioStep{
		{Receiver: "NAV1", Beacon: "AAA", Course: plan.Outbound}, {Receiver: "NAV1", Beacon: "ZZZ", Course: plan.Inbound, At: plan.HalfWay},
	}
	for _, step := range routed(t, p).Legs[0].Radio {
		assert.True(t, step.InRange, step.Beacon.Ident)
	}
}

// TestDirect is a diversion from beside the route.
func TestDirect(t *testing.T) {
	p := lochs()
	route := routed(t, p)
	from, to := earth.Position{Lat: 56.5, Lon: -4.1}, p.Points[0]
	direct, err := route.Direct(from, 4300, to, plan.Level{})
	require.NoError(t, err)
	require.Len(t, direct.Legs, 1)
	assert.InDelta(t, earth.Inverse(from, to.At).DistanceNM, direct.DistanceNM(), 1e-9)
	assert.Equal(t, 4300.0, direct.Legs[0].AltitudeFt, "the altitude now")
	way, err := direct.Reckon(sheet.Start{AltitudeFt: 4300}, sheet.Forecast(p))
	require.NoError(t, err)
	assert.InDelta(t, 1035, way[len(way)-1].ToFt, 1e-6, "to circuit height")

	kelvin, _ := p.Point("KVN")
	direct, err = route.Direct(from, 4300, kelvin, plan.Level{AltitudeFt: 5000})
	require.NoError(t, err)
	require.Len(t, direct.Legs[0].Radio, 1)
	assert.True(t, direct.Legs[0].Radio[0].Automatic)
	way, err = direct.Reckon(sheet.Start{AltitudeFt: 4300}, sheet.Forecast(p))
	require.NoError(t, err)
	assert.Equal(t, 5000.0, way[len(way)-1].ToFt, "a beacon has no circuit: it is reached at the level")

	_, err = route.Direct(to.At, 4300, to, plan.Level{})
	assert.ErrorContains(t, err, "direct to STR")
	assert.Equal(t, "STR", p.Route.From, "the plan is left alone")
}

// TestRouteThatCannotBe: two points at one place, a date that the magnetic model does not know.
func TestRouteThatCannotBe(t *testing.T) {
	p := lochs()
	p.Points[1].At = p.Points[0].At
	route, problems := sheet.NewRoute(p)
	assert.Nil(t, route)
	assert.True(t, plan.HasErrors(problems))
	assert.Contains(t, problems[0].Text, "STR and KVN are at one place")

	p = lochs()
	p.OffBlocks = time.Date(1998, 6, 1, 0, 0, 0, 0, time.UTC)
	route, problems = sheet.NewRoute(p)
	assert.Nil(t, route)
	require.True(t, plan.HasErrors(problems))
	dates := 0
	for _, problem := range problems {
		if problem.Path == "date" {
			dates++
		}
	}
	assert.Equal(t, 1, dates, "said once")
}

// TestLineOfSightRule ties the ranges here to the published rule, case 8.14: FL100 and a station at 100 ft give 135 nm.
func TestLineOfSightRule(t *testing.T) {
	assert.InDelta(t, 135, radio.LineOfSightNM(10000, 100), 0.5)
}
