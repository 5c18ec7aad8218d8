package flight

import (
	"time"

	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/tanks"
	"example.com/legclock/internal/values"
)

// fold is what the standing events of a flight come to, in the order of their times. It is a pipeline of values, in the order in which
// each follows from those before it; take, at its end, is the only way in.
//
//	event → flown → reckoned → outlook → tanks → prompts
//
// A fold is copied by assignment; package values says why that is safe.
type fold struct {
	sheet *sheet.Sheet
	places

	flown                               // where we have been: way.go, divert.go
	reckoned                            // what is believed of the wind, the airspeed and the place: belief.go, fixes.go
	outlook     *outlook                // what lies ahead, by that belief: outlook.go
	critical    critical                // on it: ways_out.go
	tanks       tanks.Tanks             // what is in them, was and will be: package tanks, and fuel.go
	latestTurns *values.Found[[]turnBy] // by then: ways_out.go
	prompts     prompts                 // what is to be done: prompt.go, prompt_route.go, prompt_checks.go
	told        told                    // what changes none of these: radio.go, cross.go, bearing.go, offer.go

	last time.Time // of the last event
}

// flown is where the flight has been.
type flown struct {
	offBlocks, airborne, landed, onBlocks time.Time
	cruiseFrom                            time.Time // the top of the climb
	descended                             time.Time // the descent was begun

	legs     []leg
	leg      int  // the leg being flown
	complete bool // the last leg has been flown

	// lastPassed is the last place passed, in time and on the legs; marks are those on the leg being flown, its start first.
	lastPassed mark
	marks      []mark
	spoiled    bool               // something since the last passing spoils a sum
	sum        string             // of the last two passings that have one
	steers     values.List[steer] // on this leg
	holding    time.Time
	holdPoint  string
	standIn    string // what is said of an altitude that the aircraft's tables do not reach
}

// reckoned is what is believed, and what it rests on.
type reckoned struct {
	anchor   anchor
	forecast sheet.Air // or the wind that was told
	windTold bool      // the forecast has been replaced by a wind that was told
	belief   belief
	beliefAt time.Time // the moment that the belief is of
	// evidence is where the next interval begins that tells of the wind; nil when something came between.
	evidence *anchor
	misfit   *misfit
	station  string                  // the beacon that the last radial was of
	offTrack *beside                 // nil: nobody said, on this leg
	feedAt   time.Time               // of the last position that was reckoned from
	flows    map[sheet.Phase]float64 // per hour, as far as they were told; never changed but replaced
}

// told is what was told and is kept as it is.
type told struct {
	wish      wish
	check     *bearingCheck // the last one
	watched   watch
	offer     offer
	cleared   []ClearedNow // the last of each kind
	receivers values.Book[receiver]
	reported  estimate // in the last position report
}

func newFold(s *sheet.Sheet, places places) fold {
	f := fold{
		sheet: s, places: places,
		flown: flown{legs: legsOf(s)},
		reckoned: reckoned{
			anchor:   anchor{at: s.Airborne, altitudeFt: s.Route.Legs[0].From.ElevationFt, by: byReckoning},
			forecast: s.Air, belief: prior(s.Plan.Conditions.WindErrorKt),
		},
		outlook: &outlook{}, tanks: tanks.New(s.Plan, s.Fuel.Reserve), prompts: prompts{worded: values.NewFinds[wording, words]()},
		told: told{cleared: []ClearedNow{}},
	}
	f.belief = f.belief.told(alongNM, 0, f.takeOffErrorNM())
	f.revise(s.Plan.OffBlocks)
	return f
}

// take takes in the next event. Events that mean nothing here, of a newer version or with figures that nothing can have, change nothing.
func (f *fold) take(e Event) {
	r, known := rowOf[e.Act]
	if CheckRanges(e) != nil {
		return
	}
	if known {
		f.prompts.were = f.duesAt(e.T)
		f.keepOpened(e.T)
		f.answer(e, r)
		if r.fold == nil || r.fold(f, e) {
			f.follow(e, r)
		}
	}
	if e.T.After(f.last) {
		f.last = e.T
	}
}

// follow makes anew what follows from an act that counted.
func (f *fold) follow(e Event, r *row) {
	switch r.effect {
	case revised:
		f.revise(e.T)
	case prompted:
		f.makePrompts(e.T)
	}
	if r.settle != nil {
		r.settle(f, e)
	}
}

// revise makes everything that follows from the events anew, each stage from those before it.
func (f *fold) revise(t time.Time) {
	f.noteCruise(t)
	if f.flying() && f.holding.IsZero() && f.beliefAt.After(f.anchor.at) {
		f.reanchor(f.beliefAt)
	}
	f.outlook = f.reckon()
	f.critical = f.findCritical(t)
	f.planTanks(t)
	f.latestTurns = &values.Found[[]turnBy]{}
	f.makePrompts(t)
}
