package feed

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
)

// Thinning says how many positions of a track are kept. Whoever goes in a straight line at a steady speed, and a steady climb, from
// one that is kept to the next is never further than WithinNM (and WithinFt) from one that was left out at its time, unless it wiggles faster than Apart. Hence a turn,
// a change of speed and the top of a climb are kept, and little else.
type Thinning struct {
	WithinNM float64       // over the ground
	WithinFt float64       // of altitude, where it is known
	Every    time.Duration // one is kept at least this often
	Apart    time.Duration // and none closer to the one before than this, gaps aside: a way that is all wiggles is cut short
}

// UsualThinning keeps a flight to within some 90 m and what an altimeter shows. A minute is as often as a flight is reckoned anew
// from a feed.
var UsualThinning = Thinning{WithinNM: 0.05, WithinFt: 100, Every: time.Minute, Apart: 5 * time.Second}

// Thinner keeps the positions of a track that can't be interpolated. It works on a live track too: it holds back no more than the
// latest position. The zero Thinner keeps all.
type Thinner struct {
	Thinning

	kept    spot   // the last one kept
	left    []spot // those after it, in order; the last of them may still be kept
	started bool
}

// spot is a sample with its place as a vector from the earth's centre, for quick interpolation.
type spot struct {
	Sample
	vector vector
}

// Add takes the next sample, later than the one before, and returns those that are to be kept: up to two, in order of time.
func (t *Thinner) Add(s Sample) []Sample {
	next := spot{s, vectorOf(s.At)}
	if !t.started || s.AfterGap {
		out := append(t.Flush(), s)
		t.keep(next)
		t.started = true
		return out
	}
	var out []Sample
	if n := len(t.left); n > 0 && t.left[n-1].Time.Sub(t.kept.Time) >= t.Apart && !t.fits(next) { // then it did up to the one before
		out = t.Flush()
	}
	if next.Time.Sub(t.kept.Time) >= t.Every {
		t.keep(next)
		return append(out, s)
	}
	t.left = append(t.left, next)
	return out
}

// Flush returns the last sample if it was held back: at the end of a track, and before a gap.
func (t *Thinner) Flush() []Sample {
	if len(t.left) == 0 {
		return nil
	}
	last := t.left[len(t.left)-1]
	t.keep(last)
	return []Sample{last.Sample}
}

func (t *Thinner) keep(s spot) { t.kept, t.left = s, t.left[:0] }

// fits reports whether all that would be left out lies close to the way to the next.
func (t *Thinner) fits(next spot) bool {
	whole := next.Time.Sub(t.kept.Time)
	for _, s := range t.left {
		share := float64(s.Time.Sub(t.kept.Time)) / float64(whole)
		if s.vector.distanceNM(t.kept.vector.towards(next.vector, share)) > t.WithinNM {
			return false
		}
		if s.AltitudeFt != nil && t.kept.AltitudeFt != nil && next.AltitudeFt != nil {
			between := *t.kept.AltitudeFt + share*(*next.AltitudeFt-*t.kept.AltitudeFt)
			if math.Abs(*s.AltitudeFt-between) > t.WithinFt {
				return false
			}
		}
	}
	return true
}

// thinned is a whole track, thinned.
func thinned(samples []Sample, thinning Thinning) []Sample {
	thinner := Thinner{Thinning: thinning}
	var kept []Sample
	for _, s := range samples {
		kept = append(kept, thinner.Add(s)...)
	}
	return append(kept, thinner.Flush()...)
}

// thinnedTo is a whole track, thinned, and thinned more where more than so many are left.
func thinnedTo(most int, samples []Sample, thinning Thinning) []Sample {
	kept := thinned(samples, thinning)
	for len(kept) > most {
		thinning.WithinNM, thinning.WithinFt, thinning.Every = 2*thinning.WithinNM, 2*thinning.WithinFt, 2*thinning.Every
		kept = thinned(kept, thinning)
	}
	return kept
}

// vector is a direction from the centre of a sphere that stands for the earth: distances by it are good to half a per cent, which
// serves to compare and to leave out, not to measure.
type vector struct{ x, y, z float64 }

// earthRadiusNM is the mean radius of the earth.
const earthRadiusNM = 6371.0088 / 1.852

