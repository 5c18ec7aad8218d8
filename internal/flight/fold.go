package flight

import (
	"time"

	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/tanks"
	"example.com/legclock/internal/values"
)

// fold is what the standing events of a flight come to, in the order of their times. It is a pipeline of values: each stage begins with the
// one before it, whose methods are its own, and can't see those after it, so that the compiler keeps the order. take is the only way in.
//
//	event → flown → believed → ahead → fuelled → fold
//
// A fold is copied by assignment; package values says why that is safe.
type fold struct {
	fuelled
	prompts prompts // what is to be done: prompt.go, prompt_route.go, prompt_checks.go, descent.go
}

// flown is where the flight has been, and what was told that changes nothing of what is reckoned: way.go, flown.go, divert.go.
type flown struct {
	*ofPlan
	told told
	look *look // that is being taken; nil where an event is taken in

	offBlocks, airborne, landed, onBlocks time.Time
	cruiseFrom                            time.Time // the top of the climb
	descended                             time.Time // the descent was begun
	last                                  time.Time // of the last event

	legs     []leg
	leg      int  // the leg being flown
	complete bool // the last leg has been flown

	// lastPassed is the last place passed, in time and on the legs; marks are those on the leg being flown, its start first.
	lastPassed mark
	marks      []mark
	sum        string             // of the last two passings that have one
	sumTo      string             // the later of the two
	steers     values.List[steer] // on this leg
	holding    time.Time
	holdPoint  string
	holds      []HoldFlown
	holdAt     string // where a hold is intended; empty: none is
	standIn    string // what is said of an altitude that the aircraft's tables do not reach
}

// told is what was told and is kept as it is: cross.go, bearing.go, offer.go, radio.go.
type told struct {
	wish          wish
	check         *bearingCheck // the last one
	watched       watch
	fed           fedPosition
	offers        []offer       // the oldest first
	flyingAt      time.Time     // when a feed first showed that the aircraft flies; the zero time: not yet, or refused
	flyingRefused bool          // that it is: until the feed shows a taxi again it is not offered
	cleared       []ClearedNow  // the last of each kind
	altimeterSet  bool          // since the last ATIS
	vorChecks     []VORCheckNow // the last of each receiver
	tankSkipped   time.Time     // when the next change of tank was skipped; the zero time: it was not
	receivers     values.Book[receiver]
	reported      estimate // in the last position report
}

// believed is what is believed of the wind, the airspeed and the place, and what it rests on: belief.go, fixes.go. Between events the belief
// is carried on along the way as it was last reckoned.
type believed struct {
	flown
	anchor   anchor
	forecast sheet.Air // or the wind that was told
	inches   bool      // its QNH was set in inches of mercury
	windTold bool      // the forecast has been replaced by a wind that was told
	belief   belief
	beliefAt time.Time // the moment that the belief is of
	untimed  bool      // the time to the next passing tells nothing of the wind: a hold or a diversion came between
	misfit   *misfit
	line     *positionLine           // the last fix, where that was a single line
	station  string                  // the beacon that the last radial was of
	offTrack *beside                 // nil: nobody said, on this leg
	feedAt   time.Time               // of the last position that was reckoned from
	flows    map[sheet.Phase]float64 // per hour, as far as they were told; never changed but replaced
}

// ahead is what lies ahead by that belief: outlook.go.
type ahead struct {
	believed
	outlook *outlook
	byNight bool // the arrival, as it was expected at the last entry: reserve.go
}

// fuelled is what is in the tanks, was and will be, and what that allows: package tanks, fuel.go, ways_out.go.
type fuelled struct {
	ahead
	tanks       tanks.Tanks
	critical    criticalAhead
	latestTurns *values.Finds[bool, []turnBy] // by whether the arrival is by night, which the reserve hangs on
}

func newFold(s *sheet.Sheet) fold {
	var f fold
	f.flown = flown{ofPlan: follows(s), legs: legsOf(s), told: told{cleared: []ClearedNow{}, vorChecks: []VORCheckNow{}}}
	f.anchor = anchor{at: s.Airborne, altitudeFt: s.Route.Legs[0].From.ElevationFt, by: ByReckoning}
	f.forecast, f.inches = s.Air, s.Plan.Conditions.QNHInInches
	f.belief = prior(s.Plan.Conditions.WindErrorKt).told(alongNM, 0, f.takeOffErrorNM())
	f.outlook, f.byNight = &outlook{}, s.Daylight[0].Night
	f.tanks = tanks.New(s.Plan, s.Fuel.Reserve)
	f.prompts.worded = &values.Finds[wording, *task]{}
	f.revise(s.Plan.OffBlocks)
	return f
}

// learn takes in the next entry. One that means nothing here, of a newer version or with figures that nothing can have, changes nothing. Of one that
// was made late or amended it is kept what was asked for when that came to be known, without it or as it stood until then.
func (f *fold) learn(next Record) {
	if CheckRanges(next.Event) != nil {
		return
	}
	e := *next.Event
	if r, known := rowOf[e.Act]; known {
		var taught learnt
		if at := next.learnt(); !at.IsZero() {
			seen := *f
			if next.amendment != nil {
				seen.learn(next.amendment.stood)
			}
			seen.replanUntil(at)
			taught = learnt{at, seen.withRounds(at).queueAt(at)}
		}
		f.replanUntil(e.T)
		were := f.queueAt(e.T)
		if were.missesRound() {
			*f = *f.withRounds(e.T)
			were = f.queueAt(e.T)
		}
		f.prompts.were, f.prompts.learnt = were, taught
		f.keepOpened(e.T)
		f.byNight = f.arrivesByNight(e.T)
		answered := f.answer(next.Event, r)
		effect, counts := nothing, r.fold == nil || r.fold(f, e)
		if counts {
			effect = r.effect
		}
		switch {
		case effect == revised:
			f.revise(e.T)
		case effect == prompted:
			f.makePrompts(e.T)
		case answered:
			f.prompts.dropClosed()
		}
		if counts && r.settle != nil {
			r.settle(f, e)
		}
		f.prompts.were = queueBefore{}
	}
	if e.T.After(f.last) {
		f.last = e.T
	}
}

// revise makes anew what follows from the events: the way ahead from the belief, from these the tanks, from all that the prompts.
func (f *fold) revise(t time.Time) {
	f.fuelled.revise(t)
	f.makePrompts(t)
}

func (f *fuelled) revise(t time.Time) {
	f.reviseWay(t)
	f.planTanks(t)
	f.latestTurns = &values.Finds[bool, []turnBy]{}
}

// reviseWay makes the way ahead anew, and the changes of tank as they are.
func (f *fuelled) reviseWay(t time.Time) {
	f.ahead.revise(t)
	f.critical = criticalAhead{at: t, tasKt: f.cruiseTAS(), found: &values.Finds[bool, critical]{}}
}

func (f *ahead) revise(t time.Time) {
	f.noteCruise(t)
	moved := f.anchor.place != f.outlook.from.place || !f.anchor.at.Equal(f.outlook.from.at) // by what was folded: the way from there is not reckoned yet
	if f.flying() && f.holding.IsZero() && !moved && f.beliefAt.After(f.anchor.at) {
		f.reanchor(f.beliefAt)
	}
	f.outlook = f.reckon()
	f.adviseHeading(t)
	f.byNight = f.arrivesByNight(t)
}
