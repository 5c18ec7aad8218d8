package drill

import (
	"encoding/json"
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

// S. Leitner's boxes: a right answer one box on, a wrong one back to the first, each box resting longer.
func TestBoxes(t *testing.T) {
	card := Card{ETA, Plain}
	var p Progress
	assert.True(t, p.Of(card).IsDue(monday), "a new card is due")
	assert.Zero(t, p.Of(card).Box)

	at := monday
	for _, step := range []struct {
		after time.Duration
		right bool
		box   int
		rests time.Duration
	}{
		{0, true, 2, day},
		{day, true, 3, 2 * day},
		{2 * day, true, 4, 4 * day},
		{4 * day, true, 5, 8 * day},
		{9 * day, true, 5, 8 * day},
		{8 * day, false, 1, 0},
		{time.Minute, true, 2, day},
	} {
		at = at.Add(step.after)
		p.Add(tried(card, step.right, at))
		s := p.Of(card)
		require.Equal(t, step.box, s.Box)
		require.Equal(t, at.Add(step.rests), *s.Due)
	}
}

func TestPractisingAheadMovesNothingButAMissDoes(t *testing.T) {
	card := Card{ETA, Plain}
	var p Progress
	p.Add(tried(card, true, monday))
	due := *p.Of(card).Due
	for range 5 {
		p.Add(tried(card, true, monday.Add(time.Hour)))
	}
	assert.Equal(t, 2, p.Of(card).Box, "five in a row the same evening are not five days")
	assert.Equal(t, due, *p.Of(card).Due)
	p.Add(tried(card, false, monday.Add(2*time.Hour)))
	assert.Equal(t, 1, p.Of(card).Box)
	assert.True(t, p.Of(card).IsDue(monday.Add(2*time.Hour)))
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
	assert.JSONEq(t, `{"topic":"eta","level":1,"tries":0,"right":0,"accuracy":null,"mean_seconds":null,"box":0,"last":null,"due":null}`, string(text))
	assert.Len(t, p.Standings(), len(Topics())*len(Levels()))
}

// A level opens when the one below it is past the first box, and closes when it falls back.
func TestLevelsOpen(t *testing.T) {
	var p Progress
	wish := Wish{Topic: ETA}
	assert.Equal(t, []Card{{ETA, Round}}, p.open(wish))
	p.Add(tried(Card{ETA, Round}, true, monday))
	assert.Equal(t, []Card{{ETA, Round}, {ETA, Plain}}, p.open(wish))
	p.Add(tried(Card{ETA, Round}, false, monday))
	assert.Equal(t, []Card{{ETA, Round}}, p.open(wish))
	assert.Equal(t, []Card{{ETA, Several}}, p.open(Wish{ETA, Several}), "a level that is asked for is given")
	assert.Len(t, p.open(Wish{}), len(Topics()))
}

func TestNextKeepsToTheWishAndToWhatIsDue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, now := drawProgress(t)
		seed := rapid.Uint64().Draw(t, "seed")
		wish := Wish{
			Topic: rapid.SampledFrom(append(Topics(), "")).Draw(t, "topic"),
			Level: rapid.SampledFrom(append(Levels(), 0)).Draw(t, "level"),
		}
		card := p.Next(wish, now, seed)
		require.Equal(t, card, p.Next(wish, now, seed), "the same again")
		if wish.Topic != "" {
			require.Equal(t, wish.Topic, card.Topic)
		}
		if wish.Level != 0 {
			require.Equal(t, wish.Level, card.Level)
		}
		open := p.open(wish)
		require.Contains(t, open, card)
		if len(open) > 1 {
			require.NotEqual(t, p.last, card, "not the same twice running")
		}
		for _, other := range open {
			if s := p.Of(other); other != p.last && s.IsDue(now) {
				require.True(t, p.Of(card).IsDue(now), "%v is due, %v is not", other, card)
			}
		}
	})
}

func drawProgress(t *rapid.T) (p Progress, now time.Time) {
	now = monday
	for range rapid.IntRange(0, 60).Draw(t, "attempts") {
		card := Card{rapid.SampledFrom(Topics()).Draw(t, "topic"), rapid.SampledFrom(Levels()).Draw(t, "level")}
		p.Add(tried(card, rapid.Bool().Draw(t, "right"), now))
		now = now.Add(time.Duration(rapid.IntRange(1, 4000).Draw(t, "minutes")) * time.Minute)
	}
	return p, now
}

// What is weak comes more often: a card that was missed more often than one in the second box.
func TestTheWeakComeBack(t *testing.T) {
	var p Progress
	for _, topic := range Topics() {
		p.Add(tried(Card{topic, Round}, true, monday))
	}
	p.Add(tried(Card{Drift, Round}, false, monday))
	p.Add(tried(Card{ETA, Round}, true, monday))
	asked := map[Card]int{}
	for seed := range uint64(4000) {
		asked[p.Next(Wish{Level: Round}, monday.Add(2*day), seed)]++
	}
	assert.Greater(t, asked[Card{Drift, Round}], 3*asked[Card{Radial, Round}], "%v", asked)
	assert.Len(t, asked, len(Topics())-1, "every topic but the last one comes")
}
