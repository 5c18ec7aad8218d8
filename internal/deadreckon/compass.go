package deadreckon

import "example.com/legclock/internal/angle"

// MagneticFromTrue returns a direction counted from magnetic north, in [0, 360): "variation west, magnetic best".
func MagneticFromTrue(directionTrue, declination float64) float64 {
	return angle.Wrap360(directionTrue - declination)
}

// TrueFromMagnetic returns a direction counted from true north, in [0, 360): the inverse of MagneticFromTrue.
func TrueFromMagnetic(directionMagnetic, declination float64) float64 {
	return angle.Wrap360(directionMagnetic + declination)
}

// CompassFromMagnetic returns what a compass with a deviation shows on a magnetic heading, in [0, 360). A compass card
// that gives a signed correction to steer gives the deviation with the other sign.
func CompassFromMagnetic(headingMagnetic, deviation float64) float64 {
	return angle.Wrap360(headingMagnetic - deviation)
}
