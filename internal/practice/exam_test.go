package practice

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/flight"
)

// best answers every question with the first of its right answers.
func best(q question) string { return q.Say(q.Answers[0].Reply) }

func TestAWellFlownFlightIsAskedEverythingAndMarked(t *testing.T) {
	n := flown(t, 7, func(n *navigator) { n.answers = best })
	require.False(t, n.ended().IsZero(), "it comes home")
	r := n.Report(n.ended())
	kinds := map[kind]int{}
	for _, c := range n.exam.closed {
		kinds[c.kind]++
		assert.Equal(t, pointsQuick, c.points, c.Question)
	}
	for _, k := range []kind{askGroundspeed, askETA, askBeacon, askTank} {
		assert.NotZero(t, kinds[k], k)
	}
	assert.Equal(t, r.MostPoints, r.Points)
	assert.Less(t, math.Abs(r.FarthestOffNM), 1.5)
	for _, p := range r.Passings {
		assert.InDelta(t, 0, p.LateSeconds, 20, p.Point)
	}
	assert.Equal(t, "landed at Pellmoor", r.Happenings[len(r.Happenings)-1].Text)
	_, err := json.Marshal(r)
	require.NoError(t, err)
}

// crooked flies a detour on the first leg behind the turn and another two legs later, to a side and by an angle of the seed.
func crooked(seed uint64) func(minute float64) float64 {
	side := float64(1-2*int(seed/2%2)) * (35 + float64(seed%20))
	return func(minute float64) float64 {
		switch {
		case minute > 15 && minute < 19, minute > 45 && minute < 50:
			return side
		case minute >= 19 && minute < 21, minute >= 50 && minute < 53:
			return -side
		}
		return 0
	}
}

// What is called right is the hidden truth within the tolerance that it is marked by, on flights along the track and on flights with detours,
// which are logged by the headings steered and the miles off track: of more than two hundred figures one in a hundred at most is not, where two
// standard errors let one in twenty be. And after a detour the straight distance, which is what the passings alone give, is far from it.
func TestEveryMarkAgreesWithTheTruth(t *testing.T) {
	asked := map[kind]int{}
	agreed, all, alongHeadings, straightWrong := 0, 0, 0, 0
	for seed := range uint64(24) {
		n := flown(t, 700+seed, func(n *navigator) {
			n.answers, n.says = best, true
			if seed%2 == 0 {
				n.aside = crooked(seed)
			}
		})
		for _, c := range n.exam.closed {
			truth, ok := n.world.trueAnswer(c.question, n.ended())
			if !ok || (c.kind == askETA || c.kind == askBeacon) && n.aside != nil && strays(n, c, truth) {
				continue
			}
			asked[c.kind]++
			all++
			if c.Mark(c.Say(drill.Reply{Value: truth}), 0).Outcome == drill.Right {
				agreed++
			}
			if c.kind == askGroundspeed && strings.HasPrefix(c.Given[2].Name, "straight") {
				alongHeadings++
				for _, m := range c.Mistakes {
					if m.Kind == drill.StepLeftOut {
						straightWrong++
					}
				}
			}
		}
	}
	for _, k := range []kind{askGroundspeed, askETA, askBeacon, askTank} {
		assert.GreaterOrEqual(t, asked[k], 10, k)
	}
	assert.Greater(t, all, 200)
	assert.GreaterOrEqual(t, float64(agreed), 0.99*float64(all))
	assert.Greater(t, alongHeadings, 10)
	assert.Greater(t, straightWrong, 3)
}

// strays reports whether a detour came between a question about a place ahead and that place: what was flown was not what was reckoned with.
func strays(n *navigator, c closed, truth float64) bool {
	for minute := c.asked.Sub(n.start).Minutes(); minute < truth-timeOfDay(n.start); minute += 0.5 {
		if n.aside(minute) != 0 {
			return true
		}
	}
	return false
}

// What falls together is asked one after the other: a change of tank at a turning point does not take away what the passing asks.
func TestWhatFallsTogetherWaits(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	for n.exam.open == nil {
		require.Less(t, n.minute, 60.0)
		n.fly(n.minute + 0.5)
	}
	first := n.exam.open.ID
	tank := "left"
	if n.State.At(n.at(n.minute)).Tanks.Tanks[0].Selected {
		tank = "right"
	}
	n.does(n.minute, flight.Event{Act: flight.TankChange, Tank: tank})
	assert.Equal(t, first, n.exam.open.ID)
	require.Len(t, n.exam.waiting, 1)
	n.does(n.minute, flight.Event{Act: flight.Answered, Prompt: first})
	assert.Equal(t, askTank, n.exam.open.kind)
	assert.Empty(t, n.exam.waiting)
}

