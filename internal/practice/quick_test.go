package practice

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/flight"
)

// checked answers a whole quick check, each figure in so many seconds, and returns what became of it.
func (n *navigator) checked(seconds float64, answer func(question) string) []closed {
	before := len(n.exam.closed)
	n.does(n.minute, flight.Event{Act: flight.QuickCheck})
	for n.exam.quick.goes {
		q := n.exam.open
		n.minute += seconds / 60
		n.does(n.minute, flight.Event{Act: flight.Answered, Prompt: q.ID, Text: answer(*q)})
	}
	return n.exam.closed[before:]
}

// byLog answers a quick check with what the log makes of it.
func byLog(q question) string { return q.byLog }

func TestAQuickCheckIsTenFiguresOfTheMoment(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	n.fly(20)
	began := n.at(n.minute)
	figures := n.checked(12, func(q question) string { return q.Say(q.Answers[0].Reply) })
	require.Len(t, figures, quickCount)
	kinds, names := map[kind]int{}, map[string]int{}
	for i, c := range figures {
		kinds[c.kind]++
		names[c.name]++
		assert.Equal(t, pointsQuick, c.points, c.Question)
		assert.WithinDuration(t, began.Add(time.Duration(i)*12*time.Second), c.asked, time.Second, "each is of its own moment")
	}
	for _, k := range []kind{askGroundspeed, askETA, askDistance, askHeading} {
		assert.GreaterOrEqual(t, kinds[k], 2, k)
	}
	assert.GreaterOrEqual(t, len(names), 7)
	check := n.View(n.at(n.minute)).Seat.Check
	require.NotNil(t, check)
	assert.Equal(t, QuickCheck{Count: 10, Asked: 10, Right: 10, Seconds: 120}, *check)
	told := 0
	for _, f := range n.Report(n.at(n.minute)).Figures {
		if f.Check == 0 { // what was asked before waits
			continue
		}
		told++
		assert.Equal(t, 1, f.Check)
		assert.InDelta(t, 12, f.Seconds, 0.01)
		require.NotNil(t, f.OffTruth)
		assert.Less(t, *f.OffTruth, 0.6, "an answer is said in whole units")
		assert.NotEmpty(t, f.Best)
	}
	assert.Equal(t, quickCount, told)
}

// The truth of a figure of the moment is that of the flight itself: the aircraft, held on its heading by the hand, makes the groundspeed good
// that was called true, but for the gusts; and where it was told to go straight to a place, it comes there when that was said to be.
func TestTheTruthOfAMomentComesTrue(t *testing.T) {
	for seed := range uint64(8) {
		n := &navigator{rig: seated(t, 40+seed)}
		n.fly(22)
		n.does(n.minute, flight.Event{Act: flight.QuickCheck})
		truths := map[string]question{}
		for n.exam.quick.goes {
			q := *n.exam.open
			if _, asked := truths[q.name]; !asked {
				truths[q.name] = q
			}
			n.does(n.minute, flight.Event{Act: flight.Answered, Prompt: q.ID, Text: q.Say(q.Answers[0].Reply)})
		}
		leg := n.world.sheet.Route.Legs[n.craft(n.minute).leg]
		here := n.craft(n.minute)
		speed, known := n.world.meanGroundspeed(n.at(n.minute), n.at(n.minute+4))
		require.True(t, known)
		wind, _ := n.world.air.Layers.At(here.altitudeFt)
		gusts := 4 * (gustLeastKt + gustShare*wind.SpeedKt) * math.Sqrt(2*gustSeconds/240.0)
		assert.InDelta(t, speed, truths["groundspeed now"].Answers[0].Value, gusts, "seed %d", seed)
		heading, eta := truths["heading to "+leg.To.Ident], truths["ETA "+leg.To.Ident]
		require.NotEmpty(t, heading.ID)
		n.does(n.minute, steer(n.world.compassOf(heading.Answers[0].Value)))
		at, distance := n.world.nearest(leg.To.At, n.at(n.minute), n.at(n.minute+40))
		assert.Less(t, distance, 1.2, "seed %d: straight to it, but for gusts and the hand", seed)
		assert.InDelta(t, timeOfDay(at), eta.Answers[0].Value, 1, "seed %d", seed)
		distanceTo := truths["distance to "+leg.To.Ident]
		assert.InDelta(t, bearingTo(here, leg.To.At).distanceNM(), distanceTo.Answers[0].Value, 0.1, "seed %d: the earth is flat within sight", seed)
	}
}

