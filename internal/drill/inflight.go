package drill

import (
	"math"
	"time"

	"example.com/legclock/internal/sums"
)

// Stretch is what a pilot has logged of the way between two points of a leg.
type Stretch struct {
	From, To      string
	DistanceNM    float64 // as it was flown
	StraightNM    float64 // from end to end; 0 where that is the same
	Share         float64 // one standard error of the groundspeed over it, as a share of that
	First, Second time.Time
}

// Best is the best that the log tells of a time ahead, and its standard error.
type Best struct {
	At           time.Time
	SigmaMinutes float64
}

// widened is a tolerance no narrower than two standard errors of the best figure, which hold 95 % of what is normally distributed.
func (t Tolerance) widened(sigma float64) Tolerance {
	if 2*sigma > t.By {
		return Tolerance{By: 2 * sigma, Why: "the best that the log tells is no surer than that, ±2σ"}
	}
	return t
}

// The exercises of a practice flight are made from its own figures, as they stand in the log: miles to a tenth, times to a second. They are
// not drawn so that their workings come out with the usual decimals: these have those that they need. What is right is the sum from those
// figures and, where it is known, what comes of the wind found.

// GroundspeedInFlight asks for the groundspeed over a stretch.
func GroundspeedInFlight(s Stretch) Exercise {
	s = s.logged()
	e := groundspeedFromPassing(s.DistanceNM, timeInMinutes(s.First), timeInMinutes(s.Second), SlideRule)
	first, second := timeInMinutes(s.First), timeInMinutes(s.Second)
	var w sums.Working
	w.Line("%s", elapsed(first, second))
	speedOver(&w, s.DistanceNM, second-first, 0)
	e.Steps = w.Text()
	e.Given = s.given()
	e.Question = "What is the groundspeed from " + s.From + " to " + s.To + "?"
	if s.crooked() {
		e.Question = "What was the groundspeed along the way flown from " + s.From + " to " + s.To + "?"
		e.slip(StepLeftOut, 60*s.StraightNM/s.Second.Sub(s.First).Minutes(), "the straight distance: the way that was flown is longer")
	}
	e.Tolerance = e.Tolerance.widened(s.Share * e.Answers[0].Value)
	return e.inFlight(Groundspeed)
}

// ETAInFlight asks for the time at a place ahead on the same leg: by the groundspeed of the stretch just flown or, where found has a time,
// by the wind found. The place is named as the question is to say it: "at CHM", "NAV2 to TRH, 4 nm before FNW".
func ETAInFlight(s Stretch, place string, toGoNM float64, found Best) Exercise {
	s = s.logged()
	toGoNM = tenth(toGoNM)
	e := etaFromPassings(timeInMinutes(s.First), timeInMinutes(s.Second), s.DistanceNM, toGoNM, SlideRule)
	e.Steps = e.passingsWorking(timeInMinutes(s.First), timeInMinutes(s.Second), s.DistanceNM, toGoNM).Text()
	e.Given = append(s.given(), miles("from "+s.To+" on", toGoNM))
	e.Question = "When " + place + "?"
	if !found.At.IsZero() {
		e.Answers = []Answer{{e.Answers[0].Reply, "by the plain sum"}, {Reply{Value: timeInMinutes(found.At.Round(time.Second))}, "by the wind found"}}
		e.Tolerance = e.Tolerance.widened(found.SigmaMinutes)
		e.Steps = append(e.Steps, "by the wind found, from all passings so far: "+e.Say(e.Answers[1].Reply))
	}
	return e.inFlight(ETA)
}

// TurnInFlight asks for the turn to the end of the leg. The distance off track is positive on the right.
func TurnInFlight(offNM, flownNM, toGoNM float64, to string) Exercise {
	offNM, flownNM, toGoNM = tenth(offNM), tenth(flownNM), tenth(toGoNM)
	e := turnToEnd(offNM, flownNM, toGoNM)
	w := turnWorking(offNM, flownNM, toGoNM)
	e.Steps = w.Text()
	e.Question = "What turn leads straight to " + to + "?"
	return e.inFlight(OneInSixty)
}

// TankPair is two tanks as the log has them.
type TankPair struct {
	Names       [2]string
	Quantities  [2]float64
	SecondFeeds bool
	Unit        string
	FlowPerHour float64
	Limit       float64 // of imbalance
	// SigmaMinutes is one standard error of the time at which the limit is reached, from what the flow and the quantities may be out by.
	SigmaMinutes float64
}

// LatestChangeInFlight asks when the limit of imbalance is reached if nothing is changed; ok is false where it never is.
func LatestChangeInFlight(t TankPair, now time.Time) (e Exercise, ok bool) {
	p := pair{left: tenth(t.Quantities[0]), right: tenth(t.Quantities[1]), unit: t.Unit, onRight: t.SecondFeeds}
	flow := tenth(t.FlowPerHour)
	fed, _ := p.fed()
	other, _ := p.other()
	if flow <= 0 || t.Limit+fed-other <= 0 {
		return Exercise{}, false
	}
	now = now.Round(time.Second)
	e = latestChange(p, flow, t.Limit, timeInMinutes(now), 0)
	feeds := t.Names[0]
	if t.SecondFeeds {
		feeds = t.Names[1]
	}
	e.Given = []Given{
		atTime("now", timeInMinutes(now)), amount(t.Names[0]+" tank", p.left, p.unit), amount(t.Names[1]+" tank", p.right, p.unit),
		{"the engine is fed from", feeds},
		amount("flow", flow, p.unit+anHour), amount("largest imbalance allowed", t.Limit, p.unit),
	}
	e.Question = "When is the limit of imbalance reached if nothing is changed?"
	e.Answers, e.Tolerance.Limit = only(*e.Tolerance.Limit), nil
	e.Steps = e.latestWorking(p, flow, t.Limit, timeInMinutes(now), 0).Text()
	e.Tolerance = e.Tolerance.widened(t.SigmaMinutes)
	return e.inFlight(TankChanges), true
}

func (e Exercise) inFlight(topic Topic) Exercise {
	e.Topic, e.Level = topic, Plain
	e.Task += ", in flight"
	e.sortMistakes()
	return e
}

// logged is a stretch with the figures that a log holds.
func (s Stretch) logged() Stretch {
	s.StraightNM = tenth(s.StraightNM)
	s.DistanceNM, s.First, s.Second = tenth(s.DistanceNM), s.First.Round(time.Second), s.Second.Round(time.Second)
	return s
}

// crooked reports whether the way flown was longer than the straight line by a tenth of a mile or more.
func (s Stretch) crooked() bool { return s.StraightNM > 0 && s.DistanceNM-s.StraightNM > 0.05 }

func (s Stretch) given() []Given {
	given := []Given{
		atTime("passed "+s.From, timeInMinutes(s.First)), atTime("passed "+s.To, timeInMinutes(s.Second)),
	}
	if s.crooked() {
		return append(given, miles("straight from "+s.From+" to "+s.To, s.StraightNM), miles("along the headings that you logged", s.DistanceNM))
	}
	return append(given, miles("from "+s.From+" to "+s.To, s.DistanceNM))
}

func tenth(value float64) float64 { return math.Round(10*value) / 10 }

// timeInMinutes counts minutes from midnight, UTC, to the second.
func timeInMinutes(t time.Time) float64 {
	t = t.UTC()
	return float64(60*t.Hour()+t.Minute()) + float64(t.Second())/60
}
