package flight

import (
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/sheet"
)

// progress is what the standing events of a flight come to, in the order of their times. It changes only as events are folded.
type progress struct {
	sheet *sheet.Sheet
	places

	offBlocks, airborne, landed, onBlocks time.Time
	descended                             time.Time // the descent was begun

	legs     []leg
	leg      int  // the leg being flown
	complete bool // the last leg has been flown

	// lastPassed is the last place passed, in time and on the legs; marks are those on the leg being flown, its start first.
	lastPassed mark
	marks      []mark
	spoiled    bool // something since the last passing spoils a sum
	// evidence is where the next interval begins that tells of the wind; nil when something came between.
	evidence *anchor
	sum      string // of the last two passings that have one
	misfit   *misfit
	standIn  string   // what is said of an altitude that the aircraft's tables do not reach
	reported estimate // as told in the last position report

	anchor   anchor
	forecast sheet.Air // or the wind that was told
	windTold bool      // the forecast has been replaced by a wind that was told
	belief   belief
	beliefAt time.Time // the moment that the belief is of
	station  string    // the beacon that the last radial was of
	ahead    *ahead
	critical critical

	steers     list[steer] // on this leg
	offTrack   *beside     // nil: nobody said, on this leg
	holding    time.Time
	holdPoint  string
	wish       wish
	check      *bearingCheck // the last one
	watched    watch
	offer      offer
	feedAt     time.Time // of the last position that was reckoned from
	cruiseFrom time.Time // the top of the climb

	tanks     tanks
	cleared   []ClearedNow // the last of each kind
	receivers book[receiver]
	prompts   prompts
	worded    *finds[wording, words] // what prompts say at the altimeter setting
	last      time.Time              // of the last event
}

// mark is a passing.
type mark struct {
	place
	at       time.Time
	name     string
	clean    bool // nothing lies between it and the mark before that spoils a sum
	changing bool // part of the way from the mark before was climb or descent
}

// steer is a heading that the pilot said to be steering.
type steer struct {
	at       time.Time
	magnetic float64
}

// estimate is a time over a point that was told to somebody.
type estimate struct {
	point string
	eta   time.Time
}

// misfit is a passing whose time no likely wind explains.
type misfit struct {
	name   string
	sigmas float64
}

func newProgress(s *sheet.Sheet, places places) progress {
	p := progress{
		sheet: s, forecast: s.Air, belief: prior(s.Plan.Conditions.WindErrorKt),
		places: places, cleared: []ClearedNow{},
	}
	p.legs = legsOf(s)
	p.worded = newFinds[wording, words]()
	p.tanks = newTanks(s.Plan)
	p.anchor = anchor{at: s.Airborne, altitudeFt: s.Route.Legs[0].From.ElevationFt, by: byReckoning}
	p.ahead = &ahead{}
	p.belief = p.belief.told(alongNM, 0, p.takeOffErrorNM())
	p.revise(s.Plan.OffBlocks)
	return p
}

// What a position can come from.
const (
	byReckoning = "dead reckoning"
	byPassing   = "passing"
	byFix       = "fix"
	byFeed      = "feed"
)

// fold takes in the next event. Events that mean nothing here, of a newer version or with figures that nothing can have, change nothing.
func (p *progress) fold(e Event) {
	r, known := rowOf[e.Act]
	if CheckRanges(e) != nil {
		return
	}
	if known {
		p.answer(e, r)
		if r.fold == nil || r.fold(p, e) {
			p.follow(e, r)
		}
	}
	if e.T.After(p.last) {
		p.last = e.T
	}
}

// follow makes anew what follows from an act that counted.
func (p *progress) follow(e Event, r *row) {
	switch r.effect {
	case revised:
		p.revise(e.T)
	case prompted:
		p.makePrompts(e.T)
	}
	if r.settle != nil {
		r.settle(p, e)
	}
}

// revise makes everything that follows from the events anew: the reckoning, the tank schedule, the prompts.
func (p *progress) revise(t time.Time) {
	p.noteCruise(t)
	if p.flying() && p.holding.IsZero() && p.beliefAt.After(p.anchor.at) {
		p.reanchor(p.beliefAt)
	}
	p.ahead = p.reckon()
	p.critical = p.findCritical(t)
	p.planTanks(t)
	p.makePrompts(t)
}

// reanchor makes the place where the flight is reckoned to be the one that it is reckoned from. What is uncertain goes with it. At the
// end of a leg that is overdue it counts from when that was due, so that it stays overdue.
func (p *progress) reanchor(t time.Time) {
	n, ok := p.here(t)
	if !ok {
		return
	}
	changing := p.anchor.changing + p.ahead.levelChangeMinutes(n.minutes)
	p.predict(t.Add(-n.overdue))
	p.anchor.place, p.anchor.at = p.onThisLeg(n.afterNM+p.belief.mean[alongNM]), t.Add(-n.overdue)
	p.anchor.altitudeFt, p.anchor.descending, p.anchor.changing = n.point.AltitudeFt, n.descending || p.anchor.descending, changing
	p.belief.mean[alongNM] = 0
}

