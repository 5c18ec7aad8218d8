package fuel

import "fmt"

// Rule is one of the rules that a schedule has to keep.
type Rule int

// The rules, from the one that is given up first to the one that is given up last.
const (
	RuleLongestTime Rule = iota // the longest time on one tank
	RuleImbalance               // the largest imbalance within a pair
	RuleQuietTime               // no change where none is allowed
	RuleUsableFuel              // no tank fed below its unusable quantity
)

// String names the rule.
func (r Rule) String() string {
	switch r {
	case RuleLongestTime:
		return "longest time on one tank"
	case RuleImbalance:
		return "largest imbalance"
	case RuleQuietTime:
		return "no change"
	case RuleUsableFuel:
		return "usable fuel"
	}
	return fmt.Sprintf("Rule(%d)", int(r))
}

// Broken is a rule that can't be kept: an error when Plan returns it, though the schedule beside it is the best there is.
type Broken struct {
	Rule      Rule
	AtMinutes float64 // when it is first broken
	By        float64 // how far: a quantity above the limit or missing, or minutes too long; 0 for RuleQuietTime
	Text      string  // what is wrong, with the tank and the part of the flight; no times, which are the caller's to word
	Hint      string  // what would make it right
}

// Error is the text, the minute and the hint in one line.
func (b *Broken) Error() string {
	text := fmt.Sprintf("minute %.0f: %s", b.AtMinutes, b.Text)
	if b.Hint != "" {
		text += "; " + b.Hint
	}
	return text
}
