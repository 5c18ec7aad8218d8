package debrief_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// diverted is the demo flown to its second leg, turned aside there and flown to the alternate.
func diverted(t *testing.T) debrief.Log {
	log := flown(t, 7)
	var events []flight.Event
	for _, e := range log.Events {
		events = append(events, e)
		if e.Act == flight.Passing && e.Point == log.Sheet.Legs[1].To.Ident {
			break
		}
	}
	at := events[len(events)-1].T
	add := func(minutes float64, e flight.Event) {
		at = at.Add(time.Duration(minutes * float64(time.Minute)))
		e.N, e.T, e.Rec = len(events)+1, at, at
		events = append(events, e)
	}
	add(4, flight.Event{Act: flight.Divert, To: "WXH"})
	add(24, flight.Event{Act: flight.Descend})
	add(12, flight.Event{Act: flight.Passing, Point: "WXH"})
	add(5, flight.Event{Act: flight.Landed})
	log.Events = events
	return log
}

// What was flown to where a flight turned aside counts, and so does a leg whose end was never logged.
func TestTheDistanceIsWhatWasFlown(t *testing.T) {
	log := diverted(t)
	f := of(t, log)
	legs := log.Sheet.Route.Legs
	state, err := flight.Fold(log.Sheet, log.Mode, log.Events, nil)
	require.NoError(t, err)
	var turned flight.Event
	for _, e := range log.Events {
		if e.Act == flight.Divert {
			turned = e
		}
	}
	from := state.Hindsight(turned.T).At(turned.T).Position.Place()
	wxh, _ := log.Sheet.Plan.Point("WXH")
	want := legs[0].DistanceNM + legs[1].DistanceNM + earth.Inverse(legs[1].To.At, from).DistanceNM + earth.Inverse(from, wxh.At).DistanceNM
	assert.InDelta(t, want, f.Totals.DistanceNM, 0.02)

	whole := flown(t, 7)
	all := of(t, whole).Totals.DistanceNM
	whole.Events = withoutPassing(whole.Events, legs[1].To.Ident)
	assert.InDelta(t, all, of(t, whole).Totals.DistanceNM, 1e-9)
}

func withoutPassing(events []flight.Event, point string) (left []flight.Event) {
	for _, e := range events {
		if e.Act != flight.Passing || e.Point != point {
			e.N = len(left) + 1
			left = append(left, e)
		}
	}
	return left
}

// The map has the aerodrome that was diverted to, and the way there.
func TestTheMapHasTheDiversion(t *testing.T) {
	f := of(t, diverted(t))
	wxh, _ := demo(t).Plan.Point("WXH")
	last := f.Track.Passed[len(f.Track.Passed)-1]
	assert.Equal(t, "WXH", last.Name)
	assert.Less(t, earth.Inverse(wxh.At, last.Pos).DistanceNM, 0.01)
	require.Len(t, f.Track.Diverted, 2)
	var page bytes.Buffer
	require.NoError(t, f.Write(&page, "html"))
	assert.Contains(t, page.String(), ">WXH</text>")
	assert.Contains(t, page.String(), "<title>WXH "+say.TimeOf(last.At)+"</title>")
	assert.Contains(t, page.String(), "leg 6, found ", "the diversion's leg has the number that the flight gave it")
}

// The drift found on a leg is that of the wind found on it, on a diversion too.
func TestTheDriftFoundIsThatOfTheWindBesideIt(t *testing.T) {
	log := diverted(t)
	f := of(t, log)
	for _, leg := range f.Legs {
		if leg.Wind == nil {
			continue
		}
		track := leg.TrackMagnetic + variationOf(log, leg)
		cruise := log.Sheet.Legs[1].TASKt
		heading, err := deadreckon.HeadingFor(track, cruise, air.Wind{FromTrue: leg.Wind.FromTrue, SpeedKt: leg.Wind.SpeedKt})
		require.NoError(t, err)
		want := angle.Turn(heading.HeadingTrue, track)
		assert.LessOrEqual(t, math.Abs(want-*leg.FoundDrift), 0.5+0.1*math.Abs(want), "%s to %s", leg.From, leg.To)
	}
}

// variationOf is the variation on a leg: that of the plan's leg beside it, within a tenth of a degree.
func variationOf(log debrief.Log, leg debrief.Leg) float64 {
	return log.Sheet.Route.Legs[min(leg.Index, len(log.Sheet.Legs)-1)].Variation
}
