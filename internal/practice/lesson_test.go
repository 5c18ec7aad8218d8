package practice

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
)

// watched is a flight that the program flies until it hands over, or until so many minutes after off-blocks.
func watched(t *testing.T, hidden Hidden, until float64) (r *rig, minute float64) {
	s := demoSheet(t)
	require.NoError(t, hidden.Lesson.Possible(s))
	r = &rig{Flight: NewFlight(s, hidden), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	for minute = 0; minute < until && !r.world.handsOn; minute += 0.25 {
		now := r.at(minute)
		for e, ok := r.NextEvent(r.At(now), now); ok; e, ok = r.NextEvent(r.At(now), now) {
			r.count++
			e.N, e.Rec, e.Confirmed = r.count, now, true
			require.NoError(t, r.Apply(e))
		}
	}
	return r, minute
}

// learning is a flight by hand from the start.
func learning(t *testing.T, hidden Hidden) *navigator {
	s := demoSheet(t)
	r := &rig{Flight: NewFlight(s, hidden), t: t, start: s.Plan.OffBlocks}
	r.does(0, flight.Event{Act: flight.Clock, Set: &r.start, Rate: new(1.0)})
	r.does(0, flight.Event{Act: flight.Hands, Hands: "on"})
	r.does(0, flight.Event{Act: flight.OffBlocks})
	r.does(5, flight.Event{Act: flight.Airborne})
	return &navigator{rig: r}
}

// story is what is told of a lesson, a line each.
func (r *rig) story(minutes float64) string {
	told := r.Report(r.at(minutes)).Lesson
	require.NotNil(r.t, told)
	var lines []string
	for _, h := range told.Story {
		lines = append(lines, h.Text)
	}
	return strings.Join(lines, "\n")
}

func TestALateTurnIsHandedOverBehindThePoint(t *testing.T) {
	r, minute := watched(t, Hidden{3, LateTurn}, 60)
	require.True(t, r.world.handsOn)
	lkm, _ := r.world.sheet.Plan.Point("LKM")
	_, nearest := r.world.nearest(lkm.At, r.at(5), r.at(minute))
	assert.Less(t, nearest, 0.1, "it was flown over")
	assert.InDelta(t, 3*r.craft(minute).groundKt/60, bearingTo(r.craft(minute), lkm.At).distanceNM(), 1, "three minutes beyond")
	for _, row := range r.At(r.at(minute)).Route {
		assert.False(t, row.Point == "LKM" && row.Actual != nil, "nobody logged it")
	}
	r.does(minute+1, steer(120))
	r.does(minute+1.5, flight.Event{Act: flight.Passing, Point: "LKM"})
	story := r.story(minute + 3)
	assert.Contains(t, story, "Larkmere was passed, and nobody turned\nyou took over, ")
	assert.Regexp(t, `you turned onto 120, 4:[01]\d after the point`, story)
	assert.Regexp(t, `LKM stands in the log: 4:[34]\d late`, story)
}

func TestAForgottenTankIsHandedOverAsItStands(t *testing.T) {
	r, minute := watched(t, Hidden{3, TankForgotten}, 60)
	require.True(t, r.world.handsOn)
	s := r.View(r.at(minute))
	for i, gauge := range s.Seat.Panel.Gauges {
		assert.NotEqual(t, s.Tanks.Tanks[i].Selected, gauge.Selected, "the log has one, the panel the other")
	}
	r.does(minute+2, flight.Event{Act: flight.TankChange, Tank: s.Tanks.Selected})
	assert.Regexp(t, `^a change of tank was logged, and the selector stayed on right\nyou took over\nyou selected left, [89]:\d\d after the change that was logged; the true imbalance was `, r.story(minute+3))
	after := r.View(r.at(minute + 3))
	for i, gauge := range after.Seat.Panel.Gauges {
		assert.Equal(t, after.Tanks.Tanks[i].Selected, gauge.Selected)
	}
}

func TestAWrongForecastIsFarOut(t *testing.T) {
	s := demoSheet(t)
	forecast, _ := s.Air.Layers.At(3500)
	for seed := range uint64(20) {
		real, _ := New(s, Hidden{seed, WrongForecast}).air.Layers.At(3500)
		assert.InDelta(t, max(wrongLeastKt, wrongSigmas*s.Plan.Conditions.WindErrorKt), windsApart(forecast, real), 1e-6)
	}
	n := learning(t, Hidden{3, WrongForecast})
	n.fly(60)
	assert.Regexp(t, "^the wind was .* and not 245/\\d\\d\nthe log (had found it|never found it)", n.story(60))
}

func TestAStuckGaugeStands(t *testing.T) {
	n := learning(t, Hidden{4, StuckGauge})
	n.fly(70)
	w := n.world
	reading := func(minute float64, tank int) float64 { return n.View(n.at(minute)).Seat.Panel.Gauges[tank].Reading }
	began := w.begins.Minutes()
	stood := reading(began+1, w.stuckTank)
	for minute := began + 1; minute < 70; minute++ {
		assert.Equal(t, stood, reading(minute, w.stuckTank))
	}
	assert.Greater(t, reading(began, 1-w.stuckTank), reading(70, 1-w.stuckTank), "the other moves")
	names := w.sheet.Plan.Aircraft.Fuel.Tanks
	n.does(70.1, flight.Event{Act: flight.Gauges, Tanks: map[string]float64{names[w.stuckTank].Name: stood}})
	assert.Contains(t, n.story(71), "you logged what it showed")
	assert.Contains(t, n.story(71), "gauge stuck at")
}

func TestABeaconOffTheAirIsSilent(t *testing.T) {
	n := learning(t, Hidden{5, BeaconOff})
	w := n.world
	receiver := "NAV1"
	for _, leg := range w.sheet.Route.Legs {
		for _, step := range leg.Radio {
			if step.Beacon.Ident == w.silent {
				receiver = step.Receiver
			}
		}
	}
	n.does(6, flight.Event{Act: flight.Tuned, Receiver: receiver, Beacon: w.silent})
	shown := func(minute float64) PanelReceiver {
		return n.View(n.at(minute)).Seat.Panel.Receivers[w.receiver(receiver)]
	}
	began := w.begins.Minutes()
	assert.NotEmpty(t, shown(began-1).Morse)
	assert.Empty(t, shown(began+1).Morse)
	n.does(began+3, flight.Event{Act: flight.Identified, Receiver: receiver, Beacon: w.silent})
	story := n.story(began + 5)
	assert.Contains(t, story, w.silent+" went off the air\n"+receiver+" was tuned to it")
	assert.Contains(t, story, "nothing to hear")
}

// Every lesson can be flown by the demo, is named, and its journal tells the same flight again.
func TestEveryLesson(t *testing.T) {
	for _, lesson := range Lessons() {
		named, err := LessonNamed(string(lesson))
		require.NoError(t, err)
		assert.Equal(t, lesson, named)
		r, minute := watched(t, Hidden{8, lesson}, 40)
		var events []flight.Event
		for _, taken := range r.world.taken {
			events = append(events, *taken.Event)
		}
		again, err := Fold(r.world.sheet, Hidden{8, lesson}, events)
		require.NoError(t, err)
		assert.Equal(t, r.world.to(r.at(minute)), again.world.to(r.at(minute)), lesson)
		assert.NotEmpty(t, r.story(minute), lesson)
		_, err = json.Marshal(r.Report(r.at(minute)))
		require.NoError(t, err)
	}
	_, err := LessonNamed("knitting")
	assert.ErrorContains(t, err, "late-turn, wrong-forecast, stuck-gauge, beacon-off, tank-forgotten")
}

// Until the pilot takes over nobody sees the turning point go by: neither window nor the line below tells it, only the needles do.
func TestATurnThatNobodySeesIsNotTold(t *testing.T) {
	for seed := range uint64(4) {
		r, minute := watched(t, Hidden{seed, LateTurn}, 60)
		missed := r.world.missedAt
		took, ok := r.world.pilotTook(missed)
		require.True(t, ok)
		for at := missed; at.Before(took); at = at.Add(10 * time.Second) {
			assert.Empty(t, r.View(at).Seat.Passed, "%s", at.Sub(missed))
			assert.Regexp(t, `^(level|climbing) at \d+ ft$`, r.Outside(at))
		}
		assert.Regexp(t, "you took over", r.story(minute))
	}
}

// A lesson is judged in nothing before its difficulty came and, where it is handed over, before that; whenever the flight is over, what is
// told lies within it.
func TestALessonThatDidNotComeIsNotJudged(t *testing.T) {
	told := func(r *rig, minute float64) string {
		for _, h := range r.Report(r.at(minute)).Lesson.Story {
			assert.False(t, h.At.Before(r.start) || h.At.After(r.at(minute)), "%s at %s", h.Text, h.At)
		}
		return r.story(minute)
	}
	for _, lesson := range Lessons() {
		handsOver := lesson.TakenOver()
		for _, minute := range []float64{0, 0.5, 3, 8} {
			r, _ := watched(t, Hidden{8, lesson}, minute)
			if story := told(r, minute); lesson != WrongForecast || minute == 0 {
				assert.Equal(t, "the flight was over before anything went wrong: nothing was judged", story, "%s, %g minutes", lesson, minute)
			}
		}
		if !handsOver {
			continue
		}
		r, minute := watched(t, Hidden{8, lesson}, 60)
		require.True(t, r.world.handsOn)
		r, _ = watched(t, Hidden{8, lesson}, minute-0.5)
		require.False(t, r.world.handsOn)
		story := told(r, minute-0.5)
		assert.Regexp(t, "the flight was over before you took over: nothing was judged$", story)
		assert.NotContains(t, story, "never")
		assert.False(t, r.Report(r.at(minute-0.5)).HandsOn)

		for _, early := range []float64{0.3, 9} {
			r, _ = watched(t, Hidden{8, lesson}, early)
			r.does(early, flight.Event{Act: flight.Hands, Hands: "on"})
			if early < 5 {
				r.does(5, flight.Event{Act: flight.Airborne})
			}
			r.does(12, flight.Event{Act: flight.Hands, Hands: "off"})
			r.goOn(12, 45)
			assert.False(t, r.world.handsOn, "the program flies on to the end")
			assert.Equal(t, "you took over before anything had gone wrong: nothing was judged", told(r, 45), "%s", lesson)
			assert.Greater(t, r.world.next, 1)
		}
	}
}
