package flight

import (
	"encoding/json"
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// reference are values made with numpy 1.24.2 and GeographicLib 2.0 by testdata/reference.py.
type reference struct {
	Kalman struct {
		Mean, Slope        vector
		Covariance         [states]vector
		Residual, Variance float64
		MeanAfter          vector         `json:"mean_after"`
		CovarianceAfter    [states]vector `json:"covariance_after"`
	}
	Markov []struct{ Sigma, Hours, Minutes, Slope, Wind, Both, Way float64 }
	Ahead  []struct {
		Sigma, Hours       float64
		Parts              [][2]float64
		Variance, Recalled float64
	}
	Readings []struct {
		Along, Right, Lat, Lon float64
		Shown                  map[string]struct {
			Radial, DME   float64
			BearingToTrue float64 `json:"bearing_to_true"`
		}
	}
}

func readReference(t *testing.T) reference {
	t.Helper()
	text, err := os.ReadFile("testdata/reference.json")
	require.NoError(t, err)
	var r reference
	require.NoError(t, json.Unmarshal(text, &r))
	return r
}

// numpy 1.24.2: the gain by matrix inversion, the covariance in Joseph's form.
func TestObservedIsTheKalmanUpdate(t *testing.T) {
	k := readReference(t).Kalman
	after := belief{mean: k.Mean, covariance: k.Covariance}.observed(k.Residual, k.Slope, k.Variance)
	for i := range states {
		require.InDelta(t, k.MeanAfter[i], after.mean[i], 1e-9)
		for j := range states {
			require.InDelta(t, k.CovarianceAfter[i][j], after.covariance[i][j], 1e-9)
		}
	}
}

// numpy 1.24.2: the covariance of a Gauss-Markov process and of the way that it leads along, integrated in 200,000 steps.
func TestCarriedIsAGaussMarkovProcess(t *testing.T) {
	for _, c := range readReference(t).Markov {
		b := belief{forecastKt: c.Sigma}
		wanders := math.Sqrt(2 * c.Sigma * c.Sigma / c.Hours)
		minutes := c.Minutes * math.Pow(wanders/wanderKt, 2) // the program's own time constant in place of the case's
		after := b.carried(&motion{minutes: minutes, along: vector{windNorth: c.Slope}})
		require.InEpsilon(t, c.Wind, after.covariance[windNorth][windNorth], 1e-4)
		require.InEpsilon(t, c.Both, after.covariance[windNorth][alongNM], 1e-4)
		require.InEpsilon(t, c.Way, after.covariance[alongNM][alongNM], 1e-4)
	}
}

// numpy 1.24.2: the variance of a sum of parts of a Gauss-Markov process, by its covariance function in 400 steps a part.
func TestWanderingAheadIsThatOfTheProcess(t *testing.T) {
	for _, c := range readReference(t).Ahead {
		a := &outlook{belief: belief{forecastKt: c.Sigma}}
		scale := math.Pow(math.Sqrt(2*c.Sigma*c.Sigma/c.Hours)/wanderKt, 2)
		var g gathered
		slope := vector{}
		for _, part := range c.Parts {
			slope[windNorth] += part[1]
			g = a.goOn(g, g.minutes+scale*part[0], 0, slope)
		}
		require.InEpsilon(t, c.Variance, g.wander, 1e-4)
		require.InEpsilon(t, c.Recalled, g.recalled[windNorth], 1e-4)
	}
}

// flying is a flight on the leg from KVN to GRN, passed some minutes ago, of whose plan there may be more points.
func flying(t *testing.T, minutesAgo float64, more ...plan.Point) (*State, time.Time) {
	t.Helper()
	p, _ := plan.Load("../../testdata/flights/plans/lochs.yaml", os.ReadFile)
	require.NotNil(t, p)
	p.Points = append(p.Points, more...)
	s, _ := sheet.Compute(p)
	require.NotNil(t, s)
	state := New(s, "live")
	passed := s.Airborne.Add(16 * time.Minute)
	for i, e := range []Event{{Act: Airborne, T: s.Airborne}, {Act: Passing, Point: "KVN", T: passed}} {
		e.N, e.Rec = i+1, e.T
		require.NoError(t, state.Apply(e))
	}
	return state, plus(passed, minutesAgo)
}

// GeographicLib 2.0: what is read at a place along and beside the leg is, in the filter, read there and nowhere else; and the Snapshot says
// that it will be read there.
func TestReadingsAreThoseOfThePlace(t *testing.T) {
	for _, c := range readReference(t).Readings {
		state, at := flying(t, c.Along/94*60)
		p := state.fold
		n, ok := p.here(at)
		require.True(t, ok)
		heading := 315.0
		p.steers = values.ListOf([]steer{{at: at, magnetic: heading}})
		for ident, shown := range c.Shown {
			declination := p.declinationAt(n.place)
			relative := angle.Wrap360(shown.BearingToTrue - declination - heading)
			e := Event{Beacon: ident, DME: &shown.DME, Radial: &shown.Radial, Relative: &relative}
			beacon, _ := p.sheet.Plan.Point(ident)
			if !beacon.Kind.HasRadials() {
				e.DME, e.Radial = nil, nil
			}
			figures := p.figures(e, n)
			require.NotEmpty(t, figures)
			for i, f := range figures { // nm, degrees
				require.InDelta(t, 0, f.off(c.Along, c.Right), 2e-3, "%s figure %d", ident, i)
			}
			if e.Radial == nil {
				continue
			}
			where := earth.Position{Lat: c.Lat, Lon: c.Lon}
			reading := p.expectAt(where, n.point.AltitudeFt, beacon, &shown.Radial)
			require.InDelta(t, 0, angle.Turn(shown.Radial, reading.radial), 1e-3, ident)
			require.InDelta(t, shown.DME, reading.dmeNM, 1e-3, ident)
		}
	}
}

// GeographicLib 2.0: what the Snapshot says that tuned beacons read on the track, 10 nm from KVN: radial and distance, TO or FROM, the ADF
// needle for the heading told.
func TestTunedBeaconsReadAsThePlaceDoes(t *testing.T) {
	c := readReference(t).Readings[0]
	state, _ := flying(t, 0)
	p := state.fold
	minutes, ok := p.outlook.minutesTo(place{1, c.Along})
	require.True(t, ok)
	at := p.outlook.after(minutes)
	heading := 320.0
	for _, e := range []Event{
		{Act: Tuned, Receiver: "NAV1", Beacon: "KVN"},
		{Act: Tuned, Receiver: "NAV2", Beacon: "GRN"},
		{Act: Tuned, Receiver: "ADF", Beacon: "OBN"},
		{Act: Steering, Heading: &heading},
	} {
		e.N, e.T, e.Rec = state.records.Len()+1, at, at
		require.NoError(t, state.Apply(e))
	}
	shown := map[string]*BeaconNow{}
	for _, receiver := range state.At(at).Radio {
		shown[receiver.Receiver] = receiver.Tuned
	}
	for receiver, ident := range map[string]string{"NAV1": "KVN", "NAV2": "GRN"} {
		require.InDelta(t, 0, angle.Turn(c.Shown[ident].Radial, *shown[receiver].Radial), 0.01, ident)
		require.InDelta(t, c.Shown[ident].DME, *shown[receiver].DME, 0.005, ident)
	}
	require.Equal(t, "FROM", shown["NAV1"].Sense.String())
	qdm := c.Shown["OBN"].BearingToTrue - p.declinationAt(place{1, c.Along})
	require.InDelta(t, 0, angle.Turn(qdm, *shown["ADF"].QDM), 0.01)
	require.InDelta(t, 0, angle.Turn(qdm-heading, *shown["ADF"].Relative), 0.01)
	require.NoError(t, state.Apply(Event{N: state.records.Len() + 1, T: at, Rec: at, Act: Tuned, Receiver: "NAV1", Beacon: "GRN"}))
	require.Equal(t, "TO", state.At(at).Radio[0].Tuned.Sense.String())
}

// Fixes move the place to where they are taken, whatever they are made of, from where it was reckoned to be half a mile off.
func TestFixesFindThePlace(t *testing.T) {
	c := readReference(t).Readings[2]
	where := earth.Position{Lat: c.Lat, Lon: c.Lon}
	kvn, grn, obn := c.Shown["KVN"], c.Shown["GRN"], c.Shown["OBN"]
	for name, events := range map[string][]Event{
		"radial and DME": {{Beacon: "GRN", Radial: &grn.Radial, DME: &grn.DME}},
		"two radials":    {{Beacon: "KVN", Radial: &kvn.Radial}, {Beacon: "GRN", Radial: &grn.Radial, DME: &grn.DME}},
		"two beacons":    {{Beacon: "OBN", DME: &obn.DME, Radial: &obn.Radial}, {Beacon: "GRN", DME: &grn.DME}},
		"position":       {{At: &where}},
		"fed":            {{Act: Position, At: &where}},
	} {
		state, at := flying(t, (c.Along-0.5)/94*60)
		for _, e := range events {
			if e.Act == "" {
				e.Act = Fix
			}
			e.N, e.T, e.Rec = state.records.Len()+1, at, at
			require.NoError(t, state.Apply(e))
		}
		now := state.At(at).Position
		apart := earth.Inverse(where, now.Place()).DistanceNM
		require.Less(t, apart, 2*math.Hypot(now.UncertaintyNM, now.UncertaintyAcrossNM), name)
		require.Less(t, apart, 0.45, "%s: nearer than the 1.3 nm that it was reckoned to be away", name)
		require.NotNil(t, now.OffTrackNM, name)
	}
}

// Whatever happens, a belief stays one: no variance is negative, none of a component of the wind is above the forecast's, and what is taken
// in makes nothing less sure.
func TestABeliefStaysOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		forecastKt := rapid.Float64Range(1, 20).Draw(t, "forecast kt")
		b := prior(forecastKt).told(alongNM, 0, 0.5)
		draw := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
		for range rapid.IntRange(1, 20).Draw(t, "steps") {
			switch rapid.IntRange(0, 2).Draw(t, "what") {
			case 0:
				slope := vector{windNorth: draw("north", 0.5), windEast: draw("east", 0.5), tasBias: draw("tas", 0.5)}
				across := vector{windNorth: draw("north", 0.5), windEast: draw("east", 0.5), gyroDeg: draw("gyro", 0.5)}
				b = b.carried(&motion{minutes: math.Abs(draw("minutes", 60)), heightFt: draw("feet", 5000), along: slope, across: across, groundspeedKt: 100})
			case 1:
				slope := vector{alongNM: draw("along", 2), acrossNM: draw("across", 2), radialDeg: draw("radial", 1)}
				before, variance := b, math.Abs(draw("variance", 1))+0.01
				b = b.observed(draw("residual", 3), slope, variance)
				for i := range states {
					require.LessOrEqual(t, b.covariance[i][i], before.covariance[i][i]+1e-9)
				}
			case 2:
				b = b.turned(draw("turn", 180), 1+draw("ratio", 0.4))
			}
			for i := range states {
				require.GreaterOrEqual(t, b.covariance[i][i], -1e-9, "state %d", i)
				for j := range states {
					require.InDelta(t, b.covariance[i][j], b.covariance[j][i], 1e-6)
					require.LessOrEqual(t, b.covariance[i][j]*b.covariance[i][j], b.covariance[i][i]*b.covariance[j][j]+1e-6)
				}
			}
			require.LessOrEqual(t, b.covariance[windNorth][windNorth], forecastKt*forecastKt+1e-6)
		}
	})
}

