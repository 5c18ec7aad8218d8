package tanks

import "example.com/legclock/tui/screen"

// layout says which parts there are and how many rows they have; facts is a width.
type layout struct {
	head, legend                 bool
	loud, picture, beam, changes int
	gap                          int // before beam and changes
	facts                        int
}

// Rows and cells of the parts.
const (
	leastPicture = borderRows + captionRows + leastTankRows + 1
	mostPicture  = 30
	leastChanges = 3
	factsWidth   = 24
	factsWide    = 40
)

// layoutOf deals out the rows: first what is loud and the picture, then the head, the beam, the changes and the keys; what is left
// makes the picture higher.
func layoutOf(size screen.Size, loud, beam, changes int) layout {
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
	if left >= leastPicture+beam {
		l.beam = take(beam, leastPicture)
	}
	if left >= leastPicture+leastChanges {
		l.changes = take(min(changes+1, max(leastChanges, (left-leastPicture)/2)), leastPicture)
	}
	if left >= leastPicture+8 {
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
	return l
}
