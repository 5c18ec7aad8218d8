package practice

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Hidden is what a practice flight is drawn from.
type Hidden struct {
	Seed   uint64
	Lesson Lesson // empty: none
}

// Lesson is one difficulty that a practice flight has, by the name used on the command line and in the journal. When and where it comes is
// drawn from the seed and told when the flight is over.
type Lesson string

// The lessons.
const (
	LateTurn      Lesson = "late-turn"      // the pilot takes over behind a turning point that nobody noticed
	WrongForecast Lesson = "wrong-forecast" // the wind is far from what was foretold
	StuckGauge    Lesson = "stuck-gauge"    // a fuel gauge stands still
	BeaconOff     Lesson = "beacon-off"     // a beacon that the plan counts on goes off the air
	TankForgotten Lesson = "tank-forgotten" // the pilot takes over with a change of tank logged that was not made
)

// Lessons lists all of them.
func Lessons() []Lesson {
	return []Lesson{LateTurn, WrongForecast, StuckGauge, BeaconOff, TankForgotten}
}

// Title says what a lesson practises.
func (l Lesson) Title() string {
	switch l {
	case LateTurn:
		return "a turning point was missed: find out where you are and get back"
	case WrongForecast:
		return "the wind is not the forecast's: find it and believe it"
	case StuckGauge:
		return "a fuel gauge sticks: keep your own calculation beside what it shows"
	case BeaconOff:
		return "a beacon goes off the air: see it, and use another"
	case TankForgotten:
		return "a change of tank was logged and not made: look at the selector and the gauges"
	default:
		return ""
	}
}

// LessonNamed finds a lesson. The error lists them.
func LessonNamed(name string) (Lesson, error) {
	if l := Lesson(strings.ToLower(name)); l.Title() != "" {
		return l, nil
	}
	var names []string
	for _, l := range Lessons() {
		names = append(names, string(l))
	}
	return "", fmt.Errorf("there is no lesson %q; there are %s", name, strings.Join(names, ", "))
}

// TakenOver reports whether the program flies at first and hands over.
func (l Lesson) TakenOver() bool { return l == LateTurn || l == TankForgotten }

// Possible says why a plan can't be flown as the lesson; nil where it can.
func (l Lesson) Possible(s *sheet.Sheet) error {
	switch {
	case l == LateTurn && len(s.Route.Legs) < 2:
		return fmt.Errorf("%s needs a plan with a turning point", l)
	case l == TankForgotten && len(s.Tanks.Changes) == 0:
		return fmt.Errorf("%s needs a plan with a change of tank", l)
	case l == BeaconOff && len(beaconsOf(s)) == 0:
		return fmt.Errorf("%s needs a plan that uses beacons", l)
	}
	return nil
}

// beaconsOf are the beacons that a plan counts on, the first first.
func beaconsOf(s *sheet.Sheet) []string {
	var idents []string
	for _, leg := range s.Route.Legs {
		for _, step := range leg.Radio {
			if !slices.Contains(idents, step.Beacon.Ident) {
				idents = append(idents, step.Beacon.Ident)
			}
		}
	}
	return idents
}

// The sizes of the difficulties. Common practice, no source.
const (
	HandRate = 4 // of the clock, for a pilot who flies: it leaves time to think

	wrongSigmas   = 2.2 // of the forecast's error, and at least
	wrongLeastKt  = 15
	stuckEarliest = 12 * time.Minute // after the engine runs
	stuckLatest   = 25 * time.Minute
	offEarliest   = 8 * time.Minute
	offLatest     = 20 * time.Minute
	missedFor     = 3 * time.Minute // behind the turning point
	forgottenFor  = 6 * time.Minute
)

// difficulty is what a lesson draws, beside the truth.
type difficulty struct {
	begins    time.Duration // after the engine runs
	stuckTank int           // whose gauge stands still
	silent    string        // the beacon that goes off the air
}

