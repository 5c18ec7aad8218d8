package sums

import (
	"fmt"
	"math"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// Station asks for the time and distance to a beacon from the change of its bearing. One of ChangeDeg, Doubled and the pair of
// relative bearings is given.
type Station struct {
	Minutes   float64  // between the two bearings
	ChangeDeg *float64 // of a bearing that was abeam first
	Doubled   bool     // the bearing from the nose has doubled
	Relative  *[2]float64
	TASKt     *float64  // optional: for the distance
	Flow      *say.Fuel // optional: for the fuel to the beacon
}

// Sum works out how long and how far it is by the method that the figures fit.
func (q Station) Sum() (Sum, error) {
	methods := 0
	for _, given := range []bool{q.ChangeDeg != nil, q.Doubled, q.Relative != nil} {
		if given {
			methods++
		}
	}
	switch {
	case q.Minutes <= 0:
		return Sum{}, unfit("give the time between the bearings, for example in 6 min", "no time between the bearings gives no distance")
	case methods != 1:
		return Sum{}, unfit("give a change from abeam (10 degrees in 75 s), or doubled in 6 min, or two bearings from the nose (relative 045 then 060 in 6 min)",
			"one way of taking bearings is needed, and one only")
	}
	s := Sum{Name: "station", Given: []Figure{
		angleGiven("change from abeam", "change_deg", valueOf(q.ChangeDeg)),
		bearing("relative bearing", "relative_1", q.relative(0)), bearing("then", "relative_2", q.relative(1)),
		span("in", "between_minutes", q.Minutes), speedGiven("true airspeed", "tas_kt", valueOf(q.TASKt)), flowFigure("flow", "flow_per_hour", q.Flow), fuelUnit(q.Flow),
	}}
	var w Working
	w.Span("time", q.Minutes)
	switch {
	case q.ChangeDeg != nil:
		return q.byChange(s, w)
	case q.Doubled:
		return q.byDoubling(s, w)
	}
	return q.byTwo(s, w)
}

func (q Station) relative(i int) float64 {
	if q.Relative == nil {
		return unknown
	}
	return q.Relative[i]
}

func bearing(label, name string, degrees float64) Figure {
	return figure(label, name, degrees, func(degrees float64) string { return say.Degrees(degrees) + " from the nose" })
}

const stillAir = "in still air: in a wind the relative bearings count from the track, and the speed is the groundspeed"

func (q Station) byChange(s Sum, w Working) (Sum, error) {
	s.Title = "Time to a beacon by its change of bearing from abeam"
	s.Rule = "minutes = 60 × minutes flown / degrees, distance = true airspeed × minutes / degrees; exactly, run / sin(degrees)"
	s.Source = "PHAK navigation chapter and Instrument Flying Handbook; " + stillAir + "; from 0 to 5 % too much up to 30°"
	by, err := deadreckon.BearingChange(q.Minutes, *q.ChangeDeg, q.speed())
	if err != nil {
		return unsolved(s, err, q.answers(unknown, unknown, unknown, unknown, nil))
	}
	change := math.Abs(*q.ChangeDeg)
	w.ByRule(60*q.Minutes, change, by.MinutesRule, inSecondsToo(by.MinutesRule))
	w.Precisely(60*q.Minutes, change, by.MinutesExact, inSecondsToo(by.MinutesExact))
	if q.TASKt != nil {
		w.Distance("distance by the rule", *q.TASKt, by.MinutesRule, by.DistanceRuleNM)
		w.Distance("distance exactly", *q.TASKt, by.MinutesExact, by.DistanceExactNM)
	}
	s.Answers = q.answers(by.MinutesRule, by.MinutesExact, by.DistanceRuleNM, by.DistanceExactNM, &w)
	if by.Poor {
		s.Notes = append(s.Notes, "the change is past 30°: the rule no longer holds, take the exact figure")
	}
	if change > 1 {
		if less, err := deadreckon.BearingChange(q.Minutes, change-1, q.speed()); err == nil {
			s.Notes = append(s.Notes, "with 1° less of change the rule says "+sayMinutes(less.MinutesRule)+": read the bearings to the degree")
		}
	}
	s.Working = w.Text()
	return s, nil
}

func (q Station) byDoubling(s Sum, w Working) (Sum, error) {
	s.Title = "Time to a beacon whose bearing from the nose has doubled"
	s.Rule = "the way to the beacon is as long as the way flown: two equal sides of a triangle"
	s.Source = "Instrument Flying Handbook, isosceles triangle method; exact " + stillAir
	minutes, distance := deadreckon.Isosceles(q.Minutes, q.speed())
	w.Line("as long again: %s", sayMinutes(minutes))
	if q.TASKt != nil {
		w.Distance("distance", *q.TASKt, minutes, distance)
	}
	s.Answers = q.answers(unknown, minutes, unknown, distance, &w)
	s.Notes = []string{"a small first bearing, or one read a degree wrong, makes the distance uncertain: start with 30° or more"}
	s.Working = w.Text()
	return s, nil
}

func (q Station) byTwo(s Sum, w Working) (Sum, error) {
	s.Title = "Time to a beacon by two bearings from the nose"
	s.Rule = "distance now = run × sin(first bearing) / sin(change of bearing)"
	s.Source = "law of sines; exact " + stillAir
	first, second := q.Relative[0], q.Relative[1]
	by, err := deadreckon.FromTwoBearings(first, second, q.Minutes)
	if err != nil {
		return unsolved(s, err, q.answers(unknown, unknown, unknown, unknown, nil))
	}
	w.Line("change: %s - %s = %s°", dir(second), dir(first), num(second-first))
	w.Took(by.Distance2NM, inSecondsToo(by.Distance2NM), "now: %s × sin(%s) / sin(%s)", num(q.Minutes), num(first), fig(second-first))
	s.Answers = q.answers(unknown, by.Distance2NM, unknown, deadreckon.Distance(q.speed(), by.Distance2NM), &w)
	if q.TASKt != nil {
		w.Distance("distance", *q.TASKt, by.Distance2NM, deadreckon.Distance(*q.TASKt, by.Distance2NM))
	}
	s.Answers = append(s.Answers,
		miles("distance at the first bearing", "first_distance_nm", deadreckon.Distance(q.speed(), by.Distance1NM)),
		miles("distance abeam", "abeam_nm", deadreckon.Distance(q.speed(), by.AbeamNM)))
	s.Working = w.Text()
	s.Notes = q.bearingNotes(second)
	return s, nil
}

// bearingNotes say how far an error of a degree moves the answer.
func (q Station) bearingNotes(second float64) []string {
	other := second + 1
	wrong, err := deadreckon.FromTwoBearings(q.Relative[0], other, q.Minutes)
	if err != nil {
		return nil
	}
	return []string{"with " + say.Degrees(other) + " for the second bearing it is " + sayMinutes(wrong.Distance2NM) + ": a large change of bearing is the better fix"}
}

// speed is the true airspeed; unknown where none is given.
func (q Station) speed() float64 { return valueOf(q.TASKt) }

func (q Station) answers(minutesRule, minutes, distanceRule, distance float64, w *Working) []Figure {
	used := say.Fuel{Amount: unknown}
	counted := minutesRule // by the rule, on the safe side
	if !known(counted) {
		counted = minutes
	}
	if q.Flow != nil && known(counted) {
		used = burned(counted, *q.Flow)
		w.Fuel("fuel", q.Flow.Amount, counted, used.Amount, used.Unit)
	}
	return []Figure{
		span("time by the rule", "minutes_rule", minutesRule), span("time exactly", "minutes", minutes),
		miles("distance by the rule", "distance_rule_nm", distanceRule), miles("distance exactly", "distance_nm", distance), fuelFigure("fuel", "fuel", used),
	}
}

// unsolved is a sum without a solution.
func unsolved(s Sum, why error, missing []Figure) (Sum, error) {
	s.Problem, s.Answers = why.Error(), missing
	return s, nil
}

// Slant asks for the distance over the ground of a DME reading, or the reading at a distance. One of SlantNM and GroundNM is given.
type Slant struct {
	SlantNM, GroundNM *float64
	HeightFt          float64 // above the station
}

// Sum works out the other of the two.
func (q Slant) Sum() (Sum, error) {
	if (q.SlantNM == nil) == (q.GroundNM == nil) {
		return Sum{}, unfit("give what the DME shows (5 nm), or the distance over the ground (ground 5 nm)", "one of the two distances is needed")
	}
	s := Sum{
		Name: "slant", Title: "DME: slant range and distance over the ground",
		Given: []Figure{
			milesGiven("DME", "dme_nm", valueOf(q.SlantNM)), milesGiven("over the ground", "ground_nm", valueOf(q.GroundNM)), feetGiven("above the station", "height_ft", q.HeightFt),
		},
		Rule:   "slant² = ground² + height²",
		Source: "a right-angled triangle on a flat earth; AIM 1-1-7: a DME may be out by half a mile or 3 %; beyond 1 nm for each 1000 ft the two are as good as one",
	}
	var w Working
	height := w.HeightInMiles(q.HeightFt)
	slant, ground, overhead := valueOf(q.SlantNM), valueOf(q.GroundNM), false
	if q.SlantNM != nil {
		ground, overhead = radio.GroundRangeNM(slant, q.HeightFt)
		if overhead {
			s.Notes = append(s.Notes, "the reading is no longer than the height: overhead")
		} else {
			w.Leg("ground", slant, height, ground)
		}
	} else {
		slant, overhead = radio.SlantRangeNM(ground, q.HeightFt), ground == 0
		w.Slant("slant", ground, height, slant)
	}
	if sight := radio.LineOfSightNM(q.HeightFt, 0); slant > 2*sight+20 {
		s.Notes = append(s.Notes, fmt.Sprintf("from %s above it a station is in sight to some %s: was the distance read right?", say.Height.Say(q.HeightFt, 0), say.Distance.Say(sight, 0)))
	}
	answer := quantity(say.Distance, 2)
	s.Working = w.Text()
	s.Answers = []Figure{
		answer("over the ground", "ground_nm", ground), answer("DME", "dme_nm", slant), answer("the DME may be out by", "dme_error_nm", radio.DMEErrorNM(slant)),
		yes("overhead", "overhead", overhead),
	}
	return s, nil
}
