package sums

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

const triangleSource = "the wind triangle, PHAK navigation chapter; exact on a flat earth, for one wind, level and speed"

func windFigure(wind air.Wind) Figure {
	text := say.Degrees(wind.FromTrue) + "/" + say.SayNumber(wind.SpeedKt, 2) + " true"
	return Figure{Label: "wind", Text: text, Values: []Value{{"wind_from", wind.FromTrue}, {"wind_kt", wind.SpeedKt}}}
}

func deviationFigure(deviation *float64) Figure {
	return figure("deviation", "deviation", valueOf(deviation), func(value float64) string { return say.SayEast(value, 2) })
}

// Heading asks what to steer for a track in a wind.
type Heading struct {
	Track      say.Direction // true where no north is said
	TASKt      float64
	Wind       air.Wind
	Variation  *float64  // optional: for magnetic directions
	Deviation  *float64  // optional: for the compass
	DistanceNM *float64  // optional: for the time
	Flow       *say.Fuel // optional: for the fuel of that time
}

// Sum works the wind triangle for the heading.
func (h Heading) Sum() (Sum, error) {
	s := Sum{
		Name: "heading", Title: "What to steer for a track in a wind", Given: h.given(),
		Rule:   "sin(wind correction) = crosswind / true airspeed, into the wind; groundspeed = true airspeed × cos(wind correction) - headwind",
		Source: triangleSource,
	}
	if err := h.check(); err != nil {
		return Sum{}, err
	}
	var w working
	trackTrue, err := w.trueOf("track", h.Track, h.Variation)
	if err != nil {
		return Sum{}, err
	}
	steer, err := w.heading("", trackTrue, h.TASKt, h.Wind)
	if err != nil {
		s.Problem = err.Error()
	}
	magnetic := w.magneticOf("heading", steer.HeadingTrue, h.Variation)
	compass := w.compassOf(magnetic, h.Deviation)
	minutes, used := w.leg(h.DistanceNM, steer.GroundspeedKt, h.Flow)
	trackMagnetic := unknown
	if h.Variation != nil {
		trackMagnetic = deadreckon.MagneticFromTrue(trackTrue, *h.Variation)
	}
	s.Working = w
	s.Answers = []Figure{
		trueDirection("heading", "heading", steer.HeadingTrue), magneticDirection("heading", "heading", magnetic),
		figure("heading", "heading_compass", compass, func(degrees float64) string { return say.Degrees(degrees) + " compass" }),
		side("wind correction", "wind_correction_deg", steer.CorrectionDeg), speed("groundspeed", "groundspeed_kt", steer.GroundspeedKt),
		trueDirection("track", "track", trackTrue), magneticDirection("track", "track", trackMagnetic),
		span("time", "minutes", minutes), fuelFigure("fuel", "fuel", used),
	}
	return s, nil
}

func (h Heading) given() []Figure {
	return []Figure{
		eitherGiven("track", "track", h.Track.Or(say.True)), speedGiven("true airspeed", "tas_kt", h.TASKt), windFigure(h.Wind),
		variationFigure(valueOf(h.Variation)), deviationFigure(h.Deviation), milesGiven("distance", "distance_nm", valueOf(h.DistanceNM)),
		flowFigure("flow", "flow_per_hour", h.Flow), fuelUnit(h.Flow),
	}
}

func (h Heading) check() error {
	switch {
	case h.Deviation != nil && h.Variation == nil:
		return unfit("give the variation, for example 3W", "a deviation counts from magnetic north, and no variation is given")
	case h.Flow != nil && h.DistanceNM == nil:
		return unfit("give the distance, for example 36.5 nm", "a flow gives fuel only over a distance")
	}
	return nil
}

// heading solves the triangle and works it out, as far as there is a solution: without one the heading is unknown, without headway the
// groundspeed. What it is for stands before each line.
func (w *working) heading(what string, trackTrue, tasKt float64, wind air.Wind) (deadreckon.Heading, error) {
	headwind, crosswind := w.windAlong(what, "track", trackTrue, wind)
	steer, err := deadreckon.HeadingFor(trackTrue, tasKt, wind)
	if steer == (deadreckon.Heading{}) && err != nil {
		return deadreckon.Heading{CorrectionDeg: unknown, HeadingTrue: unknown, GroundspeedKt: unknown}, err
	}
	w.line("%swind correction, right positive: asin(%s / %s) = %s°", what, num(crosswind), num(tasKt), num(steer.CorrectionDeg))
	w.line("%sheading true: %s %s = %s°", what, dir(trackTrue), plus(steer.CorrectionDeg), dir(steer.HeadingTrue))
	w.line("%sgroundspeed: %s × cos(%s) %s = %s kt", what, num(tasKt), num(steer.CorrectionDeg), minus(headwind), num(steer.GroundspeedKt))
	if err != nil {
		steer.GroundspeedKt = unknown
	}
	return steer, err
}

