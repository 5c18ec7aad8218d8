package debrief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// rule draws a sentence from the figures. measure is the figure by which it speaks, in units of the size from which it is worth saying:
// below 1 it is silent. importance ranks rules that are reached equally often: 3 for what endangers, 2 for what the flight was flown
// by, 1 for how the log was kept, and less for what went well.
type rule struct {
	name       string
	importance float64
	says       func(*Flight) (measure float64, text string)
}

// Sizes from which a figure is worth a sentence; docs/debrief.md lists them. Common practice, no source.
const (
	worthArrivalSeconds  = 120.0
	worthWindKt          = 8.0
	worthLegMinutes      = 1.0
	worthEnteredLate     = 2.0
	worthGapMinutes      = 15.0
	worthTankSeconds     = 300.0
	worthLostNM          = 5.0
	worthOffTrackNM      = 1.0
	worthGaugeShare      = 0.08
	worthTakeOffSeconds  = 300.0
	fewestLessons        = 3
	mostLessons          = 5
	mostAbove            = 10.0 // a measure counts no more than this
	worthPassingsForBand = 5
)

// rules are all that there are.
var rules = []rule{
	{"reserve", 3, saysReserve},
	{"imbalance", 3, saysImbalance},
	{"gauge", 2.5, saysGauge},
	{"tank-late", 2, saysTankLate},
	{"arrival", 2, saysArrival},
	{"wind", 2, saysWind},
	{"leg", 1.5, saysLeg},
	{"lost", 2.5, saysLost},
	{"off-track", 1.5, saysOffTrack},
	{"band", 1.5, saysBand},
	{"take-off", 1, saysTakeOff},
	{"beacon", 2, saysBeacon},
	{"missed", 1.5, saysMissed},
	{"prompts", 1.2, saysPrompts},
	{"entered-late", 1, saysEnteredLate},
	{"gap", 1, saysGap},
	{"corrections", 0.5, saysCorrections},
	{"good-eta", 0.4, saysGoodETA},
	{"good-prompts", 0.3, saysGoodPrompts},
	{"good-tanks", 0.2, saysGoodTanks},
	{"good-log", 0.1, saysGoodLog},
	{"short", 0.05, saysShort},
}

// lessons are the sentences that mattered most: by their measure, at most ten, times their importance. Those of what went well only fill
// up to the fewest.
func lessons(f *Flight) []Lesson {
	all := []Lesson{}
	for _, rule := range rules {
		measure, text := rule.says(f)
		if math.IsNaN(measure) || measure < 1 {
			continue
		}
		all = append(all, Lesson{Rule: rule.name, Text: text, Weight: math.Min(measure, mostAbove) * rule.importance})
	}
	slices.SortStableFunc(all, func(a, b Lesson) int { return cmp.Compare(b.Weight, a.Weight) })
	for n := len(all); n > fewestLessons; n-- {
		if n <= mostLessons && all[n-1].Weight >= 0.5 {
			break
		}
		all = all[:n-1]
	}
	return all
}

func saysReserve(f *Flight) (float64, string) {
	held := f.Fuel.ReserveHeld
	if held == nil || f.Fuel.ReserveMinutes <= 0 || *held >= f.Fuel.ReserveMinutes {
		return 0, ""
	}
	return mostAbove, fmt.Sprintf("The flight ended with %.0f minutes of the %.0f of its reserve: the fuel was not there to go elsewhere.", *held, f.Fuel.ReserveMinutes)
}

func saysImbalance(f *Flight) (float64, string) {
	t := f.Tanks
	if t.Limit == nil || t.MinutesAboveLimit <= 0 || t.HighestAt == nil {
		return 0, ""
	}
	return 1 + t.MinutesAboveLimit, fmt.Sprintf("The tanks were more than %g %s apart for %.0f minutes, at most %.1f at %s.",
		*t.Limit, unitWords(t.Unit), math.Max(1, t.MinutesAboveLimit), t.HighestImbalance, zulu(*t.HighestAt))
}

func saysGauge(f *Flight) (float64, string) {
	worst := Gauge{}
	for _, gauge := range f.Tanks.Gauges {
		if math.Abs(gauge.Difference) > math.Abs(worst.Difference) {
			worst = gauge
		}
	}
	if f.Fuel.OnBoard <= 0 || len(f.Tanks.Names) == 0 {
		return 0, ""
	}
	capacity := f.Fuel.OnBoard / float64(len(f.Tanks.Names))
	return math.Abs(worst.Difference) / (worthGaugeShare * capacity), fmt.Sprintf("At %s the %s gauge read %.1f where %.1f %s was reckoned: find out which was wrong.",
		zulu(worst.At), worst.Tank, worst.Reading, worst.Reckoned, unitWords(f.Tanks.Unit))
}

