package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/sheet"
)

// The errors that evidence is weighed with, one standard error each: common practice, no source.
const (
	timingSigma      = 5 * time.Second // of a passing
	takeOffSigma     = 30 * time.Second
	airspeedSigmaKt  = 2.0              // of the true airspeed by the aircraft's table
	toldAirspeedKt   = 1.5              // of a true airspeed that the pilot tells
	toldWindKt       = 5.0              // of a component of a wind that the pilot tells
	headingSigmaDeg  = 3.0              // of the heading flown
	offTrackSigmaNM  = 0.3              // of a distance off track that the pilot tells
	onTrackSigmaNM   = 0.5              // of being on track when nothing is told
	levelChangeError = 0.05             // of the minutes of a climb or descent
	midClimbSigma    = 10 * time.Second // of the time after a passing half-way up: at what height it was is only reckoned
	handFlyingError  = 0.01             // of the time of ten minutes, independent from one ten minutes to the next
	handFlyingSpan   = 10.0             // minutes
	// wanderKt is how far a component of the wind's deviation from the forecast moves in an hour.
	wanderKt = 4.0
	// wildSigmas is how many standard errors a time between passings may be out before it is believed less.
	wildSigmas = 3.0
)

// The states of a belief: two components of the wind's deviation from the forecast (the vector that the air moves to, kt), the
// true airspeed less that of the tables (kt), and by how much the last and the next passing are recorded late (minutes).
const (
	windNorth = iota
	windEast
	tasBias
	lastTiming
	nextTiming
	states
)

// vector has one number for each state.
type vector [states]float64

func (v vector) dot(w vector) float64 {
	sum := 0.0
	for i := range v {
		sum += v[i] * w[i]
	}
	return sum
}

// plus adds a multiple of another vector.
func (v vector) plus(factor float64, w vector) vector {
	for i := range v {
		v[i] += factor * w[i]
	}
	return v
}

// belief is what is thought of the air and of the aircraft's airspeed, and how sure that is: the mean and the covariance of a
// Kalman filter. It is a value; taking in evidence gives a new one.
type belief struct {
	mean       vector
	covariance [states]vector
	taken      int // pieces of evidence taken in since the forecast was set
}

// prior is the belief before any evidence: the forecast with its standard error.
func prior(windErrorKt float64) belief {
	var b belief
	b.covariance[windNorth][windNorth] = windErrorKt * windErrorKt
	b.covariance[windEast][windEast] = windErrorKt * windErrorKt
	b.covariance[tasBias][tasBias] = airspeedSigmaKt * airspeedSigmaKt
	return b
}

// air is the forecast corrected by the belief.
func (b belief) air(forecast sheet.Air) sheet.Air { return b.mean.air(forecast) }

// air is the forecast with a vector's deviations.
func (v vector) air(forecast sheet.Air) sheet.Air {
	corrected := forecast
	corrected.TASBiasKt += v[tasBias]
	corrected.Layers = shifted(forecast.Layers, v[windNorth], v[windEast])
	return corrected
}

// shifted adds a vector to the wind of every level. Air without levels is still: it gets one.
func shifted(layers air.Layers, north, east float64) air.Layers {
	if len(layers) == 0 {
		layers = air.Layers{{}}
	}
	moved := make(air.Layers, len(layers))
	for i, level := range layers {
		n, e := level.Wind.Components()
		level.Wind = air.WindFromComponents(n+north, e+east)
		moved[i] = level
	}
	return moved
}

// wandered is the belief some minutes later: the wind has moved by an unknown amount.
func (b belief) wandered(minutes float64) belief {
	variance := wanderKt * wanderKt * math.Max(0, minutes) / 60
	b.covariance[windNorth][windNorth] += variance
	b.covariance[windEast][windEast] += variance
	return b
}

// observed takes in one measurement: by how much it differs from what the mean gives, how it depends on the states, and the
// variance of its own error.
func (b belief) observed(residual float64, slope vector, variance float64) belief {
	gain := b.times(slope)
	total := slope.dot(gain) + variance
	if total <= 0 {
		return b
	}
	next := b
	for i := range gain {
		next.mean[i] += gain[i] * residual / total
		for j := range gain {
			next.covariance[i][j] -= gain[i] * gain[j] / total
		}
	}
	return next
}

// times is the covariance times a vector.
func (b belief) times(v vector) vector {
	var product vector
	for i := range product {
		product[i] = b.covariance[i].dot(v)
	}
	return product
}

// variance is that of a quantity that depends on the states by a slope.
func (b belief) variance(slope vector) float64 { return slope.dot(b.times(slope)) }

// windSigmaKt is one standard error of a component of the wind, the root of the mean over both.
func (b belief) windSigmaKt() float64 {
	return math.Sqrt((b.covariance[windNorth][windNorth] + b.covariance[windEast][windEast]) / 2)
}

// timed says how sure the time of the passing is that the next interval begins with; what was thought of the one before is
// forgotten.
func (b belief) timed(sigma time.Duration) belief {
	b = b.without(lastTiming)
	b.covariance[lastTiming][lastTiming] = sigma.Minutes() * sigma.Minutes()
	return b
}