// windAlong works out the parts of a wind along a direction, a track or a heading, and across it.
func (w *working) windAlong(what, direction string, degreesTrue float64, wind air.Wind) (headwindKt, crosswindKt float64) {
	headwindKt, crosswindKt = wind.Along(degreesTrue)
	toWind := angle.Turn(degreesTrue, wind.FromTrue)
	w.line("%swind from the %s: %s - %s = %s°", what, direction, dir(wind.FromTrue), dir(degreesTrue), num(toWind))
	w.line("%sheadwind: %s × cos(%s) = %s kt", what, num(wind.SpeedKt), num(toWind), num(headwindKt))
	w.line("%scrosswind, from the right positive: %s × sin(%s) = %s kt", what, num(wind.SpeedKt), num(toWind), num(crosswindKt))
	return headwindKt, crosswindKt
}

// leg works out the time and the fuel of a leg, as far as they are asked for and exist.
func (w *working) leg(distanceNM *float64, groundspeedKt float64, flow *say.Fuel) (minutes float64, used say.Fuel) {
	used.Amount = unknown
	if distanceNM == nil || !known(groundspeedKt) {
		return unknown, used
	}
	minutes = deadreckon.Minutes(*distanceNM, groundspeedKt)
	w.minutesLine("time", *distanceNM, groundspeedKt, minutes)
	if flow != nil {
		used = burned(minutes, *flow)
		w.fuelLine("fuel", flow, minutes, used)
	}
	return minutes, used
}

// burned is the fuel that a flow uses in a time, in the flow's unit.
func burned(minutes float64, flow say.Fuel) say.Fuel {
	return say.Fuel{Amount: fuel.Burned(minutes, flow.Amount), Unit: flow.Unit}
}

// trueOf turns a direction that was given into one counted from true north, the north meant where none was said, and works it out.
func (w *working) trueOf(name string, d say.Direction, variation *float64) (degreesTrue float64, err error) {
	if d.North != say.Magnetic {
		return d.Degrees, nil
	}
	if variation == nil {
		return 0, unfit("give the variation, for example 3W, or the "+name+" from true north",
			"a magnetic "+name+" and a true wind need the variation between them")
	}
	degreesTrue = deadreckon.TrueFromMagnetic(d.Degrees, *variation)
	w.line("%s true: %s %s = %s°", name, dir(d.Degrees), plus(*variation), dir(degreesTrue))
	return degreesTrue, nil
}

// magneticOf turns a true direction into a magnetic one, if the variation is known, and works it out.
func (w *working) magneticOf(name string, degreesTrue float64, variation *float64) (degreesMagnetic float64) {
	if variation == nil || !known(degreesTrue) {
		return unknown
	}
	degreesMagnetic = deadreckon.MagneticFromTrue(degreesTrue, *variation)
	w.line("%s magnetic: %s %s = %s°", name, dir(degreesTrue), minus(*variation), dir(degreesMagnetic))
	return degreesMagnetic
}

// compassOf turns a magnetic heading into what the compass shows, if the deviation is known, and works it out.
func (w *working) compassOf(headingMagnetic float64, deviation *float64) (headingCompass float64) {
	if deviation == nil || !known(headingMagnetic) {
		return unknown
	}
	headingCompass = deadreckon.CompassFromMagnetic(headingMagnetic, *deviation)
	w.line("heading compass: %s %s = %s°", dir(headingMagnetic), minus(*deviation), dir(headingCompass))
	return headingCompass
}

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
			eitherGiven("heading", "heading", t.Heading.Or(say.True)), speedGiven("true airspeed", "tas_kt", t.TASKt), windFigure(t.Wind),
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
	headwind, crosswind := w.windAlong("", "heading", headingTrue, wind)
	along := tasKt - headwind
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
			eitherGiven("heading", "heading", f.Heading.Or(say.True)), speedGiven("true airspeed", "tas_kt", f.TASKt),
			eitherGiven("track", "track", f.Track.Or(say.True)), speedGiven("groundspeed", "groundspeed_kt", f.GroundspeedKt),
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