// A distance off track asks for the turn, whether it came with a passing or by itself; after a change of heading on the leg it asks
// nothing, for the miles flown then say nothing of the track made good.
func TestADistanceOffTrackAsksForTheTurn(t *testing.T) {
	off := 1.4
	for name, change := range map[string]struct {
		event flight.Event
		turns bool
	}{
		"passing":         {flight.Event{Act: flight.Passing, Point: "DAM", OffTrack: &off}, false},
		"by itself":       {flight.Event{Act: flight.Fix, OffTrack: &off}, false},
		"after a heading": {flight.Event{Act: flight.Fix, OffTrack: &off}, true},
	} {
		r := seated(t, 7)
		r.does(5.1, steer(58))
		r.does(14, flight.Event{Act: flight.Passing, Point: "JNC"})
		if r.exam.open != nil {
			r.does(14, flight.Event{Act: flight.Answered, Prompt: r.exam.open.ID})
		}
		if change.turns {
			r.does(15, steer(90))
		}
		r.does(18, change.event)
		if change.turns {
			assert.Nil(t, r.exam.open, name)
			continue
		}
		require.NotNil(t, r.exam.open, name)
		assert.Equal(t, askTurn, r.exam.open.kind, name)
	}
}

// A slow answer is worth less, a near one a little, a wrong one nothing.
func TestPoints(t *testing.T) {
	ask := func() *rig {
		n := &navigator{rig: seated(t, 7)}
		for n.exam.open == nil {
			require.Less(t, n.minute, 60.0)
			n.fly(n.minute + 0.5)
		}
		return n.rig
	}
	answer := func(r *rig, wallSeconds float64, text func(question) string) closed {
		q := *r.exam.open
		at := r.exam.open.asked
		r.count++
		e := flight.Event{N: r.count, Act: flight.Answered, Prompt: q.ID, Text: text(q), T: at, Rec: q.wall.Add(time.Duration(wallSeconds) * time.Second)}
		require.NoError(t, r.Check(e))
		require.NoError(t, r.Apply(e))
		return r.exam.closed[len(r.exam.closed)-1]
	}
	off := func(times float64) func(question) string {
		return func(q question) string {
			return q.Say(drill.Reply{Value: q.Answers[0].Value + times*q.Tolerance.By})
		}
	}
	assert.Equal(t, pointsQuick, answer(ask(), 30, best).points)
	slow := answer(ask(), 300, best)
	assert.Equal(t, pointsRight, slow.points)
	assert.Equal(t, Slow, slow.outcome())
	near := answer(ask(), 30, off(-2))
	assert.Equal(t, pointsNear, near.points)
	assert.Equal(t, Near, near.outcome(), "what is worth a point is not called wrong beside it")
	assert.Zero(t, answer(ask(), 30, off(-9)).points)
	shown := answer(ask(), 30, func(question) string { return "" })
	assert.Zero(t, shown.points)
	assert.Equal(t, drill.NotKnown, shown.outcome())

	r := ask()
	e := flight.Event{Act: flight.Answered, Prompt: r.exam.open.ID, Text: "soon", T: r.exam.open.asked, Rec: r.exam.open.wall}
	var refusal *flight.Refusal
	require.ErrorAs(t, r.Check(e), &refusal)
	assert.Contains(t, refusal.Text, `"soon"`)
}

// Of a passing that no wind explains nothing is asked.
func TestNothingIsAskedOfAnImpossibleStretch(t *testing.T) {
	r := seated(t, 7)
	r.does(14, flight.Event{Act: flight.Passing, Point: "JNC"})
	r.does(14.5, flight.Event{Act: flight.Passing, Point: "DAM"})
	assert.Nil(t, r.exam.open)
	r = seated(t, 7)
	r.does(14, flight.Event{Act: flight.Passing, Point: "JNC"})
	r.does(18, flight.Event{Act: flight.Passing, Point: "DAM"})
	assert.NotNil(t, r.exam.open)
}

// Over the destination the flight can be ended, and the seat says so.
func TestTheSeatSaysWhereTheFlightCanEnd(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	n.fly(40)
	assert.Empty(t, n.View(n.at(40)).Seat.Landing)
	n = flown(t, 7, nil)
	assert.Equal(t, "Pellmoor", n.View(n.ended().Add(-2*time.Second)).Seat.Landing)
}

