package flight

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// bearingCheck is a check of time and distance to a beacon by its bearings on one heading. Bearings are off the nose, to the beacon's
// side.
type bearingCheck struct {
	beacon     plan.Point
	right      bool // the beacon is on the right
	first      float64
	startedAt  time.Time
	second     float64
	stoppedAt  time.Time // zero while it runs
	leg        int
	heading    float64 // magnetic
	drift      float64 // track less heading
	tasKt      float64
	groundKt   float64
	reckonedNM float64 // from the beacon, when it was begun
	spoilt     string  // why it is none
}

// usualChange is the change of bearing that is waited for from the wing tip, in degrees.
const usualChange = 10

// foldBearing begins a check or, with a bearing farther aft of the same beacon, ends it.
func (f *ahead) foldBearing(e Event) bool {
	beacon, known := f.sheet.Plan.Point(e.Beacon)
	n, ok := f.here(e.T)
	if !known || !ok {
		return false
	}
	relative, given := f.relativeOf(e, n)
	if !given {
		return false
	}
	offNose, right := math.Abs(angle.Wrap180(relative)), angle.Wrap180(relative) >= 0
	if c := f.told.check; c != nil && c.stoppedAt.IsZero() && c.beacon.Ident == beacon.Ident && c.right == right && offNose > c.first {
		ended := *c // clones share the one that runs
		ended.second, ended.stoppedAt, ended.spoilt = offNose, e.T, f.spoiling(c)
		f.told.check = &ended
		return true
	}
	position, piece := f.positionAt(e.T), f.outlook.trajectory[n.point.Piece]
	heading := f.headingMagnetic(n)
	f.told.check = &bearingCheck{
		beacon: beacon, right: right, first: offNose, startedAt: e.T, leg: f.leg, heading: heading,
		drift: angle.Turn(heading, f.magneticOn(n.place, piece.TrackTrue)), tasKt: piece.TASKt, groundKt: piece.Heading.GroundspeedKt,
		reckonedNM: earth.Inverse(position.Place(), beacon.At).DistanceNM,
	}
	return true
}

// relativeOf is the bearing of a beacon from the nose, as it was read or by the radial that was.
func (f *ahead) relativeOf(e Event, n now) (relative float64, ok bool) {
	switch {
	case e.Relative != nil:
		return *e.Relative, true
	case e.Radial != nil:
		return angle.Wrap360(f.stationDirection(e.Beacon, *e.Radial, n) + 180 - f.headingMagnetic(n)), true
	}
	return 0, false
}

// stationDirection turns a radial, by the station's declination, into a direction by that of the place.
func (f *flown) stationDirection(ident string, radial float64, n now) float64 {
	return radial + f.stations[ident] - f.declinationAt(n.place)
}

// spoiling says why a check is none; empty while it is good.
func (f *flown) spoiling(c *bearingCheck) string {
	const steady = 2 // degrees
	if f.leg != c.leg {
		return "another leg was begun in between: begin again"
	}
	for _, steer := range f.steers.All() {
		if steer.at.After(c.startedAt) && math.Abs(angle.Turn(c.heading, steer.magnetic)) > steady {
			return "the heading was changed in between: begin again"
		}
	}
	return ""
}

// clockwise is a bearing off the nose as the needle shows it.
func (c *bearingCheck) clockwise(offNose float64) float64 {
	if c.right {
		return offNose
	}
	return angle.Wrap360(-offNose)
}

// target is the bearing off the nose at which to stop: ten degrees on from the wing tip, else the first one doubled.
func (c *bearingCheck) target() float64 {
	if doubled := 2 * c.first; c.first < 90-deadreckon.MostBearingDeg/2 {
		return doubled
	}
	return c.first + usualChange
}

func (f *ahead) bearingCheckAt(t time.Time) *BearingCheckNow {
	c := f.told.check
	const shown = 10 * time.Minute // after it
	if c == nil || !f.flying() {
		return nil
	}
	if over := !c.stoppedAt.IsZero(); over && (t.Sub(c.stoppedAt) > shown || f.leg != c.leg && c.spoilt == "") {
		return nil
	}
	now := &BearingCheckNow{
		Beacon: c.beacon.Ident, Name: c.beacon.Title(), StartedAt: c.startedAt, Seconds: t.Sub(c.startedAt).Seconds(), FirstRelative: c.clockwise(c.first),
		StopRelative: c.clockwise(c.target()), ReckonedNM: c.reckonedNM, Problem: c.spoilt, Notes: []string{},
	}
	if c.beacon.Kind.HasRadials() {
		if n, ok := f.here(t); ok {
			now.StopRadial = ref(f.radialAt(c, now.StopRelative, n))
		}
	}
	if c.stoppedAt.IsZero() {
		now.Problem = f.spoiling(c)
		now.ExpectedSeconds = c.expectedSeconds()
		return now
	}
	now.Done, now.Seconds, now.SecondRelative = true, c.stoppedAt.Sub(c.startedAt).Seconds(), ref(c.clockwise(c.second))
	if now.Problem == "" {
		f.work(now, c)
	}
	return now
}

// radialAt is the radial that shows when a beacon has a bearing from the nose.
func (f *flown) radialAt(c *bearingCheck, relative float64, n now) float64 {
	return angle.Wrap360(c.heading + relative + 180 - f.stations[c.beacon.Ident] + f.declinationAt(n.place))
}

// expectedSeconds is how long the change of bearing should take from where the aircraft was reckoned to be; nil where it tells nothing.
func (c *bearingCheck) expectedSeconds() *float64 {
	side := c.clockwise(c.first) - c.drift
	from := math.Abs(angle.Wrap180(side))
	to := from + c.target() - c.first
	if from <= 0 || to >= 180 {
		return nil
	}
	runNM := c.reckonedNM * angle.Sin(to-from) / angle.Sin(to)
	return ref(60 * deadreckon.Minutes(runNM, c.groundKt))
}