// without sets one state to nought and independent of the others.
func (b belief) without(state int) belief {
	b.mean[state] = 0
	for i := range states {
		b.covariance[i][state], b.covariance[state][i] = 0, 0
	}
	return b
}

// told sets one state to a value that is known by other means.
func (b belief) told(state int, value, sigma float64) belief {
	b = b.without(state)
	b.mean[state] = value
	b.covariance[state][state] = sigma * sigma
	return b
}

// interval is the evidence of two passings.
type interval struct {
	minutes float64 // between the two, as recorded
	// expected is what the reckoning makes of those minutes with other deviations; ok is false where it can't.
	expected func(vector) (minutes float64, ok bool)
	// levelChange is how many of the minutes were climb or descent.
	levelChangeMinutes float64
	midClimb           bool // it begins half-way up a climb
	// across is the evidence of the heading flown; nil when there is none.
	across *across
}

// across is the evidence of how far an aircraft came off its track on known headings.
type across struct {
	offNM    float64 // right positive: off the track at the end less at the start
	sigmaNM  float64 // of that
	minutes  float64
	aloneNM  float64 // where the headings alone would have led, right positive
	rightOf  float64 // true direction right of the track
	forecast func(vector) (north, east float64)
}

// steps are the differences with which slopes are taken.
var steps = vector{windNorth: 1, windEast: 1, tasBias: 1}

// slopeOf is how a reckoned time depends on the states, about a vector.
func slopeOf(about vector, expected func(vector) (float64, bool)) (minutes float64, slope vector, ok bool) {
	minutes, ok = expected(about)
	if !ok {
		return 0, slope, false
	}
	for state, step := range steps {
		if step == 0 {
			continue
		}
		moved := about
		moved[state] += step
		if m, ok := expected(moved); ok {
			slope[state] = (m - minutes) / step
		}
	}
	return minutes, slope, true
}

// passed takes in the interval that ends with a passing. misfit is by how many standard errors the time between the passings
// was out. The timing error of the passing that begins the interval is a state, for it is the same that ended the interval
// before; that of the new passing takes its place.
func (b belief) passed(in interval) (next belief, misfit float64) {
	b = b.wandered(in.minutes / 2)
	b = b.told(nextTiming, 0, timingSigma.Minutes())
	if in.across != nil { // first: how much the heading takes off the groundspeed depends on it
		b = in.across.observedBy(b)
	}
	next, about := b, b.mean
	for range 3 { // the reckoning is not quite linear: take the slopes where the evidence leads to
		minutes, slope, ok := slopeOf(about, in.expected)
		if !ok {
			next = b
			break
		}
		slope[lastTiming], slope[nextTiming] = -1, 1
		residual := in.minutes - minutes
		for state := range states {
			residual -= slope[state] * (b.mean[state] - about[state])
		}
		// The timings enter the expectation, and are not in the reckoned minutes.
		residual -= slope[lastTiming]*about[lastTiming] + slope[nextTiming]*about[nextTiming]
		variance := in.variance(slope)
		total := b.variance(slope) + variance
		misfit = residual / math.Sqrt(total)
		if excess := residual*residual/(wildSigmas*wildSigmas) - total; excess > 0 {
			variance += excess
		}
		next = b.observed(residual, slope, variance)
		about = next.mean
	}
	next.taken = b.taken + 1
	next.mean[lastTiming] = next.mean[nextTiming]
	for i := range states {
		next.covariance[lastTiming][i], next.covariance[i][lastTiming] = next.covariance[nextTiming][i], next.covariance[i][nextTiming]
	}
	next.covariance[lastTiming][lastTiming] = next.covariance[nextTiming][nextTiming]
	return next.without(nextTiming).wandered(in.minutes / 2), misfit
}

// variance is that of the interval's time, in minutes squared, apart from the states: the wind's wandering about that of the
// middle, climbs and descents that go otherwise than the tables say, and hand flying.
func (in interval) variance(slope vector) float64 {
	wander := wanderKt * wanderKt * in.minutes / 60 / 12 * (slope[windNorth]*slope[windNorth] + slope[windEast]*slope[windEast])
	height := 0.0
	if in.midClimb {
		height = midClimbSigma.Minutes() * midClimbSigma.Minutes()
	}
	return wander + height + levelChangeVariance(in.levelChangeMinutes) + handFlyingVariance(in.minutes)
}

func levelChangeVariance(minutes float64) float64 {
	return levelChangeError * levelChangeError * minutes * minutes
}

func handFlyingVariance(minutes float64) float64 {
	return handFlyingError * handFlyingError * handFlyingSpan * minutes
}

// observedBy takes in where the headings flown led to.
func (a across) observedBy(b belief) belief {
	hours := a.minutes / 60
	northShare, eastShare := angle.Cos(a.rightOf), angle.Sin(a.rightOf)
	slope := vector{windNorth: hours * northShare, windEast: hours * eastShare}
	north, east := a.forecast(b.mean)
	expected := a.aloneNM + hours*(north*northShare+east*eastShare)
	return b.observed(a.offNM-expected, slope, a.sigmaNM*a.sigmaNM)
}
