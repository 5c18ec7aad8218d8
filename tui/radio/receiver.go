package radio

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// line is a row that is written from left to right.
type line struct {
	*frame.Strip
	x int
}

func newLine(width, x int) *line { return &line{frame.NewStrip(width), x} }

// add writes a text if it has room, and a blank after it.
func (l *line) add(text string, role theme.Role) bool {
	if !l.Put(l.x, text, role) {
		return false
	}
	l.x += frame.Width(text) + 1
	return true
}

// pieces writes labels and values, each pair whole or not at all.
func (l *line) pieces(pieces []piece, t theme.Theme) {
	for _, p := range pieces {
		label := frame.Width(p.label)
		if !l.Free(l.x, label+min(1, label)+frame.Width(p.value)) {
			continue
		}
		if p.label != "" {
			l.add(p.label, t.Label)
		}
		l.add(p.value, p.role)
		l.x++
	}
}

// textColumn is where what belongs to a receiver begins, behind its name.
const textColumn = 7

// receiver is a receiver in a few rows: what it is on, what it should read here, what comes next.
func (d *drawing) receiver(r flight.ReceiverNow, marked bool) []string {
	rows := []string{d.stationRow(r, marked)}
	if r.Tuned != nil {
		rows = append(rows, d.readingRows(*r.Tuned)...)
	}
	if r.Next != nil {
		l := newLine(d.width, textColumn)
		d.nextPieces(l, r.Tuned, *r.Next)
		rows = append(rows, l.Row())
	}
	return rows
}

// stationRow is a receiver's name and the beacon that it is on, at the right edge whether it is identified and in range.
func (d *drawing) stationRow(r flight.ReceiverNow, marked bool) string {
	l := newLine(d.width, 0)
	name, role := " ", d.theme.Title
	if marked {
		name, role = ">", d.theme.Selected
	}
	l.add(name+strings.TrimRight(frame.Fit(frame.Clean(r.Receiver), textColumn-2), " "), role)
	l.x = textColumn
	right := d.width - 1
	end := func(text string, role theme.Role) {
		if l.Put(right-frame.Width(text), text, role) {
			right -= frame.Width(text) + 2
		}
	}
	identity, identityRole := d.identity(r)
	short := ""
	if r.Tuned != nil {
		short = station(r.Tuned.Beacon, "", r.Tuned.Frequency)
		reach, role := d.reach(*r.Tuned)
		both := l.x+frame.Width(short)+frame.Width(reach)+frame.Width(identity)+5 <= d.width
		if both || !r.Tuned.InRange {
			end(reach, role)
		}
		if !both && !r.Tuned.InRange { // of two things that are wrong, the one that explains the other
			identity = ""
		}
	}
	end(identity, identityRole)
	if r.Tuned != nil {
		room := min(22, max(0, right-l.x))
		l.add(frame.Fit(frame.Fitting(room, station(r.Tuned.Beacon, r.Tuned.Name, r.Tuned.Frequency), short), room), d.theme.Headline)
		l.add(spelled(r.Tuned.Beacon, r.Tuned.Morse), d.theme.Value)
		if d.width >= 100 {
			l.x += 2
			l.add(strings.ToUpper(frame.Clean(r.Tuned.Kind)), d.theme.Muted)
		}
	}
	return l.Row()
}

// Widths of a needle's beam in a row of text, odd so that it has a middle.
const (
	beamWidth  = 15
	leastBeam  = 9
	beforeBeam = 1
)

// readingRows are what a receiver should show; what does not fit behind the figures has a row of its own.
func (d *drawing) readingRows(b flight.BeaconNow) []string {
	var rows []string
	l := newLine(d.width, textColumn)
	l.pieces(d.course(b), d.theme)
	room := func(cells int) {
		if !l.Free(l.x, cells) {
			rows = append(rows, l.Row())
			l = newLine(d.width, textColumn)
		}
	}
	if text := needleText(b); text != "" {
		room(frame.Width(text) + beforeBeam + leastBeam)
		l.add(text, d.theme.Estimate)
		width := min(beamWidth, d.width-l.x-beforeBeam)
		l.add(d.needle(b, width-1+width%2), theme.Role{})
		l.x++
	}
	if over := d.overhead(b); over != nil {
		room(frame.Width(over[0].label) + 1 + frame.Width(over[0].value))
		l.pieces(over, d.theme)
	}
	return append(rows, l.Row())
}

