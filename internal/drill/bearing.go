package drill

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func bearingTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			degrees := oneOf(d, 5.0, 10, 15, 20)
			return stationMinutes(degrees*d.from(3, 15, 1), degrees, InTheHead)
		}},
		{
			func(d *draw) Exercise { return stationMinutes(d.from(50, 240, 5), d.from(5, 20, 1), SlideRule) },
			func(d *draw) Exercise {
				return stationDistance(d.from(50, 200, 5), d.from(5, 20, 1), d.from(80, 125, 1))
			},
			func(d *draw) Exercise {
				return isosceles(d.from(15, 45, 5), d.from(3, 12, 0.25), d.from(80, 125, 1))
			},
		},
		{
			func(d *draw) Exercise {
				return stationFuel(d.from(60, 240, 5), d.from(5, 15, 1), d.from(5, 12, 0.1), gallons)
			},
			func(d *draw) Exercise {
				radial, change, first := d.direction(1), d.signed(5, 15, 1), d.timeOfDay(30)
				return stationByRadials(radial, angle.Wrap360(radial+change), first, first+d.from(1.5, 5, 0.5), d.from(80, 125, 1))
			},
			func(d *draw) Exercise {
				bearing := d.from(30, 60, 5)
				return stationByTwoBearings(bearing, bearing+d.from(15, 45, 5), d.from(4, 9, 0.5), d.from(80, 125, 1))
			},
		},
	}
}

// toStation is the check for figures that give a distance; any other is a fault of the program.
func toStation(minutes, degrees, tasKt float64) deadreckon.ToStation {
	s, err := deadreckon.BearingChange(minutes, degrees, tasKt)
	if err != nil {
		panic("drill: " + err.Error())
	}
	return s
}

func checkGiven(seconds, degreesChanged float64) []Given {
	return []Given{
		{"the bearing was first", "on the wing tip"}, degrees("it then changed by", degreesChanged), {"in", figure(seconds) + " s"},
	}
}

// stationMinutes asks for the time to the station.
func stationMinutes(seconds, degreesChanged float64, tool Tool) Exercise {
	s := toStation(seconds/60, degreesChanged, 60)
	e := Exercise{
		Task: "minutes", Tool: tool, Given: checkGiven(seconds, degreesChanged),
		Question: "How long is it to the station in still air?",
		Form:     Form{Kind: Span}, Answers: either(s.MinutesRule, s.MinutesExact), Tolerance: tool.within(s.MinutesRule, 0.1),
	}
	var w sums.Working
	w.ByRule(seconds, degreesChanged, s.MinutesRule, say.SaySpan(s.MinutesRule))
	w.Precisely(seconds, degreesChanged, s.MinutesExact, say.SaySpan(s.MinutesExact))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(SixtyForgotten, s.MinutesRule/60, "the minutes divided by the degrees: it is the SECONDS that give minutes")
	e.slip(UpsideDown, 60*degreesChanged/seconds, "degrees divided by seconds: the slower the change, the farther")
	e.slipFactorOfTen()
	return e
}

// stationWorking works out by the rule and exactly what follows from the minutes to the station.
func stationWorking(w *sums.Working, seconds, degreesChanged float64, s deadreckon.ToStation, follows func(minutes float64, exactly bool)) []string {
	w.ByRule(seconds, degreesChanged, s.MinutesRule, "")
	follows(s.MinutesRule, false)
	w.Precisely(seconds, degreesChanged, s.MinutesExact, "")
	follows(s.MinutesExact, true)
	return w.Plain()
}

// stationDistances work out the distance to the station.
func stationDistances(w *sums.Working, seconds, degreesChanged, tasKt float64, s deadreckon.ToStation) []string {
	w.Decimals(1, s.DistanceRuleNM, s.DistanceExactNM)
	return stationWorking(w, seconds, degreesChanged, s, func(minutes float64, exactly bool) {
		distance := s.DistanceRuleNM
		if exactly {
			distance = s.DistanceExactNM
		}
		w.Distance("distance", tasKt, minutes, distance)
	})
}

