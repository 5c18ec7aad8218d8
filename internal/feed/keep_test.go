package feed

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

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
