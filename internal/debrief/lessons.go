package debrief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// rule draws a lesson from the figures. The measure is the figure by which it speaks, in units of the size from which it is worth saying:
// below 1 it is silent. importance ranks rules of one danger that cost the same minutes.
type rule struct {
	name       string
	title      string // what it is about, where flights are counted
	importance float64
	byTrack    bool // it speaks of an imported track too: on what a track can tell
	says       func(*Flight) (measure float64, lesson Lesson)
}

// Sizes from which a figure is worth a sentence; docs/debrief.md lists them. Common practice, no source.
const (
	worthArrivalSeconds  = 120.0
	worthWindKt          = 8.0
	worthLegMinutes      = 1.0
	worthTurnSeconds     = 60.0
	worthHeadingDeg      = 10.0
	worthEnteredLate     = 2.0
	worthGapMinutes      = 15.0
	worthTankSeconds     = 300.0
	worthOffTrackNM      = 1.0
	worthUnloggedNM      = 1.0
	worthLevelFt         = 200.0
	worthGaugeShare      = 0.08
	worthTakeOffSeconds  = 300.0
	fewestLessons        = 3
	mostLessons          = 5
	mostAbove            = 10.0 // a measure counts no more than this
	worthPassingsForBand = 5
	farOffTrackNM        = 5.0 // from here on where the aircraft is is in doubt, and with it terrain and airspace
	offTrackNM           = 2.0
)

// What could have come of it, the worst first.
const (
	endangers = 3 // the flight could have ended badly
	leads     = 2 // it could have led there
	costs     = 1 // it cost time
	keeps     = 0 // it is about the log
)

// rules are all that there are.
var rules = []rule{
	{"reserve", "final reserve not held", 3, false, saysReserve},
	{"imbalance", "imbalance above the limit", 3, false, saysImbalance},
	{"gauge", "gauge and calculation differ", 2.5, false, saysGauge},
	{"off-track", "off track", 2.5, true, saysOffTrack},
	{"level", "level not held", 2, true, saysLevel},
	{"beacon", "beacon used before identified", 2, false, saysBeacon},
	{"tank-late", "tank changed late", 2, false, saysTankLate},
	{"leg", "time lost or gained on a leg", 2, true, saysLeg},
	{"arrival", "arrival off plan", 1.5, true, saysArrival},
	{"wind", "wind off the forecast", 1.5, true, saysWind},
	{"take-off", "take-off off plan", 1, true, saysTakeOff},
	{"unlogged", "off track logged wrongly", 2, false, saysUnlogged},
	{"missed", "passing not logged", 1.5, false, saysMissed},
	{"band", "revised ETAs outside their ±", 1.5, false, saysBand},
	{"prompts", "prompts late or unanswered", 1.2, false, saysPrompts},
	{"entered-late", "entered late", 1, false, saysEnteredLate},
	{"gap", "nothing logged", 1, false, saysGap},
	{"corrections", "entries corrected", 0.5, false, saysCorrections},
	{"good-eta", "good ETAs", 0.4, true, saysGoodETA},
	{"good-prompts", "prompts in time", 0.3, false, saysGoodPrompts},
	{"good-tanks", "tanks in balance", 0.2, false, saysGoodTanks},
	{"good-log", "log complete", 0.1, false, saysGoodLog},
	{"short", "short log", 0.05, true, saysShort},
}

// lessons are those that mattered most: by danger, then by the minutes that they cost, then by their measure, at most ten, times their
// importance. What went well only fills up to the fewest.
func lessons(f *Flight) []Lesson {
	all := []Lesson{}
	for _, rule := range rules {
		if f.byTrack() && !rule.byTrack {
			continue
		}
		measure, lesson := rule.says(f)
		if math.IsNaN(measure) || measure < 1 {
			continue
		}
		lesson.Rule, lesson.Weight = rule.name, math.Min(measure, mostAbove)*rule.importance
		all = append(all, lesson)
	}
	slices.SortStableFunc(all, func(a, b Lesson) int {
		return cmp.Or(cmp.Compare(b.Danger, a.Danger), cmp.Compare(b.Minutes, a.Minutes), cmp.Compare(b.Weight, a.Weight))
	})
	for n := len(all); n > fewestLessons; n-- {
		if n <= mostLessons && all[n-1].Weight >= 0.5 {
			break
		}
		all = all[:n-1]
	}
	return all
}

