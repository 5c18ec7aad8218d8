package drill

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/say"
)

// precisely writes a reply without rounding, in a form that is read.
func precisely(e Exercise, r Reply) string {
	switch e.Form.Kind {
	case Span, Hours:
		return fmt.Sprintf("%.9f min", r.Value)
	case TimeOfDay:
		return say.SayTimeOfDay(r.Value) // to the second
	case Turn:
		return fmt.Sprintf("%.9f %s", math.Abs(r.Value), say.LeftRight(r.Value))
	case Direction:
		return fmt.Sprintf("%.9f", around(r.Value))
	case WindForm:
		return fmt.Sprintf("%.9f/%.9f", around(r.Value), r.SpeedKt)
	case Choice:
		return e.Form.Choices[int(r.Value)]
	}
	return fmt.Sprintf("%.9f %s", r.Value, e.Form.Unit)
}

// Every answer that counts as right is marked right as a pilot says it, rounding included.
func TestEveryAnswerAsItIsSaidIsRight(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, answer := range e.Answers {
			for _, text := range []string{e.Say(answer.Reply), strings.ToLower(e.Say(answer.Reply)), precisely(e, answer.Reply)} {
				v := e.Mark(text, time.Minute)
				require.Equal(t, Right, v.Outcome, "%q: %+v of %+v", text, v, e)
				require.Equal(t, time.Minute, v.Took)
				require.Empty(t, v.Off)
			}
		}
	})
}

// A reply is right up to the tolerance and wrong beyond it.
func TestToleranceIsKept(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		if e.Form.Kind == Choice || e.Form.Kind == WindForm {
			return
		}
		coarse := 0.0
		if e.Form.Kind == TimeOfDay {
			coarse = 1.0 / 60
		}
		for _, answer := range e.Answers {
			for _, way := range []float64{-1, 1} {
				inside := Reply{Value: answer.Value + way*max(0, 0.99*e.Tolerance.By-coarse)}
				outside := Reply{Value: answer.Value + way*(1.01*e.Tolerance.By+coarse)}
				if e.Tolerance.Limit != nil && way > 0 {
					continue // nothing after the answer is
				}
				if e.Form.Kind != TimeOfDay && e.Form.Kind != Direction && e.Form.Kind != Turn && outside.Value < 0 {
					continue
				}
				require.Equal(t, Right, e.Mark(precisely(e, inside), 0).Outcome, "%v within %v: %+v", inside, e.Tolerance, e)
				if other := e.nearestAnswer(outside); e.Form.Apart(other.Reply, outside) < e.Tolerance.By {
					continue // right by another way
				}
				v := e.Mark(precisely(e, outside), 0)
				require.Equal(t, Wrong, v.Outcome, "%v beyond %v: %+v", outside, e.Tolerance, e)
				require.NotEmpty(t, v.Off)
			}
		}
	})
}

// Of a choice everything else is wrong, and the slip is known.
func TestOtherChoicesAreWrong(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for i, choice := range e.Form.Choices {
			v := e.Mark(choice, 0)
			if float64(i) == e.Answers[0].Value {
				require.Equal(t, Right, v.Outcome)
				continue
			}
			require.Equal(t, Wrong, v.Outcome)
			require.NotNil(t, v.Mistake)
		}
	})
}

// A known slip is wrong, and recognised for what it is.
func TestMistakesAreRecognised(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, mistake := range e.Mistakes {
			v := e.Mark(e.Say(mistake.Reply), 0)
			require.Equal(t, Wrong, v.Outcome, "%+v is right in %+v", mistake, e)
			require.NotNil(t, v.Mistake, "%+v of %+v", mistake, e)
			if v.Mistake.Kind != mistake.Kind { // another one is nearer to the rounded figure
				require.LessOrEqual(t, e.Form.Apart(v.Mistake.Reply, mistake.Reply), 1.5*e.Tolerance.By+0.5, "%+v, %+v", mistake, v.Mistake)
			}
			require.NotEmpty(t, mistake.Text)
		}
	})
}

