package feed

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demoSheet(t testing.TB) *sheet.Sheet {
	t.Helper()
	p, _ := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	s, _ := sheet.Compute(p)
	require.NotNil(t, s)
	return s
}

// recording is the demo as a receiver would have recorded it, one sample every few seconds: standing, taxi, the take-off run, the way
// exactly as reckoned, from overhead the destination a turn back to it and a landing, taxi and standing. The air's own times are the
// sheet's, so what is to be found in it is known.
func recording(s *sheet.Sheet, every time.Duration) []Sample {
	from, to := s.Legs[0].From, s.Route.Destination()
	r := recorder{at: s.Plan.OffBlocks.Add(-time.Minute), every: every}
	stand, _ := earth.Direct(from.At, 200, 0.8)
	r.stay(stand, from.ElevationFt, time.Minute)
	r.move(stand, from.At, from.ElevationFt, from.ElevationFt, s.Airborne.Add(-20*time.Second))
	r.stay(from.At, from.ElevationFt, s.Airborne.Sub(r.at))
	for minutes := 0.0; minutes < s.Trajectory.TotalMinutes(); minutes += every.Minutes() {
		point := s.Trajectory.At(minutes)
		r.add(s.Route.PositionAt(point.Leg, point.AfterNM), point.AltitudeFt, s.Airborne.Add(time.Duration(minutes*float64(time.Minute))))
	}
	overhead := s.Airborne.Add(time.Duration(s.Trajectory.TotalMinutes() * float64(time.Minute)))
	downwind, _ := earth.Direct(to.At, s.Legs[len(s.Legs)-1].TrackTrue, 2.5)
	circuitFt := to.ElevationFt + to.CircuitFt
	r.move(to.At, downwind, circuitFt, circuitFt, overhead.Add(100*time.Second))
	r.move(downwind, to.At, circuitFt, to.ElevationFt, overhead.Add(240*time.Second))
	parking, _ := earth.Direct(to.At, 30, 0.5)
	r.move(to.At, parking, to.ElevationFt, to.ElevationFt, overhead.Add(500*time.Second))
	r.stay(parking, to.ElevationFt, 2*time.Minute)
	fillMotion(r.samples)
	return r.samples
}

type recorder struct {
	samples []Sample
	at      time.Time
	every   time.Duration
}

func (r *recorder) add(at earth.Position, altitudeFt float64, when time.Time) {
	if n := len(r.samples); n == 0 || when.After(r.samples[n-1].Time) {
		r.samples = append(r.samples, Sample{Time: when, At: at, AltitudeFt: &altitudeFt})
	}
	r.at = when
}

func (r *recorder) stay(at earth.Position, altitudeFt float64, long time.Duration) {
	r.move(at, at, altitudeFt, altitudeFt, r.at.Add(long))
}

func (r *recorder) move(from, to earth.Position, fromFt, toFt float64, until time.Time) {
	begin, line := r.at, earth.NewLine(from, to)
	for when := begin; when.Before(until); when = when.Add(r.every) {
		share := float64(when.Sub(begin)) / float64(until.Sub(begin))
		at, _ := line.At(share * line.DistanceNM())
		r.add(at, fromFt+share*(toFt-fromFt), when)
	}
	r.at = until
}

