// Package replay stands below the screens while a journal is played back: the time-line of the whole flight with its entries on it,
// what turned out of the moment shown, and the keys that play, step and jump.
//
// It knows no files and no journal: moments, words and a place for remarks are handed in. It changes nothing but the clock, through the
// root, and which of two views the flight is shown in.
package replay

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Kind says what a moment is.
type Kind string

// The kinds of moment, each with keys that step to it.
const (
	Entry   Kind = "entry"
	Passing Kind = "passing"
	Prompt  Kind = "prompt"
	Mistake Kind = "mistake"
	Remark  Kind = "remark"
	Lesson  Kind = "lesson"
)

// Question is a moment at which something was to be done, and what that was.
type Question struct {
	At     time.Time
	Answer []string
}

// Moment is something on the time-line.
type Moment struct {
	At   time.Time
	Kind Kind
	Mark string // one character, for an entry
	Text string
}

// Words are something said of a moment, and the same in short.
type Words struct{ Long, Short string }

// Flight is what is replayed.
type Flight interface {
	// Ends are the first and the last moment.
	Ends() (from, to time.Time)
	// Moments are all that there are, by time.
	Moments() []Moment
	// Hindsight reports whether the screens show what is known now instead of what was known then; ToggleHindsight changes that.
	Hindsight() bool
	ToggleHindsight()
	// Turned is what turned out of a moment as it is shown, the most telling first.
	Turned(s flight.Snapshot) []Words
	// Questions are the moments at which something was to be done, by time. Cover hides from the screens what is to be done, or shows it.
	Questions() []Question
	Cover(covered bool)
	// Remark keeps a remark about a moment.
	Remark(at time.Time, text string) error
}

// Line is the time-line. It holds nothing of the flight but where it was last.
type Line struct {
	flight Flight
	clock  Clock
	keys   keys.Replay
	by     int // what the arrows step by, of steps
	// stood is the moment that was stepped to last, by its index: several moments can be of one time, and the clock may count coarser than
	// they do, so that the time alone does not tell which was shown. It counts while the clock is at stoodAt; -1: none.
	stood   int
	stoodAt time.Time
	// asking holds the clock at each question, with what was to be done hidden until it is asked for.
	asking bool
	asked  int // how many questions have been put, counted from the flight's start
	open   bool
	told   bool // the open one's answer is shown
}

// steps are what the arrows can step by.
var steps = []struct {
	name  string
	kinds []Kind
}{
	{"entry", []Kind{Entry, Passing}},
	{"passing", []Kind{Passing}},
	{"prompt", []Kind{Prompt}},
	{"mistake", []Kind{Mistake}},
	{"remark", []Kind{Remark}},
	{"lesson", []Kind{Lesson}},
	{"minute", nil},
}

// Clock is the replay's own.
type Clock interface{ Now() time.Time }

// New returns the time-line of a flight.
func New(f Flight, clock Clock) *Line {
	return &Line{flight: f, clock: clock, stood: -1, keys: keys.NewReplay()}
}

// Keys are the keys that play, step and jump.
func (l *Line) Keys(flight.Snapshot) []key.Binding {
	return l.keys.All()
}

// Press answers one of them.
func (l *Line) Press(msg tea.KeyMsg, s flight.Snapshot) (intents []screen.Intent, known bool) {
	is := func(b key.Binding) bool { return key.Matches(msg, b) }
	switch {
	case is(l.keys.Play):
		return l.play(s), true
	case is(l.keys.Next):
		return l.step(s.At, 1), true
	case is(l.keys.Before):
		return l.step(s.At, -1), true
	case is(l.keys.StepBy):
		return l.choose(1), true
	case is(l.keys.StepByBack):
		return l.choose(-1), true
	case is(l.keys.Ask):
		return l.Ask(s), true
	case is(l.keys.Jump):
		return l.askTime(), true
	case is(l.keys.Remark):
		return l.askRemark(s.At), true
	case is(l.keys.Hindsight):
		l.flight.ToggleHindsight()
		return append(set(s.At), screen.Say{Text: "shown: " + l.viewWords()}), true
	}
	return nil, false
}