// A slip that leads to a figure within the tolerance is named, and the answer is right all the same; the answer as it is said never is
// taken for one, nor is it in tenths of an hour or of a minute.
func TestASlipWithinTheToleranceIsNamed(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, mistake := range e.Hidden {
			v := e.Mark(e.Say(mistake.Reply), 0)
			require.Equal(t, Right, v.Outcome)
			require.NotNil(t, v.Mistake, "%q in %+v", e.Say(mistake.Reply), e)
			require.Contains(t, strings.Join(e.Comment(v), "\n"), v.Mistake.Text)
		}
		for _, answer := range e.Answers {
			require.Nil(t, e.Mark(e.Say(answer.Reply), 0).Mistake)
			if e.Form.Kind == Hours || e.Form.Kind == Span {
				require.Nil(t, e.Mark(fmt.Sprintf("%.1f h", answer.Value/60), 0).Mistake)
				require.Nil(t, e.Mark(fmt.Sprintf("%.1f min", answer.Value), 0).Mistake)
			}
		}
	})
}

// Nothing after a limit is right, and what is shown as the latest is not after it.
func TestNothingAfterALimitIsRight(t *testing.T) {
	limits := 0
	eachExercise(t, func(t *testing.T, e Exercise) {
		if e.Tolerance.Limit == nil {
			require.NotContains(t, e.Question, "at the latest")
			return
		}
		limits++
		require.LessOrEqual(t, e.Answers[0].Value, *e.Tolerance.Limit+slack)
		require.Less(t, *e.Tolerance.Limit-e.Answers[0].Value, 1.0)
		require.Equal(t, Wrong, e.Mark(say.SayTimeOfDay(math.Floor(*e.Tolerance.Limit+slack)+1), 0).Outcome)
	})
	require.Positive(t, limits)
}

// The slips are what they are called.
func TestSlipsAreWhatTheyAreCalled(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		right := e.Answers[0].Value
		for _, mistake := range e.Mistakes {
			switch {
			case mistake.Kind == FactorOfTen:
				ratio := mistake.Value / right
				require.True(t, math.Abs(ratio-10) < 1e-9 || math.Abs(ratio-0.1) < 1e-9, "%+v", mistake)
			case mistake.Kind == Reciprocal && e.Form.Kind == Direction && e.Topic != Radial:
				require.InDelta(t, 180, e.Form.Apart(mistake.Reply, Reply{Value: right}), 1e-6, "%+v", mistake)
			case mistake.Kind == Reciprocal && e.Form.Kind == WindForm:
				require.InDelta(t, 180, math.Abs(shortest(mistake.Value, right)), 1e-6, "%+v", mistake)
			case mistake.Kind == WrongWay && e.Form.Kind == Turn:
				require.Negative(t, mistake.Value*right, "%+v", mistake)
			}
		}
	})
}

func TestWhatIsKnownOfAnExerciseIsComplete(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		require.NotEmpty(t, e.Question)
		require.NotEmpty(t, e.Task)
		require.NotEmpty(t, e.Tolerance.Why)
		require.NotEmpty(t, e.Form.Example())
		require.NotEmpty(t, e.Given)
		require.Contains(t, []Tool{InTheHead, SlideRule}, e.Tool)
		if e.Level == Round {
			require.Equal(t, InTheHead, e.Tool, "round figures are for the head")
		}
		texts := append([]string{e.Question, e.Within()}, e.Steps...)
		for _, g := range e.Given {
			require.NotEmpty(t, g.Text)
			texts = append(texts, g.Name, g.Text)
		}
		for _, text := range texts {
			require.NotContains(t, text, "NaN")
			require.NotContains(t, text, "Inf")
			require.NotContains(t, text, "%!")
			for _, r := range text {
				require.True(t, r >= ' ' && r <= '~' || strings.ContainsRune("°×±", r), "%q in %q", r, text)
			}
		}
	})
}

func TestTheSameSeedMakesTheSameExercise(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		if strings.HasSuffix(e.Task, ", in flight") {
			return
		}
		require.Equal(t, e, Make(e.Topic, e.Level, e.Seed))
		text, err := json.Marshal(e)
		require.NoError(t, err)
		require.NotContains(t, string(text), "null")
	})
}

