package practice

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

// kind is what a question asks for.
type kind string

const (
	askTurn        kind = "turn"
	askGroundspeed kind = "groundspeed"
	askETA         kind = "eta"
	askBeacon      kind = "beacon"
	askTank        kind = "tank"
)

// par is how long a practised navigator takes for an answer, by the wall clock. Common practice, no source.
var par = map[kind]time.Duration{
	askTurn: 45 * time.Second, askGroundspeed: 45 * time.Second, askETA: 60 * time.Second, askBeacon: 60 * time.Second,
	askTank: 60 * time.Second,
}

// par is how long a practised navigator takes for the answer.
func (q question) par() time.Duration {
	if q.series > 0 {
		return quickPar
	}
	return par[q.kind]
}

// Points of an answer.
const (
	pointsQuick = 3 // right, within par
	pointsRight = 2
	pointsNear  = 1 // within three times the tolerance
	nearFactor  = 3
)

// question is a figure asked for in flight.
type question struct {
	drill.Exercise
	ID     string
	kind   kind
	name   string    // in a few words: "groundspeed DAM to LKM"
	entry  int       // the number of the entry that it came with
	asked  time.Time // flight time
	wall   time.Time
	first  time.Time // of the stretch that it is about
	second time.Time
	leg    int     // of the route, where the question is about a place ahead
	after  float64 // nm along that leg
	series int     // the quick check that it belongs to, from 1; 0: none
	byLog  string  // of a quick check's: the answer by the log
}

// closed is a question that was answered, given up or let lapse.
type closed struct {
	question
	verdict drill.Verdict
	at      time.Time
	lapsed  bool
	points  int
}

// exam is the questions of a flight. One is open at a time; those that fall together wait for their turn.
type exam struct {
	open    *question
	waiting []*question
	fixes   map[int]node // where the log had the aircraft after a fix, by its entry
	closed  []closed
	asked   map[kind]int
	slows   bool // the clock is still to be slowed for the open question
	quick   quickCheck
	winds   []windThen // in use at each passing
}

// take follows an event: an answer, or an act after which there is something to ask.
func (x *exam) take(f *Flight, e flight.Event, at time.Time) {
	switch {
	case e.Act == flight.Answered:
		x.answer(e)
	case e.Act == flight.Hands:
		x.open, x.waiting, x.quick.goes = nil, nil, false
	case e.Act == flight.QuickCheck && e.Text == flight.QuickCheckEnd:
		x.endQuick()
	case e.Act == flight.QuickCheck && e.Text == "":
		x.beginQuick()
	case e.Act == flight.Clock && x.open != nil && e.Rate != nil:
		x.slows = false
	case e.Act == flight.Void:
		x.waiting = slices.DeleteFunc(x.waiting, func(q *question) bool { return q.entry == e.Event })
		if x.open != nil && x.open.entry == e.Event {
			x.open = nil
		}
	case e.Act == flight.Passing && f.world.lesson == WrongForecast:
		x.noteWind(f.State.At(later(e.T, at)))
	}
	if f.world.handsOn && e.By == "" && (e.Act == flight.Passing || e.Act == flight.TankChange || e.Act == flight.Fix) {
		s := f.State.At(later(e.T, at))
		if p := s.Position; e.Act == flight.Fix && p != nil {
			n := node{at: e.T, alongNM: p.AfterNM}
			if p.OffTrackNM != nil {
				n.rightNM = *p.OffTrackNM
			}
			if x.fixes == nil {
				x.fixes = map[int]node{}
			}
			x.fixes[e.N] = n
		}
		if q := x.next(f, s, e); q != nil {
			q.ID, q.entry, q.asked, q.wall = fmt.Sprintf("%s-%d", q.kind, e.N), e.N, at, e.Rec
			if x.asked == nil {
				x.asked = map[kind]int{}
			}
			x.asked[q.kind]++
			x.waiting = append(x.waiting, q)
		}
	}
	x.openNext(f, e.Rec, at)
}

