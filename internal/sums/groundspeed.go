package sums

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// Groundspeed asks for the third of distance, time and groundspeed; two of them are given.
type Groundspeed struct {
	DistanceNM    *float64
	Minutes       *float64
	GroundspeedKt *float64
	ToGoNM        *float64  // optional: a distance still to go at that groundspeed
	Flow          *say.Fuel // optional: for the fuel of the time
}

// Sum works out the one that is not given.
func (g Groundspeed) Sum() (Sum, error) {
	s := Sum{
		Name: "groundspeed", Title: "Distance, time and groundspeed", Given: g.given(),
		Rule:   "groundspeed = 60 × distance / minutes, turned round for the other two",
		Source: "PHAK navigation chapter, basic calculations; the mean over the whole distance, exact",
	}
	var w Working
	distance, minutes, groundspeed, err := g.solve(&w)
	if err != nil {
		return Sum{}, err
	}
	toGo := unknown
	if g.ToGoNM != nil && known(groundspeed) {
		toGo = deadreckon.Minutes(*g.ToGoNM, groundspeed)
		w.Time("to go", *g.ToGoNM, groundspeed, toGo)
	}
	used := say.Fuel{Amount: unknown}
	if g.Flow != nil && known(minutes) {
		used = burned(minutes, *g.Flow)
		w.Fuel("fuel", g.Flow.Amount, minutes, used.Amount, used.Unit)
	}
	switch {
	case !known(groundspeed):
		s.Problem = "no time gives no speed"
	case !known(minutes), g.ToGoNM != nil && !known(toGo):
		s.Problem = "without a groundspeed it takes for ever"
	}
	s.Working = w.Text()
	s.Answers = []Figure{
		speed("groundspeed", "groundspeed_kt", groundspeed), span("time", "minutes", minutes), miles("distance", "distance_nm", distance),
		span("time to go", "to_go_minutes", toGo), fuelFigure("fuel", "fuel", used),
	}
	return s, nil
}

func (g Groundspeed) given() []Figure {
	return []Figure{
		milesGiven("distance", "distance_nm", valueOf(g.DistanceNM)), span("time", "minutes", valueOf(g.Minutes)),
		speedGiven("groundspeed", "groundspeed_kt", valueOf(g.GroundspeedKt)), milesGiven("to go", "to_go_nm", valueOf(g.ToGoNM)),
		flowFigure("flow", "flow_per_hour", g.Flow), fuelUnit(g.Flow),
	}
}

// solve works out the one of the three that is not given.
func (g Groundspeed) solve(w *Working) (distanceNM, minutes, groundspeedKt float64, err error) {
	distanceNM, minutes, groundspeedKt = valueOf(g.DistanceNM), valueOf(g.Minutes), valueOf(g.GroundspeedKt)
	switch {
	case g.DistanceNM != nil && g.Minutes != nil && g.GroundspeedKt == nil:
		groundspeedKt = deadreckon.Groundspeed(distanceNM, minutes)
		w.Span("time", minutes)
		if known(groundspeedKt) {
			w.Groundspeed(distanceNM, minutes, groundspeedKt)
		}
	case g.DistanceNM != nil && g.GroundspeedKt != nil && g.Minutes == nil:
		minutes = deadreckon.Minutes(distanceNM, groundspeedKt)
		w.Time("time", distanceNM, groundspeedKt, minutes)
	case g.Minutes != nil && g.GroundspeedKt != nil && g.DistanceNM == nil:
		distanceNM = deadreckon.Distance(groundspeedKt, minutes)
		w.Span("time", minutes)
		w.Distance("distance", groundspeedKt, minutes, distanceNM)
	default:
		err = unfit("give two, for example 11.5 nm in 7:20, and the third is worked out", "of distance, time and groundspeed two are needed, no more and no fewer")
	}
	return distanceNM, minutes, groundspeedKt, err
}

// Legs asks for the times along a way given by the lengths of its legs and, once points have been passed, for the ETAs of the rest. Every
// leg's time is brought to whole seconds before it is added, so that the ETAs and the total can be followed by hand.
type Legs struct {
	DistancesNM    []float64
	GroundspeedsKt []float64   // one for all legs, or one for each
	Leave          time.Time   // over the start; zero if not given
	Passed         []time.Time // over the ends of the first legs, in order; with Leave
	Flow           *say.Fuel   // optional
}

// Sum works out the times, the ETAs and the totals.
func (l Legs) Sum() (Sum, error) {
	s := Sum{
		Name: "legs", Title: "Times and ETAs along legs",
		Rule: "each leg 60 × distance / groundspeed, to the second, added up; a delay is carried over as it is, or by ratio: " +
			"the last leg's actual time / its planned time, for the legs to come",
		Source: "PHAK navigation chapter, basic calculations; carrying over and ratio: common practice, no source",
	}
	if err := l.check(); err != nil {
		return Sum{}, err
	}
	var w Working
	legs := make([]float64, len(l.DistancesNM)) // minutes, in whole seconds
	total, totalNM := 0.0, 0.0
	for i, distance := range l.DistancesNM {
		speed := l.groundspeedKt(i)
		minutes := deadreckon.Minutes(distance, speed)
		if !known(minutes) && s.Problem == "" {
			s.Problem = fmt.Sprintf("without a groundspeed leg %d takes for ever", i+1)
		}
		if !known(minutes) {
			minutes = unknown
		}
		w.Time(fmt.Sprintf("leg %d", i+1), distance, speed, minutes)
		legs[i] = math.Round(60*minutes) / 60
		total += legs[i]
		totalNM += distance
	}
	if len(legs) > 1 && !slices.ContainsFunc(legs, func(minutes float64) bool { return !known(minutes) || minutes >= minutesPerHour }) {
		spans := make([]string, len(legs))
		for i, minutes := range legs {
			spans[i] = sayMinutes(minutes)
		}
		w.Line("total: %s = %s min", strings.Join(spans, " + "), num(total))
	}
	used := say.Fuel{Amount: unknown}
	if l.Flow != nil && known(total) {
		used = burned(total, *l.Flow)
		w.Fuel("fuel", l.Flow.Amount, total, used.Amount, used.Unit)
	}
	s.Given = l.given()
	s.Answers = append(l.etas(&w, legs), miles("total distance", "total_nm", totalNM), span("total time", "total_minutes", total), fuelFigure("total fuel", "total_fuel", used))
	s.Working = w.Text()
	return s, nil
}

