package flying

import (
	"cmp"
	"math"
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// leg draws the leg as a way with what lies along it, and says in figures where on it the aircraft is. One row is the figures alone.
func (d *drawing) leg(rows int) []string {
	if rows <= 0 {
		return nil
	}
	along := d.along()
	if rows == 1 || d.Leg.DistanceNM <= 0 {
		return []string{along, "", ""}[:rows]
	}
	way, marks := d.way()
	return append([]string{way, marks}[:rows-1], along)
}

// legMark is something along the leg with the name that it is shown by.
type legMark struct {
	name    string
	afterNM float64
	place   bool // a place to look for, which stands on the way itself
	passed  bool
}

// marks are the leg's own, by distance, and the critical points on it.
func (d *drawing) marks() []legMark {
	marks := make([]legMark, 0, len(d.Leg.Marks)+2)
	for _, m := range d.Leg.Marks {
		marks = append(marks, legMark{frame.Clean(m.Name), m.AfterNM, m.Kind == flight.MarkCheckpoint || m.Kind == flight.MarkPassed, m.Passed || m.Kind == flight.MarkPassed})
	}
	for point, name := range map[*flight.CriticalPoint]string{d.Critical.EqualTime: "PET", d.Critical.NoReturn: "PNR"} {
		if point != nil && point.Leg == d.Leg.Index {
			marks = append(marks, legMark{name: name, afterNM: point.AfterNM})
		}
	}
	slices.SortStableFunc(marks, func(a, b legMark) int { return cmp.Or(cmp.Compare(a.afterNM, b.afterNM), cmp.Compare(a.name, b.name)) })
	return marks
}

// way is the leg itself, what is flown of it heavy, with the places along it; and below it receivers to tune, tanks and levels at theirs.
func (d *drawing) way() (way, below string) {
	t, g := d.theme, d.glyphs
	line, under := frame.NewStrip(d.width), frame.NewStrip(d.width)
	const mostOfName = 12
	from, to := frame.Clean(d.Leg.From), frame.Clean(d.Leg.To)
	from = frame.Shorten(from, mostOfName)
	to = frame.Shorten(to, mostOfName)
	first, last := margin+frame.Width(from)+1, d.width-margin-frame.Width(to)-1
	if last-first < 2 {
		return "", ""
	}
	column := func(nm float64) int {
		return first + int(math.Round(math.Max(0, math.Min(nm/d.Leg.DistanceNM, 1))*float64(last-1-first)))
	}
	line.Put(margin, from, t.Title)
	line.Put(last+1, to, t.Title)
	line.Fill(first, last, g.Ahead, t.Frame)
	if p := d.Position; p != nil {
		line.Fill(first, column(p.AfterNM), g.Flown, t.Value)
		line.Put(column(p.AfterNM), g.Here, t.Headline)
	}
	for _, m := range d.marks() {
		role := t.Value
		if m.passed {
			role = t.Done
		}
		s, text := under, m.name
		if m.place {
			s, text = line, " "+m.name+" "
		}
		x := column(m.afterNM) - frame.Width(text)/2
		x = max(first, min(x, last-frame.Width(text)))
		if (m.place || s.FreeApart(x, frame.Width(text))) && s.Put(x, text, role) {
			continue
		}
		for width := 9; width >= 5; width -= 2 {
			short := frame.Shorten(m.name, width-2)
			if s.Put(max(first, min(column(m.afterNM)-width/2, last-width)), " "+short+" ", role) {
				break
			}
		}
	}
	return line.Row(), under.Row()
}

// along says in figures where on the leg the aircraft is.
func (d *drawing) along() string {
	t, p := d.theme, d.Position
	way := say.Miles(d.Leg.DistanceNM)
	if p != nil {
		way = say.Tenth(p.ToGoNM) + " ±" + say.Tenth(p.UncertaintyNM) + " nm to go of " + say.Tenth(d.Leg.DistanceNM)
		switch {
		case p.FromEndNM != nil:
			way = say.Tenth(*p.FromEndNM) + " ±" + say.Tenth(p.UncertaintyNM) + " nm from " + frame.Clean(d.Leg.To) + ", not logged"
		case p.FlownSinceNM != nil:
			way = frame.Clean(d.Leg.To) + " not logged, " + say.Miles(*p.FlownSinceNM) + " flown since it was due"
		}
	}
	groups := [][]phrase{{{t.Value, way}}}
	if off := d.backToTrack(); off != nil {
		groups = append(groups, off)
	}
	groups = append(groups, []phrase{{t.Value, say.Feet(d.Leg.AltitudeFt)}})
	if d.Altimetry.QNH > 0 {
		groups = append(groups, []phrase{{t.Label, "QNH"}, {t.Value, say.QNH(d.Altimetry.QNH, d.Altimetry.Inches)}})
	}
	if d.Leg.SafeAltitudeFt != nil {
		groups = append(groups, []phrase{{t.Label, "MSA"}, {t.Value, say.Whole(*d.Leg.SafeAltitudeFt)}})
	}
	if p != nil {
		groups = append(groups, []phrase{{t.Label, "by " + frame.Clean(string(p.By))}})
	}
	return d.line(groups...)
}

// backToTrack says how far off the track the aircraft is and what leads to the leg's end from there; nil where nobody said.
func (d *drawing) backToTrack() []phrase {
	if d.OffTrack == nil {
		return nil
	}
	off := []phrase{{d.theme.Caution, say.OffTrack(d.OffTrack.OffNM)}}
	if d.OffTrack.OffNM == 0 {
		off[0].role = d.theme.Value
	}
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

// line sets groups of phrases one after the other; a group that has no room is left out whole.
func (d *drawing) line(groups ...[]phrase) string {
	var row frame.Row
	left := max(d.width-margin, 0)
	row.Grow(2 * left)
	const between = 3
	gap := margin
	for _, group := range groups {
		needs := gap - 1
		for _, p := range group {
			needs += frame.Width(p.text) + 1
		}
		if len(group) == 0 || needs > left {
			continue
		}
		for i, p := range group {
			if i == 0 {
				row.Pad(gap)
			} else {
				row.Pad(1)
			}
			row.Add(p.text, p.role)
		}
		left -= needs
		gap = between
	}
	return row.String()
}
