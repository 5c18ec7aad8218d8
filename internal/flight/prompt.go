package flight

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// task is what a prompt asks for, whenever that is. It is never changed, and shared by all queues in which it stands.
type task struct {
	ID     string
	Kind   PromptKind
	Text   string
	Detail []string
	Number *PromptNumber
	Answer Answer
	// lead is how long before its due time it may well be done; nil: from when it is announced.
	lead  *time.Duration
	step  *sheet.RadioStep // of a tune prompt
	order int              // among prompts of a kind that are due together
	round string           // the check that it repeats; empty for one that does not repeat
	count int              // of its round, from 1
}

// newTask is a task whose answer is "done" where none is given.
func newTask(t task) *task {
	if t.Answer.Act == "" {
		t.Answer = Answer{Act: Done, Prompt: t.ID}
	}
	if t.Detail == nil {
		t.Detail = []string{}
	}
	return &t
}

// pending is an open prompt as it was made when the last event was folded. What depends on the moment is put in by promptsAt.
type pending struct {
	*task
	due  time.Time // as nothing delays it
	late time.Time // the same; the zero time: never, or found when somebody looks
	// at is the place ahead whose time the prompt's due time moves with; nil: the due time is fixed.
	at *place
	// over is the point ahead at whose passing it is asked for; nil: it is due at a time.
	over *place
	// outlook says of a turn how sure its time is, and so when it is late, which is found when somebody looks; nil for other prompts.
	outlook *outlook
	told    *values.Found[words] // what it says, of kinds whose words are found when they are read; else nil
	change  int                  // of tank, by its place in the schedule
	// again says that the prompt follows another of its kind that is to be answered first: until then it is shown as coming.
	again bool
	// passing says that it is asked for at the passing of a point: until that is logged it is to come, however overdue the point is.
	passing bool
}

// prompts is the queue of what is to be done, and what became of it.
type prompts struct {
	made     []pending
	were     queueBefore            // the event being folded
	learnt   learnt                 // of the last event that was folded
	earliest values.Book[time.Time] // that a prompt may be due: what it hangs on was learnt then
	answered values.List[Prompt]    // oldest first
	closed   values.Book[bool]
	snoozed  values.Book[time.Time] // until; zero: no more
	opened   values.Book[time.Time] // due times of prompts that the way ahead no longer tells
	rounds   values.Book[round]     // repeating checks, by name
	passedAt values.Book[time.Time]
	confirm  confirmation
	report   reportDue
	worded   *values.Finds[wording, *task] // of radio steps, turns and the last descent, at the altimeter setting
	// answeredStep is the radio step of the prompt that the event being folded answers.
	answeredStep *sheet.RadioStep
}

// confirmation is asked for a minute after a tank change.
type confirmation struct {
	number int
	at     time.Time
	tank   string
	from   string
}

// reportDue is a position report to be made after a passing.
type reportDue struct {
	point string
	at    time.Time
	next  bool // a route point was passed, not a checkpoint
}

// How long before a prompt is due it is announced, and how long after it is late. Common practice, no source.
const (
	announceEarly = 2 * time.Minute // what needs preparing
	announce      = time.Minute
	soon          = 2 * time.Minute
	patient       = 5 * time.Minute
)

// patience is how long after its due time a kind of prompt is late; 0: never.
func (k PromptKind) patience() time.Duration {
	switch k {
	case PromptTurn:
		return time.Minute
	case PromptTune, PromptIdentify, PromptConfirm, PromptDescent:
		return soon
	case PromptTank, PromptCheck, PromptGyro, PromptQNH, PromptReport, PromptContact:
		return patient
	}
	return 0
}

// lead is how long before its due time a kind of prompt is announced.
func (k PromptKind) lead() time.Duration {
	switch k {
	case PromptAct, PromptTurn, PromptTank, PromptDescent, PromptLevel, PromptContact:
		return announceEarly
	}
	return announce
}

// priority is the order of prompts that are due at the same moment: flying first, then navigating, then talking.
var priority = []PromptKind{
	PromptAct, PromptTurn, PromptLevel, PromptDescent, PromptTank, PromptConfirm, PromptTune, PromptIdentify, PromptQNH, PromptGyro,
	PromptCheck, PromptContact, PromptReport,
}

