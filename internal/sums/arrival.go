package sums

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// Descent asks when to leave a level, or at what rate. One of RateFtPerMin, AngleDeg and WithinNM is given.
type Descent struct {
	From, To      say.Level
	QNHHPa        *float64 // optional: standard; needed between a flight level and an altitude
	GroundspeedKt float64
	RateFtPerMin  *float64
	AngleDeg      *float64  // of the path
	WithinNM      *float64  // to the point; the rate is wanted
	BeforeNM      *float64  // optional: level so far before the point
	ETA           time.Time // optional: at the point; zero if not given
}

// Sum works out the descent.
func (d Descent) Sum() (Sum, error) {
	s := Sum{
		Name: "descent", Title: "Top of descent", Given: d.given(),
		Rule:   "minutes = height / rate, distance = groundspeed × minutes / 60; as taught, 3 nm for each 1000 ft; 5 × groundspeed is a path of 3°",
		Source: "FAA Instrument Procedures Handbook, 3 nm for 1000 ft; the groundspeed is that of the descent, with the wind half-way down",
	}
	var w Working
	height, before, err := d.height(&w, &s)
	if err != nil {
		return Sum{}, err
	}
	way := wayDown{heightFt: height, rateFtPerMin: unknown, rateRule: unknown, minutes: unknown, beforeNM: unknown, taughtNM: unknown}
	if d.GroundspeedKt > 0 {
		way.rateFtPerMin, way.rateRule = d.rate(&w, height, before)
	}
	if known(way.rateFtPerMin) {
		d.way(&w, &way, before)
	} else {
		s.Problem = "without a groundspeed no ground is covered"
		if d.GroundspeedKt > 0 {
			s.Problem = "no distance is left in which to lose the height: the level flight before the point takes " + say.Distance.Say(before, 2) + " of " + say.Distance.Say(*d.WithinNM, 2)
		}
	}
	const steepestFtPerMin = 1500 // common practice, no source
	if way.rateFtPerMin > steepestFtPerMin {
		s.Notes = append(s.Notes, fmt.Sprintf("a light single does not descend at %s ft/min for long: make the top of descent earlier", num(math.Round(way.rateFtPerMin))))
	}
	s.Answers = d.answers(way)
	s.Working = w.Text()
	return s, nil
}

func (d Descent) given() []Figure {
	return []Figure{
		levelFigure("from", "from_", d.From), levelFigure("to", "to_", d.To), qnhFigure(d.QNHHPa), speedGiven("groundspeed", "groundspeed_kt", d.GroundspeedKt),
		rateGiven("rate", "rate_ft_per_min", valueOf(d.RateFtPerMin)), angleGiven("path", "path_deg", valueOf(d.AngleDeg)),
		milesGiven("within", "within_nm", valueOf(d.WithinNM)), milesGiven("level before the point", "level_before_nm", valueOf(d.BeforeNM)),
		moment("over the point", "eta", d.ETA),
	}
}

// wayDown is a descent; what does not exist is unknown.
type wayDown struct{ heightFt, rateFtPerMin, rateRule, minutes, beforeNM, taughtNM float64 }

// way works out where the level is left, with a level part before the point.
func (d Descent) way(w *Working, way *wayDown, levelNM float64) {
	minutes, along := deadreckon.LevelChange(way.heightFt, way.rateFtPerMin, d.GroundspeedKt)
	w.Took(minutes, inSecondsToo(minutes), "time: %s / %s", num(way.heightFt), num(way.rateFtPerMin))
	w.Distance("distance", d.GroundspeedKt, minutes, along)
	if levelNM > 0 {
		w.Line("before the point: %s + %s = %s nm", num(along), num(levelNM), num(along+levelNM))
	}
	way.minutes, way.beforeNM = minutes, along+levelNM
	way.taughtNM = deadreckon.DescentDistanceRuleNM(way.heightFt) + levelNM
	w.Line("as taught: 3 × %s / 1000 + %s = %s nm", num(way.heightFt), num(levelNM), num(way.taughtNM))
}

