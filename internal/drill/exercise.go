package drill

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/pattern"
)

// Exercise is one question with everything that belongs to it.
type Exercise struct {
	Topic     Topic     `json:"topic"`
	Level     Level     `json:"level"`
	Seed      uint64    `json:"seed"`
	Task      string    `json:"task"` // what of the topic is asked, in a word that stays
	Tool      Tool      `json:"tool"`
	Given     []Given   `json:"given"`
	Question  string    `json:"question"`
	Form      Form      `json:"form"`
	Answers   []Answer  `json:"answers"` // all that are right; the first is the one to show
	Tolerance Tolerance `json:"tolerance"`
	Steps     []string  `json:"steps"` // how the answer is worked out; the last of each way ends with its answer
	Mistakes  []Mistake `json:"mistakes"`
	Hidden    []Mistake `json:"hidden_mistakes,omitempty"` // slips that lead to a figure within the tolerance
}

// Given is one figure of a question, as a pilot writes it.
type Given struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// Tool is what a sum is done with.
type Tool string

// The tools.
const (
	InTheHead Tool = "in the head"
	SlideRule Tool = "with a slide rule, or in the head"
)

// Reply is an answer: a figure in the unit of its form, minutes for times. A wind has its speed beside it, and a choice is counted
// from 0.
type Reply struct {
	Value   float64 `json:"value"`
	SpeedKt float64 `json:"kt,omitempty"`
}

// Answer is a reply that is right, and by which way if there are several.
type Answer struct {
	Reply
	By string `json:"by,omitempty"` // "by the rule", "exactly"; empty where there is one way
}

// Tolerance is how far from an answer a reply is still right, in the unit of the form; for a wind in knots between the ends of the
// two vectors.
type Tolerance struct {
	By    float64  `json:"by"`
	Why   string   `json:"why"`
	Limit *float64 `json:"limit,omitempty"` // of a "latest": nothing after it is right
}

// Mistake is a wrong reply that a known slip leads to.
type Mistake struct {
	Reply
	Kind MistakeKind `json:"kind"`
	Text string      `json:"text"` // what went wrong, to be said after "That looks like …"
}

// MistakeKind names a slip.
type MistakeKind string

// The slips that are known.
const (
	Reciprocal        MistakeKind = "reciprocal"          // the opposite direction, or end
	WrongWay          MistakeKind = "wrong-way"           // a correction to the wrong side, or with the wrong sign
	MinutesAsDecimals MistakeKind = "minutes-as-decimals" // 7:20 taken for 7.20, or the other way round
	MagneticForTrue   MistakeKind = "magnetic-for-true"   // variation left out, or the wrong north
	UpsideDown        MistakeKind = "upside-down"         // divided where to multiply
	SixtyForgotten    MistakeKind = "sixty-forgotten"     // minutes for hours
	FactorOfTen       MistakeKind = "factor-of-ten"       // the slide rule's decimal point
	StepLeftOut       MistakeKind = "step-left-out"
	WrongFigure       MistakeKind = "wrong-figure" // another of the given figures
)

// only is the answer to a question that has one.
func only(value float64) []Answer { return []Answer{{Reply: Reply{Value: value}}} }

// either are the answers by a rule of thumb and exactly.
func either(rule, exact float64) []Answer {
	return []Answer{{Reply{Value: rule}, "by the rule"}, {Reply{Value: exact}, "exactly"}}
}

// Say writes an answer in its form.
func (e Exercise) Say(r Reply) string { return e.Form.Say(r) }

// latest makes the exercise one of a limit: it is said to the minute before, and nothing after it is right.
func (e *Exercise) latest(limit float64) {
	e.Tolerance.Limit = &limit
	if whole := math.Floor(limit + slack); limit-whole > slack {
		e.Answers = only(whole)
		e.Steps = append(e.Steps, "at the latest, so down to the minute: "+e.Say(e.Answers[0].Reply))
	}
}

