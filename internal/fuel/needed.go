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

// outlook is what the tanks can still feed from a point on, from what is left in them, how much of that the last may feed, the most that each can feed at a
// time and, for a couple, how near it is to its limit. Steps are whole ones: a last one that is short, which may be fed where no whole one could, is not counted.
type outlook struct {
	*lattice
	rest    int            // steps to the end
	left    [mostTanks]int // steps, by loose tank
	ifLast  [mostTanks]int // the same if it is the last; below 0 where it can't be
	couples [mostTanks / 2]coupleOutlook
}

// over begins to look over a lattice, for so many changes at most.
func (o *outlook) over(l *lattice, changes int) {
	o.lattice, o.left = l, [mostTanks]int{}
	for i := range l.couples {
		o.couples[i].over(&l.couples[i], changes)
	}
}

// look looks ahead from a point.
func (o *outlook) look(counts *[mostTanks]int, step int) {
	l := o.lattice
	if o.rest = l.steps - step; l.shortBy > 0 {
		o.rest--
	}
	for _, tank := range l.loose {
		o.left[tank], o.ifLast[tank] = l.most[tank]-counts[tank], l.ifLast[tank]-counts[tank]
	}
	for i := range l.couples {
		o.couples[i].look(l, counts)
	}
}

// canEnd reports whether, as far as can be told, the flight can be ended with so many changes after one to a tank.
func (o *outlook) canEnd(inUse, changes int) bool {
	changes = min(changes, o.rest+1) // of the turns before them all but one at the very beginning feed a step or more
	for _, last := range o.loose {
		if o.ifLast[last] >= 0 && o.canEndIn(inUse, changes, last, -1) {
			return true
		}
	}
	for last := range o.lattice.couples {
		if o.canEndIn(inUse, changes, -1, last) {
			return true
		}
	}
	return false
}

// canEndIn does so with a loose tank as the last, or with one of a couple.
func (o *outlook) canEndIn(inUse, changes, loose, coupled int) bool {
	// The most that can be fed by the loose tanks, then by them and the first couple, and so on, by the number of changes to them.
	var room [mostChanges + 1]int32
	fed := room[:changes+1]
	if o.feedLoose(fed, inUse, loose) {
		return true
	}
	couples := o.lattice.couples
	for i := range couples {
		feeds, least, from := o.couples[i].feeds(inUse, i == coupled), 0, 0
		if i == coupled { // the change to the last tank is one to it
			least = min(1, changes)
		}
		if i == 0 && len(o.loose) == 0 { // there is nothing to add it to
			if copy(fed, feeds); least > 0 {
				fed[0] = never
			}
			continue
		}
		if i == len(couples)-1 {
			from = changes
		}
		for n := changes; n >= from; n-- {
			fed[n] = mostOf(fed[:n+1], feeds, least)
		}
	}
	return fed[changes] >= int32(o.rest)
}

// never is how much is fed in a way that can't be.
const never = math.MinInt32 / 4

// mostOf is the most that is fed in two ways by the number of changes, if so many are made in all and at least some the second way.
func mostOf(one, other []int32, least int) int32 {
	most := int32(never)
	for n := least; n < len(one); n++ {
		most = max(most, one[len(one)-1-n]+other[n])
	}
	return most
}

// feedLoose is the most that the loose tanks can feed, by the number of changes to them. If one of them is in use it has a turn without a change; if one is
// to be the last it has the turn of a change, unless there is none. It reports whether that is enough.
func (o *outlook) feedLoose(fed []int32, inUse, last int) bool {
	if len(o.loose) == 0 {
		return false
	}
	left, total := o.left, 0
	if last >= 0 {
		left[last] = o.ifLast[last]
	}
	for n := range fed {
		turn := inUse
		switch {
		case n == 1 && last >= 0:
			turn = last
		case n > 0:
			turn = o.loosest(&left)
		}
		feeds := min(left[turn], o.atOnce[turn])
		left[turn] -= feeds
		total += feeds
		fed[n] = int32(total)
		if last >= 0 && n == 0 && (len(fed) > 1 || inUse != last) {
			fed[n] = never
		}
		if fed[n] >= int32(o.rest) {
			return true
		}
	}
	return false
}