// onThisLeg is a place on the leg being flown: not before it, and a hair before its end, for the leg ends only when that is logged.
func (p *progress) onThisLeg(afterNM float64) place {
	const hairNM = 1e-4
	return place{p.leg, max(0, min(afterNM, p.legs[p.leg].line().DistanceNM-hairNM))}
}

func (p *progress) foldOffBlocks(e Event) bool {
	if !p.offBlocks.IsZero() || !p.airborne.IsZero() {
		return false
	}
	p.offBlocks = e.T
	p.tanks.startEngine(e.T)
	p.anchor.at = e.T.Add(p.taxi())
	return true
}

func (p *progress) foldAirborne(e Event) bool {
	if !p.airborne.IsZero() {
		return false
	}
	if p.offBlocks.IsZero() { // never said: as planned before take-off
		p.tanks.startEngine(e.T.Add(-p.taxi()))
	}
	p.burnUntil(e.T)
	p.airborne = e.T
	p.anchor.at, p.beliefAt = e.T, e.T
	p.belief = p.belief.told(alongNM, 0, p.takeOffErrorNM())
	p.startLeg(mark{at: e.T, name: p.sheet.Route.Legs[0].From.Ident, clean: true})
	return true
}

// startLeg begins the clock of a leg with the passing of its start.
func (p *progress) startLeg(m mark) {
	p.lastPassed = m
	p.marks = []mark{m}
	p.steers = list[steer]{}
	p.onLegs(m.leg, func(l *leg) { l.started, l.startedNM = m.at, m.afterNM })
	started := p.anchor
	p.evidence = &started
}

func (p *progress) foldLevel(e Event) bool {
	n, ok := p.here(e.T)
	if !ok {
		return false
	}
	p.burnUntil(e.T)
	altitudeFt := p.levelFt(p.leg)
	if e.Altitude != nil {
		altitudeFt = *e.Altitude
	}
	p.reanchor(e.T)
	if different(altitudeFt, p.levelFt(p.leg)) {
		altitudeFt = p.holdLevel(altitudeFt)
	}
	p.anchor.altitudeFt, p.anchor.descending = altitudeFt, false
	if p.cruiseFrom.IsZero() && n.point.Phase == sheet.Climb {
		p.cruiseFrom = e.T
	}
	return true
}

// levelFt is the altitude of a leg's level by the altimeter setting in use.
func (p *progress) levelFt(index int) float64 {
	return p.legs[index].line().Level.AltitudeFtAt(p.forecast.QNH)
}

// readingFt is how exactly an altitude is read and held.
const readingFt = 50

// different reports whether two altitudes differ by more than a pilot's reading.
func different(a, b float64) bool {
	return a-b > readingFt || b-a > readingFt
}

func (p *progress) foldDescend(e Event) bool {
	n, ok := p.here(e.T)
	if !p.flying() || !p.descended.IsZero() {
		return false
	}
	p.burnUntil(e.T)
	levelFt := p.levelLeft(n)
	p.descended = e.T
	p.reanchor(e.T)
	p.anchor.descending = true
	if ok {
		p.anchor.altitudeFt = levelFt
	}
	return true
}

func (p *progress) foldLanded(e Event) bool {
	if !p.flying() {
		return false
	}
	p.burnUntil(e.T)
	p.landed = e.T
	p.holding = time.Time{}
	return true
}

func (p *progress) foldOnBlocks(e Event) bool {
	if !p.onBlocks.IsZero() {
		return false
	}
	p.burnUntil(e.T)
	p.onBlocks = e.T
	return true
}

func (p *progress) foldSteering(e Event) bool {
	if e.Heading == nil || !p.flying() {
		return false
	}
	p.predict(e.T)
	p.steers = p.steers.with(steer{e.T, *e.Heading})
	return true
}

func (p *progress) foldAltitude(e Event) bool {
	n, ok := p.here(e.T)
	if !ok || e.Altitude == nil {
		return false
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	p.anchor.altitudeFt = *e.Altitude
	if n.point.Phase == sheet.Cruise && different(*e.Altitude, p.levelFt(p.leg)) {
		p.anchor.altitudeFt = p.holdLevel(*e.Altitude)
	}
	return true
}

func (p *progress) foldAltimeter(e Event) bool {
	if e.QNH == nil || *e.QNH == p.forecast.QNH {
		return false
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	p.forecast.QNH, p.worded = *e.QNH, newFinds[wording, words]()
	return true
}

// clockChange is what an event does to the clock.
func clockChange(e Event) clock.Change {
	return clock.Change{Rate: e.Rate, Paused: e.Paused, Set: e.Set}
}