// byTrack reports whether the flight was made from a track, which tells of no tanks, radios, prompts or entries.
func (f *Flight) byTrack() bool { return f.Mode == flight.Import }

func saysReserve(f *Flight) (float64, Lesson) {
	u := &f.Fuel
	if u.Landed == nil || u.ExtraMinutes == nil || *u.ExtraMinutes >= 0 {
		return 0, Lesson{}
	}
	ended := "flight ended"
	if !f.Totals.Complete {
		ended = "log ends in flight"
	}
	return mostAbove, Lesson{
		Danger: endangers, Minutes: -*u.ExtraMinutes, At: f.end(),
		Text:   fmt.Sprintf("The %s with %s usable, below the final reserve of %s.", ended, say.AmountIn(*u.Landed, u.Unit), say.AmountIn(u.Reserve, u.Unit)),
		Advice: "Decide by the latest divert time, before the final reserve is the only fuel left to decide with.",
	}
}

// end is the landing, or the last that was logged of the flight.
func (f *Flight) end() *time.Time {
	for _, t := range []*time.Time{f.Totals.Landed.Actual, f.Totals.OnBlocks.Actual, f.Totals.Overhead.Actual} {
		if t != nil {
			return t
		}
	}
	return nil
}

func saysImbalance(f *Flight) (float64, Lesson) {
	t := f.Tanks
	if t.Limit == nil || t.MinutesAboveLimit <= 0 || t.HighestAt == nil {
		return 0, Lesson{}
	}
	return 1 + t.MinutesAboveLimit, Lesson{
		Danger: endangers, Minutes: t.MinutesAboveLimit, At: cmp.Or(t.AboveSince, t.HighestAt),
		Text: fmt.Sprintf("The imbalance was above its limit of %g %s for %s, at most %s at %s.",
			*t.Limit, say.Unit(t.Unit), minutes(math.Max(1, t.MinutesAboveLimit)), say.Amount(t.HighestImbalance), say.Time(*t.HighestAt)),
		Advice: "Change tanks when the clock says so, and say aloud which tank feeds at every point passed.",
	}
}

func saysGauge(f *Flight) (float64, Lesson) {
	worst := Gauge{}
	for _, gauge := range f.Tanks.Gauges {
		if math.Abs(gauge.Difference) > math.Abs(worst.Difference) {
			worst = gauge
		}
	}
	if f.Fuel.Block <= 0 || len(f.Tanks.Names) == 0 || worst.At.IsZero() {
		return 0, Lesson{}
	}
	share, danger := f.Fuel.Block/float64(len(f.Tanks.Names)), leads
	if worst.Difference < 0 {
		danger = endangers // there was less than was thought
	}
	return math.Abs(worst.Difference) / (worthGaugeShare * share), Lesson{
		Danger: danger, At: ref(worst.At),
		Text:   fmt.Sprintf("At %s the %s gauge read %s where %s was calculated.", say.Time(worst.At), worst.Tank, say.Amount(worst.Reading), say.AmountIn(worst.Reckoned, f.Tanks.Unit)),
		Advice: "Find out which was wrong, a gauge, the flow or the quantity at the start; until then the lower figure counts.",
	}
}

func saysTankLate(f *Flight) (float64, Lesson) {
	var worst *TankChange
	for i, change := range f.Tanks.Made {
		if change.Seconds != nil && (worst == nil || *change.Seconds > *worst.Seconds) {
			worst = &f.Tanks.Made[i]
		}
	}
	if worst == nil {
		return 0, Lesson{}
	}
	return *worst.Seconds / worthTankSeconds, Lesson{
		Danger: leads, Minutes: *worst.Seconds / 60, At: ref(worst.At),
		Text:   fmt.Sprintf("The change to the %s tank was made %s late, at an imbalance of %s.", worst.To, say.Span(*worst.Seconds), say.AmountIn(worst.Imbalance, f.Tanks.Unit)),
		Advice: "Do the change first and log it then; nothing else that is due at the same time can stop the engine.",
	}
}

