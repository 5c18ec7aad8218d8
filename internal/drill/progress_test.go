package drill

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var monday = time.Date(2026, 6, 15, 18, 0, 0, 0, time.UTC)

func tried(card Card, right bool, at time.Time) Attempt {
	return Attempt{At: at, Topic: card.Topic, Level: card.Level, Right: right, Seconds: 30}
}

const day = 24 * time.Hour

// drift is a card with its tasks.
var drift = Card{Drift, Round}

func of(card Card, task int, right bool, at time.Time) Attempt {
	a := tried(card, right, at)
	a.Task = TasksOf(card)[task]
	return a
}

// Every exercise that is made is of a task that its card names, and every task can be made.
func TestTasksOf(t *testing.T) {
	for _, topic := range Topics() {
		for _, level := range Levels() {
			card := Card{topic, level}
			names := TasksOf(card)
			require.NotEmpty(t, names)
			for seed := range uint64(60) {
				require.Contains(t, names, Make(topic, level, seed).Task)
			}
			for _, task := range names {
				e := MakeTask(Item{card, task}, 7)
				require.Equal(t, task, e.Task)
				again := Make(topic, level, e.Seed)
				require.Equal(t, e.Given, again.Given, "the seed that is shown makes it again")
			}
		}
	}
}

// SM-2's rests: 1 day, 6 days, then the last one times the ease, 2.5 at first (Wozniak 1990, from memory); here after a short one.
func TestRests(t *testing.T) {
	var p Progress
	task := TasksOf(drift)[0]
	at := monday
	for _, step := range []struct {
		right bool
		rests time.Duration
	}{
		{true, 10 * time.Minute},
		{true, day},
		{true, 6 * day},
		{true, 15 * day},
		{true, 37*day + 12*time.Hour},
		{false, 2 * time.Minute},
		{true, 10 * time.Minute},
		{true, day},
		{true, 6 * day},
		{true, time.Duration(6 * 2.18 * float64(day))},
	} {
		p.Add(of(drift, 0, step.right, at))
		due := p.items[Item{drift, task}].due
		require.InDelta(t, step.rests.Seconds(), due.Sub(at).Seconds(), 1)
		at = due
	}
}

func TestPractisingAheadMovesNothingButAMissDoes(t *testing.T) {
	var p Progress
	item := Item{drift, TasksOf(drift)[0]}
	p.Add(of(drift, 0, true, monday))
	p.Add(of(drift, 0, true, monday.Add(time.Hour)))
	due := p.items[item].due
	for range 5 {
		p.Add(of(drift, 0, true, monday.Add(2*time.Hour)))
	}
	assert.Equal(t, 2, p.items[item].streak, "five in a row the same evening are not five days")
	assert.Equal(t, due, p.items[item].due)
	p.Add(of(drift, 0, false, monday.Add(3*time.Hour)))
	assert.Zero(t, p.items[item].streak)
}

func TestStandingCounts(t *testing.T) {
	var p Progress
	e := Make(Drift, Plain, 1)
	wrong := e.Mark(e.Say(e.Mistakes[0].Reply), 40*time.Second)
	right := e.Mark(e.Say(e.Answers[0].Reply), 20*time.Second)
	p.Add(AttemptOf(e, wrong, monday))
	p.Add(AttemptOf(e, right, monday.Add(time.Minute)))
	p.Add(AttemptOf(e, wrong, monday.Add(2*time.Minute)))
	s := p.Of(Card{Drift, Plain})
	assert.Equal(t, 3, s.Tries)
	assert.Equal(t, 1, s.Right)
	assert.InDelta(t, 1.0/3, *s.Accuracy, 1e-12)
	assert.InDelta(t, 100.0/3, *s.MeanSeconds, 1e-9)
	assert.Equal(t, map[MistakeKind]int{e.Mistakes[0].Kind: 2}, s.Mistakes)
	assert.Equal(t, monday.Add(2*time.Minute), *s.Last)

	text, err := json.Marshal(p.Of(Card{ETA, Round}))
	require.NoError(t, err)
	assert.JSONEq(t, fmt.Sprintf(`{"topic":"eta","level":1,"tries":0,"right":0,"accuracy":null,"mean_seconds":null,"tasks":%d,"firm":0,"last":null,"due":null}`, len(TasksOf(Card{ETA, Round}))), string(text))
	assert.Len(t, p.Standings(), len(Topics())*len(Levels()))
}

// A level opens when every task of the one below was right at two different times, and closes when one is missed.
func TestLevelsOpen(t *testing.T) {
	var p Progress
	wish := Wish{Topic: Drift}
	assert.Equal(t, []Card{drift}, p.open(wish))
	for _, minutes := range []int{0, 1, 20} { // the second comes too soon to count
		assert.Equal(t, []Card{drift}, p.open(wish), "after %d minutes", minutes)
		for task := range TasksOf(drift) {
			p.Add(of(drift, task, true, monday.Add(time.Duration(minutes)*time.Minute)))
		}
	}
	assert.Equal(t, []Card{drift, {Drift, Plain}}, p.open(wish))
	p.Add(of(drift, 0, false, monday.Add(day)))
	assert.Equal(t, []Card{drift}, p.open(wish))
	assert.Equal(t, []Card{{Drift, Several}}, p.open(Wish{Drift, Several}), "a level that is asked for is given")
	assert.Len(t, p.open(Wish{}), len(Topics()))
}

