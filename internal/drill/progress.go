package drill

import (
	"math/rand/v2"
	"slices"
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

// Card is what is repeated: a topic at a level.
type Card struct {
	Topic Topic `json:"topic"`
	Level Level `json:"level"`
}

// Boxes is how many boxes there are.
const Boxes = 5

// rest is how long a card rests in a box: none in the first, then doubling from a day (the boxes are Leitner's, the days common
// practice, no source).
func rest(box int) time.Duration {
	if box <= 1 {
		return 0
	}
	return 24 * time.Hour << (box - 2)
}

// Standing is how a card stands. What is not known is nil.
type Standing struct {
	Card
	Tries       int                 `json:"tries"`
	Right       int                 `json:"right"`
	Accuracy    *float64            `json:"accuracy"`     // 0 to 1
	MeanSeconds *float64            `json:"mean_seconds"` // of all tries
	Box         int                 `json:"box"`          // 1 to Boxes; 0 before the first try
	Last        *time.Time          `json:"last"`
	Due         *time.Time          `json:"due"` // when it is to be asked again
	Mistakes    map[MistakeKind]int `json:"mistakes,omitempty"`
}

// IsDue reports whether a card is to be asked, a new one included.
func (s Standing) IsDue(now time.Time) bool { return s.Due == nil || !s.Due.After(now) }

// Progress is what comes of attempts. The zero value has none.
type Progress struct {
	standings map[Card]Standing
	last      Card
}

// Add puts an attempt to the others. A right answer moves a card that was due to the next box; a wrong one moves it to the first.
func (p *Progress) Add(a Attempt) {
	if p.standings == nil {
		p.standings = map[Card]Standing{}
	}
	card := Card{a.Topic, a.Level}
	s := p.Of(card)
	wasDue := s.IsDue(a.At)
	mean := a.Seconds
	if s.MeanSeconds != nil {
		mean = *s.MeanSeconds + (a.Seconds-*s.MeanSeconds)/float64(s.Tries+1)
	}
	s.Tries++
	switch {
	case !a.Right:
		s.Box = 1
	case wasDue:
		s.Box = min(max(s.Box, 1)+1, Boxes)
	}
	if a.Right {
		s.Right++
	}
	if !a.Right || wasDue {
		due := a.At.Add(rest(s.Box))
		s.Due = &due
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
	p.last = card
}

// Of is how a card stands.
func (p Progress) Of(card Card) Standing {
	if s, known := p.standings[card]; known {
		return s
	}
	return Standing{Card: card}
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

// open lists the cards that a wish leaves. A level opens when the one below it is past the first box.
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
			cards = append(cards, Card{topic, level})
			if p.Of(Card{topic, level}).Box <= 1 {
				break
			}
		}
	}
	return cards
}

// How often cards are drawn: one that was missed four times as often as one in the second box or a new one; half as often with each
// box beyond.
const (
	weightMissed = 32
	weightBox2   = 8
	weightNew    = 8
)

// weight is how often a card is drawn among those that are due.
func (s Standing) weight() int {
	switch {
	case s.Tries == 0:
		return weightNew
	case s.Box <= 1:
		return weightMissed
	}
	return weightBox2 >> (s.Box - 2)
}

// Next chooses what to ask: one of the cards that are due, the weak ones more often, and not the last one again if there is another;
// with none due, the one that will be due first. It depends on nothing but progress, wish, time and seed.
func (p Progress) Next(w Wish, now time.Time, seed uint64) Card {
	cards := p.open(w)
	if len(cards) > 1 {
		cards = slices.DeleteFunc(cards, func(c Card) bool { return c == p.last })
	}
	var due []Standing
	total := 0
	for _, card := range cards {
		if s := p.Of(card); s.IsDue(now) {
			due = append(due, s)
			total += s.weight()
		}
	}
	if total == 0 {
		return p.firstDue(cards)
	}
	drawn := int(rand.NewPCG(seed, weightMissed).Uint64() % uint64(total))
	for _, s := range due {
		if drawn -= s.weight(); drawn < 0 {
			return s.Card
		}
	}
	panic("drill: the weights do not add up")
}

func (p Progress) firstDue(cards []Card) Card {
	return slices.MinFunc(cards, func(a, b Card) int { return p.Of(a).Due.Compare(*p.Of(b).Due) })
}