// slip adds a mistake.
func (e *Exercise) slip(kind MistakeKind, value float64, text string) {
	if !math.IsNaN(value) && !math.IsInf(value, 0) {
		e.Mistakes = append(e.Mistakes, Mistake{Reply{Value: value}, kind, text})
	}
}

// slipFactorOfTen adds the mistakes of a decimal point in the wrong place.
func (e *Exercise) slipFactorOfTen() {
	right := e.Answers[0].Value
	e.slip(FactorOfTen, right*10, "the decimal point one place too far right: estimate first")
	e.slip(FactorOfTen, right/10, "the decimal point one place too far left: estimate first")
}

// slipMinutes adds the mistakes of minutes read as decimals: 7.33 min written 7:33, 7:20 written 7.20 min; of hours likewise.
func (e *Exercise) slipMinutes() {
	const text = "minutes read as decimals: there are 60 in the whole, not 100"
	unit := 1.0
	if e.Form.Kind == Hours {
		unit = 60
	}
	whole, part := math.Modf(e.Answers[0].Value / unit)
	if hundredths := math.Round(100 * part); hundredths < 60 {
		e.slip(MinutesAsDecimals, unit*(whole+hundredths/60), text)
	}
	if tenths := math.Round(10 * part); tenths < 6 {
		e.slip(MinutesAsDecimals, unit*(whole+tenths/6), text)
	}
	e.slip(MinutesAsDecimals, unit*(whole+math.Round(60*part)/100), text)
}

// sortMistakes leaves only mistakes that lead to a wrong answer, and of those that lead to the same one the first. Those that lead to
// another figure within the tolerance are set aside: who gives exactly that figure made the slip all the same.
func (e *Exercise) sortMistakes() {
	kept := e.Mistakes[:0:0]
	e.Hidden = nil
	for _, mistake := range e.Mistakes {
		said, err := e.Form.Parse(e.Say(mistake.Reply))
		if err != nil {
			continue
		}
		if e.isRight(said) {
			if !e.isAnswer(said) {
				e.Hidden = append(e.Hidden, mistake)
			}
			continue
		}
		if _, known := nearest(kept, mistake.Reply, e.Form, e.Tolerance.By/2); !known {
			kept = append(kept, mistake)
		}
	}
	e.Mistakes = kept
}

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

// Comment says in words what a verdict means: what became of the answer, then, if it is known, which slip it was.
func (e Exercise) Comment(v Verdict) []string {
	others := ""
	for _, answer := range e.Answers {
		if answer.By != v.By && e.Say(answer.Reply) != v.Answer {
			others += fmt.Sprintf("; %s it is %s", answer.By, e.Say(answer.Reply))
		}
	}
	by := ""
	if v.By != "" {
		by = " " + v.By
	}
	switch v.Outcome {
	case Right:
		if v.Mistake != nil {
			return []string{
				fmt.Sprintf("%s is within the tolerance: %s", v.Read, strings.TrimSpace(v.By+" it is "+v.Answer)+others),
				"but that is just what this slip gives: " + v.Mistake.Text,
			}
		}
		switch {
		case v.Read != v.Answer:
			return []string{v.Read + " counts as right: " + strings.TrimSpace(v.By+" it is "+v.Answer) + others}
		case v.By != "":
			by = ", " + v.By
		}
		return []string{v.Read + " is right" + by + others}
	case NotKnown:
		return []string{"it is " + v.Answer + by + others}
	case Unreadable:
		return []string{v.Problem}
	}
	said := fmt.Sprintf("%s is %s: it is %s%s%s", v.Read, v.Off, v.Answer, by, others)
	if v.Off == "" {
		said = fmt.Sprintf("%s is wrong: it is %s", v.Read, v.Answer)
	}
	if v.Mistake == nil {
		return []string{said}
	}
	return []string{said, "looks like this: " + v.Mistake.Text}
}

// Allowed says how far from the answer is still right, and why.
func (e Exercise) Allowed() string {
	within := e.Within()
	if within == "" {
		return ""
	}
	return fmt.Sprintf("right within %s: %s", within, e.Tolerance.Why)
}