// drawDifficulty draws a lesson's difficulty.
func (d *truth) drawDifficulty(s *sheet.Sheet, lesson Lesson) {
	d.lesson = lesson
	share := func(of string) float64 { return 0.5 * (1 + math.Erf(d.noise(of, 0)/math.Sqrt2)) } // evenly from 0 to 1
	between := func(earliest, latest time.Duration) time.Duration {
		return (earliest + time.Duration(share("when")*float64(latest-earliest))).Round(time.Second)
	}
	switch lesson {
	case WrongForecast:
		errorKt := max(wrongLeastKt, wrongSigmas*s.Plan.Conditions.WindErrorKt)
		direction := 360 * share("where")
		for i, level := range s.Air.Layers {
			north, east := level.Wind.Components()
			d.air.Layers[i].Wind = air.WindFromComponents(north+errorKt*angle.Cos(direction), east+errorKt*angle.Sin(direction))
		}
	case StuckGauge:
		d.begins = between(stuckEarliest, stuckLatest)
		d.stuckTank = int(share("which") * float64(len(s.Plan.Aircraft.Fuel.Tanks)))
	case BeaconOff:
		d.begins = between(offEarliest, offLatest)
		if idents := beaconsOf(s); len(idents) > 0 {
			d.silent = idents[min(len(idents)-1, int(share("which")*float64(min(3, len(idents)))))]
		}
	}
}

// offTheAir reports whether a beacon sends nothing at a time.
func (w *World) offTheAir(ident string, t time.Time) bool {
	return w.lesson == BeaconOff && ident == w.silent && !w.began.IsZero() && !t.Before(w.began.Add(w.begins))
}

// stuck is the reading at which a gauge stands; ok is false for one that moves.
func (w *World) stuck(tank int, t time.Time) (reading float64, ok bool) {
	at := w.began.Add(w.begins)
	if w.lesson != StuckGauge || tank != w.stuckTank || w.began.IsZero() || !t.After(at) {
		return 0, false
	}
	return w.gauge(tank, w.to(at), 0), true
}

// missTurn lets the aircraft fly straight on, by its compass, from the end of the first leg.
func (w *World) missTurn(way sheet.Trajectory, from time.Time, route *sheet.Route) {
	if w.lesson != LateTurn || w.handedOver || !w.missedAt.IsZero() {
		return
	}
	if minutes, ok := way.MinutesTo(0, route.Legs[0].DistanceNM); ok {
		w.missedAt = from.Add(time.Duration(minutes * float64(time.Minute))).Round(time.Second)
		const before = 5 * time.Second // while the heading is still the leg's
		w.stretches = append(w.stretches, stretch{from: w.missedAt.Add(-before), steered: true, missed: true, route: route})
	}
}

// missedTurn reports whether the turn was flown past, or will be as the flight stands: nobody took over or diverted before.
func (w *World) missedTurn() bool {
	return !w.missedAt.IsZero() && w.stretch(w.missedAt).missed
}

// forgets reports whether a change of tank is the one that is logged and not made.
func (w *World) forgets(e flight.Event, at time.Time) bool {
	if w.lesson != TankForgotten || w.handedOver || e.Act != flight.TankChange || e.By != byProgram || !w.forgottenAt.IsZero() {
		return false
	}
	w.forgottenAt = at
	return true
}

// handOver is what the program records when a lesson's pilot is to take over: the clock's rate, then the hands.
func (w *World) handOver(s flight.Snapshot, t time.Time) (e flight.Event, ok bool) {
	at := time.Time{}
	switch {
	case w.handedOver:
		return e, false
	case w.missedTurn():
		at = w.missedAt.Add(missedFor)
	case !w.forgottenAt.IsZero():
		at = w.forgottenAt.Add(forgottenFor)
	}
	switch {
	case at.IsZero() || t.Before(at):
		return e, false
	case s.Clock.Rate > HandRate:
		return flight.Event{Act: flight.Clock, T: t, By: byProgram, Rate: new(float64(HandRate))}, true
	default:
		return flight.Event{Act: flight.Hands, T: t, By: byProgram, Hands: "on"}, true
	}
}

// LessonTold is what a lesson hid and what became of it.
type LessonTold struct {
	Name  Lesson      `json:"name"`
	Title string      `json:"title"`
	Story []Happening `json:"story"`
}