// choose changes what the arrows step by.
func (l *Line) choose(by int) []screen.Intent {
	l.by = (l.by + by + len(steps)) % len(steps)
	return []screen.Intent{screen.Say{Text: "the arrows step by " + steps[l.by].name}}
}

// set puts the clock to a time.
func set(at time.Time) []screen.Intent {
	return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Clock, Set: &at}}}
}

// play runs or halts the clock; at the end it begins anew.
func (l *Line) play(s flight.Snapshot) []screen.Intent {
	from, to := l.flight.Ends()
	l.open = false
	l.cover(l.asking)
	paused := !s.Clock.Paused
	event := flight.Event{Act: flight.Clock, Paused: &paused}
	if !paused && !s.At.Before(to) {
		event.Set = &from
		l.askFrom(from)
	}
	return []screen.Intent{screen.Record{Event: event}}
}

// step goes to the next moment of the kind chosen, and says what it is. Every one is visited, also those of one time.
func (l *Line) step(now time.Time, by int) []screen.Intent {
	if l.asking {
		return l.stepQuestion(now, by)
	}
	moments := l.flight.Moments()
	from, to := l.flight.Ends()
	chosen := steps[l.by]
	if chosen.kinds == nil {
		return set(bounded(now.Add(time.Duration(by)*time.Minute), from, to))
	}
	found := l.place(moments, now, by)
	for found >= 0 && found < len(moments) && !slices.Contains(chosen.kinds, moments[found].Kind) {
		found += by
	}
	if found < 0 || found >= len(moments) {
		return []screen.Intent{screen.Say{Text: "no " + chosen.name + map[bool]string{true: " after this", false: " before this"}[by > 0]}}
	}
	m := moments[found]
	l.stood, l.stoodAt = found, bounded(m.At, from, to)
	return append(set(l.stoodAt), screen.Say{Text: say.Time(m.At) + " " + m.Text})
}

// place is the index of the moment from which a step looks on: beside the one stood on, or by the time where the clock has left it.
func (l *Line) place(moments []Moment, now time.Time, by int) int {
	if l.stands(now) && l.stood < len(moments) {
		return l.stood + by
	}
	from, to := l.flight.Ends()
	after := sort.Search(len(moments), func(i int) bool { return bounded(moments[i].At, from, to).After(now) })
	if by > 0 {
		return after
	}
	for after > 0 && !bounded(moments[after-1].At, from, to).Before(now) {
		after--
	}
	return after - 1
}

// stands reports whether the clock is still, to what it counts in, where the last step set it.
func (l *Line) stands(now time.Time) bool {
	return l.stood >= 0 && now.Sub(l.stoodAt).Abs() < time.Second
}

func (l *Line) askTime() []screen.Intent {
	return []screen.Intent{screen.Ask{Label: "jump to 10:42 or 10:42:30", Accept: "jump there", Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
		at, err := when(line, s.At)
		if err != nil {
			return nil, err
		}
		from, to := l.flight.Ends()
		at = bounded(at, from, to)
		l.askFrom(at)
		return set(at), nil
	}}}
}

func bounded(at, from, to time.Time) time.Time {
	if at.Before(from) {
		return from
	}
	if at.After(to) {
		return to
	}
	return at
}

// askRemark asks for words and keeps them.
func (l *Line) askRemark(at time.Time) []screen.Intent {
	return []screen.Intent{screen.Ask{Label: "remark at " + say.Time(at), Accept: "keep it", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		before := l.flight.Moments()
		if err := l.flight.Remark(at, strings.TrimSpace(line)); err != nil {
			return nil, err
		}
		// The moments from the remark on have moved up by one.
		if kept := l.flight.Moments(); l.stands(at) && len(kept) > len(before) && l.stood < len(before) && kept[l.stood] != before[l.stood] {
			l.stood++
		}
		return []screen.Intent{screen.Say{Text: "kept: a remark at " + say.Time(at)}}, nil
	}}}
}