// TestDemoIsFoundInItsRecording: times as reckoned, to the exactness that the package promises.
func TestDemoIsFoundInItsRecording(t *testing.T) {
	s := demoSheet(t)
	for _, every := range []time.Duration{time.Second, 5 * time.Second, 30 * time.Second} {
		t.Run(every.String(), func(t *testing.T) {
			found := Find(s.Route, recording(s, every), DefaultWithinNM)
			assert.False(t, found.BeginsInFlight || found.EndsInFlight)
			near := func(want, got time.Time, within time.Duration, what string) {
				t.Helper()
				assert.LessOrEqual(t, want.Sub(got).Abs(), within, "%s: %s, not %s", what, got.Format(time.TimeOnly), want.Format(time.TimeOnly))
			}
			near(s.Plan.OffBlocks, found.OffBlocks, 15*time.Second+every, "off blocks")
			near(s.Airborne, found.Airborne, 10*time.Second+every, "airborne")
			overhead := s.Arrival()
			near(overhead.Add(240*time.Second), found.Landed, 10*time.Second+every, "landed")
			near(overhead.Add(500*time.Second), found.OnBlocks, 30*time.Second+every, "on blocks")
			require.Empty(t, found.Missed)
			i := 0
			for l, leg := range s.Legs {
				for c, checkpoint := range leg.Checkpoints {
					got := found.Passings[i]
					assert.Equal(t, []any{checkpoint.Name, l, true}, []any{got.Point, got.Leg, got.Checkpoint})
					near(leg.CheckpointETAs[c], got.Time, 2*time.Second, got.Point)
					assert.InDelta(t, 0, got.OffTrackNM, 0.01, got.Point)
					i++
				}
				got := found.Passings[i]
				assert.Equal(t, []any{leg.To.Ident, l, false}, []any{got.Point, got.Leg, got.Checkpoint})
				near(leg.ETA, got.Time, every/2+2*time.Second, got.Point) // a turn is cut by the line from sample to sample
				i++
			}
			assert.Len(t, found.Passings, i)
		})
	}
}

// TestNoiseMovesPassingsLittle: positions that jump by some 5 m from second to second, those of a poor receiver.
func TestNoiseMovesPassingsLittle(t *testing.T) {
	s := demoSheet(t)
	exact := recording(s, time.Second)
	clean := Find(s.Route, exact, DefaultWithinNM)
	random := rand.New(rand.NewPCG(1, 2))
	noisy := make([]Sample, len(exact))
	for i, sample := range exact {
		at, _ := earth.Direct(sample.At, 360*random.Float64(), 0.0027*math.Abs(random.NormFloat64()))
		altitudeFt := *sample.AltitudeFt + 10*random.NormFloat64()
		noisy[i] = Sample{Time: sample.Time, At: at, AltitudeFt: &altitudeFt, GroundspeedKt: sample.GroundspeedKt, TrackTrue: sample.TrackTrue}
	}
	got := Find(s.Route, noisy, DefaultWithinNM)
	require.Empty(t, got.Missed)
	for i, passing := range got.Passings {
		assert.LessOrEqual(t, passing.Time.Sub(clean.Passings[i].Time).Abs(), 4*time.Second, passing.Point)
	}
	assert.LessOrEqual(t, got.OffBlocks.Sub(clean.OffBlocks).Abs(), 30*time.Second)
	assert.LessOrEqual(t, got.OnBlocks.Sub(clean.OnBlocks).Abs(), 30*time.Second)
}

// TestClosestApproachIsTheFootOfThePerpendicular: past a place on a straight line at a steady speed, the closest approach is where
// and when geometry says, whatever the spacing.
func TestClosestApproachIsTheFootOfThePerpendicular(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := earth.Position{Lat: rapid.Float64Range(-80, 80).Draw(t, "lat"), Lon: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		track := rapid.Float64Range(0, 360).Draw(t, "track")
		right := rapid.Float64Range(-2.5, 2.5).Draw(t, "right of track") // of the place
		speed := rapid.Float64Range(60, 180).Draw(t, "speed")
		spacing := rapid.Float64Range(1, 60).Draw(t, "spacing, seconds")
		before := rapid.Float64Range(4, 8).Draw(t, "nm before")

		foot, _ := earth.Direct(place, track+90, right)
		heading := earth.Inverse(foot, place).AzimuthStart + 90 // square to the place
		if right > 0 {
			heading -= 180
		}
		heading = angle.Wrap360(heading)
		var samples []Sample
		for i := 0; ; i++ {
			along := -before + speed/3600*spacing*float64(i)
			at, _ := earth.Direct(foot, heading, along)
			samples = append(samples, Sample{Time: start.Add(time.Duration(float64(i) * spacing * float64(time.Second))), At: at})
			if along > 4 {
				break
			}
		}
		got := newWay(samples).approaches(place, false, DefaultWithinNM)
		require.Len(t, got, 1)
		seconds := before / speed * 3600
		assert.InDelta(t, seconds, got[0].time.Sub(start).Seconds(), 0.05)
		assert.InDelta(t, math.Abs(right), got[0].distanceNM, 1e-4)
	})
}

