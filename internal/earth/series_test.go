package earth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// On WGS-84 the last terms of the expansions are worth nanometres, so no table of geodesics can tell whether they are right. What tells it is
// how fast an expansion departs from the function that it stands for as ε grows beyond that of the earth: with the power of the first
// term left out. A wrong coefficient shows as a lower power.
func TestExpansionsDepartWithTheFirstPowerLeftOut(t *testing.T) {
	for _, c := range []struct {
		name   string
		power  float64
		remain func(eps float64, sigma unit) float64
	}{
		{"distance, equation (7)", 7, func(eps float64, sigma unit) float64 {
			return distanceScale(eps)*derivative(distanceSeries(eps), sigma) - stretch(eps, sigma)
		}},
		{"reduced length, equation (38)", 7, func(eps float64, sigma unit) float64 {
			return reducedLengthScale(eps)*derivative(reducedLengthSeries(eps), sigma) - 1/stretch(eps, sigma)
		}},
		{"longitude, equation (8)", 6, func(eps float64, sigma unit) float64 {
			return longitudeScale(eps)*derivative(longitudeSeries(eps), sigma) - (2-flattening)/(1+axisRatio*stretch(eps, sigma))
		}},
		{"arc, the inverse of distance", 7, func(eps float64, sigma unit) float64 {
			distances, arcs := distanceSeries(eps), arcSeries(eps)
			lead := distances.at(sigma)
			return lead + arcs.at(sigma.plus(unitRadians(lead)))
		}},
	} {
		const eps = 0.02
		measured := math.Log2(largest(c.remain, 2*eps) / largest(c.remain, eps))
		assert.InDelta(t, c.power, measured, 0.1, c.name)
	}
}

// stretch is √(1 + k² sin² σ), with k² from ε by equation (16).
func stretch(eps float64, sigma unit) float64 {
	k2 := 4 * eps / ((1 - eps) * (1 - eps))
	return math.Sqrt(1 + k2*sigma.sin*sigma.sin)
}

// derivative is that of σ + Σ c[l] sin 2lσ.
func derivative(series sineSeries, sigma unit) float64 {
	sum := 1.0
	for l, c := range series {
		sum += 2 * float64(l) * c * math.Cos(2*float64(l)*sigma.radians())
	}
	return sum
}

func largest(remain func(eps float64, sigma unit) float64, eps float64) float64 {
	most := 0.0
	for degrees := 0.0; degrees <= 90; degrees += 3 {
		most = max(most, math.Abs(remain(eps, unitDegrees(degrees))))
	}
	return most
}
