package practice

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Report is what a practice flight that is over can be told: the truth that was hidden, and each figure asked for beside it. What is
// not known is nil.
type Report struct {
	Seed          uint64        `json:"seed"`
	Lesson        *LessonTold   `json:"lesson,omitempty"`
	HandsOn       bool          `json:"hands_on"` // the pilot flew, for some of the time at least
	Forecast      air.Wind      `json:"forecast"` // at the first leg's level
	Wind          air.Wind      `json:"wind"`     // as it was there, without gusts
	TASBiasKt     float64       `json:"tas_bias_kt"`
	FlowPercent   float64       `json:"flow_percent"` // burned beyond the book
	VisibilityNM  float64       `json:"visibility_nm"`
	Points        int           `json:"points"`
	MostPoints    int           `json:"most_points"`
	Figures       []Figure      `json:"figures"`
	Passings      []TruePassing `json:"passings"`
	Happenings    []Happening   `json:"happenings"`
	FarthestOffNM float64       `json:"farthest_off_nm"` // of all legs
	FarthestOffAt *time.Time    `json:"farthest_off_at"`
	OffLegs       []OffLeg      `json:"off_legs"` // in the order in which they were flown
	Levels        []LevelHeld   `json:"levels"`
	FuelLeft      float64       `json:"fuel_left"` // in all tanks at the end, in the aircraft's unit
	Path          []PathPoint   `json:"path"`      // as it was flown
}

// Figure is one figure that was asked for.
type Figure struct {
	ID       string        `json:"id"`
	Asked    time.Time     `json:"asked"`
	Name     string        `json:"name"` // in a few words
	Question string        `json:"question"`
	Answer   string        `json:"answer"` // as it was understood; empty: none was given
	Outcome  drill.Outcome `json:"outcome"`
	Best     string        `json:"best"`  // the best that could be known then
	Truth    string        `json:"truth"` // what was hidden; empty: it never came about
	Seconds  float64       `json:"seconds"`
	Par      float64       `json:"par_seconds"`
	Points   int           `json:"points"`
	Comment  []string      `json:"comment"`
	Steps    []string      `json:"steps"`
	Check    int           `json:"check,omitempty"` // the quick check that it belongs to, from 1
	Kind     string        `json:"kind"`
	// OffTruth is how far the answer was from the truth, and Allowed how far it might be from what is right, in the unit of the figure: knots,
	// miles, degrees, minutes.
	OffTruth *float64 `json:"off_truth"`
	Allowed  float64  `json:"allowed"`
}

// TruePassing is a logged passing beside the moment at which the point really was nearest.
type TruePassing struct {
	Point       string    `json:"point"`
	Logged      time.Time `json:"logged"`
	True        time.Time `json:"true"`
	LateSeconds float64   `json:"late_seconds"` // logged after the truth
	DistanceNM  float64   `json:"distance_nm"`  // of the point then; the aircraft's side of it is right positive
}

// LevelHeld is how a leg's level was held by hand, climbs and descents left out.
type LevelHeld struct {
	From       string  `json:"from"`
	To         string  `json:"to"`
	PlannedFt  float64 `json:"planned_ft"`
	Share      float64 `json:"share"` // of the time in level flight, within LevelWithinFt of the level planned
	FarthestFt float64 `json:"farthest_ft"`
	seconds    float64
}

// OffLeg is how far the aircraft was from a leg of the plan while it was the one flown by the log, on the way before its start and beyond its end too.
type OffLeg struct {
	Leg        int       `json:"leg"`
	FarthestNM float64   `json:"farthest_nm"` // right positive
	At         time.Time `json:"at"`
}

// LevelWithinFt is how near a level is held where it is held (FAA private pilot standards, ACS PA.VI.A: 200 feet; from memory).
const LevelWithinFt = 200

// Happening is something that befell the flight.
type Happening struct {
	At   time.Time `json:"at"`
	Text string    `json:"text"`
}

