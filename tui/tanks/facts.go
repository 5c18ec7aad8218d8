package tanks

import (
	"fmt"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/tanks"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// figure is how long until the next change: its title, below it the figure with what belongs to it at its side; in one row all in words.
func (d *drawing) figure(width, rows int, large bool) []string {
	title, figure := d.change()
	beside := d.besideFigure()
	if rows <= frame.BigSmall {
		cells := []frame.Cell{{Text: " " + title.text + " ", Style: title.role}, {Text: figure, Style: d.theme.Headline}}
		left := width - 2 - frame.Width(title.text) - frame.Width(figure)
		for _, s := range beside {
			if left -= 3 + frame.Width(s.text); left < 0 {
				break
			}
			cells = append(cells, frame.Cell{Text: "   "}, frame.Cell{Text: s.text, Style: s.role})
		}
		return []string{frame.Line(width, cells...)}
	}
	drawn := []string{frame.Line(width, frame.Cell{Text: " " + title.text + " ", Style: title.role})}
	height := frame.BigSmall
	if large {
		height = frame.BigLarge
	}
	const column = 26
	digits := frame.Big(figure, height, d.theme.Glyphs())
	if figure == "" {
		digits = make([]string, height)
	}
	for i, row := range digits {
		cells := []frame.Cell{{Text: " "}, {Text: row, Style: d.theme.Headline}, {Width: max(2, column-1-frame.Width(row))}}
		if at := i - (height-frame.BigSmall)/2; at >= 0 && at < len(beside) {
			cells = append(cells, frame.Cell{Text: beside[at].text, Style: beside[at].role})
		}
		drawn = append(drawn, frame.Line(width, cells...))
	}
	return drawn
}

// change says when to change, in words and in a figure; the figure is empty where there is nothing to change to.
func (d *drawing) change() (title said, figure string) {
	change := d.Tanks.NextChange
	if change == nil {
		return said{"NO CHANGE TO COME", d.theme.Label}, ""
	}
	to := "CHANGE TO " + strings.ToUpper(frame.Clean(change.To))
	seconds := say.Apart(d.At, change.At).Seconds()
	figure = say.Span(max(seconds, -seconds))
	if hour := 3600.0; max(seconds, -seconds) >= hour {
		figure = say.Elapsed(new(max(seconds, -seconds)))
	}
	for _, p := range d.Prompts {
		switch {
		case p.Kind != flight.PromptTank:
		case p.State == flight.Late:
			return said{to + " LATE BY", d.theme.Late}, figure
		case p.State == flight.Due:
			return said{to + " LATE BY", d.theme.Due}, figure
		}
	}
	if seconds <= 0 {
		return said{to + " LATE BY", d.theme.Due}, figure
	}
	return said{to + " IN", d.theme.Title}, figure
}

// besideFigure is what belongs to the change: when it is due, what happens without it, which tank feeds.
func (d *drawing) besideFigure() []said {
	var beside []said
	reached := func(label string, at time.Time) said {
		if !d.At.Before(at) {
			return said{label + say.Time(at) + ", passed", d.theme.Warning}
		}
		return said{label + say.Time(at), d.theme.Value}
	}
	if change := d.Tanks.NextChange; change != nil {
		beside = append(beside, said{"due    " + say.Time(change.At), d.theme.Value})
	}
	limit, dry := d.Tanks.LimitAt, d.Tanks.DryAt
	switch {
	case limit != nil && (dry == nil || !dry.Before(*limit)):
		beside = append(beside, reached("limit  ", *limit))
	case dry != nil:
		beside = append(beside, reached("empty  ", *dry))
	}
	if d.Tanks.Selected == "" {
		return append(beside, said{" NO TANK IS SELECTED ", d.theme.Due})
	}
	feeds := frame.Clean(d.Tanks.Selected) + " feeds"
	if since := d.Tanks.SelectedSince; since != nil {
		feeds += ", " + say.Between(*since, d.At) + " so far"
	}
	return append(beside, said{feeds, d.theme.Value})
}

// factLabel is the room for what a fact is called.
const factLabel = 11

// facts are what is on board, how long it lasts, what is left at the landing and by when an alternate must be turned to, in rows of a width.
func (d *drawing) facts(width int) []string {
	k, unit := d.Tanks, " "+say.Unit(d.Tanks.Unit)
	var rows []string
	add := func(label, value string, role theme.Role) {
		for _, line := range frame.Wrap(frame.Clean(value), max(1, width-factLabel-1)) {
			rows = append(rows, frame.Line(width, frame.Cell{Text: " " + label, Width: factLabel, Style: d.theme.Label}, frame.Cell{Text: line, Style: role}))
			label = ""
		}
	}
	onBoard := say.Amount(k.TotalUsable) + unit + " usable"
	if k.MassKg != nil {
		onBoard += ", all " + say.Mass(*k.MassKg, k.Unit)
	}
	add("ON BOARD", onBoard+", flow "+say.Amount(k.FlowPerHour)+unit+"/h", d.theme.Value)
	add("ENDURANCE", d.endurance(), d.byRole())
	if to := d.Destination; to != nil {
		text, role := to.FuelSaid(&d.Snapshot, to.FuelSigma)+"; "+say.FinalReserve(d.FinalReserve.Fuel, k.Unit), d.theme.Value
		if to.BelowReserve() {
			role = d.theme.Warning
		}
		if at := k.ReserveTouchedAt; at != nil {
			text += ", reached " + say.Time(*at)
			if !d.At.Before(*at) {
				role = d.theme.Warning
			}
		}
		add("ARRIVAL", text, role)
	}
	label := "DIVERT"
	for _, latest := range k.LatestDivert {
		role := d.theme.Value
		if latest.TooLate {
			role = d.theme.Warning
		}
		add(label, latest.Text, role)
		label = ""
	}
	return rows
}

// endurance is the endurance that counts, then by every other witness, and what gauges show of the burn.
func (d *drawing) endurance() string {
	e := d.Tanks.Endurance
	type witness struct {
		by   tanks.Witness
		text string
	}
	var all []witness
	if m := e.GaugesMinutes; m != nil {
		all = append(all, witness{tanks.ByGauges, fmt.Sprintf("%s ±%.0f min", say.Long(*m), *e.GaugesSigmaMinutes)})
	}
	if m := e.MeterMinutes; m != nil {
		all = append(all, witness{tanks.ByMeter, say.Long(*m)})
	}
	all = append(all, witness{tanks.ByPlan, say.Long(e.PlanMinutes)})
	text := say.Endurance(d.Tanks.EnduranceMinutes, e.At) + " by " + string(e.By)
	for _, w := range all {
		if w.by != e.By {
			text += ", " + w.text + " by " + string(w.by)
		} else if w.by == tanks.ByGauges {
			text = w.text + strings.TrimPrefix(text, say.Long(d.Tanks.EnduranceMinutes))
		}
	}
	unit := " " + say.Unit(d.Tanks.Unit) + "/h"
	b := d.Tanks.Burn
	if b == nil {
		return text + "; gauges: not known before three readings"
	}
	text += fmt.Sprintf("; gauges show %s ±%s%s, %s", say.Amount(b.FlowPerHour), say.Amount(b.SigmaPerHour), unit, say.Counted(b.Readings, "reading", "readings"))
	if !b.Counts {
		text += ", not certain enough to count"
	}
	return text
}

// byRole stresses an endurance that is not the plan's.
func (d *drawing) byRole() theme.Role {
	if by := d.Tanks.Endurance.By; by != "plan" && by != "" {
		return d.theme.Caution
	}
	return d.theme.Value
}

// changes are the changes to come, then those made, the latest first.
func (d *drawing) changes() []string {
	label := "CHANGES"
	var rows []string
	add := func(at time.Time, when, to string, imbalance float64, role theme.Role) {
		rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + label, Width: factLabel, Style: d.theme.Label},
			frame.Cell{Text: say.Time(at), Width: 11, Style: role}, frame.Cell{Text: when, Width: 12, Style: role},
			frame.Cell{Text: frame.Fit("to "+frame.Clean(to), max(10, 3+frame.Width(frame.Clean(to)))) + "  imbalance " + say.Amount(imbalance), Style: role}))
		label = ""
	}
	for _, c := range d.Tanks.Planned {
		add(c.At, say.In(d.At, c.At), c.To, c.ImbalanceThen, d.theme.Value)
	}
	for i := len(d.Tanks.Made) - 1; i >= 0; i-- {
		c := d.Tanks.Made[i]
		add(c.At, "made", c.To, c.ImbalanceBefore, d.theme.Done)
	}
	return rows
}
