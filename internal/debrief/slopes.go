package debrief

import (
	"maps"
	"math"
	"slices"
)

// slopes are those between all pairs of values within each of some groups. They are not kept: a thousand values have half a million.
type slopes struct {
	groups       [][]placed
	values       int
	pairs        int
	falling      int     // pairs whose slope is less than 0
	level        int     // and those whose slope is 0
	most         float64 // size of a value
	widest       float64 // difference of places
	sorted, room []placed
}

// placed is a value at a place, and its height above a line of some slope.
type placed struct{ place, value, height float64 }

// add adds a group: values in the order of their places, no two at the same. It returns Kendall's S, the number of pairs that rise less that of those that fall,
// and its variance without a trend, ties allowed for (Kendall 1970).
func (s *slopes) add(group []placed) (difference int, variance float64) {
	s.groups = append(s.groups, group)
	s.values += len(group)
	for _, p := range group {
		s.most = max(s.most, math.Abs(p.value))
		s.widest = max(s.widest, p.place-group[0].place)
	}
	falling, level := s.sort(group, 0), 0
	variance = kendallVariance(len(group))
	for tied := 0; tied < len(s.sorted); {
		first := tied
		for tied < len(s.sorted) && s.sorted[tied].value == s.sorted[first].value {
			tied++
		}
		level += pairsOf(tied - first)
		variance -= kendallVariance(tied - first)
	}
	s.pairs, s.falling, s.level = s.pairs+pairsOf(len(group)), s.falling+falling, s.level+level
	return pairsOf(len(group)) - level - 2*falling, variance
}

func pairsOf(n int) int { return n * (n - 1) / 2 }

// kendallVariance is that of Kendall's S of so many values, or what it is less by if so many are the same.
func kendallVariance(count int) float64 {
	n := float64(count)
	return n * (n - 1) * (2*n + 5) / 18
}

// at is the slope at a rank, from 0, in the order of their size: the very number that sorting them all would give.
//
// The slope between two values is less than that of a line where the later one lies lower by the line. How many are less is therefore the number of pairs that are
// the wrong way round by height, and sorting counts them as it goes (Cole, Salowe, Steiger and Szemerédi 1989). By halving, the slope that is sought
// comes to lie between two bounds with few others, or with none but equals. All that may be between them, as far as rounding lets that be told, are then worked out.
func (s *slopes) at(rank int) float64 {
	if s.falling <= rank && rank < s.falling+s.level {
		return 0
	}
	rounding := 0x1p-46 * s.most * (1 + s.widest)
	low, high := -2*s.most, 2*s.most
	fromLow, fromHigh := 0, math.MaxInt
	for fromHigh-fromLow > s.values && (high-low)*s.widest > rounding {
		middle := (low + high) / 2
		if less := s.less(middle); less <= rank {
			low, fromLow = middle, less
		} else {
			high, fromHigh = middle, less
		}
	}
	between := map[float64]int{} // how many there are of each
	for _, group := range s.groups {
		rank -= s.sort(group, low)
		reach := (high-low)*s.widest + rounding
		for i, p := range s.sorted {
			for _, q := range s.sorted[i+1:] {
				if q.height > p.height+reach {
					break
				}
				first, then := p, q
				if p.place > q.place { // the slope was counted as less
					first, then = q, p
					rank++
				}
				between[(then.value-first.value)/(then.place-first.place)]++
			}
		}
	}
	for _, slope := range slices.Sorted(maps.Keys(between)) {
		if rank -= between[slope]; rank < 0 {
			return slope
		}
	}
	panic("debrief: no slope has the rank")
}

// less is how many slopes are less than one, but for rounding.
func (s *slopes) less(slope float64) int {
	less := 0
	for _, group := range s.groups {
		less += s.sort(group, slope)
	}
	return less
}

// sort puts a group into the order of the heights above a line of a slope, and returns how many pairs were the wrong way round.
func (s *slopes) sort(group []placed, slope float64) int {
	s.sorted = append(s.sorted[:0], group...)
	s.room = append(s.room[:0], group...)
	for i := range s.sorted {
		p := &s.sorted[i]
		p.height = p.value - slope*(p.place-group[0].place)
	}
	return mergeSort(s.sorted, s.room)
}

func mergeSort(list, room []placed) int {
	if len(list) < 2 {
		return 0
	}
	half := len(list) / 2
	wrong := mergeSort(list[:half], room[:half]) + mergeSort(list[half:], room[half:])
	copy(room, list)
	first, second := room[:half], room[half:]
	for i := range list {
		if len(second) == 0 || len(first) > 0 && first[0].height <= second[0].height {
			list[i], first = first[0], first[1:]
			continue
		}
		list[i], second = second[0], second[1:]
		wrong += len(first)
	}
	return wrong
}
