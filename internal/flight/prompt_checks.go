package flight

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// Checks that are prompted when the plan lists none: common practice, no source. Light singles are flown with a cruise check every
// 10 to 15 minutes, and a gyro drifts from its compass by some degrees in a quarter of an hour.
const (
	defaultCruiseCheck = "cruise check"
	defaultGyro        = "gyro to compass"
	defaultEvery       = 15 // minutes
	gyroOffset         = 5 * time.Minute
	altimeterAfter     = 2 * time.Minute // after the passing of a route point
	reportAfter        = time.Minute     // the same
)

// promptChecks asks for the plan's checks or, where it lists none, the usual ones.
func (f *fold) promptChecks(t time.Time) {
	if !f.landed.IsZero() {
		return
	}
	for i := range f.repeats {
		f.repeat(&f.repeats[i], t)
	}
	if len(f.sheet.Plan.Checks) == 0 {
		f.promptUsualChecks()
	}
	for i := range f.checks {
		f.promptOnce(&f.checks[i])
	}
}

func (f *fold) promptUsualChecks() {
	if r := f.prompts.report; r.next && !f.complete {
		f.add(pending{due: r.at.Add(altimeterAfter), task: newTask(task{
			ID: "altimeter-" + r.point, Kind: PromptQNH, Text: "altimeter", Detail: []string{fmt.Sprintf("QNH %s set: ask for the one here", f.qnh())},
		})})
	}
}

// promptOnce asks for a check that does not repeat.
func (f *fold) promptOnce(check *onceChecked) {
	switch {
	case check.ClimbingThroughFt != nil:
		f.promptThrough(check, *check.ClimbingThroughFt, sheet.Climb)
	case check.DescendingThroughFt != nil:
		f.promptThrough(check, *check.DescendingThroughFt, sheet.Descent)
	case check.Passing != "":
		f.promptPassing(check)
	case check.Before != "":
		f.promptBefore(check)
	}
}

func (f *fold) promptCheck(check *onceChecked, due time.Time, at *place) {
	f.add(pending{task: check.task, due: due, at: at, passing: at != nil && check.Passing != ""})
}

// noteCruise remembers when the first climb ended, before the way ahead is reckoned from a later place.
func (f *ahead) noteCruise(t time.Time) {
	if !f.cruiseFrom.IsZero() || !f.flying() {
		return
	}
	if top, ok := f.outlook.topOfClimb(); ok {
		if at, ok := f.outlook.eta(top); ok && !at.After(t) {
			f.cruiseFrom = at
		}
	}
}

func (f *fold) promptThrough(check *onceChecked, altitudeFt float64, phase sheet.Phase) {
	here := place{leg: f.leg, afterNM: f.legs[f.leg].line().DistanceNM}
	if due, kept := f.prompts.opened.Find(check.task.ID); kept {
		f.promptCheck(check, due, nil)
		return
	}
	if due, ok := f.outlook.timeThrough(altitudeFt, phase); ok {
		f.promptCheck(check, due, &here)
	}
}

func (f *fold) promptPassing(check *onceChecked) {
	if at, passed := f.prompts.passedAt.Find(check.Passing); passed {
		f.promptCheck(check, at, nil)
		return
	}
	if at, due, ok := f.nameAhead(check.Passing); ok {
		f.promptCheck(check, due, &at)
	}
}

func (f *fold) promptBefore(check *onceChecked) {
	if _, passed := f.prompts.passedAt.Find(check.Before); passed {
		return
	}
	if at, due, ok := f.nameAhead(check.Before); ok {
		f.promptCheck(check, due.Add(-minutes(check.Minutes)), &at)
	}
}

// nameAhead is where and when a named point ahead is passed.
func (f *ahead) nameAhead(name string) (at place, due time.Time, ok bool) {
	if f.complete {
		return at, due, false
	}
	found, behind, ok := f.find(name)
	if !ok || behind {
		return at, due, false
	}
	due, ok = f.outlook.eta(found.place)
	return found.place, due, ok
}

// promptReport asks for a position report after the passing of a route point, the destination apart.
func (f *fold) promptReport() {
	r := f.prompts.report
	if !r.next || f.complete || !f.landed.IsZero() {
		return
	}
	f.add(pending{due: r.at.Add(reportAfter), task: newTask(task{ID: "report-" + r.point, Kind: PromptReport, Text: "report " + r.point})})
}

// reportAsOf puts into a prompt for a report what is to be said at a moment; before it is due, what will be then.
func (f *fold) reportAsOf(prompt *Prompt, t time.Time) {
	if prompt.Kind == PromptReport {
		prompt.Detail = f.reportLines(latest(t, prompt.Due))
	}
}

// How long before its due time an act may well have been done. Common practice, no source.
const (
	offBlocksEarly = 15 * time.Minute
	landedEarly    = circuitTime + soon // straight in, and sooner overhead than calculated
)