// PathPoint is a place of the true path.
type PathPoint struct {
	At  time.Time      `json:"time"`
	Pos earth.Position `json:"at"`

	AltitudeFt float64 `json:"altitude_ft"`
}

// HidesMore reports whether a flight can have hidden more than its air: a lesson, or what it takes a pilot who flies, or asks for a quick check, to be
// told afterwards.
func HidesMore(hidden Hidden, events []flight.Event) bool {
	return hidden.Lesson != "" || slices.ContainsFunc(events, func(e flight.Event) bool { return e.Act == flight.Hands || e.Act == flight.QuickCheck })
}

// Report is what can be told once the flight is over, at a time after its last event.
func (f *Flight) Report(end time.Time) Report {
	w := f.world
	level := w.sheet.Route.Legs[0].AltitudeFt
	r := Report{
		Seed: w.seed, TASBiasKt: w.air.TASBiasKt, FlowPercent: 100 * w.flowShare, VisibilityNM: w.visibilityNM,
		Figures: []Figure{}, Passings: []TruePassing{}, Happenings: []Happening{}, Path: []PathPoint{}, Levels: []LevelHeld{}, OffLegs: []OffLeg{},
	}
	r.Lesson = f.tell(end)
	r.Forecast, _ = w.sheet.Air.Layers.At(level)
	r.Wind, _ = w.air.Layers.At(level)
	for _, s := range w.stretches {
		r.HandsOn = r.HandsOn || s.byPilot()
	}
	exam := f.exam
	exam.closed = slices.Clone(exam.closed)
	exam.lapse(end)
	r.Points, r.MostPoints = exam.points()
	for _, c := range exam.closed {
		r.Figures = append(r.Figures, w.figure(c, end))
	}
	if !r.HandsOn {
		return r
	}
	w.passings(&r, f.State.At(end))
	w.history(&r, end)
	return r
}

func (w *World) figure(c closed, end time.Time) Figure {
	v := c.verdict
	best := c.Answers[len(c.Answers)-1]
	f := Figure{
		ID: c.ID, Asked: c.asked, Name: c.name, Question: c.Question, Answer: v.Read, Outcome: c.outcome(), Best: c.Say(best.Reply),
		Seconds: v.Took.Seconds(), Par: c.par().Seconds(), Points: c.points, Comment: c.Comment(v), Steps: c.Steps, Check: c.series, Kind: string(c.kind), Allowed: c.Tolerance.By,
	}
	if c.series > 0 {
		f.Best = c.byLog
	}
	truth, ok := w.trueAnswer(c.question, end)
	if !ok {
		return f
	}
	f.Truth = c.Say(drill.Reply{Value: truth})
	if reply, err := c.Form.Parse(v.Text); err == nil && v.Text != "" {
		f.OffTruth = new(c.Form.Apart(reply, drill.Reply{Value: truth}))
	}
	return f
}

// trueAnswer is what a question's answer really was, in the unit of its form; ok is false where it never came about.
func (w *World) trueAnswer(q question, end time.Time) (value float64, ok bool) {
	if q.series > 0 {
		return q.Answers[0].Value, true
	}
	legs := w.sheet.Route.Legs
	switch q.kind {
	case askGroundspeed:
		return w.meanGroundspeed(q.first, q.second)
	case askTurn:
		leg, c := legs[min(q.leg, len(legs)-1)], w.to(q.second)
		along, right := earth.Abeam(leg.From.At, leg.To.At, c.at)
		return deadreckon.OffTrackBy(right, along, leg.DistanceNM-along).TurnExact(), along > 0 && along < leg.DistanceNM
	case askETA, askBeacon:
		if q.leg >= len(legs) {
			return 0, false
		}
		at, distance := w.nearest(w.sheet.Route.PositionAt(q.leg, q.after), q.asked, end)
		return timeOfDay(at), distance <= w.visibilityNM && at.Before(end)
	default:
		return w.limitReached(q.asked.Add(2 * second)) // when the selector has been turned
	}
}

