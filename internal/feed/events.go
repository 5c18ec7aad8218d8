package feed

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
)

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
