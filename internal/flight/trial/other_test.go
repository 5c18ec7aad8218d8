package trial_test

import (
	"math"
	"math/rand/v2"
)

// other is a flight that is not drawn as the estimator counts: neither the kinds nor the sizes of its errors are those of errors, and none of
// them is a Gauss-Markov process or, but for the take-off and a constant part of the wind, normally distributed. The wind's error is a sum
// of waves in time and level, which moves some 7 kt an hour and is another one a few thousand feet higher; the airspeed is out by as much all
// along the flight as an airspeed system may be, and is held as hands hold it; the compass has a deviation that nobody wrote down; the
// aircraft weaves about its track; and passings are logged late, some of them very.
type other struct {
	offMinutes    float64
	climbs, sinks float64
	steadyKt      [2]float64 // north, east
	waves         [2][waves]wave
	biasKt        float64
	hands         wave       // kt
	deviation     [3]float64 // degrees: on all headings, by their sine, by their cosine
	weaving       wave       // nm
	lateMinutes   float64    // in the mean
	aboutMinutes  float64    // standard error besides
}

// wave is a swing in time and, for the wind, with height.
type wave struct{ size, perMinute, perFt, phase float64 }

func (w wave) at(minutes, altitudeFt float64) float64 {
	return w.size * math.Sin(2*math.Pi*(minutes*w.perMinute+altitudeFt*w.perFt)+w.phase)
}

const waves = 3

// otherBy draws a flight.
func otherBy(random *rand.Rand) other {
	between := func(least, most float64) float64 { return least + (most-least)*random.Float64() }
	swing := func(rms, shortest, longest float64) wave { // minutes
		return wave{size: rms * math.Sqrt2, perMinute: 1 / between(shortest, longest), phase: between(0, 2*math.Pi)}
	}
	o := other{
		offMinutes: 0.5 * random.NormFloat64(), climbs: between(-0.15, 0.1), sinks: between(-0.1, 0.1),
		biasKt: between(-5, 5), hands: swing(1.4, 8, 20),
		deviation: [3]float64{between(-3, 3), between(-3, 3), between(-3, 3)}, weaving: swing(0.3, 8, 20),
		lateMinutes: 4. / 60, aboutMinutes: 3. / 60,
	}
	for component := range o.waves {
		o.steadyKt[component] = 6 * random.NormFloat64()
		for i := range waves {
			w := swing(3, 60, 180)
			w.perFt = between(-1, 1) / 12000
			o.waves[component][i] = w
		}
	}
	return o
}

func (o other) takeOff() float64 { return o.offMinutes }
func (o other) climb() float64   { return o.climbs }
func (o other) descent() float64 { return o.sinks }

func (o other) wind(minutes, altitudeFt float64) (north, east float64) {
	parts := o.steadyKt
	for component := range parts {
		for _, w := range o.waves[component] {
			parts[component] += w.at(minutes, altitudeFt)
		}
	}
	return parts[0], parts[1]
}

func (o other) airspeed(minutes float64) float64 { return o.biasKt + o.hands.at(minutes, 0) }

func (o other) gyro(_ int, indicatedDeg float64) float64 {
	sin, cos := math.Sincos(radians(indicatedDeg))
	return o.deviation[0] + o.deviation[1]*sin + o.deviation[2]*cos
}

func (o other) eye(leg int, minutes float64) float64 {
	return o.weaving.at(minutes+100*float64(leg), 0)
}

func (o other) late(random *rand.Rand) float64 {
	return o.lateMinutes*random.ExpFloat64() + o.aboutMinutes*random.NormFloat64()
}
