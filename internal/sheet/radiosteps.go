package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// inRangeToleranceNM is how exactly the place is found from which a beacon is received.
const inRangeToleranceNM = 0.001

// radio resolves a leg's radio steps, the plan's or, where it has none, automatic ones.
func (l *layout) radio(index int, leg *RouteLeg) {
	planned := l.plan.Route.Legs[index].Radio
	for i, step := range planned {
		path := fmt.Sprintf("%s.radio[%d]", legPath(index), i)
		beacon, ok := l.plan.Point(step.Beacon)
		if !ok {
			l.add(plan.Error, path+".beacon", "", "%q is not a point of the plan", step.Beacon)
			continue
		}
		leg.Radio = append(leg.Radio, l.plannedStep(index, path, *leg, step, beacon))
	}
	if len(planned) == 0 {
		leg.Radio = l.automaticSteps(index, *leg)
	}
	slices.SortStableFunc(leg.Radio, func(a, b RadioStep) int { return cmp.Compare(a.AfterNM, b.AfterNM) })
	for i := range leg.Radio {
		l.use(*leg, i)
	}
}

func (l *layout) newStep(index int, leg RouteLeg, receiver string, beacon plan.Point) RadioStep {
	return RadioStep{Leg: index, Receiver: receiver, Beacon: beacon, RangeNM: reception(beacon, leg.AltitudeFt), path: legPath(index)}
}

// reception is how far a beacon is received at an altitude; 0 where nothing tells.
func reception(beacon plan.Point, altitudeFt float64) (rangeNM float64) {
	return radio.Reception(beacon.RangeNM, altitudeFt, beacon.ElevationFt, beacon.Kind != plan.NDB)
}

func (l *layout) plannedStep(index int, path string, leg RouteLeg, planned plan.RadioStep, beacon plan.Point) RadioStep {
	step := l.newStep(index, leg, planned.Receiver, beacon)
	step.path = path
	step.AfterNM = l.due(path, leg, planned, step)
	step.Course = planned.Course
	step.CourseMagnetic = planned.CourseMagnetic
	if planned.Course == plan.Inbound || planned.Course == plan.Outbound {
		step.CourseMagnetic = l.courseTo(leg, step)
	}
	return step
}

// due is where on its leg a planned step is due.
func (l *layout) due(path string, leg RouteLeg, planned plan.RadioStep, step RadioStep) float64 {
	switch {
	case planned.AfterNM != nil:
		return l.onLeg(path+".after", leg, *planned.AfterNM)
	case planned.BeforeNM != nil:
		return l.onLeg(path+".before", leg, leg.DistanceNM-*planned.BeforeNM)
	case planned.At == plan.HalfWay:
		return leg.DistanceNM / 2
	case planned.At == plan.InRange:
		return firstInRange(leg, step.Beacon.At, step.RangeNM)
	}
	return 0
}

// onLeg moves a distance that lies off the leg to its nearer end, and says so.
func (l *layout) onLeg(path string, leg RouteLeg, afterNM float64) float64 {
	if where := offLeg(leg, afterNM); where != "" {
		l.add(plan.Caution, path, fmt.Sprintf("the leg is %s long", say.Miles(leg.DistanceNM)), "the step would be due %s", where)
	}
	return min(max(afterNM, 0), leg.DistanceNM)
}

// courseTo is what to select for a beacon inbound or outbound. To or from the leg's own ends it is the leg's course there; for a
// beacon elsewhere it is that of the line between the beacon and, inbound, where the step is due, outbound, the leg's end.
func (l *layout) courseTo(leg RouteLeg, step RadioStep) *float64 {
	inbound := step.Course == plan.Inbound
	if step.Beacon.Kind == plan.NDB {
		return bearingToHold(leg, step)
	}
	switch {
	case !step.Beacon.Kind.HasRadials():
		return nil
	case inbound && step.Beacon.Ident == leg.To.Ident:
		return leg.CourseInbound
	case !inbound && step.Beacon.Ident == leg.From.Ident:
		return leg.CourseOutbound
	}
	far := leg.To.At
	if inbound {
		far, _ = leg.Line.At(step.AfterNM)
	}
	azimuthTrue := bearing(step.Beacon.At, far)
	if inbound {
		azimuthTrue += 180
	}
	course := deadreckon.MagneticFromTrue(azimuthTrue, l.stationDeclination(step.Beacon))
	return &course
}

