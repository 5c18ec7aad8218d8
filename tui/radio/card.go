package radio

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

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
	s := strip.New(width)
	for i, name := range names {
		s.Centre(i*(width-1)/(len(names)-1), name, d.theme.Muted)
	}
	return s.Row()
}
