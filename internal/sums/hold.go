package sums

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

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
		Rule:   "delay = time wanted - ETA; fuel = flow × delay / 60; or slow down: groundspeed = distance to go / (time to go + delay)",
		Source: "AIM 5-3-8, a pattern of minute legs and rate-one turns takes 4 minutes up to 14000 ft (from memory); in still air, the entry not counted",
	}
	if err := h.check(); err != nil {
		return Sum{}, err
	}
	var w working
	delay := h.delay(&w)
	held, patterns, used := unknown, unknown, say.Fuel{Amount: unknown}
	if delay >= 0 {
		held, patterns = delay, delay/patternMinutes
		w.line("patterns of %s min: %s / %s = %s", patternMinutes, num(delay), patternMinutes, num(patterns))
	}
	if h.Flow != nil && delay >= 0 {
		used = burned(delay, *h.Flow)
		w.fuelLine("fuel", h.Flow, delay, used)
	}
	longest := h.longest(&w)
	switch {
	case delay < 0:
		s.Problem = "there is no time to lose: the ETA is " + sayMinutes(-delay) + " after the time wanted"
	case known(longest) && delay > longest:
		s.Problem = "the fuel above final reserve is " + sayMinutes(max(0, longest)) + " only"
	}
	if h.Fuel != nil && h.ReserveMinutes == nil {
		s.Notes = append(s.Notes, noReserve)
	}
	slower := h.slower(&w, delay)
	tas, heading, err := h.airspeed(&w, slower)
	if err != nil {
		return Sum{}, err
	}
	s.Answers = []Figure{
		span("hold for", "minutes", held), figure("patterns of 4 min", "patterns", patterns, func(value float64) string { return say.SayNumber(value, 1) }),
		fuelFigure("fuel for it", "fuel", used), span("longest hold", "longest_minutes", longest),
		speed("or groundspeed from here", "groundspeed_kt", slower), speed("which is a true airspeed of", "tas_kt", tas),
		trueDirection("heading", "heading", heading), magneticDirection("heading", "heading", w.magneticOf("heading", heading, h.Variation)),
	}
	s.Working = w
	return s, nil
}

func (h Hold) given() []Figure {
	return []Figure{
		span("delay", "delay_minutes", valueOf(h.DelayMinutes)), moment("ETA", "eta", h.ETA), moment("wanted", "arrive", h.Arrive),
		flowFigure("flow", "flow_per_hour", h.Flow), fuelGiven("usable fuel", "usable_fuel", h.Fuel), fuelUnit(h.Fuel, h.Flow),
		span("reserve", "reserve_minutes", valueOf(h.ReserveMinutes)), milesGiven("to go", "to_go_nm", valueOf(h.ToGoNM)),
		speedGiven("groundspeed", "groundspeed_kt", valueOf(h.GroundspeedKt)), h.trackGiven(), h.windGiven(), variationFigure(valueOf(h.Variation)),
	}
}

func (h Hold) trackGiven() Figure {
	if h.Track == nil {
		return Figure{Label: "track", Values: []Value{{"track_true", nil}, {"track_magnetic", nil}}}
	}
	return either("track", "track", h.Track.Or(say.True))
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
		return unfit("give the delay (8 min), or the ETA and the time wanted (eta 10:42 arrive 10:50)", "how much time is to be lost is needed, in one way")
	case (h.ToGoNM == nil) != (h.GroundspeedKt == nil):
		return unfit("give both, for example to go 24 nm groundspeed 96", "the distance to go and the groundspeed belong together")
	case (h.Track == nil) != (h.Wind == nil) || h.Track != nil && h.ToGoNM == nil:
		return unfit("give to go 24 nm groundspeed 96 track 045 wind 250/20", "an airspeed needs the distance to go, the groundspeed, the track and the wind")
	case h.Fuel != nil && h.Flow == nil:
		return unfit("give the flow in the hold, for example 6 gal/h", "endurance needs the flow, and none is given")
	case h.Flow != nil && h.Flow.Amount <= 0:
		return unfit("give the flow an hour, for example 6", "without a flow there is no endurance")
	}
	return oneUnit(h.Fuel, h.Flow)
}

// delay is how much time is to be lost, in minutes; negative where it is to be made up.
func (h Hold) delay(w *working) float64 {
	if h.DelayMinutes != nil {
		w.spanLine("delay", *h.DelayMinutes)
		return *h.DelayMinutes
	}
	minutes := h.Arrive.Sub(h.ETA).Minutes()
	w.line("delay: %s - %s = %s min", say.Time(h.Arrive), say.Time(h.ETA), num(minutes))
	return minutes
}

// longest is how long the fuel above final reserve lasts.
func (h Hold) longest(w *working) float64 {
	if h.Fuel == nil {
		return unknown
	}
	reserve := 0.0
	if h.ReserveMinutes != nil {
		reserve = *h.ReserveMinutes
	}
	longest := fuel.MinutesToReserve(h.Fuel.Amount, h.Flow.Amount, reserve)
	w.line("longest: 60 × %s / %s - %s = %s min", num(h.Fuel.Amount), num(h.Flow.Amount), num(reserve), num(longest))
	return longest
}

// slower is the groundspeed that arrives at the time wanted.
func (h Hold) slower(w *working, delayMinutes float64) float64 {
	if h.ToGoNM == nil {
		return unknown
	}
	minutes := deadreckon.Minutes(*h.ToGoNM, *h.GroundspeedKt)
	needed := deadreckon.Groundspeed(*h.ToGoNM, minutes+delayMinutes)
	if !known(minutes) || !known(needed) {
		return unknown
	}
	w.minutesLine("time to go", *h.ToGoNM, *h.GroundspeedKt, minutes)
	w.line("groundspeed from here: 60 × %s / (%s %s) = %s kt", num(*h.ToGoNM), num(minutes), plus(delayMinutes), num(needed))
	return needed
}

// airspeed is the true airspeed, and the heading, that make a groundspeed good along the track: the vector of the ground less that of the
// wind.
func (h Hold) airspeed(w *working, groundspeedKt float64) (tasKt, headingTrue float64, err error) {
	if h.Track == nil || !known(groundspeedKt) {
		return unknown, unknown, nil
	}
	trackTrue, err := w.trueOf("track", *h.Track, h.Variation)
	if err != nil {
		return unknown, unknown, err
	}
	headwind, crosswind := h.Wind.Along(trackTrue)
	along := groundspeedKt + headwind
	tasKt = math.Hypot(along, crosswind)
	toWind := angle.Turn(trackTrue, h.Wind.FromTrue)
	w.line("wind from the track: %s - %s = %s°", dir(h.Wind.FromTrue), dir(trackTrue), num(toWind))
	w.line("headwind: %s × cos(%s) = %s kt", num(h.Wind.SpeedKt), num(toWind), num(headwind))
	w.line("crosswind, from the right positive: %s × sin(%s) = %s kt", num(h.Wind.SpeedKt), num(toWind), num(crosswind))
	w.line("through the air along the track: %s %s = %s kt", num(groundspeedKt), plus(headwind), num(along))
	w.line("true airspeed: root(%s × %s + %s × %s) = %s kt", fig(along), fig(along), fig(crosswind), fig(crosswind), num(tasKt))
	headingTrue = angle.Wrap360(trackTrue + angle.Direction(along, crosswind))
	return tasKt, headingTrue, nil
}
