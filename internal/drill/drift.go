package drill

import (
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sums"
)

func driftTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				heading := d.direction(1)
				return driftFrom(heading, angle.Wrap360(heading+d.signed(2, 14, 1)))
			},
			func(d *draw) Exercise { return headingAgainstDrift(d.direction(1), d.signed(2, 14, 1)) },
			func(d *draw) Exercise { return trackWithDrift(d.direction(1), d.signed(2, 14, 1)) },
		},
		{
			func(d *draw) Exercise { return magneticHeading(d.direction(1), d.signed(2, 14, 1), d.signed(2, 15, 1)) },
			func(d *draw) Exercise { return trueTrack(d.direction(1), d.signed(2, 14, 1), d.signed(2, 15, 1)) },
		},
		{
			func(d *draw) Exercise {
				return compassHeading(d.direction(1), d.signed(2, 14, 1), d.signed(2, 15, 1), d.signed(1, 4, 1))
			},
			func(d *draw) Exercise {
				return trackFromCompass(d.direction(1), d.signed(1, 4, 1), d.signed(2, 15, 1), d.signed(2, 14, 1))
			},
		},
	}
}

// driftFrom asks for the drift from heading and track.
func driftFrom(heading, track float64) Exercise {
	drift := deadreckon.Drift(heading, track)
	var w sums.Working
	w.Line("drift leads from the heading to the track")
	w.Between("drift", heading, track)
	e := Exercise{
		Task: "drift", Tool: InTheHead,
		Given:    []Given{toward("heading", heading, "true"), toward("track made good", track, "true")},
		Question: "What is the drift, to which side?",
		Form:     Form{Kind: Turn}, Answers: only(drift), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, -drift, "that is the correction: drift is the side to which the wind takes the aircraft")
	return e
}

// headingAgainstDrift asks for the heading that makes good a track when the drift, right positive, is known.
func headingAgainstDrift(track, drift float64) Exercise {
	heading := angle.Wrap360(track - drift)
	var w sums.Working
	w.Line("the nose goes to the side opposite the drift: %s", sayAngle(-drift, 0))
	w.Turned("heading", track, -drift, heading)
	e := Exercise{
		Task: "heading against drift", Tool: InTheHead,
		Given:    []Given{toward("track wanted", track, "true"), {"drift expected", sayAngle(drift, 0)}},
		Question: "What is the true heading?",
		Form:     directionForm("true"), Answers: only(heading), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, track+drift, "with the drift instead of against it")
	e.slip(Reciprocal, angle.Reciprocal(heading), "that is the reciprocal")
	return e
}

// trackWithDrift asks for the track of a heading with a drift, right positive.
func trackWithDrift(heading, drift float64) Exercise {
	track := angle.Wrap360(heading + drift)
	var w sums.Working
	w.Line("the track lies on the side of the drift")
	w.Turned("track", heading, drift, track)
	e := Exercise{
		Task: "track with drift", Tool: InTheHead,
		Given:    []Given{toward("heading", heading, "true"), {"drift", sayAngle(drift, 0)}},
		Question: "What is the track made good?",
		Form:     directionForm("true"), Answers: only(track), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, heading-drift, "drift to the wrong side: left drift is taken from the heading")
	e.slip(Reciprocal, angle.Reciprocal(track), "that is the reciprocal")
	return e
}

