package practice

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// A quick check asks ten figures of the moment in a row, three minutes for all of them, and marks them by the truth. In flight it says
// only on which side of the truth an answer lay: the truth itself is for the report.
const (
	quickCount = 10
	quickPar   = 3 * time.Minute / quickCount
)

// How near the truth is right where the log tells it no worse than that. Common practice, no source.
const (
	quickGroundspeedKt = 5
	quickHeadingDeg    = 5
	quickDistanceNM    = 1
	quickETAMinutes    = 1
	quickShare         = 0.05 // of a distance or of the minutes to a place, where that is more
	quickSigmas        = 2    // that a best figure may be from the truth
)

// What is asked in a quick check beside groundspeed and ETA.
const (
	askDistance kind = "distance"
	askHeading  kind = "heading"
)

// quickCheck is a check that goes on or that ended last.
type quickCheck struct {
	series   int // from 1; 0: there was none
	goes     bool
	asked    int // figures put, the open one among them
	names    map[string]int
	kinds    map[kind]int
	answered int
	right    int
	took     time.Duration
}

// reckoning is what a figure of the moment is made from, by the log or in truth.
type reckoning struct {
	at              earth.Position
	altitudeFt      float64
	headingMagnetic float64
	variation       float64
	air             sheet.Air
	route           *sheet.Route
	windNorthKt     float64 // beyond that of the air
	windEastKt      float64
	tasKt           float64 // beyond that of the book and the air
}

// flown is wind and true airspeed in cruise at an altitude.
func (r reckoning) flown(altitudeFt float64) (wind air.Wind, tasKt float64, ok bool) {
	wind, _ = r.air.Layers.At(altitudeFt)
	north, east := wind.Components()
	performed, err := r.route.Perform(sheet.Cruise, altitudeFt, r.air)
	return air.WindFromComponents(north+r.windNorthKt, east+r.windEastKt), performed.TASKt + r.tasKt, err == nil
}

// along is heading and groundspeed on a true track; the heading is magnetic, by the variation given.
func (r reckoning) along(trackTrue, altitudeFt, variation float64) (headingMagnetic, groundspeedKt float64, ok bool) {
	wind, tasKt, ok := r.flown(altitudeFt)
	h, err := deadreckon.HeadingFor(trackTrue, tasKt, wind)
	return deadreckon.MagneticFromTrue(h.HeadingTrue, variation), h.GroundspeedKt, ok && err == nil
}

// moment is a figure that can be asked for now, and how it is made from a reckoning.
type moment struct {
	kind     kind
	name     string
	question string
	given    []drill.Given
	figure   func(reckoning) (float64, bool)
	form     drill.Form
	allowed  float64
	leg      int
	after    float64
}

// quickFigures are the figures that can be asked for at a time, with what the log knows of it and what is true.
func (f *Flight) quickFigures(t time.Time) (byLog, truth reckoning, s flight.Snapshot, all []moment) {
	w := f.world
	c := w.to(t)
	s = f.State.At(t)
	if !w.flies(t) || s.Position == nil || c.standing > 0 {
		return byLog, truth, s, nil
	}
	truth = reckoning{at: c.at, altitudeFt: c.altitudeFt, headingMagnetic: w.magneticOf(c.compass), variation: c.field, air: w.air, route: w.sheet.Route}
	byLog = reckoning{
		at: s.Position.Place(), altitudeFt: c.altitudeFt, headingMagnetic: c.compass, variation: c.field, air: w.sheet.Air, route: w.sheet.Route,
	}
	forecast, bookKt, ok := byLog.flown(c.altitudeFt)
	north, east := forecast.Components()
	inUse := air.Wind{FromTrue: s.Wind.FromTrue, SpeedKt: s.Wind.SpeedKt}
	usedNorth, usedEast := inUse.Components()
	byLog.windNorthKt, byLog.windEastKt = usedNorth-north, usedEast-east
	level := ok && c.phase == sheet.Cruise
	if level {
		byLog.tasKt = s.Steer.TASKt - bookKt
	}
	since := f.given(s)
	var ahead []moment
	for _, place := range f.placesAhead(s) {
		ahead = append(ahead, place.moments(t, byLog, level, since)...)
	}
	if level && math.Abs(c.magnetic-truth.headingMagnetic) < heldHeadingDeg {
		all = append(all, moment{
			kind: askGroundspeed, name: "groundspeed now", question: "What is the groundspeed on this heading?",
			given: append(slices.Clip(since), drill.Given{Name: "compass", Text: say.Degrees(c.compass)}),
			figure: func(r reckoning) (float64, bool) {
				wind, tasKt, ok := r.flown(r.altitudeFt)
				_, knots := deadreckon.TrackFor(deadreckon.TrueFromMagnetic(r.headingMagnetic, r.variation), tasKt, wind)
				return knots, ok
			},
			form: drill.KnotsForm(), allowed: quickGroundspeedKt,
		})
	}
	all = append(all, ahead...)
	return byLog, truth, s, append(all, f.nextLeg(s)...)
}

