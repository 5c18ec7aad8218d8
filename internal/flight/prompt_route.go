package flight

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// legAsked is what a leg's prompts are called and what else of them does not change, whatever is flown.
type legAsked struct {
	level string
	turn  *task
	tunes []stepAsked // by its radio steps
}

// stepAsked is what does not change of the prompt for a radio step.
type stepAsked struct {
	id       string
	order    int
	onGround bool // it is of a beacon that is used from take-off on and heard at the departure: it is tuned, identified and checked on the ground
}

func askedOf(index int, line *sheet.RouteLeg, receivers []string) *legAsked {
	number := strconv.Itoa(index)
	turn := newTask(task{ID: "turn-" + number, Kind: PromptTurn, Answer: Answer{Act: Passing, Point: line.To.Ident}})
	asked := legAsked{level: "level-" + number, turn: turn, tunes: make([]stepAsked, len(line.Radio))}
	seen := map[string]int{}
	for s := range line.Radio {
		step := &line.Radio[s]
		id := "tune-" + number + "-" + step.Receiver + "-" + step.Beacon.Ident
		if seen[id]++; seen[id] > 1 {
			id += "-" + strconv.Itoa(seen[id])
		}
		asked.tunes[s] = stepAsked{id, tuningOrder(line, step, receivers), index == 0 && step.AfterNM <= 0 && heardAt(line.From, step.Beacon)}
	}
	return &asked
}

// heardAt reports whether a beacon is heard on the ground at a point.
func heardAt(point, beacon plan.Point) bool {
	reach := radio.Reception(beacon.RangeNM, point.ElevationFt, beacon.ElevationFt, beacon.Kind != plan.NDB)
	return reach == 0 || earth.Inverse(beacon.At, point.At).DistanceNM <= reach
}

// tuningOrder is the order in which beacons are tuned that are due together: the receivers as the aircraft has them, but the distance after
// the bearing that it goes with.
func tuningOrder(line *sheet.RouteLeg, step *sheet.RadioStep, receivers []string) int {
	const between = 2
	own := between * slices.Index(receivers, step.Receiver)
	if step.Receiver != distanceReceiver {
		return own
	}
	for i := range line.Radio {
		if other := &line.Radio[i]; other.Receiver != distanceReceiver && other.Beacon.Ident == step.Beacon.Ident {
			return between*slices.Index(receivers, other.Receiver) + 1
		}
	}
	return own
}

// distanceReceiver is the receiver that shows a distance and no bearing.
const distanceReceiver = "DME"

// promptTurns asks for the passing of every route point ahead, and says what to turn to there.
func (f *fold) promptTurns() {
	if f.complete || !f.landed.IsZero() {
		return
	}
	w := f.legs[f.leg].way
	for i := f.leg; i < w.first+len(w.route.Legs); i++ {
		end := place{i, f.legs[i].line().DistanceNM}
		if due, ok := f.outlook.eta(end); ok {
			f.add(pending{task: f.legs[i].asked.turn, due: due, at: &end, outlook: f.outlook, told: &values.Found[words]{}})
		}
	}
}

// turnWords say what is to be done at a leg's end.
func (f *fold) turnWords(index int) (told words) {
	l := &f.legs[index]
	if told.text = "overhead " + l.line().To.Ident; !l.last() {
		told.text, told.number = f.turnText(index)
		told.text += f.levelAfter(index)
	}
	told.detail = f.prompts.worded.Get(wording{way: l.way, local: l.local}, func() *task { return &task{Detail: f.turnDetail(index)} }).Detail
	return told
}

// turnText says which way to turn over a leg's end, and onto what; the number is the heading.
func (f *ahead) turnText(index int) (text string, number *PromptNumber) {
	over := "over " + f.legs[index].line().To.Ident
	piece, ok := f.outlook.cruisePiece(index + 1)
	if !ok {
		return "turn " + over, nil
	}
	before, after := f.legs[index].line().TrackMagnetic, f.headingOn(piece)
	if last, ok := f.outlook.cruisePiece(index); ok {
		before = f.headingOn(last)
	}
	number = &PromptNumber{NumberHeading, after}
	switch turn := angle.Turn(float64(angle.Whole(before)), float64(angle.Whole(after))); {
	case turn == 0:
		return over + " hold " + say.Degrees(after), number
	case turn < 0:
		return "turn left " + over + " onto " + say.Degrees(after), number
	}
	return "turn right " + over + " onto " + say.Degrees(after), number
}

