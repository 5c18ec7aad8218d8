package route

// layout says which parts there are and how many rows they have.
type layout struct {
	title, legend, course, airy, gap bool
	points, landing                  int // with their heads, and the foot of the points
	clocks                           int
}

// Rows that parts need.
const (
	courseRows               = 5
	clocksSmall, clocksLarge = 6, 8 // label, digits, blank rows around
	leastRoute               = 7    // head, some points, the rule of the present, the foot
)

// layoutOf deals out the rows: first the table that the mark stands in, then keys, title and the other table; when all of
// those are there whole, pictures of the whole flight and blank rows.
func layoutOf(height, points, landing int, markOnLanding bool) layout {
	var l layout
	left := height
	l.legend = take(&left, 1, 5)
	l.title = take(&left, 1, 5)
	wantPoints, wantLanding := points+2, landing+1 // head and foot; head
	switch {
	case left >= leastRoute+3:
		l.points = min(wantPoints, max(leastRoute, left-wantLanding))
		l.landing = min(wantLanding, left-l.points)
	case markOnLanding:
		l.landing = min(wantLanding, left)
	default:
		l.points = min(wantPoints, left)
	}
	left -= l.points + l.landing
	l.gap = l.landing > 0 && take(&left, 1, 0)
	l.course = take(&left, courseRows, 0)
	if l.airy = left >= points/2; l.airy {
		airy := min(left, points/2)
		l.points += airy
		left -= airy
	}
	for _, rows := range []int{clocksLarge, clocksSmall} {
		if l.clocks == 0 && take(&left, rows, 0) {
			l.clocks = rows
		}
	}
	return l
}

// take gives rows away if that leaves enough.
func take(left *int, rows, keep int) bool {
	if *left-rows < keep {
		return false
	}
	*left -= rows
	return true
}
