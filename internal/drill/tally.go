package drill

import (
	"fmt"
	"slices"
	"time"
)

// Tally counts the answers of one sitting.
type Tally struct {
	Asked   int     `json:"asked"`
	Right   int     `json:"right"`
	Seconds float64 `json:"seconds"`
}

// Add counts an answer.
func (t *Tally) Add(v Verdict) {
	t.Asked++
	if v.Outcome == Right {
		t.Right++
	}
	t.Seconds += v.Took.Seconds()
}

// String says how many were right: "3 of 5 right".
func (t Tally) String() string { return fmt.Sprintf("%d of %d right", t.Right, t.Asked) }

// StandingsOf lists the standings of the topics and levels that are wished for, those never tried included.
func (p Progress) StandingsOf(w Wish) []Standing {
	return slices.DeleteFunc(p.Standings(), func(s Standing) bool {
		return w.Topic != "" && s.Topic != w.Topic || w.Level != 0 && s.Level != w.Level
	})
}

// MostOften is the slip that was made most often; empty if none is known.
func (s Standing) MostOften() MistakeKind {
	var most MistakeKind
	for kind, count := range s.Mistakes {
		if count > s.Mistakes[most] || count == s.Mistakes[most] && kind < most {
			most = kind
		}
	}
	return most
}

// Away says when a card is to be asked again: "now", "today", "in 3 days".
func (s Standing) Away(now time.Time) string {
	if s.IsDue(now) {
		return "now"
	}
	switch days := int(s.Due.Sub(now).Hours()/24 + 0.5); days {
	case 0:
		return "today"
	case 1:
		return "in 1 day"
	default:
		return fmt.Sprintf("in %d days", days)
	}
}