func saysArrival(f *Flight) (float64, Lesson) {
	planned, actual := f.Totals.PlannedMinutes, f.Totals.ActualMinutes
	if planned == nil || actual == nil {
		return 0, Lesson{}
	}
	seconds := (*actual - *planned) * 60
	return math.Abs(seconds) / worthArrivalSeconds, Lesson{
		Danger: costs, Minutes: math.Max(0, seconds/60), At: f.Totals.Overhead.Actual,
		Text:   fmt.Sprintf("From take-off to %s it took %s %s than planned.", f.Totals.Destination, say.Span(seconds), longer(seconds)),
		Advice: "Pass the revised ETA on as soon as two points have shown it.",
	}
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
		if f.Winds[i].Source == flight.WindFound {
			return &f.Winds[i]
		}
	}
	return nil
}

func saysWind(f *Flight) (float64, Lesson) {
	wind := f.lastWind()
	if wind == nil {
		return 0, Lesson{}
	}
	difference := windDifference(wind.FromTrue, wind.SpeedKt, wind.ForecastFrom, wind.ForecastKt)
	text := fmt.Sprintf("The wind found was %s ±%.0f, %s (as a vector) from the forecast %s.",
		say.Wind(wind.FromTrue, wind.SpeedKt), wind.SigmaKt, say.Knots(difference), say.Wind(wind.ForecastFrom, wind.ForecastKt))
	if wind.TrueFrom != nil && wind.TrueKt != nil {
		text += fmt.Sprintf(" It really was %s.", say.Wind(*wind.TrueFrom, *wind.TrueKt))
	}
	return difference / worthWindKt, Lesson{
		Danger: costs, At: ref(wind.At), Text: text,
		Advice: "Steer by the wind found, not by the forecast, from the first point that shows it.",
	}
}

// saysLeg tells of the leg on which most time was lost or gained, and of what explains at least half of it: the turn onto it, the wind.
func saysLeg(f *Flight) (float64, Lesson) {
	var worst *Leg
	difference := 0.0
	for i := range f.Legs {
		if longer := f.Legs[i].longerSeconds(); longer != nil && math.Abs(*longer) > math.Abs(60*difference) {
			worst, difference = &f.Legs[i], *longer/60
		}
	}
	if worst == nil || worst.PlannedGroundspeedKt == nil || worst.ActualGroundspeedKt == nil {
		return 0, Lesson{}
	}
	lost := "gained"
	if difference > 0 {
		lost = "lost"
	}
	text := fmt.Sprintf("Most time was %s from %s to %s: %s.", lost, worst.From, worst.To, say.Span(difference*60))
	why, advice, at := worst.why(difference)
	return math.Abs(difference) / worthLegMinutes, Lesson{Danger: costs, Minutes: math.Max(0, difference), At: at, Text: text + " " + why, Advice: advice}
}

// why is what explains at least half of the minutes by which a leg was longer than planned, and where to look.
func (l *Leg) why(minutesMore float64) (text, advice string, at *time.Time) {
	explains := func(cost *float64) bool {
		return cost != nil && *cost*minutesMore > 0 && math.Abs(*cost) >= math.Abs(minutesMore)/2
	}
	at = l.StartedAt
	if explains(l.TurnCostMinutes) && turnExplains(math.Abs(*l.TurnCostMinutes), math.Abs(minutesMore)) {
		text = fmt.Sprintf("The turn at %s was made %s late, which took the aircraft %s off track and cost %s of it.", l.From, say.Span(*l.TurnLateSeconds), say.Miles(*l.TurnOffTrackNM), say.Span(*l.TurnCostMinutes*60))
		return text, turnAdvice, at
	}
	speeds := fmt.Sprintf("GS was %s, planned %.0f", say.Knots(*l.ActualGroundspeedKt), *l.PlannedGroundspeedKt)
	if explains(l.WindMinutes) {
		part := ""
		if math.Abs(*l.WindMinutes) < 0.9*math.Abs(minutesMore) {
			part = say.Span(*l.WindMinutes*60) + " of "
		}
		return fmt.Sprintf("%s; the wind found explains %sit.", speeds, part), "Work the headings and times of the legs ahead out again with the wind found.", at
	}
	if off := l.SteeredOff; off != nil && minutesMore > 0 && math.Abs(*off) >= worthHeadingDeg {
		return fmt.Sprintf("%s; neither the turn nor the wind found explains it, but headings up to %.0f° off the leg's were steered, and the way round is longer.", speeds, math.Abs(*off)),
			"When you go round something, revise the ETA as you turn away, and again once you are back on track.", at
	}
	return speeds + "; neither the turn nor the wind found explains it.", "Look for a heading, an airspeed or a level that was not as planned, or a passing logged at the wrong place.", at
}

