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
	var w Working
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
	s.Working = w.Text()
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
func (w *Working) heading(what string, trackTrue, tasKt float64, wind air.Wind) (deadreckon.Heading, error) {
	headwind, crosswind := wind.Along(trackTrue)
	off := w.WindOff(what, "track", trackTrue, wind)
	w.Across(what, "track", wind.SpeedKt, off, crosswind)
	steer, err := deadreckon.HeadingFor(trackTrue, tasKt, wind)
	if steer == (deadreckon.Heading{}) && err != nil {
		return deadreckon.Heading{CorrectionDeg: unknown, HeadingTrue: unknown, GroundspeedKt: unknown}, err
	}
	w.Correction(what, crosswind, tasKt, steer.CorrectionDeg)
	w.Turned(what+"heading true", trackTrue, steer.CorrectionDeg, steer.HeadingTrue)
	w.Along(what, "track", wind.SpeedKt, off, headwind)
	w.GroundspeedAlong(what, tasKt, steer.CorrectionDeg, headwind, steer.GroundspeedKt)
	if err != nil {
		steer.GroundspeedKt = unknown
	}
	return steer, err
}

// leg works out the time and the fuel of a leg, as far as they are asked for and exist.
func (w *Working) leg(distanceNM *float64, groundspeedKt float64, flow *say.Fuel) (minutes float64, used say.Fuel) {
	used.Amount = unknown
	if distanceNM == nil || !known(groundspeedKt) {
		return unknown, used
	}
	minutes = deadreckon.Minutes(*distanceNM, groundspeedKt)
	w.Time("time", *distanceNM, groundspeedKt, minutes)
	if flow != nil {
		used = burned(minutes, *flow)
		w.Fuel("fuel", flow.Amount, minutes, used.Amount, flow.Unit)
	}
	return minutes, used
}

// burned is the fuel that a flow uses in a time, in the flow's unit.
func burned(minutes float64, flow say.Fuel) say.Fuel {
	return say.Fuel{Amount: fuel.Burned(minutes, flow.Amount), Unit: flow.Unit}
}

// trueOf turns a direction that was given into one counted from true north, the north meant where none was said, and works it out.
func (w *Working) trueOf(name string, d say.Direction, variation *float64) (degreesTrue float64, err error) {
	if d.North != say.Magnetic {
		return d.Degrees, nil
	}
	if variation == nil {
		return 0, unfit("give the variation, for example 3W, or the "+name+" from true north",
			"a magnetic "+name+" and a true wind need the variation between them")
	}
	degreesTrue = deadreckon.TrueFromMagnetic(d.Degrees, *variation)
	w.True(name+" true", d.Degrees, *variation, degreesTrue)
	return degreesTrue, nil
}

// magneticOf turns a true direction into a magnetic one, if the variation is known, and works it out.
func (w *Working) magneticOf(name string, degreesTrue float64, variation *float64) (degreesMagnetic float64) {
	if variation == nil || !known(degreesTrue) {
		return unknown
	}
	degreesMagnetic = deadreckon.MagneticFromTrue(degreesTrue, *variation)
	w.Magnetic(name+" magnetic", degreesTrue, *variation, degreesMagnetic)
	return degreesMagnetic
}

// compassOf turns a magnetic heading into what the compass shows, if the deviation is known, and works it out.
func (w *Working) compassOf(headingMagnetic float64, deviation *float64) (headingCompass float64) {
	if deviation == nil || !known(headingMagnetic) {
		return unknown
	}
	headingCompass = deadreckon.CompassFromMagnetic(headingMagnetic, *deviation)
	w.Magnetic("heading compass", headingMagnetic, *deviation, headingCompass)
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
	var w Working
	headingTrue, err := w.trueOf("heading", t.Heading, t.Variation)
	if err != nil {
		return Sum{}, err
	}
	track, groundspeed := deadreckon.TrackFor(headingTrue, t.TASKt, t.Wind)
	drift := deadreckon.Drift(headingTrue, track)
	w.Drift(headingTrue, t.TASKt, t.Wind)
	w.Turned("track true", headingTrue, drift, track)
	magnetic := w.magneticOf("track", track, t.Variation)
	s := Sum{
		Name: "track", Title: "The track made good on a heading in a wind",
		Given: []Figure{
			eitherGiven("heading", "heading", t.Heading.Or(say.True)), speedGiven("true airspeed", "tas_kt", t.TASKt), windFigure(t.Wind),
			variationFigure(valueOf(t.Variation)),
		},
		Rule:    "add the way through the air and the way the air moves, along the heading and across it",
		Working: w.Text(),
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
		s.Working = nil
	}
	return s, nil
}