// consequence is the order of prompts that are late, by what follows from leaving them: an engine that stops, a way that leads away, a
// height that is not lost in time; then what is not known, then what is not said. Common practice, no source.
var consequence = []PromptKind{
	PromptTank, PromptTurn, PromptDescent, PromptLevel, PromptConfirm, PromptAct, PromptTune, PromptIdentify, PromptQNH, PromptGyro,
	PromptCheck, PromptContact, PromptReport,
}

// answer closes the prompts that an event answers, before the event is folded: soonest first, one of each kind, and what an ATIS asks for with
// any other. It reports whether there are any; they stand in the queue until that is made anew, or they are dropped.
func (f *fold) answer(e *Event, r *row) bool {
	q := &f.prompts
	q.answeredStep = nil
	if r.answers == nil || e.Act == TankChange && !f.tanks.IsChange(f.system().TankIndex(e.Tank)) {
		return false
	}
	var asked []*pending
	for i := range q.made {
		if open := &q.made[i]; r.answers(e, open.task) {
			asked = append(asked, open)
		}
	}
	if len(asked) == 0 {
		return false
	}
	slices.SortStableFunc(asked, func(a, b *pending) int { return a.due.Compare(b.due) })
	closed := map[PromptKind]bool{}
	named := slices.IndexFunc(asked, func(open *pending) bool { return open.ID == e.Prompt && open.Kind == PromptTune })
	if set, tuned := f.told.receivers.Find(e.Receiver); e.Act == Identified && tuned && set.beacon.Ident == e.Beacon {
		closed[PromptTune] = true // it is tuned: a tune prompt ahead is for another course
	}
	for i, open := range asked {
		one := open.Kind != PromptTune || i > named // a course that is set on a beacon says that it is tuned
		if closed[open.Kind] && one && !strings.HasPrefix(open.ID, broadcastPrompt) {
			continue
		}
		closed[open.Kind] = true
		f.close(open, e)
	}
	return true
}

// dropClosed takes what is closed off the queue.
func (q *prompts) dropClosed() {
	q.made = slices.DeleteFunc(slices.Clone(q.made), func(open pending) bool { return q.closed.Has(open.ID) })
}

// close notes what became of an answered prompt.
func (f *fold) close(open *pending, e *Event) {
	q := &f.prompts
	prompt := f.prompt(open, f.delayOf(open, e.T))
	at := e.T
	prompt.Answered, prompt.State = &at, PromptDone
	f.reportAsOf(&prompt, at)
	if e.Act == Skipped {
		prompt.State = PromptSkipped
	}
	q.answered = q.answered.With(prompt)
	q.closed = q.closed.With(prompt.ID, true)
	if q.snoozed.Has(prompt.ID) {
		q.snoozed = q.snoozed.With(prompt.ID, time.Time{})
	}
	if e.Act == Skipped && open.Kind == PromptTank && !open.again { // the flight goes on needing one
		f.told.tankSkipped = at
		f.planTanks(at)
	}
	if open.step != nil {
		q.answeredStep = open.step
	}
	if prompt.Kind == PromptReport && e.Act == Done {
		if eta, ok := f.eta(f.endOfLeg(), e.T); ok {
			f.told.reported = estimate{f.legs[f.leg].line().To.Ident, eta}
		}
	}
	if open.round != "" { // which may be a later one: the one before it was missed if it was due
		for i := range q.made {
			other := &q.made[i]
			if due := f.dueAt(other, e.T); other.round == open.round && other.count < open.count && !due.After(e.T) {
				q.miss(other, due)
			}
		}
		q.rounds = q.rounds.With(open.round, round{count: open.count, last: e.T})
	}
}

func (f *fold) foldSnoozed(e Event) bool {
	const usual = 2 * time.Minute
	length := usual
	if e.Minutes != nil {
		length = minutes(*e.Minutes)
	}
	f.prompts.snoozed = f.prompts.snoozed.With(e.Prompt, e.T.Add(length))
	return true
}

func (q *prompts) passed(point string, at time.Time, routePoint bool) {
	q.passedAt = q.passedAt.With(point, at)
	if routePoint {
		q.report = reportDue{point: point, at: at, next: true}
	}
}

// passedAtLatest notes when a point was passed unless that is known.
func (q *prompts) passedAtLatest(point string, at time.Time) {
	if !q.passedAt.Has(point) {
		q.passedAt = q.passedAt.With(point, at)
	}
}