// tell tells a lesson whose flight is over.
func (f *Flight) tell(end time.Time) *LessonTold {
	w := f.world
	if w.lesson == "" {
		return nil
	}
	told := &LessonTold{Name: w.lesson, Title: w.lesson.Title(), Story: []Happening{}}
	add := func(at time.Time, format string, values ...any) {
		told.Story = append(told.Story, Happening{at, fmt.Sprintf(format, values...)})
	}
	// first is the pilot's first standing act since a time for which something holds.
	first := func(since time.Time, is func(flight.Event) bool) (flight.Event, bool) {
		for i, t := range w.taken {
			if !w.void[i+1] && t.By == "" && !t.at.Before(since) && is(*t.Event) {
				return *t.Event, true
			}
		}
		return flight.Event{}, false
	}
	switch {
	case w.began.IsZero():
	case w.lesson == LateTurn:
		f.tellLateTurn(end, add, first)
	case w.lesson == WrongForecast:
		f.tellForecast(end, add)
	case w.lesson == StuckGauge:
		w.tellGauge(end, add)
	case w.lesson == BeaconOff:
		w.tellBeacon(end, add, first)
	case w.lesson == TankForgotten:
		w.tellTank(end, add, first)
	}
	switch {
	case len(told.Story) > 0:
	case w.handedOver && w.lesson.TakenOver():
		add(end, "you took over before anything had gone wrong: nothing was judged")
	default:
		add(end, "the flight was over before anything went wrong: nothing was judged")
	}
	slices.SortStableFunc(told.Story, func(a, b Happening) int { return a.At.Compare(b.At) })
	return told
}

type (
	adding  func(at time.Time, format string, values ...any)
	finding func(since time.Time, is func(flight.Event) bool) (flight.Event, bool)
)

// notTakenOver is what becomes of a lesson that is over before its pilot has flown.
const notTakenOver = "the flight was over before you took over: nothing was judged"

func (f *Flight) tellLateTurn(end time.Time, add adding, first finding) {
	w := f.world
	if !w.missedTurn() || end.Before(w.missedAt) {
		return
	}
	turn := w.sheet.Route.Legs[0].To
	add(w.missedAt, "%s was passed, and nobody turned", turn.Title())
	since, took := w.pilotTook(w.missedAt)
	if !took {
		add(end, notTakenOver)
		return
	}
	add(since, "you took over, %s beyond it", say.Miles(bearingTo(w.to(since), turn.At).distanceNM()))
	const aTurnDeg = 20
	before := w.to(since).compass
	if e, ok := first(since, func(e flight.Event) bool {
		return e.Act == flight.Steering && e.Heading != nil && math.Abs(angle.Turn(before, *e.Heading)) >= aTurnDeg
	}); ok {
		add(e.T, "you turned onto %s, %s after the point", say.Degrees(*e.Heading), say.Between(w.missedAt, e.T))
	} else {
		add(end, "you never turned")
	}
	for _, row := range f.State.At(end).Route {
		if row.Point == turn.Ident && row.Actual != nil {
			add(*row.Actual, "%s stands in the log: %s", turn.Ident, say.Against(row.Actual.Sub(w.missedAt).Seconds()))
			return
		}
	}
	add(end, "%s was never logged", turn.Ident)
}

func (f *Flight) tellForecast(end time.Time, add adding) {
	w := f.world
	level := w.sheet.Route.Legs[0].AltitudeFt
	forecast, _ := w.sheet.Air.Layers.At(level)
	real, _ := w.air.Layers.At(level)
	add(w.began, "the wind was %s and not %s", say.Wind(real.FromTrue, real.SpeedKt), say.Wind(forecast.FromTrue, forecast.SpeedKt))
	for _, found := range f.exam.winds {
		wind, _ := w.air.Layers.At(found.altitudeFt)
		if off := windsApart(found.wind, wind); off <= wrongLeastKt/3 {
			add(found.at, "the log had found it to %s: %s", say.Knots(off), say.Wind(found.wind.FromTrue, found.wind.SpeedKt))
			return
		}
	}
	s := f.State.At(end)
	add(end, "the log never found it to %d kt; its last was %s", wrongLeastKt/3, say.Wind(s.Wind.FromTrue, s.Wind.SpeedKt))
}