// stationDistance asks for the distance to the station.
func stationDistance(seconds, degreesChanged, tasKt float64) Exercise {
	s := toStation(seconds/60, degreesChanged, tasKt)
	e := Exercise{
		Task: "distance", Tool: SlideRule, Given: append(checkGiven(seconds, degreesChanged), knots("true airspeed", tasKt)),
		Question: "How far is the station in still air?",
		Form:     numberForm("nm", 1), Answers: either(s.DistanceRuleNM, s.DistanceExactNM), Tolerance: SlideRule.within(s.DistanceRuleNM, 0.2),
	}
	e.Steps = stationDistances(&sums.Working{}, seconds, degreesChanged, tasKt, s)
	e.slip(StepLeftOut, s.MinutesRule, "that is the time in minutes: the miles follow from the airspeed")
	e.slip(StepLeftOut, deadreckon.Distance(tasKt, seconds/60), "that is the distance flown during the check")
	e.slipFactorOfTen()
	return e
}

// isosceles asks for the distance to a station whose bearing has doubled.
func isosceles(relative, minutes, tasKt float64) Exercise {
	_, distance := deadreckon.Isosceles(minutes, tasKt)
	var w sums.Working
	w.Decimals(1, distance)
	w.Line("the bearing has doubled: the way to the station is as long as the way flown")
	w.Distance("distance", tasKt, minutes, distance)
	e := Exercise{
		Task: "doubled bearing", Tool: SlideRule,
		Given: []Given{
			degrees("the station was off the nose by", relative), degrees("later off the nose by", 2*relative),
			lasting("after", minutes), knots("true airspeed", tasKt),
		},
		Question: "How far is the station now, in still air?",
		Form:     numberForm("nm", 1), Answers: only(distance), Tolerance: SlideRule.within(distance, 0.1),
		Steps: w.Plain(),
	}
	e.slipReadAsDecimals(minutes, func(misread float64) float64 { return deadreckon.Distance(tasKt, misread) })
	e.slip(WrongFigure, deadreckon.Distance(tasKt, 60*minutes/relative), "the rule for the wing tip: it does not hold here")
	e.slip(StepLeftOut, minutes, "that is the time in minutes: the miles follow from the airspeed")
	return e
}

// stationFuel asks for the fuel that the way to the station takes.
func stationFuel(seconds, degreesChanged, flowPerHour float64, unit string) Exercise {
	s := toStation(seconds/60, degreesChanged, 60)
	rule, exact := fuelFor(s.MinutesRule, flowPerHour), fuelFor(s.MinutesExact, flowPerHour)
	e := Exercise{
		Task: "fuel", Tool: SlideRule, Given: append(checkGiven(seconds, degreesChanged), amount("flow", flowPerHour, unit+anHour)),
		Question: "How much fuel does the way to the station take?",
		Form:     numberForm(unit, 1), Answers: either(rule, exact), Tolerance: SlideRule.within(rule, 0.1),
	}
	var w sums.Working
	w.Decimals(1, rule, exact)
	e.Steps = stationWorking(&w, seconds, degreesChanged, s, func(minutes float64, _ bool) {
		w.Fuel("fuel", flowPerHour, minutes, fuelFor(minutes, flowPerHour), unit)
	})
	e.slip(StepLeftOut, fuelFor(seconds/60, flowPerHour), "that is the fuel used during the check")
	e.slipFactorOfTen()
	return e
}