// given is what a log has of the moment: the time, and the point that was passed last.
func (f *Flight) given(s flight.Snapshot) []drill.Given {
	given := []drill.Given{{Name: "now", Text: say.Time(s.At)}}
	var last *flight.RoutePoint
	for i := range s.Route {
		if row := &s.Route[i]; row.Actual != nil && (last == nil || !row.Actual.Before(*last.Actual)) {
			last = row
		}
	}
	if last != nil {
		text := say.Time(*last.Actual)
		if last.Checkpoint {
			text += ", " + say.Miles(last.AfterNM) + " along the leg"
		}
		given = append(given, drill.Given{Name: "passed " + last.Point, Text: text})
	}
	return given
}

// placeAhead is a place on the way, and how far it is from there along the legs behind it.
type placeAhead struct {
	name    string
	at      earth.Position
	beyond  float64 // nm along the legs behind the end of the one that is flown
	leg     int
	afterNM float64
	lies    string // where it lies on its leg
}

// placesAhead are the points of the leg that is flown, and the destination along the legs behind it.
func (f *Flight) placesAhead(s flight.Snapshot) []placeAhead {
	w := f.world
	legs := w.sheet.Route.Legs
	if w.diverted != nil || s.Leg.Index >= len(legs) {
		if to, ok := w.sheet.Plan.Point(s.Leg.To); ok {
			return []placeAhead{{name: s.Leg.To, at: to.At, leg: len(legs)}}
		}
		return nil
	}
	var places []placeAhead
	for _, row := range s.Route {
		if row.Leg != s.Leg.Index || row.Actual != nil || row.Diverted || row.Checkpoint && row.AfterNM-s.Position.AfterNM < leastAheadNM {
			continue
		}
		place := placeAhead{name: row.Point, at: w.sheet.Route.PositionAt(row.Leg, row.AfterNM), leg: row.Leg, afterNM: row.AfterNM, lies: say.Miles(row.AfterNM) + " along the leg"}
		if point, ok := w.sheet.Plan.Point(row.Point); ok {
			place.at = point.At
		}
		places = append(places, place)
	}
	if last := len(legs) - 1; s.Leg.Index < last {
		leg := legs[s.Leg.Index]
		beyond := w.sheet.Route.DistanceNM() - leg.StartNM - leg.DistanceNM
		places = append(places, placeAhead{name: legs[last].To.Ident, at: leg.To.At, beyond: beyond, leg: last, lies: say.Miles(beyond) + " beyond " + leg.To.Ident})
	}
	return places
}

