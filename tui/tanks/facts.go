package tanks

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// fact is a label with its value.
type fact struct {
	label, value string
	role         theme.Role
}

// change says when to change, in a word and a role of how urgent it is.
func (d *drawing) change() (state string, role theme.Role, left string) {
	change := d.Tanks.NextChange
	if change == nil {
		return "NO CHANGE TO COME", d.theme.Done, ""
	}
	left = say.Between(d.At, change.At)
	for _, p := range d.Prompts {
		switch {
		case p.Kind != flight.PromptTank:
		case p.State == flight.Late:
			return "LATE", d.theme.Late, left
		case p.State == flight.Due:
			return "DUE", d.theme.Due, left
		}
	}
	switch {
	case !d.At.Before(change.At):
		return "DUE", d.theme.Due, left
	case d.soon():
		return "SOON", d.theme.NextAct, left
	default:
		return "in", d.theme.Value, left
	}
}

// soon reports whether the next change is announced.
func (d *drawing) soon() bool {
	for _, p := range d.Prompts {
		if p.Kind == flight.PromptTank && p.State == flight.Coming && p.Announce {
			return true
		}
	}
	return false
}

// facts are the next change and what is in the tanks together, in a block.
func (d *drawing) facts(width, rows int) []string {
	block := d.nextChange(width, rows)
	if rows >= 16 {
		block = append(block, "")
	}
	for _, f := range d.together(width - factLabel) {
		block = append(block, d.fact(f, width))
	}
	return frame.Block(block, width, rows)
}

// nextChange is when to change to which tank; with rows enough in big digits.
func (d *drawing) nextChange(width, rows int) []string {
	state, role, left := d.change()
	change := d.Tanks.NextChange
	if change == nil {
		return []string{frame.Line(width, frame.Cell{Text: state, Style: role})}
	}
	block := []string{frame.Line(width, frame.Cell{Text: "change to " + frame.Clean(change.To), Style: d.theme.Title})}
	block = append(block, d.countdown(state, left, role, width, rows)...)
	block = append(block, d.fact(fact{"due at", say.Time(change.At), d.theme.Value}, width))
	if at := d.Tanks.LimitAt; at != nil {
		block = append(block, d.fact(d.reached("limit at", *at), width))
	}
	if at := d.Tanks.DryAt; at != nil && (d.Tanks.LimitAt == nil || at.Before(*d.Tanks.LimitAt)) {
		block = append(block, d.fact(d.reached("empty at", *at), width))
	}
	return block
}

// reached is a time at which a limit is reached unless something is done before.
func (d *drawing) reached(label string, at time.Time) fact {
	if !d.At.Before(at) {
		return fact{label, say.Time(at), d.theme.Warning}
	}
	return fact{label, say.Time(at), d.theme.Value}
}

// countdown is how long there is, in big digits where there is room for them.
func (d *drawing) countdown(state, left string, role theme.Role, width, rows int) []string {
	if rows < 13 || frame.BigWidth(left, frame.BigSmall) > width {
		return []string{frame.Line(width, frame.Cell{Text: state + " " + left, Style: role})}
	}
	block := []string{frame.Line(width, frame.Cell{Text: state, Style: role})}
	height := frame.BigSmall
	if rows >= 20 && frame.BigWidth(left, frame.BigLarge) <= width {
		height = frame.BigLarge
	}
	for _, row := range frame.Big(left, height, d.theme.Glyphs()) {
		block = append(block, frame.Line(width, frame.Cell{Text: row, Style: d.theme.Headline}))
	}
	return block
}

// together is what is known of all tanks, the most pressing first, with values that fit a width.
func (d *drawing) together(width int) []fact {
	k, unit := d.Tanks, " "+say.Unit(d.Tanks.Unit)
	usable := say.Amount(k.TotalUsable) + unit
	if k.MassKg != nil {
		usable = first(width, usable+", all "+say.Mass(*k.MassKg, k.Unit), usable)
	}
	facts := []fact{{"usable", usable, d.theme.Value}, {"endurance", say.Long(k.EnduranceMinutes), d.lastsRole()}}
	if witness := by(k.Endurance.By); witness != "" {
		facts = append(facts, fact{"", witness, d.lastsRole()})
	}
	if to := d.Destination; to != nil {
		left := say.Amount(to.Fuel) + " ±" + say.Amount(to.FuelSigma)
		facts = append(facts, fact{"at landing", first(width, left+unit, left), d.landingRole()})
	}
	if at := k.ReserveTouchedAt; at != nil {
		facts = append(facts, d.reached("reserve at", *at))
	}
	return append(facts, fact{"flow", say.Amount(k.FlowPerHour) + unit + "/h", d.theme.Value})
}

// first is the longer of two texts if it fits a width.
func first(width int, long, short string) string {
	if frame.Width(long) <= width {
		return long
	}
	return short
}

// by names who says so, unless it is the plan.
func by(witness string) string {
	if witness == "" || witness == "plan" {
		return ""
	}
	return "by " + witness
}

func (d *drawing) lastsRole() theme.Role {
	if by(d.Tanks.Endurance.By) != "" {
		return d.theme.Caution
	}
	return d.theme.Value
}

func (d *drawing) landingRole() theme.Role {
	to := d.Destination
	switch {
	case to.ReserveHeldMinutes < to.ReserveMinutes:
		return d.theme.Warning
	default:
		return d.theme.Estimate
	}
}

// witnesses are how long the fuel lasts by each of them, what gauges show to be burned, and the alternates.
func (d *drawing) witnesses(width int) []string {
	k, unit := d.Tanks, " "+say.Unit(d.Tanks.Unit)
	var rows []string
	add := func(label, value string, role theme.Role) {
		for i, line := range frame.Wrap(frame.Clean(value), max(1, width-factLabel)) {
			if i > 0 {
				label = ""
			}
			rows = append(rows, d.fact(fact{label, line, role}, width))
		}
	}
	add("by plan", say.Long(k.Endurance.PlanMinutes), d.theme.Value)
	if m := k.Endurance.MeterMinutes; m != nil {
		add("by meter", say.Long(*m), d.theme.Value)
	}
	if m := k.Endurance.GaugesMinutes; m != nil {
		add("by gauges", fmt.Sprintf("%s ±%.0f min", say.Long(*m), *k.Endurance.GaugesSigmaMinutes), d.theme.Value)
	}
	if b := k.Burn; b != nil {
		text := fmt.Sprintf("%.1f ±%.1f%s/h by %d readings, reckoned %.1f", b.FlowPerHour, b.SigmaPerHour, unit, b.Readings, b.ReckonedPerHour)
		if !b.Counts {
			text += ": not certain enough to count"
		}
		add("burn", text, d.theme.Value)
	} else {
		add("burn", "not known: it takes three readings of a gauge over ten minutes of its tank's use", d.theme.Muted)
	}
	if k.MassKg != nil {
		add("mass", say.Mass(*k.MassKg, k.Unit)+" on board", d.theme.Value)
	}
	for _, b := range k.LatestDivert {
		role := d.theme.Value
		if b.TooLate {
			role = d.theme.Warning
		}
		add("alternate", b.Text, role)
	}
	return rows
}

const factLabel = 11

func (d *drawing) fact(f fact, width int) string {
	return frame.Line(width, frame.Cell{Text: f.label, Width: min(factLabel, width), Style: d.theme.Label},
		frame.Cell{Text: f.value, Style: f.role})
}
