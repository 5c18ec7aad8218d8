package flying

import (
	"fmt"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/words"
)

// The smallest room that the whole screen can be drawn in.
const (
	minWidth  = 72
	minHeight = nextLow + ribbonLow + figuresLow + legLow + linesLow
)

// Rows of the parts: where there is least room, the usual, and with five-row digits.
const (
	nextLow, nextUsual, nextLarge = 4, 4, 6
	ribbonLow, ribbonHigh         = 4, 9
	figuresLow                    = 5
	figuresUsual                  = 6
	figuresLarge                  = 8
	legLow, legHigh               = 3, 4
	linesLow, linesHigh           = 2, 3
	panelsLow                     = 5

	largeWidth  = 140
	largeHeight = 40
)

// part is one band of the screen.
type part struct {
	rows int
	gap  bool // a blank row above
	draw func(d *drawing, rows int) []string
}

// layoutOf deals the rows out: every part gets its least, then the ribbon and the lines grow, then gaps open, and what is left
// goes to the panels. It reports false where not even the least fits.
func layoutOf(size screen.Size) ([]part, bool) {
	if size.Width < minWidth || size.Height < minHeight {
		return nil, false
	}
	left := size.Height - minHeight
	grow := func(rows *int, by int) {
		by = min(by, left)
		*rows += by
		left -= by
	}
	next, ribbon, figures, leg, lines := nextLow, ribbonLow, figuresLow, legLow, linesLow
	grow(&lines, linesHigh-linesLow)
	grow(&ribbon, 2)
	large := size.Width >= largeWidth && size.Height >= largeHeight
	if large {
		grow(&next, nextLarge-nextLow)
		grow(&figures, figuresLarge-figuresLow)
	}
	gaps := left >= 4
	if gaps {
		left -= 4
	}
	grow(&figures, max(0, figuresUsual-figures))
	grow(&leg, legHigh-legLow)
	if left > panelsLow {
		grow(&ribbon, min(ribbonHigh-ribbon, (left-panelsLow)/2))
	}
	parts := []part{
		{next, false, (*drawing).next},
		{ribbon, gaps, (*drawing).ribbon},
		{figures, gaps, (*drawing).figures},
		{leg, gaps, (*drawing).leg},
		{lines, gaps, (*drawing).lines},
	}
	if left >= panelsLow {
		parts = append(parts, part{left - 1, true, (*drawing).panels})
	}
	return parts, true
}

// tooSmall is the plain sentence, and above it the leg clock and what can't wait.
func (d *drawing) tooSmall(size screen.Size) []string {
	rows := []string{fmt.Sprintf("LEG %s  STEER %s", say.Elapsed(d.Clock.LegSeconds), say.DegreesOf(d.Steer.HeadingMagnetic))}
	if p, ok := d.first(); ok {
		rows = append(rows, d.stateWord(p)+" "+words.Mark(p.Kind)+" "+frame.Clean(p.Text))
	}
	sentence := fmt.Sprintf("The flying screen needs %d columns and %d rows of its own; here are %d and %d.",
		minWidth, minHeight, size.Width, size.Height)
	return frame.Block(append(rows, frame.Wrap(sentence, size.Width)...), size.Width, size.Height)
}
