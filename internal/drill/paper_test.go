package drill

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A paper is the same from the same seed; its questions hold no answer line and no working, its key no question.
func TestPaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		topics := rapid.SliceOfNDistinct(rapid.SampledFrom(Topics()), 0, 4, rapid.ID).Draw(t, "topics")
		level := rapid.SampledFrom(Levels()).Draw(t, "level")
		seed := rapid.Uint64().Draw(t, "seed")
		count := rapid.IntRange(1, 12).Draw(t, "count")
		p := NewPaper(topics, level, seed, count)
		require.Equal(t, p, NewPaper(topics, level, seed, count))
		require.Len(t, p.Exercises, count)
		var questions, key, page strings.Builder
		require.NoError(t, p.Questions(&questions))
		require.NoError(t, p.Key(&key))
		for _, e := range p.Exercises {
			require.Contains(t, questions.String(), e.Question)
			require.NotContains(t, key.String(), e.Question)
			for _, step := range e.Steps {
				require.Contains(t, key.String(), step)
				if strings.Contains(step, " = ") {
					require.NotContains(t, questions.String(), step)
				}
			}
			require.Contains(t, key.String(), e.Say(e.Answers[0].Reply))
		}
		require.NoError(t, p.HTML(&page, true, true))
		first, second, ok := strings.Cut(page.String(), "Key to: ")
		require.True(t, ok)
		require.NotContains(t, first, "<pre>")
		require.NotContains(t, second, "<table>")
	})
}

// The tasks of a topic take turns on a paper.
func TestAPaperGoesRound(t *testing.T) {
	p := NewPaper([]Topic{Drift, ETA}, Plain, 1, 8)
	seen := map[string]bool{}
	for n, e := range p.Exercises {
		assert.Equal(t, []Topic{Drift, ETA}[n%2], e.Topic)
		if e.Topic == Drift {
			seen[e.Task] = true
		}
	}
	assert.Len(t, seen, min(4, len(TasksOf(Card{Drift, Plain}))))
}