// height is what is to be lost, and the level distance before the point.
func (d Descent) height(w *Working, s *Sum) (heightFt, beforeNM float64, err error) {
	ways := 0
	for _, given := range []*float64{d.RateFtPerMin, d.AngleDeg, d.WithinNM} {
		if given != nil {
			ways++
		}
	}
	qnh := standardUnless(d.QNHHPa)
	from, to := d.From.AltitudeFt(qnh), d.To.AltitudeFt(qnh)
	if d.BeforeNM != nil {
		beforeNM = *d.BeforeNM
	}
	switch {
	case ways != 1:
		return 0, 0, unfit("give the rate (rate 500), or the path (path 3), or the distance in which to lose the height (within 12 nm)",
			"a rate, a path or a distance is needed, and one only")
	case d.RateFtPerMin != nil && *d.RateFtPerMin <= 0:
		return 0, 0, unfit("give feet a minute, for example 500", "without a rate no height is lost")
	case d.AngleDeg != nil && (*d.AngleDeg <= 0 || *d.AngleDeg >= 45):
		return 0, 0, unfit("give the path in degrees, for example 3", "a path to be flown lies between 0 and 45°")
	case from <= to:
		return 0, 0, unfit("give the higher level first, for example from 6500 to 1500", "a descent ends lower than it begins")
	case d.From.FlightLevel != d.To.FlightLevel && d.QNHHPa == nil:
		s.Notes = append(s.Notes, "no QNH given: "+say.QNHInBoth(air.StandardQNH)+" taken between flight level and altitude")
	}
	if d.From.FlightLevel != d.To.FlightLevel {
		w.Line("on QNH %s: from %s ft to %s ft", num(qnh), num(from), num(to))
	}
	w.Line("height: %s - %s = %s ft", num(from), fig(to), num(from-to))
	return from - to, beforeNM, nil
}

// rate is the one that was given or is wanted, exactly and, of a path, by the rule.
func (d Descent) rate(w *Working, heightFt, beforeNM float64) (ftPerMin, rule float64) {
	switch {
	case d.RateFtPerMin != nil:
		return *d.RateFtPerMin, unknown
	case d.AngleDeg != nil:
		rule, exact := deadreckon.RateForAngle(*d.AngleDeg, d.GroundspeedKt)
		w.Line("rate by the rule: %s × 100 × %s / 60 = %s ft/min", num(*d.AngleDeg), num(d.GroundspeedKt), num(rule))
		w.Line("rate exactly: %s × tan(%s) × %s / 60 = %s ft/min", num(air.FeetPerNM), num(*d.AngleDeg), num(d.GroundspeedKt), num(exact))
		return exact, rule
	}
	left := *d.WithinNM - beforeNM
	if left <= 0 {
		return unknown, unknown
	}
	w.Time("time", left, d.GroundspeedKt, deadreckon.Minutes(left, d.GroundspeedKt))
	return deadreckon.RateForDistance(heightFt, left, d.GroundspeedKt), unknown
}

func (d Descent) answers(way wayDown) []Figure {
	path, ftPerNM, leave := unknown, unknown, time.Time{}
	if known(way.rateFtPerMin) {
		path, ftPerNM = deadreckon.AngleForRate(way.rateFtPerMin, d.GroundspeedKt), deadreckon.GradientFtPerNM(way.rateFtPerMin, d.GroundspeedKt)
	}
	if !d.ETA.IsZero() && known(way.beforeNM) {
		leave = d.ETA.Add(-duration(deadreckon.Minutes(way.beforeNM, d.GroundspeedKt)))
	}
	return []Figure{
		miles("top of descent before the point", "leave_before_nm", way.beforeNM), miles("as taught", "leave_before_rule_nm", way.taughtNM),
		moment("top of descent at", "leave_at", leave), span("descent", "minutes", way.minutes), rate("rate", "rate_ft_per_min", way.rateFtPerMin),
		rate("by the rule", "rate_rule_ft_per_min", way.rateRule), slope("path", "path_deg", path), gradient("gradient", "gradient_ft_per_nm", ftPerNM),
		feet("height to lose", "height_ft", way.heightFt),
	}
}

func duration(minutes float64) time.Duration { return time.Duration(minutes * float64(time.Minute)) }

func standardUnless(qnh *float64) float64 {
	if qnh != nil {
		return *qnh
	}
	return air.StandardQNH
}

