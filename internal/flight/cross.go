package flight

import (
	"cmp"
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// wish is a time or an altitude at which a point ahead is to be passed.
type wish struct {
	point      string // empty: none
	at         *time.Time
	altitudeFt *float64
}

// foldCross takes in what is wanted of a point; with neither time nor altitude nothing is wanted any more.
func (f *flown) foldCross(e Event) bool {
	before := f.told.wish
	f.told.wish = wish{}
	if e.Wanted == nil && e.Altitude == nil {
		return true
	}
	f.told.wish = wish{point: e.Point, at: e.Wanted, altitudeFt: e.Altitude}
	if before.point == e.Point { // what was wanted of it besides stays
		f.told.wish.at, f.told.wish.altitudeFt = cmp.Or(e.Wanted, before.at), cmp.Or(e.Altitude, before.altitudeFt)
	}
	return true
}

// wished is the place that something is wanted of; ok is false where nothing is, or where it does not lie ahead.
func (f *flown) wished() (at place, ok bool) {
	if f.told.wish.point == "" || f.complete || !f.landed.IsZero() {
		return at, false
	}
	found, behind, ok := f.find(f.told.wish.point)
	return found.place, ok && !behind
}

func (f *ahead) crossingAt(t time.Time) *CrossingNow {
	to, ok := f.wished()
	if !ok {
		return nil
	}
	eta, ok := f.eta(to, t)
	if !ok {
		return nil
	}
	c := &CrossingNow{Point: f.told.wish.point, Name: f.pointTitle(f.told.wish.point), ETA: eta, Wanted: f.told.wish.at, AltitudeFt: f.told.wish.altitudeFt}
	if c.Wanted == nil {
		return c
	}
	c.LoseSeconds = ref(c.Wanted.Sub(eta).Seconds())
	switch {
	case !f.flying() && *c.LoseSeconds > 0:
		c.Problem = "take off so much later"
		return c
	case !f.flying():
		c.Problem = "take off " + say.Span(*c.LoseSeconds) + " earlier"
		return c
	case f.holding.IsZero():
		f.speedFor(c, to, t)
	}
	if *c.LoseSeconds > 0 {
		c.Hold = f.holdFor(to, *c.LoseSeconds/60, t)
	}
	return c
}

// holdFor is a hold that loses minutes before a place: at the last route point before it or, where none lies between, here.
func (f *ahead) holdFor(to place, loseMinutes float64, t time.Time) *HoldWanted {
	h := &HoldWanted{Minutes: loseMinutes, Fuel: fuel.Burned(loseMinutes, f.circlingFlow()), Enter: t}
	switch {
	case !f.holding.IsZero():
		h.Point = f.holdPoint
	case to.leg > f.leg:
		start := place{to.leg - 1, f.legs[to.leg-1].line().DistanceNM}
		h.Point = f.legs[to.leg].line().From.Ident
		h.Enter, _ = f.eta(start, t)
	}
	h.Leave = shown(plus(h.Enter, loseMinutes))
	return h
}

// stretch is a part of the way ahead: in cruise one that another airspeed makes shorter or longer.
type stretch struct {
	sheet.Piece
	distanceNM, minutes float64
}

// stretches are the parts of the way from a moment to a place.
func (f *ahead) stretches(from, to float64) (parts []stretch) {
	for _, piece := range f.outlook.trajectory {
		start, end := math.Max(from, piece.StartMinutes), math.Min(to, piece.StartMinutes+piece.Minutes)
		if end > start {
			parts = append(parts, stretch{piece, (piece.ToNM - piece.FromNM) * (end - start) / piece.Minutes, end - start})
		}
	}
	return parts
}

// minutesAt is how long the parts take when the airspeed in cruise is so many times that of the plan; for ever where the wind forbids it.
func minutesAt(parts []stretch, times float64) float64 {
	total := 0.0
	for _, part := range parts {
		if part.Phase != sheet.Cruise {
			total += part.minutes
			continue
		}
		heading, err := deadreckon.HeadingFor(part.TrackTrue, part.TASKt*times, part.Wind)
		if err != nil {
			return math.Inf(1)
		}
		total += deadreckon.Minutes(part.distanceNM, heading.GroundspeedKt)
	}
	return total
}

// speedFor finds the one airspeed, flown in cruise from here on, that brings the flight over a place at the time wanted. It lies between
// that of a hold (where the aircraft gives none, that of a climb) and the fastest of the cruise table.
func (f *ahead) speedFor(c *CrossingNow, to place, t time.Time) {
	n, ok := f.here(t)
	end, ahead := f.outlook.minutesTo(to)
	parts := f.stretches(n.minutes, end)
	wanted := c.Wanted.Sub(t).Minutes()
	first := cruiseOf(parts)
	if !ok || !ahead || first == nil || wanted <= 0 {
		c.Problem = "there is no cruise left in which to change the time"
		return
	}
	slow, fast := f.reachOfSpeeds(*first)
	slowest, quickest := minutesAt(parts, slow), minutesAt(parts, fast)
	switch {
	case wanted < quickest:
		c.Problem = "too early: at IAS " + number(ref(f.iasFor(first.TASKt*fast, first.FromFt)), "%.0f") + " it is " + say.Time(plus(t, quickest))
		return
	case wanted > slowest:
		c.Problem = "slowing to IAS " + number(ref(f.iasFor(first.TASKt*slow, first.FromFt)), "%.0f") + " loses " +
			say.Duration(minutes(slowest-minutesAt(parts, 1))) + " only: hold"
		return
	}
	const halvings = 30
	for range halvings {
		if middle := (slow + fast) / 2; minutesAt(parts, middle) > wanted {
			slow = middle
		} else {
			fast = middle
		}
	}
	tas := first.TASKt * (slow + fast) / 2
	c.Speed = &SpeedWanted{TASKt: tas, IASKt: f.iasFor(tas, first.FromFt)}
	if heading, err := deadreckon.HeadingFor(first.TrackTrue, tas, first.Wind); err == nil {
		c.Speed.GroundspeedKt = heading.GroundspeedKt
		c.Speed.HeadingMagnetic = f.magneticOn(place{f.outlook.way.first + first.Leg, first.FromNM}, heading.HeadingTrue)
	}
}

// cruiseOf is the first part flown in cruise.
func cruiseOf(parts []stretch) *stretch {
	for i := range parts {
		if parts[i].Phase == sheet.Cruise {
			return &parts[i]
		}
	}
	return nil
}

// reachOfSpeeds is how many times the cruise airspeed the slowest and the fastest are that can be flown at its level.
func (f *believed) reachOfSpeeds(cruise stretch) (slow, fast float64) {
	aircraft := f.sheet.Plan.Aircraft
	slowestIAS := aircraft.Climb.IASKt
	if aircraft.Holding != nil {
		slowestIAS = aircraft.Holding.IASKt
	}
	slow = math.Min(1, slowestIAS/f.iasFor(cruise.TASKt, cruise.FromFt))
	fast = math.Max(1, (f.sheet.Route.FastestTAS(cruise.FromFt, f.forecast.QNH)+f.belief.mean[tasBias])/cruise.TASKt)
	return slow, fast
}

// onTimeSeconds is how far from its time a point may be crossed and be on time.
const onTimeSeconds = 15

// Said says how a point ahead is to be crossed and what that takes: "GRN at 09:52:00Z, 2:35 to lose: IAS 82 or hold here until
// 09:36:35Z". It is empty where nothing is asked of one.
func (c *CrossingNow) Said(d *DescentNow) string {
	if c == nil {
		return ""
	}
	text := c.Point
	if c.Wanted != nil {
		text += " at " + say.Time(*c.Wanted) + takes(c)
	}
	if c.AltitudeFt != nil {
		if c.Wanted != nil {
			text += ","
		}
		text += fmt.Sprintf(" at %s", say.Feet(*c.AltitudeFt))
		if d != nil && d.ToFt == *c.AltitudeFt && d.NeededFtMin != nil {
			text += ": " + say.FeetPerMinute(*d.NeededFtMin) + " from here"
		} else if d != nil && d.ToFt == *c.AltitudeFt {
			text += ": top of descent " + say.Time(d.LeaveAt)
		}
	}
	return text
}

// takes is what crossing at a time takes.
func takes(c *CrossingNow) string {
	lose := *c.LoseSeconds
	switch {
	case math.Abs(lose) < onTimeSeconds:
		return ", on time"
	case lose < 0 && c.Speed != nil:
		return fmt.Sprintf(", %s to make up: IAS %.0f", say.Span(-lose), c.Speed.IASKt)
	case lose < 0:
		return ", " + c.Problem
	}
	if c.Speed == nil && c.Hold == nil {
		return fmt.Sprintf(", %s to lose: %s", say.Span(lose), c.Problem)
	}
	text := fmt.Sprintf(", %s to lose:", say.Span(lose))
	if c.Speed != nil {
		text += fmt.Sprintf(" IAS %.0f or", c.Speed.IASKt)
	}
	where := "here"
	if c.Hold != nil && c.Hold.Point != "" {
		where = "at " + c.Hold.Point
	}
	if c.Hold != nil {
		text += fmt.Sprintf(" hold %s until %s", where, say.Time(c.Hold.Leave))
	}
	return text
}