// levelAfter says what is climbed or descended to from a leg's end on, which begins there; empty where the level stays.
func (f *believed) levelAfter(index int) string {
	from, to := f.levelFt(index), f.levelFt(index+1)
	level := f.legs[index+1].line().Level.String()
	switch {
	case !different(from, to):
		return ""
	case to < from:
		return beforeLevel + "descend to " + level
	}
	return beforeLevel + "climb to " + level
}

// beforeLevel stands between a turn and the change of level that begins there.
const beforeLevel = ", "

// turnDetail says what the leg after a leg's end is, and what shows that the end is passed.
func (f *believed) turnDetail(index int) (detail []string) {
	if !f.legs[index].last() {
		next := f.legs[index+1].line()
		detail = []string{fmt.Sprintf("track %s to %s, %s, %s", say.Degrees(next.TrackMagnetic), next.To.Ident, say.Miles(next.DistanceNM), next.Level)}
	}
	return append(detail, overhead(f.legs[index].line().To, f.levelFt(index))...)
}

// overhead says what shows that a point is passed.
func overhead(point plan.Point, altitudeFt float64) []string {
	var shown string
	if point.Kind.HasRadials() {
		shown = "flag TO to FROM"
	}
	if point.Kind == plan.NDB {
		shown = "needle reverses"
	}
	if point.Kind.HasDistance() {
		if shown != "" {
			shown += ", "
		}
		shown += fmt.Sprintf("DME %.1f", radio.SlantRangeNM(0, altitudeFt-point.ElevationFt))
	}
	if shown == "" {
		return nil
	}
	return []string{"overhead: " + shown}
}

// promptTunes asks for the radio steps of this leg and those ahead.
func (f *fold) promptTunes() {
	if f.complete || !f.landed.IsZero() {
		return
	}
	settings := map[string]sheet.Tuning{}
	for _, name := range f.sheet.Plan.Aircraft.Receivers {
		if set, tuned := f.told.receivers.Find(name); tuned {
			settings[name] = sheet.Tuning{Beacon: set.beacon.Ident, Course: set.course}
		}
	}
	w := f.legs[f.leg].way
	for i := f.leg; i < w.first+len(w.route.Legs); i++ {
		steps := f.legs[i].line().Radio
		for s := range steps {
			step, asked := &steps[s], &f.legs[i].asked.tunes[s]
			if f.prompts.closed.Has(asked.id) {
				continue
			}
			before, after := settings[step.Receiver], step.Tuning()
			settings[step.Receiver] = after
			if before.SameAs(after) {
				continue
			}
			f.promptTune(asked, i, step, before.Beacon == after.Beacon)
		}
	}
}

func (f *fold) promptTune(asked *stepAsked, index int, step *sheet.RadioStep, courseOnly bool) {
	if asked.onGround {
		f.promptFirstBeacon(asked, index, step, courseOnly)
		return
	}
	at := place{index, step.AfterNM}
	due, ok := f.outlook.eta(at)
	if !ok { // behind: it was due when the leg began or the place was passed
		due = f.legs[index].started
		if due.IsZero() {
			return
		}
	}
	open := f.tunePending(asked, index, step, courseOnly, due)
	if ok {
		open.at = &at
	}
	if step.AfterNM == 0 && index > f.leg {
		open.over = &place{index - 1, f.legs[index-1].line().DistanceNM}
	}
	f.add(open)
}

func (f *fold) tunePending(asked *stepAsked, index int, step *sheet.RadioStep, courseOnly bool, due time.Time) pending {
	tune := f.prompts.worded.Get(wording{way: f.legs[index].way, local: f.legs[index].local, step: step, courseOnly: courseOnly}, func() *task {
		told := f.tuneWords(index, step, courseOnly)
		return newTask(task{
			ID: asked.id, Kind: PromptTune, Text: told.text, Number: told.number, Detail: told.detail, step: step, order: asked.order,
			Answer: Answer{Act: Tuned, Receiver: step.Receiver, Beacon: step.Beacon.Ident, Prompt: asked.id},
		})
	})
	return pending{task: tune, due: due}
}