// roomForPrompts is how many more prompts there may be than were, for the queue to be made in one piece.
const roomForPrompts = 4

// makePrompts makes the queue anew. A prompt that was due already keeps its due time, and none becomes due before the moment at which that
// is learnt. A repeating check that is late when the flight comes to have no more of it was missed.
func (f *fold) makePrompts(t time.Time) {
	q := &f.prompts
	before := q.made
	q.made = make([]pending, 0, len(before)+roomForPrompts)
	f.promptActs(t)
	f.promptWishedDescent(t)
	f.promptTurns()
	f.promptTunes()
	f.promptIdentify()
	f.promptTanks()
	f.promptChecks(t)
	f.promptReport()
	f.promptContacts()
	f.promptBroadcastQNH()
	queue := f.queueAt(t)
	for i := range q.made {
		open := &q.made[i]
		was, known := q.were.find(open.ID, i)
		now := queue.due(open).due
		earliest := was.due
		if earliest.After(t) {
			earliest = t
		}
		switch {
		case open.Kind == PromptTurn: // that is its ETA, whatever it is
		case !known && now.Before(t):
			open.moveTo(open.due.Add(t.Sub(now)))
		case !known:
		case !was.due.After(t) && open.at == nil && (was.fixed || open.Kind == PromptTune) && now.Sub(t) < time.Minute:
			open.moveTo(was.due)
			if open.Kind == PromptTank && !open.again { // counted from the moment at which the changes were planned again, it would never be late
				open.late = f.tanks.LateAt(was.due, patient)
			}
		case now.Before(earliest):
			open.moveTo(open.due.Add(earliest.Sub(now)))
		}
		q.notBeforeLearnt(open, i, queue.due(open).due)
	}
	for i := range before {
		open := &before[i]
		if open.round == "" || open.again {
			continue
		}
		if was, known := q.were.find(open.ID, i); known && !was.due.Add(patient).After(t) && !q.closed.Has(open.ID) && !q.asks(open.ID) {
			q.miss(open, was.due)
		}
	}
}

// learnt is when an entry became known as it is, where that was after it.
type learnt struct {
	at    time.Time
	queue queueBefore // as it was at that moment, by what stands before the entry, and by the entry as it stood until it was amended
}

// notBeforeLearnt moves a prompt, about where it stands in the queue and due at a time, that an event entered late or amended would have made due
// before anybody knew of that.
func (q *prompts) notBeforeLearnt(open *pending, about int, due time.Time) {
	if open.Kind == PromptTurn { // that is its ETA, whatever it is
		return
	}
	if l := q.learnt; !l.at.IsZero() && due.Before(l.at) {
		from := l.at
		if was, known := l.queue.find(open.ID, about); known {
			from = earliest(from, was.due)
		}
		if due.Before(from) {
			q.earliest = q.earliest.With(open.ID, from)
		}
	}
	if from, bound := q.earliest.Find(open.ID); bound && due.Before(from) {
		open.moveTo(open.due.Add(from.Sub(due)))
	}
}

// moveTo gives a prompt another due time, and is patient from there. When a tank is late follows from what is in it.
func (open *pending) moveTo(due time.Time) {
	switch {
	case open.late.IsZero():
	case open.Kind != PromptTank:
		open.late = open.late.Add(due.Sub(open.due))
	default: // not before it is due
		open.late = latest(open.late, due)
	}
	open.due = due
}

// queueBefore is the queue just before an event, and by how much its times were delayed then.
type queueBefore struct {
	at    time.Time
	made  []pending
	leg   int           // on this nothing is delayed; -1: no such leg
	delay time.Duration // elsewhere
}

// wasDue is when a prompt was due, and whether that moved with the flight.
type wasDue struct {
	due   time.Time
	fixed bool
}

func (f *fold) queueAt(t time.Time) queueBefore {
	q := queueBefore{at: t, made: f.prompts.made, leg: -1, delay: f.delay(t)}
	if f.flying() && f.holding.IsZero() {
		q.leg = f.leg
	}
	return q
}

func (q *queueBefore) due(open *pending) wasDue {
	due := open.due
	switch {
	case open.at == nil:
		return wasDue{due, true}
	case open.at.leg != q.leg:
		due = due.Add(q.delay)
	}
	if open.passing { // that has not been logged
		due = latest(due, q.at)
	}
	return wasDue{due, false}
}

