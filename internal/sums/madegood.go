package sums

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

// Track asks what a heading makes good in a wind.
type Track struct {
	Heading   say.Direction // true where no north is said
	TASKt     float64
	Wind      air.Wind
	Variation *float64 // optional: for magnetic directions
}

// Sum works the wind triangle for the track and the groundspeed.
func (t Track) Sum() (Sum, error) {
	var w working
	headingTrue, err := w.trueOf("heading", t.Heading, t.Variation)
	if err != nil {
		return Sum{}, err
	}
	track, groundspeed := deadreckon.TrackFor(headingTrue, t.TASKt, t.Wind)
	drift := deadreckon.Drift(headingTrue, track)
	w.drift(headingTrue, t.TASKt, t.Wind, drift, groundspeed)
	w.line("track true: %s %s = %s°", dir(headingTrue), plus(drift), dir(track))
	magnetic := w.magneticOf("track", track, t.Variation)
	s := Sum{
		Name: "track", Title: "The track made good on a heading in a wind",
		Given: []Figure{
			either("heading", "heading", t.Heading.Or(say.True)), speedGiven("true airspeed", "tas_kt", t.TASKt), windFigure(t.Wind),
			variationFigure(valueOf(t.Variation)),
		},
		Rule:    "add the way through the air and the way of the air, along the heading and across it",
		Working: w,
		Answers: []Figure{
			trueDirection("track", "track", track), magneticDirection("track", "track", magnetic),
			side("drift", "drift_deg", drift), speed("groundspeed", "groundspeed_kt", groundspeed),
		},
		Source: triangleSource,
	}
	const still = 1e-6 // kt: rounding of a groundspeed of nothing
	if groundspeed < still {
		s.Problem = "the wind holds the aircraft over one spot: there is no track"
		s.Answers = []Figure{
			trueDirection("track", "track", unknown), magneticDirection("track", "track", unknown), side("drift", "drift_deg", unknown),
			speed("groundspeed", "groundspeed_kt", 0),
		}
		s.Working = w[:0]
	}
	return s, nil
}

// drift works out what a wind does to a heading.
func (w *working) drift(headingTrue, tasKt float64, wind air.Wind, driftDeg, groundspeedKt float64) {
	headwind, crosswind := wind.Along(headingTrue)
	toWind := angle.Turn(headingTrue, wind.FromTrue)
	along := tasKt - headwind
	w.line("wind from the heading: %s - %s = %s°", dir(wind.FromTrue), dir(headingTrue), num(toWind))
	w.line("headwind: %s × cos(%s) = %s kt", num(wind.SpeedKt), num(toWind), num(headwind))
	w.line("crosswind, from the right positive: %s × sin(%s) = %s kt", num(wind.SpeedKt), num(toWind), num(crosswind))
	w.line("along the heading: %s %s = %s kt", num(tasKt), minus(headwind), num(along))
	w.line("groundspeed: root(%s × %s + %s × %s) = %s kt", fig(along), fig(along), fig(crosswind), fig(crosswind), num(groundspeedKt))
	w.arcLine("drift, right positive", -crosswind, along, driftDeg)
}

// arcLine works out the angle of a vector by its parts across and along a direction.
func (w *working) arcLine(label string, across, along, degrees float64) {
	switch {
	case along > 0:
		w.line("%s: atan(%s / %s) = %s°", label, num(across), num(along), num(degrees))
	case along < 0:
		w.line("%s: 180 + atan(%s / %s) = %s°", label, num(across), fig(along), num(degrees))
	default:
		w.line("%s: straight across, %s°", label, num(math.Copysign(90, across)))
	}
}

// Wind asks for the wind between what was steered and what was made good.
type Wind struct {
	Heading, Track       say.Direction // true where no north is said
	TASKt, GroundspeedKt float64
	Variation            *float64 // optional: for magnetic directions
}

// Sum works the wind triangle for the wind.
func (f Wind) Sum() (Sum, error) {
	var w working
	headingTrue, err := w.trueOf("heading", f.Heading, f.Variation)
	if err != nil {
		return Sum{}, err
	}
	trackTrue, err := w.trueOf("track", f.Track, f.Variation)
	if err != nil {
		return Sum{}, err
	}
	wind := deadreckon.WindFor(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt)
	w.found(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt, wind)
	drift := deadreckon.Drift(headingTrue, trackTrue)
	windFrom := wind.FromTrue
	if wind.SpeedKt == 0 {
		windFrom = unknown
	}
	from := trueDirection("wind from", "wind_from", windFrom)
	from.Values[0].Name = "wind_from"
	return Sum{
		Name: "wind", Title: "The wind between what was steered and what was made good",
		Given: []Figure{
			either("heading", "heading", f.Heading.Or(say.True)), speedGiven("true airspeed", "tas_kt", f.TASKt),
			either("track", "track", f.Track.Or(say.True)), speedGiven("groundspeed", "groundspeed_kt", f.GroundspeedKt),
			variationFigure(valueOf(f.Variation)),
		},
		Rule:    "the way over the ground less the way through the air, along the track and across it",
		Working: w,
		Answers: []Figure{from, speed("wind", "wind_kt", wind.SpeedKt), side("drift", "drift_deg", drift)},
		Notes:   windNotes(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt),
		Source:  triangleSource,
	}, nil
}

func (w *working) found(headingTrue, tasKt, trackTrue, groundspeedKt float64, wind air.Wind) {
	correction := -deadreckon.Drift(headingTrue, trackTrue)
	headwind, crosswind := wind.Along(trackTrue)
	w.line("wind correction, right positive: %s - %s = %s°", dir(headingTrue), dir(trackTrue), num(correction))
	w.line("headwind: %s × cos(%s) - %s = %s kt", num(tasKt), num(correction), num(groundspeedKt), num(headwind))
	w.line("crosswind, from the right positive: %s × sin(%s) = %s kt", num(tasKt), num(correction), num(crosswind))
	w.line("wind speed: root(%s × %s + %s × %s) = %s kt", fig(headwind), fig(headwind), fig(crosswind), fig(crosswind), num(wind.SpeedKt))
	if wind.SpeedKt > 0 {
		toWind := angle.Turn(trackTrue, wind.FromTrue)
		w.arcLine("from the track", crosswind, headwind, toWind)
		w.line("wind from: %s %s = %s°", dir(trackTrue), plus(toWind), dir(wind.FromTrue))
	}
}

// windNotes say how far a small error of what was given moves the wind.
func windNotes(headingTrue, tasKt, trackTrue, groundspeedKt float64) []string {
	turned := deadreckon.WindFor(headingTrue+1, tasKt, trackTrue, groundspeedKt)
	faster := deadreckon.WindFor(headingTrue, tasKt, trackTrue, groundspeedKt+1)
	return []string{"with the heading 1° more the wind is " + exactWind(turned) + ", with the groundspeed 1 kt more " + exactWind(faster)}
}

func exactWind(wind air.Wind) string {
	return say.Degrees(wind.FromTrue) + "/" + say.SayNumber(wind.SpeedKt, 0)
}