// moments are what can be asked of a place.
func (p placeAhead) moments(t time.Time, byLog reckoning, level bool, since []drill.Given) []moment {
	distance := func(r reckoning) (float64, bool) { return earth.Inverse(r.at, p.at).DistanceNM + p.beyond, true }
	far, _ := distance(byLog)
	given := slices.Clip(since)
	if p.lies != "" {
		given = append(given, drill.Given{Name: p.name, Text: p.lies})
	}
	all := []moment{{
		kind: askDistance, name: "distance to " + p.name, question: "How far is it from here to " + p.name + "?", given: given, figure: distance,
		form: drill.MilesForm(), allowed: max(quickDistanceNM, quickShare*far), leg: p.leg, after: p.afterNM,
	}}
	if p.beyond > 0 {
		all[0].question = "How far is it from here to " + p.name + ", along the route?"
		return all
	}
	minutes := func(r reckoning) (float64, bool) {
		line := earth.Inverse(r.at, p.at)
		_, knots, ok := r.along(line.AzimuthStart, r.altitudeFt, r.variation)
		return timeOfDay(t) + deadreckon.Minutes(line.DistanceNM, knots), ok
	}
	if !level || far < leastAheadNM {
		return all
	}
	eta, ok := minutes(byLog)
	if !ok {
		return all
	}
	return append(all, moment{
		kind: askETA, name: "ETA " + p.name, question: "When will you be at " + p.name + ", straight from here?", given: given, figure: minutes,
		form: drill.TimeForm(eta), allowed: max(quickETAMinutes, quickShare*(eta-timeOfDay(t))), leg: p.leg, after: p.afterNM,
	}, moment{
		kind: askHeading, name: "heading to " + p.name, question: "What heading leads straight from here to " + p.name + "?", given: given,
		figure: func(r reckoning) (float64, bool) {
			heading, _, ok := r.along(earth.Inverse(r.at, p.at).AzimuthStart, r.altitudeFt, r.variation)
			return heading, ok
		},
		form: drill.MagneticForm(), allowed: quickHeadingDeg, leg: p.leg, after: p.afterNM,
	})
}

// nextLeg is what can be asked of the leg behind the one that is flown.
func (f *Flight) nextLeg(s flight.Snapshot) []moment {
	legs := f.world.sheet.Legs
	next := s.Leg.Index + 1
	if f.world.diverted != nil || next >= len(legs) {
		return nil
	}
	leg := legs[next]
	given := []drill.Given{
		{Name: "track", Text: say.Degrees(leg.TrackMagnetic) + " magnetic"},
		{Name: "altitude", Text: say.Feet(leg.AltitudeFt)},
		{Name: "planned", Text: "heading " + say.Degrees(leg.HeadingMagnetic) + ", " + say.Knots(leg.GroundspeedKt)},
	}
	along := func(r reckoning) (float64, float64, bool) {
		return r.along(leg.TrackTrue, leg.AltitudeFt, leg.Variation)
	}
	name := "leg " + leg.From.Ident + " to " + leg.To.Ident
	return []moment{{
		kind: askGroundspeed, name: "groundspeed of the " + name, question: "What will the groundspeed be on the next leg, to " + leg.To.Ident + "?",
		given: given, figure: func(r reckoning) (float64, bool) { _, knots, ok := along(r); return knots, ok },
		form: drill.KnotsForm(), allowed: quickGroundspeedKt, leg: next,
	}, {
		kind: askHeading, name: "heading of the " + name, question: "What heading does the next leg, to " + leg.To.Ident + ", need?",
		given: given, figure: func(r reckoning) (float64, bool) { heading, _, ok := along(r); return heading, ok },
		form: drill.MagneticForm(), allowed: quickHeadingDeg, leg: next,
	}}
}

// sigma is one standard error of a figure by the log, from those of place, wind and true airspeed.
func (m moment) sigma(byLog reckoning, s flight.Snapshot) float64 {
	from, ok := m.figure(byLog)
	if !ok {
		return 0
	}
	sum := 0.0
	for _, change := range []func(*reckoning){
		func(r *reckoning) { r.windNorthKt += s.Wind.SigmaKt },
		func(r *reckoning) { r.windEastKt += s.Wind.SigmaKt },
		func(r *reckoning) { r.tasKt += tasSigmaKt },
		func(r *reckoning) { r.headingMagnetic += heldErrorDeg },
		func(r *reckoning) {
			r.at, _ = earth.Direct(r.at, s.Leg.TrackMagnetic+r.variation, s.Position.UncertaintyNM)
		},
		func(r *reckoning) {
			r.at, _ = earth.Direct(r.at, s.Leg.TrackMagnetic+r.variation+90, s.Position.UncertaintyAcrossNM)
		},
	} {
		changed := byLog
		change(&changed)
		if to, ok := m.figure(changed); ok {
			by := m.form.Apart(drill.Reply{Value: from}, drill.Reply{Value: to})
			sum += by * by
		}
	}
	return math.Sqrt(sum)
}

