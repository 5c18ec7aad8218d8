package flight

import (
	"slices"
	"sync"
	"time"

	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/tanks"
)

// Look is a flight at a moment for those who look at many and read little of each: every part is reckoned when somebody asks. It stays as it is,
// whatever is applied to the State since.
type Look struct {
	At   time.Time
	fold *fold
}

// Look looks at the flight at a moment, which must not lie before the last event.
func (s *State) Look(t time.Time) Look { return Look{t, s.looking(t)} }

// Phase is what the whole flight is in.
func (l Look) Phase() FlightPhase { return l.fold.phaseAt(l.At) }

// Clock has the times flown; how the clock runs is the Snapshot's to say.
func (l Look) Clock() Clocks { return l.fold.clocksAt(l.At) }

// Leg is the leg being flown, without what lies along it.
func (l Look) Leg() LegNow { return l.fold.legNow() }

// Ended is when the end of a leg of the Route was passed; the zero time: it was not, or is not flown.
func (l Look) Ended(leg int) time.Time {
	if flown := &l.fold.legs[leg]; !l.fold.takenUp(flown) {
		return flown.actual
	}
	return time.Time{}
}

// Line is a leg of the Route on the map: the plan's, or a diversion's.
func (l Look) Line(leg int) *sheet.RouteLeg { return l.fold.legs[leg].line() }

// Ahead reports whether there is a next point.
func (l Look) Ahead() bool {
	_, known := l.fold.eta(l.fold.endOfLeg(), l.At)
	return known && !l.fold.complete && l.fold.landed.IsZero()
}

// Steer is what to steer.
func (l Look) Steer() Steer { return l.fold.steerAt(l.At) }

// Position is where the flight is; nil where that is not known.
func (l Look) Position() *PositionNow { return l.fold.positionAt(l.At) }

// Wind is the wind where the flight is.
func (l Look) Wind() WindNow { return l.fold.windAt(l.At) }

// Tanks is the fuel as it is and was.
func (l Look) Tanks() TankFigures { return l.fold.tankFiguresAt(l.At) }

// Quantities is what is in the tanks, in the aircraft's order, and the imbalance.
func (l Look) Quantities() (quantities []float64, imbalance float64) {
	quantities = l.fold.quantitiesAt(l.At)
	return quantities, l.fold.tanks.Imbalance(quantities)
}

// FinalReserve is what is to be in the tanks after landing.
func (l Look) FinalReserve() FinalReserve { return *l.fold.finalReserve(l.At) }

// OverReserve is the usable fuel that counts, by gauges less than calculated, and for how many minutes in cruise what of it is over the final reserve
// lasts; negative where that is broken into. On arrival that is what a Snapshot's Destination has.
func (l Look) OverReserve() (usable, extraMinutes float64) {
	usable = l.fold.countedUsableAt(l.At)
	_, _, extraMinutes = l.fold.finalReserve(l.At).onArrival(usable, l.fold.arrivalFlow(l.At))
	return usable, extraMinutes
}

// Holds are those that are over, the earliest first.
func (l Look) Holds() []HoldFlown { return slices.Clip(l.fold.holds) }

// Route is the whole route with the times as they were and are expected. A row's SigmaSeconds and DifferenceSeconds are nil: Sigma is asked by row.
func (l Look) Route() []RoutePoint { return l.fold.routeRows(l.At) }

// Sigma is one standard error of the time of a row of the Route, in seconds; nil of one that is not ahead.
func (l Look) Sigma(row RoutePoint) *float64 { return l.fold.sigmaOf(&row, l.At) }

// Late are the prompts that are late, the worst first.
func (l Look) Late() []Prompt { return l.fold.withRounds(l.At).openAt(l.At, 0, Late) }

// look is one look at a flight, at a moment: what many parts of a Snapshot ask for is reckoned once in it. It hangs on the copy of the fold
// that is looked at; a fold that takes in an event has none.
type look struct {
	at   time.Time
	kept *kept

	position   lookPart[*PositionNow]
	offTrack   lookPart[*OffTrackNow]
	quantities lookPart[[]float64]
	usable     lookPart[float64] // that counts
	cruise     lookPart[tanks.Flow]
	byNight    lookPart[bool] // the arrival
	here       lookPart[hereNow]
	belief     keptPart[time.Time, belief] // of the moment that was asked for last
}

// lookPart is what a look reckons when somebody first asks.
type lookPart[T any] struct {
	part  T
	known bool
}

// reckoned is a part of a look as it is known, or as it is reckoned.
func reckoned[T any](l *look, of func(*look) *lookPart[T], reckon func() T) T {
	if l == nil {
		return reckon()
	}
	slot := of(l)
	if !slot.known {
		*slot = lookPart[T]{reckon(), true}
	}
	return slot.part
}