// windsApart is the length of the difference of two winds in knots.
func windsApart(a, b air.Wind) float64 {
	aNorth, aEast := a.Components()
	bNorth, bEast := b.Components()
	return math.Hypot(aNorth-bNorth, aEast-bEast)
}

// windThen is the wind in use at a passing.
type windThen struct {
	at         time.Time
	altitudeFt float64
	wind       air.Wind
}

// noteWind keeps the wind in use.
func (x *exam) noteWind(s flight.Snapshot) {
	x.winds = append(x.winds, windThen{s.At, s.Leg.AltitudeFt, air.Wind{FromTrue: s.Wind.FromTrue, SpeedKt: s.Wind.SpeedKt}})
}

func (w *World) tellGauge(end time.Time, add adding) {
	at := w.began.Add(w.begins)
	tank := w.sheet.Plan.Aircraft.Fuel.Tanks[w.stuckTank].Name
	reading, ok := w.stuck(w.stuckTank, end)
	if !ok {
		return
	}
	add(at, "the %s gauge stuck at %.0f", tank, reading)
	for i, t := range w.taken {
		logged, read := t.Tanks[tank]
		if t.Act != flight.Gauges || !read || w.void[i+1] || t.at.Before(at) {
			continue
		}
		held := w.to(t.at).tanks[w.stuckTank]
		if math.Abs(logged-reading) < 1 {
			add(t.T, "you logged what it showed, %s: the tank held %s", say.Amount(logged), say.Amount(held))
		} else {
			add(t.T, "you logged %s and not what it showed: the tank held %s", say.Amount(logged), say.Amount(held))
		}
	}
	add(end, "at the end the tank held %s", say.Amount(w.to(end).tanks[w.stuckTank]))
}

func (w *World) tellBeacon(end time.Time, add adding, first finding) {
	at := w.began.Add(w.begins)
	if end.Before(at) {
		return
	}
	add(at, "%s went off the air", w.silent)
	receiver := -1
	for i, set := range w.to(at).receivers {
		if set.beacon.Ident == w.silent {
			receiver = i
		}
	}
	name := "it"
	if receiver >= 0 {
		name = w.sheet.Plan.Aircraft.Receivers[receiver]
		add(at, "%s was tuned to it", name)
	}
	if e, ok := first(at, func(e flight.Event) bool { return e.Act == flight.Tuned && e.Beacon == w.silent }); ok {
		add(e.T, "%s was tuned to it, and it was silent", e.Receiver)
		name = e.Receiver
	}
	if e, ok := first(at, func(e flight.Event) bool { return e.Act == flight.Identified && e.Beacon == w.silent }); ok {
		add(e.T, "the log has it as identified, and there was nothing to hear")
	}
	if e, ok := first(at, func(e flight.Event) bool { return e.Act == flight.Tuned && e.Beacon != w.silent && e.Receiver == name }); ok {
		add(e.T, "%s was tuned to %s instead", e.Receiver, e.Beacon)
	}
	for i, t := range w.taken {
		if t.Act == flight.Fix && t.Beacon == w.silent && !w.void[i+1] && !t.at.Before(at) {
			add(t.T, "the log has a fix from it, which no needle could show")
		}
	}
}

func (w *World) tellTank(end time.Time, add adding, first finding) {
	if w.forgottenAt.IsZero() {
		return
	}
	c := w.to(w.forgottenAt)
	fed := w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank].Name
	add(w.forgottenAt, "a change of tank was logged, and the selector stayed on %s", fed)
	since, took := w.pilotTook(w.forgottenAt)
	if !took {
		add(end, notTakenOver)
		return
	}
	add(since, "you took over")
	if e, ok := first(w.forgottenAt, func(e flight.Event) bool { return e.Act == flight.TankChange }); ok {
		after := w.to(e.T)
		add(e.T, "you selected %s, %s after the change that was logged; the true imbalance was %s", e.Tank, say.Between(w.forgottenAt, e.T), say.Amount(imbalance(after)))
		return
	}
	add(end, "the selector was never turned; the true imbalance was %s", say.Amount(imbalance(w.to(end))))
}

// imbalance is the largest difference between two tanks.
func imbalance(c craft) float64 { return slices.Max(c.tanks) - slices.Min(c.tanks) }