func TestOneSquareRouteByHand(t *testing.T) {
	// Along the equator eastwards to B, 10 nm, then north to C; a mile of the equator is a minute of longitude within 0.2 %.
	p := &plan.Plan{Points: []plan.Point{
		{Ident: "A", Kind: plan.Fix}, {Ident: "B", Kind: plan.Fix, At: earth.Position{Lon: 10.0 / 60}}, {Ident: "C", Kind: plan.Fix, At: earth.Position{Lat: 10.0 / 60, Lon: 10.0 / 60}},
	}, OffBlocks: start}
	five := 5.0
	p.Route = plan.Route{From: "A", Legs: []plan.Leg{
		{To: "B", Checkpoints: []plan.Checkpoint{{Name: "half", AfterNM: &five}}}, {To: "C"},
	}}
	route, _ := sheet.NewRoute(p)
	require.NotNil(t, route)
	// Flown a mile right of the first leg until abeam B, then to C: one sample a minute, 60 kt, no heights.
	var samples []Sample
	for minute := range 11 {
		samples = append(samples, Sample{Time: start.Add(time.Duration(minute) * time.Minute), At: earth.Position{Lat: -1.0 / 60, Lon: float64(minute) / 60}})
	}
	for minute := 1; minute <= 11; minute++ {
		samples = append(samples, Sample{Time: start.Add(time.Duration(10+minute) * time.Minute), At: earth.Position{Lat: float64(minute-1) / 60, Lon: 10.0 / 60}})
	}
	fillMotion(samples)
	found := Find(route, samples, DefaultWithinNM)
	assert.True(t, found.BeginsInFlight && found.EndsInFlight)
	require.Len(t, found.Passings, 3)
	half, b, c := found.Passings[0], found.Passings[1], found.Passings[2]
	assert.InDelta(t, 5, half.Time.Sub(start).Minutes(), 0.02)
	assert.InDelta(t, 1, half.OffTrackNM, 0.01, "south of an easterly track is right of it")
	assert.InDelta(t, 11, b.Time.Sub(start).Minutes(), 0.02, "overhead, a mile after abeam")
	assert.InDelta(t, 21, c.Time.Sub(start).Minutes(), 0.02)

	t.Run("not within", func(t *testing.T) {
		found := Find(route, samples, 0.9)
		assert.Equal(t, []string{"B", "C"}, []string{found.Passings[0].Point, found.Passings[1].Point})
		require.Len(t, found.Missed, 1)
		assert.Equal(t, "half", found.Missed[0].Point)
		assert.InDelta(t, 1, found.Missed[0].ClosestNM, 0.01)
	})
}