// Tick stops the clock at the flight's end, and at the next question.
func (l *Line) Tick(s flight.Snapshot) []screen.Intent {
	_, to := l.flight.Ends()
	if l.asking && !s.Clock.Paused {
		if questions := l.flight.Questions(); l.asked < len(questions) && !l.clock.Now().Before(questions[l.asked].At) {
			return l.put(l.asked)
		}
	}
	if s.Clock.Paused || l.clock.Now().Before(to) {
		return nil
	}
	return halt(to)
}

// halt puts the clock to a time and stops it.
func halt(at time.Time) []screen.Intent {
	paused := true
	return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Clock, Set: &at, Paused: &paused}}}
}

func (l *Line) viewWords() string {
	if l.flight.Hindsight() {
		return "HINDSIGHT, what is known now"
	}
	return "what was known then"
}

// Ask begins to ask "what now?", tells the answer to a question that is open, and else ends it.
func (l *Line) Ask(s flight.Snapshot) []screen.Intent {
	switch {
	case !l.asking:
		l.asking = true
		l.askFrom(s.At)
		return append(set(s.At), screen.Say{Text: "what now? It stops where something was to be done; the arrows go from one to the next"})
	case l.open && !l.told:
		l.cover(false)
		return append(set(s.At), screen.Say{Text: "this was to be done; space goes on"})
	}
	l.asking, l.open = false, false
	l.cover(false)
	return append(set(s.At), screen.Say{Text: "it asks nothing from now on"})
}

// askFrom has the questions go on from a moment, with one that is of that moment, where any are asked.
func (l *Line) askFrom(at time.Time) {
	if !l.asking {
		return
	}
	l.asked, l.open = l.questionsBy(at.Add(-time.Second)), false
	l.cover(true)
}

// cover hides what is to be done, or shows it.
func (l *Line) cover(covered bool) {
	l.told = !covered
	l.flight.Cover(covered)
}

// questionsBy is how many questions there are until a moment.
func (l *Line) questionsBy(at time.Time) int {
	questions := l.flight.Questions()
	return sort.Search(len(questions), func(i int) bool { return questions[i].At.After(at) })
}

// put puts a question: the clock stands at its moment.
func (l *Line) put(n int) []screen.Intent {
	l.asked, l.open = n+1, true
	l.cover(true)
	at := l.flight.Questions()[n].At
	return append(halt(at), screen.Say{Text: say.Time(at) + " what now?"})
}

// stepQuestion goes to the next question, or back to the one before.
func (l *Line) stepQuestion(now time.Time, by int) []screen.Intent {
	n := l.questionsBy(now)
	if by < 0 {
		n--
		if l.open {
			n = l.asked - 2
		}
	} else if l.open {
		n = l.asked
	}
	if n < 0 || n >= len(l.flight.Questions()) {
		return []screen.Intent{screen.Say{Text: map[bool]string{true: "no question after this", false: "no question before this"}[by > 0]}}
	}
	return l.put(n)
}

// askRows stand in the place of what turned out: the question, and when it is told its answer, on as many rows.
func (l *Line) askRows(width, rows int, t theme.Theme) []string {
	questions := l.flight.Questions()
	label, role, texts := "WHAT NOW?", t.NextAct, []string{fmt.Sprintf("next at question %d of %d, where something was to be done", l.asked+1, len(questions))}
	switch {
	case !l.open && l.asked == len(questions):
		texts = []string{"no question after this"}
	case l.open && l.told:
		label, role, texts = "TO BE DONE", t.Label, questions[l.asked-1].Answer
	case l.open:
		texts = []string{fmt.Sprintf("question %d of %d: a shows it, e keeps what was said, space goes on", l.asked, len(questions))}
	}
	drawn := make([]string, rows)
	const x = 13
	for i := range drawn {
		s := frame.NewStrip(width)
		if i == 0 {
			s.Put(1, label, role)
		}
		if i == rows-1 && i < len(texts) {
			texts[i] = strings.Join(texts[i:], "; ")
		}
		if i < len(texts) {
			room, text := max(width-x-1, 0), frame.Clean(texts[i])
			if !l.told || !l.open {
				text = frame.Clauses(text, room)
			}
			s.Put(x, frame.Shorten(text, room), t.Value)
		}
		drawn[i] = s.Row()
	}
	return drawn
}