// find looks for a prompt by its name, beginning where it is most likely: about where it stands in the queue that was made anew. A change of tank that
// was due, but behind another, nobody knew of.
func (q *queueBefore) find(id string, about int) (was wasDue, known bool) {
	n := len(q.made)
	for i := range n {
		if open := &q.made[(about+i)%n]; open.ID == id {
			was = q.due(open)
			return was, open.Kind != PromptTank || !open.again || was.due.After(q.at)
		}
	}
	return was, false
}

// keepOpened notes the due times of what the way ahead will no longer tell once an act is folded and the way reckoned anew: a height
// climbed through, the top of the descent. It goes by the flight as it was before the act.
func (f *fold) keepOpened(t time.Time) {
	for i := range f.prompts.made {
		open := &f.prompts.made[i]
		if (open.Kind == PromptCheck || open.Kind == PromptDescent) && open.at != nil && !open.again && !open.passing {
			if due := f.prompts.were.due(open).due; !due.After(t) && !f.prompts.opened.At(open.ID).Equal(due) {
				f.prompts.opened = f.prompts.opened.With(open.ID, due)
			}
		}
	}
}

// add puts a prompt into the queue unless it has been answered.
func (f *fold) add(open pending) {
	q := &f.prompts
	if q.closed.Has(open.ID) {
		return
	}
	if open.passing {
		open.over = open.at
	}
	if due, kept := q.opened.Find(open.ID); kept && open.at != nil {
		open.due, open.at = due, nil
	}
	open.bePatient()
	q.made = append(q.made, open)
}

// bePatient makes a prompt late as all of its kind are, where that is not said of it.
func (open *pending) bePatient() {
	if wait := open.Kind.patience(); open.late.IsZero() && wait > 0 {
		open.late = open.due.Add(wait)
	}
}

// makePromptList is the queue at a moment.
func (f *fold) makePromptList(t time.Time) []Prompt {
	const mostAnswered = 40
	q := &f.prompts
	answered := min(q.answered.Len(), mostAnswered)
	list := f.openAt(t, answered)
	for i := range answered {
		list = append(list, q.answered.All()[q.answered.Len()-1-i])
	}
	return list
}

// openAt are the open prompts at a moment, those in some states or all, in order: what is late by its consequence, a tank that is over a
// limit before all; then what is due and to come, soonest first, then flying before talking. The list has
// room for some more. What is put in order is light, as a prompt is large to move about.
func (f *fold) openAt(t time.Time, more int, states ...PromptState) []Prompt {
	type shown struct {
		open  *pending
		delay time.Duration
		stands
		late int // by consequence, the worst first; all that is not late comes after
	}
	q := &f.prompts
	order := make([]shown, 0, len(q.made))
	for i := range q.made {
		one := shown{open: &q.made[i], late: len(consequence)}
		one.delay = f.delayOf(one.open, t)
		one.stands = q.standing(one.open, &moment{t: t}, one.delay)
		if one.open.waits(one.stands) || len(states) > 0 && !slices.Contains(states, one.state) {
			continue
		}
		if one.state == Late {
			one.late = slices.Index(consequence, one.open.Kind)
		}
		order = append(order, one)
	}
	slices.SortStableFunc(order, func(a, b shown) int {
		return cmp.Or(cmp.Compare(a.late, b.late), a.due.Compare(b.due),
			cmp.Compare(slices.Index(priority, a.open.Kind), slices.Index(priority, b.open.Kind)), cmp.Compare(a.open.order, b.open.order), cmp.Compare(a.open.ID, b.open.ID))
	})
	list := make([]Prompt, len(order), len(order)+more)
	for i := range order {
		one, prompt := &order[i], &list[i]
		*prompt = f.prompt(one.open, one.delay)
		prompt.Due, prompt.State, prompt.Announce, prompt.Snoozed, prompt.Hasty = one.due, one.state, one.announce, one.snoozed, one.hasty
		if prompt.over != nil {
			prompt.Over = f.nameAt(*prompt.over)
		}
		if one.ofNow {
			switch prompt.Kind {
			case PromptDescent:
				f.steeper(prompt, t)
			case PromptTank:
				f.tankAsOfNow(prompt, t)
			case PromptTune:
				f.tuneAsOfNow(prompt, one.open.step, t)
			}
		}
		f.reportAsOf(prompt, t)
	}
	return list
}