func saysTankLate(f *Flight) (float64, string) {
	var worst *TankChange
	for i, change := range f.Tanks.Made {
		if change.Seconds != nil && (worst == nil || *change.Seconds > *worst.Seconds) {
			worst = &f.Tanks.Made[i]
		}
	}
	if worst == nil {
		return 0, ""
	}
	return *worst.Seconds / worthTankSeconds, fmt.Sprintf("The change to the %s tank came %s after it was due, at an imbalance of %.1f.", worst.To, span(*worst.Seconds), worst.Imbalance)
}

func saysArrival(f *Flight) (float64, string) {
	planned, actual := f.Totals.PlannedMinutes, f.Totals.ActualMinutes
	if planned == nil || actual == nil {
		return 0, ""
	}
	seconds := (*actual - *planned) * 60
	return math.Abs(seconds) / worthArrivalSeconds, fmt.Sprintf("From take-off to %s it took %s %s than planned.", f.Totals.Destination, span(seconds), longer(seconds))
}

func longer(seconds float64) string {
	if seconds < 0 {
		return "less"
	}
	return "more"
}

// lastWind is the wind found last; nil when none was.
func (f *Flight) lastWind() *Wind {
	for i := len(f.Winds) - 1; i >= 0; i-- {
		if f.Winds[i].Source == "found" {
			return &f.Winds[i]
		}
	}
	return nil
}

func saysWind(f *Flight) (float64, string) {
	wind := f.lastWind()
	if wind == nil {
		return 0, ""
	}
	difference := windDifference(wind.FromTrue, wind.SpeedKt, wind.ForecastFrom, wind.ForecastKt)
	text := fmt.Sprintf("The wind was %.0f kt (as a vector) off its forecast: %s ±%.0f instead of %s.", difference,
		windWords(wind.FromTrue, wind.SpeedKt), wind.SigmaKt, windWords(wind.ForecastFrom, wind.ForecastKt))
	if wind.TrueFrom != nil && wind.TrueKt != nil {
		text += fmt.Sprintf(" It really was %s.", windWords(*wind.TrueFrom, *wind.TrueKt))
	}
	return difference / worthWindKt, text
}

func saysLeg(f *Flight) (float64, string) {
	var worst *Leg
	difference := 0.0
	for i, leg := range f.Legs {
		if leg.PlannedMinutes == nil || leg.ActualMinutes == nil {
			continue
		}
		if d := *leg.ActualMinutes - *leg.PlannedMinutes; math.Abs(d) > math.Abs(difference) {
			worst, difference = &f.Legs[i], d
		}
	}
	if worst == nil || worst.PlannedGroundspeedKt == nil || worst.ActualGroundspeedKt == nil {
		return 0, ""
	}
	lost := "gained"
	if difference > 0 {
		lost = "lost"
	}
	return math.Abs(difference) / worthLegMinutes, fmt.Sprintf("Most time was %s from %s to %s: %s at %.0f kt where %.0f were planned.", lost, worst.From, worst.To,
		span(difference*60), *worst.ActualGroundspeedKt, *worst.PlannedGroundspeedKt)
}

func saysOffTrack(f *Flight) (float64, string) {
	var worst *Leg
	for i, leg := range f.Legs {
		if leg.OffTrackNM != nil && (worst == nil || math.Abs(*leg.OffTrackNM) > math.Abs(*worst.OffTrackNM)) {
			worst = &f.Legs[i]
		}
	}
	if worst == nil {
		return 0, ""
	}
	return math.Abs(*worst.OffTrackNM) / worthOffTrackNM, fmt.Sprintf("From %s to %s the track was left by %s.", worst.From, worst.To, side(*worst.OffTrackNM))
}

// saysLost tells of a practice flight how far from its track it really was.
func saysLost(f *Flight) (float64, string) {
	if f.Practice == nil || !f.Practice.HandsOn || f.Practice.FarthestOffAt == nil {
		return 0, ""
	}
	far := f.Practice.FarthestOffNM
	return math.Abs(far) / worthLostNM, fmt.Sprintf("At %s the aircraft really was %s of the track that it was meant to fly.", zulu(*f.Practice.FarthestOffAt), sideOf(&far))
}

// saysBand speaks when the revised ETAs were out more often than their ± allows: a share within one standard error below a half.
func saysBand(f *Flight) (float64, string) {
	within := f.ETA.Within1Sigma
	if within == nil || f.ETA.Count < worthPassingsForBand {
		return 0, ""
	}
	return (1 - *within) / 0.5, fmt.Sprintf("Only %.0f %% of the revised ETAs held within their ±, where about 68 are to be expected: look for a heading, an airspeed or an entry that was not as logged.", *within*100)
}

func saysTakeOff(f *Flight) (float64, string) {
	d := f.Totals.Airborne.DifferenceSeconds
	if d == nil {
		return 0, ""
	}
	late := "after"
	if *d < 0 {
		late = "before"
	}
	return math.Abs(*d) / worthTakeOffSeconds, fmt.Sprintf("Take-off was %s %s plan; every planned time moves with it.", span(*d), late)
}