// loosest is the loose tank that can feed most at a time.
func (o *outlook) loosest(left *[mostTanks]int) int {
	best, most := 0, 0
	for _, tank := range o.loose {
		if feeds := min(left[tank], o.atOnce[tank]); feeds > most {
			best, most = tank, feeds
		}
	}
	return best
}

// coupleOutlook is what a couple can still feed. It is worked out once for what its tanks have fed.
type coupleOutlook struct {
	*couple
	most    int          // changes
	found   paged[int32] // by what the tanks have fed: 1 more than where the figures begin; 0: nowhere yet
	figures []int32      // steps, by the tank in use (neither of them at the end), whether the last is to be one of them, and the number of changes to them
	at      int          // where those of this point begin
}

func (o *coupleOutlook) over(c *couple, changes int) {
	o.couple, o.most, o.figures = c, changes, o.figures[:0]
	o.found.clear()
}

// look works out the figures of a point.
func (o *coupleOutlook) look(l *lattice, counts *[mostTanks]int) {
	one, other := o.tanks[0], o.tanks[1]
	found := o.found.at(counts[one]*(l.most[other]+1) + counts[other])
	if *found == 0 {
		*found = int32(len(o.figures)) + 1
		ahead := counts[one] - counts[other]
		turns := coupleTurns{
			left:   [2]int{l.most[one] - counts[one], l.most[other] - counts[other]},
			ifLast: [2]int{l.ifLast[one] - counts[one], l.ifLast[other] - counts[other]},
			room:   [2]int{o.room[0] - ahead, o.room[1] + ahead},
			inTime: o.inTime,
		}
		for _, inUse := range [...]int{0, 1, -1} {
			for _, last := range [...]bool{false, true} {
				for changes := range o.most + 1 {
					o.figures = append(o.figures, int32(turns.feed(inUse, changes, last)))
				}
			}
		}
	}
	o.at = int(*found) - 1
}

// feeds is the most that the couple can feed from the point that was looked at, by the number of changes to one of its tanks.
func (o *coupleOutlook) feeds(inUse int, last bool) []int32 {
	row := 4
	switch inUse {
	case o.tanks[0]:
		row = 0
	case o.tanks[1]:
		row = 2
	}
	if last {
		row++
	}
	from := o.at + row*(o.most+1)
	return o.figures[from : from+o.most+1]
}

// coupleTurns are the turns that the tanks of a couple can still have.
type coupleTurns struct {
	left, ifLast, room [2]int // by tank: steps that it can feed, that it can if it is the last, and that it can be fed more than the other
	inTime             int    // steps that fit into the longest time on one tank
}

// feed is the most that is fed with so many changes to one of the two. If one of them is in use (−1: neither) it has a turn without a change.
func (t *coupleTurns) feed(inUse, changes int, last bool) int {
	firsts := []int{inUse}
	turns := changes + 1
	if inUse < 0 {
		firsts, turns = []int{0, 1}, changes
	}
	most := never
	for _, first := range firsts {
		if !last {
			most = max(most, t.feedInTurn(first, turns, turns, t.left))
			continue
		}
		for tank, left := range t.ifLast {
			if left < 0 {
				continue
			}
			alternating := turns
			if (tank == first) != (turns%2 == 1) { // one of the two has two turns in a row
				alternating--
			}
			lefts := t.left
			lefts[tank] = left
			if alternating > 0 {
				most = max(most, t.feedInTurn(first, turns, alternating, lefts))
			}
		}
	}
	return most
}

// feedInTurn is the most that is fed in so many turns of which the first is of a given tank. It has no more room than there is now, a later one the whole of
// it. Turns may as well alternate: two in a row of one tank feed no more than one as far as there is room, and as far as there is time it doesn't matter
// whose they are.
func (t *coupleTurns) feedInTurn(first, turns, alternating int, left [2]int) int {
	if turns == 0 {
		return 0
	}
	width, second := t.room[0]+t.room[1], 1-first
	var most [2]int
	most[first] = min(left[first], t.room[first]+(alternating+1)/2*width-width)
	most[second] = min(left[second], alternating/2*width)
	fed := min(most[0], most[1]+t.room[0]) + min(most[1], most[0]+t.room[1])
	return min(fed, min(t.room[first], t.inTime)+(turns-1)*t.inTime)
}