// nextPieces says what a receiver is to be tuned to next, and when; on the same beacon, the next course.
func (d *drawing) nextPieces(l *line, tuned *flight.BeaconNow, n flight.BeaconNext) {
	role := d.theme.Value
	if n.Due != nil && !d.At.Before(*n.Due) {
		role = d.theme.Due
	}
	what := station(n.Beacon, n.Name, n.Frequency)
	if tuned != nil && tuned.Beacon == n.Beacon && n.Course != nil {
		what = flight.CourseWord(n.Held) + " " + say.Degrees(*n.Course) + " on " + frame.Clean(n.Beacon)
	}
	pieces := []piece{{"next", what, d.theme.Coming}, {"", d.nextWhen(n), role}}
	if n.Course != nil && (tuned == nil || tuned.Beacon != n.Beacon) {
		pieces = append(pieces, piece{flight.CourseWord(n.Held), say.Degrees(*n.Course), d.theme.Value})
	}
	if n.Due != nil {
		pieces = append(pieces, piece{"due", say.Time(*n.Due), d.theme.Value})
	}
	l.pieces(pieces, d.theme)
}

// cards are the receivers side by side, each in a frame.
func (d *drawing) cards(g grid) []string {
	var rows []string
	for first := 0; first < len(d.Radio); first += g.columns {
		var row [][]string
		left := d.width
		for i := first; i < first+g.columns; i++ {
			width := left / (g.columns - (i - first))
			left -= width
			if i < len(d.Radio) {
				row = append(row, d.card(d.Radio[i], i == d.marked, width, g))
			}
		}
		rows = append(rows, frame.Block(frame.Beside(row...), d.width, g.height)...)
	}
	return rows
}

// card is one receiver: beacon, frequency in big digits, ident as letters and as it sounds, what it should read, what is next.
func (d *drawing) card(r flight.ReceiverNow, marked bool, width int, g grid) []string {
	border, title := d.theme.Border(), frame.Clean(r.Receiver)
	if marked {
		title, border.Title = "> "+title, d.theme.Selected
	}
	inside := width - 2
	content := []string{d.cardHead(r, inside)}
	if r.Tuned != nil {
		digits := frame.BigSmall
		if g.large {
			digits = frame.BigLarge
			content = append(content, "")
		}
		content = append(content, d.cardStation(*r.Tuned, inside, digits)...)
		content = append(content, d.cardReadings(*r.Tuned, inside)...)
	}
	if r.Next != nil {
		l := newLine(inside, 1)
		d.nextPieces(l, r.Tuned, *r.Next)
		content = append(frame.Block(content, inside, g.height-3), l.Row())
	}
	return frame.Box(title, content, width, g.height, border)
}

func (d *drawing) cardHead(r flight.ReceiverNow, width int) string {
	l := newLine(width, 1)
	text, role := d.identity(r)
	l.Put(width-1-frame.Width(text), text, role)
	if r.Tuned != nil {
		l.add(say.Named(frame.Clean(r.Tuned.Beacon), frame.Clean(r.Tuned.Name)), d.theme.Headline)
		l.x++
		l.add(strings.ToUpper(frame.Clean(r.Tuned.Kind)), d.theme.Muted)
	}
	return l.Row()
}

// cardStation is the frequency in big digits, beside it the ident and whether it can be heard here.
func (d *drawing) cardStation(b flight.BeaconNow, width, height int) []string {
	digits := frame.Big(say.Frequency(b.Frequency), height, d.theme.Glyphs())
	letters, marks := d.rhythm(b.Beacon, b.Morse)
	reach, reached := d.reach(b)
	beside := make([]piece, height)
	beside[0] = piece{value: letters, role: d.theme.Headline}
	beside[1] = piece{value: marks, role: d.theme.Value}
	beside[height-1] = piece{value: reach, role: reached}
	rows := make([]string, height)
	for i, row := range digits {
		l := newLine(width, 1)
		l.add(row, d.theme.Headline)
		l.x += 2
		l.add(strings.TrimRight(beside[i].value, " "), beside[i].role)
		rows[i] = l.Row()
	}
	return rows
}

// cardReadings are what the receiver should show: a blank row, figures, the needle in words, the needle drawn.
func (d *drawing) cardReadings(b flight.BeaconNow, width int) []string {
	figures := newLine(width, 1)
	figures.pieces(append(d.course(b), d.overhead(b)...), d.theme)
	rows := []string{"", figures.Row()}
	length := (width-2)/2*2 - 1
	text := needleText(b)
	if text == "" {
		return rows
	}
	needle, drawn := newLine(width, 1), newLine(width, 1)
	needle.add(text, d.theme.Estimate)
	drawn.add(d.needle(b, length), theme.Role{})
	return append(rows, needle.Row(), drawn.Row(), " "+d.scale(b, length))
}

// scale names the ends and the middle of a needle's beam.
func (d *drawing) scale(b flight.BeaconNow, width int) string {
	names := []string{fmt.Sprintf("%d left", radio.FullScaleDeg), "course", fmt.Sprintf("%d right", radio.FullScaleDeg)}
	if b.Relative != nil {
		names = []string{"tail", "left", "nose", "right", "tail"}
	}
	s := frame.NewStrip(width)
	for i, name := range names {
		s.Centre(i*(width-1)/(len(names)-1), name, d.theme.Muted)
	}
	return s.Row()
}