// turnExplains reports whether what a late turn must have led to is at least half of what came about, and no more than twice that: a turn by a heading
// that was logged long after it was flown would have led to more.
func turnExplains(must, came float64) bool { return must >= came/2 && must <= 2*came }

const turnAdvice = "Over the point: turn first, then time, then talk. Have the next heading in mind two minutes before."

// saysOffTrack tells of the leg that was left farthest: by what is not the pilot's log where that is known, and whether a late turn explains it.
func saysOffTrack(f *Flight) (float64, Lesson) {
	var worst *Leg
	farthest, at, really := 0.0, (*time.Time)(nil), false
	for i := range f.Legs {
		leg := &f.Legs[i]
		if off := leg.FlownOffTrackNM; off != nil && math.Abs(*off) > math.Abs(farthest) {
			worst, farthest, at, really = leg, *off, leg.FlownOffTrackAt, true
		}
		if off := leg.OffTrackNM; off != nil && leg.FlownOffTrackNM == nil && math.Abs(*off) > math.Abs(farthest) {
			worst, farthest, at, really = leg, *off, leg.OffTrackAt, false
		}
	}
	if p := f.Practice; p != nil && p.HandsOn && p.FarthestOffAt != nil && math.Abs(p.FarthestOffNM) > math.Abs(farthest) { // on a leg that was left before its end
		far := Lesson{
			At: p.FarthestOffAt, Danger: offTrackDanger(p.FarthestOffNM), Advice: offTrackAdvice,
			Text: fmt.Sprintf("At %s the aircraft really was %s of the track that it was meant to fly.", say.Time(*p.FarthestOffAt), say.MilesAside(p.FarthestOffNM)),
		}
		return math.Abs(p.FarthestOffNM) / worthOffTrackNM, far
	}
	if worst == nil {
		return 0, Lesson{}
	}
	lesson := Lesson{Danger: offTrackDanger(farthest), At: at, Advice: offTrackAdvice}
	switch {
	case really && worst.OffTrackNM == nil && !f.byTrack():
		lesson.Text = fmt.Sprintf("From %s to %s the aircraft was %s; nothing off track was logged.", worst.From, worst.To, say.OffTrack(farthest))
	case really && worst.OffTrackNM != nil && !f.byTrack():
		lesson.Text = fmt.Sprintf("From %s to %s the aircraft was %s; %s was logged.", worst.From, worst.To, say.OffTrack(farthest), say.MilesAside(*worst.OffTrackNM))
	default:
		lesson.Text = fmt.Sprintf("From %s to %s the aircraft was %s.", worst.From, worst.To, say.OffTrack(farthest))
	}
	if off := worst.TurnOffTrackNM; off != nil && *worst.TurnLateSeconds >= worthTurnSeconds && turnExplains(*off, math.Abs(farthest)) {
		lesson.Text += fmt.Sprintf(" It came from the turn at %s, made %s late.", worst.From, say.Span(*worst.TurnLateSeconds))
		if worst.TurnCostMinutes != nil {
			lesson.Minutes = math.Max(0, *worst.TurnCostMinutes)
			lesson.Text += fmt.Sprintf(" That cost %s.", say.Span(lesson.Minutes*60))
		}
		lesson.Advice = turnAdvice
	}
	return math.Abs(farthest) / worthOffTrackNM, lesson
}

const offTrackAdvice = "Look for a second landmark, fix the position by two lines, and correct by the 1-in-60 rule before the next point."

// offTrackDanger is what could have come of being so far off track.
func offTrackDanger(nm float64) int {
	switch {
	case math.Abs(nm) >= farOffTrackNM:
		return endangers
	case math.Abs(nm) >= offTrackNM:
		return leads
	}
	return costs
}

