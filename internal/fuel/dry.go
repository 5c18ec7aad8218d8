package fuel

import (
	"math"
	"slices"
)

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
	sets := [][]burnLimit{{fed(-factor, factor, room), fed(0, factor, room+usable[one])}}
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
func (s *twoTanks) bandOf(t terms, limit, slack float64) band {
	var b band
	pair, factors := [2]int{0, 1}, s.factors
	if factor := s.dryFactor(t); factor > 0 && !math.IsInf(limit, 1) {
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

// dryPieces are the convex sets of which one must be kept: every choice of one set for each tank.
func (b *band) dryPieces() [][]burnLimit {
	if b.dry[0] == nil {
		return [][]burnLimit{nil}
	}
	var pieces [][]burnLimit
	for _, first := range b.dry[0] {
		for _, second := range b.dry[1] {
			pieces = append(pieces, slices.Concat(first, second))
		}
	}
	return pieces
}
