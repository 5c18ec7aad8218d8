package feed

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
)

// A straight flight at 120 kt, a position a second: one is kept each minute, and one soon after the place that it passes at 30 nm.
func TestAKeeperKeepsOneSoonAfterEachPassing(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	from := earth.Position{Lat: 50, Lon: 10}
	place, _ := earth.Direct(from, 90, 31.01)
	place, _ = earth.Direct(place, 0, 0.5)
	k := Keeper{thinner: Thinner{Thinning: UsualThinning}}
	k.watch(place)
	var kept []time.Duration
	for second := range 20 * 60 {
		at, _ := earth.Direct(from, 90, float64(second)/30)
		for _, s := range k.Add(Sample{Time: start.Add(time.Duration(second) * time.Second), At: at}) {
			kept = append(kept, s.Time.Sub(start))
		}
	}
	passed := 930300 * time.Millisecond
	soon := 0
	for _, at := range kept {
		if at > passed && at < passed+25*time.Second {
			soon++
		}
	}
	require.Equal(t, 1, soon, "kept: %v", kept)
	require.LessOrEqual(t, len(kept), 22)
}

// A clock that stands gives nothing twice; one that was set back begins anew.
func TestAKeeperFollowsAClockThatIsChanged(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	k := Keeper{thinner: Thinner{Thinning: UsualThinning}}
	at := earth.Position{Lat: 50, Lon: 10}
	require.Len(t, k.Add(Sample{Time: start, At: at}), 1)
	require.Empty(t, k.Add(Sample{Time: start, At: at}))
	require.Empty(t, k.Add(Sample{Time: start.Add(time.Second), At: at}))
	require.Empty(t, k.Add(Sample{Time: start.Add(time.Second), At: at}))
	back := k.Add(Sample{Time: start.Add(-time.Hour), At: at})
	require.Len(t, back, 1)
	require.True(t, back[0].AfterGap)
}

// A position 60 nm off within a second is no aeroplane's; five in a row that agree with each other are a simulator's that was moved.
func TestWhatNoAeroplaneCouldHaveReachedIsDroppedAndCounted(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	from := earth.Position{Lat: 50, Lon: 10}
	k := Keeper{thinner: Thinner{Thinning: UsualThinning}}
	var kept []Sample
	add := func(second int, nm float64) {
		at, _ := earth.Direct(from, 90, nm)
		kept = append(kept, k.Add(Sample{Time: start.Add(time.Duration(second) * time.Second), At: at})...)
	}
	const aMinute = 60
	for second := range 5 * aMinute {
		if second%50 == 49 {
			add(second, 60)
			continue
		}
		add(second, float64(second)/40) // at 90 kt
	}
	require.Equal(t, 6, k.Dropped())
	for _, s := range kept {
		require.Less(t, vectorOf(s.At).distanceNM(vectorOf(from)), 8.0)
	}
	kept = nil
	for second := 5 * aMinute; second < 10*aMinute; second++ {
		add(second, 100+float64(second)/40)
	}
	require.Equal(t, 6+moved-1, k.Dropped())
	there := slices.IndexFunc(kept, func(s Sample) bool { return vectorOf(s.At).distanceNM(vectorOf(from)) > 100 })
	require.GreaterOrEqual(t, there, 0)
	require.True(t, kept[there].AfterGap, "what was moved did not fly there")
}

// However a feed wriggles and however fast it sends, positions are kept some seconds apart.
func TestPositionsAreKeptApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
		place := earth.Position{Lat: 50, Lon: 10}
		k := Keeper{thinner: Thinner{Thinning: UsualThinning}}
		k.watch(place)
		var last time.Time
		for range rapid.IntRange(10, 300).Draw(t, "positions") {
			at = at.Add(time.Duration(rapid.IntRange(50, 2000).Draw(t, "ms")) * time.Millisecond)
			place, _ = earth.Direct(place, rapid.Float64Range(0, 360).Draw(t, "way"), rapid.Float64Range(0, 0.1).Draw(t, "nm"))
			for _, s := range k.Add(Sample{Time: at, At: place}) {
				require.GreaterOrEqual(t, s.Time.Sub(last), apart)
				last = s.Time
			}
		}
	})
}
