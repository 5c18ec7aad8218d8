// Package arrival is what the flight was once it has arrived: block and airborne time, landings, fuel used, what mattered most, and where it can be
// looked at again.
//
// It also puts places to arrive at in words, a row each, for the screens of the route and of diversions: how far, which way, when, with what
// fuel and in what light, and whether that is well.
//
// It computes nothing of the flight: figures are the Snapshot's.
package arrival

import (
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// Row is one place to go to, in words.
type Row struct {
	As        string // what the place is to the plan; for the caller to set
	Judgement string
	Wrong     bool       // the judgement is that something is
	Look      theme.Role // of the judgement

	name, distance, track, heading, minutes, eta string
	fuel, extra, night                           string
	role                                         theme.Role
}

// judgedHead names the column that says whether all is well there.
const (
	judgedHead  = "reserve and light"
	judgedWidth = 41
)

// Below is what is wrong with a place in rows of its own, where its column is not there or too narrow.
func (a *Row) Below(t frame.Table[*Row], width int) (rows []string) {
	if !a.Wrong || t.Shows(judgedHead) && frame.Width(a.Judgement) <= judgedWidth {
		return nil
	}
	for _, line := range frame.Wrap(a.Judgement, max(1, width-4)) {
		rows = append(rows, frame.Line(width, frame.Cell{Text: "   "}, frame.Cell{Text: line, Style: a.Look}))
	}
	return rows
}

// Columns are what a table of places shows, as far as its width goes. Title stands over the names.
func Columns(title, unit string) []frame.Column[*Row] {
	text := func(of func(*Row) string) func(*Row) frame.Cell {
		return func(a *Row) frame.Cell { return frame.Cell{Text: of(a), Style: a.role} }
	}
	fuel := "fuel " + say.Unit(unit)
	return []frame.Column[*Row]{
		{Head: title, Width: 13, Grow: 18, Cell: text(func(a *Row) string { return a.name })},
		{Head: "track", Width: 5, Right: true, Rank: 8, Cell: text(func(a *Row) string { return a.track })},
		{Head: "HDG", Width: 5, Right: true, Cell: text(func(a *Row) string { return a.heading })},
		{Head: "nm", Width: 5, Right: true, Rank: 3, Cell: text(func(a *Row) string { return a.distance })},
		{Head: "in", Width: 7, Right: true, Rank: 2, Cell: text(func(a *Row) string { return a.minutes })},
		{Head: "ETA", Width: 9, Right: true, Cell: text(func(a *Row) string { return a.eta })},
		{Head: fuel, Width: max(7, frame.Width(fuel)), Right: true, Rank: 5, Cell: text(func(a *Row) string { return a.fuel })},
		{Head: "extra", Width: 9, Right: true, Rank: 1, Cell: text(func(a *Row) string { return a.extra })},
		{Head: "before night", Width: 12, Right: true, Rank: 7, Cell: text(func(a *Row) string { return a.night })},
		{Head: judgedHead, Width: judgedWidth, Grow: 27, Rank: 10, Cell: func(a *Row) frame.Cell { return frame.Cell{Text: a.Judgement, Style: a.Look} }},
	}
}

// Destination is the row of where the flight is going.
func Destination(s *flight.Snapshot, t theme.Theme) *Row {
	to := s.Destination
	a := &Row{
		name: say.Named(frame.Clean(to.Point), frame.Clean(to.Name)), distance: say.Tenth(to.ToGoNM), minutes: Until(s, to.ETA), eta: say.Time(to.ETA),
		fuel: say.Amount(to.Fuel), extra: say.Long(to.ExtraMinutes), night: daylight(to.BeforeDarkMinutes), role: t.Value,
		Judgement: "reachable with final reserve", Look: t.Good,
	}
	if s.Leg.To == to.Point && !to.Passed && s.Steer.HeadingMagnetic != nil { // straight to it: what is steered
		a.heading, a.track = say.DegreesOf(s.Steer.HeadingMagnetic), say.DegreesOf(s.Steer.TrackMagnetic)
	}
	if to.BelowReserve() {
		a.warn("below final reserve: "+say.Shortage(-to.ExtraFuel, s.Tanks.Unit)+" short", t.Warning)
	}
	a.light(to.BeforeSunsetMinutes, to.BeforeDarkMinutes, t)
	return a
}

// WayOut is the row of a place that could be gone to.
func WayOut(to *flight.AlternateNow, t theme.Theme) *Row {
	a := &Row{
		name: say.Named(frame.Clean(to.Point), frame.Clean(to.Name)), distance: say.Tenth(to.DistanceNM), track: say.Degrees(to.TrackMagnetic),
		heading: say.Degrees(to.HeadingMagnetic), minutes: say.Long(to.Minutes), eta: say.Time(to.ETA), fuel: say.Amount(to.Fuel),
		extra: say.Long(to.ExtraMinutes), night: daylight(to.BeforeDarkMinutes), role: t.Value,
		Judgement: "reachable with final reserve", Look: t.Good,
	}
	if to.DistanceNM < flight.NearNM {
		a.track, a.heading = say.Unknown, say.Unknown
	}
	if to.Problem != "" {
		a.warn(frame.Clean(to.Problem), t.Warning)
	}
	if night := "by night"; !strings.HasPrefix(to.Problem, night) {
		a.light(to.BeforeSunsetMinutes, to.BeforeDarkMinutes, t)
	}
	return a
}

// warn puts what is wrong in place of what is well, or behind what is wrong besides.
func (a *Row) warn(text string, role theme.Role) {
	if a.Wrong {
		text = a.Judgement + "; " + text
	}
	a.Judgement, a.Look, a.Wrong = text, role, true
}

// light warns of an arrival without daylight.
func (a *Row) light(beforeSunset, beforeDark *float64, t theme.Theme) {
	switch {
	case beforeDark != nil && *beforeDark < 0:
		a.warn("by night: "+say.Long(-*beforeDark)+" after civil twilight", t.Warning)
	case beforeSunset != nil && *beforeSunset < 0:
		a.warn("after sunset", t.Caution)
	}
}

// Until is how long it is until a time of the flight.
func Until(s *flight.Snapshot, at time.Time) string {
	if s.Phase == flight.Arrived || at.Before(s.At) {
		return "there"
	}
	return say.Long(at.Sub(s.At).Minutes())
}

func daylight(minutes *float64) string {
	if minutes == nil {
		return say.Unknown
	}
	return say.Long(*minutes)
}
