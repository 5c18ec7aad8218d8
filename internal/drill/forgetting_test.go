package drill

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// student forgets: what was answered is known after a time t with the probability 2^(-t/h), and the half-life h doubles with each right
// answer and halves with each miss, after which the worked answer teaches anew (B. Settles and B. Meeder, A trainable spaced repetition
// model for language learning, 2016, equation 1; the doubling and halving are their Leitner baseline; from memory). What was never seen
// is known with a probability of its own, the same for every order.
type student struct {
	luck   *rand.Rand
	talent float64 // half-life after the first answer, in hours
	hard   map[Item]float64
	half   map[Item]float64 // hours
	seen   map[Item]time.Time
}

func newStudent(seed uint64) *student {
	luck := rand.New(rand.NewPCG(seed, 1))
	s := &student{luck: luck, talent: 8 + 20*luck.Float64(), hard: map[Item]float64{}, half: map[Item]float64{}, seen: map[Item]time.Time{}}
	for _, item := range allItems() {
		s.hard[item] = 0.3 + 1.2*luck.Float64()
	}
	return s
}

func allItems() (items []Item) {
	for _, topic := range Topics() {
		for _, level := range Levels() {
			for _, task := range TasksOf(Card{topic, level}) {
				items = append(items, Item{Card{topic, level}, task})
			}
		}
	}
	return items
}

func (s *student) knows(item Item, now time.Time) float64 {
	if half, seen := s.half[item]; seen {
		return math.Exp2(-now.Sub(s.seen[item]).Hours() / half)
	}
	return 0.2
}

func (s *student) answers(item Item, now time.Time) (right bool) {
	right = s.luck.Float64() < s.knows(item, now)
	switch half := s.half[item]; {
	case half == 0:
		s.half[item] = s.talent / s.hard[item]
	case right && now.Sub(s.seen[item]) > 5*time.Minute: // cramming teaches nothing
		s.half[item] = half * 2
	case !right:
		s.half[item] = max(half/2, s.talent/s.hard[item]/2)
	}
	s.seen[item] = now
	return right
}

// orders are the ways to choose what comes next.
var orders = []struct {
	name string
	next func() func(p *Progress, now time.Time, luck *rand.Rand) Item
}{
	{"this order", func() func(*Progress, time.Time, *rand.Rand) Item {
		return func(p *Progress, now time.Time, _ *rand.Rand) Item { return p.Next(Wish{}, now).Item }
	}},
	{"five boxes by topic and level", boxesOrder},
	{"at random", func() func(*Progress, time.Time, *rand.Rand) Item {
		all := allItems()
		return func(_ *Progress, _ time.Time, luck *rand.Rand) Item { return all[luck.IntN(len(all))] }
	}},
}

// boxesOrder is that of S. Leitner's boxes as the drill had them before: a card for each topic and level, resting 1, 2, 4 and 8 days; of
// those due the weak four times as often; with none due the one that will be due first.
func boxesOrder() func(*Progress, time.Time, *rand.Rand) Item {
	type card struct {
		box int
		due time.Time
	}
	cards := map[Card]card{}
	var last *Item
	return func(p *Progress, now time.Time, luck *rand.Rand) Item {
		if last != nil {
			c, m := cards[last.Card], p.items[*last]
			right := m.streak > 0 || m.right == m.tries
			switch {
			case !right:
				c = card{1, now}
			case !c.due.After(now):
				c.box = min(max(c.box, 1)+1, 5)
				c.due = now.Add(24 * time.Hour << (c.box - 2))
			}
			cards[last.Card] = c
		}
		var open, weighed []Card
		for _, topic := range Topics() {
			for _, level := range Levels() {
				one := Card{topic, level}
				open = append(open, one)
				if c := cards[one]; !c.due.After(now) {
					weight := 8
					if c.box == 1 {
						weight = 32
					} else if c.box > 1 {
						weight >>= c.box - 2
					}
					for range weight {
						weighed = append(weighed, one)
					}
				}
				if cards[one].box <= 1 {
					break
				}
			}
		}
		var next Card
		if len(weighed) > 0 {
			next = weighed[luck.IntN(len(weighed))]
		} else {
			next = slices.MinFunc(open, func(a, b Card) int { return cards[a].due.Compare(cards[b].due) })
		}
		tasks := TasksOf(next)
		last = &Item{next, tasks[luck.IntN(len(tasks))]}
		return *last
	}
}

// simulated is the part of all tasks that a student knows a week after so many days of so many questions, and how many tasks were asked.
func simulated(seed uint64, days, questions int, next func(*Progress, time.Time, *rand.Rand) Item) (knows float64, asked int) {
	s := newStudent(seed)
	var p Progress
	for d := range days {
		now := monday.Add(time.Duration(d) * day)
		for range questions {
			item := next(&p, now, s.luck)
			a := tried(item.Card, s.answers(item, now), now)
			a.Task = item.Task
			p.Add(a)
			now = now.Add(time.Minute)
		}
	}
	later := monday.Add(time.Duration(days+7) * day)
	all := allItems()
	for _, item := range all {
		knows += s.knows(item, later) / float64(len(all))
	}
	return knows, len(s.seen)
}

// A student who forgets knows more with this order than with the others, however long the course and the evenings. The table is that of
// docs/drill.md; LEGCLOCK_TABLE=1 prints it.
func TestAForgettingStudentLearnsMoreInThisOrder(t *testing.T) {
	const students = 10
	table := "| days × questions | " + orders[0].name + " | " + orders[1].name + " | " + orders[2].name + " |\n|---|---|---|---|\n"
	for _, course := range []struct{ days, questions int }{{10, 20}, {30, 20}, {30, 40}, {60, 20}} {
		var known [3]float64
		row := fmt.Sprintf("| %d × %d |", course.days, course.questions)
		for i, order := range orders {
			for seed := range uint64(students) {
				knows, _ := simulated(seed, course.days, course.questions, order.next())
				known[i] += knows / students
			}
			row += fmt.Sprintf(" %.0f %% |", 100*known[i])
		}
		table += row + "\n"
		assert.Greater(t, known[0], known[1], row)
		assert.Greater(t, known[0], known[2], row)
	}
	if os.Getenv("LEGCLOCK_TABLE") != "" {
		fmt.Print(table)
		return
	}
	page, err := os.ReadFile("../../docs/drill.md")
	require.NoError(t, err)
	assert.Contains(t, string(page), table, "docs/drill.md has the table as it is")
}
