package debrief

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawGroups are values of some plans, flown in turn as it comes: of a kind that has many ties, or few, or none but by rounding.
func drawGroups(t *rapid.T) [][]placed {
	kinds := []*rapid.Generator[float64]{
		rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(-2, 3).Draw(t, "whole")) }),
		rapid.SampledFrom([]float64{0, 100, 100 * 2 / 3.0}),
		rapid.Float64Range(-1e3, 1e3),
		rapid.Float64Range(1e6, 1e6+1e-6),
	}
	groups := make([][]placed, rapid.IntRange(1, 3).Draw(t, "groups"))
	kind := rapid.SampledFrom(kinds).Draw(t, "kind")
	rise := rapid.SampledFrom([]float64{0, 0, 0.1, -1 / 3.0}).Draw(t, "rise")
	for place := range rapid.IntRange(1, 80).Draw(t, "values") {
		group := &groups[rapid.IntRange(0, len(groups)-1).Draw(t, "group")]
		*group = append(*group, placed{place: float64(place), value: kind.Draw(t, "value") + rise*float64(place)})
	}
	return slices.DeleteFunc(groups, func(g []placed) bool { return len(g) == 0 })
}

// By definition: every slope is kept and sorted.
func TestSlopesAreThoseOfSortingThemAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := drawGroups(t)
		var s slopes
		var all []float64
		for _, group := range groups {
			kendall, variance := 0, kendallVariance(len(group))
			tied := map[float64]int{}
			for i, p := range group {
				tied[p.value]++
				for _, before := range group[:i] {
					kendall += cmp.Compare(p.value, before.value)
					all = append(all, (p.value-before.value)/(p.place-before.place))
				}
			}
			for _, n := range tied {
				variance -= kendallVariance(n)
			}
			gotKendall, gotVariance := s.add(group)
			require.Equal(t, kendall, gotKendall)
			require.InDelta(t, variance, gotVariance, 1e-9*(1+variance))
		}
		slices.Sort(all)
		require.Equal(t, len(all), s.pairs)
		for range min(len(all), 12) {
			rank := rapid.IntRange(0, len(all)-1).Draw(t, "rank")
			require.Equal(t, math.Float64bits(all[rank]), math.Float64bits(s.at(rank)))
		}
	})
}

func BenchmarkSlopes(b *testing.B) {
	for _, flights := range []int{300, 3000, 30000} {
		b.Run(strconv.Itoa(flights), func(b *testing.B) {
			trend := Trend{plans: make([]string, flights)}
			for i := range flights {
				trend.Values = append(trend.Values, 60+40*math.Sin(float64(i*i))-float64(i)/1000)
			}
			b.ReportAllocs()
			for b.Loop() {
				trend.compare()
			}
		})
	}
}
