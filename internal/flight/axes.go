package flight

import "math"

// axes are three directions in which a belief about the wind and the airspeed varies independently of each other, each one standard
// error long: the main axes of the wind's error ellipse, each with the airspeed that goes with it, and the rest of the airspeed's
// error. The dual vectors turn differences along the axes into slopes by state.
type axes struct{ along, dual [3]vector }

// axes of the belief. None is shorter than what still makes a difference that can be reckoned, or longer than what can be flown.
func (b belief) axes() axes {
	const leastKt, mostKt = 0.1, 12.0
	c := b.covariance
	turn := math.Atan2(2*c[windNorth][windEast], c[windNorth][windNorth]-c[windEast][windEast]) / 2
	mean, half := (c[windNorth][windNorth]+c[windEast][windEast])/2, (c[windNorth][windNorth]-c[windEast][windEast])/2
	spread := math.Hypot(half, c[windNorth][windEast])
	var a axes
	rest := c[tasBias][tasBias]
	for i, variance := range []float64{mean + spread, mean - spread} {
		north, east := math.Cos(turn), math.Sin(turn)
		if i == 1 {
			north, east = -east, north
		}
		sigma := math.Max(leastKt, math.Sqrt(math.Max(0, variance)))
		length := math.Min(mostKt, sigma)
		with := (c[tasBias][windNorth]*north + c[tasBias][windEast]*east) / sigma
		rest -= with * with
		a.along[i] = vector{windNorth: length * north, windEast: length * east, tasBias: with * length / sigma}
		a.dual[i] = vector{windNorth: north / length, windEast: east / length}
	}
	length := math.Max(leastKt, math.Sqrt(math.Max(0, rest)))
	a.along[2] = vector{tasBias: length}
	a.dual[2] = vector{tasBias: 1 / length}
	for _, i := range []int{0, 1} { // no change of airspeed along the dual of the third
		for _, state := range []int{windNorth, windEast} {
			a.dual[2][state] -= a.along[i][tasBias] / length * a.dual[i][state]
		}
	}
	return a
}

// slope is the slope by state of a quantity that changes so much along the axes.
func (a axes) slope(changes [3]float64) vector {
	var slope vector
	for i, change := range changes {
		for state := range slope {
			slope[state] += change * a.dual[i][state]
		}
	}
	return slope
}