// saysUnlogged sets what was logged off track beside what was flown, where something but the log tells it.
func saysUnlogged(f *Flight) (float64, Lesson) {
	worst, by := (*Leg)(nil), 0.0
	for i := range f.Legs {
		leg := &f.Legs[i]
		if leg.OffTrackNM == nil || leg.FlownOffTrackNM == nil {
			continue
		}
		if d := math.Abs(*leg.OffTrackNM - *leg.FlownOffTrackNM); d > by {
			worst, by = leg, d
		}
	}
	if worst == nil {
		return 0, Lesson{}
	}
	return by / worthUnloggedNM, Lesson{
		Danger: keeps, At: worst.OffTrackAt,
		Text:   fmt.Sprintf("From %s to %s %s was logged and %s flown.", worst.From, worst.To, say.MilesAside(*worst.OffTrackNM), say.MilesAside(*worst.FlownOffTrackNM)),
		Advice: "Judge the distance against something of known size on the chart, or take a cross bearing.",
	}
}

// saysBand speaks when the revised ETAs were out more often than their ± allows: a share within one standard error below a half.
func saysBand(f *Flight) (float64, Lesson) {
	within := f.ETA.Within1Sigma
	if within == nil || f.ETA.Count < worthPassingsForBand {
		return 0, Lesson{}
	}
	return (1 - *within) / 0.5, Lesson{
		Danger: keeps,
		Text:   fmt.Sprintf("Only %.0f %% of the revised ETAs held within their ±, where about 68 are to be expected.", *within*100),
		Advice: "Look for a heading, an airspeed or an entry that was not as logged.",
	}
}

func saysTakeOff(f *Flight) (float64, Lesson) {
	d := f.Totals.Airborne.DifferenceSeconds
	if d == nil {
		return 0, Lesson{}
	}
	late := "after"
	if *d < 0 {
		late = "before"
	}
	return math.Abs(*d) / worthTakeOffSeconds, Lesson{
		Danger: costs, Minutes: math.Max(0, *d/60), At: f.Totals.Airborne.Actual,
		Text:   fmt.Sprintf("Take-off was %s %s plan; every planned time moves with it.", say.Span(*d), late),
		Advice: "Check the fuel, the daylight and the slot again with the new time before take-off.",
	}
}

func saysBeacon(f *Flight) (float64, Lesson) {
	n, lesson := 0, Lesson{Danger: leads, Advice: "Tune, identify, then use: without its ident a needle can be another station's, or point at nothing."}
	for _, beacon := range f.Discipline.Beacons {
		if !beacon.UsedUnverified {
			continue
		}
		if n++; n == 1 {
			lesson.At = beacon.Used
			lesson.Text = beacon.usedTooSoon(" for " + beacon.UsedFor)
		}
	}
	if n > 1 {
		lesson.Text += ", and so " + map[bool]string{true: "was ", false: "were "}[n == 2] + say.Counted(n-1, "other beacon", "other beacons")
	}
	lesson.Text += "."
	return float64(n), lesson
}

func saysMissed(f *Flight) (float64, Lesson) {
	missed := f.Discipline.Missed
	if len(missed) == 0 {
		return 0, Lesson{}
	}
	return float64(len(missed)), Lesson{
		Danger: keeps, At: ref(missed[0].NoticedAt),
		Text: fmt.Sprintf("Of %s %s logged; the first that was not is %s.", say.Counted(f.Discipline.PassingsDue, "passing", "passings"),
			howMany(f.Discipline.PassingsLogged, "was", "were"), missed[0].Point),
		Advice: "Log each point as it passes, even when it is not sure: a time with a doubt is worth more than none.",
	}
}

