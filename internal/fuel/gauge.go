package fuel

import (
	"errors"
	"fmt"
	"math"
)

// GaugeCheck compares what a gauge reads with what was reckoned.
type GaugeCheck struct {
	Difference float64 // reading − reckoned: negative when there is less fuel than was thought
	Disagrees  bool    // the difference is larger than the error
	Counts     float64 // the quantity to go on with: the lower of the two
}

// CheckGauge compares a gauge's reading of a tank with the quantity reckoned for it; readingError is how far, either way,
// the two may differ before that means something. The lower figure counts, whether they agree or not: fuel that one of
// two witnesses denies isn't counted on.
func CheckGauge(reckoned, reading, readingError float64) GaugeCheck {
	difference := reading - reckoned
	return GaugeCheck{
		Difference: difference,
		Disagrees:  math.Abs(difference) > readingError,
		Counts:     min(reckoned, reading),
	}
}

// Reading is the total quantity read at a time, with one standard error.
type Reading struct {
	Minutes  float64
	Quantity float64
	Sigma    float64
}

// BurnFit is a burn rate found from readings.
type BurnFit struct {
	FlowPerHour      float64 // quantity used in an hour
	FlowSigmaPerHour float64 // one standard error of the flow
	Quantity         float64 // at minute 0, by the fitted line
	QuantitySigma    float64 // one standard error of that
	ChiSquare        float64 // sum of squared residuals, each in its standard errors; about Readings − 2 when the errors are right
	Readings         int
}

// ErrTooFewReadings is returned by FitBurn when the readings don't span any time.
var ErrTooFewReadings = errors.New("a burn rate needs readings at two times at least")

// FitBurn finds the burn rate from readings of the total quantity by weighted least squares of a straight line, each
// reading weighing 1/σ². The standard errors follow from the σ given, not from the scatter.
func FitBurn(readings []Reading) (BurnFit, error) {
	var weight, minutes, quantity float64
	for i, r := range readings {
		if !(r.Sigma > 0) || math.IsInf(r.Sigma, 1) {
			return BurnFit{}, fmt.Errorf("reading %d: standard error %v: it must be above 0", i+1, r.Sigma)
		}
		w := 1 / (r.Sigma * r.Sigma)
		weight += w
		minutes += w * r.Minutes
		quantity += w * r.Quantity
	}
	meanMinutes, meanQuantity := minutes/weight, quantity/weight

	var spread, slopeSum float64
	for _, r := range readings {
		w := 1 / (r.Sigma * r.Sigma)
		spread += w * (r.Minutes - meanMinutes) * (r.Minutes - meanMinutes)
		slopeSum += w * (r.Minutes - meanMinutes) * (r.Quantity - meanQuantity)
	}
	if len(readings) < 2 || !(spread > 0) {
		return BurnFit{}, ErrTooFewReadings
	}
	slope := slopeSum / spread
	fit := BurnFit{
		FlowPerHour:      -slope * minutesPerHour,
		FlowSigmaPerHour: minutesPerHour / math.Sqrt(spread),
		Quantity:         meanQuantity - slope*meanMinutes,
		QuantitySigma:    math.Sqrt(1/weight + meanMinutes*meanMinutes/spread),
		Readings:         len(readings),
	}
	for _, r := range readings {
		residual := (r.Quantity - fit.Quantity - slope*r.Minutes) / r.Sigma
		fit.ChiSquare += residual * residual
	}
	return fit, nil
}