func TestRoundTripAndHold(t *testing.T) {
	// A to B and back. At B three turns of a hold, each coming a little closer to it; the first time overhead counts.
	a, b := earth.Position{Lat: 50}, earth.Position{Lat: 50.3}
	p := &plan.Plan{Points: []plan.Point{{Ident: "A", At: a}, {Ident: "B", At: b}}, OffBlocks: start}
	p.Route = plan.Route{From: "A", Legs: []plan.Leg{{To: "B"}, {To: "A"}}}
	route, _ := sheet.NewRoute(p)
	r := recorder{at: start, every: time.Second}
	r.move(a, b, 0, 0, start.Add(12*time.Minute))
	for turn := range 3 {
		north, _ := earth.Direct(b, 0, 2)
		side, _ := earth.Direct(north, 90, 1)
		near, _ := earth.Direct(b, 90, 0.15-0.05*float64(turn))
		r.move(b, north, 0, 0, r.at.Add(80*time.Second))
		r.move(north, side, 0, 0, r.at.Add(40*time.Second))
		r.move(side, near, 0, 0, r.at.Add(80*time.Second))
	}
	left := r.at
	r.move(b, a, 0, 0, left.Add(12*time.Minute))
	fillMotion(r.samples)
	found := Find(route, r.samples, DefaultWithinNM)
	require.Len(t, found.Passings, 2)
	assert.LessOrEqual(t, found.Passings[0].Time.Sub(start.Add(12*time.Minute)).Abs(), 10*time.Second)
	assert.Equal(t, []any{"A", 1}, []any{found.Passings[1].Point, found.Passings[1].Leg})
	assert.Equal(t, r.samples[len(r.samples)-1].Time, found.Passings[1].Time, "not the A at which it began")

	p.Points = append(p.Points, plan.Point{Ident: "M", At: earth.Position{Lat: 50.2}})
	p.Route.Legs = []plan.Leg{{To: "B"}, {To: "M"}, {To: "A"}}
	route, _ = sheet.NewRoute(p)
	away := Find(route, r.samples[:slices.IndexFunc(r.samples, func(s Sample) bool { return !s.Time.Before(left.Add(6 * time.Minute)) })], DefaultWithinNM)
	require.Len(t, away.Missed, 1)
	assert.InDelta(t, 9, away.Missed[0].ClosestNM, 0.1, "not how close it was when it began")
}

// A route goes to and fro between two places, or three, and is flown as far as it goes: over some of the legs' ends, and some way along the leg after the last of them, where
// the track ends or goes back to the place it came from. Each end that was passed is that of the leg that was flown, or of the next that ends where
// the track goes back to, and none is passed that was not.
func TestToAndFroEachPassingIsThatOfTheLegFlown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		places := []earth.Position{{Lat: 50}, {Lat: 50.3}, {Lat: 50.3, Lon: 0.6}}[:rapid.IntRange(2, 3).Draw(t, "places")]
		p := &plan.Plan{OffBlocks: start}
		for i, at := range places {
			p.Points = append(p.Points, plan.Point{Ident: string(rune('A' + i)), At: at})
		}
		at := []int{0} // the places of the route, there and back
		for range rapid.IntRange(1, 6).Draw(t, "legs") {
			next := len(at) % (2*len(places) - 2)
			if next >= len(places) {
				next = 2*len(places) - 2 - next
			}
			at = append(at, next)
			p.Route.Legs = append(p.Route.Legs, plan.Leg{To: p.Points[next].Ident})
		}
		p.Route.From = "A"
		route, _ := sheet.NewRoute(p)
		require.NotNil(t, route)

		flown := rapid.IntRange(0, len(at)-1).Draw(t, "legs flown")
		r := recorder{at: start, every: time.Second}
		fly := func(from, to earth.Position) {
			r.move(from, to, 0, 0, r.at.Add(time.Duration(earth.Inverse(from, to).DistanceNM/90*float64(time.Hour))))
		}
		type passed struct {
			leg int
			at  time.Time
		}
		var want []passed
		for leg := range flown {
			fly(places[at[leg]], places[at[leg+1]])
			want = append(want, passed{leg, r.at})
		}
		if flown < len(at)-1 {
			some, _ := route.Legs[flown].Line.At(rapid.Float64Range(4, 10).Draw(t, "nm further"))
			fly(places[at[flown]], some)
			if rapid.Bool().Draw(t, "back") {
				fly(some, places[at[flown]])
				if legs := slices.Index(at[flown+1:], at[flown]); legs >= 0 { // where a leg to come ends too
					want = append(want, passed{flown + legs, r.at})
				}
			}
		}
		fillMotion(r.samples)
		found := Find(route, r.samples, DefaultWithinNM)
		require.Len(t, found.Passings, len(want))
		for i, passing := range found.Passings {
			assert.Equal(t, want[i].leg, passing.Leg, passing.Point)
			assert.LessOrEqual(t, passing.Time.Sub(want[i].at).Abs(), 3*time.Second, passing.Point)
		}
	})
}

