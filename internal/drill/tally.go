package drill

import (
	"fmt"
	"slices"
	"strings"
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

// State is how a task stands.
type State string

// The states of a task.
const (
	New   State = "new"   // never asked
	Shaky State = "shaky" // asked, and not firm
	Firm  State = "firm"  // right at two different times since it was missed
)

// States are how the tasks of a card stand, in the order of TasksOf.
func (p Progress) States(card Card) []State {
	var all []State
	for _, task := range TasksOf(card) {
		switch m := p.items[Item{card, task}]; {
		case m.tries == 0:
			all = append(all, New)
		case m.firm():
			all = append(all, Firm)
		default:
			all = append(all, Shaky)
		}
	}
	return all
}

// Map is how a card stands, a sign for each task: # firm, + shaky, a point for new.
func (p Progress) Map(card Card) string {
	var b strings.Builder
	for _, state := range p.States(card) {
		b.WriteString(map[State]string{New: ".", Shaky: "+", Firm: "#"}[state])
	}
	return b.String()
}

// MapKey explains the signs of Map.
const MapKey = "# firm  + shaky  . new"

// Said says what comes next and why: "ETA, level 2: ratio, due again".
func (p Progress) Said(pick Pick) string {
	text := fmt.Sprintf("%s, level %d: %s", pick.Topic.Title(), pick.Level, pick.Task)
	switch m := p.items[pick.Item]; {
	case pick.Ahead:
		return text + "; nothing is due until " + pick.Due.UTC().Format("2 January 15:04Z")
	case m.tries == 0:
		return text + ", new"
	case m.streak == 0:
		return text + ", missed"
	default:
		return text + ", due again"
	}
}

// Sums are how many tasks of all topics and levels are in each state.
func (p Progress) Sums() map[State]int {
	sums := map[State]int{}
	for _, topic := range Topics() {
		for _, level := range Levels() {
			for _, state := range p.States(Card{topic, level}) {
				sums[state]++
			}
		}
	}
	return sums
}
