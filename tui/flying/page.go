package flying

import (
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// page is how the screen is drawn in one theme and size, with what was drawn last. In most seconds little that it shows is another: a part is drawn
// from what it shows and from nothing else, and so only when that has changed.
type page struct {
	theme  theme.Theme
	size   screen.Size
	glyphs frame.Glyphs
	width  int // of the part that the figures stand in

	steers  frame.Kept[steerShown, figure]
	nexts   frame.Kept[nextShown, figure]
	whens   frame.Kept[whenShown, figure]
	clocks  frame.Kept[legClockShown, figure]
	points  frame.Kept[nextPointShown, figure]
	changes frame.Kept[tankChangeShown, figure]
	words   [6]frame.Kept[wordsShown, []string]
	digits  map[digit][]string
	mores   frame.Kept[string, string]

	ways     frame.Kept[wayShown, [2]string]
	alongs   frame.Kept[alongShown, string]
	levels   frame.Kept[levelShown, levelTexts]
	speeds   frame.Kept[speedShown, string]
	landings frame.Kept[landingShown, string]
	fuels    frame.Kept[fuelShown, string]
	cautions frame.Kept[cautionShown, string]

	grid      frame.KeptList[aheadShown, gridShown, []string]
	ahead     *frame.Table[aheadShown]
	aheadHead string
	listed    frame.KeptRows[aheadShown]
	times     frame.KeptRows[clockShown]
	counted   frame.KeptRows[countShown]

	tanks         frame.KeptList[tankShown, int, panel]
	radio         frame.KeptList[receiverShown, int, panel]
	cleared       frame.Kept[clearedShown, panel]
	alternates    *frame.Table[alternateShown]
	alternateRows frame.KeptRows[alternateShown]
	alternateHead string
	report        frame.Kept[reportShown, panel]
	log           frame.KeptList[flight.Entry, int, panel]
	stacked       frame.KeptRows[stackedShown]
	more          frame.KeptRows[int]

	joined frame.KeptRows[joint]

	columns [1 + 2*(1+frame.BigLarge+2)][3]column // of the first rows; empty: the row is text

	// Room that is used again.
	panels                             [6]panel
	rows, left, aheadRows, third, list []string
	strip, under                       frame.Strip
	shown                              []aheadShown
	level                              []tankShown
	tuned                              []receiverShown
}

// at is the page of a theme and a size.
func (s *Screen) at(t theme.Theme, size screen.Size) *page {
	if s.page == nil || s.page.theme != t || s.page.size != size {
		s.page = &page{theme: t, size: size, glyphs: t.Glyphs(), width: size.Width}
		if s.page.beside() {
			s.page.width = figuresEnd
		}
	}
	return s.page
}

// beside reports whether the list ahead stands beside the figures.
func (p *page) beside() bool { return p.size.Width >= besideFrom && p.size.Height >= roomForDigits }

// rest is the width of the part beside the figures, and of the third one; 0 where there is none.
func (p *page) rest() (ahead, third int) {
	switch {
	case !p.beside():
		return 0, 0
	case p.size.Width < thirdFrom:
		return p.size.Width - figuresEnd, 0
	}
	return aheadWidth, p.size.Width - figuresEnd - aheadWidth
}

// joint is what stands beside each other in a row of the screen.
type joint struct {
	columns            [3]column // in place of what is left
	left, ahead, third string
	marked             bool // the row ahead is
}

// join sets the parts of a row beside each other; those beside the figures keep their distance from them.
func (p *page) join(j joint) string {
	var row frame.Row
	if j.columns != ([3]column{}) {
		p.drawColumns(&row, j.columns, len(j.ahead)+len(j.third)+p.size.Width)
	} else {
		row.Grow(len(j.left) + len(j.ahead) + len(j.third) + p.size.Width)
		row.Fit(j.left, p.width)
	}
	ahead, third := p.rest()
	if ahead > 0 {
		mark := ""
		if j.marked {
			mark = ">"
		}
		row.Pad(gutter - len(mark))
		row.Fit(mark, len(mark))
		row.Fit(j.ahead, ahead-gutter)
	}
	if third > 0 {
		row.Pad(gutter)
		row.Fit(j.third, third-gutter)
	}
	return row.String()
}

// known is a figure that may be unknown.
type known struct {
	value float64
	is    bool
}

func knownOf(value *float64) known {
	if value == nil {
		return known{}
	}
	return known{*value, true}
}

func (k known) pointer() *float64 {
	if !k.is {
		return nil
	}
	return &k.value
}
