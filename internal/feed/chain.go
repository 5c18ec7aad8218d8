package feed

import (
	"math"
	"slices"
	"time"
)

// overheadNM is how close counts as overhead: closer is not better.
const overheadNM = 0.25

// chain chooses at most one candidate of each target, their times in the targets' order, with the smallest sum of squared
// distances; a target left out counts as passed at the full distance. Of equal sums the one with the earlier times counts, the last
// target first. The result has an index for each target, or -1.
//
// It is solved target by target over the times of all candidates: cost[j] is the least sum for the targets so far with none of
// them later than times[j].
func chain(candidates [][]candidate, withinNM float64) []int {
	times := timesOf(candidates)
	cost := make([]float64, len(times))
	choices := make([][]int32, len(candidates)) // by target and time: the candidate that ends the best chain up to there, or -1
	for k, list := range candidates {
		choice := make([]int32, len(times))
		next := make([]float64, len(times))
		c := 0
		best, bestAt := math.Inf(1), int32(-1)
		for j, at := range times {
			for ; c < len(list) && !list[c].time.After(at); c++ { // candidates at times[j]
				if sum := cost[j] + square(max(list[c].distanceNM, overheadNM)); sum < best {
					best, bestAt = sum, int32(c)
				}
			}
			next[j], choice[j] = cost[j]+square(max(withinNM, overheadNM)), -1
			if best <= next[j] {
				next[j], choice[j] = best, bestAt
			}
		}
		cost, choices[k] = next, choice
	}
	return trace(candidates, times, choices)
}

// trace follows the choices back from the last target.
func trace(candidates [][]candidate, times []time.Time, choices [][]int32) []int {
	chosen := make([]int, len(candidates))
	j := len(times) - 1
	for k := len(candidates) - 1; k >= 0; k-- {
		chosen[k] = -1
		if j < 0 || choices[k][j] < 0 {
			continue
		}
		chosen[k] = int(choices[k][j])
		j, _ = slices.BinarySearchFunc(times, candidates[k][chosen[k]].time, time.Time.Compare)
	}
	return chosen
}

func timesOf(candidates [][]candidate) []time.Time {
	var times []time.Time
	for _, list := range candidates {
		for _, c := range list {
			times = append(times, c.time)
		}
	}
	slices.SortFunc(times, time.Time.Compare)
	return slices.CompactFunc(times, time.Time.Equal)
}

func square(x float64) float64 { return x * x }
