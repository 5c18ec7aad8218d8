package drill

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawLive(t *rapid.T) Live {
	return NewLive(rapid.SampledFrom(Levels()).Draw(t, "level"), rapid.Uint64().Draw(t, "seed"))
}

// place is where a beacon is from an aircraft that is flown a second at a time through its wind, found again from its start.
func place(l Live, seconds int) (bearing, distance float64) {
	east, north := 0.0, 0.0
	stepEast := (l.TASKt*sinOf(l.Heading) - l.Wind.SpeedKt*sinOf(l.Wind.FromTrue)) / 3600
	stepNorth := (l.TASKt*cosOf(l.Heading) - l.Wind.SpeedKt*cosOf(l.Wind.FromTrue)) / 3600
	atStart, far := l.Heading+l.RelativeBearing(0), l.DistanceNM(0)
	beaconEast, beaconNorth := far*sinOf(atStart), far*cosOf(atStart)
	for range seconds {
		east, north = east+stepEast, north+stepNorth
	}
	toEast, toNorth := beaconEast-east, beaconNorth-north
	return around(arc(math.Atan2(toEast, toNorth)) - l.Heading), math.Hypot(toEast, toNorth)
}

func TestNeedleAndDistanceFollowTheFlight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLive(t)
		seconds := rapid.IntRange(0, 300).Draw(t, "seconds")
		bearing, distance := place(l, seconds)
		require.InDelta(t, 0, shortest(bearing, l.RelativeBearing(float64(seconds))), 1e-6)
		require.InDelta(t, distance, l.DistanceNM(float64(seconds)), 1e-9)
		onRight := l.RelativeBearing(float64(seconds)) < 180
		require.Equal(t, l.OnRight, onRight)
	})
}

func TestNeedleStartsAheadOfTheWingTipAndDrawsAft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLive(t)
		require.Greater(t, l.OffNose(0), 80.0)
		require.Less(t, l.OffNose(0), 90.0)
		for seconds := 0.0; seconds < 240; seconds += 10 {
			require.Greater(t, l.OffNose(seconds+10), l.OffNose(seconds))
		}
	})
}

// From the wing tip on in still air it is the check as published: exact is run / sin(change) (section 2, geometry).
func TestStillAirIsTheCheckAsPublished(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := NewLive(rapid.SampledFrom([]Level{Round, Plain}).Draw(t, "level"), rapid.Uint64().Draw(t, "seed"))
		start := halve(0, 600, func(seconds float64) float64 { return l.OffNose(seconds) - 90 })
		stop := start + rapid.Float64Range(20, 120).Draw(t, "seconds")
		run := l.TASKt * (stop - start) / 3600
		change := l.OffNose(stop) - 90
		require.InDelta(t, run/sinOf(change), l.DistanceNM(stop), 1e-6)
		require.InDelta(t, 60*l.DistanceNM(stop)/l.TASKt, l.MinutesToStation(stop), 1e-9)
	})
}

// Flying to the beacon takes the minutes that are stated, also in wind: flown a second at a time towards it.
func TestMinutesToStationAreFlown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLive(t)
		stop := rapid.Float64Range(10, 120).Draw(t, "stop")
		distance := l.DistanceNM(stop)
		_, groundspeed := tryHeadings(l.Heading+l.RelativeBearing(stop), l.TASKt, l.Wind.FromTrue, l.Wind.SpeedKt)
		require.InDelta(t, 60*distance/groundspeed, l.MinutesToStation(stop), 1e-6)
	})
}

func TestQuestionsOfACheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLive(t)
		start := halve(0, 600, func(seconds float64) float64 { return l.OffNose(seconds) - 90 })
		stop := halve(start, 2000, func(seconds float64) float64 { return l.OffNose(seconds) - 100 })
		timed, err := l.Read(start, stop)
		require.NoError(t, err)
		require.Equal(t, 10.0, timed.Changed())
		minutes, distance, err := l.Questions(start, stop)
		require.NoError(t, err)
		require.InDelta(t, timed.Seconds/10, minutes.Answers[0].Value, 1e-9)
		require.InDelta(t, timed.Seconds/10*l.TASKt/60, distance.Answers[0].Value, 1e-9)
		require.InDelta(t, l.DistanceNM(stop), distance.Answers[1].Value, 1e-9)
		for _, e := range []Exercise{minutes, distance} {
			require.Equal(t, BearingChange, e.Topic)
			for _, answer := range e.Answers {
				require.Equal(t, Right, e.Mark(e.Say(answer.Reply), 0).Outcome)
			}
			require.Equal(t, Wrong, e.Mark(e.Say(Reply{Value: 2 * e.Answers[0].Value}), 0).Outcome)
			last := e.Steps[len(e.Steps)-1]
			require.Contains(t, last, "10 %")
		}
		require.Equal(t, l.Level == Several, len(minutes.Steps) > 3, "the wind is told at the end: %q", minutes.Steps)
	})
}

func TestWhatIsNoCheck(t *testing.T) {
	l := NewLive(Round, 1)
	wingTip := halve(0, 600, func(seconds float64) float64 { return l.OffNose(seconds) - 90 })
	_, err := l.Read(wingTip, wingTip+3)
	assert.ErrorContains(t, err, "let it move by 5 at least")
	_, err = l.Read(wingTip, wingTip+3000)
	assert.ErrorContains(t, err, "past 30° the rule no longer holds")
	_, _, err = l.Questions(wingTip+300, wingTip+330)
	assert.ErrorContains(t, err, "start it near the wing tip")
}