// What the log tells lies within the tolerance of the truth: two standard errors hold 95 % of what is normally distributed.
func TestWhatTheLogTellsIsRightByTheTruth(t *testing.T) {
	asked, right := 0, 0
	for seed := range uint64(12) {
		n := &navigator{rig: seated(t, 500+seed), says: true}
		for _, until := range []float64{16, 24, 36, 50} {
			n.fly(until)
			if n.craft(n.minute).leg >= len(n.world.sheet.Route.Legs) {
				break
			}
			for _, c := range n.checked(3, byLog) {
				asked++
				if c.points > 1 {
					right++
				}
			}
		}
	}
	require.Greater(t, asked, 300)
	assert.Greater(t, float64(right)/float64(asked), 0.95)
}

// In flight an answer of a quick check is not told the truth, only its side of it.
func TestAQuickCheckKeepsTheTruthToItself(t *testing.T) {
	n := &navigator{rig: seated(t, 7)}
	n.fly(20)
	n.does(n.minute, flight.Event{Act: flight.QuickCheck})
	first := *n.exam.open
	require.Equal(t, askGroundspeed, first.kind)
	n.does(n.minute, flight.Event{Act: flight.Answered, Prompt: first.ID, Text: "160"})
	marked := n.View(n.at(n.minute)).Seat.Marked
	assert.Equal(t, drill.Wrong, marked.Outcome)
	assert.Equal(t, []string{"160 kt is too much"}, marked.Comment)
	assert.NotContains(t, marked.Steps, first.Say(first.Answers[0].Reply))
}

// A question that was open waits until the check is over, and what comes up meanwhile does too; nothing can be asked on the ground.
func TestWhatElseIsAskedWaitsForTheQuickCheck(t *testing.T) {
	r := seated(t, 7)
	refused := func(minutes float64, text string) error {
		return r.Check(flight.Event{Act: flight.QuickCheck, Text: text, T: r.at(minutes), Rec: r.at(minutes)})
	}
	require.ErrorContains(t, refused(1, ""), "in the air")
	require.ErrorContains(t, refused(9, "end"), "no quick check is running")
	require.ErrorContains(t, refused(9, "slowly"), `can't be "slowly"`)
	n := &navigator{rig: r}
	for n.exam.open == nil {
		n.fly(n.minute + 0.5)
	}
	ordinary := n.exam.open.ID
	n.does(n.minute, flight.Event{Act: flight.QuickCheck})
	require.NotEqual(t, ordinary, n.exam.open.ID)
	require.ErrorContains(t, refused(n.minute, ""), "is running already")
	n.does(n.minute, flight.Event{Act: flight.QuickCheck, Text: flight.QuickCheckEnd})
	assert.Equal(t, ordinary, n.exam.open.ID)
	assert.False(t, n.View(n.at(n.minute)).Seat.Check.Goes)
	for _, f := range n.Report(n.at(n.minute)).Figures {
		assert.Zero(t, f.Check, "what was dropped was not asked")
	}
}

// Who lets the program fly can be asked too, and the report has it.
func TestAQuickCheckWithTheHandsOff(t *testing.T) {
	s := demoSheet(t)
	r := &rig{Flight: NewFlight(s, Hidden{Seed: 9}), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	r.does(0, flight.Event{Act: flight.OffBlocks})
	r.does(5, flight.Event{Act: flight.Airborne})
	for minute := 5.0; minute < 20; minute += 0.25 {
		for e, ok := r.NextEvent(r.At(r.at(minute)), r.at(minute)); ok; e, ok = r.NextEvent(r.At(r.at(minute)), r.at(minute)) {
			r.count++
			e.N, e.Rec, e.Confirmed = r.count, r.at(minute), true
			require.NoError(t, r.Apply(e))
		}
	}
	r.does(20, flight.Event{Act: flight.Clock, Rate: new(16.0)})
	r.does(20, flight.Event{Act: flight.QuickCheck})
	slow, ok := r.NextEvent(r.At(r.at(20)), r.at(20))
	require.True(t, ok)
	assert.Equal(t, 1.0, *slow.Rate)
	r.does(20, flight.Event{Act: flight.Answered, Prompt: r.exam.open.ID, Text: "95"})
	report := r.Report(r.at(21))
	assert.False(t, report.HandsOn)
	require.Len(t, report.Figures, 1)
	assert.NotEmpty(t, report.Figures[0].Truth)
}
