package fuel

import (
	"math"
	"slices"
)

// stretch is a part of the flight with one flow, placed in time and in planned burn.
type stretch struct {
	start, end    float64 // minutes
	startBurn     float64 // planned quantity burned before it
	flowPerMinute float64
	changeAllowed bool
	phase         string
}

// burnAt is the planned quantity burned up to a time within the stretch.
func (s stretch) burnAt(minutes float64) float64 {
	return s.startBurn + s.flowPerMinute*(minutes-s.start)
}

// timeline is the flight to come: stretches without gaps from minute 0.
type timeline struct {
	stretches []stretch
	end       float64 // minutes
	burn      float64 // planned quantity burned from minute 0 to the end
}

func newTimeline(burns []Burn) timeline {
	line := timeline{stretches: make([]stretch, 0, len(burns))}
	for _, burn := range burns {
		line.add(burn.Minutes, burn.FlowPerHour/minutesPerHour, burn.ChangeAllowed, burn.Phase)
	}
	return line
}

func (l *timeline) add(minutes, flowPerMinute float64, changeAllowed bool, phase string) {
	if minutes <= 0 {
		return
	}
	l.stretches = append(l.stretches, stretch{l.end, l.end + minutes, l.burn, flowPerMinute, changeAllowed, phase})
	l.end += minutes
	l.burn += minutes * flowPerMinute
}

// merged joins neighbours that differ in nothing but their phase.
func (l timeline) merged() timeline {
	out := timeline{stretches: make([]stretch, 0, len(l.stretches))}
	for _, s := range l.stretches {
		if last := len(out.stretches) - 1; last >= 0 &&
			out.stretches[last].flowPerMinute == s.flowPerMinute && out.stretches[last].changeAllowed == s.changeAllowed {
			out.stretches[last].end = s.end
			continue
		}
		out.stretches = append(out.stretches, s)
	}
	out.end, out.burn = l.end, l.burn
	return out
}

// burnAt is the planned quantity burned up to a time; before minute 0 none, after the end all.
func (l timeline) burnAt(minutes float64) float64 {
	if minutes <= 0 {
		return 0
	}
	for _, s := range l.stretches {
		if minutes <= s.end {
			return s.burnAt(minutes)
		}
	}
	return l.burn
}

// timeAtBurn is the latest time at which no more than a planned quantity has been burned.
func (l timeline) timeAtBurn(burn float64) float64 {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		s := l.stretches[i]
		if burn < s.startBurn {
			continue
		}
		if s.flowPerMinute == 0 {
			return s.end
		}
		return min(s.end, s.start+(burn-s.startBurn)/s.flowPerMinute)
	}
	return 0
}

// until cuts the flight off at a time.
func (l timeline) until(minutes float64) timeline {
	var out timeline
	for _, s := range l.stretches {
		out.add(min(s.end, minutes)-s.start, s.flowPerMinute, s.changeAllowed, s.phase)
	}
	return out
}

// firstChange is the earliest time that a change is allowed; the end if none is.
func (l timeline) firstChange() float64 {
	for _, s := range l.stretches {
		if s.changeAllowed {
			return s.start
		}
	}
	return l.end
}

// lastChange is the latest time that a change is allowed; the start if none is.
func (l timeline) lastChange() float64 {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		if l.stretches[i].changeAllowed {
			return l.stretches[i].end
		}
	}
	return 0
}

// allowsChange reports whether a change may be made at a time, give or take a tolerance.
func (l timeline) allowsChange(minutes float64) bool {
	for _, s := range l.stretches {
		if s.changeAllowed && minutes >= s.start-tolerance && minutes <= s.end+tolerance {
			return true
		}
	}
	return false
}

// phaseAt names what goes on at a time; of two that meet, the later.
func (l timeline) phaseAt(minutes float64) string {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		if minutes >= l.stretches[i].start {
			return l.stretches[i].phase
		}
	}
	return ""
}

// opened allows changes in a share (0 to 1) of the time in which they are not allowed, keeping as far from the ground as
// that goes: the last part of what comes before the first allowed time, the first part of what comes after the last, and
// both ends of what lies between.
func (l timeline) opened(share float64) timeline {
	var out timeline
	for first := 0; first < len(l.stretches); {
		s := l.stretches[first]
		if s.changeAllowed {
			out.add(s.end-s.start, s.flowPerMinute, true, s.phase)
			first++
			continue
		}
		next := first
		for next < len(l.stretches) && !l.stretches[next].changeAllowed {
			next++
		}
		closedFrom, closedTo := stillClosed(s.start, l.stretches[next-1].end, l.end, share)
		for _, quiet := range l.stretches[first:next] {
			out.addPartlyClosed(quiet, closedFrom, closedTo)
		}
		first = next
	}
	return out
}

// stillClosed is what remains of the closed time from start to end when a share of it is opened.
func stillClosed(start, end, flightEnd, share float64) (from, to float64) {
	opened := share * (end - start)
	switch {
	case end >= flightEnd:
		return start + opened, end
	case start <= 0:
		return start, end - opened
	default:
		return start + opened/2, end - opened/2
	}
}

func (l *timeline) addPartlyClosed(s stretch, closedFrom, closedTo float64) {
	from, to := max(s.start, closedFrom), min(s.end, closedTo)
	if from >= to {
		l.add(s.end-s.start, s.flowPerMinute, true, s.phase)
		return
	}
	l.add(from-s.start, s.flowPerMinute, true, s.phase)
	l.add(to-from, s.flowPerMinute, false, s.phase)
	l.add(s.end-to, s.flowPerMinute, true, s.phase)
}

