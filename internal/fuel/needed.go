package fuel

import "math"

// countNeeded works out how many changes are certainly needed after one, from the most that a tank can feed at a time.
func (l *lattice) countNeeded() {
	l.needed = make([]int, l.steps+1)
	if l.steps == 0 {
		return
	}
	mostBurn := l.stepBurn
	for tank, usable := range l.usable {
		feeds := usable
		for _, side := range l.pairsOf[tank] {
			if p := l.pairs[side.pair]; p.outside == 0 {
				feeds = min(feeds, p.high-p.low)
			}
		}
		mostBurn = max(mostBurn, feeds)
	}
	mostMinutes := l.terms.longest
	if l.lastChange >= 0 { // nothing can be done about the time after it
		mostMinutes = max(mostMinutes, l.terms.line.end-l.minutes[l.lastChange])
	}
	for step := range l.needed {
		byBurn := (float64(l.steps-step)*l.stepBurn - l.shortBy) / mostBurn
		byMinutes := (l.terms.line.end - l.minutes[step]) / mostMinutes
		l.needed[step] = int(min(max(0, math.Ceil(max(byBurn, byMinutes)-tolerance)-1), mostChanges))
	}
}

// wholeSteps is how many steps of the flight a quantity is burned in, without a last one that is short.
func (l *lattice) wholeSteps(quantity float64) int {
	if l.steps == 0 {
		return 0
	}
	return int(max(0, min(quantity/l.stepBurn+tolerance, float64(l.steps))))
}

// stepsInTime is the most steps that fit into the longest time on one tank. Nothing can be done about the time after the last change.
func (l *lattice) stepsInTime() int {
	most, from := l.steps-max(0, l.lastChange), 0
	for step, minutes := range l.minutes {
		for minutes > l.minutes[from]+l.terms.longest+tolerance {
			from++
		}
		most = max(most, step-from)
	}
	return most
}

// couple is two tanks that a limit compares and that begin within it. No tank is in two.
type couple struct {
	tanks  [2]int // active
	room   [2]int // by tank: steps that it can be fed more than the other
	inTime int    // steps that fit into the longest time on one tank
}

// findTurns finds the most that each tank can feed from one change to the next, and the couples.
func (l *lattice) findTurns() {
	l.atOnce, l.couples, l.loose = l.atOnce[:0], l.couples[:0], l.loose[:0]
	inTime := l.stepsInTime()
	for _, most := range l.most {
		l.atOnce = append(l.atOnce, min(most, inTime))
	}
	var taken [mostTanks]bool
	for _, p := range l.pairs {
		if p.outside != 0 {
			continue
		}
		low, high := max(p.low, -l.highestAllowed-p.difference), min(p.high, l.highestAllowed-p.difference)
		for _, tank := range []int{p.one, p.other} {
			if tank >= 0 {
				l.atOnce[tank] = min(l.atOnce[tank], l.wholeSteps(high-low))
			}
		}
		if p.one < 0 || p.other < 0 || taken[p.one] || taken[p.other] {
			continue
		}
		taken[p.one], taken[p.other] = true, true
		shift := l.shift(&p, &[mostTanks]int{})
		l.couples = append(l.couples, couple{[2]int{p.one, p.other}, [2]int{l.wholeSteps(shift - low), l.wholeSteps(high - shift)}, inTime})
	}
	for tank := range l.active {
		if !taken[tank] {
			l.loose = append(l.loose, tank)
		}
	}
	l.findLast()
}

// findLast finds for each tank how much it can have fed before and still be the last: the last step, if that is short, comes on top.
func (l *lattice) findLast() {
	l.ifLast = l.ifLast[:0]
	for tank, usable := range l.usable {
		most := usable / l.terms.fuelFactor
		if l.terms.reserve {
			most = min(most, usable-l.reserve)
		}
		most += tolerance - l.base[tank]
		if l.shortBy > 0 {
			most -= l.stepBurn - l.shortBy
		}
		ifLast := -1
		if most >= -tolerance {
			ifLast = min(l.wholeSteps(most), l.most[tank])
		}
		l.ifLast = append(l.ifLast, ifLast)
	}
}

// outlook is what the tanks can still feed from a point on, from what is left in them, the most that each can feed at a time and, for a couple,
// how near it is to its limit. Steps are whole ones: a last one that is short, which may be fed where no whole one could, is not counted.
type outlook struct {
	*lattice
	rest    int            // steps to the end
	lasts   int            // steps that all tanks can feed with any number of changes; −1 where none of them can be the last
	left    [mostTanks]int // steps, by active tank
	ifLast  [mostTanks]int // the same if it is the last; below 0 where it can't be
	couples [mostTanks / 2]coupleOutlook
}