// openNext puts the next figure of a quick check or, without one, the question that has waited longest, where none is open. Its time counts
// from then.
func (x *exam) openNext(f *Flight, wall, at time.Time) {
	if x.open == nil && x.quick.goes {
		if x.open = x.putQuick(f, at); x.open != nil {
			x.open.wall, x.slows = wall, true
			return
		}
		x.quick.goes = false
	}
	if x.open == nil && len(x.waiting) > 0 {
		x.open, x.waiting = x.waiting[0], x.waiting[1:]
		x.open.wall, x.slows = wall, true
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func (x *exam) answer(e flight.Event) {
	q := x.open
	if q == nil || q.ID != e.Prompt {
		return
	}
	v := q.Mark(e.Text, max(0, e.Rec.Sub(q.wall)))
	if !v.Outcome.Counts() {
		return
	}
	c := closed{question: *q, verdict: v, at: e.T}
	switch {
	case v.Outcome == drill.Right && v.Took <= q.par():
		c.points = pointsQuick
	case v.Outcome == drill.Right:
		c.points = pointsRight
	case v.Outcome == drill.Wrong && q.near(e.Text):
		c.points = pointsNear
	}
	x.closed, x.open = append(x.closed, c), nil
	if q.series > 0 {
		x.markedQuick(c)
	}
}

// near reports whether a wrong answer is not far from right.
func (q question) near(text string) bool {
	wider := q.Exercise
	wider.Tolerance.By *= nearFactor
	return wider.Mark(text, 0).Outcome == drill.Right
}

// lapse closes what is open or waits without an answer: the flight is over.
func (x *exam) lapse(at time.Time) {
	if x.open != nil {
		x.waiting = append([]*question{x.open}, x.waiting...)
	}
	for _, q := range x.waiting {
		if q.series > 0 { // a check that was not finished
			continue
		}
		x.closed = append(x.closed, closed{question: *q, verdict: q.Mark("", 0), at: at, lapsed: true})
	}
	x.open, x.waiting = nil, nil
}

// unreadable is the refusal of an answer that can't be read; nil for one that can, and for none.
func (q question) unreadable(text string) error {
	if v := q.Mark(text, 0); !v.Outcome.Counts() {
		return &flight.Refusal{Text: v.Problem}
	}
	return nil
}

// next is the question of those that an event gives rise to that was asked least; nil when there is none. A distance off track asks
// for the turn before anything else.
func (x *exam) next(f *Flight, s flight.Snapshot, e flight.Event) *question {
	var all []*question
	switch e.Act {
	case flight.TankChange:
		return tankQuestion(f.world, s, s.At)
	case flight.Fix:
		on, ok := offTrackAt(s, e)
		if !ok {
			return nil
		}
		return on.turn(x, f, s)
	case flight.Passing:
		on, ok := logged(s, e)
		if !ok {
			return nil
		}
		on.level, on.tasKt = f.world.level(*on.before.Actual, e.T), s.Steer.TASKt
		on.way, on.told = x.wayOf(f, s, on)
		if q := on.turn(x, f, s); q != nil {
			return q
		}
		all = []*question{on.groundspeed(), on.eta(), on.beacon(s)}
	}
	all = slices.DeleteFunc(all, func(q *question) bool { return q == nil })
	if len(all) == 0 {
		return nil
	}
	return slices.MinFunc(all, func(a, b *question) int { return x.asked[a.kind] - x.asked[b.kind] })
}

// question is the open one as the pilot is shown it.
func (x *exam) question() *OpenQuestion {
	q := x.open
	if q == nil {
		return nil
	}
	now := &OpenQuestion{ID: q.ID, Asked: q.asked, Text: q.Question, Example: q.Form.Example(), Waiting: len(x.waiting), Quick: q.series > 0}
	for _, given := range q.Given {
		now.Given = append(now.Given, [2]string{given.Name, given.Text})
	}
	return now
}

// last is the question that was closed last.
func (x *exam) last() *Marked {
	if len(x.closed) == 0 {
		return nil
	}
	c := x.closed[len(x.closed)-1]
	marked := &Marked{
		At: c.at, Text: c.Question, Outcome: c.outcome(), Comment: c.Comment(c.verdict), Steps: slices.Clone(c.Steps), Points: c.points,
		Seconds: c.verdict.Took.Seconds(), Quick: c.series > 0,
	}
	if marked.Quick { // the truth, and how near it was, is shown when the flight is over
		if marked.Comment = []string{}; marked.Outcome == Near {
			marked.Outcome = drill.Wrong
		}
		if side := c.side(); side != "" && c.verdict.Outcome == drill.Wrong {
			marked.Comment = append(marked.Comment, c.verdict.Read+" is "+side)
		}
	}
	return marked
}

// What may become of a question besides what becomes of an answer.
const (
	Slow       drill.Outcome = "right, but slow"
	Near       drill.Outcome = "not right, but near"
	Unanswered drill.Outcome = "not answered"
)

func (c closed) outcome() drill.Outcome {
	switch {
	case c.lapsed:
		return Unanswered
	case c.points == pointsRight:
		return Slow
	case c.points == pointsNear:
		return Near
	default:
		return c.verdict.Outcome
	}
}

// points are those given and those that there were.
func (x *exam) points() (points, most int) {
	for _, c := range x.closed {
		points += c.points
	}
	return points, pointsQuick * len(x.closed)
}

// From where on a figure is worth asking for. Common practice, no source.
const (
	leastStretchNM  = 3
	leastAheadNM    = 4
	leastOffTrackNM = 0.3
	slowestShare    = 0.4 // of the true airspeed
	fastestShare    = 1.7
)

// onLeg is where a passing stands in the log: the point before it on the same leg, and what lies ahead.
type onLeg struct {
	here, before flight.RoutePoint // before has the leg's start where no checkpoint came between
	beforeNM     float64
	end          flight.RoutePoint
	level        bool // from the point before on there was neither climb nor descent
	tasKt        float64
	way          flownWay
	told         bool // the log tells the way
}

// logged finds a passing in the log; ok is false where it is no point of the way.
func logged(s flight.Snapshot, e flight.Event) (on onLeg, ok bool) {
	at := -1
	for i, row := range s.Route {
		if row.Actual != nil && row.Point == e.Point && row.Actual.Equal(e.T) {
			at = i
		}
	}
	if at < 1 {
		return on, false
	}
	on.here = s.Route[at]
	for i := at - 1; i >= 0 && on.before.Actual == nil; i-- {
		row := s.Route[i]
		start := !row.Checkpoint && row.Leg == on.here.Leg-1
		if row.Actual != nil && (start || row.Leg == on.here.Leg) {
			on.before = row
			if !start {
				on.beforeNM = row.AfterNM
			}
		}
	}
	for _, row := range s.Route {
		if row.Leg == on.here.Leg && !row.Checkpoint {
			on.end = row
		}
	}
	return on, on.before.Actual != nil
}

// stretch is the way between the two passings as the log tells it.
func (on onLeg) stretch() drill.Stretch {
	return drill.Stretch{
		From: on.before.Point, To: on.here.Point, DistanceNM: on.way.distanceNM, StraightNM: on.way.straightNM, Share: on.way.share,
		First: *on.before.Actual, Second: *on.here.Actual,
	}
}

// usable reports whether the stretch to the passing gives a groundspeed that some wind explains.
func (on onLeg) usable() bool {
	s := on.stretch()
	speed := deadreckon.Groundspeed(s.DistanceNM, s.Second.Sub(s.First).Minutes())
	return on.told && on.level && s.DistanceNM >= leastStretchNM && speed > slowestShare*on.tasKt && speed < fastestShare*on.tasKt
}

func (on onLeg) question(k kind, name string, e drill.Exercise) *question {
	return &question{Exercise: e, kind: k, name: name, first: *on.before.Actual, second: *on.here.Actual, leg: on.here.Leg, after: on.here.AfterNM}
}

func (on onLeg) groundspeed() *question {
	if !on.usable() {
		return nil
	}
	return on.question(askGroundspeed, "groundspeed "+on.before.Point+" to "+on.here.Point, drill.GroundspeedInFlight(on.stretch()))
}

// straightOn reports whether the groundspeed of the stretch is that of the way ahead too: it was no detour, and the two headings are
// much the same.
func (on onLeg) straightOn() bool {
	return on.usable() && !on.way.detour() && math.Abs(on.way.rightNM) < leastOffTrackNM*2
}

// eta asks for the leg's end, or for the next checkpoint where that is the end.
func (on onLeg) eta() *question {
	toGo := math.Hypot(on.end.AfterNM-on.here.AfterNM, on.way.rightNM)
	if !on.straightOn() || toGo < leastAheadNM || on.end.Revised == nil {
		return nil
	}
	best := drill.Best{At: *on.end.Revised}
	if on.end.SigmaSeconds != nil {
		best.SigmaMinutes = *on.end.SigmaSeconds / 60
	}
	q := on.question(askETA, "ETA "+on.end.Point, drill.ETAInFlight(on.stretch(), "at "+on.end.Point, toGo, best))
	q.after = on.end.AfterNM
	return q
}

// beacon asks for the time of the next change of beacon on this leg.
func (on onLeg) beacon(s flight.Snapshot) *question {
	if !on.straightOn() {
		return nil
	}
	for _, receiver := range s.Radio {
		next := receiver.Next
		if next == nil || next.Leg != on.here.Leg || next.AfterNM-on.here.AfterNM < leastAheadNM || next.Due == nil {
			continue
		}
		best := drill.Best{At: *next.Due}
		if on.end.SigmaSeconds != nil && on.end.AfterNM > on.here.AfterNM { // it grows with the way ahead
			best.SigmaMinutes = *on.end.SigmaSeconds / 60 * (next.AfterNM - on.here.AfterNM) / (on.end.AfterNM - on.here.AfterNM)
		}
		where := receiver.Receiver + " to " + next.Beacon + ", due " + say.Distance.Say(on.end.AfterNM-next.AfterNM, 1) + " before " + on.end.Point
		q := on.question(askBeacon, "time to tune "+next.Beacon, drill.ETAInFlight(on.stretch(), where, next.AfterNM-on.here.AfterNM, best))
		q.after = next.AfterNM
		return q
	}
	return nil
}

// turn asks for the turn to the leg's end, where a distance off track was logged and one heading has led there from the leg's start:
// with another the miles flown say nothing of the track made good.
func (on onLeg) turn(x *exam, f *Flight, s flight.Snapshot) *question {
	whole := on
	for _, row := range s.Route {
		if row.Leg == on.here.Leg-1 && !row.Checkpoint {
			whole.before, whole.beforeNM = row, 0
		}
	}
	if whole.before.Actual == nil {
		return nil
	}
	way, told := x.wayOf(f, s, whole)
	toGo := on.end.AfterNM - on.here.AfterNM
	if !told || !way.held || math.Abs(way.rightNM) < leastOffTrackNM || on.here.AfterNM < leastStretchNM || toGo < leastAheadNM {
		return nil
	}
	return on.question(askTurn, "turn to "+on.end.Point, drill.TurnInFlight(way.rightNM, on.here.AfterNM, toGo, on.end.Point))
}

// offTrackAt is a place off track that was logged by itself, as if it were a point of the leg being flown; ok is false where nothing is
// known of it.
func offTrackAt(s flight.Snapshot, e flight.Event) (on onLeg, ok bool) {
	p := s.Position
	if e.OffTrack == nil || p == nil || p.OffTrackNM == nil {
		return on, false
	}
	for _, row := range s.Route {
		switch {
		case row.Checkpoint:
		case row.Leg == s.Leg.Index:
			on.end = row
		case row.Leg == s.Leg.Index-1:
			on.before = row
		}
	}
	on.here = on.end
	on.here.AfterNM, on.here.Actual, on.here.Point = p.AfterNM, &e.T, ""
	return on, on.before.Actual != nil && on.end.Point != ""
}

// tankQuestion asks when the limit of imbalance is reached, where two tanks have one.
func tankQuestion(w *World, s flight.Snapshot, t time.Time) *question {
	tanks := s.Tanks.Tanks
	unit, err := fuel.ParseUnit(s.Tanks.Unit)
	if len(tanks) != 2 || s.Tanks.MaxImbalance == nil || !w.flies(t) || err != nil {
		return nil
	}
	fed, other := tanks[0], tanks[1]
	if tanks[1].Selected {
		fed, other = other, fed
	}
	onBoard := w.sheet.Plan.Fuel.OnBoard
	burned := onBoard[fed.Name] - fed.Quantity - (onBoard[other.Name] - other.Quantity) // more from the one than from the other
	toBurn := *s.Tanks.MaxImbalance + fed.Quantity - other.Quantity
	e, ok := drill.LatestChangeInFlight(drill.TankPair{
		Names: [2]string{tanks[0].Name, tanks[1].Name}, Quantities: [2]float64{tanks[0].Quantity, tanks[1].Quantity},
		SecondFeeds: tanks[1].Selected, Unit: unit.Short(), FlowPerHour: s.Tanks.FlowPerHour, Limit: *s.Tanks.MaxImbalance,
		SigmaMinutes: flowErrorShare * math.Abs(burned+toBurn) / s.Tanks.FlowPerHour * 60,
	}, t)
	if !ok {
		return nil
	}
	return &question{Exercise: e, kind: askTank, name: "limit of imbalance", first: t, second: t}
}
