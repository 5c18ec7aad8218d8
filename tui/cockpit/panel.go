package cockpit

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// panel is one line to a receiver.
func (d *drawing) panel(width int) []string {
	p := d.Seat.Panel
	lines := []string{d.title(width, "PANEL", d.label("airspeed "), d.value(say.Knots(p.AirspeedKt)), d.label("  engine "), d.engine())}
	for _, r := range p.Receivers {
		lines = append(lines, d.receiver(width, r))
	}
	return lines
}

func (d *drawing) engine() frame.Cell {
	role := d.theme.Good
	switch d.Seat.Panel.Engine {
	case "falters":
		role = d.theme.Caution
	case "stands":
		role = d.theme.Warning
	}
	return frame.Cell{Text: strings.ToUpper(d.Seat.Panel.Engine), Style: role}
}

// receiver is what a receiver shows, in words, figures and a bar.
func (d *drawing) receiver(width int, r practice.PanelReceiver) string {
	if r.Beacon == "" {
		return frame.Line(width, d.label(frame.Fit(" "+r.Receiver, 6)), frame.Cell{Text: "nothing tuned", Style: d.theme.Muted})
	}
	cells := []frame.Cell{
		d.label(frame.Fit(" "+r.Receiver, 6)), {Text: frame.Fit(r.Beacon+" "+say.Frequency(r.Frequency), 11), Style: d.theme.Value},
	}
	if r.Morse == "" {
		return frame.Line(width, append(cells, frame.Cell{Text: "no ident, flag OFF", Style: d.theme.Caution})...)
	}
	switch {
	case r.Course != nil:
		cells = append(cells, d.label("course "), d.value(say.Degrees(*r.Course)+" "))
		if r.Sense == nil || r.NeedleDeg == nil || *r.Sense == radio.Off {
			return frame.Line(width, append(cells, frame.Cell{Text: "flag OFF", Style: d.theme.Caution})...)
		}
		cells = append(cells, frame.Cell{Text: frame.Fit(r.Sense.String(), 4) + " ", Style: d.theme.Headline},
			frame.Cell{Text: needleText(*r.NeedleDeg) + " ", Style: d.theme.Value})
		used := 0
		for _, cell := range cells {
			used += frame.Width(cell.Text)
		}
		if room := width - used - 1; room >= 11 {
			room = min(room, longestBar+1)
			line := frame.Line(used, cells...)
			return frame.Fit(line+frame.Beam(room, *r.NeedleDeg/radio.FullScaleDeg, d.glyphs, d.theme.Frame, d.theme.Headline), width)
		}
	case r.DME != nil:
		cells = append(cells, frame.Cell{Text: say.Miles(*r.DME), Style: d.theme.Headline})
	case r.Relative != nil:
		cells = append(cells, d.label("needle "), frame.Cell{Text: fmt.Sprintf("%03.0f", wrapped(*r.Relative)), Style: d.theme.Headline},
			d.label(", "+sideOf(*r.Relative)))
	}
	return frame.Line(width, cells...)
}

// needleText is a needle in words: it stands where the course is.
func needleText(needleDeg float64) string {
	whole := math.Round(math.Abs(needleDeg))
	switch {
	case whole < 1:
		return "centred  "
	case whole >= radio.FullScaleDeg && needleDeg < 0:
		return "full left"
	case whole >= radio.FullScaleDeg:
		return "full right"
	}
	return frame.Fit(say.Side(math.Copysign(whole, needleDeg), 0), len("full left"))
}

func wrapped(relative float64) float64 { return math.Mod(math.Round(relative), 360) }

// sideOf says where an ADF needle points.
func sideOf(relative float64) string {
	switch r := wrapped(relative); {
	case r <= 5 || r >= 355:
		return "on the nose"
	case r >= 175 && r <= 185:
		return "on the tail"
	case r < 90:
		return "ahead right"
	case r < 180:
		return "behind right"
	case r > 270:
		return "ahead left"
	default:
		return "behind left"
	}
}

// tanks are the gauges as bars.
func (d *drawing) tanks(width int) []string {
	p := d.Seat.Panel
	lines := []string{d.title(width, "GAUGES", d.label("in "+say.Unit(p.Unit)+", as they show"))}
	names := 0
	for _, g := range p.Gauges {
		names = max(names, frame.Width(g.Tank))
	}
	names = min(names, width/3)
	bar := max(4, min(width-names-14, longestBar))
	for _, g := range p.Gauges {
		share := 0.0
		if g.Capacity > 0 {
			share = g.Reading / g.Capacity
		}
		role, feeds := d.theme.Value, ""
		if g.Selected {
			role, feeds = d.theme.Tank, " feeds"
		}
		line := frame.Line(names+2, d.label(" "+frame.Fit(frame.Clean(g.Tank), names)+" ")) +
			frame.Bar(bar, share, d.glyphs, role, d.theme.Frame) +
			frame.Line(max(0, width-names-2-bar), frame.Cell{Text: fmt.Sprintf(" %3.0f", g.Reading), Style: d.theme.Value}, frame.Cell{Text: feeds, Style: role})
		lines = append(lines, frame.Fit(line, width))
	}
	return lines
}