// looking is the fold at which one looks at a moment.
func (s *State) looking(t time.Time) *fold {
	f, parts := &s.fold, s.kept
	if again, due := f.replanning(t); due {
		later := keep(&look{kept: s.kept}, func(k *kept) *keptPart[replanning, *replanned] { return &k.replanned }, again, func() *replanned {
			before := s.replannedBefore(again, t)
			return &replanned{before.planAgain(again), &kept{}}
		})
		f, parts = &later.fold, later.kept
	}
	if spare := parts.takeSpare(); spare != nil {
		*spare.look = look{at: t, kept: parts}
		return spare
	}
	both := &struct {
		fold fold
		look look
	}{*f, look{at: t, kept: parts}}
	both.fold.look = &both.look
	return &both.fold
}

// replannedBefore is the flight of which the changes of tank are planned again the last time up to a moment: reckoned from what it was for whoever
// looked before, where that lies on the way.
func (s *State) replannedBefore(last replanning, t time.Time) *fold {
	parts, from := s.kept, &s.fold
	parts.lock.Lock()
	if known := parts.replannedFrom; known != nil && known.tanks.PlannedAt().Before(last.at) {
		from = known
	}
	parts.lock.Unlock()
	before := from.replannedBefore(last, t)
	if s.fold.prompts.learnt.at.IsZero() { // else it hangs on the moment
		parts.lock.Lock()
		parts.replannedFrom = &before
		parts.lock.Unlock()
	}
	return &before
}

// looked is said of a fold by whoever has looked and refers to nothing of it any more: the next may look at it.
func (f *fold) looked() {
	k := f.look.kept
	k.lock.Lock()
	k.spare = f
	k.lock.Unlock()
}

// takeSpare is the copy of the fold that somebody has looked at; nil: there is none.
func (k *kept) takeSpare() *fold {
	k.lock.Lock()
	defer k.lock.Unlock()
	spare := k.spare
	k.spare = nil
	return spare
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
	lock       sync.Mutex
	spare      *fold // the copy that was looked at last; nil: none, or somebody looks at it
	*keptParts       // nil: nobody has looked
}

type keptParts struct {
	route        keptPart[time.Duration, []RoutePoint]
	advised      keptPart[advisedRoute, []RoutePoint]
	leg          keptPart[legStays, LegNow]
	prompts      keptPart[queueStands, []Prompt]
	standings    keptPart[queueStays, standings]
	rounds       keptPart[time.Time, prompts] // the queue with the rounds missed by then
	ahead        keptPart[aheadOf, []AheadItem]
	critical     keptPart[[2]time.Time, CriticalNow]
	report       keptPart[reportOf, *PositionReport]
	latestDivert keptPart[time.Duration, []LatestDivertNow]
	changes      keptPart[queueStays, []TankChangeNow]
	steer        keptPart[steersBy, Steer]
	winds        keptPart[float64, windsAloft]
	slope        keptPart[slopeOf, vector]              // where the belief is carried on from
	beacons      keptPart[time.Duration, []*BeaconNext] // the next of each receiver
	onPlan       keptPart[struct{}, map[string]int]
	replanned    keptPart[replanning, *replanned]

	replannedFrom *fold // the flight from which that was made; nil: nobody looked
}

// replanned is the flight with the changes of tank planned again since the last event, and what is kept of it.
type replanned struct {
	fold fold
	kept *kept
}

// keptPart is a part that stays as long as its key does.
type keptPart[K, T any] struct {
	key   K
	part  T
	known bool
}

// keep is a part as it is kept, or as it is made.
func keep[K comparable, T any](l *look, of func(*kept) *keptPart[K, T], key K, make func() T) T {
	if l == nil {
		return make()
	}
	return keepWhile(l, of, func(before K) bool { return before == key }, func() (K, T) { return key, make() })
}

// keepWhile is a part as it is kept while its key holds, or as it is made, with the key that it then has. Others may look at the same time.
func keepWhile[K, T any](l *look, of func(*kept) *keptPart[K, T], holds func(K) bool, make func() (K, T)) T {
	l.kept.lock.Lock()
	if l.kept.keptParts == nil {
		l.kept.keptParts = &keptParts{}
	}
	slot := of(l.kept)
	before := *slot
	l.kept.lock.Unlock()
	if before.known && holds(before.key) {
		return before.part
	}
	key, part := make()
	l.kept.lock.Lock()
	*slot = keptPart[K, T]{key, part, true}
	l.kept.lock.Unlock()
	return part
}