// The extra burn takes no more from a tank than is usable in it. Where a course has the fuel for it nothing comes of that, and the
// limit is a band for the shift. Where it hasn't, a tank that ran dry keeps what it holds while the other goes on, and what keeps
// the limit is no band any more, nor one convex set of times and shifts, but the union of a few that are: see [asFarAsItGoes].

// dryFactor is the multiple of the planned burn for which a course that keeps terms may run a tank dry; 0 if for none.
func (p *problem) dryFactor(t terms) float64 {
	if most := p.factors[len(p.factors)-1]; t.fuelFactor < most {
		return most
	}
	return 0
}

// burnLimit holds the moments of a flight on two tanks at which burn·perBurn + shift·perShift ≤ most, with the planned burn since
// minute 0 and the part of it from the second tank less that from the first.
type burnLimit struct{ perBurn, perShift, most float64 }

// fedLimit is a limit to first × what the first tank has fed + second × what the second has, by the planned burn.
func fedLimit(first, second, most float64) burnLimit {
	return burnLimit{(first + second) / 2, (second - first) / 2, most}
}

func (l burnLimit) keeps(burn, shift float64) bool { return burn*l.perBurn+shift*l.perShift <= l.most }

// shifts are the lowest and the highest shift that keep limits at a given burn.
func shifts(limits []burnLimit, burn, low, high float64) (lowest, highest float64) {
	for _, l := range limits {
		most := l.most - burn*l.perBurn
		switch {
		case l.perShift > 0:
			high = min(high, most/l.perShift)
		case l.perShift < 0:
			low = max(low, most/l.perShift)
		case most < 0:
			return 1, 0
		}
	}
	return low, high
}

// asFarAsItGoes are the sets of moments, each the common part of its limits, at which the quantity of one tank (0 or 1) is no more
// than a given amount above that of the other, when a multiple of the planned burn is used as far as each tank's usable fuel goes:
//
//	min(usable of the other, factor·fed by the other) − min(usable of the one, factor·fed by the one) ≤ room
//
// with room the amount less what the one has more at minute 0. The first minimum is the lesser of two, and so one of the two has to
// be small enough; the second, with its minus, is the greater of two, and so both have to.
func asFarAsItGoes(one int, usable [2]float64, factor, room float64) [][]burnLimit {
	other := 1 - one
	fed := func(byOne, byOther, most float64) burnLimit {
		if one == 0 {
			return fedLimit(byOne, byOther, most)
		}
		return fedLimit(byOther, byOne, most)
	}
	sets := make([][]burnLimit, 1, 2)
	sets[0] = []burnLimit{fed(-factor, factor, room), fed(0, factor, room+usable[one])}
	if usable[other]-usable[one] <= room {
		sets = append(sets, []burnLimit{fed(-factor, 0, room-usable[other])})
	}
	return sets
}

// band is what the shift has to keep for an imbalance limit.
type band struct {
	low, high float64
	// dry are, where the extra burn may run a tank dry, the sets of which one must be kept for the first tank not to be too much
	// the fuller, and those for the second; nil where low and high say it all.
	dry    [2][][]burnLimit
	pieces [][]burnLimit // the same as convex sets of which one must be kept
}

// bandOf is the band for a limit, widened by a slack. Where the extra burn may run a tank dry the ends are those of the planned burn,
// and the sets of the extra burn stand beside them.
func (s *twoTanks) bandOf(t *terms, limit, slack float64) band {
	var b band
	pair, factors := [2]int{0, 1}, s.factors
	if factor := s.dryFactor(*t); factor > 0 && !math.IsInf(limit, 1) {
		usable := [2]float64{s.usable[0], s.usable[1]}
		difference := s.request.Quantities[0] - s.request.Quantities[1]
		b.dry[0] = asFarAsItGoes(0, usable, factor, limit-difference+slack)
		b.dry[1] = asFarAsItGoes(1, usable, factor, limit+difference+slack)
		factors = factors[:1]
	}
	b.pieces = b.dryPieces()
	whole := t.line.burn + 1
	b.low, b.high = s.problem.band(pair, limit, factors)
	b.low, b.high = max(b.low-slack, -whole), min(b.high+slack, whole)
	return b
}

// keepsDry reports whether one of the sets for a tank not to be too much the fuller is kept; without any there is nothing to keep.
func (b *band) keepsDry(tank int, burn, shift float64) bool {
	for _, limits := range b.dry[tank] {
		if !slices.ContainsFunc(limits, func(l burnLimit) bool { return !l.keeps(burn, shift) }) {
			return true
		}
	}
	return len(b.dry[tank]) == 0
}

// noLimits are the one piece of a band that low and high say all of.
var noLimits = [][]burnLimit{nil}

// dryPieces are the convex sets of which one must be kept: every choice of one set for each tank.
func (b *band) dryPieces() [][]burnLimit {
	if b.dry[0] == nil {
		return noLimits
	}
	pieces := make([][]burnLimit, 0, len(b.dry[0])*len(b.dry[1]))
	for _, first := range b.dry[0] {
		for _, second := range b.dry[1] {
			pieces = append(pieces, slices.Concat(first, second))
		}
	}
	return pieces
}