// nameAt is the name of a point on the legs.
func (f *flown) nameAt(at place) string {
	line := f.legs[at.leg].line()
	for _, checkpoint := range line.Checkpoints {
		if checkpoint.AfterNM == at.afterNM {
			return checkpoint.Name
		}
	}
	return line.To.Ident
}

// prompt is an open prompt as it is shown or closed, its times moved by a delay.
func (f *fold) prompt(open *pending, delay time.Duration) Prompt {
	prompt := open.delayed(delay)
	if open.told != nil {
		told := open.told.Get(func() words { return f.wordsOf(open) })
		prompt.Text, prompt.Number = told.text, told.number
		if told.detail != nil {
			prompt.Detail = told.detail
		}
	}
	return prompt
}

// wordsOf are the words of a kind of prompt whose words are found when they are read: they hang on the way ahead and on the schedule of the tanks
// alone, and with these the queue is made anew.
func (f *fold) wordsOf(open *pending) words {
	switch open.Kind {
	case PromptTurn:
		return f.turnWords(open.at.leg)
	case PromptLevel:
		return f.levelWords(open.at.leg)
	}
	return f.tankWords(open.change)
}

// delayed is a prompt with its times moved by a delay, to the whole second.
func (open *pending) delayed(delay time.Duration) Prompt {
	prompt := Prompt{
		ID: open.ID, Kind: open.Kind, Text: open.Text, Detail: open.Detail, Number: open.Number, Answer: open.Answer, Due: shown(open.due.Add(delay)), over: open.over,
	}
	if late := open.lateAt(); !late.IsZero() {
		prompt.LateAt = ref(shown(late.Add(delay)))
	}
	return prompt
}

// isLate reports whether a prompt is late at a moment. How sure its time is is asked only where it may be.
func (open *pending) isLate(m *moment, delay time.Duration) bool {
	if open.outlook != nil && m.compare(shown(open.due.Add(PromptTurn.patience()+delay))) < 0 {
		return false
	}
	late := open.lateAt()
	return !late.IsZero() && m.compare(shown(late.Add(delay))) >= 0
}

// lateAt is when a prompt is late as nothing delays it; the zero time: never.
func (open *pending) lateAt() time.Time {
	if open.outlook != nil {
		unsure := time.Duration(2 * open.outlook.sigmaMinutes(*open.at) * float64(time.Minute))
		return open.due.Add(max(PromptTurn.patience(), unsure))
	}
	return open.late
}

// stands is how a prompt stands at a moment, which its place in the queue and what it says follow from.
type stands struct {
	due      time.Time // as it is shown
	state    PromptState
	announce bool
	snoozed  bool
	hasty    bool
	ofNow    bool // it says what is so at the moment
}

// waits reports whether a prompt that stands so is not shown, as one before it is to be answered first.
func (open *pending) waits(s stands) bool { return open.again && s.state != Coming }

// standing is how an open prompt stands at a moment, its times moved by a delay.
func (q *prompts) standing(open *pending, m *moment, delay time.Duration) stands {
	s := stands{due: shown(open.due.Add(delay)), state: Coming}
	if until := q.snoozed.At(open.ID); until.After(s.due) && m.compare(until) < 0 {
		s.due, s.snoozed = until, true
	}
	lead := open.Kind.lead()
	came := m.compare(open.due.Add(delay)) > 0 // asked of all, as the delay of one that waits for a passing grows from then on
	waits := open.passing || delay > 0 && !came
	switch {
	case waits:
	case !s.snoozed && open.isLate(m, delay):
		s.state = Late
	case m.compare(s.due) >= 0:
		s.state = Due
	}
	s.announce = s.state == Coming && m.compare(s.due.Add(-lead)) >= 0
	if open.lead != nil {
		lead = *open.lead
	}
	s.hasty = s.state == Coming && m.compare(open.due.Add(delay-lead)) < 0
	s.ofNow = open.Kind.ofNow(s.state) || open.Kind == PromptTank && s.snoozed && came
	return s
}

// Closed lists every prompt of the flight until a moment that was answered, skipped or missed, the earliest first.
func (s *State) Closed(t time.Time) []Prompt {
	return s.looking(t).withRounds(t).prompts.answered.All()
}

// sortedNames are the keys of a map in order.
func sortedNames[V any](m map[string]V) []string {
	if len(m) == 0 {
		return nil
	}
	return slices.Sorted(maps.Keys(m))
}