// work makes the result of a check: by the rule where it is one from the wing tip, exactly in still air, and by the wind in use.
func (f *ahead) work(now *BearingCheckNow, c *bearingCheck) {
	minutes, changed := now.Seconds/60, c.second-c.first
	exact, err := deadreckon.FromTwoBearings(c.first, c.second, deadreckon.Distance(c.tasKt, minutes))
	if err != nil {
		now.Problem = err.Error()
		return
	}
	result := &ToBeacon{DistanceExactNM: exact.Distance2NM, MinutesExact: deadreckon.Minutes(exact.Distance2NM, c.tasKt), TASKt: c.tasKt}
	const asRead = 1 // degree
	switch usable := deadreckon.UsableBearingChange(c.first, c.second); {
	case math.Abs(c.second-2*c.first) <= asRead && c.second <= 90+asRead:
		result.Sum = fmt.Sprintf("%.0f° doubled in %.0f s: as long again, %s", c.first, now.Seconds, say.Duration(c.stoppedAt.Sub(c.startedAt)))
	case math.Abs(c.first-90) <= deadreckon.MostBearingDeg/2:
		if change, err := deadreckon.BearingChange(minutes, changed, c.tasKt); err == nil {
			result.MinutesRule, result.DistanceRuleNM = ref(change.MinutesRule), ref(change.DistanceRuleNM)
			result.Sum = fmt.Sprintf("%.0f s / %.0f° = %.1f min", now.Seconds, changed, change.MinutesRule)
		}
		if usable != nil {
			now.Notes = append(now.Notes, usable.Error())
		}
	default:
		result.Sum = fmt.Sprintf("%.0f° then %.0f° in %.0f s", c.first, c.second, now.Seconds)
	}
	now.Result = result
	f.workInWind(now, c, minutes)
}

// workInWind counts the bearings from the track and the run by the groundspeed, which the rules can't.
func (f *ahead) workInWind(now *BearingCheckNow, c *bearingCheck, minutes float64) {
	first, second := c.clockwise(c.first)-c.drift, c.clockwise(c.second)-c.drift
	real, err := deadreckon.FromTwoBearings(first, second, deadreckon.Distance(c.groundKt, minutes))
	if err != nil {
		return
	}
	now.Result.DistanceInWindNM = &real.Distance2NM
	declination := f.legs[c.leg].line().Variation
	towards := deadreckon.TrueFromMagnetic(angle.Wrap360(c.heading+c.clockwise(c.second)), declination)
	wind, _ := f.outlook.air.Layers.At(f.levelFt(c.leg))
	if heading, err := deadreckon.HeadingFor(towards, c.tasKt, wind); err == nil {
		now.Result.MinutesInWind = ref(deadreckon.Minutes(real.Distance2NM, heading.GroundspeedKt))
		now.Result.HeadingMagnetic = ref(deadreckon.MagneticFromTrue(heading.HeadingTrue, declination))
	}
}

// wingTip is when a beacon is abeam, and what shows then; nil for one without a bearing or behind.
func (f *ahead) wingTip(beacon plan.Point, position *PositionNow, n now) *WingTip {
	if !beacon.Kind.HasRadials() && beacon.Kind != plan.NDB {
		return nil
	}
	piece := f.outlook.trajectory[n.point.Piece]
	line := earth.Inverse(position.Place(), beacon.At)
	if leg := f.legs[f.leg].line(); beacon.Ident == leg.To.Ident || beacon.Ident == leg.From.Ident {
		return nil // it is flown to or from, not past
	}
	heading := f.headingMagnetic(n)
	headingTrue := deadreckon.TrueFromMagnetic(heading, f.declinationAt(n.place))
	w := &WingTip{Relative: 90}
	if angle.Turn(headingTrue, line.AzimuthStart) < 0 {
		w.Relative = 270
	}
	if beacon.Kind.HasRadials() {
		w.Radial = ref(angle.Wrap360(heading + w.Relative + 180 - f.stations[beacon.Ident] + f.declinationAt(n.place)))
	}
	// abeam of the nose: the beacon's place along the heading, less the run along it
	toGoNM := line.DistanceNM * angle.Cos(angle.Turn(headingTrue, line.AzimuthStart))
	alongKt := piece.Heading.GroundspeedKt * angle.Cos(angle.Turn(headingTrue, piece.TrackTrue))
	if toGoNM > 0 && alongKt > 0 {
		w.InSeconds = ref(60 * deadreckon.Minutes(toGoNM, alongKt))
	}
	return w
}

func (s *State) checkBearing(e Event) error {
	if err := inFlight(s, e); err != nil {
		return err
	}
	if err := s.checkBeacon(e.Beacon); err != nil {
		return err
	}
	if point, _ := s.sheet.Plan.Point(e.Beacon); !point.Kind.HasRadials() && point.Kind != plan.NDB {
		return refuse("take a VOR or an NDB", "%s has no bearing", e.Beacon)
	}
	n, ok := s.fold.here(e.T)
	if !ok {
		return refuse("", "the way ahead can't be calculated")
	}
	if relative, given := s.fold.relativeOf(e, n); given && math.Mod(relative, 180) == 0 {
		return refuse("wait for a bearing off the nose", "straight ahead or behind nothing can be measured")
	}
	return nil
}

// describeBearing says which bearing was read.
func describeBearing(e Event) string {
	text := "bearing " + e.Beacon
	if e.Radial != nil {
		return text + " radial " + heading(e.Radial)
	}
	return text + " relative " + number(e.Relative, "%03.0f")
}
