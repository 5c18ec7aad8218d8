package deadreckon

import (
	"errors"
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

// ErrUnflyable occurs when the wind across the track is at least the true airspeed: no heading holds the track.
var ErrUnflyable = errors.New("no heading holds this track")

// ErrNoHeadway occurs when the track can be held but the wind against it leaves no groundspeed.
var ErrNoHeadway = errors.New("no headway along this track")

// leastHeadwayKt is the least groundspeed that counts as headway: no wind or airspeed is known to a tenth of a knot, and at less a mile
// takes ten hours.
const leastHeadwayKt = 0.1

// Heading is what to fly for a track.
type Heading struct {
	CorrectionDeg float64 // from track to heading, right positive
	HeadingTrue   float64 // [0, 360)
	GroundspeedKt float64
}

// HeadingFor solves the wind triangle for the heading: sin(correction) = crosswind / true airspeed,
// groundspeed = true airspeed × cos(correction) − headwind (PHAK, navigation chapter, the wind triangle).
//
// The error wraps ErrUnflyable or ErrNoHeadway and names the speeds. With ErrNoHeadway the heading is given nevertheless,
// and its groundspeed is next to nothing or less.
func HeadingFor(trackTrue, tasKt float64, wind air.Wind) (Heading, error) {
	headwind, crosswind := wind.Along(trackTrue)
	if !(math.Abs(crosswind) < tasKt) {
		return Heading{}, fmt.Errorf("%w: %.0f kt of crosswind against a true airspeed of %.0f kt",
			ErrUnflyable, math.Abs(crosswind), tasKt)
	}
	correction := angle.Degrees(math.Asin(crosswind / tasKt))
	heading := Heading{
		CorrectionDeg: correction,
		HeadingTrue:   angle.Wrap360(trackTrue + correction),
		GroundspeedKt: tasKt*angle.Cos(correction) - headwind,
	}
	if heading.GroundspeedKt < leastHeadwayKt {
		return heading, fmt.Errorf("%w: %.0f kt of headwind against a true airspeed of %.0f kt", ErrNoHeadway, headwind, tasKt)
	}
	return heading, nil
}

// TrackFor solves the wind triangle for the track and groundspeed made good on a heading. Where the wind stops the aircraft
// over one spot, the track is the heading.
func TrackFor(headingTrue, tasKt float64, wind air.Wind) (trackTrue, groundspeedKt float64) {
	north, east := wind.Components()
	north += tasKt * angle.Cos(headingTrue)
	east += tasKt * angle.Sin(headingTrue)
	if north == 0 && east == 0 {
		return angle.Wrap360(headingTrue), 0
	}
	return angle.Direction(north, east), math.Hypot(north, east)
}

// WindFor solves the wind triangle for the wind, from what was steered and what was made good.
func WindFor(headingTrue, tasKt, trackTrue, groundspeedKt float64) air.Wind {
	return air.WindFromComponents(
		groundspeedKt*angle.Cos(trackTrue)-tasKt*angle.Cos(headingTrue),
		groundspeedKt*angle.Sin(trackTrue)-tasKt*angle.Sin(headingTrue),
	)
}

// Drift returns the angle from the heading to the track made good, right positive, in (-180, 180].
func Drift(headingTrue, trackTrue float64) float64 { return angle.Turn(headingTrue, trackTrue) }

// MagneticFromTrue returns a direction counted from magnetic north, in [0, 360): "variation west, magnetic best".
func MagneticFromTrue(directionTrue, variation float64) float64 {
	return angle.Wrap360(directionTrue - variation)
}

// TrueFromMagnetic returns a direction counted from true north, in [0, 360): the inverse of MagneticFromTrue.
func TrueFromMagnetic(directionMagnetic, variation float64) float64 {
	return angle.Wrap360(directionMagnetic + variation)
}

// CompassFromMagnetic returns what a compass with a deviation shows on a magnetic heading, in [0, 360). A compass card
// that gives a signed correction to steer gives the deviation with the other sign.
func CompassFromMagnetic(headingMagnetic, deviation float64) float64 {
	return angle.Wrap360(headingMagnetic - deviation)
}

// Minutes returns the time for a distance: 60 × distance / groundspeed. Without headway (a groundspeed of zero or less) a
// distance that is left takes for ever, +Inf.
func Minutes(distanceNM, groundspeedKt float64) float64 {
	switch {
	case distanceNM == 0:
		return 0
	case groundspeedKt <= 0:
		return math.Inf(1)
	}
	return 60 * distanceNM / groundspeedKt
}

// Distance returns the distance made good in a time: groundspeed × minutes / 60.
func Distance(groundspeedKt, minutes float64) float64 { return groundspeedKt * minutes / 60 }

// Groundspeed returns the mean groundspeed of a distance flown in a time: 60 × distance / minutes. No time has no speed: NaN.
func Groundspeed(distanceNM, minutes float64) float64 {
	if minutes <= 0 {
		return math.NaN()
	}
	return 60 * distanceNM / minutes
}