// stationByRadials asks for the distance to a VOR from two radials, the heading being square to the first.
func stationByRadials(radial1, radial2, first, second, tasKt float64) Exercise {
	change := angle.Turn(radial1, radial2)
	heading := angle.Wrap360(radial1 + math.Copysign(90, change))
	s := toStation(second-first, change, tasKt)
	e := Exercise{
		Task: "radials", Tool: SlideRule,
		Given: []Given{
			toward("heading", heading, "magnetic"), knots("true airspeed", tasKt),
			{"at " + say.SayTimeOfDay(first), "radial " + say.Degrees(radial1)},
			{"at " + say.SayTimeOfDay(second), "radial " + say.Degrees(radial2)},
		},
		Question: "How far is the VOR at the second time, in still air?",
		Form:     numberForm("nm", 1), Answers: either(s.DistanceRuleNM, s.DistanceExactNM), Tolerance: SlideRule.within(s.DistanceRuleNM, 0.2),
	}
	seconds := math.Round(60 * (second - first))
	var w sums.Working
	w.Line("from %s to %s: %s in %s s", say.Degrees(radial1), say.Degrees(radial2), say.Angle.Say(math.Abs(change), 0), figure(seconds))
	e.Steps = stationDistances(&w, seconds, math.Abs(change), tasKt, s)
	e.slip(StepLeftOut, s.MinutesRule, "that is the time in minutes: the miles follow from the airspeed")
	e.slip(StepLeftOut, deadreckon.Distance(tasKt, second-first), "that is the distance flown during the check")
	e.slipFactorOfTen()
	return e
}

// stationByTwoBearings asks for the distance to a beacon from any two bearings and the run between.
func stationByTwoBearings(first, second, minutes, tasKt float64) Exercise {
	run := deadreckon.Distance(tasKt, minutes)
	b, err := deadreckon.FromTwoBearings(first, second, run)
	if err != nil {
		panic("drill: " + err.Error())
	}
	var w sums.Working
	w.Decimals(2, run)
	w.Decimals(1, b.Distance2NM)
	w.Distance("run", tasKt, minutes, run)
	w.Line("run × sin(first) / sin(change): %s × sin(%s) / sin(%s - %s) = %s", num(run), num(first), num(second), num(first), worked.Miles(b.Distance2NM))
	e := Exercise{
		Task: "two bearings", Tool: SlideRule,
		Given: []Given{
			degrees("the beacon was off the nose by", first), degrees("later off the nose by", second),
			lasting("after", minutes), knots("true airspeed", tasKt),
		},
		Question: "How far is the beacon now, in still air?",
		Form:     numberForm("nm", 1), Answers: only(b.Distance2NM), Tolerance: SlideRule.within(b.Distance2NM, 0.2),
		Steps: w.Plain(),
	}
	e.slip(WrongFigure, b.Distance1NM, "that was the distance at the first bearing")
	e.slip(StepLeftOut, run, "that is the run between the bearings")
	e.slip(WrongFigure, deadreckon.Distance(tasKt, 60*minutes/(second-first)), "the rule for the wing tip: it does not hold here")
	return e
}

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
			{"off the nose", say.Angle.Say(t.First, 0) + ", then " + say.Angle.Say(t.Then, 0)}, {"in", figure(t.Seconds) + " s"}, knots("true airspeed", l.TASKt),
		}
		byRule := len(e.Steps) / 2 // the rest says it exactly
		e.Steps = append(e.Steps[:byRule:byRule], l.truth(*e, t)...)
		e.sortMistakes()
	}
	return minutes, distance, nil
}

// truth says how far off the rule was, and why.
func (l Live) truth(e Exercise, t Timed) []string {
	rule, real := e.Answers[0], e.Answers[1]
	var w sums.Working
	w.Line("really it was %s: the check is out by %s", e.Say(real.Reply), say.Share(math.Abs(rule.Value/real.Value-1)))
	if l.Wind.SpeedKt > 0 {
		head, across := l.Wind.Along(l.Heading)
		way := "on the nose"
		if head < 0 {
			way = "on the tail"
		}
		w.Line("there was a wind that the check knows nothing of: %s %s, %s from the %s", say.Knots(math.Abs(head)), way, say.Knots(math.Abs(across)), say.LeftRight(across))
	}
	w.Line("the needle is read to a degree: one in %s is %s; the rule itself says up to 5 % too much", say.Whole(t.Changed()), say.Share(1/t.Changed()))
	return w.Plain()
}
