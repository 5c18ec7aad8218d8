package drill

import (
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/pattern"
)

// Outcome is what became of an answer.
type Outcome string

// The outcomes.
const (
	Right      Outcome = "right"
	Wrong      Outcome = "wrong"
	NotKnown   Outcome = "not known"  // nothing was written: the worked answer is wanted
	Unreadable Outcome = "unreadable" // not counted: it can be written again
)

// Counts reports whether the outcome is a try.
func (o Outcome) Counts() bool { return o != Unreadable }

// Verdict is what is to be said of an answer.
type Verdict struct {
	Outcome Outcome       `json:"outcome"`
	Text    string        `json:"text"`              // as it was written
	Read    string        `json:"read,omitempty"`    // as it was understood
	Answer  string        `json:"answer"`            // the right answer nearest to it
	By      string        `json:"by,omitempty"`      // which way of reckoning that one is, if there are several
	Off     string        `json:"off,omitempty"`     // how far it is from that
	Mistake *Mistake      `json:"mistake,omitempty"` // the slip that leads to it, if one is known
	Problem string        `json:"problem,omitempty"` // why it cannot be read
	Took    time.Duration `json:"-"`
}

// slack keeps an answer on the edge of its tolerance right in spite of binary fractions.
const slack = 1e-9

// Mark reads an answer and says what it is worth.
func (e Exercise) Mark(text string, took time.Duration) Verdict {
	v := Verdict{Text: text, Took: took, Answer: e.Say(e.Answers[0].Reply), By: e.Answers[0].By}
	if strings.TrimSpace(text) == "" {
		v.Outcome = NotKnown
		return v
	}
	reply, err := e.Form.Parse(text)
	if err != nil {
		v.Outcome, v.Problem = Unreadable, err.Error()
		return v
	}
	answer := e.nearestAnswer(reply)
	v.Read, v.Answer, v.By = e.Say(reply), e.Say(answer.Reply), answer.By
	if e.isRight(reply) {
		v.Outcome = Right
		if mistake, known := nearest(e.Hidden, reply, e.Form, e.place()); known && !e.isAnswer(reply) && !rounds(text, answer.Value) {
			v.Mistake = &mistake
		}
		return v
	}
	v.Outcome, v.Off = Wrong, e.Form.off(reply, answer.Reply)
	if rounds(text, answer.Value) {
		return v
	}
	if mistake, known := nearest(e.Mistakes, reply, e.Form, max(e.Tolerance.By, e.place())); known {
		v.Mistake = &mistake
	}
	return v
}

func (e Exercise) isRight(r Reply) bool {
	if limit := e.Tolerance.Limit; limit != nil && math.Remainder(r.Value-*limit, minutesPerDay) > slack {
		return false
	}
	return e.Form.Apart(r, e.nearestAnswer(r).Reply) <= e.Tolerance.By+slack
}

// isAnswer reports whether a reply is an answer to the place that it is said with.
func (e Exercise) isAnswer(r Reply) bool {
	return e.Say(r) == e.Say(e.nearestAnswer(r).Reply) || e.Form.Apart(r, e.nearestAnswer(r).Reply) <= e.place()
}

// place is half of the last place that an answer is said with.
func (e Exercise) place() float64 {
	switch e.Form.Kind {
	case Span, TimeOfDay:
		return 0.5/60 + slack
	case Number:
		return 0.5*math.Pow(10, -float64(e.Form.Decimals)) + slack
	case Choice:
		return 0
	}
	return 0.5 + slack
}

var decimalTime = pattern.Of(`^\s*\d*[.,](\d+) ?(h|m|$)`)

// rounds reports whether a length of time in tenths of its unit, "1.1 h", is the answer, in minutes, rounded to that place. That is a way
// to say it and no slip.
func rounds(text string, answerMinutes float64) bool {
	parts := decimalTime().FindStringSubmatch(strings.ToLower(text))
	if parts == nil {
		return false
	}
	unit := 1.0
	if parts[2] == "h" {
		unit = 60
	}
	said, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimRight(strings.TrimSpace(strings.ToLower(text)), "hmin rsoue"), ",", "."), 64)
	return err == nil && math.Abs(said*unit-answerMinutes) <= 0.5*unit*math.Pow(10, -float64(len(parts[1])))+slack
}

func (e Exercise) nearestAnswer(r Reply) Answer {
	best := e.Answers[0]
	for _, answer := range e.Answers[1:] {
		if e.Form.Apart(r, answer.Reply) < e.Form.Apart(r, best.Reply) {
			best = answer
		}
	}
	return best
}

// nearest finds the mistake nearest to a reply, within a reach.
func nearest(mistakes []Mistake, r Reply, form Form, reach float64) (best Mistake, known bool) {
	least := math.Inf(1)
	for _, mistake := range mistakes {
		if by := form.Apart(r, mistake.Reply); by < least && by <= reach+slack {
			best, known, least = mistake, true, by
		}
	}
	return best, known
}
