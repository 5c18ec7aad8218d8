package words

import (
	"fmt"
	"math"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// onTimeSeconds is how far from its time a point may be crossed and be on time.
const onTimeSeconds = 15

// Crossing says how a point ahead is to be crossed and what that takes: "GRN at 09:52:00Z, 2:35 to lose: IAS 82 or hold here until
// 09:36:35Z". It is empty where nothing is asked of one.
func Crossing(c *flight.CrossingNow, d *flight.DescentNow) string {
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
			text += fmt.Sprintf(": %.0f ft/min from here", *d.NeededFtMin)
		} else if d != nil && d.ToFt == *c.AltitudeFt {
			text += ": top of descent " + say.Time(d.LeaveAt)
		}
	}
	return text
}

// takes is what crossing at a time takes.
func takes(c *flight.CrossingNow) string {
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
