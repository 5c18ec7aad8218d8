// Package deadreckon is the navigator's sums: wind triangle, 1-in-60, time to station, equal time, no return.
//
// It knows nothing of places, charts, beacons, aircraft or plans: tracks and distances come in as numbers.
//
// Units and signs: distances in nautical miles, speeds in knots, times in minutes, heights in feet, angles in degrees. A
// wind correction is positive to the right of track, drift positive to the right of heading, an offset positive to the right
// of track, a turn positive to the right. Variation and compass deviation are positive east.
//
// Where a rule of thumb is taught, the result carries both: the figure of the rule, that a pilot can check in the head, and
// the exact one.
//
// Sources: plane vector geometry; the rules are those of the FAA's Pilot's Handbook of Aeronautical Knowledge and Instrument
// Flying Handbook and the European private pilot's syllabus. Each function names its own.
//
// Limits: the earth is flat over one sum; what spans more than about 120 nm is for the caller to cut into pieces.
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

// maximumRuleDeg bounds what OneInSixty says as a rule, so that it can always be shown. The rule is out of its range long
// before.
const maximumRuleDeg = 90

// OneInSixty returns the angle under which an offset is seen after a distance along the track, with the sign of the
// offset: as taught, 60 × offset / distance, and exactly, the angle whose tangent that is.
//
// The rule counts 60 for 57.3: it says 4.7 % too much for small angles, half a degree at 10°, one degree at 15°
// (PHAK and the European private pilot's syllabus, "1 in 60"). It is never given as more than 90°, nor where there is
// no distance.
func OneInSixty(offNM, alongNM float64) (rule, exact float64) {
	if offNM == 0 && alongNM >= 0 {
		return 0, 0
	}
	exact = angle.Degrees(math.Atan2(offNM, alongNM))
	if alongNM <= 0 {
		return math.Copysign(maximumRuleDeg, offNM), exact
	}
	return max(-maximumRuleDeg, min(maximumRuleDeg, 60*offNM/alongNM)), exact
}

// OffsetAt returns how far an angle leads off the track after a distance along it, with the sign of the angle: as taught,
// angle × distance / 60, and exactly, by the tangent. It holds below 90°.
func OffsetAt(angleDeg, alongNM float64) (ruleNM, exactNM float64) {
	return angleDeg * alongNM / 60, alongNM * math.Tan(angle.Radians(angleDeg))
}

// OffTrack is what an offset from track means for the heading. All angles carry the sign of the offset: positive when the
// aircraft is right of track, and then the turn wanted is to the left.
type OffTrack struct {
	TrackErrorRule, ClosingRule   float64 // 1 in 60
	TrackErrorExact, ClosingExact float64
}

// OffTrackBy returns the track error since the start and the closing angle to the end of a leg. The offset is positive right
// of track; the distances are along the planned track. See OneInSixty for source and limits.
func OffTrackBy(offNM, flownNM, toGoNM float64) OffTrack {
	var o OffTrack
	o.TrackErrorRule, o.TrackErrorExact = OneInSixty(offNM, flownNM)
	o.ClosingRule, o.ClosingExact = OneInSixty(offNM, toGoNM)
	return o
}

// TurnRule returns the turn that leads straight to the end of the leg by the rule, right positive: the track error to fly
// parallel to the track again, and the closing angle to meet it.
func (o OffTrack) TurnRule() float64 { return -(o.TrackErrorRule + o.ClosingRule) }

// TurnExact returns the same turn exactly.
func (o OffTrack) TurnExact() float64 { return -(o.TrackErrorExact + o.ClosingExact) }

// Differs reports whether the turn by the rule is a degree or more from the exact one.
func (o OffTrack) Differs() bool { return math.Abs(o.TurnRule()-o.TurnExact()) >= 1 }

// Regain is the pair of turns, right positive, that brings an aircraft back onto its track and keeps it there.
type Regain struct {
	FirstTurnRule, FirstTurnExact float64 // now
	ThenTurnRule, ThenTurnExact   float64 // on meeting the track
}

