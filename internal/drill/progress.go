package drill

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Attempt is one exercise that was answered.
type Attempt struct {
	At      time.Time   `json:"at"`
	Topic   Topic       `json:"topic"`
	Level   Level       `json:"level"`
	Seed    uint64      `json:"seed"`
	Task    string      `json:"task"`
	Right   bool        `json:"right"`
	Seconds float64     `json:"seconds"` // from the question to the answer
	Mistake MistakeKind `json:"mistake,omitempty"`
}

// AttemptOf is what is remembered of an answer given at a time.
func AttemptOf(e Exercise, v Verdict, at time.Time) Attempt {
	a := Attempt{
		At: at, Topic: e.Topic, Level: e.Level, Seed: e.Seed, Task: e.Task,
		Right: v.Outcome == Right, Seconds: v.Took.Seconds(),
	}
	if v.Mistake != nil {
		a.Mistake = v.Mistake.Kind
	}
	return a
}

// Card is a topic at a level.
type Card struct {
	Topic Topic `json:"topic"`
	Level Level `json:"level"`
}

// Item is what is repeated: one task of a card. A miss belongs to it and to no other.
type Item struct {
	Card
	Task string `json:"task"`
}

// When an item comes again: the SM-2 algorithm (P. A. Wozniak, Optimization of repetition spacing in the practice of learning, 1990,
// section 3.2; from memory). After a miss an item begins anew; the first two rests are SM-2's 1 and 6 days, each rest after that the one
// before times the item's ease. A right answer is grade 4, which leaves the ease as it is; a miss is grade 2, which takes 0.32 off it.
// Before the first of these rests there is a short one, so that an answer is asked for twice on the first evening (common practice, no
// source).
const (
	easeAtFirst = 2.5
	easeLeast   = 1.3
	easeOfMiss  = 0.32
	againAfter  = 2 * time.Minute  // a miss
	shortRest   = 10 * time.Minute // the first right answer
	firstRest   = 24 * time.Hour
	secondRest  = 6 * 24 * time.Hour
	firmAfter   = 2 // right answers at different times
)

// memory is what is known of an item. The zero value was never tried.
type memory struct {
	tries, right int
	streak       int // right answers since the last miss, each when it was due
	ease         float64
	rest         time.Duration
	due, last    time.Time
}

func (m memory) after(a Attempt) memory {
	if m.tries == 0 {
		m.ease = easeAtFirst
	}
	wasDue := !m.due.After(a.At)
	m.tries++
	m.last = a.At
	if !a.Right {
		m.streak, m.ease, m.rest = 0, max(easeLeast, m.ease-easeOfMiss), againAfter
		m.due = a.At.Add(m.rest)
		return m
	}
	m.right++
	if !wasDue { // practised ahead: it counts, and moves nothing
		return m
	}
	m.streak++
	switch m.streak {
	case 1:
		m.rest = shortRest
	case 2:
		m.rest = firstRest
	case 3:
		m.rest = secondRest
	default:
		m.rest = time.Duration(float64(m.rest) * m.ease)
	}
	m.due = a.At.Add(m.rest)
	return m
}

func (m memory) firm() bool { return m.streak >= firmAfter }

// Standing is how a card stands. What is not known is nil.
type Standing struct {
	Card
	Tries       int                 `json:"tries"`
	Right       int                 `json:"right"`
	Accuracy    *float64            `json:"accuracy"`     // 0 to 1
	MeanSeconds *float64            `json:"mean_seconds"` // of all tries
	Tasks       int                 `json:"tasks"`
	Firm        int                 `json:"firm"` // tasks answered right at two different times since they were missed
	Last        *time.Time          `json:"last"`
	Due         *time.Time          `json:"due"` // when the first of its tasks is to be asked again
	Mistakes    map[MistakeKind]int `json:"mistakes,omitempty"`
}

// IsFirm reports whether every task of the card is.
func (s Standing) IsFirm() bool { return s.Tasks > 0 && s.Firm == s.Tasks }

// IsDue reports whether something of a card is to be asked, a new one included.
func (s Standing) IsDue(now time.Time) bool { return s.Due == nil || !s.Due.After(now) }

// Progress is what comes of attempts. The zero value has none.
type Progress struct {
	standings map[Card]Standing
	items     map[Item]memory
	last      Item
}

// Add puts an attempt to the others.
func (p *Progress) Add(a Attempt) {
	if p.standings == nil {
		p.standings, p.items = map[Card]Standing{}, map[Item]memory{}
	}
	card := Card{a.Topic, a.Level}
	item := Item{card, cmp.Or(formerTasks[a.Task], a.Task)}
	p.items[item] = p.items[item].after(a)
	s := p.standings[card]
	s.Card = card
	mean := a.Seconds
	if s.MeanSeconds != nil {
		mean = *s.MeanSeconds + (a.Seconds-*s.MeanSeconds)/float64(s.Tries+1)
	}
	s.Tries++
	if a.Right {
		s.Right++
	}
	if a.Mistake != "" {
		counts := map[MistakeKind]int{a.Mistake: 1}
		for kind, count := range s.Mistakes {
			counts[kind] += count
		}
		s.Mistakes = counts
	}
	accuracy := float64(s.Right) / float64(s.Tries)
	s.MeanSeconds, s.Accuracy, s.Last = &mean, &accuracy, &a.At
	p.standings[card] = s
	p.last = item
}