// bearingToHold is the magnetic bearing to hold with an ADF, by the variation where the aircraft is: inbound the QDM, outbound the QDR.
// To or from the leg's own ends it is the leg's track where the step is due, for a beacon elsewhere that of the line that courseTo takes.
func bearingToHold(leg RouteLeg, step RadioStep) *float64 {
	track := leg.TrackAt(step.AfterNM)
	inbound := step.Course == plan.Inbound
	azimuthTrue := track.TrackTrue
	switch here, _ := leg.Line.At(step.AfterNM); {
	case inbound && step.Beacon.Ident != leg.To.Ident:
		azimuthTrue = bearing(here, step.Beacon.At)
	case !inbound && step.Beacon.Ident != leg.From.Ident:
		azimuthTrue = bearing(step.Beacon.At, leg.To.At)
	}
	hold := deadreckon.MagneticFromTrue(azimuthTrue, track.Variation)
	return &hold
}

// automaticSteps are those of a leg for which the plan sets none: from the leg's start the beacon left, outbound; half-way, or as
// soon as it is in range if that is later, the beacon ahead, inbound. A beacon that no receiver can tune has none.
func (l *layout) automaticSteps(index int, leg RouteLeg) []RadioStep {
	var steps []RadioStep
	add := func(beacon plan.Point, course plan.Course, afterNM float64) {
		receiver := l.receiverFor(beacon.Kind)
		if receiver == "" {
			return
		}
		step := l.newStep(index, leg, receiver, beacon)
		step.Automatic = true
		step.AfterNM = max(afterNM, 0)
		if course == plan.Inbound {
			step.AfterNM = max(afterNM, firstInRange(leg, beacon.At, step.RangeNM))
		}
		if beacon.Kind.HasRadials() && plan.SelectsCourse(receiver) {
			step.Course = course
			step.CourseMagnetic = l.courseTo(leg, step)
		}
		steps = append(steps, step)
	}
	add(leg.From, plan.Outbound, 0)
	add(leg.To, plan.Inbound, leg.DistanceNM/2)
	return steps
}

// receiverFor is the first receiver of the aircraft that can tune a kind of beacon; empty when none can.
func (l *layout) receiverFor(kind plan.Kind) string {
	for _, receiver := range l.plan.Aircraft.Receivers {
		if plan.Receives(receiver, kind) {
			return receiver
		}
	}
	return ""
}

// firstInRange is the first place on a leg within a range of a beacon; with no such place, the one nearest to the beacon. A range
// of 0 is not known, so the beacon counts as received everywhere.
func firstInRange(leg RouteLeg, beacon earth.Position, rangeNM float64) float64 {
	if rangeNM == 0 || distanceAt(leg, 0, beacon) <= rangeNM {
		return 0
	}
	nearest, _ := earth.Abeam(leg.From.At, leg.To.At, beacon)
	nearest = min(max(nearest, 0), leg.DistanceNM)
	if distanceAt(leg, nearest, beacon) > rangeNM {
		return nearest
	}
	outside, inside := 0.0, nearest
	for inside-outside > inRangeToleranceNM {
		middle := (outside + inside) / 2
		if distanceAt(leg, middle, beacon) <= rangeNM {
			inside = middle
		} else {
			outside = middle
		}
	}
	return inside
}

// lastInRange is firstInRange from the other end.
func lastInRange(leg RouteLeg, beacon earth.Position, rangeNM float64) float64 {
	back := RouteLeg{From: leg.To, To: leg.From, Line: earth.NewLine(leg.To.At, leg.From.At), DistanceNM: leg.DistanceNM}
	return leg.DistanceNM - firstInRange(back, beacon, rangeNM)
}

func distanceAt(leg RouteLeg, afterNM float64, beacon earth.Position) float64 {
	at, _ := leg.Line.At(afterNM)
	return earth.Inverse(at, beacon).DistanceNM
}

