package flying

import (
	"cmp"
	"math"
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// leg draws the leg as a way: solid behind, dotted ahead, what lies along it in its place.
func (d *drawing) leg(rows int) []string {
	from, to := frame.Clean(d.Leg.From), frame.Clean(d.Leg.To)
	from, to = " "+words.Cut(from, 12)+" ", " "+words.Cut(to, 12)+" "
	margin := frame.Width(from)
	width := max(0, d.width-margin-frame.Width(to))
	way, lanes := d.way(width, rows-2)
	drawn := make([]string, 0, rows)
	for _, lane := range lanes {
		var row frame.Row
		row.Pad(margin)
		row.Fit(lane.Row(), d.width-margin)
		drawn = append(drawn, row.String())
	}
	drawn = append(drawn, d.theme.Value.Render(from)+way.Row()+d.theme.Value.Render(to))
	return append(drawn, d.along())
}

// way is the line itself and the names above it, the lowest lane last.
func (d *drawing) way(width, names int) (*strip.Strip, []*strip.Strip) {
	way := strip.New(width)
	if width == 0 || d.Leg.DistanceNM <= 0 {
		return way, nil
	}
	column := func(nm float64) int {
		return int(math.Round(math.Max(0, math.Min(nm/d.Leg.DistanceNM, 1)) * float64(width-1)))
	}
	way.Fill(0, width, "·", d.theme.Frame)
	if p := d.Position; p != nil {
		here := column(p.AfterNM)
		way.Fill(0, here, d.glyphs.Horizontal, d.theme.Done)
		way.Fill(column(p.AfterNM-p.UncertaintyNM), column(p.AfterNM+p.UncertaintyNM)+1, "~", d.theme.Estimate)
		way.Put(here, ">", d.theme.NextAct)
	}
	var items []item
	for _, mark := range d.marks() {
		x, role := column(mark.AfterNM), d.markRole(mark)
		letter := markLetter(mark.Kind)
		name := frame.Clean(mark.Name)
		if !way.Put(x, letter, role) {
			continue
		}
		items = append(items, item{x: x, letter: letter, role: role, texts: [levels]string{name, words.Cut(name, 12), words.Cut(name, 7)}})
	}
	lanes := make([]*strip.Strip, names)
	for i := range lanes {
		lanes[i] = strip.New(width)
	}
	shown, _ := place(items, names, width)
	for _, p := range shown {
		lanes[names-1-p.lane].Put(p.x, p.text, p.role)
		for lane := range p.lane {
			lanes[names-1-lane].Put(p.x, d.glyphs.Vertical, d.theme.Frame)
		}
	}
	return way, lanes
}

// marks are the leg's own and the critical points on it.
func (d *drawing) marks() []flight.LegMark {
	marks := slices.Clone(d.Leg.Marks)
	for _, c := range d.critical() {
		if c.Leg == d.Leg.Index {
			marks = append(marks, flight.LegMark{Kind: c.name, Name: c.name, AfterNM: c.AfterNM})
		}
	}
	slices.SortStableFunc(marks, func(a, b flight.LegMark) int { return cmp.Compare(a.AfterNM, b.AfterNM) })
	return marks
}

// markLetter is the letter of the ribbon for what lies along the leg.
func markLetter(kind string) string {
	switch kind {
	case "checkpoint":
		return words.CheckpointMark[1:2]
	case "radio":
		return words.Mark(flight.PromptTune)[1:2]
	case "tank":
		return words.Mark(flight.PromptTank)[1:2]
	case "top-of-climb":
		return words.Mark(flight.PromptLevel)[1:2]
	case "top-of-descent":
		return words.Mark(flight.PromptDescent)[1:2]
	case "equal time":
		return words.EqualTimeMark[1:2]
	case "no return":
		return words.NoReturnMark[1:2]
	case "passed":
		return "x"
	default:
		return "?"
	}
}

func (d *drawing) markRole(mark flight.LegMark) theme.Role {
	if mark.Passed || mark.Kind == "passed" {
		return d.theme.Done
	}
	return d.theme.Value
}

// along says in figures where on the leg the aircraft is.
func (d *drawing) along() string {
	t, p := d.theme, d.Position
	way := say.Miles(d.Leg.DistanceNM)
	if p != nil {
		way = say.Miles(p.AfterNM) + " flown, " + say.Miles(p.ToGoNM) + " to go"
	}
	groups := [][]phrase{{{t.Value, way}}}
	if off := d.backToTrack(); off != nil {
		groups = append(groups, off)
	}
	groups = append(groups, []phrase{{t.Value, say.Feet(d.Leg.AltitudeFt)}})
	if d.Leg.SafeAltitudeFt != nil {
		groups = append(groups, []phrase{{t.Label, "lowest safe " + say.Feet(*d.Leg.SafeAltitudeFt)}})
	}
	if d.Leg.Count > 0 {
		groups = append(groups, []phrase{{t.Label, "leg " + ofCount(d.Leg.Index+1, d.Leg.Count)}})
	}
	if p != nil {
		groups = append(groups, []phrase{{t.Estimate, "by " + frame.Clean(p.By) + " ±" + say.Miles(p.UncertaintyNM)}})
	}
	return d.line(d.width, groups...)
}

// backToTrack says how far off the track the aircraft is and what leads to the leg's end from there; nil where nobody said.
func (d *drawing) backToTrack() []phrase {
	if d.OffTrack == nil {
		return nil
	}
	text := say.Side(d.OffTrack.OffNM, 1) + " of track"
	if d.OffTrack.OffNM == 0 {
		text = "on track"
	}
	off := []phrase{{d.theme.Caution, text}}
	if turn := d.OffTrack.TurnExact; d.OffTrack.HeadingMagnetic != nil && d.OffTrack.OffNM != 0 {
		rule := ""
		if d.OffTrack.Differs {
			rule = " (1 in 60: " + say.Side(d.OffTrack.TurnRule, 0) + ")"
		}
		off = append(off, phrase{d.theme.Value, "turn " + say.Side(turn, 0) + rule + ": steer " + say.Degrees(*d.OffTrack.HeadingMagnetic)})
	}
	if r := d.OffTrack.Regain; r != nil && r.Chosen && r.HeadingMagnetic != nil && d.OffTrack.OffNM != 0 {
		off = append(off, phrase{d.theme.Value, "back in " + say.Miles(r.WithinNM) + ": steer " + say.Degrees(*r.HeadingMagnetic)})
	}
	return off
}
