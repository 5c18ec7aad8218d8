package radio

import (
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// line is a row that is written from left to right.
type line struct {
	*strip.Strip
	x int
}

func newLine(width, x int) *line { return &line{strip.New(width), x} }

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
		if !l.Free(l.x, frame.Width(p.label)+1+frame.Width(p.value)) {
			continue
		}
		l.add(p.label, t.Label)
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
		d.nextPieces(l, *r.Next)
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
	if r.Tuned != nil {
		end(d.reach(*r.Tuned))
	}
	end(d.identity(r))
	if r.Tuned != nil {
		l.add(frame.Fit(station(r.Tuned.Beacon, r.Tuned.Name, r.Tuned.Frequency), min(22, max(0, right-l.x))), d.theme.Headline)
		l.add(spelled(r.Tuned.Beacon, r.Tuned.Morse), d.theme.Value)
		if d.width >= 100 {
			l.x += 2
			l.add(strings.ToUpper(frame.Clean(r.Tuned.Kind)), d.theme.Muted)
		}
	}
	return l.Row()
}

// beamWidth is the width of a needle's beam in a row of text, an odd number so that it has a middle.
const beamWidth = 15

// readingRows are what a receiver should show; the needle has a row of its own where it does not fit behind the figures.
func (d *drawing) readingRows(b flight.BeaconNow) []string {
	l := newLine(d.width, textColumn)
	l.pieces(d.course(b), d.theme)
	text, beam := d.needle(b, beamWidth)
	if text == "" {
		return []string{l.Row()}
	}
	var rows []string
	if !l.Free(l.x, frame.Width(text)+1+beamWidth) {
		rows = append(rows, l.Row())
		l = newLine(d.width, textColumn)
	}
	l.add(text, d.theme.Estimate)
	l.add(beam, theme.Role{})
	return append(rows, l.Row())
}

// nextPieces says what a receiver is to be tuned to next, and when.
func (d *drawing) nextPieces(l *line, n flight.BeaconNext) {
	role := d.theme.Value
	if n.Due != nil && !d.At.Before(*n.Due) {
		role = d.theme.Due
	}
	pieces := []piece{{"next", station(n.Beacon, n.Name, n.Frequency), d.theme.Coming}, {"due", d.nextWhen(n), role}}
	if n.Course != nil {
		pieces = append(pieces, piece{"course", words.Degrees(*n.Course), d.theme.Value})
	}
	if n.Due != nil {
		pieces = append(pieces, piece{"at", words.Time(*n.Due), d.theme.Value})
	}
	l.pieces(pieces, d.theme)
}