// Hold asks how long to hold for a time of arrival, and what that takes. DelayMinutes or the pair of times is given.
type Hold struct {
	DelayMinutes   *float64
	ETA, Arrive    time.Time // as it stands, and as it is wanted; zero if not given
	Flow           *say.Fuel // optional: an hour in the hold
	Fuel           *say.Fuel // optional: usable when the hold begins
	ReserveMinutes *float64  // optional: kept at the flow of the hold
	ToGoNM         *float64  // optional: with GroundspeedKt, to lose the time on the way instead
	GroundspeedKt  *float64
	Track          *say.Direction // optional: with Wind and the groundspeed from here, for the airspeed and the heading
	Wind           *air.Wind
	Variation      *float64
}

// patternMinutes is a racetrack: two turns and two legs of a minute each.
const patternMinutes = 4

// Sum works out the hold.
func (h Hold) Sum() (Sum, error) {
	s := Sum{
		Name: "hold", Title: "How long to hold, and what it takes", Given: h.given(),
		Rule:   "delay = time to arrive - ETA; fuel = flow × delay / 60; or slow down: groundspeed = distance to go / (time to go + delay)",
		Source: "AIM 5-3-8, a pattern of minute legs and rate-one turns takes 4 minutes up to 14000 ft (from memory); in still air, the entry not counted",
	}
	if err := h.check(); err != nil {
		return Sum{}, err
	}
	var w Working
	delay := h.delay(&w)
	held, patterns, used := unknown, unknown, say.Fuel{Amount: unknown}
	if delay >= 0 {
		held, patterns = delay, delay/patternMinutes
		w.Line("patterns of %s min: %s / %s = %s", patternMinutes, num(delay), patternMinutes, num(patterns))
	}
	if h.Flow != nil && delay >= 0 {
		used = burned(delay, *h.Flow)
		w.Fuel("fuel", h.Flow.Amount, delay, used.Amount, used.Unit)
	}
	longest := h.longest(&w)
	short := max(0, -longest)
	if short > 0 {
		longest = unknown
	}
	switch {
	case delay < 0:
		s.Problem = "there is no time to lose: the ETA is " + sayMinutes(-delay) + " after the time to arrive"
	case short > 0:
		s.Problem = "the usable fuel is " + sayMinutes(short) + " short of the final reserve"
	case known(longest) && delay > longest:
		s.Problem = "the fuel above final reserve is " + sayMinutes(longest) + " only"
	}
	if h.Fuel != nil && h.ReserveMinutes == nil {
		s.Notes = append(s.Notes, noReserve)
	}
	slower := h.slower(&w, delay)
	tas, heading, err := h.airspeed(&w, slower)
	if err != nil {
		return Sum{}, err
	}
	if slower < slowestTAS && h.Wind == nil {
		s.Notes = append(s.Notes, fmt.Sprintf("a groundspeed of %.0f kt is slower than a light single flies, but in a strong headwind: hold instead", slower))
	}
	s.Answers = []Figure{
		span("hold for", "minutes", held), figure("patterns of 4 min", "patterns", patterns, func(value float64) string { return say.SayNumber(value, 1) }),
		fuelFigure("fuel for it", "fuel", used), span("longest hold", "longest_minutes", longest),
		speed("or groundspeed from here", "groundspeed_kt", slower), speed("which is a true airspeed of", "tas_kt", tas),
		trueDirection("heading", "heading", heading), magneticDirection("heading", "heading", w.magneticOf("heading", heading, h.Variation)),
	}
	s.Working = w.Text()
	return s, nil
}

func (h Hold) given() []Figure {
	return []Figure{
		span("delay", "delay_minutes", valueOf(h.DelayMinutes)), moment("ETA", "eta", h.ETA), moment("arrive", "arrive", h.Arrive),
		flowFigure("flow", "flow_per_hour", h.Flow), fuelGiven("usable fuel", "usable_fuel", h.Fuel), fuelUnit(h.Fuel, h.Flow),
		span("reserve", "reserve_minutes", valueOf(h.ReserveMinutes)), milesGiven("to go", "to_go_nm", valueOf(h.ToGoNM)),
		speedGiven("groundspeed", "groundspeed_kt", valueOf(h.GroundspeedKt)), h.trackGiven(), h.windGiven(), variationFigure(valueOf(h.Variation)),
	}
}