// look looks ahead from a point.
func (o *outlook) look(counts *[mostTanks]int, step int) {
	l := o.lattice
	if o.rest = l.steps - step; l.shortBy > 0 {
		o.rest--
	}
	for tank, most := range l.most {
		o.left[tank], o.ifLast[tank] = most-counts[tank], l.ifLast[tank]-counts[tank]
	}
	for i := range l.couples {
		o.couples[i].look(l, &l.couples[i], counts)
	}
	o.lasts = -1
	for tank := range l.active {
		if o.ifLast[tank] < 0 {
			continue
		}
		o.lasts = max(o.lasts, o.lastsWith(tank))
		if o.ifLast[tank] == o.left[tank] { // no other tank can do better
			break
		}
	}
}

// lastsWith is what all tanks can feed with any number of changes, if a given one is last.
func (o *outlook) lastsWith(last int) int {
	left := o.left
	left[last] = o.ifLast[last]
	lasts := 0
	for _, tank := range o.loose {
		lasts += left[tank]
	}
	for i, c := range o.lattice.couples {
		lasts += fedByCouple([2]int{left[c.tanks[0]], left[c.tanks[1]]}, o.couples[i].room)
	}
	return lasts
}

// canEnd reports whether, as far as can be told, the flight can be ended with so many changes after one to a tank.
func (o *outlook) canEnd(inUse, changes int) bool {
	if o.lasts < o.rest || changes == 0 && o.ifLast[inUse] < o.rest {
		return false
	}
	changes = min(changes, o.rest)
	// The most that can be fed by the loose tanks, then by them and the first couple, and so on, by the number of changes to them.
	var fed, byCouple [mostChanges + 1]int
	left := o.left
	for n := range changes + 1 {
		fed[n] = fed[max(0, n-1)] + o.feedLoose(&left, inUse, n)
		if fed[n] >= o.rest {
			return true
		}
	}
	for i := range o.lattice.couples {
		for n := range changes + 1 {
			byCouple[n] = o.couples[i].feeds(inUse, n)
		}
		for n := changes; n >= 0; n-- {
			for toCouple, feeds := range byCouple[:n+1] {
				fed[n] = max(fed[n], fed[n-toCouple]+feeds)
			}
		}
	}
	return fed[changes] >= o.rest
}

// feedLoose takes the most that one of the loose tanks can feed at a time from what is left in it; after no change that one is the tank in use.
func (o *outlook) feedLoose(left *[mostTanks]int, inUse, changes int) int {
	best, most := 0, 0
	for _, tank := range o.loose {
		if feeds := min(left[tank], o.atOnce[tank]); feeds > most && (changes > 0 || tank == inUse) {
			best, most = tank, feeds
		}
	}
	left[best] -= most
	return most
}

// coupleOutlook is what a couple can still feed.
type coupleOutlook struct {
	*couple
	left, room [2]int // by tank: steps
}

func (o *coupleOutlook) look(l *lattice, c *couple, counts *[mostTanks]int) {
	one, other := c.tanks[0], c.tanks[1]
	ahead := counts[one] - counts[other]
	o.couple = c
	o.left = [2]int{l.most[one] - counts[one], l.most[other] - counts[other]}
	o.room = [2]int{c.room[0] - ahead, c.room[1] + ahead}
}

// feeds is the most that the couple can feed with so many changes to one of its tanks. If one is in use it has a turn without a change.
func (o *coupleOutlook) feeds(inUse, changes int) int {
	switch inUse {
	case o.tanks[0]:
		return o.feedsFrom(0, changes+1)
	case o.tanks[1]:
		return o.feedsFrom(1, changes+1)
	}
	return max(o.feedsFrom(0, changes), o.feedsFrom(1, changes))
}

// feedsFrom is the most that the couple can feed in so many turns of which the first is of a given tank. It has no more room than there is now, a later
// one the whole of it. Turns may as well alternate: two in a row of one tank feed no more than one as far as there is room, and as far as there is time
// it doesn't matter whose they are.
func (o *coupleOutlook) feedsFrom(first, turns int) int {
	if turns == 0 {
		return 0
	}
	width, second := o.room[0]+o.room[1], 1-first
	var most [2]int
	most[first] = min(o.left[first], o.room[first]+(turns+1)/2*width-width)
	most[second] = min(o.left[second], turns/2*width)
	return min(fedByCouple(most, o.room), min(o.room[first], o.inTime)+(turns-1)*o.inTime)
}

// fedByCouple is how much two tanks can feed that each could feed so much, neither more than its room beyond what the other does.
func fedByCouple(most, room [2]int) int {
	return min(most[0], most[1]+room[0]) + min(most[1], most[0]+room[1])
}
