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
	inTime := l.stepsInTime()
	for tank, most := range l.most {
		atOnce := min(most, inTime)
		for _, side := range l.pairsOf[tank] {
			if p := l.pairs[side.pair]; p.outside == 0 {
				atOnce = min(atOnce, l.wholeSteps(p.high-p.low))
			}
		}
		l.atOnce = append(l.atOnce, atOnce)
	}
	l.findCouples()
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

// wholeSteps is how many steps a quantity is burned in, no last one that is short among them.
func (l *lattice) wholeSteps(quantity float64) int { return int(quantity/l.stepBurn + tolerance) }

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
	tanks [2]int // active
	room  [2]int // by tank: steps that it can be fed more than the other
}

func (l *lattice) findCouples() {
	var taken [mostTanks]bool
	for _, p := range l.pairs {
		if p.one < 0 || p.other < 0 || p.outside != 0 || taken[p.one] || taken[p.other] {
			continue
		}
		taken[p.one], taken[p.other] = true, true
		shift := l.shift(&p, &[mostTanks]int{})
		l.couples = append(l.couples, couple{[2]int{p.one, p.other}, [2]int{l.wholeSteps(shift - p.low), l.wholeSteps(p.high - shift)}})
	}
	for tank := range l.active {
		if !taken[tank] {
			l.loose = append(l.loose, tank)
		}
	}
}

// outlook is what the tanks can still feed from a point on, from what is left in them, the most that each can feed at a time and, for a couple,
// how near it is to its limit. A last step that is short is left out, as it may be fed where no whole one could.
type outlook struct {
	*lattice
	rest    int            // steps to the end
	lasts   int            // steps that all tanks can feed with any number of changes
	left    [mostTanks]int // steps, by active tank
	couples [mostTanks / 2]coupleOutlook
	fed     [mostTanks/2 + 1][mostChanges + 1]int // see changesNeeded
}

// look looks ahead from a point.
func (o *outlook) look(counts *[mostTanks]int, step int) {
	l := o.lattice
	if o.rest = l.steps - step; l.shortBy > 0 {
		o.rest--
	}
	o.lasts = 0
	for tank, most := range l.most {
		o.left[tank] = most - counts[tank]
	}
	for _, tank := range l.loose {
		o.lasts += o.left[tank]
	}
	for i, c := range l.couples {
		o.couples[i].look(l, c, counts)
		o.lasts += o.couples[i].lasts()
	}
}

// changesNeeded is how many changes are certainly needed after one to a tank; more than a given number are not told apart.
func (o *outlook) changesNeeded(inUse, most int) int {
	if o.rest <= 0 {
		return 0
	}
	if o.lasts < o.rest {
		return most + 1
	}
	// fed is, by the number of changes to them, what can be fed by the loose tanks, by them and the first couple, and so on.
	couples := o.couples[:len(o.lattice.couples)]
	left := o.left
	for needed := range most + 1 {
		o.fed[0][needed] = o.feedLoose(&left, inUse, needed)
		if needed > 0 {
			o.fed[0][needed] += o.fed[0][needed-1]
		}
		for i := range couples {
			fed := 0
			for changes := range needed + 1 {
				fed = max(fed, couples[i].feeds(inUse, changes)+o.fed[i][needed-changes])
			}
			o.fed[i+1][needed] = fed
		}
		if o.fed[len(couples)][needed] >= o.rest {
			return needed
		}
	}
	return most + 1
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
	tanks              [2]int
	left, room, atOnce [2]int                  // by tank: steps; room is how many more than the other
	known              [2]int                  // of the next, by tank
	inTurns            [2][mostChanges + 2]int // by the tank whose turn is first, and the number of turns: the most that can be fed
}

func (o *coupleOutlook) look(l *lattice, c couple, counts *[mostTanks]int) {
	one, other := c.tanks[0], c.tanks[1]
	ahead := counts[one] - counts[other]
	o.tanks = c.tanks
	o.left = [2]int{l.most[one] - counts[one], l.most[other] - counts[other]}
	o.room = [2]int{c.room[0] - ahead, c.room[1] + ahead}
	o.atOnce = [2]int{l.atOnce[one], l.atOnce[other]}
	o.known = [2]int{1, 1} // in no turn nothing
}

// lasts is what the couple can feed with any number of changes: neither tank more than its room beyond what the other does.
func (o *coupleOutlook) lasts() int {
	return min(o.left[0], o.left[1]+o.room[0]) + min(o.left[1], o.left[0]+o.room[1])
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

// feedsFrom is the most that the couple can feed in so many turns of which the first is of a given tank. In that turn there is no more room than
// now, and no tank can ever feed more than its room beyond what the other does.
func (o *coupleOutlook) feedsFrom(first, turns int) int {
	second := 1 - first
	for ; o.known[first] <= turns; o.known[first]++ {
		most := 0
		for own := 1; own <= o.known[first]; own++ {
			one := min(o.left[first], min(o.room[first], o.atOnce[first])+(own-1)*o.atOnce[first])
			other := min(o.left[second], (o.known[first]-own)*o.atOnce[second])
			most = max(most, min(one, other+o.room[first])+min(other, one+o.room[second]))
		}
		o.inTurns[first][o.known[first]] = most
	}
	return o.inTurns[first][turns]
}
