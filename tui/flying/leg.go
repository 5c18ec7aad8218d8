package flying

import (
	"cmp"
	"math"
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// leg adds to rows the leg as a way with what lies along it, and in figures where on it the aircraft is. One row is the figures alone.
func (d *drawing) leg(rows []string, room int) []string {
	if room <= 0 {
		return rows
	}
	along := d.along()
	if room == 1 || d.Leg.DistanceNM <= 0 {
		return append(rows, []string{along, "", ""}[:room]...)
	}
	way := d.way()
	return append(append(rows, way[:room-1]...), along)
}

// legMark is something along the leg with the name that it is shown by.
type legMark struct {
	name    string
	afterNM float64
	place   bool // a place to look for, which stands on the way itself
	passed  bool
}

// wayShown is the leg as a way.
type wayShown struct {
	from, to   string
	distanceNM float64
	leg        int
	marks      frame.Same[flight.LegMark]
	critical   flight.CriticalNow
	here       int // the column where the aircraft is; -1: nobody knows
}

// way is the leg itself, what is flown of it heavy, with the places along it; and below it receivers to tune, tanks and levels at theirs.
func (d *drawing) way() [2]string {
	shown := wayShown{
		from: d.Leg.From, to: d.Leg.To, distanceNM: d.Leg.DistanceNM, leg: d.Leg.Index, marks: frame.SameOf(d.Leg.Marks), critical: d.Critical, here: -1,
	}
	if d.Position != nil {
		_, _, first, last := d.ends(&shown)
		shown.here = shown.column(d.Position.AfterNM, first, last)
	}
	return d.ways.Of(shown, d.drawWay)
}

// ends are the names of a leg's ends, and the columns between which its way is drawn.
func (p *page) ends(s *wayShown) (from, to string, first, last int) {
	const mostOfName = 12
	from, to = frame.Shorten(frame.Clean(s.from), mostOfName), frame.Shorten(frame.Clean(s.to), mostOfName)
	return from, to, margin + frame.Width(from) + 1, p.width - margin - frame.Width(to) - 1
}

// column is where a place along the leg is drawn.
func (s *wayShown) column(nm float64, first, last int) int {
	return first + int(math.Round(math.Max(0, math.Min(nm/s.distanceNM, 1))*float64(last-1-first)))
}

// along are the marks on it by distance, the leg's own and the critical points.
func (s *wayShown) along() []legMark {
	marks := make([]legMark, 0, len(s.marks.List())+2)
	for _, m := range s.marks.List() {
		marks = append(marks, legMark{frame.Clean(m.Name), m.AfterNM, m.Kind == flight.MarkCheckpoint || m.Kind == flight.MarkPassed, m.Passed || m.Kind == flight.MarkPassed})
	}
	for point, name := range map[*flight.CriticalPoint]string{s.critical.EqualTime: "PET", s.critical.NoReturn: "PNR"} {
		if point != nil && point.Leg == s.leg {
			marks = append(marks, legMark{name: name, afterNM: point.AfterNM})
		}
	}
	slices.SortStableFunc(marks, func(a, b legMark) int { return cmp.Or(cmp.Compare(a.afterNM, b.afterNM), cmp.Compare(a.name, b.name)) })
	return marks
}

func (p *page) drawWay(s wayShown) [2]string {
	t, g := p.theme, p.glyphs
	line, under := &p.strip, &p.under
	line.Clear(p.width)
	under.Clear(p.width)
	from, to, first, last := p.ends(&s)
	if last-first < 2 {
		return [2]string{}
	}
	line.Put(margin, from, t.Title)
	line.Put(last+1, to, t.Title)
	line.Fill(first, last, g.Ahead, t.Frame)
	if s.here >= 0 {
		line.Fill(first, s.here, g.Flown, t.Value)
		line.Put(s.here, g.Here, t.Headline)
	}
	for _, m := range s.along() {
		role := t.Value
		if m.passed {
			role = t.Done
		}
		strip, text := under, m.name
		if m.place {
			strip, text = line, " "+m.name+" "
		}
		x := s.column(m.afterNM, first, last) - frame.Width(text)/2
		x = max(first, min(x, last-frame.Width(text)))
		if (m.place || strip.FreeApart(x, frame.Width(text))) && strip.Put(x, text, role) {
			continue
		}
		for width := 9; width >= 5; width -= 2 {
			short := frame.Shorten(m.name, width-2)
			if strip.Put(max(first, min(s.column(m.afterNM, first, last)-width/2, last-width)), " "+short+" ", role) {
				break
			}
		}
	}
	return [2]string{line.Row(), under.Row()}
}

// alongShown is where on the leg the aircraft is.
type alongShown struct {
	to                    string
	distanceNM            float64
	there                 bool // it is known where
	toGoNM, uncertaintyNM float64
	fromEndNM             known
	flownSinceNM          known // nothing is logged of the end, and this much is flown since
	by                    flight.PositionSource
	off                   offTrackSaid
	level                 levelShown
}

// levelShown is the level of a leg, or the one that a descent leads to.
type levelShown struct {
	altitudeFt known
	down       bool
	altimetry  flight.Altimetry
	safeFt     known
}

func (d *drawing) levelNow() levelShown {
	landed := d.Phase == flight.Arrived || d.Phase == flight.Taxi && d.Clock.AirborneSeconds != nil
	s := levelShown{known{d.Leg.AltitudeFt, !landed}, false, d.Altimetry, knownOf(d.Leg.SafeAltitudeFt)}
	if down := d.Descent; down != nil && down.Begun && s.altitudeFt.is {
		s.altitudeFt.value, s.down = down.ToFt, true
	}
	return s
}

// levelTexts are the level, the altimeter setting and the lowest safe altitude; what is not known is empty.
type levelTexts struct{ level, qnh, safe string }

func drawLevel(s levelShown) levelTexts {
	var texts levelTexts
	if s.altitudeFt.is {
		texts.level = say.Feet(s.altitudeFt.value)
	}
	if s.down {
		texts.level = "down to " + texts.level
	}
	if s.altimetry.QNH > 0 {
		texts.qnh = say.QNH(s.altimetry.QNH, s.altimetry.Inches)
	}
	if s.safeFt.is {
		texts.safe = say.Whole(s.safeFt.value)
	}
	return texts
}

// along says in figures where on the leg the aircraft is.
func (d *drawing) along() string {
	shown := alongShown{
		to: d.Leg.To, distanceNM: d.Leg.DistanceNM, off: d.backToTrack(),
		level: d.levelNow(),
	}
	if p := d.Position; p != nil {
		shown.there, shown.by = true, p.By
		shown.toGoNM, shown.uncertaintyNM = say.Tenths(p.ToGoNM), say.Tenths(p.UncertaintyNM)
		if p.FromEndNM != nil {
			shown.fromEndNM = known{say.Tenths(*p.FromEndNM), true}
		} else if p.FlownSinceNM != nil {
			shown.flownSinceNM = knownOf(p.FlownSinceNM)
		}
	}
	return d.alongs.Of(shown, d.drawAlong)
}

func (p *page) drawAlong(s alongShown) string {
	t, way := &p.theme, ""
	switch {
	case s.fromEndNM.is:
		way = say.Tenth(s.fromEndNM.value) + " ±" + say.Tenth(s.uncertaintyNM) + " nm from " + frame.Clean(s.to) + ", not logged"
	case s.flownSinceNM.is:
		way = frame.Clean(s.to) + " not logged, " + say.Miles(s.flownSinceNM.value) + " flown since it was due"
	case s.there:
		way = say.Tenth(s.toGoNM) + " ±" + say.Tenth(s.uncertaintyNM) + " nm to go of " + say.Tenth(s.distanceNM)
	default:
		way = say.Miles(s.distanceNM)
	}
	var line line
	line.begin(p)
	line.add(phrase{t.Value, way})
	s.off.addTo(&line, t)
	level := p.levels.Of(s.level, drawLevel)
	if level.level != "" {
		line.add(phrase{t.Value, level.level})
	}
	if level.qnh != "" {
		line.add(phrase{t.Label, "QNH"}, phrase{t.Value, level.qnh})
	}
	if level.safe != "" {
		line.add(phrase{t.Label, "MSA"}, phrase{t.Value, level.safe})
	}
	if s.there {
		line.add(phrase{t.Label, "by " + frame.Clean(string(s.by))})
	}
	return line.row.String()
}

// offTrackSaid is what is said of a distance off track.
type offTrackSaid struct {
	off    phrase
	back   string // what leads back; empty: nothing is known to
	within string // back in how many miles, where the pilot chose that
	rule   string // the turn by 1 in 60, where that differs and no heading was told since; else empty
}

// addTo adds what there is room for: how far off it is before what leads back, and the rule only beside that.
func (o *offTrackSaid) addTo(line *line, t *theme.Theme) {
	if o.off.text == "" {
		return
	}
	full, short := phrase{t.Value, o.back + o.within}, phrase{t.Value, o.back}
	switch {
	case o.back == "", !line.add(o.off, full) && !line.add(o.off, short):
		line.add(o.off)
	case o.rule != "":
		line.add(phrase{t.Label, "1 in 60:"}, phrase{t.Value, o.rule})
	}
}

// backToTrack says how far off the track the aircraft is and what leads to the leg's end from there; nothing where nobody said.
func (d *drawing) backToTrack() (said offTrackSaid) {
	off := d.OffTrack
	if off == nil {
		return said
	}
	said.off = phrase{d.theme.Caution, say.OffTrack(off.OffNM)}
	if off.OffNM == 0 {
		said.off.role = d.theme.Value
		return said
	}
	back, ok := d.WayBack()
	if !ok {
		return said
	}
	said.back = "steer " + say.Degrees(back.HeadingMagnetic)
	if back.Turn != 0 {
		said.back = "turn " + say.Side(back.Turn, 0) + ": " + said.back
		if math.Abs(back.Turn-back.TurnRule) >= 1 && !off.Turned {
			said.rule = say.Side(back.TurnRule, 0)
		}
	}
	if back.WithinNM != nil {
		said.within = ", back in " + say.Miles(*back.WithinNM)
	}
	return said
}

// line sets groups of phrases one after the other; a group that has no room is left out whole.
func (p *page) line(groups ...[]phrase) string {
	var line line
	line.begin(p)
	for _, group := range groups {
		line.add(group...)
	}
	return line.row.String()
}

// between is the distance of groups in a row.
const between = 3

// line is a row to which groups of phrases are added.
type line struct {
	row       frame.Row
	left, gap int // cells
}

func (l *line) begin(p *page) {
	l.left, l.gap = max(p.width-margin, 0), margin
	l.row.Grow(2 * l.left)
}

// add adds a group, if there is room for all of it.
func (l *line) add(group ...phrase) (added bool) {
	needs := l.gap - 1
	for _, p := range group {
		needs += frame.Width(p.text) + 1
	}
	if len(group) == 0 || needs > l.left {
		return false
	}
	for i, p := range group {
		if i == 0 {
			l.row.Pad(l.gap)
		} else {
			l.row.Pad(1)
		}
		l.row.Add(p.text, p.role)
	}
	l.left -= needs
	l.gap = between
	return true
}
