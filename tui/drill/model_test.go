package drill

import (
	"errors"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/terminal"
)

// right is the answer to what is asked.
func (r *rig) right() string { return r.exercise.Say(r.exercise.Answers[0].Reply) }

// wrong is a slip that is known, or else just wrong.
func (r *rig) wrong() string {
	if len(r.exercise.Mistakes) > 0 {
		return r.exercise.Say(r.exercise.Mistakes[0].Reply)
	}
	return r.exercise.Say(drill.Reply{Value: r.exercise.Answers[0].Value/3 + 1, SpeedKt: 99})
}

func TestOneExerciseFromChoiceToVerdict(t *testing.T) {
	r := newRig(t, nil)
	require.False(t, r.Typing())
	r.keys("<down><down><down><right><right><enter>")
	require.True(t, r.Typing())
	assert.Equal(t, drill.Groundspeed, r.exercise.Topic)
	assert.Equal(t, drill.Plain, r.exercise.Level)

	r.wait(42 * time.Second)
	assert.Contains(t, r.shown(80, 24), "0:42")
	r.keys(r.right() + "x<back><enter>")
	require.Len(t, r.attempts, 1)
	assert.Equal(t, drill.Attempt{
		At: evening.Add(42 * time.Second), Topic: drill.Groundspeed, Level: drill.Plain, Seed: 1, Task: r.exercise.Task, Right: true, Seconds: 42,
	}, r.attempts[0])
	assert.Contains(t, r.shown(80, 24), "RIGHT")
	assert.Contains(t, r.shown(80, 24), "1 of 1 right")
	assert.False(t, r.effect.Ring)

	r.keys("n")
	assert.Equal(t, uint64(2), r.exercise.Seed)
	r.keys(r.wrong() + "<enter>")
	shown := r.shown(80, 24)
	assert.Contains(t, shown, "WRONG")
	assert.Contains(t, shown, "looks like this: "+r.verdict.Mistake.Text[:20])
	assert.Contains(t, shown, r.exercise.Steps[0])
	assert.True(t, r.effect.Ring)
	assert.Equal(t, r.verdict.Mistake.Kind, r.attempts[1].Mistake)
	assert.Equal(t, drill.Tally{Asked: 2, Right: 1, Seconds: 42}, r.Tally())
}

func TestWhatCannotBeReadStaysInTheLine(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin, o.Wish.Topic = true, drill.ETA })
	r.keys("10:99<enter>")
	assert.True(t, r.Typing())
	assert.Contains(t, r.shown(100, 24), `"10:99" is not a time of day`)
	assert.Contains(t, r.shown(100, 24), "10:99_")
	assert.Empty(t, r.attempts)
	r.keys("<erase>" + r.right() + "<enter>")
	assert.Len(t, r.attempts, 1)
}

func TestAnEmptyLineIsNoAnswerButTheQuestionMarkAsksForIt(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin = true })
	r.keys("<enter>")
	assert.True(t, r.Typing())
	assert.Contains(t, r.shown(80, 24), "type an answer, or ?")
	r.keys("?")
	assert.Contains(t, r.shown(80, 24), "THE ANSWER")
	require.Len(t, r.attempts, 1)
	assert.False(t, r.attempts[0].Right)
}

func TestKeysThatWereTypedTooFastAreAnswersNotActs(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin = true })
	r.keys("qlp")
	assert.True(t, r.Typing())
	assert.Equal(t, "qlp", r.typed)
	r.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("7", 99)), Paste: true})
	assert.Equal(t, "qlp", r.typed, "what has no room is not cut")
	assert.Contains(t, r.shown(80, 24), "no answer needs more than 24 characters")
	r.keys("<esc>")
	assert.False(t, r.Typing(), "esc only closes")
	assert.Empty(t, r.attempts)
}

func TestCountEndsWithHowOneStands(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin, o.Count = true, 2 })
	r.keys(r.right() + "<enter>n")
	r.keys(r.wrong() + "<enter>n")
	assert.Contains(t, r.shown(80, 24), "that was the last: 1 of 2 right")
	assert.Contains(t, r.shown(80, 24), "how you stand")
	r.keys("<esc><enter>")
	assert.True(t, r.Typing(), "and again")
}

func TestWhatWasMissedComesBackAndProgressIsShown(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin = true })
	missed := drill.Card{Topic: r.exercise.Topic, Level: r.exercise.Level}
	r.keys(r.wrong() + "<enter>")
	again := false
	for range 40 {
		r.keys("n")
		again = again || r.exercise.Topic == missed.Topic
		r.keys(r.right() + "<enter>")
	}
	assert.True(t, again)
	r.keys("p")
	shown := r.shown(120, 40)
	assert.Contains(t, shown, "MOST OFTEN WRONG BY")
	assert.Contains(t, shown, "40 of 41 right in all")
	r.keys("<down><pgdown><end><home><pgup><up><esc>")
	assert.Contains(t, r.shown(80, 24), "TOPIC")
}