// taxiEarly is the same of what ends a taxi: half of it.
func (f *fold) taxiEarly() *time.Duration { return ref(f.taxi() / 2) }

// promptActs asks for the next acts of the flight itself.
func (f *fold) promptActs(t time.Time) {
	act := func(id, text string, do Act, due time.Time, lead time.Duration, at *place) {
		f.add(pending{due: due, at: at, task: newTask(task{ID: id, Kind: PromptAct, Text: text, Answer: Answer{Act: do}, lead: &lead})})
	}
	switch {
	case !f.onBlocks.IsZero():
	case !f.landed.IsZero():
		f.add(pending{due: f.landed.Add(f.taxi()), task: newTask(task{
			ID: "on-blocks", Kind: PromptAct, Text: "on blocks", Answer: Answer{Act: OnBlocks}, lead: f.taxiEarly(),
			Detail: []string{"on-blocks landings 3, if there was more than one"},
		})})
	case f.airborne.IsZero():
		if f.offBlocks.IsZero() {
			act("off-blocks", "off blocks", OffBlocks, f.sheet.Plan.OffBlocks, offBlocksEarly, nil)
		}
		f.promptAirborne()
		f.promptLevel()
	default:
		f.promptLevel()
		f.promptDescent()
		if f.complete {
			act("landed", "landed", Landed, f.lastPassed.at.Add(circuitTime), landedEarly, nil)
		} else if due, ok := f.outlook.eta(f.destination()); ok && f.legs[f.leg].last() {
			act("landed", "landed", Landed, due.Add(circuitTime), landedEarly, ref(f.destination()))
		}
	}
}

// promptAirborne asks for the take-off: due when the taxi is over, and late after a while. Before off-blocks it moves with that.
func (f *fold) promptAirborne() {
	open := pending{due: f.anchor.at, task: newTask(task{ID: "airborne", Kind: PromptAct, Text: "airborne", Answer: Answer{Act: Airborne}, lead: f.taxiEarly()})}
	if f.offBlocks.IsZero() {
		open.at = &place{leg: f.leg}
	} else {
		open.late = open.due.Add(patient)
	}
	f.add(open)
}

// circuitTime is from overhead the destination to touch-down: common practice, no source.
const circuitTime = 5 * time.Minute

// destination is the end of the way being flown.
func (f *flown) destination() place {
	w := f.legs[f.leg].way
	last := w.first + len(w.route.Legs) - 1
	return place{last, f.legs[last].line().DistanceNM}
}

func ref[T any](value T) *T { return &value }

// promptLevel asks for the top of the climb.
func (f *fold) promptLevel() {
	top, ok := f.outlook.topOfClimb()
	if !ok {
		return
	}
	due, _ := f.outlook.eta(top)
	f.add(pending{due: due, at: &top, told: &values.Found[words]{}, task: newTask(task{
		ID: f.legs[top.leg].asked.level, Kind: PromptLevel, Answer: Answer{Act: LevelOff, Altitude: ref(math.Round(f.levelFt(top.leg)))},
	})})
}

// levelWords say at which level the climb ends, and how it is flown on.
func (f *fold) levelWords(index int) words {
	level := f.legs[index].line().Level
	told := words{text: "level at " + level.String(), number: levelNumber(level)}
	if piece, ok := f.outlook.cruisePiece(index); ok && piece.Phase == sheet.Cruise {
		setting := f.sheet.Setting(sheet.Cruise, piece.FromFt)
		setting.IASKt = f.iasFor(piece.TASKt, piece.FromFt)
		told.detail = []string{fmt.Sprintf("%v for TAS %.0f", setting, piece.TASKt)}
	}
	return told
}

// levelNumber is a level as a number: hundreds of feet of a flight level, else feet.
func levelNumber(level plan.Level) *PromptNumber {
	if level.FlightLevel != 0 {
		return &PromptNumber{NumberFlightLevel, float64(level.FlightLevel)}
	}
	return &PromptNumber{NumberAltitude, level.AltitudeFt}
}

// promptDescent asks for the top of the last descent.
func (f *fold) promptDescent() {
	if !f.descended.IsZero() || f.complete {
		return
	}
	arrivalFt, descends := f.legs[f.leg].way.route.ArrivalFt()
	id := f.descentID()
	opened, late := f.prompts.opened.Find(id)
	top, ok := f.outlook.topOfDescent()
	if !descends || !ok && !late {
		return
	}
	due, _ := f.outlook.eta(top)
	if late {
		due = opened
	}
	down := f.prompts.worded.Get(wording{way: f.legs[f.leg].way, descent: true}, func() *task {
		return newTask(task{ID: id, Kind: PromptDescent, Text: "top of descent", Answer: Answer{Act: Descend}, Detail: f.descentLines(arrivalFt), lead: new(time.Duration)})
	})
	f.add(pending{task: down, due: due, at: &top})
}