// howMany is "none was", "1 was", "3 were".
func howMany(n int, one, many string) string {
	switch n {
	case 0:
		return "none " + one
	case 1:
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func saysPrompts(f *Flight) (float64, Lesson) {
	d := f.Discipline
	missed := d.PromptsLate + d.PromptsLeft
	if missed == 0 {
		return 0, Lesson{}
	}
	var parts []string
	if d.PromptsLate > 0 {
		late := howMany(d.PromptsLate, "was", "were") + " answered late"
		if d.WorstSeconds != nil && *d.WorstSeconds >= 1 {
			late += fmt.Sprintf(" (at most %s)", say.Span(*d.WorstSeconds))
		}
		parts = append(parts, late)
	}
	if d.PromptsLeft > 0 {
		parts = append(parts, howMany(d.PromptsLeft, "was", "were")+" not answered")
	}
	lesson := Lesson{
		Danger: keeps, Text: fmt.Sprintf("Of %s %s.", say.Counted(d.PromptsAsked, "prompt", "prompts"), strings.Join(parts, " and ")),
		Advice: "Answer a prompt when it is done, or skip it: an open one hides the next.",
	}
	for _, p := range d.Prompts {
		if p.Met == AnswerLate || p.Met == Unanswered {
			lesson.At = ref(p.Due)
			break
		}
	}
	return float64(missed), lesson
}

func saysEnteredLate(f *Flight) (float64, Lesson) {
	d := f.Discipline
	return float64(d.EnteredLate) / worthEnteredLate, Lesson{
		Danger: keeps, Text: fmt.Sprintf("%s made more than half a minute after the fact, at most %s.", say.Counted(d.EnteredLate, "entry was", "entries were"), say.Span(d.WorstEnteredLate)),
		Advice: "Press the key first and write afterwards: the time is what you can't get back.",
	}
}

func saysGap(f *Flight) (float64, Lesson) {
	if len(f.Discipline.Gaps) == 0 {
		return 0, Lesson{}
	}
	gap := f.Discipline.Gaps[0]
	return gap.Minutes / worthGapMinutes, Lesson{
		Danger: keeps, At: ref(gap.From), Text: fmt.Sprintf("Nothing was logged for %s from %s.", minutes(gap.Minutes), say.Time(gap.From)),
		Advice: "Log something at least every ten minutes: a landmark abeam, a fix, the fuel.",
	}
}

func saysCorrections(f *Flight) (float64, Lesson) {
	n := f.Discipline.Voided + f.Discipline.Amended
	return float64(n), Lesson{Danger: keeps, Text: fmt.Sprintf("%s voided or amended.", say.Counted(n, "entry was", "entries were"))}
}

func saysGoodETA(f *Flight) (float64, Lesson) {
	e := f.ETA
	if e.RevisedMean == nil || e.PlanMean == nil || *e.RevisedMean > *e.PlanMean {
		return 0, Lesson{}
	}
	hand := ""
	if e.HandMean != nil {
		hand = fmt.Sprintf(", the hand sum by %s", say.Span(*e.HandMean))
	}
	return 1, Lesson{Text: fmt.Sprintf("From one point to the next the revised ETAs were out by %s on average%s, the plan's by %s.", say.Span(*e.RevisedMean), hand, say.Span(*e.PlanMean))}
}

func saysGoodPrompts(f *Flight) (float64, Lesson) {
	d := f.Discipline
	if d.PromptsAsked == 0 || d.PromptsInTime < d.PromptsAsked || d.MedianSeconds == nil {
		return 0, Lesson{}
	}
	if d.PromptsAsked == 1 {
		return 1, Lesson{Text: "The one prompt was answered in time."}
	}
	return 1, Lesson{Text: fmt.Sprintf("All %d prompts were answered in time, half of them within %s.", d.PromptsAsked, say.Span(math.Max(0, *d.MedianSeconds)))}
}

func saysGoodTanks(f *Flight) (float64, Lesson) {
	t := f.Tanks
	if t.Limit == nil || t.HighestAt == nil || t.MinutesAboveLimit > 0 {
		return 0, Lesson{}
	}
	return 1, Lesson{Text: fmt.Sprintf("The imbalance was never more than %s of the %g %s allowed, with %s.", say.Amount(t.HighestImbalance), *t.Limit, say.Unit(t.Unit), say.Counted(len(t.Made), "change", "changes"))}
}

func saysGoodLog(f *Flight) (float64, Lesson) {
	d := f.Discipline
	switch {
	case d.PassingsDue == 0 || len(d.Missed) > 0:
		return 0, Lesson{}
	case d.PassingsDue == 1:
		return 1, Lesson{Text: "The one passing was logged."}
	}
	return 1, Lesson{Text: fmt.Sprintf("All %d passings were logged.", d.PassingsDue)}
}

// saysShort fills up where there is little to say: always true, always last.
func saysShort(f *Flight) (float64, Lesson) {
	return 1, Lesson{Text: fmt.Sprintf("The log has %s and goes %s.", say.Counted(f.Totals.Entries, "entry", "entries"), goesTo(f.Totals))}
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