// exercise makes the figure an exercise whose answer is the truth, and says what it is by the log.
func (m moment) exercise(byLog, truth reckoning, s flight.Snapshot) (e drill.Exercise, said string, ok bool) {
	right, known := m.figure(truth)
	best, told := m.figure(byLog)
	if !known || !told {
		return e, "", false
	}
	sigma := m.sigma(byLog, s)
	e = drill.Exercise{
		Topic: drill.TimeSpeedDistance, Level: drill.Several, Task: m.name, Tool: drill.SlideRule, Given: m.given, Question: m.question, Form: m.form,
		Answers: []drill.Answer{{Reply: drill.Reply{Value: right}}}, Tolerance: drill.Tolerance{By: m.allowed, Why: "near enough to fly by"},
	}
	if wide := quickSigmas * sigma; wide > m.allowed {
		e.Tolerance = drill.Tolerance{By: wide, Why: fmt.Sprintf("the log is no surer than that, ±%dσ", quickSigmas)}
	}
	said = e.Say(drill.Reply{Value: best})
	e.Steps = []string{fmt.Sprintf("by the log, wind %s: %s", say.Wind(s.Wind.FromTrue, s.Wind.SpeedKt), said)}
	return e, said, true
}

// putQuick puts the next figure of a check; nil where nothing can be asked of the moment.
func (x *exam) putQuick(f *Flight, t time.Time) *question {
	byLog, truth, s, all := f.quickFigures(t)
	less := func(a, b moment) int {
		for _, by := range []int{x.quick.names[a.name] - x.quick.names[b.name], x.quick.kinds[a.kind] - x.quick.kinds[b.kind]} {
			if by != 0 {
				return by
			}
		}
		return 0
	}
	slices.SortStableFunc(all, less)
	for _, m := range all {
		e, said, ok := m.exercise(byLog, truth, s)
		if !ok {
			continue
		}
		x.quick.asked++
		x.quick.names[m.name]++
		x.quick.kinds[m.kind]++
		return &question{
			Exercise: e, ID: fmt.Sprintf("check-%d-%d", x.quick.series, x.quick.asked), kind: m.kind, name: m.name, series: x.quick.series, byLog: said,
			asked: t, first: t, second: t, leg: m.leg, after: m.after,
		}
	}
	return nil
}

// beginQuick begins a check: a question that is open waits until it is over.
func (x *exam) beginQuick() {
	if x.open != nil {
		x.waiting = slices.Insert(x.waiting, 0, x.open)
		x.open = nil
	}
	x.quick = quickCheck{series: x.quick.series + 1, goes: true, names: map[string]int{}, kinds: map[kind]int{}}
}

// endQuick ends a check; its open question is dropped.
func (x *exam) endQuick() {
	x.quick.goes = false
	if x.open != nil && x.open.series > 0 {
		x.open = nil
	}
}

// markedQuick counts an answer of the check.
func (x *exam) markedQuick(c closed) {
	x.quick.answered++
	x.quick.took += c.verdict.Took
	if c.verdict.Outcome == drill.Right {
		x.quick.right++
	}
	if x.quick.answered == quickCount {
		x.quick.goes = false
	}
}

// checkNow is how the check that goes on, or ended last, stands.
func (x *exam) checkNow() *QuickCheck {
	if x.quick.series == 0 {
		return nil
	}
	return &QuickCheck{
		Goes: x.quick.goes, Count: quickCount, Asked: x.quick.answered, Right: x.quick.right, Seconds: x.quick.took.Seconds(),
	}
}

// side says on which side of the truth an answer lay, and no more.
func (c closed) side() string {
	reply, err := c.Form.Parse(c.verdict.Text)
	if err != nil {
		return ""
	}
	return c.Form.Side(reply, c.Answers[0].Reply)
}

// refuseQuick says why no quick check can be begun; nil when one can.
func (f *Flight) refuseQuick(e flight.Event) error {
	switch {
	case e.Text == flight.QuickCheckEnd && !f.exam.quick.goes:
		return &flight.Refusal{Text: "no quick check is running"}
	case e.Text == flight.QuickCheckEnd:
		return nil
	case e.Text != "":
		return &flight.Refusal{Text: fmt.Sprintf("a quick check can't be %q", e.Text), Hint: "leave the text out, or write " + flight.QuickCheckEnd}
	case f.exam.quick.goes:
		return &flight.Refusal{Text: "a quick check is running already"}
	}
	if _, _, _, all := f.quickFigures(e.T); len(all) == 0 {
		return &flight.Refusal{Text: "there is no figure to ask for just now", Hint: "a quick check asks in the air, with the engine running"}
	}
	return nil
}