func (h Hold) trackGiven() Figure {
	if h.Track == nil {
		return Figure{Label: "track", Values: []Value{{"track_true", nil}, {"track_magnetic", nil}}}
	}
	return eitherGiven("track", "track", h.Track.Or(say.True))
}

func (h Hold) windGiven() Figure {
	if h.Wind == nil {
		return Figure{Label: "wind", Values: []Value{{"wind_from", nil}, {"wind_kt", nil}}}
	}
	return windFigure(*h.Wind)
}

func (h Hold) check() error {
	times := !h.ETA.IsZero() && !h.Arrive.IsZero()
	switch {
	case (h.DelayMinutes != nil) == times || h.DelayMinutes != nil && (!h.ETA.IsZero() || !h.Arrive.IsZero()):
		return unfit("give the delay (8 min), or the ETA and the time to arrive (eta 10:42 arrive 10:50)", "how much time is to be lost is needed, in one way")
	case (h.ToGoNM == nil) != (h.GroundspeedKt == nil):
		return unfit("give both, for example to go 24 nm groundspeed 96", "the distance to go and the groundspeed belong together")
	case (h.Track == nil) != (h.Wind == nil) || h.Track != nil && h.ToGoNM == nil:
		return unfit("give to go 24 nm groundspeed 96 track 045 wind 250/20", "an airspeed needs the distance to go, the groundspeed, the track and the wind")
	case h.ReserveMinutes != nil && h.Fuel == nil:
		return unfit("give the usable fuel and the flow in the hold, for example fuel 40 l flow 16 l/h", "a reserve is kept of fuel, and none is given")
	case h.Fuel != nil && h.Flow == nil:
		return unfit("give the flow in the hold, for example 6 gal/h", "endurance needs the flow, and none is given")
	case h.Flow != nil && h.Flow.Amount <= 0:
		return unfit("give the flow an hour, for example 6", "without a flow there is no endurance")
	}
	return oneUnit(h.Fuel, h.Flow)
}

// delay is how much time is to be lost, in minutes; negative where it is to be made up.
func (h Hold) delay(w *Working) float64 {
	if h.DelayMinutes != nil {
		w.Span("delay", *h.DelayMinutes)
		return *h.DelayMinutes
	}
	minutes := h.Arrive.Sub(h.ETA).Minutes()
	w.Line("delay: %s - %s = %s min", say.Time(h.Arrive), say.Time(h.ETA), num(minutes))
	return minutes
}

// longest is how long the fuel above final reserve lasts.
func (h Hold) longest(w *Working) float64 {
	if h.Fuel == nil {
		return unknown
	}
	reserve := 0.0
	if h.ReserveMinutes != nil {
		reserve = *h.ReserveMinutes
	}
	longest := fuel.MinutesToReserve(h.Fuel.Amount, h.Flow.Amount, reserve)
	w.Line("longest: 60 × %s / %s - %s = %s min", num(h.Fuel.Amount), num(h.Flow.Amount), num(reserve), num(longest))
	return longest
}

// slower is the groundspeed that arrives at the time wanted.
func (h Hold) slower(w *Working, delayMinutes float64) float64 {
	if h.ToGoNM == nil {
		return unknown
	}
	minutes := deadreckon.Minutes(*h.ToGoNM, *h.GroundspeedKt)
	needed := deadreckon.Groundspeed(*h.ToGoNM, minutes+delayMinutes)
	if !known(minutes) || !known(needed) {
		return unknown
	}
	w.Time("time to go", *h.ToGoNM, *h.GroundspeedKt, minutes)
	w.Line("groundspeed from here: 60 × %s / (%s %s) = %s kt", num(*h.ToGoNM), num(minutes), plus(delayMinutes), num(needed))
	return needed
}