// What a seed makes never changes, so that an instructor can give a class the same questions next year.
func TestSeedsAreKept(t *testing.T) {
	for _, c := range []struct {
		topic        Topic
		level        Level
		seed         uint64
		given, right string
	}{
		{TimeSpeedDistance, Plain, 0, "14.5 nm, 80 kt", "10:53"},
		{WindHeading, Plain, 2, "107 true, 120 kt, 180/35 true", "123"},
		{Radial, Several, 1, "124 magnetic, TO, 5° right", "309"},
		{SunsetMargin, Round, 0, "N36.5 W37, 14 January 2026, 19:35Z, 20:03Z, 18:51Z", "44 min"},
	} {
		e := Make(c.topic, c.level, c.seed)
		texts := make([]string, len(e.Given))
		for i, g := range e.Given {
			texts[i] = g.Text
		}
		assert.Equal(t, c.given, strings.Join(texts, ", "))
		assert.Equal(t, c.right, e.Say(e.Answers[0].Reply))
	}
}

func TestAnEmptyAnswerIsNotKnownAndNonsenseDoesNotCount(t *testing.T) {
	e := Make(Drift, Round, 1)
	assert.Equal(t, NotKnown, e.Mark("  ", 0).Outcome)
	assert.True(t, NotKnown.Counts())
	v := e.Mark("no idea", 0)
	assert.Equal(t, Unreadable, v.Outcome)
	assert.False(t, v.Outcome.Counts())
	assert.Equal(t, `"no idea" is not a figure with a side; write 2 left or R 2, in °`, v.Problem)
	v = e.Mark("12", 0)
	assert.Equal(t, `"12" has no side: left or right?; write 2 left or R 2, in °`, v.Problem)
}

func TestVerdictSaysHowFarOff(t *testing.T) {
	for _, c := range []struct {
		e         Exercise
		text, off string
	}{
		{timeForDistance(22.5, 94, SlideRule), "16:00", "1:38 too long"},
		{timeForDistance(300, 100, SlideRule), "2 h 30", "30 min too short"},
		{distanceInTime(90, 40, SlideRule), "55", "5.0 nm too little"},
		{etaAtGroundspeed(600, 30, 90, SlideRule), "10:25", "5:00 late"},
		{etaAtGroundspeed(23*60+50, 30, 90, SlideRule), "00:05", "5:00 early"},
		{bearingTo(120, 45), "160", "5° left"},
		{driftFrom(56, 42), "10 left", "4° off"},
		{windFound(flown{296, 225, 310, 250}, SlideRule), "190/50", "13 kt off, end to end"},
	} {
		v := c.e.Mark(c.text, 0)
		assert.Equal(t, Wrong, v.Outcome, c.text)
		assert.Equal(t, c.off, v.Off, c.text)
	}
}

func TestTopicNamed(t *testing.T) {
	topic, err := TopicNamed("ETA")
	require.NoError(t, err)
	assert.Equal(t, ETA, topic)
	topic, err = TopicNamed("slant")
	require.NoError(t, err)
	assert.Equal(t, SlantRange, topic)
	_, err = TopicNamed("wind")
	assert.EqualError(t, err, `"wind" may be wind-heading, wind-found`)
	_, err = TopicNamed("knitting")
	assert.ErrorContains(t, err, `there is no topic "knitting"; there are time-speed-distance, groundspeed, `)
	for _, topic := range Topics() {
		assert.NotEmpty(t, topic.Title())
		same, err := TopicNamed(string(topic))
		require.NoError(t, err)
		assert.Equal(t, topic, same)
	}
	assert.Panics(t, func() { Make("knitting", Round, 1) })
	assert.Panics(t, func() { Make(ETA, 4, 1) })
}

func BenchmarkMake(b *testing.B) {
	topics := Topics()
	for i := range uint64(b.N) {
		Make(topics[i%uint64(len(topics))], Several, i)
	}
}