func (l Legs) groundspeedKt(leg int) float64 {
	if len(l.GroundspeedsKt) == 1 {
		return l.GroundspeedsKt[0]
	}
	return l.GroundspeedsKt[leg]
}

func (l Legs) check() error {
	switch {
	case len(l.DistancesNM) == 0:
		return unfit("give the length of each leg, for example 36.5 38.7 40.3", "legs without a length have no time")
	case len(l.GroundspeedsKt) != 1 && len(l.GroundspeedsKt) != len(l.DistancesNM):
		return unfit("give one groundspeed for all legs, or one for each", fmt.Sprintf("there are %d legs and %d groundspeeds", len(l.DistancesNM), len(l.GroundspeedsKt)))
	case len(l.Passed) > 0 && l.Leave.IsZero():
		return unfit("give the time at the start, for example leave 13:05", "a passing is late or early against a departure, and none is given")
	case len(l.Passed) > len(l.DistancesNM):
		return unfit("give one time for the end of each leg that was flown", fmt.Sprintf("there are %d legs and %d passings", len(l.DistancesNM), len(l.Passed)))
	}
	before := l.Leave
	for _, passed := range l.Passed {
		if !passed.After(before) {
			return unfit("give the passings in their order, for example passed 13:32 13:55", say.Time(passed)+" is not after "+say.Time(before))
		}
		before = passed
	}
	return nil
}

func (l Legs) given() []Figure {
	var given []Figure
	for i, distance := range l.DistancesNM {
		given = append(given, milesGiven(fmt.Sprintf("leg %d", i+1), fmt.Sprintf("leg_%d_nm", i+1), distance))
	}
	for i, speed := range l.GroundspeedsKt {
		label, name := "groundspeed", "groundspeed_kt"
		if len(l.GroundspeedsKt) > 1 {
			label, name = fmt.Sprintf("groundspeed %d", i+1), fmt.Sprintf("leg_%d_groundspeed_kt", i+1)
		}
		given = append(given, speedGiven(label, name, speed))
	}
	given = append(given, moment("leaving", "leave", l.Leave))
	for i, passed := range l.Passed {
		given = append(given, moment(fmt.Sprintf("passed %d", i+1), fmt.Sprintf("passed_%d", i+1), passed))
	}
	return append(given, flowFigure("flow", "flow_per_hour", l.Flow), fuelUnit(l.Flow))
}

// etas are each leg's time and planned ETA, and of what is still ahead the two ways to revise it.
func (l Legs) etas(w *Working, legs []float64) []Figure {
	var figures, carried, byRatio []Figure
	planned := make([]time.Time, len(legs))
	at := l.Leave
	for i, minutes := range legs {
		figures = append(figures, span(fmt.Sprintf("leg %d", i+1), fmt.Sprintf("leg_%d_minutes", i+1), minutes))
		if at.IsZero() || !known(minutes) {
			at = time.Time{}
			continue
		}
		at = at.Add(inSeconds(minutes))
		planned[i] = at
	}
	last := len(l.Passed) - 1
	ratio, late := unknown, unknown
	if last >= 0 && !planned[last].IsZero() {
		late = l.Passed[last].Sub(planned[last]).Minutes()
		began := l.Leave
		if last > 0 {
			began = l.Passed[last-1]
		}
		actual := l.Passed[last].Sub(began).Minutes()
		if l.Passed[last].UTC().YearDay() == planned[last].UTC().YearDay() { // else times of day alone do not tell
			w.Line("late at %s: %s - %s = %s min", last+1, say.Time(l.Passed[last]), say.Time(planned[last]), num(late))
		}
		if legs[last] > 0 {
			ratio = actual / legs[last]
			w.Line("ratio: %s / %s = %s", num(actual), num(legs[last]), worked.Factor(ratio))
		}
	}
	ahead := 0.0
	for i := range legs {
		figures = append(figures, moment(fmt.Sprintf("ETA %d", i+1), fmt.Sprintf("leg_%d_eta", i+1), planned[i]))
		if i <= last {
			continue
		}
		ahead += legs[i]
		var carriedOver, scaled time.Time
		if known(late) && !planned[i].IsZero() {
			carriedOver = planned[i].Add(inSeconds(late))
			if known(ratio) {
				scaled = l.Passed[last].Add(inSeconds(ahead * ratio))
				w.Line("by ratio, to %s: %s × %s = %s min", i+1, num(ahead), worked.Factor(ratio), num(ahead*ratio))
			}
		}
		carried = append(carried, moment(fmt.Sprintf("ETA %d, delay carried over", i+1), fmt.Sprintf("leg_%d_eta_carried_over", i+1), carriedOver))
		byRatio = append(byRatio, moment(fmt.Sprintf("ETA %d, by ratio", i+1), fmt.Sprintf("leg_%d_eta_by_ratio", i+1), scaled))
	}
	return append(figures, append(carried, byRatio...)...)
}

// inSeconds is a span of minutes in whole seconds.
func inSeconds(minutes float64) time.Duration {
	return time.Duration(math.Round(60*minutes)) * time.Second
}
