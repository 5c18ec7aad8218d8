package sums

import (
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

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
