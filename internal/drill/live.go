package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

// Live is a bearing-change check as it happens: an aircraft flies straight past a beacon, and the needle moves. Time is counted in
// seconds from when the needle is first seen, a few degrees ahead of the wing tip.
//
// In still air at levels 1 and 2; at level 3 there is a wind, of which the student is not told before the end.
type Live struct {
	Level     Level
	Seed      uint64
	TASKt     float64
	OnRight   bool    // the beacon is on the right
	AbeamNM   float64 // distance of the beacon from the line flown
	Heading   float64 // true
	Wind      air.Wind
	Track     float64 // true, made good
	GroundKt  float64
	startedNM float64 // along the line, before the beacon is abeam of it
}

// NewLive draws a check.
func NewLive(level Level, seed uint64) Live {
	d := newDraw(BearingChange+" live", level, seed)
	l := Live{Level: level, Seed: seed, OnRight: d.yes(), Heading: d.direction(1)}
	switch level {
	case Round:
		l.TASKt, l.AbeamNM = oneOf(d, 90.0, 120), d.from(3, 6, 0.1)
	default:
		l.TASKt, l.AbeamNM = d.from(80, 125, 1), d.from(4, 10, 0.1)
	}
	if level == Several {
		l.Wind = air.Wind{FromTrue: d.direction(10), SpeedKt: d.from(10, 25, 1)}
	}
	l.Track, l.GroundKt = deadreckon.TrackFor(l.Heading, l.TASKt, l.Wind)
	ahead := d.from(1, 3, 0.5) // degrees before the wing tip
	line := 90 - ahead + l.lineOff()
	l.startedNM = l.AbeamNM / math.Tan(angle.Radians(line))
	return l
}

// lineOff is what turns a bearing off the nose, counted to the beacon's side, into one off the line flown.
func (l Live) lineOff() float64 {
	drift := angle.Turn(l.Heading, l.Track)
	if l.OnRight {
		return -drift
	}
	return drift
}

// RelativeBearing is what the needle shows, clockwise from the nose, in [0, 360).
func (l Live) RelativeBearing(seconds float64) float64 {
	ahead := l.startedNM - deadreckon.Distance(l.GroundKt, seconds/60)
	offNose := angle.Direction(ahead, l.AbeamNM) - l.lineOff()
	if l.OnRight {
		return angle.Wrap360(offNose)
	}
	return angle.Wrap360(-offNose)
}

// OffNose is the same counted from the nose to the beacon's side: 90 at the wing tip.
func (l Live) OffNose(seconds float64) float64 {
	return math.Abs(angle.Wrap180(l.RelativeBearing(seconds)))
}

// DistanceNM is how far the beacon is.
func (l Live) DistanceNM(seconds float64) float64 {
	return math.Hypot(l.startedNM-deadreckon.Distance(l.GroundKt, seconds/60), l.AbeamNM)
}

// MinutesToStation is how long it would be to the beacon, turning to it at once.
func (l Live) MinutesToStation(seconds float64) float64 {
	ahead := l.startedNM - deadreckon.Distance(l.GroundKt, seconds/60)
	toward := angle.Direction(ahead, l.AbeamNM)
	if !l.OnRight {
		toward = -toward
	}
	h, err := deadreckon.HeadingFor(angle.Wrap360(l.Track+toward), l.TASKt, l.Wind)
	if err != nil {
		panic("drill: " + err.Error())
	}
	return deadreckon.Minutes(l.DistanceNM(seconds), h.GroundspeedKt)
}

// Timed is what a student read: the stopwatch in whole seconds, and the needle in whole degrees when it was started and stopped.
type Timed struct {
	Seconds     float64
	First, Then float64 // off the nose
}

// Changed is by how many degrees the needle moved.
func (t Timed) Changed() float64 { return t.Then - t.First }

// Read is what can be read off when the stopwatch is started and stopped at these seconds. The error says why it makes no check.
func (l Live) Read(start, stop float64) (Timed, error) {
	t := Timed{math.Round(stop - start), math.Round(l.OffNose(start)), math.Round(l.OffNose(stop))}
	return t, deadreckon.UsableBearingChange(t.First, t.Then)
}

// Questions are what is asked of a check that was timed from start to stop: the minutes to the station and the distance. Right is
// what the rule makes of the figures read, and what the distance really is.
func (l Live) Questions(start, stop float64) (minutes, distance Exercise, err error) {
	t, err := l.Read(start, stop)
	if err != nil {
		return Exercise{}, Exercise{}, err
	}
	minutes = stationMinutes(t.Seconds, t.Changed(), SlideRule)
	minutes.Answers = either(minutes.Answers[0].Value, l.MinutesToStation(stop))
	distance = stationDistance(t.Seconds, t.Changed(), l.TASKt)
	distance.Answers = either(distance.Answers[0].Value, l.DistanceNM(stop))
	for _, e := range []*Exercise{&minutes, &distance} {
		e.Topic, e.Level, e.Seed = BearingChange, l.Level, l.Seed
		e.Task += ", live"
		e.Given = []Given{
			given("off the nose", "%.0f°, then %.0f°", t.First, t.Then), given("in", "%s s", figure(t.Seconds)), knots("true airspeed", l.TASKt),
		}
		e.Steps = append(e.Steps[:2:2], l.truth(*e, t)...)
		e.sortMistakes()
	}
	return minutes, distance, nil
}

// truth says how far off the rule was, and why.
func (l Live) truth(e Exercise, t Timed) []string {
	rule, real := e.Answers[0], e.Answers[1]
	steps := []string{fmt.Sprintf("really it was %s: the check is out by %.0f %%", e.Say(real.Reply), 100*math.Abs(rule.Value/real.Value-1))}
	if l.Wind.SpeedKt > 0 {
		head, across := l.Wind.Along(l.Heading)
		way := "on the nose"
		if head < 0 {
			way = "on the tail"
		}
		steps = append(steps, fmt.Sprintf("there was a wind that the check knows nothing of: %.0f kt %s, %.0f kt from the %s",
			math.Abs(head), way, math.Abs(across), say.LeftRight(across)))
	}
	return append(steps, fmt.Sprintf("the needle is read to a degree: one in %.0f is %.0f %%; the rule itself says up to 5 %% too much",
		t.Changed(), 100/t.Changed()))
}