// Two radials that cut are a fix, though each is an entry of its own and minutes lie between them: the aircraft is where they cross, as sure as it is said to be.
// Two of the same station, or ones read long apart, are none.
func TestTwoLinesThatCutAreAFix(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		far := earth.Position{Lat: 56.5, Lon: -4} // about where the leg is
		azimuth := rapid.Float64Range(0, 360).Draw(r, "the first of two beacons far away lies towards")
		vor := func(ident string, azimuthTrue float64) plan.Point {
			at, _ := earth.Direct(far, azimuthTrue, rapid.Float64Range(30, 100).Draw(r, "so far"))
			return plan.Point{Ident: ident, Kind: plan.VOR, At: at, Frequency: 113}
		}
		state, start := flying(t, rapid.Float64Range(4, 7).Draw(r, "minutes"), vor("FAR", azimuth), vor("OFF", azimuth+rapid.Float64Range(45, 135).Draw(r, "and the second to the right of it")))
		told := rapid.Bool().Draw(r, "a heading is told") // by which a single line moves the place too, as far as it is weighed
		if told {
			heading := state.At(start).Steer.HeadingMagnetic
			require.NoError(t, state.Apply(Event{N: 3, T: plus(start, -3.9), Rec: start, Act: Steering, Heading: heading}))
		}
		l, before := state.fold.legs[1].line().Line, state.fold
		rightNM := rapid.Float64Range(-8, 8).Draw(r, "right of track")
		wait := time.Duration(rapid.IntRange(0, 15).Draw(r, "half minutes apart")) * 30 * time.Second
		if told { // else what the first line says of wind and heading carries it on otherwise
			wait = 0
		}
		beacons := rapid.SampledFrom([][2]string{{"KVN", "OBN"}, {"OBN", "KVN"}, {"GRN", "OBN"}, {"KVN", "KVN"}, {"FAR", "OFF"}}).Draw(r, "beacons")
		var from []float64
		sight := func(ident string, at time.Time) earth.Position {
			alongNM, _ := before.reckonedAlong(at)
			on, azimuth := l.At(alongNM)
			where, _ := earth.Direct(on, azimuth+90, rightNM)
			station, _ := state.fold.sheet.Plan.Point(ident)
			line := earth.Inverse(station.At, where)
			from = append(from, line.AzimuthEnd)
			radial := line.AzimuthStart - state.fold.stations[ident]
			e := Event{N: state.records.Len() + 1, T: at, Rec: at, Act: Fix, Beacon: ident, Radial: ref(angle.Wrap360(radial))}
			require.NoError(t, state.Apply(e))
			return where
		}
		sight(beacons[0], start)
		require.True(r, told || state.At(start).Position.OffTrackNM == nil, "one line tells no place")
		where := sight(beacons[1], start.Add(wait))
		now := state.At(start.Add(wait)).Position
		if beacons[0] == beacons[1] || wait > crossedWithin {
			require.True(r, told || now.OffTrackNM == nil)
			return
		}
		const aboutNone, surely = 20.0, 40.0
		switch cut := math.Abs(math.Remainder(from[1]-from[0], 180)); {
		case cut < aboutNone:
			require.True(r, told || now.OffTrackNM == nil, "lines that cut by %.0f degrees", cut)
			return
		case cut < surely && (told || now.OffTrackNM == nil):
			return
		}
		require.NotNil(r, now.OffTrackNM)
		if earth.Inverse(where, now.Place()).DistanceNM < 2*math.Hypot(now.UncertaintyNM, now.UncertaintyAcrossNM) {
			return
		}
		for _, ident := range beacons { // else it is one that neither line denies by more than is usual
			station, _ := state.fold.sheet.Plan.Point(ident)
			denied := angle.Turn(earth.Inverse(station.At, now.Place()).AzimuthStart, earth.Inverse(station.At, where).AzimuthStart)
			require.Less(r, math.Abs(denied), math.Hypot(radialSigmaDeg, readingSigmaDeg), "%s: %v, at %v", ident, now.Place(), where)
		}
	})
}
