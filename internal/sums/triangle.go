package sums

import (
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
		either("track", "track", h.Track.Or(say.True)), speedGiven("true airspeed", "tas_kt", h.TASKt), windFigure(h.Wind),
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
	headwind, crosswind := wind.Along(trackTrue)
	toWind := angle.Turn(trackTrue, wind.FromTrue)
	w.line("%swind from the track: %s - %s = %s°", what, dir(wind.FromTrue), dir(trackTrue), num(toWind))
	w.line("%sheadwind: %s × cos(%s) = %s kt", what, num(wind.SpeedKt), num(toWind), num(headwind))
	w.line("%scrosswind, from the right positive: %s × sin(%s) = %s kt", what, num(wind.SpeedKt), num(toWind), num(crosswind))
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
