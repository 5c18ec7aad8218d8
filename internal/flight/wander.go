package flight

import (
	"math"

	"example.com/legclock/internal/sheet"
)

// gathered is what comes together along a trajectory.
type gathered struct {
	minutes  float64
	changing float64 // minutes of climb and descent
	slope    vector  // of the minutes to here, by the belief
	// decay is how much correlation the wind's deviation loses up to here, as the exponent of e. recalled is the slope with every part
	// of its wind components weighed by the correlation that is left of the deviation at the anchor, recent by that which the
	// deviation then has with the one here; wander is the variance that its wandering adds, in minutes squared.
	decay            float64
	recalled, recent vector
	wander           float64
}

// gather goes along the trajectory once, so that every place on it can be judged quickly.
func (a *ahead) gather() {
	var g gathered
	a.before = append(make([]gathered, 0, len(a.trajectory)+1), g)
	for _, piece := range a.trajectory {
		end := place{a.way.first + piece.Leg, piece.ToNM}
		changing := g.changing
		if piece.Phase != sheet.Cruise {
			changing += piece.Minutes
		}
		g = a.goOn(g, piece.StartMinutes+piece.Minutes, piece.ToFt-piece.FromFt, a.slopeFrom(end, piece.StartMinutes+piece.Minutes))
		g.changing = changing
		a.before = append(a.before, g)
	}
}

// goOn goes on to a later moment and to another level, evenly.
func (a *ahead) goOn(g gathered, minutes, heightFt float64, slope vector) gathered {
	lost := a.belief.decay(minutes-g.minutes, heightFt)
	next := gathered{minutes: minutes, changing: g.changing, slope: slope, decay: g.decay + lost}
	next.recalled, next.recent, next.wander = g.recalled, g.recent, g.wander
	variance := a.belief.forecastKt * a.belief.forecastKt
	left, mean, within := math.Exp(-lost), correlationTo(lost), correlationWithin(lost)
	now := math.Exp(-g.decay)
	for _, state := range []int{windNorth, windEast} {
		part := slope[state] - g.slope[state]
		next.wander += variance * part * part * (within - now*now*mean*mean)
		next.wander += variance * 2 * part * mean * (g.recent[state] - now*g.recalled[state])
		next.recalled[state] += part * now * mean
		next.recent[state] = g.recent[state]*left + part*mean
	}
	return next
}

// correlationTo is the mean of e⁻ˣ from nought to x.
func correlationTo(x float64) float64 {
	const small = 1e-6
	if x < small {
		return 1 - x/2
	}
	return -math.Expm1(-x) / x
}

// correlationWithin is the mean of e^-|a-b| over all a and b from nought to x.
func correlationWithin(x float64) float64 {
	const small = 1e-3
	if x < small {
		return 1 - x/3
	}
	return 2 * (x + math.Expm1(-x)) / (x * x)
}

// gatheredTo is what has come together up to a place, minutes from the anchor.
func (a *ahead) gatheredTo(to place, minutes float64) gathered {
	if len(a.trajectory) == 0 {
		return gathered{}
	}
	point := a.trajectory.At(minutes)
	g := a.goOn(a.before[point.Piece], minutes, point.AltitudeFt-a.trajectory[point.Piece].FromFt, a.slopeFrom(to, minutes))
	g.changing = a.levelChangeMinutes(minutes)
	return g
}