// Drift works out what a wind does to a heading.
func (w *Working) Drift(headingTrue, tasKt float64, wind air.Wind) {
	track, groundspeed := deadreckon.TrackFor(headingTrue, tasKt, wind)
	headwind, crosswind := wind.Along(headingTrue)
	off := w.WindOff("", "heading", headingTrue, wind)
	w.Across("", "heading", wind.SpeedKt, off, crosswind)
	w.Along("", "heading", wind.SpeedKt, off, headwind)
	along := w.Against(tasKt, headwind)
	w.Vector("groundspeed", along, crosswind, groundspeed)
	w.Off("drift, away from the wind", crosswind, along, deadreckon.Drift(headingTrue, track))
}

// Wind asks for the wind between what was steered and what was made good.
type Wind struct {
	Heading, Track       say.Direction // true where no north is said
	TASKt, GroundspeedKt float64
	Variation            *float64 // optional: for magnetic directions
}

// Sum works the wind triangle for the wind.
func (f Wind) Sum() (Sum, error) {
	var w Working
	headingTrue, err := w.trueOf("heading", f.Heading, f.Variation)
	if err != nil {
		return Sum{}, err
	}
	trackTrue, err := w.trueOf("track", f.Track, f.Variation)
	if err != nil {
		return Sum{}, err
	}
	wind := deadreckon.WindFor(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt)
	w.WindFound(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt)
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
		Working: w.Text(),
		Answers: []Figure{from, speed("wind", "wind_kt", wind.SpeedKt), side("drift", "drift_deg", drift)},
		Notes:   windNotes(headingTrue, f.TASKt, trackTrue, f.GroundspeedKt),
		Source:  triangleSource,
	}, nil
}

// WindFound works out the wind by its parts across the heading and along it.
func (w *Working) WindFound(headingTrue, tasKt, trackTrue, groundspeedKt float64) {
	wind := deadreckon.WindFor(headingTrue, tasKt, trackTrue, groundspeedKt)
	headwind, crosswind := w.WindAcross(tasKt, groundspeedKt, headingTrue, trackTrue, wind)
	w.Vector("wind speed", headwind, crosswind, wind.SpeedKt)
	if wind.SpeedKt > 0 {
		off := angle.Turn(headingTrue, wind.FromTrue)
		w.Off("off the heading", crosswind, headwind, off)
		w.Turned("wind from", headingTrue, off, wind.FromTrue)
	}
}

// WindAcross works out from the drift the part of a wind across the heading, and the part along it.
func (w *Working) WindAcross(tasKt, groundspeedKt, headingTrue, trackTrue float64, wind air.Wind) (headwindKt, crosswindKt float64) {
	headwindKt, crosswindKt = wind.Along(headingTrue)
	drift := num(math.Abs(w.Between("drift", headingTrue, trackTrue)))
	w.Line("across the heading: %s × sin(%s) = %s%s", num(groundspeedKt), drift, kt(math.Abs(crosswindKt)), fromSide(crosswindKt))
	w.Line("along the heading: %s - %s × cos(%s) = %s, %s", num(tasKt), num(groundspeedKt), drift, kt(headwindKt), aheadOrBehind(headwindKt))
	return headwindKt, crosswindKt
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