func TestNextKeepsToTheWishAndToWhatIsDue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, now := drawProgress(t)
		wish := Wish{
			Topic: rapid.SampledFrom(append(Topics(), "")).Draw(t, "topic"),
			Level: rapid.SampledFrom(append(Levels(), 0)).Draw(t, "level"),
		}
		pick := p.Next(wish, now)
		require.Equal(t, pick, p.Next(wish, now), "the same again")
		if wish.Topic != "" {
			require.Equal(t, wish.Topic, pick.Topic)
		}
		if wish.Level != 0 {
			require.Equal(t, wish.Level, pick.Level)
		}
		open := p.open(wish)
		require.Contains(t, open, pick.Card)
		require.Contains(t, TasksOf(pick.Card), pick.Task)
		others := 0
		for _, card := range open {
			for _, task := range TasksOf(card) {
				if other := (Item{card, task}); other != p.last {
					others++
					if pick.Ahead {
						require.True(t, p.items[other].due.After(now), "%v is due", other)
					}
				}
			}
		}
		if others > 0 {
			require.NotEqual(t, p.last, pick.Item, "not the same twice running")
		}
		if pick.Ahead {
			require.True(t, pick.Due.After(now) || p.last.Task != "")
		}
	})
}

func drawProgress(t *rapid.T) (p Progress, now time.Time) {
	now = monday
	for range rapid.IntRange(0, 60).Draw(t, "attempts") {
		card := Card{rapid.SampledFrom(Topics()).Draw(t, "topic"), rapid.SampledFrom(Levels()).Draw(t, "level")}
		tasks := TasksOf(card)
		p.Add(of(card, rapid.IntRange(0, len(tasks)-1).Draw(t, "task"), rapid.Bool().Draw(t, "right"), now))
		now = now.Add(time.Duration(rapid.IntRange(1, 4000).Draw(t, "minutes")) * time.Minute)
	}
	return p, now
}

// Fifty questions in one evening go round all topics: every topic comes once before one comes twice, and none twice running.
func TestAnEveningGoesRoundTheTopics(t *testing.T) {
	var p Progress
	asked := map[Topic]int{}
	now := monday
	for n := range 50 {
		pick := p.Next(Wish{Level: Round}, now)
		require.NotEqual(t, p.last.Topic, pick.Topic)
		asked[pick.Topic]++
		if n == len(Topics())-1 {
			require.Len(t, asked, len(Topics()))
		}
		a := tried(pick.Card, true, now)
		a.Task = pick.Task
		p.Add(a)
		now = now.Add(time.Second)
	}
}

// A missed task comes again soon, before anything else that is due, but not at once.
func TestAMissComesAgainSoon(t *testing.T) {
	var p Progress
	item := Item{drift, TasksOf(drift)[0]}
	p.Add(of(drift, 0, false, monday))
	now := monday.Add(time.Minute)
	pick := p.Next(Wish{}, now)
	assert.NotEqual(t, Drift, pick.Topic)
	a := tried(pick.Card, true, now)
	a.Task = pick.Task
	p.Add(a)
	assert.Equal(t, item, p.Next(Wish{}, monday.Add(3*time.Minute)).Item)
}

// With nothing due that is said, with when it will be.
func TestNothingDue(t *testing.T) {
	var p Progress
	for task := range TasksOf(drift) {
		p.Add(of(drift, task, true, monday))
	}
	pick := p.Next(Wish{Topic: Drift, Level: Round}, monday.Add(time.Minute))
	assert.True(t, pick.Ahead)
	assert.Equal(t, monday.Add(10*time.Minute), pick.Due)
	assert.False(t, p.Next(Wish{Topic: Drift, Level: Round}, monday.Add(11*time.Minute)).Ahead)
}

// A first-timer is led from time, speed and distance to a whole diversion: no topic comes in before the one in front of it in the course, never
// more than four are in hand, and among those they take turns.
func TestAFirstTimerIsLed(t *testing.T) {
	var p Progress
	now, topics := monday, Topics()
	require.Equal(t, TimeSpeedDistance, topics[0])
	require.Equal(t, Diversion, topics[len(topics)-1])
	var began []Topic
	for len(began) < len(topics) {
		pick := p.Next(Wish{}, now)
		if !slices.Contains(began, pick.Topic) {
			began = append(began, pick.Topic)
			unmet := 0
			for _, topic := range began {
				for _, task := range TasksOf(Card{topic, Round}) {
					if p.items[Item{Card{topic, Round}, task}].right == 0 {
						unmet++
						break
					}
				}
			}
			require.LessOrEqual(t, unmet, inHand)
		}
		a := tried(pick.Card, true, now)
		a.Task = pick.Task
		p.Add(a)
		now = now.Add(time.Minute)
	}
	assert.Equal(t, topics, began)
}

// The map has a sign for every task.
func TestTheMap(t *testing.T) {
	var p Progress
	tasks := TasksOf(drift)
	require.Greater(t, len(tasks), 2)
	assert.Equal(t, strings.Repeat(".", len(tasks)), p.Map(drift))
	p.Add(of(drift, 0, true, monday))
	p.Add(of(drift, 0, true, monday.Add(time.Hour)))
	p.Add(of(drift, 1, false, monday.Add(time.Hour)))
	assert.Equal(t, "#+"+strings.Repeat(".", len(tasks)-2), p.Map(drift))
	sums := p.Sums()
	assert.Equal(t, 1, sums[Firm])
	assert.Equal(t, 1, sums[Shaky])
	assert.Equal(t, len(allItems())-2, sums[New])
	assert.Equal(t, Drift.Title()+", level 1: "+tasks[1]+", missed", p.Said(Pick{Item: Item{drift, tasks[1]}}))
	assert.Equal(t, Drift.Title()+", level 1: "+tasks[2]+", new", p.Said(Pick{Item: Item{drift, tasks[2]}}))
}