// use finds whether a step's beacon is received from where it is due until its use ends: at the next step of that receiver on the
// leg, or at the leg's end. Along a leg the distance from a beacon first falls and then grows, so the two ends of the use tell.
func (l *layout) use(leg RouteLeg, index int) {
	step := &leg.Radio[index]
	end := useEnd(leg, index)
	step.DistanceNM = distanceAt(leg, step.AfterNM, step.Beacon.At)
	endNM := distanceAt(leg, end, step.Beacon.At)
	step.InRange = step.RangeNM == 0 || max(step.DistanceNM, endNM) <= step.RangeNM+inRangeToleranceNM
	if step.RangeNM == 0 {
		l.add(plan.Note, step.path, "give the beacon its published range", "%s has no published range, so its reception is not checked", step.Beacon.Ident)
	}
	if step.InRange {
		return
	}
	first, last := firstInRange(leg, step.Beacon.At, step.RangeNM), lastInRange(leg, step.Beacon.At, step.RangeNM)
	why := fmt.Sprintf("%s is received within %s at %s", step.Beacon.Ident, say.Miles(step.RangeNM), leg.Level)
	switch nearestNM := distanceAt(leg, first, step.Beacon.At); {
	case nearestNM > step.RangeNM+inRangeToleranceNM:
		l.add(plan.Caution, step.path, "use a nearer beacon, or fly higher", "%s, and the leg comes no nearer than %s", why, say.Miles(nearestNM))
	case step.DistanceNM > step.RangeNM+inRangeToleranceNM:
		l.add(plan.Caution, step.path, fmt.Sprintf("tune it after %s, or at: in-range", say.Miles(first)),
			"%s, but is %s away where %s is to be tuned to it", why, say.Miles(step.DistanceNM), step.Receiver)
	default:
		l.add(plan.Caution, step.path, fmt.Sprintf("tune the next beacon by %s", say.Miles(last)),
			"%s, but is %s away where its use on %s ends", why, say.Miles(endNM), step.Receiver)
	}
}

// useEnd is where on the leg a step's beacon is no longer used.
func useEnd(leg RouteLeg, index int) float64 {
	for _, later := range leg.Radio[index+1:] {
		if later.Receiver == leg.Radio[index].Receiver {
			return later.AfterNM
		}
	}
	return leg.DistanceNM
}

// Contact is a station to talk to, with the place and the time from which it is.
type Contact struct {
	plan.Contact
	Leg     int
	AfterNM float64
	ETA     time.Time
}

// contacts finds where each of the plan's contacts is due. One that is so many miles before a place may be due on an earlier leg.
func (s *Sheet) contacts() {
	for _, contact := range s.Plan.Contacts {
		alongNM := s.alongRoute(contact.At)
		if contact.BeforeNM != nil {
			alongNM = max(alongNM-*contact.BeforeNM, 0)
		}
		leg := len(s.Legs) - 1
		for leg > 0 && s.Legs[leg].StartNM > alongNM+sameDistanceNM {
			leg--
		}
		afterNM := alongNM - s.Legs[leg].StartNM
		s.Contacts = append(s.Contacts, Contact{contact, leg, afterNM, s.TimeAt(leg, afterNM)})
	}
	slices.SortStableFunc(s.Contacts, func(a, b Contact) int {
		return cmp.Compare(s.Legs[a.Leg].StartNM+a.AfterNM, s.Legs[b.Leg].StartNM+b.AfterNM)
	})
}

// alongRoute is how far from the start a point, a checkpoint or a boundary of the route is first passed; 0 where there is no such.
func (s *Sheet) alongRoute(name string) float64 {
	for _, leg := range s.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if checkpoint.Name == name {
				return leg.StartNM + checkpoint.AfterNM
			}
		}
		if leg.To.Ident == name {
			return leg.StartNM + leg.DistanceNM
		}
	}
	return 0
}

// contactWords is a contact as it is read out: "Norland Information 124.750, flight information".
func contactWords(contact plan.Contact) string {
	words := contact.Name + " " + say.Voice(contact.FrequencyMHz)
	if contact.For != "" {
		words += ", " + contact.For
	}
	return words
}

// FreezingLevelFt is the lowest altitude at which the forecast's temperature is 0 °C, above sea level by the QNH; ok is false where it is
// not between sea level and 30,000 ft. Between the levels of the forecast the deviation from standard is interpolated.
func (s *Sheet) FreezingLevelFt() (altitudeFt float64, ok bool) {
	const highestFt, stepFt = 30000, 100
	temperature := func(altitudeFt float64) float64 {
		_, deviation := s.Air.Layers.At(altitudeFt)
		return air.ISATemperatureC(air.PressureAltitudeFt(altitudeFt, s.Air.QNH)) + deviation
	}
	below := temperature(0)
	for altitudeFt := 0.0; altitudeFt < highestFt; altitudeFt += stepFt {
		above := temperature(altitudeFt + stepFt)
		if below > 0 && above <= 0 {
			return altitudeFt + stepFt*below/(below-above), true
		}
		below = above
	}
	return 0, false
}
