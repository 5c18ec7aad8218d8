package deadreckon

import (
	"errors"
	"fmt"
	"math"

	"example.com/legclock/internal/angle"
)

// ErrBearings occurs when bearings cannot give a distance: they do not change, or no straight flight past a station
// changes them so.
var ErrBearings = errors.New("these bearings give no distance")

// Limits of a change of bearing that a distance can be told by: fewer degrees can't be read off a needle; past the most the rule no
// longer holds. Up to there its distance lies from 0 to 5 % above the exact one.
const (
	FewestBearingDeg = 5
	MostBearingDeg   = 30
)

// UsableBearingChange says why two bearings off the nose, on one side, make no good check by the change from abeam; nil where they do.
func UsableBearingChange(first, then float64) error {
	const near = MostBearingDeg / 2 // the wing tip
	switch changed := then - first; {
	case math.Abs(first-90) > near:
		return fmt.Errorf("the stopwatch was started at %.0f° off the nose: start it near the wing tip", first)
	case changed < FewestBearingDeg:
		return fmt.Errorf("the needle has moved by %.0f° only: let it move by %d at least", changed, FewestBearingDeg)
	case changed > MostBearingDeg:
		return fmt.Errorf("the needle has moved by %.0f°: past %d° the rule no longer holds", changed, MostBearingDeg)
	}
	return nil
}

// ToStation is the time and distance to a beacon, still air, from the second bearing.
type ToStation struct {
	MinutesRule, DistanceRuleNM   float64
	MinutesExact, DistanceExactNM float64
	Poor                          bool // the change of bearing is past 30°, where the rule no longer holds
}

// BearingChange returns the time and distance to a beacon that was abeam (90° off the nose) at the first bearing and whose
// bearing then changed by so many degrees, either way, in so many minutes.
//
// The rule: minutes = 60 × minutes flown / degrees (PHAK navigation chapter and Instrument Flying Handbook, time and
// distance to station). Exact is the distance at the second bearing, run / sin(degrees). Neither knows the wind. The error
// wraps ErrBearings.
func BearingChange(minutes, degrees, tasKt float64) (ToStation, error) {
	degrees = math.Abs(degrees)
	if !(degrees > 0 && degrees < 90) {
		return ToStation{}, fmt.Errorf("%w: a change of %g° from abeam; it lies between 0 and 90°", ErrBearings, degrees)
	}
	if !(minutes > 0) {
		return ToStation{}, fmt.Errorf("%w: %g minutes between them; it must be more than 0", ErrBearings, minutes)
	}
	rule, exact := 60*minutes/degrees, minutes/angle.Sin(degrees)
	return ToStation{
		MinutesRule: rule, DistanceRuleNM: Distance(tasKt, rule),
		MinutesExact: exact, DistanceExactNM: Distance(tasKt, exact),
		Poor: degrees > MostBearingDeg,
	}, nil
}

// Isosceles returns the time and distance to a beacon whose relative bearing, counted from the nose, has doubled in so many
// minutes on one heading: run and distance are the two equal sides of a triangle, so it is as long again (Instrument Flying
// Handbook, isosceles triangle method). Exact in still air.
func Isosceles(minutes, tasKt float64) (toStationMinutes, distanceNM float64) {
	return minutes, Distance(tasKt, minutes)
}

// TwoBearings are the distances of a beacon from a straight run.
type TwoBearings struct {
	Distance1NM, Distance2NM float64 // at the first and second bearing
	AbeamNM                  float64 // of closest approach
}

// FromTwoBearings returns the distances of a beacon from two relative bearings and the run between them: the law of sines.
// Relative bearings count clockwise from the direction of the run, which is the heading in still air and the track in wind.
// The error wraps ErrBearings: a beacon passed on one side has a bearing that draws aft.
func FromTwoBearings(relative1, relative2, runNM float64) (TwoBearings, error) {
	first, second := angle.Wrap180(relative1), angle.Wrap180(relative2)
	if first < 0 {
		first, second = -first, -second
	}
	if !(first > 0 && second > first && second < 180) {
		return TwoBearings{}, fmt.Errorf("%w: relative %g° and then %g°; both must lie on one side and the second farther aft",
			ErrBearings, relative1, relative2)
	}
	if !(runNM > 0) {
		return TwoBearings{}, fmt.Errorf("%w: a run of %g nm between them; it must be more than 0", ErrBearings, runNM)
	}
	perSine := runNM / angle.Sin(second-first)
	return TwoBearings{
		Distance1NM: perSine * angle.Sin(second),
		Distance2NM: perSine * angle.Sin(first),
		AbeamNM:     perSine * angle.Sin(first) * angle.Sin(second),
	}, nil
}