// Questions wait: none lapses before the flight is over, and then all of them are told.
func TestAQuestionThatIsNotAnsweredLapses(t *testing.T) {
	n := flown(t, 7, nil)
	assert.Empty(t, n.exam.closed)
	require.Greater(t, len(n.exam.waiting), 1)
	r := n.Report(n.ended())
	require.Len(t, r.Figures, 1+len(n.exam.waiting))
	assert.Zero(t, r.Points)
	for _, f := range r.Figures {
		assert.Equal(t, Unanswered, f.Outcome)
		assert.Empty(t, f.Answer)
		assert.NotEmpty(t, f.Best)
	}
	assert.Empty(t, n.exam.closed, "the report changes nothing")
}

// While a question is open the clock goes no faster than life, and after it as before; unless the pilot sets it.
func TestTheClockWaitsForAnAnswer(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	n.does(5.05, flight.Event{Act: flight.Clock, Rate: new(8.0)})
	minute := 5.2
	next := func() (flight.Event, bool) {
		now := n.at(minute)
		return n.NextEvent(n.At(now), now)
	}
	for n.exam.open == nil {
		_, wants := next()
		require.False(t, wants)
		n.fly(n.minute + 0.5)
		minute = n.minute
	}
	slow, ok := next()
	require.True(t, ok)
	assert.Equal(t, 1.0, *slow.Rate)
	n.does(minute, slow)
	_, ok = next()
	assert.False(t, ok)
	n.does(minute, flight.Event{Act: flight.Answered, Prompt: n.exam.open.ID})
	again, ok := next()
	require.True(t, ok)
	assert.Equal(t, 8.0, *again.Rate)
	n.does(minute, again)
	_, ok = next()
	assert.False(t, ok)
}

// A level that was left is told leg by leg; the climb to the level planned is not held against anyone.
func TestALevelThatWasLeftIsTold(t *testing.T) {
	n := flown(t, 7, nil)
	for _, l := range n.Report(n.ended()).Levels {
		assert.InDelta(t, 1, l.Share, 0.02, "%s to %s", l.From, l.To)
	}
	r := seated(t, 7)
	r.does(20, flight.Event{Act: flight.Controls, Altitude: new(4300.0)})
	levels := r.Report(r.at(30)).Levels
	require.Len(t, levels, 1)
	assert.InDelta(t, 800, levels[0].FarthestFt, 1)
	climbed := (3500 - 100) / 700.0 // minutes, some
	assert.InDelta(t, (15-climbed)/(25-climbed-1), levels[0].Share, 0.06)
}

// Who sleeps through a turn flies on, and the report says how far off that led.
func TestFlyingPastATurnIsTold(t *testing.T) {
	n := flown(t, 7, func(n *navigator) { n.asleep = func(minute float64) bool { return minute > 14 && minute < 32 } })
	r := n.Report(n.at(150))
	assert.Greater(t, math.Abs(r.FarthestOffNM), 3.0)
	require.NotNil(t, r.FarthestOffAt)
	worst := slices.MaxFunc(r.OffLegs, func(a, b OffLeg) int { return cmp.Compare(math.Abs(a.FarthestNM), math.Abs(b.FarthestNM)) })
	assert.Equal(t, OffLeg{worst.Leg, r.FarthestOffNM, *r.FarthestOffAt}, worst)
}

// A passing that was logged late is told beside the truth.
func TestALatePassingIsTold(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	n.fly(12)
	n.fly(24)
	r := n.Report(n.at(24))
	require.NotEmpty(t, r.Passings)
	first := r.Passings[0]
	n.does(24, flight.Event{Act: flight.Amend, Event: entryOf(n.rig, first.Point), With: json.RawMessage(`{"t":"` + first.Logged.Add(40*time.Second).Format(time.RFC3339) + `"}`)})
	assert.InDelta(t, first.LateSeconds+40, n.Report(n.at(24)).Passings[0].LateSeconds, 1e-6)
}

func entryOf(r *rig, point string) int {
	for i, taken := range r.world.taken {
		if taken.Act == flight.Passing && taken.Point == point {
			return i + 1
		}
	}
	return 0
}

// The journal tells the whole examination again.
func TestAFoldedJournalHasTheSameReport(t *testing.T) {
	n := flown(t, 12, func(n *navigator) { n.answers = best })
	var events []flight.Event
	for _, taken := range n.world.taken {
		events = append(events, *taken.Event)
	}
	again, err := Fold(n.world.sheet, Hidden{Seed: 12}, events)
	require.NoError(t, err)
	assert.True(t, assert.ObjectsAreEqual(n.Report(n.ended()), again.Report(n.ended())))
}