// RegainTrack returns the turns for meeting the track after a chosen distance along it and holding it from there. With the
// distance flown chosen, the first turn is twice the track error and the second takes half of it off again (the doubling of
// the track error as taught with the 1-in-60 rule).
func RegainTrack(offNM, flownNM, withinNM float64) Regain {
	o := OffTrackBy(offNM, flownNM, withinNM)
	return Regain{
		FirstTurnRule: o.TurnRule(), FirstTurnExact: o.TurnExact(),
		ThenTurnRule: o.ClosingRule, ThenTurnExact: o.ClosingExact,
	}
}

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
		return TwoBearings{}, fmt.Errorf("%w: relative %03.0f and then %03.0f; both must lie on one side of the nose and the second farther aft",
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

// EqualTime returns the point from which it is as long on to the destination as back to the start, as the distance from the
// start, and the minutes from there either way: distance × back / (on + back) (AFM 51-40, equal time point). A wind moves it
// towards where the wind comes from.
//
// The groundspeeds are those on the way on and, into whatever wind there is, on the way back. Where one is not positive
// there is no such point: NaN.
func EqualTime(distanceNM, onKt, backKt float64) (fromStartNM, minutes float64) {
	if !(onKt > 0 && backKt > 0) {
		return math.NaN(), math.NaN()
	}
	fromStartNM = distanceNM * backKt / (onKt + backKt)
	return fromStartNM, Minutes(fromStartNM, backKt)
}

// NoReturn returns the farthest point from which the start can be reached again within an endurance, reserve already taken
// off, and the minutes out to it: endurance × home / (out + home). Any wind along the track brings it nearer. It may lie
// beyond the destination: then there is a return from everywhere. Where a groundspeed is not positive: NaN.
func NoReturn(enduranceMinutes, outKt, homeKt float64) (distanceNM, minutes float64) {
	if !(outKt > 0 && homeKt > 0) {
		return math.NaN(), math.NaN()
	}
	minutes = enduranceMinutes * homeKt / (outKt + homeKt)
	return Distance(outKt, minutes), minutes
}

// NoReturnByFuel is NoReturn for fuel that can be used, reserve already taken off, and a flow an hour out and home:
// fuel / (flow out / out + flow home / home). Fuel and flows are in one unit. Where a groundspeed is not positive, or both
// flows are zero: NaN.
func NoReturnByFuel(usable, flowOut, outKt, flowHome, homeKt float64) (distanceNM, minutes float64) {
	perNM := flowOut/outKt + flowHome/homeKt
	if !(outKt > 0 && homeKt > 0 && perNM > 0) {
		return math.NaN(), math.NaN()
	}
	distanceNM = usable / perNM
	return distanceNM, Minutes(distanceNM, outKt)
}

// LevelChange returns the time and distance of a climb or descent by a height, up or down, at a rate in feet a minute, both
// counted without sign. The groundspeed is that of the mean true airspeed and the wind half-way up. Without a rate a height
// that is left takes for ever: +Inf.
func LevelChange(heightFt, rateFtPerMin, groundspeedKt float64) (minutes, distanceNM float64) {
	height, rate := math.Abs(heightFt), math.Abs(rateFtPerMin)
	if height == 0 {
		return 0, 0
	}
	minutes = height / rate
	return minutes, Distance(groundspeedKt, minutes)
}

// RateForAngle returns the rate, in feet a minute, of a path inclined at an angle: by the 1-in-60 rule, 100 ft a mile for
// each degree (for 3° that is 5 × groundspeed), and exactly.
func RateForAngle(angleDeg, groundspeedKt float64) (rule, exact float64) {
	return angleDeg * 100 * groundspeedKt / 60, air.FeetPerNM * math.Tan(angle.Radians(angleDeg)) * groundspeedKt / 60
}

// AngleForRate returns the angle of the path of a rate, in feet a minute, exactly.
func AngleForRate(rateFtPerMin, groundspeedKt float64) float64 {
	return angle.Degrees(math.Atan(GradientFtPerNM(rateFtPerMin, groundspeedKt) / air.FeetPerNM))
}

// GradientFtPerNM returns the height that a rate, in feet a minute, gives over each nautical mile.
func GradientFtPerNM(rateFtPerMin, groundspeedKt float64) float64 {
	return 60 * rateFtPerMin / groundspeedKt
}

// RateForDistance returns the rate, in feet a minute, that gains or loses a height over a distance.
func RateForDistance(heightFt, distanceNM, groundspeedKt float64) float64 {
	return heightFt / Minutes(distanceNM, groundspeedKt)
}

// DescentDistanceRuleNM returns the distance to descend by a height as taught: 3 nautical miles for each 1,000 ft (FAA
// Instrument Procedures Handbook). That is a path of 3.1°.
func DescentDistanceRuleNM(heightFt float64) float64 { return 3 * heightFt / 1000 }
