package drill

import "math"

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
