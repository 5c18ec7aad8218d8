package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"example.com/legclock/internal/radio"
)

const legWanted = "{to: KVN, altitude: 4000}"

func readRoute(plan *object) (route Route) {
	o, ok := plan.group("route", "from, and legs")
	if !ok {
		return route
	}
	defer o.finish()
	route.From = o.text("from", "the aerodrome of departure")
	var level *Level
	for _, item := range o.list("legs", 1, legWanted) {
		leg := readLeg(item, level)
		level = &leg.Level
		route.Legs = append(route.Legs, leg)
	}
	route.JoinAltitudeFt = o.numberIfGiven("join_altitude", altitude)
	route.LevelBeforeNM = o.numberIfGiven("level_before", levelBefore)
	route.Alternates = o.names("alternates", "[STR], aerodromes of the points")
	return route
}

// readLeg reads a leg; one without a level keeps the one before, nil on the first leg.
func readLeg(item value, before *Level) (leg Leg) {
	leg.Level = Level{AltitudeFt: math.NaN()}
	o, ok := item.object(legWanted)
	if !ok {
		return leg
	}
	defer o.finish()
	leg.To = o.text("to", "a point")
	leg.Level = readLevel(o, before)
	leg.SafeAltitudeFt = o.numberIfGiven("safe_altitude", altitude)
	leg.Variation = o.eastIfGiven("variation")
	const checkpoint, step = "a point, or {name: railway, after: 8.5}", "{receiver: NAV1, beacon: KVN, course: inbound}"
	for _, item := range o.list("checkpoints", 0, checkpoint) {
		if read, ok := readCheckpoint(item, checkpoint); ok {
			leg.Checkpoints = append(leg.Checkpoints, read)
		}
	}
	const boundary = "{name: Norland FIR, after: 8.5}"
	for _, item := range o.list("boundaries", 0, boundary) {
		if read, ok := readBoundary(item, boundary); ok {
			leg.Checkpoints = append(leg.Checkpoints, read)
		}
	}
	for _, item := range o.list("radio", 0, step) {
		leg.Radio = append(leg.Radio, readRadioStep(item, step))
	}
	return leg
}

func readLevel(o *object, before *Level) Level {
	o.tellWorded("altitude", "level", func() string { return altitude.bounds() + ", or FL001 to FL300" }, always("required on the first leg"))
	v, given := o.get("altitude")
	switch {
	case !given && before == nil:
		o.missing("altitude", levelHint+"; later legs keep it")
		return Level{AltitudeFt: math.NaN()}
	case !given:
		return *before
	}
	text, ok := v.scalar(levelHint)
	if !ok {
		return Level{AltitudeFt: math.NaN()}
	}
	level, wrong := parseLevel(text)
	if wrong != nil {
		v.fail(wrong.text, wrong.hint)
		return Level{AltitudeFt: math.NaN()}
	}
	if level.FlightLevel == 0 && !altitude.holds(level.AltitudeFt) || level.FlightLevel*100 > int(altitude.high) {
		v.fail(fmt.Sprintf("%s is out of range", level), altitude.bounds())
		return Level{AltitudeFt: math.NaN()}
	}
	return level
}

// readCheckpoint reads the ident of a point, or a name with its distance or its point.
func readCheckpoint(item value, wanted string) (checkpoint Checkpoint, ok bool) {
	if item.node.Kind == yaml.ScalarNode {
		ident := item.name(wanted)
		return Checkpoint{Name: ident, Point: ident}, ident != ""
	}
	o, ok := item.object(wanted)
	if !ok {
		return checkpoint, false
	}
	defer o.finish()
	checkpoint.Name = o.textIfGiven("name", "what is seen")
	checkpoint.Point = o.textIfGiven("point", "a point, passed abeam")
	checkpoint.AfterNM = o.numberIfGiven("after", distance)
	_, named := o.find("name")
	_, placed := o.find("point")
	switch {
	case placed == (checkpoint.AfterNM != nil):
		o.fail("a checkpoint stands at one place: a point, or a distance from the leg's start", wanted)
		return checkpoint, false
	case !named && !placed:
		o.missing("name", "what is seen there")
		return checkpoint, false
	case !named:
		checkpoint.Name = checkpoint.Point
	}
	return checkpoint, checkpoint.Name != ""
}

// readBoundary reads where a leg crosses into another region or airspace: by its distance, or at a point that lies on it.
func readBoundary(item value, wanted string) (boundary Checkpoint, ok bool) {
	o, ok := item.object(wanted)
	if !ok {
		return boundary, false
	}
	defer o.finish()
	boundary.Boundary = true
	boundary.Name = o.text("name", "what is entered there")
	boundary.Point = o.textIfGiven("point", "a point on the boundary")
	boundary.AfterNM = o.numberIfGiven("after", distance)
	if (boundary.Point != "") == (boundary.AfterNM != nil) {
		o.fail("a boundary is crossed at one place: a point, or a distance from the leg's start", wanted)
		return boundary, false
	}
	return boundary, boundary.Name != ""
}

const contactWanted = "{name: Norland Information, frequency: 124.750, at: ADH, for: flight information}"