// TestChainIsTheBest compares with every possible choice.
func TestChainIsTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := rapid.Custom(func(t *rapid.T) candidate {
			return candidate{time: start.Add(time.Duration(rapid.IntRange(0, 12).Draw(t, "time"))), distanceNM: rapid.Float64Range(0, 3).Draw(t, "distance")}
		})
		lists := rapid.SliceOfN(rapid.SliceOfN(one, 0, 4), 1, 5).Draw(t, "candidates")
		for _, list := range lists {
			sortByTime(list)
		}
		chosen := chain(lists, DefaultWithinNM)
		sum, ok := sumOf(lists, chosen)
		require.True(t, ok, "in order of time")
		assert.InDelta(t, bestSum(lists, nil), sum, 1e-9)
	})
}

func sortByTime(list []candidate) {
	for i := range list {
		for j := i; j > 0 && list[j].time.Before(list[j-1].time); j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}

func bestSum(lists [][]candidate, chosen []int) float64 {
	if len(chosen) == len(lists) {
		if sum, ok := sumOf(lists, chosen); ok {
			return sum
		}
		return math.Inf(1)
	}
	best := math.Inf(1)
	for i := -1; i < len(lists[len(chosen)]); i++ {
		best = min(best, bestSum(lists, append(chosen[:len(chosen):len(chosen)], i)))
	}
	return best
}

func sumOf(lists [][]candidate, chosen []int) (sum float64, inOrder bool) {
	last := time.Time{}
	for k, i := range chosen {
		if i < 0 {
			sum += DefaultWithinNM * DefaultWithinNM
			continue
		}
		c := lists[k][i]
		if c.time.Before(last) {
			return 0, false
		}
		last = c.time
		sum += square(max(c.distanceNM, overheadNM))
	}
	return sum, true
}

func TestOfEqualsTheEarliest(t *testing.T) {
	at := func(seconds int, distanceNM float64) candidate {
		return candidate{time: start.Add(time.Duration(seconds) * time.Second), distanceNM: distanceNM}
	}
	assert.Equal(t, []int{0, 0}, chain([][]candidate{{at(1, 0.2), at(5, 0.1)}, {at(2, 0.1), at(6, 0)}}, DefaultWithinNM))
	assert.Equal(t, []int{1, 0}, chain([][]candidate{{at(1, 2.9), at(5, 0.1)}, {at(6, 0)}}, DefaultWithinNM), "a graze long before is not it")
	assert.Equal(t, []int{-1, 0}, chain([][]candidate{{}, {at(6, 0)}}, DefaultWithinNM))
	assert.Equal(t, []int{-1}, chain([][]candidate{{}}, DefaultWithinNM))
}

func TestTakeOffInAStrongWindIsToldByHeight(t *testing.T) {
	var samples []Sample
	add := func(seconds int, kt, ft float64) {
		at, _ := earth.Direct(earth.Position{Lat: 50}, 0, kt/3600*float64(seconds))
		samples = append(samples, Sample{Time: start.Add(time.Duration(seconds) * time.Second), At: at, GroundspeedKt: &kt, AltitudeFt: &ft})
	}
	for s := range 60 {
		add(s, 5, 100)
	}
	for s := 60; s < 180; s++ {
		add(s, 35, 100+float64(s-60)*10) // off the ground at 60 s, 600 ft a minute, slow over the ground
	}
	for s := 180; s < 240; s++ {
		add(s, 80, 1300)
	}
	for s := 240; s < 350; s++ {
		add(s, 35, 1300-float64(s-240)*11) // down to 90 ft
	}
	for s := 350; s < 400; s++ {
		add(s, 3, 95)
	}
	var found Found
	newGround(samples).find(&found)
	assert.InDelta(t, 65, found.Airborne.Sub(start).Seconds(), 2, "50 ft above the ground")
	assert.InDelta(t, 345, found.Landed.Sub(start).Seconds(), 2)
}

func TestTaxiAndRejectedTakeOffAreNoFlight(t *testing.T) {
	s := func(seconds int, kt float64) Sample {
		return Sample{Time: start.Add(time.Duration(seconds) * time.Second), GroundspeedKt: &kt}
	}
	var samples []Sample
	for i := range 300 {
		kt := 15.0
		if i >= 100 && i < 120 {
			kt = 50
		}
		samples = append(samples, s(i, kt))
	}
	var found Found
	newGround(samples).find(&found)
	assert.True(t, found.Airborne.IsZero())
	assert.False(t, found.BeginsInFlight)
}

func TestEventsMakeAFlight(t *testing.T) {
	s := demoSheet(t)
	samples := recording(s, time.Second)
	found := Find(s.Route, samples, DefaultWithinNM)
	events := Events(samples, found, UsualThinning)
	state := flight.New(s, "import")
	counted := map[flight.Act]int{}
	for i := range events {
		events[i].N = i + 1
		require.Equal(t, ByFeed, events[i].By)
		require.Equal(t, events[i].T, events[i].Rec)
		require.False(t, i > 0 && events[i].T.Before(events[i-1].T), "in order of time")
		require.NoError(t, state.Check(events[i]), "%s", flight.Describe(events[i]))
		require.NoError(t, state.Apply(events[i]))
		counted[events[i].Act]++
	}
	assert.Equal(t, flight.Clock, events[0].Act)
	for do, want := range map[flight.Act]int{
		flight.OffBlocks: 1, flight.Airborne: 1, flight.Landed: 1, flight.OnBlocks: 1, flight.Passing: len(found.Passings),
	} {
		assert.Equal(t, want, counted[do], do)
	}
	assert.Less(t, counted[flight.Position], 130, "for 90 minutes")
	end := state.At(events[len(events)-1].T)
	assert.Equal(t, flight.Arrived, end.Phase)
	for _, row := range end.Route {
		assert.NotNil(t, row.Actual, row.Point)
		if row.Actual != nil {
			assert.LessOrEqual(t, math.Abs(*row.DifferenceSeconds), 15.0, "%s: flown as planned", row.Point)
		}
	}
	half := state.Until(s.Legs[2].ETA.Add(-time.Minute)).At(s.Legs[2].ETA.Add(-time.Minute))
	assert.Equal(t, 2, half.Leg.Index, "what is known half-way is what had been recorded then")
}

func TestEventsOfATrackThatBeginsInFlight(t *testing.T) {
	s := demoSheet(t)
	samples := recording(s, time.Second)
	for i, sample := range samples {
		if sample.Time.After(s.Airborne.Add(5 * time.Minute)) {
			samples = samples[i:]
			break
		}
	}
	found := Find(s.Route, samples, DefaultWithinNM)
	events := Events(samples, found, UsualThinning)
	assert.Equal(t, []flight.Act{flight.Clock, flight.Airborne, flight.NoteText}, []flight.Act{events[0].Act, events[1].Act, events[2].Act})
}

func BenchmarkFindInTwelveHours(b *testing.B) {
	s := demoSheet(b)
	samples := recording(s, time.Second)
	for len(samples) < 12*3600 { // round and round
		last := samples[len(samples)-1].Time
		for _, again := range recording(s, time.Second) {
			again.Time = last.Add(again.Time.Sub(s.Plan.OffBlocks) + 2*time.Minute)
			samples = append(samples, again)
		}
	}
	b.Run(fmt.Sprint(len(samples)), func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Find(s.Route, samples, DefaultWithinNM)
		}
	})
}
