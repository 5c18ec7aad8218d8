package tanks

import "example.com/legclock/tui/screen"

// view is what is shown where not everything has room.
type view int

const (
	viewTanks view = iota
	viewOverTime
	viewFigures
	views
)

// String is the view as the legend names it.
func (v view) String() string {
	return [...]string{"tanks", "over time", "figures"}[v]
}

func (v view) next() view { return (v + 1) % views }

// Sizes from which more than one view is shown at a time.
const (
	allWidth   = 116
	allHeight  = 28
	tallHeight = 36
)

// layout says which parts there are and how many rows they have; facts is a width.
type layout struct {
	head, legend                   bool
	loud                           int
	picture, beam, changes, figure int
	overTime                       int // rows
	gap                            int // before beam and changes
	facts                          int
	beside                         int // width of what stands right of picture and beam; 0: nothing
}

// Rows and cells of the parts.
const (
	leastPicture = borderRows + captionRows + leastTankRows + 1
	mostPicture  = 30
	leastChanges = 3
	factsWidth   = 24
	factsWide    = 40

	leastFacts    = 29 // of all at once
	widestChanges = 53
)

// layoutOf deals out the rows: first what is loud, then the head and the keys, then the view.
func layoutOf(size screen.Size, v view, loud, beam, changes int) layout {
	var l layout
	left := size.Height
	take := func(rows, keep int) int {
		rows = max(0, min(rows, left-keep))
		left -= rows
		return rows
	}
	l.loud = take(loud, min(3, size.Height-1))
	l.head = take(1, 3) == 1
	l.legend = left > leastPicture && take(1, 3) == 1
	switch {
	case size.Width >= allWidth && size.Height >= allHeight:
		l.all(size, take, beam, changes)
	case v == viewOverTime:
		l.overTime = take(left-min(changes+1, max(0, left-16)), 0)
		l.changes = take(left, 0)
	case v == viewFigures:
		l.changes = take(min(changes+1, max(leastChanges, left/3)), leastChanges)
		l.figure = take(left, 0)
	default:
		l.pictured(size, take, &left, beam, changes)
	}
	return l
}

// pictured is the view of the tanks: the picture, the beam, the changes; in a high window what happens over time below them.
func (l *layout) pictured(size screen.Size, take func(rows, keep int) int, left *int, beam, changes int) {
	if size.Height >= tallHeight {
		l.overTime = take(*left*2/5, 0)
	}
	if *left >= leastPicture+beam {
		l.beam = take(beam, leastPicture)
	}
	if *left >= leastPicture+leastChanges {
		l.changes = take(min(changes+1, max(leastChanges, (*left-leastPicture)/2)), leastPicture)
	}
	if *left >= leastPicture+8 {
		l.gap = take(2, 0) / 2
	}
	l.picture = take(mostPicture, 0)
	l.changes += take(max(0, changes+1-l.changes), 0)
	switch {
	case size.Width >= 130:
		l.facts = factsWide
	case size.Width >= 72:
		l.facts = factsWidth
	}
}

// all is everything at once: picture and beam at the left, what happens over time beside them, figures and changes below.
func (l *layout) all(size screen.Size, take func(rows, keep int) int, beam, changes int) {
	const leastBelow = 9
	l.gap = 1
	l.beside = size.Width / 2
	l.changes = take(max(leastBelow, min(changes+1, size.Height/3)), leastPicture+beam)
	take(2*l.gap, leastPicture+beam)
	l.beam = take(beam, leastPicture)
	l.picture = take(mostPicture, 0)
	l.changes += take(size.Height, 0)
}