func saysBeacon(f *Flight) (float64, string) {
	n, name, what := 0.0, "", ""
	for _, beacon := range f.Discipline.Beacons {
		if beacon.UsedUnverified {
			n++
			name, what = beacon.Beacon+" on "+beacon.Receiver, beacon.UsedFor
		}
	}
	return n, fmt.Sprintf("%s was used for %s before it was identified%s.", name, what, more(n, "beacon"))
}

// more says how many more there were like the one named.
func more(n float64, noun string) string {
	switch {
	case n < 2:
		return ""
	case n < 3:
		return ", and one more " + noun + " too"
	}
	return fmt.Sprintf(", and %.0f more %ss too", n-1, noun)
}

func saysMissed(f *Flight) (float64, string) {
	missed := f.Discipline.Missed
	if len(missed) == 0 {
		return 0, ""
	}
	return float64(len(missed)), fmt.Sprintf("%d of %d passings were logged; the first that was not was %s.", f.Discipline.PassingsLogged, f.Discipline.PassingsDue, missed[0].Point)
}

func saysPrompts(f *Flight) (float64, string) {
	d := f.Discipline
	if d.PromptsAsked == 0 {
		return 0, ""
	}
	missed := float64(d.PromptsLate + d.PromptsLeft)
	worst := ""
	if d.PromptsLate > 0 && d.WorstSeconds != nil {
		worst = fmt.Sprintf(", the latest %s after it was due", span(*d.WorstSeconds))
	}
	return missed, fmt.Sprintf("Of %d prompts %d were answered late and %d not at all%s.", d.PromptsAsked, d.PromptsLate, d.PromptsLeft, worst)
}

func saysEnteredLate(f *Flight) (float64, string) {
	d := f.Discipline
	return float64(d.EnteredLate) / worthEnteredLate, fmt.Sprintf("%d entries were made more than half a minute after the fact, one of them %s: log first, then write.", d.EnteredLate, span(d.WorstEnteredLate))
}

func saysGap(f *Flight) (float64, string) {
	if len(f.Discipline.Gaps) == 0 {
		return 0, ""
	}
	gap := f.Discipline.Gaps[0]
	return gap.Minutes / worthGapMinutes, fmt.Sprintf("Nothing was logged for %.0f minutes from %s on.", gap.Minutes, zulu(gap.From))
}

func saysCorrections(f *Flight) (float64, string) {
	n := f.Discipline.Voided + f.Discipline.Amended
	return float64(n), fmt.Sprintf("%s had to be voided or amended.", counted(n, "entry", "entries"))
}

func saysGoodETA(f *Flight) (float64, string) {
	e := f.ETA
	if e.RevisedMean == nil || e.PlanMean == nil || *e.RevisedMean > *e.PlanMean {
		return 0, ""
	}
	hand := ""
	if e.HandMean != nil {
		hand = fmt.Sprintf(", the hand sum %.0f", *e.HandMean)
	}
	return 1, fmt.Sprintf("From one point to the next the revised ETAs were out by %.0f seconds on average%s, the plan's by %.0f.", *e.RevisedMean, hand, *e.PlanMean)
}

func saysGoodPrompts(f *Flight) (float64, string) {
	d := f.Discipline
	if d.PromptsAsked == 0 || d.PromptsInTime < d.PromptsAsked || d.MedianSeconds == nil {
		return 0, ""
	}
	return 1, fmt.Sprintf("All %d prompts were answered in time, half of them within %.0f seconds.", d.PromptsAsked, math.Max(0, *d.MedianSeconds))
}

func saysGoodTanks(f *Flight) (float64, string) {
	t := f.Tanks
	if t.Limit == nil || t.HighestAt == nil || t.MinutesAboveLimit > 0 {
		return 0, ""
	}
	return 1, fmt.Sprintf("The tanks were never more than %.1f of the %g %s apart that are allowed, with %s.", t.HighestImbalance, *t.Limit, unitWords(t.Unit), counted(len(t.Made), "change", "changes"))
}

func saysGoodLog(f *Flight) (float64, string) {
	d := f.Discipline
	if d.PassingsDue == 0 || len(d.Missed) > 0 {
		return 0, ""
	}
	return 1, fmt.Sprintf("All %s were logged.", counted(d.PassingsDue, "passing", "passings"))
}

// saysShort fills up where there is little to say: always true, always last.
func saysShort(f *Flight) (float64, string) {
	return 1, fmt.Sprintf("The log holds %s and goes %s.", counted(f.Totals.Entries, "entry", "entries"), goesTo(f.Totals))
}

func goesTo(t Totals) string {
	switch {
	case t.Complete:
		return "to the landing"
	case t.Airborne.Actual != nil:
		return "no further than the air"
	}
	return "no further than the ground"
}