// legStays is how long the leg being flown stays as it is: until a mark is passed or a time comes to be put off.
type legStays struct {
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
	holds := func(s legStays) bool {
		return s.delay == delay && here.afterNM >= s.fromNM && here.afterNM < s.toNM && t.After(s.notBefore) && !t.After(s.end)
	}
	return keepWhile(l, func(k *kept) *keptPart[legStays, LegNow] { return &k.leg }, holds, func() (legStays, LegNow) {
		leg, stays := f.makeLeg(t), legStays{delay: delay, fromNM: -1, toNM: 1e9, end: t.Add(24 * time.Hour)}
		for _, mark := range leg.Marks {
			switch {
			case mark.Kind == MarkTank && mark.ETA.Before(t):
				stays.notBefore = latest(stays.notBefore, *mark.ETA)
			case mark.Kind == MarkTank:
				stays.end = earliest(stays.end, *mark.ETA)
			case mark.Kind == MarkPassed || !flying:
			case mark.Passed:
				stays.fromNM = max(stays.fromNM, mark.AfterNM)
			default:
				stays.toNM = min(stays.toNM, mark.AfterNM)
			}
		}
		return stays, leg
	})
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

// queueStands is what the queue hangs on: how each open prompt stands, and by how much those ahead are delayed.
type queueStands struct {
	each  []stands
	delay time.Duration
}

// promptsAt is the queue at a moment: what is open, soonest first, then what was answered, latest first.
func (f *fold) promptsAt(t time.Time) []Prompt {
	l := f.lookAt(t)
	if l == nil {
		return f.withRounds(t).makePromptList(t)
	}
	delay := f.delay(t)
	now := keepWhile(l, func(k *kept) *keptPart[queueStays, standings] { return &k.standings }, func(stays queueStays) bool { return stays.delay == delay && stays.has(t) }, func() (queueStays, standings) {
		now, stay := f.standings(t)
		return queueStays{stay, delay}, now
	})
	if !now.steady {
		return f.withRounds(t).makePromptList(t)
	}
	holds := func(before queueStands) bool { return before.delay == delay && slices.Equal(before.each, now.each) }
	return keepWhile(l, func(k *kept) *keptPart[queueStands, []Prompt] { return &k.prompts }, holds, func() (queueStands, []Prompt) {
		return queueStands{now.each, delay}, f.makePromptList(t)
	})
}

// queueStays is how long each open prompt stands as it does.
type queueStays struct {
	meanwhile
	delay time.Duration
}

// meanwhile is the time between two moments, without them; a zero time is no bound.
type meanwhile struct{ from, to time.Time }

func (m meanwhile) has(t time.Time) bool { return t.After(m.from) && (m.to.IsZero() || t.Before(m.to)) }

// bounded is the part of it about t that ends at a moment, or begins with it; none where that is t itself.
func (m meanwhile) bounded(at, t time.Time) meanwhile {
	if !at.After(t) {
		m.from = latest(m.from, at)
	}
	if !at.Before(t) && (m.to.IsZero() || at.Before(m.to)) {
		m.to = at
	}
	return m
}

// moment is one that times are compared with, and the time about it in which all of them compare in the same way.
type moment struct {
	t    time.Time
	stay meanwhile
}

// compare is -1 where the moment lies before a time, 1 where it lies after it, and else 0.
func (m *moment) compare(at time.Time) int {
	m.stay = m.stay.bounded(at, m.t)
	return m.t.Compare(at)
}

// standings are how the open prompts stand. They are not steady where one says other things every second, or a round was missed.
type standings struct {
	each   []stands
	steady bool
}

// ofNow reports whether a prompt of a kind says in a state what is so at the moment, another thing every second.
func (k PromptKind) ofNow(state PromptState) bool {
	switch k {
	case PromptDescent, PromptTank, PromptReport:
		return state != Coming
	case PromptTune:
		return state == Late
	}
	return false
}

// standings are how the open prompts stand at a moment, and the time in which they do so by the same delay.
func (f *fold) standings(t time.Time) (now standings, stay meanwhile) {
	queue := f.queueAt(t)
	now = standings{each: make([]stands, 0, len(f.prompts.made)), steady: !queue.missesRound()}
	at := moment{t: t}
	for i := range f.prompts.made {
		open := &f.prompts.made[i]
		stands := f.prompts.standing(open, &at, f.delayOf(open, t))
		now.steady = now.steady && !stands.ofNow
		now.each = append(now.each, stands)
	}
	return now, at.stay
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
	return keep(l, func(k *kept) *keptPart[aheadOf, []AheadItem] { return &k.ahead }, of, func() []AheadItem { return ListAhead(s) })
}
