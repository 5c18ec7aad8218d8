package flight

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/values"
)

// repeating is a check that is asked for again and again in cruise: so many minutes after the top of the climb, and after each answer. One
// that is not answered before it is due again was missed, and the next counts from when it was due.
type repeating struct {
	key    string // its name, by which it is told from others of the same
	text   string
	detail []string
	kind   PromptKind
	every  time.Duration
	offset time.Duration // of the first
	rounds *values.Finds[int, *task]
}

// round is where a repeating check stands.
type round struct {
	count int       // answered, skipped or missed
	last  time.Time // answered, or due where it was missed
}

// repeatsShown is how many rounds of a check are in the queue.
const repeatsShown = 4

// namesMet is how often each name was met.
type namesMet map[string]int

// key tells a name from the same one met before: "cruise check", "cruise check #2".
func (n namesMet) key(name string) string {
	if n[name]++; n[name] > 1 {
		return fmt.Sprintf("%s #%d", name, n[name])
	}
	return name
}

// onceChecked is a check of the plan that is asked for once, at a height or at a point.
type onceChecked struct {
	plan.Check
	task *task
}

// checksOf are the checks that are asked for: those of a plan or, where it lists none at all, the usual ones, which all repeat.
func checksOf(p *plan.Plan) (once []onceChecked, repeats []repeating) {
	if len(p.Checks) == 0 {
		every := time.Duration(defaultEvery) * time.Minute
		return nil, []repeating{
			{defaultCruiseCheck, defaultCruiseCheck, []string{"fuel, radio, engine, altimeter"}, PromptCheck, every, 0, &values.Finds[int, *task]{}},
			{defaultGyro, defaultGyro, []string{"steady and level"}, PromptGyro, every, -gyroOffset, &values.Finds[int, *task]{}},
		}
	}
	seen := namesMet{}
	for _, check := range p.Checks {
		key, detail := seen.key(check.Name), []string(nil)
		if check.Text != "" {
			detail = []string{check.Text}
		}
		if check.EveryMinutes != nil {
			repeats = append(repeats, repeating{key, check.Name, detail, PromptCheck, minutes(*check.EveryMinutes), 0, &values.Finds[int, *task]{}})
		} else {
			once = append(once, onceChecked{check, newTask(task{ID: "check-" + key, Kind: PromptCheck, Text: check.Name, Detail: detail})})
		}
	}
	return once, repeats
}

// repeat asks for the next rounds of a check.
func (f *fold) repeat(check *repeating, t time.Time) {
	start, at, until, asked := f.checked(t)
	if !asked {
		return
	}
	state := f.prompts.rounds.At(check.key)
	due := start.Add(check.every).Add(check.offset)
	if state.count > 0 {
		due, at = state.last.Add(check.every), nil
	}
	for k := range repeatsShown {
		if !until.IsZero() && due.After(until) {
			return
		}
		number := state.count + 1 + k
		f.add(pending{task: check.task(number), due: due, at: at, again: k > 0})
		due = due.Add(check.every)
	}
}

// checked is the part of the flight in which checks are repeated, as it looks at a moment: cruise, from its start, which moves with the time at
// a place ahead, until its end, the zero time where none is known; asked is false where no check is asked for any more.
func (f *fold) checked(t time.Time) (start time.Time, at *place, until time.Time, asked bool) {
	if f.complete || !f.descended.IsZero() {
		return start, nil, until, false
	}
	if n, ok := f.here(t); ok && n.descending {
		return start, nil, until, false
	}
	start, at = f.cruiseStart()
	return start, at, f.cruiseEnd(t), !start.IsZero()
}

// task is a round.
func (c *repeating) task(number int) *task {
	return c.rounds.Get(number, func() *task {
		return newTask(task{ID: "check-" + c.key + "-" + strconv.Itoa(number), Kind: c.kind, Text: c.text, Detail: c.detail, round: c.key, count: number})
	})
}

// withRounds is the flight with the rounds missed that nobody answered until the next was due, up to a moment; itself where there are none.
// What it comes to is kept for whoever asks about that moment again.
func (f *fold) withRounds(t time.Time) *fold {
	if queue := f.queueAt(t); !queue.missesRound() {
		return f
	}
	later := *f
	later.prompts = keep(f.lookAt(t), func(k *kept) *keptPart[time.Time, prompts] { return &k.rounds }, t, func() prompts {
		missing := *f
		missing.missRounds(t)
		return missing.prompts
	})
	return &later
}

// missesRound reports whether a round is due that follows one which nobody answered.
func (q *queueBefore) missesRound() bool {
	for i := range q.made {
		if open := &q.made[i]; open.again && open.round != "" && !q.due(open).due.After(q.at) {
			return true
		}
	}
	return false
}

