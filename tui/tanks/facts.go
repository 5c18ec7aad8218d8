package tanks

import (
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
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
	left = words.Between(d.At, change.At)
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
	state, role, left := d.change()
	var block []string
	if change := d.Tanks.NextChange; change != nil {
		block = append(block, frame.Line(width, frame.Cell{Text: "change to " + frame.Clean(change.To), Style: d.theme.Title}))
		block = append(block, d.countdown(state, left, role, width, rows)...)
		block = append(block, d.fact(fact{"due at", words.Time(change.At), d.theme.Value}, width))
	} else {
		block = append(block, frame.Line(width, frame.Cell{Text: state, Style: role}))
	}
	if rows >= 16 {
		block = append(block, "")
	}
	for _, f := range d.together() {
		block = append(block, d.fact(f, width))
	}
	return frame.Block(block, width, rows)
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

// together is what is known of all tanks, the most pressing first.
func (d *drawing) together() []fact {
	unit := " " + words.Unit(d.Tanks.Unit)
	var facts []fact
	if at := d.Tanks.LimitAt; at != nil {
		role := d.theme.Value
		if !d.At.Before(*at) {
			role = d.theme.Warning
		}
		facts = append(facts, fact{"limit at", words.Time(*at), role}, fact{"", words.In(d.At, *at), role})
	}
	return append(facts,
		fact{"usable", words.Quantity(d.Tanks.TotalUsable) + unit, d.theme.Value},
		fact{"lasts", words.Long(d.Tanks.EnduranceMinutes), d.theme.Value},
		fact{"flow", words.Quantity(d.Tanks.FlowPerHour) + unit + "/h", d.theme.Value},
		fact{"at landing", words.Quantity(d.Tanks.PlannedLandingTotal) + unit, d.theme.Estimate})
}

const factLabel = 11

func (d *drawing) fact(f fact, width int) string {
	return frame.Line(width, frame.Cell{Text: f.label, Width: min(factLabel, width), Style: d.theme.Label},
		frame.Cell{Text: f.value, Style: f.role})
}