// Of is how a card stands.
func (p Progress) Of(card Card) Standing {
	s := p.standings[card]
	s.Card = card
	for _, task := range TasksOf(card) {
		m := p.items[Item{card, task}]
		s.Tasks++
		if m.firm() {
			s.Firm++
		}
		if due := m.due; s.Tries > 0 && (s.Due == nil || due.Before(*s.Due)) {
			if m.tries == 0 { // never asked: due since the card was begun
				due = *s.Last
			}
			s.Due = &due
		}
	}
	return s
}

// Standings lists every topic and level in the order of Topics, those never tried included.
func (p Progress) Standings() []Standing {
	var all []Standing
	for _, topic := range Topics() {
		for _, level := range Levels() {
			all = append(all, p.Of(Card{topic, level}))
		}
	}
	return all
}

// Wish is what a student wants to be asked: a topic or, empty, any; a level or, 0, the levels that are open.
type Wish struct {
	Topic Topic
	Level Level
}

// open lists the cards that a wish leaves. A level opens when every task of the one below it is firm.
func (p Progress) open(w Wish) []Card {
	topics := Topics()
	if w.Topic != "" {
		topics = []Topic{w.Topic}
	}
	var cards []Card
	for _, topic := range topics {
		if w.Level != 0 {
			cards = append(cards, Card{topic, w.Level})
			continue
		}
		for _, level := range Levels() {
			card := Card{topic, level}
			cards = append(cards, card)
			if !p.Of(card).IsFirm() {
				break
			}
		}
	}
	return cards
}

// Pick is what to ask next. Ahead says that nothing is due, and Due when something will be.
type Pick struct {
	Item
	Ahead bool
	Due   time.Time
}

// The order in which items are asked.
const (
	missed   = iota // and due again: in new figures, soon
	review          // due
	untried         // the easy levels first, of the topics that are in hand
	ahead           // untried of the topics behind those
	shaky           // nothing is due: what is not firm yet
	firmOnes        // nor that
)

// inHand is how many topics a student is led through at a time: the first ones, in the order of the course, of which a task of the first level has
// never been right. More would not be led, fewer would not be mixed (common practice, no source).
const inHand = 4

// inHandOf are those topics. Who has been right in every topic has all in hand.
func (p Progress) inHandOf(topics []Topic) map[Topic]bool {
	in, waiting := map[Topic]bool{}, 0
	for _, topic := range topics {
		if card := (Card{topic, Round}); slices.ContainsFunc(TasksOf(card), func(task string) bool { return p.items[Item{card, task}].right == 0 }) {
			waiting++
		}
		in[topic] = waiting <= inHand
	}
	return in
}

// candidate is an item as Next weighs it.
type candidate struct {
	Item
	memory
	place int // in the order of the topics
	order int
}

// Next chooses what to ask: what was missed and is due again, then what is due, then what was never asked, the topics in the order of the
// course, a few in hand at a time, unless a level is wished for; with nothing due what is not firm yet, and at last what is. Among these the topics take turns, the least recent and the hardest come first. It depends on nothing
// but progress, wish and time.
func (p Progress) Next(w Wish, now time.Time) Pick {
	topics := Topics()
	var all []candidate
	lastOf, led := map[Topic]time.Time{}, p.inHandOf(topics)
	for item, m := range p.items {
		if m.last.After(lastOf[item.Topic]) {
			lastOf[item.Topic] = m.last
		}
	}
	for _, card := range p.open(w) {
		for _, task := range TasksOf(card) {
			c := candidate{Item: Item{card, task}, place: slices.Index(topics, card.Topic)}
			c.memory = p.items[c.Item]
			switch due := !c.due.After(now); {
			case c.tries == 0 && (w.Topic != "" || w.Level != 0 || led[card.Topic]):
				c.order = untried
			case c.tries == 0:
				c.order = ahead
			case due && c.streak == 0:
				c.order = missed
			case due:
				c.order = review
			case !c.firm():
				c.order = shaky
			default:
				c.order = firmOnes
			}
			all = append(all, c)
		}
	}
	best := slices.MinFunc(all, func(a, b candidate) int {
		return cmp.Or(
			again(a, p.last)-again(b, p.last), a.order-b.order, again(a, Item{Card: p.last.Card})-again(b, Item{Card: p.last.Card}),
			newOrder(a, b, lastOf), a.last.Compare(b.last), cmp.Compare(a.ease, b.ease), cmp.Compare(a.place, b.place), cmp.Compare(a.Task, b.Task),
		)
	})
	pick := Pick{Item: best.Item, Ahead: best.order >= shaky}
	if pick.Ahead {
		pick.Due = slices.MinFunc(all, func(a, b candidate) int { return a.due.Compare(b.due) }).due
	}
	return pick
}

// again keeps the same task, or another of the same topic, from coming twice running where there is another.
func again(c candidate, last Item) int {
	if last.Topic == c.Topic && (last.Task == "" || last == c.Item) {
		return 1
	}
	return 0
}

// newOrder is that of items never asked: by level, then the topic that was asked least recently.
func newOrder(a, b candidate, lastOf map[Topic]time.Time) int {
	if a.order == ahead && b.order == ahead { // the next in the course
		return cmp.Or(a.place-b.place, int(a.Level-b.Level))
	}
	if a.order != untried || b.order != untried {
		return 0
	}
	return cmp.Or(int(a.Level-b.Level), lastOf[a.Topic].Compare(lastOf[b.Topic]))
}

// formerTasks are the names of today for those of tasks in older files of attempts.
var formerTasks = map[string]string{"offset": "off track", "no return": "PNR", "no return by fuel": "PNR by fuel"}

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