// promptFirstBeacon asks for a beacon from off blocks on; it is late when the taxi is over.
func (f *fold) promptFirstBeacon(asked *stepAsked, index int, step *sheet.RadioStep, courseOnly bool) {
	takeOff := f.anchor.at
	if !f.airborne.IsZero() {
		takeOff = f.airborne
	}
	due, at := f.leaveBlocks()
	open := f.tunePending(asked, index, step, courseOnly, due)
	open.at = at
	open.late = latest(due.Add(soon), takeOff)
	if f.airborne.IsZero() && step.Beacon.Kind.HasRadials() {
		from := f.legs[index].line().From
		here := f.expectAt(from.At, from.ElevationFt, step.Beacon, nil)
		checked := *open.task
		checked.Detail = append(slices.Clone(checked.Detail), "check here: radial "+say.Degrees(here.radial))
		open.task = &checked
	}
	f.add(open)
}

// leaveBlocks is when the aircraft leaves its blocks, and until that is logged what its time moves with.
func (f *fold) leaveBlocks() (due time.Time, at *place) {
	switch {
	case !f.offBlocks.IsZero():
		return f.offBlocks, nil
	case !f.airborne.IsZero():
		return f.airborne.Add(-f.taxi()), nil
	}
	return f.anchor.at.Add(-f.taxi()), f.beforeTakeOff()
}

// tuneWords say what to tune and what to expect of it.
func (f *believed) tuneWords(index int, step *sheet.RadioStep, courseOnly bool) words {
	reading := f.expect(index, step.AfterNM, step.Beacon, step.CourseMagnetic).outsideCone(step)
	told := words{number: &PromptNumber{NumberFrequency, step.Beacon.Frequency}, text: fmt.Sprintf("tune %s %s %s", step.Receiver, step.Beacon.Ident, say.Frequency(step.Beacon.Frequency))}
	if courseOnly && step.CourseMagnetic != nil {
		told.number = &PromptNumber{NumberCourse, *step.CourseMagnetic}
		told.text = fmt.Sprintf("set %s course %s %s %s", step.Receiver, say.Degrees(*step.CourseMagnetic), reading.sense, step.Beacon.Ident)
		if step.Beacon.Kind == plan.NDB { // an ADF has no course to set
			side := "to"
			if bearingHeld(step) == "QDR" {
				side = "from"
			}
			told.text = fmt.Sprintf("hold %s %s %s %s", bearingHeld(step), say.Degrees(*step.CourseMagnetic), side, step.Beacon.Ident)
		}
	} else {
		told.detail = append(told.detail, stationText(step.Beacon), "ident "+morse(step.Beacon.Ident))
	}
	told.detail = append(told.detail, reading.text(step)...)
	return told
}

// bearingHeld is what is held with an ADF where the plan gives a step a course: inbound a QDM, outbound a QDR; empty for other receivers.
func bearingHeld(step *sheet.RadioStep) string {
	switch {
	case step.Beacon.Kind != plan.NDB || step.CourseMagnetic == nil:
		return ""
	case step.Course == plan.Outbound:
		return "QDR"
	}
	return "QDM"
}

// CourseWord is what the course of a beacon is called: "course" or, of an NDB, "hold QDM" or "hold QDR".
func CourseWord(held string) string {
	if held == "" {
		return "course"
	}
	return "hold " + held
}

// words are what a prompt says.
type words struct {
	text   string
	number *PromptNumber
	detail []string
}

// wording is what the words of a turn, of a radio step or of the last descent depend on, the altimeter setting apart. A way that comes to be flown otherwise
// is another way.
type wording struct {
	way        *way
	local      int              // the leg's index on it
	step       *sheet.RadioStep // nil: the turn at the leg's end, or the last descent
	courseOnly bool
	descent    bool
}

// promptIdentify asks for what was tuned to be identified.
func (f *fold) promptIdentify() {
	for _, name := range f.sheet.Plan.Aircraft.Receivers {
		set, tuned := f.told.receivers.Find(name)
		if !tuned || set.identified {
			continue
		}
		f.add(pending{due: set.tunedAt, task: newTask(task{
			ID: fmt.Sprintf("identify-%d-%s-%s", set.tunedLeg, name, set.beacon.Ident), Kind: PromptIdentify,
			Text:   fmt.Sprintf("identify %s on %s", set.beacon.Ident, name),
			Detail: []string{"listen for " + morse(set.beacon.Ident), stationText(set.beacon)},
			Answer: Answer{Act: Identified, Receiver: name, Beacon: set.beacon.Ident},
		})})
	}
}

