package route

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// arrival is one row of the places to land at, in words.
type arrival struct {
	name, distance, track, heading, minutes, eta, sigma string
	fuel, reserve, sunset, dark, verdict                string

	role, judged theme.Role
	wrong        bool // the verdict is that something is
}

// verdictHead names the column that says whether all is well there.
const verdictHead = "verdict"

func (d *drawing) landingColumns() []table.Column[*arrival] {
	text := func(of func(*arrival) string) func(*arrival) frame.Cell {
		return func(a *arrival) frame.Cell { return frame.Cell{Text: of(a), Style: a.role} }
	}
	return []table.Column[*arrival]{
		{Head: "LAND AT", Width: 16, Grow: 22, Cell: text(func(a *arrival) string { return a.name })},
		{Head: "nm", Width: 5, Right: true, Rank: 3, Cell: text(func(a *arrival) string { return a.distance })},
		{Head: "trk", Width: 3, Right: true, Rank: 7, Cell: text(func(a *arrival) string { return a.track })},
		{Head: "hdg", Width: 3, Right: true, Rank: 1, Cell: text(func(a *arrival) string { return a.heading })},
		{Head: "in", Width: 7, Right: true, Rank: 2, Cell: text(func(a *arrival) string { return a.minutes })},
		{Head: "ETA", Width: 9, Right: true, Cell: text(func(a *arrival) string { return a.eta })},
		{Head: "sure to", Width: 7, Rank: 8, Cell: text(func(a *arrival) string { return a.sigma })},
		{Head: "fuel " + words.Unit(d.Tanks.Unit), Width: 7, Right: true, Rank: 4, Cell: text(func(a *arrival) string { return a.fuel })},
		{Head: "reserve", Width: 7, Right: true, Rank: 5, Cell: text(func(a *arrival) string { return a.reserve })},
		{Head: "to sunset", Width: 9, Right: true, Rank: 9, Cell: text(func(a *arrival) string { return a.sunset })},
		{Head: "to dark", Width: 7, Right: true, Rank: 6, Cell: text(func(a *arrival) string { return a.dark })},
		{Head: verdictHead, Width: 26, Grow: 30, Rank: 10, Cell: func(a *arrival) frame.Cell { return frame.Cell{Text: a.verdict, Style: a.judged} }},
	}
}

// landing is the table of the destination and the alternates, each from here by the wind in use.
func (d *drawing) landing() list {
	fitted := table.Fit(d.landingColumns(), d.width-margin)
	l := list{head: blankMargin + fitted.Head(d.theme.Title, d.theme.Label), marked: -1}
	if d.Destination != nil {
		l.add(d, fitted, d.destination(*d.Destination), false)
	}
	for i, a := range d.Alternates {
		l.add(d, fitted, d.alternate(a), d.marked == len(d.route)+i)
	}
	return l
}

// add appends an arrival, with what is wrong with it in a row below where it has no column.
func (l *list) add(d *drawing, fitted table.Table[*arrival], a *arrival, marked bool) {
	if marked {
		l.marked = len(l.rows)
		l.rows = append(l.rows, d.theme.Selected.Render(">  "+fitted.Marked(a, frame.Style{})))
	} else {
		l.rows = append(l.rows, blankMargin+fitted.Row(a))
	}
	if a.wrong && !fitted.Shows(verdictHead) {
		l.rows = append(l.rows, frame.Line(d.width, frame.Cell{Width: margin}, frame.Cell{Text: a.verdict, Style: a.judged}))
	}
}

func (d *drawing) destination(to flight.DestinationNow) *arrival {
	a := &arrival{
		name: words.Named(frame.Clean(to.Point), frame.Clean(to.Name)), distance: fmt.Sprintf("%.1f", to.ToGoNM), minutes: d.until(to.ETA), eta: words.Time(to.ETA),
		sigma: words.PlusMinus(to.ETASigmaSeconds), fuel: words.Quantity(to.Fuel), reserve: words.Long(to.ReserveHeldMinutes),
		sunset: daylight(to.BeforeSunsetMinutes), dark: daylight(to.BeforeDarkMinutes), role: d.theme.Value,
		verdict: "reserve of " + words.Long(to.ReserveMinutes) + " kept", judged: d.theme.Good,
	}
	if to.ReserveHeldMinutes < to.ReserveMinutes {
		a.warn("RESERVE SHORT, "+words.Long(to.ReserveHeldMinutes)+" of "+words.Long(to.ReserveMinutes), d.theme.Warning)
	}
	a.light(to.BeforeSunsetMinutes, to.BeforeDarkMinutes, d.theme)
	return a
}

func (d *drawing) alternate(to flight.AlternateNow) *arrival {
	a := &arrival{
		name: words.Named(frame.Clean(to.Point), frame.Clean(to.Name)), distance: fmt.Sprintf("%.1f", to.DistanceNM), track: words.Degrees(to.TrackMagnetic),
		heading: words.Degrees(to.HeadingMagnetic), minutes: words.Long(to.Minutes), eta: words.Time(to.ETA), fuel: words.Quantity(to.Fuel),
		reserve: words.Long(to.ReserveHeldMinutes), dark: daylight(to.BeforeDarkMinutes), role: d.theme.Value,
		verdict: "can be reached", judged: d.theme.Good,
	}
	if to.DistanceNM < 0.05 { // a direction to where one is means nothing
		a.track, a.heading = words.Unknown, words.Unknown
	}
	if to.Problem != "" {
		a.warn("NO, "+frame.Clean(to.Problem), d.theme.Warning)
	}
	a.light(nil, to.BeforeDarkMinutes, d.theme)
	return a
}

// warn puts what is wrong in place of what is well, or behind what is wrong besides.
func (a *arrival) warn(text string, role theme.Role) {
	if a.wrong {
		text = a.verdict + "; " + text
	}
	a.verdict, a.judged, a.wrong = text, role, true
}

// light warns of an arrival without daylight.
func (a *arrival) light(beforeSunset, beforeDark *float64, t theme.Theme) {
	switch {
	case beforeDark != nil && *beforeDark < 0:
		a.warn("IN THE DARK, "+words.Long(-*beforeDark)+" after twilight", t.Warning)
	case beforeSunset != nil && *beforeSunset < 0:
		a.warn("after sunset", t.Caution)
	}
}

func (d *drawing) until(at time.Time) string {
	if d.Phase == flight.Arrived {
		return "there"
	}
	return words.Long(at.Sub(d.At).Minutes())
}

func daylight(minutes *float64) string {
	if minutes == nil {
		return words.Unknown
	}
	return words.Long(*minutes)
}