// voiceFrequency is the band of the aeronautical mobile service (ICAO Annex 10 Volume V).
var voiceFrequency = quantity{unit: "MHz", low: 118, high: 136.99}

func readContacts(plan *object) (contacts []Contact) {
	for _, item := range plan.list("contacts", 0, contactWanted) {
		o, ok := item.object(contactWanted)
		if !ok {
			continue
		}
		contact := Contact{
			Name:         o.text("name", "how the station is called"),
			FrequencyMHz: o.number("frequency", voiceFrequency),
			At:           o.textIfGiven("at", "a point, checkpoint or boundary of the route"),
			BeforeNM:     o.numberIfGiven("before", distance),
			For:          o.textIfGiven("for", "what is asked of it"),
		}
		if v, given := o.find("frequency"); given && !math.IsNaN(contact.FrequencyMHz) {
			if err := radio.CheckVoiceFrequency(contact.FrequencyMHz); err != nil {
				v.fail(err.Error(), "")
			}
		}
		if contact.BeforeNM != nil && contact.At == "" {
			o.fail(`"before" goes with "at"`, contactWanted)
		}
		o.finish()
		contacts = append(contacts, contact)
	}
	return contacts
}

// The words that a radio step has for its place and its course.
var (
	moments = []string{string(HalfWay), string(InRange)}
	courses = []string{string(Inbound), string(Outbound)}
)

func readRadioStep(item value, wanted string) (step RadioStep) {
	o, ok := item.object(wanted)
	if !ok {
		return step
	}
	defer o.finish()
	step.Receiver = o.text("receiver", "one of the aircraft's receivers")
	step.Beacon = o.text("beacon", "a beacon of the points")
	step.Course, step.CourseMagnetic = readCourse(o)
	step.AfterNM = o.numberIfGiven("after", distance)
	step.BeforeNM = o.numberIfGiven("before", distance)
	o.tellWorded("at", "word", func() string { return strings.Join(moments, ", ") }, always(optional))
	at, named := o.get("at")
	if named {
		step.At = Moment(at.choice(moments...))
	}
	o.atMostOne("after", "before", "at")
	return step
}

func readCourse(o *object) (Course, *float64) {
	o.tellWorded("course", "word or number", func() string { return strings.Join(courses, ", ") + ", or " + direction.bounds() }, always(optional))
	v, given := o.get("course")
	if !given {
		return NoCourse, nil
	}
	wanted := "inbound, outbound, or degrees magnetic"
	text, ok := v.scalar(wanted)
	switch {
	case !ok:
		return NoCourse, nil
	case slices.Contains(courses, text):
		return Course(text), nil
	case nearest(text, courses) != "":
		v.choice(courses...)
		return NoCourse, nil
	}
	degrees, wrong := parseNumber(text)
	switch {
	case wrong != nil:
		v.fail(wrong.text, wanted)
		return NoCourse, nil
	case !direction.holds(degrees):
		v.fail(fmt.Sprintf("%s is out of range", text), direction.bounds())
		return NoCourse, nil
	}
	return Given, &degrees
}

// given lists which of some keys a group has.
func (o *object) given(keys ...string) (given []string) {
	for _, key := range keys {
		if _, ok := o.find(key); ok {
			given = append(given, key)
		}
	}
	return given
}

// atMostOne refuses two conditions where one can hold.
func (o *object) atMostOne(keys ...string) {
	if given := o.given(keys...); len(given) > 1 {
		o.fail(fmt.Sprintf("%s can't both hold", strings.Join(given, " and ")), "one of them")
	}
}

const checkWanted = "{name: cruise check, every: 15}"

// The quantities of a check.
var (
	checkInterval = quantity{unit: "minutes", low: 1, high: 600}
	checkBefore   = quantity{unit: "minutes", low: 0, high: 600}
)

func readChecks(plan *object) (checks []Check) {
	for _, item := range plan.list("checks", 0, checkWanted) {
		checks = append(checks, readCheck(item))
	}
	return checks
}

var checkConditions = []string{"every", "climbing_through", "descending_through", "passing", "before"}

func readCheck(item value) (check Check) {
	o, ok := item.object(checkWanted)
	if !ok {
		return check
	}
	defer o.finish()
	check.Name = o.text("name", "what is to be checked")
	check.Text = o.textIfGiven("text", "what it consists of")
	check.EveryMinutes = o.numberIfGiven("every", checkInterval)
	check.ClimbingThroughFt = o.numberIfGiven("climbing_through", altitude)
	check.DescendingThroughFt = o.numberIfGiven("descending_through", altitude)
	check.Passing = o.textIfGiven("passing", "a point of the route")
	check.Before = o.textIfGiven("before", "a point of the route, with minutes")
	minutes := o.numberIfGiven("minutes", checkBefore)
	check.Minutes = orZero(minutes)
	o.atMostOne(checkConditions...)
	before := slices.Contains(o.given(checkConditions...), "before")
	switch {
	case len(o.given(checkConditions...)) == 0:
		o.fail("nothing says when the check is due", oneOf(checkConditions))
	case before && minutes == nil:
		o.missing("minutes", "how long before the point")
	case !before && minutes != nil:
		o.fail(`"minutes" goes with "before"`, "before: a point of the route; or every: a number of minutes")
	}
	return check
}