// airspeed is the true airspeed, and the heading, that make a groundspeed good along the track: the vector of the ground less that of the
// wind.
func (h Hold) airspeed(w *Working, groundspeedKt float64) (tasKt, headingTrue float64, err error) {
	if h.Track == nil || !known(groundspeedKt) {
		return unknown, unknown, nil
	}
	trackTrue, err := w.trueOf("track", *h.Track, h.Variation)
	if err != nil {
		return unknown, unknown, err
	}
	headwind, crosswind := h.Wind.Along(trackTrue)
	off := w.WindOff("", "track", trackTrue, *h.Wind)
	w.Across("", "track", h.Wind.SpeedKt, off, crosswind)
	w.Along("", "track", h.Wind.SpeedKt, off, headwind)
	along := groundspeedKt + headwind
	tasKt = math.Hypot(along, crosswind)
	w.Line("through the air along the track: %s %s = %s kt", num(groundspeedKt), plus(headwind), num(along))
	w.Vector("true airspeed", along, crosswind, tasKt)
	headingTrue = angle.Wrap360(trackTrue + angle.Direction(along, crosswind))
	return tasKt, headingTrue, nil
}

// Reserve asks which published final reserve applies to an arrival. Night is said, or follows from the place and the time.
type Reserve struct {
	At      *earth.Position
	Arrive  time.Time // zero if not given
	Night   *bool     // instead of At and Arrive
	Flow    *say.Fuel // optional: an hour at normal cruise
	Holding *say.Fuel // optional: an hour in the hold, for a rule that counts by it
}

// Sum works out the reserve that the rules ask for.
func (r Reserve) Sum() (Sum, error) {
	s := Sum{
		Name: "reserve", Title: "Which final reserve applies", Given: r.given(),
		Rule:   "of the published minima for the time of arrival the one that asks for most; night is from the end of evening to the beginning of morning civil twilight",
		Source: "14 CFR 91.151(a), 14 CFR 1.1; ICAO Annex 6 Part II 2.2.3.6 (wording from memory); aeroplanes, visual flight rules: local rules may ask for more",
	}
	if err := r.check(); err != nil {
		return Sum{}, err
	}
	var w Working
	night := false
	if r.Night != nil {
		night = *r.Night
	} else {
		altitude := earth.SunAltitude(*r.At, r.Arrive)
		night = altitude < earth.CivilTwilightAltitude
		w.Line("height of the sun at %s: %s°, night below %s°", say.Time(r.Arrive), num(altitude), earth.CivilTwilightAltitude)
	}
	flow := func(at fuel.ReserveFlow) float64 {
		switch {
		case at == fuel.AtHolding && r.Holding != nil:
			return r.Holding.Amount
		case r.Flow != nil:
			return r.Flow.Amount
		}
		return 1
	}
	rules := fuel.PublishedReserves(night)
	applies, quantity := fuel.LargestReserve(rules, flow)
	needed := say.Fuel{Amount: unknown}
	if r.Flow != nil {
		needed = say.Fuel{Amount: quantity, Unit: r.Flow.Unit}
		w.Line("fuel: %s × %s / 60 = %s", num(flow(applies.At)), num(applies.Minutes), worked.Amount(needed.Amount, needed.Unit))
	}
	s.Working = w.Text()
	s.Answers = []Figure{
		span("final reserve", "final_reserve_minutes", applies.Minutes), fuelFigure("final reserve fuel", "final_reserve_fuel", needed), yes("night", "night", night),
	}
	for i, rule := range rules {
		s.Answers = append(s.Answers, Figure{Label: fmt.Sprintf("rule %d", i+1), Text: rule.Source, Values: []Value{{fmt.Sprintf("rule_%d", i+1), rule.Source}}})
	}
	return s, nil
}

func (r Reserve) check() error {
	byPlace := r.At != nil && !r.Arrive.IsZero()
	switch {
	case (r.Night != nil) == byPlace || r.Night != nil && (r.At != nil || !r.Arrive.IsZero()):
		return unfit("say day or night, or give at 52.7,-1.2 arrive 2026-05-15T20:30:00Z", "whether the arrival is by night is needed, in one way")
	case r.Flow != nil && r.Flow.Amount <= 0:
		return unfit("give the flow an hour, for example 24", "without a flow there is no quantity")
	}
	return oneUnit(r.Flow, r.Holding)
}

func (r Reserve) given() []Figure {
	at := Figure{Label: "position", Values: []Value{{"position", nil}}}
	if r.At != nil {
		at = place("position", "position", *r.At)
	}
	return []Figure{at, moment("arriving", "arrive", r.Arrive), flowFigure("flow", "flow_per_hour", r.Flow), flowFigure("flow holding", "holding_per_hour", r.Holding), fuelUnit(r.Flow, r.Holding)}
}
