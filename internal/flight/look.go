package flight

import (
	"bytes"
	"sync"
	"time"

	"example.com/legclock/internal/tanks"
)

// look is one look at a flight, at a moment: what many parts of a Snapshot ask for is reckoned once in it. It hangs on the copy of the fold
// that is looked at; a fold that takes in an event has none.
type look struct {
	at   time.Time
	kept *kept

	position   *PositionNow
	offTrack   *OffTrackNow
	quantities []float64
	cruise     *tanks.Cruise
	here       now
	belief     belief
	beliefAt   time.Time
	made       lookedUp
}

// lookedUp says which parts of a look are reckoned.
type lookedUp struct{ position, offTrack, here, hereOK, belief bool }

// looking is the fold at which one looks at a moment.
func (s *State) looking(t time.Time) *fold {
	f, parts := s.fold.withHold(t), s.kept
	if f != &s.fold { // none of the kept parts are of these changes of tank
		parts = &kept{}
	}
	both := &struct {
		fold fold
		look look
	}{*f, look{at: t, kept: parts}}
	both.fold.look = &both.look
	return &both.fold
}

// lookAt is the look that is being taken at a moment; nil: none.
func (f *flown) lookAt(t time.Time) *look {
	if f.look == nil || !f.look.at.Equal(t) {
		return nil
	}
	return f.look
}

// kept are the parts of the last Snapshot that hang on little: they stay from one look at a flight to the next until something of that
// changes, or an entry is made. Whoever has a Snapshot can tell by the identity of such a part that nothing in it has changed.
type kept struct {
	lock     sync.Mutex
	route    keptPart[time.Duration, []RoutePoint]
	leg      keptLeg
	prompts  keptPrompts
	ahead    keptPart[aheadOf, []AheadItem]
	critical keptPart[[2]time.Time, CriticalNow]
	report   keptPart[reportOf, *PositionReport]
	bingo    keptPart[time.Duration, []LatestDivertNow]
	changes  keptPart[time.Duration, []TankChangeNow]
	beacons  keptPart[time.Duration, []*BeaconNext] // the next of each receiver
	onPlan   keptPart[struct{}, map[string]int]
}

// keptPart is a part that stays as long as its key does.
type keptPart[K comparable, T any] struct {
	key   K
	part  T
	known bool
}

// keep is a part as it is kept, or as it is made. Others may look at the same time.
func keep[K comparable, T any](l *look, of func(*kept) *keptPart[K, T], key K, make func() T) T {
	if l == nil {
		return make()
	}
	slot := of(l.kept)
	l.kept.lock.Lock()
	before := *slot
	l.kept.lock.Unlock()
	if before.known && before.key == key {
		return before.part
	}
	part := make()
	l.kept.lock.Lock()
	*slot = keptPart[K, T]{key, part, true}
	l.kept.lock.Unlock()
	return part
}

// keptLeg is the leg being flown, which stays until a mark is passed or a time comes to be put off.
type keptLeg struct {
	leg            LegNow
	known          bool
	delay          time.Duration
	fromNM, toNM   float64
	notBefore, end time.Time
}

// legAt is the leg at a moment.
func (f *fold) legAt(t time.Time) LegNow {
	l := f.lookAt(t)
	if l == nil {
		return f.makeLeg(t)
	}
	here, flying := f.here(t)
	delay := f.delay(t)
	l.kept.lock.Lock()
	before := l.kept.leg
	l.kept.lock.Unlock()
	if before.known && before.delay == delay && here.afterNM >= before.fromNM && here.afterNM < before.toNM && t.After(before.notBefore) && !t.After(before.end) {
		return before.leg
	}
	after := keptLeg{leg: f.makeLeg(t), known: true, delay: delay, fromNM: -1, toNM: 1e9, end: t.Add(24 * time.Hour)}
	for _, mark := range after.leg.Marks {
		switch {
		case mark.Kind == MarkTank && mark.ETA.Before(t):
			after.notBefore = latest(after.notBefore, *mark.ETA)
		case mark.Kind == MarkTank:
			after.end = earliest(after.end, *mark.ETA)
		case mark.Kind == MarkPassed || !flying:
		case mark.Passed:
			after.fromNM = max(after.fromNM, mark.AfterNM)
		default:
			after.toNM = min(after.toNM, mark.AfterNM)
		}
	}
	l.kept.lock.Lock()
	l.kept.leg = after
	l.kept.lock.Unlock()
	return after.leg
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// keptPrompts is the queue, which stays until a prompt comes to stand otherwise.
type keptPrompts struct {
	standing []byte // how each stood
	delay    time.Duration
	list     []Prompt
}

// promptsAt is the queue at a moment: what is open, soonest first, then what was answered, latest first.
func (f *fold) promptsAt(t time.Time) []Prompt {
	later, l := f.withRounds(t), f.lookAt(t)
	if later != f || l == nil {
		return later.makePromptList(t)
	}
	const usual = 96 // prompts in a queue
	var room [usual]byte
	standing, delay, steady := f.standings(room[:0], t)
	if !steady {
		return f.makePromptList(t)
	}
	l.kept.lock.Lock()
	before := l.kept.prompts
	l.kept.lock.Unlock()
	if before.list != nil && before.delay == delay && bytes.Equal(before.standing, standing) {
		return before.list
	}
	after := keptPrompts{bytes.Clone(standing), delay, f.makePromptList(t)}
	l.kept.lock.Lock()
	l.kept.prompts = after
	l.kept.lock.Unlock()
	return after.list
}

// standings are how the open prompts stand, one byte each, and by how much those ahead are delayed. It is not steady where one says other
// things every second.
func (f *fold) standings(list []byte, t time.Time) (standings []byte, delay time.Duration, steady bool) {
	delay = f.delay(t)
	for i := range f.prompts.made {
		open := &f.prompts.made[i]
		own := time.Duration(0)
		if open.at != nil {
			own = f.delayTo(*open.at, t)
		}
		stands := f.prompts.standing(open, t, own)
		if stands.state != Coming && (open.Kind == PromptDescent || open.Kind == PromptTank) {
			return list, delay, false
		}
		list = append(list, stands.code())
	}
	return list, delay, true
}

// code tells how a prompt stands from how it stood, but for its time.
func (s stands) code() byte {
	var code byte
	switch s.state {
	case Due:
		code = 1
	case Late:
		code = 2
	}
	for bit, is := range []bool{s.announce, s.snoozed, s.hasty} {
		if is {
			code |= 4 << bit
		}
	}
	return code
}

// aheadOf is what the list of what lies ahead is made of, all of it kept parts.
type aheadOf struct {
	route    *RoutePoint
	prompts  *Prompt
	many     int
	critical CriticalNow
	phase    FlightPhase
}

// aheadAt is what lies ahead of a flight at the moment of its Snapshot.
func (l *look) aheadAt(s *Snapshot) []AheadItem {
	of := aheadOf{critical: s.Critical, phase: s.Phase, many: len(s.Prompts)}
	if len(s.Route) > 0 {
		of.route = &s.Route[0]
	}
	if len(s.Prompts) > 0 {
		of.prompts = &s.Prompts[0]
	}
	l.kept.lock.Lock()
	before := l.kept.ahead
	l.kept.lock.Unlock()
	if before.known && before.key == of {
		return before.part
	}
	list := ListAhead(s)
	l.kept.lock.Lock()
	l.kept.ahead = keptPart[aheadOf, []AheadItem]{of, list, true}
	l.kept.lock.Unlock()
	return list
}