// magneticHeading asks for the magnetic heading from a true track.
func magneticHeading(track, correction, variation float64) Exercise {
	heading := angle.Wrap360(track + correction)
	magnetic := deadreckon.MagneticFromTrue(heading, variation)
	var w sums.Working
	w.Turned("heading true", track, correction, heading)
	w.Magnetic("heading magnetic", heading, variation, magnetic)
	e := Exercise{
		Task: "magnetic heading", Tool: InTheHead,
		Given: []Given{
			toward("track", track, "true"), {"wind correction", sayAngle(correction, 0)}, eastward("variation", variation),
		},
		Question: "What is the magnetic heading?",
		Form:     directionForm("magnetic"), Answers: only(magnetic), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slipChain(magnetic, correction, variation, 0)
	return e
}

// slipChain adds the mistakes on the way from a true track to a heading; whatever was added to come to it can have been added
// the other way.
func (e *Exercise) slipChain(right, correction, variation, deviation float64) {
	e.slip(WrongWay, right-2*correction, "the correction to the wrong side: right is added, left taken away")
	e.slip(MagneticForTrue, right+2*variation, "variation to the wrong side: from true to magnetic west is added, east taken away")
	e.slip(MagneticForTrue, right+variation, "variation is left out")
	if deviation != 0 {
		e.slip(WrongWay, right+2*deviation, "deviation to the wrong side: from magnetic to compass west is added, east taken away")
		e.slip(StepLeftOut, right+deviation, "that is the magnetic heading: deviation is left out")
	}
	e.slip(StepLeftOut, right-correction, "the wind correction is left out")
	e.slip(Reciprocal, angle.Reciprocal(right), "that is the reciprocal")
}

// trueTrack asks for the true track of a magnetic heading.
func trueTrack(headingMagnetic, drift, variation float64) Exercise {
	heading := deadreckon.TrueFromMagnetic(headingMagnetic, variation)
	track := angle.Wrap360(heading + drift)
	var w sums.Working
	w.True("heading true", headingMagnetic, variation, heading)
	w.Turned("track", heading, drift, track)
	e := Exercise{
		Task: "true track", Tool: InTheHead,
		Given: []Given{
			toward("heading", headingMagnetic, "magnetic"), eastward("variation", variation), {"drift", sayAngle(drift, 0)},
		},
		Question: "What is the true track made good?",
		Form:     directionForm("true"), Answers: only(track), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, track-2*drift, "drift to the wrong side")
	e.slip(MagneticForTrue, track-variation, "that is the magnetic track: variation is left out")
	e.slip(MagneticForTrue, track-2*variation, "variation to the wrong side: from magnetic to true west is taken away, east added")
	e.slip(StepLeftOut, heading, "that is the heading: the drift is left out")
	e.slip(Reciprocal, angle.Reciprocal(track), "that is the reciprocal")
	return e
}

// compassHeading asks for the compass heading from a true track; the deviation is east positive, as variation is.
func compassHeading(track, correction, variation, deviation float64) Exercise {
	heading := angle.Wrap360(track + correction)
	magnetic := deadreckon.MagneticFromTrue(heading, variation)
	compass := deadreckon.CompassFromMagnetic(magnetic, deviation)
	var w sums.Working
	w.Turned("heading true", track, correction, heading)
	w.Magnetic("heading magnetic", heading, variation, magnetic)
	w.Magnetic("heading compass", magnetic, deviation, compass)
	e := Exercise{
		Task: "compass heading", Tool: InTheHead,
		Given: []Given{
			toward("track", track, "true"),
			{"wind correction", sayAngle(correction, 0)},
			eastward("variation", variation), eastward("deviation", deviation),
		},
		Question: "What is the compass heading?",
		Form:     directionForm("compass"), Answers: only(compass), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slipChain(compass, correction, variation, deviation)
	return e
}

// trackFromCompass asks for the true track of a compass heading.
func trackFromCompass(compass, deviation, variation, drift float64) Exercise {
	magnetic := angle.Wrap360(compass + deviation)
	heading := deadreckon.TrueFromMagnetic(magnetic, variation)
	track := angle.Wrap360(heading + drift)
	var w sums.Working
	w.True("heading magnetic", compass, deviation, magnetic)
	w.True("heading true", magnetic, variation, heading)
	w.Turned("track", heading, drift, track)
	e := Exercise{
		Task: "track from compass", Tool: InTheHead,
		Given: []Given{
			toward("heading", compass, "compass"), eastward("deviation", deviation),
			eastward("variation", variation),
			{"drift", sayAngle(drift, 0)},
		},
		Question: "What is the true track made good?",
		Form:     directionForm("true"), Answers: only(track), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, track-2*drift, "drift to the wrong side")
	e.slip(MagneticForTrue, track-2*variation, "variation to the wrong side: from magnetic to true west is taken away, east added")
	e.slip(WrongWay, track-2*deviation, "deviation to the wrong side: from compass to magnetic west is taken away, east added")
	e.slip(MagneticForTrue, track-variation, "variation is left out")
	e.slip(StepLeftOut, track-deviation, "deviation is left out")
	e.slip(Reciprocal, angle.Reciprocal(track), "that is the reciprocal")
	return e
}
