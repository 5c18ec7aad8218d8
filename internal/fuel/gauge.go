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

// Reading is a quantity read at a time, with one standard error.
type Reading struct {
	Minutes  float64
	Quantity float64
	Sigma    float64
}

// BurnFit is a burn rate found from readings.
type BurnFit struct {
	FlowPerHour      float64 // quantity used in an hour
	FlowSigmaPerHour float64 // one standard error of the flow
	Quantity         float64 // at minute 0, by the fitted lines, of all tanks together
	QuantitySigma    float64 // one standard error of that
	ChiSquare        float64 // sum of squared residuals, each in its standard errors; about Readings − tanks − 1 when the errors are right
	Readings         int
}

// ErrTooFewReadings is returned by FitBurn when the readings don't span any time.
var ErrTooFewReadings = errors.New("a burn rate needs readings at two times at least")

// sameMinutes is how close together readings have to be for nothing to follow from them.
const sameMinutes = 1e-3

// FitBurn finds the burn rate from readings of one gauge or of several, by weighted least squares of straight lines with one slope,
// each gauge's with a height of its own, each reading weighing 1/σ². A gauge that always reads too much or too little does no harm. The
// standard errors follow from the σ given, not from the scatter.
func FitBurn(gauges ...[]Reading) (BurnFit, error) {
	var fit BurnFit
	var weight, spread, slopeSum float64
	means := make([]weightedMean, len(gauges))
	for i, readings := range gauges {
		mean, err := meanOf(readings, fit.Readings)
		if err != nil {
			return BurnFit{}, err
		}
		fit.Readings += len(readings)
		weight += mean.weight
		means[i] = mean
		for _, r := range readings {
			w := 1 / (r.Sigma * r.Sigma)
			spread += w * (r.Minutes - mean.minutes) * (r.Minutes - mean.minutes)
			slopeSum += w * (r.Minutes - mean.minutes) * (r.Quantity - mean.quantity)
		}
	}
	if !(spread > weight*sameMinutes*sameMinutes) {
		return BurnFit{}, ErrTooFewReadings
	}
	slope := slopeSum / spread
	fit.FlowPerHour, fit.FlowSigmaPerHour = -slope*minutesPerHour, minutesPerHour/math.Sqrt(spread)
	var variance, minutes float64
	for i, readings := range gauges {
		mean := means[i]
		if len(readings) == 0 {
			continue
		}
		fit.Quantity += mean.quantity - slope*mean.minutes
		variance += 1 / mean.weight
		minutes += mean.minutes
		for _, r := range readings {
			residual := (r.Quantity - mean.quantity - slope*(r.Minutes-mean.minutes)) / r.Sigma
			fit.ChiSquare += residual * residual
		}
	}
	fit.QuantitySigma = math.Sqrt(variance + minutes*minutes/spread)
	return fit, nil
}

// weightedMean is the middle of some readings.
type weightedMean struct{ weight, minutes, quantity float64 }

// meanOf weighs readings by 1/σ²; before is how many were counted before them.
func meanOf(readings []Reading, before int) (weightedMean, error) {
	var m weightedMean
	for i, r := range readings {
		if !(r.Sigma > 0) || math.IsInf(r.Sigma, 1) {
			return m, fmt.Errorf("reading %d: standard error %v: it must be above 0", before+i+1, r.Sigma)
		}
		w := 1 / (r.Sigma * r.Sigma)
		m.weight += w
		m.minutes += w * r.Minutes
		m.quantity += w * r.Quantity
	}
	if m.weight > 0 {
		m.minutes, m.quantity = m.minutes/m.weight, m.quantity/m.weight
	}
	return m, nil
}