func morse(ident string) string {
	text, err := radio.Morse(ident)
	if err != nil {
		return ident
	}
	return text
}

func stationText(beacon plan.Point) string {
	unit := "MHz"
	if beacon.Kind == plan.NDB {
		unit = "kHz"
	}
	return fmt.Sprintf("%s %s %s %s", beacon.Title(), kindText(beacon.Kind), say.Frequency(beacon.Frequency), unit)
}

func kindText(kind plan.Kind) string {
	switch kind {
	case plan.VOR:
		return "VOR"
	case plan.VORDME:
		return "VOR-DME"
	case plan.DME:
		return "DME"
	case plan.NDB:
		return "NDB"
	}
	return string(kind)
}

// expected is what a receiver should show at a place.
type expected struct {
	radial, needle float64
	sense          radio.Sense
	groundNM       float64
	dmeNM          float64
	inRange        bool
	beacon         plan.Point
}

// expect reckons what a beacon shows at a place on a leg at its level.
func (f *believed) expect(index int, afterNM float64, beacon plan.Point, course *float64) expected {
	l := &f.legs[index]
	return f.expectAt(l.way.route.PositionAt(l.local, afterNM), f.levelFt(index), beacon, course)
}

// expectAt reckons what a beacon shows at a position. Over a VOR, in its cone, no flag is to be trusted.
func (f *flown) expectAt(at earth.Position, altitudeFt float64, beacon plan.Point, course *float64) expected {
	line := earth.Inverse(beacon.At, at)
	height := altitudeFt - beacon.ElevationFt
	x := expected{
		beacon: beacon, groundNM: line.DistanceNM, dmeNM: radio.SlantRangeNM(line.DistanceNM, height),
		radial: angle.Wrap360(line.AzimuthStart - f.stations[beacon.Ident]),
	}
	reach := radio.Reception(beacon.RangeNM, altitudeFt, beacon.ElevationFt, beacon.Kind != plan.NDB)
	x.inRange = reach == 0 || line.DistanceNM <= reach
	if course != nil {
		x.sense, x.needle = radio.CourseReading(*course, x.radial)
		if line.DistanceNM <= radio.ConeRadiusNM(height) {
			x.sense = radio.Off
		}
	}
	return x
}

// outsideCone is what is expected for a step where its course is flown: where it is tuned may lie in the cone.
func (x expected) outsideCone(step *sheet.RadioStep) expected {
	switch step.Course {
	case plan.Inbound:
		x.sense = radio.To
	case plan.Outbound:
		x.sense = radio.From
	}
	return x
}

// tuneAsOfNow puts what is to be expected of a beacon now in place of what it was to show where it should have been tuned.
func (f *fold) tuneAsOfNow(prompt *Prompt, step *sheet.RadioStep, t time.Time) {
	position := f.positionAt(t)
	if position == nil || !f.flying() {
		return
	}
	lines := f.expectAt(position.Place(), position.AltitudeFt, step.Beacon, step.CourseMagnetic).outsideCone(step).text(step)
	prompt.Detail = append(slices.Clone(prompt.Detail[:len(prompt.Detail)-len(lines)]), lines...)
}

// text says what to select for a step and what to expect.
func (x expected) text(step *sheet.RadioStep) []string {
	course := step.CourseMagnetic
	var line string
	if course != nil {
		line = fmt.Sprintf("course %s %s", say.Degrees(*course), x.sense)
	}
	if x.beacon.Kind == plan.NDB {
		line = "QDM about " + say.Degrees(x.radial+180)
		if course != nil {
			line = CourseWord(bearingHeld(step)) + " " + say.Degrees(*course)
		}
	}
	if x.beacon.Kind.HasDistance() {
		if line != "" {
			line += " · "
		}
		line += fmt.Sprintf("DME about %.1f", x.dmeNM)
	}
	if line == "" {
		return nil
	}
	return []string{line}
}