// missRounds misses all rounds of each check up to a moment, and asks for those that follow. A round is missed when the next is due, if
// there is a next.
func (f *fold) missRounds(t time.Time) {
	q := &f.prompts
	for i := range f.repeats {
		check := &f.repeats[i]
		first, due, again := f.roundMissed(check.key, t)
		if !again {
			continue
		}
		q.made = slices.DeleteFunc(slices.Clone(q.made), func(open pending) bool { return open.round == check.key })
		q.miss(&first, due)
		q.skipRounds(check, t)
		if _, _, until, asked := f.checked(t); asked {
			q.missMore(check, t, until)
		}
		f.repeat(check, t)
		for i := range q.made {
			if open := &q.made[i]; open.round == check.key && !t.Before(q.learnt.at) {
				q.notBeforeLearnt(open, i, f.dueAt(open, t))
			}
		}
	}
}

// missMore misses the rounds of a check that follow one that was missed: those after which another was due up to a moment, and in cruise.
func (q *prompts) missMore(check *repeating, t, until time.Time) {
	var missed []Prompt
	at := q.rounds.At(check.key)
	for {
		due := at.last.Add(check.every)
		if next := due.Add(check.every); next.After(t) || !until.IsZero() && next.After(until) {
			break
		}
		open := pending{task: check.task(at.count + 1), due: due}
		open.bePatient()
		missed = append(missed, open.delayed(0))
		at = round{count: at.count + 1, last: missed[len(missed)-1].Due}
	}
	q.closeMissed(check.key, at, missed)
}

// skipRounds leaves out what no flight lasts long enough for: a clock was wrong then. Of the rounds missed in a row the last count.
func (q *prompts) skipRounds(check *repeating, t time.Time) {
	const most = 200 // two days at a quarter of an hour
	at := q.rounds.At(check.key)
	if more := int(t.Sub(at.last)/check.every) - most; more > 0 {
		q.rounds = q.rounds.With(check.key, round{count: at.count + more, last: at.last.Add(time.Duration(more) * check.every)})
	}
}

// roundMissed is the round of a check that is open although the next one is due, and when it was due.
func (f *fold) roundMissed(key string, t time.Time) (missed pending, due time.Time, ok bool) {
	for i := range f.prompts.made {
		switch open := &f.prompts.made[i]; {
		case open.round != key:
		case !open.again:
			missed, due = *open, f.dueAt(open, t)
		case missed.task != nil:
			return missed, due, !f.dueAt(open, t).After(t)
		}
	}
	return missed, due, false
}

// dueAt is when a prompt is due, as it looks at a moment.
func (f *fold) dueAt(open *pending, t time.Time) time.Time {
	return open.due.Add(f.delayOf(open, t))
}

// delayOf is by how much a prompt is later than it was made; 0 where its due time is fixed.
func (f *fold) delayOf(open *pending, t time.Time) time.Duration {
	if open.at == nil {
		return 0
	}
	delay := f.delayTo(*open.at, t)
	if open.passing {
		delay = max(delay, t.Sub(open.due))
	}
	return delay
}

// miss closes a round that was due and not answered.
func (q *prompts) miss(open *pending, due time.Time) {
	prompt := open.delayed(due.Sub(open.due))
	q.closeMissed(open.round, round{count: q.rounds.At(open.round).count + 1, last: prompt.Due}, []Prompt{prompt})
}

// closeMissed closes rounds of a check, the earliest first, and notes where it stands after them.
func (q *prompts) closeMissed(key string, at round, missed []Prompt) {
	closed := make(map[string]bool, len(missed))
	for _, prompt := range missed {
		prompt.State = PromptMissed
		q.answered = q.answered.With(prompt)
		closed[prompt.ID] = true
	}
	q.closed, q.rounds = q.closed.WithAll(closed), q.rounds.With(key, at)
}

// asks reports whether a prompt is in the queue.
func (q *prompts) asks(id string) bool {
	return slices.ContainsFunc(q.made, func(open pending) bool { return open.ID == id })
}

// cruiseStart is the top of the climb: as it was, or as it is reckoned, which then moves with the times ahead.
func (f *ahead) cruiseStart() (start time.Time, at *place) {
	if !f.cruiseFrom.IsZero() {
		return f.cruiseFrom, nil
	}
	top, ok := f.outlook.topOfClimb()
	if !ok {
		return f.airborne, nil
	}
	start, _ = f.outlook.eta(top)
	return start, &top
}

// cruiseEnd is the top of the descent or, where there is none, the arrival.
func (f *ahead) cruiseEnd(t time.Time) time.Time {
	end, ok := f.outlook.topOfDescent()
	if !ok {
		end = f.destination()
	}
	at, _ := f.eta(end, t)
	return at
}