// meanGroundspeed is what the aircraft really made good between two times.
func (w *World) meanGroundspeed(from, to time.Time) (knots float64, ok bool) {
	sum, count := 0.0, 0
	for t := from; t.Before(to); t = t.Add(sampleEvery) {
		sum += w.to(t).groundKt
		count++
	}
	return sum / float64(max(count, 1)), count > 0
}

// nearest is when, from one time to another, the aircraft flew nearest to a place, and how far that was; infinitely far where it did not fly.
func (w *World) nearest(place earth.Position, since, until time.Time) (at time.Time, distanceNM float64) {
	at, distanceNM = since, math.Inf(1)
	look := func(from, to time.Time, every time.Duration) {
		for t := from; !t.After(to); t = t.Add(every) {
			c := w.to(t)
			if d := bearingTo(c, place).distanceNM(); c.flies && d < distanceNM {
				at, distanceNM = t, d
			}
		}
	}
	look(since, until, sampleEvery)
	look(at.Add(-sampleEvery), at.Add(sampleEvery), second)
	return at, distanceNM
}

// timeOfDay is a time in minutes from 0000 UTC.
func timeOfDay(t time.Time) float64 { return t.Sub(t.Truncate(24 * time.Hour)).Minutes() }

func bearingTo(c craft, place earth.Position) bearing { return from(c.at, place) }

// limitReached is when the true quantities, at the flow of a moment, would come to the limit of imbalance, in minutes of the day.
func (w *World) limitReached(at time.Time) (minutes float64, ok bool) {
	c := w.to(at)
	limit := w.sheet.Plan.Aircraft.Fuel.MaxImbalance
	if limit == nil || len(c.tanks) != 2 || c.flow <= 0 {
		return 0, false
	}
	lead := c.tanks[c.tank] - c.tanks[1-c.tank]
	after := (*limit + lead) / c.flow * 60
	return timeOfDay(at) + after, after >= 0
}

// passings sets every logged passing beside the truth.
func (w *World) passings(r *Report, s flight.Snapshot) {
	const within = 10 * time.Minute
	for i, row := range s.Route {
		if row.Actual == nil || i == 0 || row.Leg >= len(w.sheet.Route.Legs) {
			continue
		}
		place := w.sheet.Route.PositionAt(row.Leg, row.AfterNM)
		if point, ok := w.sheet.Plan.Point(row.Point); ok {
			place = point.At
		}
		at, distance := w.nearest(place, row.Actual.Add(-within), row.Actual.Add(within))
		if math.IsInf(distance, 0) { // logged on the ground
			continue
		}
		c := w.to(at)
		if !rightOf(c, bearingTo(c, place)) {
			distance = -distance
		}
		r.Passings = append(r.Passings, TruePassing{
			Point: row.Point, Logged: *row.Actual, True: at, LateSeconds: row.Actual.Sub(at).Seconds(), DistanceNM: -distance,
		})
	}
}

// pathEvery is how finely the true path is told.
const pathEvery = time.Minute

// history goes through the whole flight once.
func (w *World) history(r *Report, end time.Time) {
	stands, overLimit := false, false
	for t := w.began; !t.After(end); t = t.Add(sampleEvery) {
		c := w.to(t)
		if c.flies && t.Sub(w.began)%pathEvery == 0 {
			r.Path = append(r.Path, PathPoint{At: t, Pos: c.at, AltitudeFt: c.altitudeFt})
		}
		if c.flies {
			w.offLeg(r, c)
			w.offLevel(r, c)
		}
		if standing := c.standing > 0 && c.flies; standing != stands {
			stands = standing
			text := "the engine ran again"
			if stands {
				text = "the engine stopped: the " + w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank].Name + " tank was empty"
			}
			r.Happenings = append(r.Happenings, Happening{t, text})
		}
		if over := w.imbalanced(c); over != overLimit {
			overLimit = over
			text := "the true imbalance was within the limit again"
			if over {
				text = "the true imbalance went over the limit"
			}
			r.Happenings = append(r.Happenings, Happening{t, text})
		}
		if c.down {
			break
		}
	}
	last := w.to(end)
	for _, quantity := range last.tanks {
		r.FuelLeft += quantity
	}
	w.ended(r, last)
}