// descentLines say how the last descent is flown.
func (f *fold) descentLines(arrivalFt float64) []string {
	rate, route := f.sheet.Plan.Aircraft.Descent.RateFtMin, f.legs[f.leg].way.route
	return []string{
		fmt.Sprintf("%s, %v, to %s%s", say.FeetPerMinute(rate), f.sheet.Setting(sheet.Descent, arrivalFt), say.Feet(arrivalFt), f.levelBefore()),
		fmt.Sprintf("altimeter: QNH of %s, now %s", route.Destination().Title(), f.qnh()),
	}
}

// levelBefore says where the last descent is to be over, if not overhead the destination.
func (f *fold) levelBefore() string {
	route := f.legs[f.leg].way.route
	if before := route.LevelBeforeNM(); before > 0 {
		return fmt.Sprintf(", level %s before %s", say.Miles(before), route.Destination().Ident)
	}
	return ""
}

// descentID names the descent of the way being flown: on a diversion there may have been one before.
func (f *flown) descentID() string {
	if w := f.legs[f.leg].way; !w.from.IsZero() {
		return fmt.Sprintf("descent-%d", w.first)
	}
	return "descent"
}

// positionReport is the report to read out after the passing of a point, in the order of PANS-ATM 4.11.2: identification, position,
// time, level, next position and time over, ensuing point; then the endurance, which flight information units ask for. It is nil
// before the first passing and after the last.
func (f *fuelled) positionReport(t time.Time) *PositionReport {
	if f.lastPassed.at.IsZero() || f.complete || !f.landed.IsZero() {
		return nil
	}
	of := reportOf{minutes: int(say.LongMinutes(f.spokenEndurance(t)))}
	of.eta, _ = f.eta(f.endOfLeg(), t)
	if n, flying := f.here(t); flying && different(n.point.AltitudeFt, f.levelFt(f.leg)) {
		of.level = f.levelText(t)
	}
	return keep(f.lookAt(t), func(k *kept) *keptPart[reportOf, *PositionReport] { return &k.report }, of, func() *PositionReport {
		lines := f.reportLines(t)
		if lines == nil {
			return nil
		}
		return &PositionReport{Text: strings.Join(lines, ", "), Lines: lines}
	})
}

// reportOf is what a report depends on.
type reportOf struct {
	eta     time.Time
	minutes int    // of endurance
	level   string // empty: at the level
}

// reportLines are the parts of the report, one line each. Times are minutes past the hour, as they are spoken.
func (f *fuelled) reportLines(t time.Time) []string {
	if f.airborne.IsZero() || f.complete || !f.landed.IsZero() || f.lastPassed.at.IsZero() {
		return nil
	}
	var lines []string
	if callsign := f.sheet.Plan.Aircraft.CallSign(); callsign != "" {
		lines = append(lines, callsign)
	}
	lines = append(lines, fmt.Sprintf("%s %s", f.pointTitle(f.lastPassed.name), say.ReportMinute(f.lastPassed.at)), f.levelText(t))
	w := f.legs[f.leg].way
	for i := f.leg; i < min(f.leg+2, w.first+len(w.route.Legs)); i++ {
		to := f.legs[i].line().To
		if i > f.leg {
			lines = append(lines, to.Title()+" next")
			continue
		}
		if eta, ok := f.eta(f.endOfLeg(), t); ok {
			lines = append(lines, fmt.Sprintf("%s %s", to.Title(), say.ReportMinute(eta)))
		}
	}
	return append(lines, "endurance "+say.ReportLong(f.spokenEndurance(t)))
}

// pointTitle is the name of a point as it is spoken.
func (f *flown) pointTitle(name string) string {
	if point, ok := f.sheet.Plan.Point(name); ok {
		return point.Title()
	}
	return name
}

// levelText is the level as it is reported: with the one aimed at while it is not reached.
func (f *ahead) levelText(t time.Time) string {
	level := f.legs[f.leg].line().Level
	text := level.String()
	if level.FlightLevel == 0 {
		text = fmt.Sprintf("%.0f feet", level.AltitudeFt)
	}
	if n, ok := f.here(t); ok && different(n.point.AltitudeFt, f.levelFt(f.leg)) {
		const hundred = 100
		passing := fmt.Sprintf("passing %.0f feet", float64(int(n.point.AltitudeFt/hundred+0.5))*hundred)
		if n.descending {
			return passing + f.descendingTo(t)
		}
		return passing + " for " + text
	}
	return text
}

// descendingTo is the level that a descent goes to: the altitude that is wanted of a point, else where the last descent ends.
func (f *ahead) descendingTo(t time.Time) string {
	if w, ok := f.wishedDown(t); ok {
		return fmt.Sprintf(" descending to %.0f feet", w.toFt)
	}
	if arrivalFt, ok := f.legs[f.leg].way.route.ArrivalFt(); ok {
		return fmt.Sprintf(" descending to %.0f feet", arrivalFt)
	}
	return " descending"
}