func TestAFullDiskIsSaidAndTheDrillGoesOn(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin = true })
	r.full = errors.New("no space left on device")
	r.keys(r.right() + "<enter>")
	assert.Contains(t, r.shown(80, 24), "not kept: no space left on device")
	r.keys("n")
	assert.True(t, r.Typing())
}

func TestQuitAndLight(t *testing.T) {
	r := newRig(t, nil)
	r.keys("l")
	assert.Equal(t, "terminal", r.Theme)
	r.keys("q")
	require.NotNil(t, r.effect.Command)
	assert.Equal(t, tea.QuitMsg{}, r.effect.Command())
	r = newRig(t, func(o *Options) { o.Begin = true })
	r.keys("<interrupt>")
	require.NotNil(t, r.effect.Command)
	_, err := New(Options{Theme: "night", Now: time.Now, Elapsed: func() time.Duration { return 0 }})
	assert.ErrorContains(t, err, `unknown theme "night"`)
}

func TestTimeAwayIsNotTheAnswers(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Begin = true })
	r.passed += 10*time.Second + time.Hour
	r.Update(terminal.Resumed{Away: time.Hour})
	r.keys(r.right() + "<enter>")
	assert.InDelta(t, 10, r.attempts[0].Seconds, 1e-9)
}

// Between exercises nothing is drawn; while one is asked its seconds are.
func TestAnIdleScreenDrawsNothing(t *testing.T) {
	r := newRig(t, nil)
	r.wait(time.Second)
	assert.Equal(t, terminal.Effect{}, r.effect)
	r.keys("<enter>")
	r.wait(time.Second)
	assert.True(t, r.effect.Redraw)
	assert.Equal(t, terminal.Effect{}, r.Update("some other message"))
}

// tickNeedle lets time pass and wakes the needle, as its command would.
func (r *rig) tickNeedle(by time.Duration) {
	r.passed += by
	r.effect = r.Update(needleTick{r.live.chain})
}

func TestTheNeedleMovesAndTheCheckIsMarked(t *testing.T) {
	r := newRig(t, func(o *Options) { o.Wish.Level = drill.Round })
	r.keys("<down><enter>")
	require.NotNil(t, r.effect.Command, "the needle is looked at again")
	first := r.live.OffNose(r.since(r.live.began))
	for r.live.OffNose(r.since(r.live.began)) < 90 {
		r.tickNeedle(needleStep)
		require.NotNil(t, r.effect.Command)
	}
	assert.Less(t, first, 90.0)
	r.keys("<space>")
	assert.Contains(t, r.shown(100, 30), "space stops it")
	start := r.since(r.live.began)
	for r.live.OffNose(r.since(r.live.began)) < 100 {
		r.tickNeedle(needleStep)
	}
	stop := r.since(r.live.began)
	r.keys("<space>")
	require.True(t, r.Typing())
	want, wantDistance, err := r.live.Questions(start, stop)
	require.NoError(t, err)
	assert.Equal(t, want, r.exercise)
	r.keys(r.right() + "<enter>n")
	assert.Equal(t, wantDistance, r.exercise)
	r.keys(r.right() + "<enter>")
	assert.Equal(t, []string{"minutes, live", "distance, live"}, []string{r.attempts[0].Task, r.attempts[1].Task})
	assert.Contains(t, r.shown(100, 40), "really it was")
	r.keys("n")
	assert.Equal(t, timing, r.mode, "another check")
}

func TestAPoorCheckIsBegunAnew(t *testing.T) {
	r := newRig(t, nil)
	r.keys("<down><enter><space>")
	r.tickNeedle(2 * time.Second)
	r.keys("<space>")
	assert.Contains(t, r.shown(120, 24), "let it move by 5 at least; start again")
	assert.Equal(t, timing, r.mode)
	chain := r.live.chain
	r.tickNeedle(time.Hour)
	assert.Contains(t, r.shown(120, 24), "too far behind for a check; here is another one")
	assert.Equal(t, terminal.Effect{}, r.Update(needleTick{chain}), "a tick of the old one")
	r.Update(terminal.Resumed{Away: time.Minute})
	assert.Equal(t, choosing, r.mode)
	r.keys("<enter>")
	assert.Equal(t, timing, r.mode)
	r.keys("<esc>x")
	assert.Equal(t, choosing, r.mode)
}

func TestNoTwoKeysOfAModeAreOne(t *testing.T) {
	r := newRig(t, nil)
	for _, state := range []string{"", "p", "<esc><enter>", "?", "<esc><home><down><enter>"} {
		r.keys(state)
		used := map[string]bool{}
		for _, binding := range r.bindings() {
			assert.NotEmpty(t, binding.Help().Desc)
			for _, name := range binding.Keys() {
				assert.False(t, used[name], "%q twice in mode %d", name, r.mode)
				used[name] = true
			}
		}
	}
}