// imbalanced reports whether two tanks are farther apart than their limit.
func (w *World) imbalanced(c craft) bool {
	limit := w.sheet.Plan.Aircraft.Fuel.MaxImbalance
	return limit != nil && len(c.tanks) == 2 && math.Abs(c.tanks[0]-c.tanks[1]) > *limit
}

// offLeg keeps the farthest that the aircraft was from the leg that it flew by the log, and from any.
func (w *World) offLeg(r *Report, c craft) {
	legs := w.sheet.Route.Legs
	if w.diverted != nil && !c.time.Before(w.diverted.T) || c.leg >= len(legs) {
		return
	}
	_, right := earth.Abeam(legs[c.leg].From.At, legs[c.leg].To.At, c.at)
	if n := len(r.OffLegs); n == 0 || r.OffLegs[n-1].Leg != c.leg {
		r.OffLegs = append(r.OffLegs, OffLeg{c.leg, right, c.time})
	} else if off := &r.OffLegs[n-1]; math.Abs(right) > math.Abs(off.FarthestNM) {
		off.FarthestNM, off.At = right, c.time
	}
	if math.Abs(right) > math.Abs(r.FarthestOffNM) {
		at := c.time
		r.FarthestOffNM, r.FarthestOffAt = right, &at
	}
}

// offLevel keeps how the level of the leg that is flown by the log is held.
func (w *World) offLevel(r *Report, c craft) {
	legs := w.sheet.Route.Legs
	now := w.stretch(c.time)
	if now == nil || !now.byPilot() || c.phase != sheet.Cruise || c.standing > 0 || c.leg >= len(legs) || w.diverted != nil && !c.time.Before(w.diverted.T) {
		return
	}
	leg := legs[c.leg]
	if arrivalFt, ok := w.sheet.Route.ArrivalFt(); ok && c.leg == len(legs)-1 && math.Abs(c.altitudeFt-arrivalFt) < LevelWithinFt {
		return // down already
	}
	if n := len(r.Levels); n == 0 || r.Levels[n-1].To != leg.To.Ident || r.Levels[n-1].From != leg.From.Ident {
		r.Levels = append(r.Levels, LevelHeld{From: leg.From.Ident, To: leg.To.Ident, PlannedFt: leg.AltitudeFt})
	}
	held := &r.Levels[len(r.Levels)-1]
	off := c.altitudeFt - leg.AltitudeFt
	within := 0.0
	if math.Abs(off) <= LevelWithinFt {
		within = 1
	}
	held.seconds += sampleEvery.Seconds()
	held.Share += (within - held.Share) * sampleEvery.Seconds() / held.seconds
	if math.Abs(off) > math.Abs(held.FarthestFt) {
		held.FarthestFt = off
	}
}

// ended says where the flight came down.
func (w *World) ended(r *Report, c craft) {
	if !c.down && w.landed.IsZero() {
		return
	}
	at := c.time
	if !w.landed.IsZero() {
		at = w.landed
		c = w.to(at)
	}
	field, distance := nearestAerodrome(w.sheet, c.at)
	text := "landed at " + field.Title()
	if distance > landWithinNM {
		direction := earth.Inverse(c.at, field.At).AzimuthStart
		text = "came down in a field; " + field.Title() + " lay " + say.MilesByEye(distance) + " to the " + say.EightWinds(direction)
	}
	r.Happenings = append(r.Happenings, Happening{at, text})
}