func vectorOf(p earth.Position) vector {
	cosLat := angle.Cos(p.Lat)
	return vector{cosLat * angle.Cos(p.Lon), cosLat * angle.Sin(p.Lon), angle.Sin(p.Lat)}
}

// distanceNM is the length of the chord, which for the distances at hand is that of the arc.
func (v vector) distanceNM(w vector) float64 {
	x, y, z := v.x-w.x, v.y-w.y, v.z-w.z
	return earthRadiusNM * math.Sqrt(x*x+y*y+z*z)
}

// towards is the point a share of the way along the chord to another.
func (v vector) towards(w vector, share float64) vector {
	return vector{v.x + share*(w.x-v.x), v.y + share*(w.y-v.y), v.z + share*(w.z-v.z)}
}

// ByFeed is what an event says of who logged it.
const ByFeed = "feed"

// PositionEvent is a sample as an act of a flight.
func PositionEvent(s Sample) flight.Event {
	at := s.At
	at.Lat, at.Lon = rounded(at.Lat, 1e-7), rounded(at.Lon, 1e-7)
	return flight.Event{
		Act: flight.Position, T: s.Time, At: &at, By: ByFeed,
		Alt: roundedOf(s.AltitudeFt, 1), GS: roundedOf(s.GroundspeedKt, 0.1), Track: directionOf(s.TrackTrue),
	}
}

// mostPositions is how many positions of an imported track a journal holds: more than a debrief can show.
const mostPositions = 3000

// Events are the acts of a flight as its track tells them, in order of time: the clock's setting, blocks, take-off, passings,
// positions thinned, landing. Each counts as recorded when it happened (Rec is T), for that is when the recorder saw it; they have no
// numbers yet.
func Events(samples []Sample, found Found, thinning Thinning) []flight.Event {
	first := samples[0].Time.Round(exact)
	rate := 1.0
	events := []flight.Event{{Act: flight.Clock, T: first, Set: &first, Rate: &rate, By: ByFeed}}
	add := func(do flight.Act, at time.Time) {
		if !at.IsZero() {
			events = append(events, flight.Event{Act: do, T: at, By: ByFeed})
		}
	}
	add(flight.OffBlocks, found.OffBlocks)
	add(flight.Airborne, found.Airborne)
	if found.BeginsInFlight {
		add(flight.Airborne, first)
		events = append(events, flight.Event{Act: flight.NoteText, T: first, Text: "the track begins in flight", By: ByFeed})
	}
	for _, passing := range found.Passings {
		events = append(events, flight.Event{
			Act: flight.Passing, T: passing.Time, Point: passing.Point, OffTrack: roundedOf(&passing.OffTrackNM, 0.01), By: ByFeed,
		})
	}
	for _, s := range thinnedTo(mostPositions, found.moving(samples), thinning) {
		events = append(events, PositionEvent(s))
	}
	add(flight.Landed, found.Landed)
	add(flight.OnBlocks, found.OnBlocks)
	for i := range events {
		events[i].T = events[i].T.Round(exact)
		events[i].Rec = events[i].T
	}
	slices.SortStableFunc(events[1:], func(a, b flight.Event) int { return a.T.Compare(b.T) })
	return events
}

// moving is the part of a track between off-blocks and on-blocks.
func (f Found) moving(samples []Sample) []Sample {
	if !f.OffBlocks.IsZero() {
		samples = samples[slices.IndexFunc(samples, func(s Sample) bool { return !s.Time.Before(f.OffBlocks) }):]
	}
	if !f.OnBlocks.IsZero() {
		if end := slices.IndexFunc(samples, func(s Sample) bool { return s.Time.After(f.OnBlocks) }); end >= 0 {
			samples = samples[:end]
		}
	}
	return samples
}

func rounded(value, step float64) float64 {
	scale := math.Round(1 / step)
	return math.Round(value*scale) / scale
}

func roundedOf(value *float64, step float64) *float64 {
	if value == nil {
		return nil
	}
	result := rounded(*value, step)
	return &result
}

// directionOf is a direction in whole degrees, 0 to 359.
func directionOf(value *float64) *float64 {
	result := roundedOf(value, 1)
	if result != nil && *result == 360 {
		*result = 0
	}
	return result
}
