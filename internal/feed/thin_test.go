package feed

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
)

var start = time.Date(2026, 5, 15, 9, 0, 0, 0, time.UTC)

// flown is a track of one sample a second: legs of a true track, a groundspeed, a climb and a duration, one after the other.
type part struct {
	trackTrue, kt, feetPerMinute float64
	seconds                      int
}

func flown(from earth.Position, altitudeFt float64, parts ...part) []Sample {
	at := from
	samples := []Sample{{Time: start, At: at, AltitudeFt: float(altitudeFt)}}
	seconds := 0
	for _, p := range parts {
		begin, low := at, altitudeFt
		for i := 1; i <= p.seconds; i++ {
			seconds++
			at, _ = earth.Direct(begin, p.trackTrue, p.kt/3600*float64(i))
			altitudeFt = low + p.feetPerMinute/60*float64(i)
			samples = append(samples, Sample{Time: start.Add(time.Duration(seconds) * time.Second), At: at, AltitudeFt: float(altitudeFt)})
		}
	}
	fillMotion(samples)
	return samples
}

func TestThinningKeepsTurnsAndLittleElse(t *testing.T) {
	samples := flown(earth.Position{Lat: 53, Lon: 14}, 3000, part{90, 95, 0, 600}, part{180, 95, 0, 600})
	kept := thinned(samples, UsualThinning)
	assert.Less(t, len(kept), 26, "20 minutes: one a minute, and the turn")
	corner := samples[600]
	nearest := time.Hour
	for _, s := range kept {
		nearest = min(nearest, s.Time.Sub(corner.Time).Abs())
	}
	assert.LessOrEqual(t, nearest, 5*time.Second, "0.05 nm at 95 kt are 2 s; with the cut of the corner a little more")
}

// TestThinningIsBounded: what was left out lies as close to the straight way at a steady speed between those kept as was asked for.
// The way is interpolated here along the geodesic; the sphere that Thinner uses makes half a per cent of difference.
func TestThinningIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := earth.Position{Lat: rapid.Float64Range(-89, 89).Draw(t, "lat"), Lon: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		samples := flown(from, 2000, rapid.SliceOfN(rapid.Custom(func(t *rapid.T) part {
			return part{
				rapid.Float64Range(0, 360).Draw(t, "track"), rapid.Float64Range(0, 200).Draw(t, "speed"),
				rapid.Float64Range(-1000, 1000).Draw(t, "climb"), rapid.IntRange(1, 100).Draw(t, "seconds"),
			}
		}), 1, 6).Draw(t, "parts")...)
		gap := rapid.IntRange(0, len(samples)-1).Draw(t, "gap")
		samples[gap].AfterGap = gap > 0
		thinning := Thinning{
			WithinNM: rapid.Float64Range(0.01, 1).Draw(t, "within nm"), WithinFt: rapid.Float64Range(10, 500).Draw(t, "within ft"),
			Every: time.Duration(rapid.IntRange(2, 200).Draw(t, "every")) * time.Second,
		}
		kept := thinned(samples, thinning)
		require.Equal(t, samples[0], kept[0])
		require.Equal(t, samples[len(samples)-1], kept[len(kept)-1])
		next := 1
		for _, s := range samples[1:] {
			if s.Time.After(kept[next].Time) {
				next++
			}
			a, b := kept[next-1], kept[next]
			require.False(t, s.AfterGap && !s.Time.Equal(b.Time), "the first after a gap is kept")
			require.LessOrEqual(t, b.Time.Sub(a.Time), thinning.Every)
			share := float64(s.Time.Sub(a.Time)) / float64(b.Time.Sub(a.Time))
			line := earth.NewLine(a.At, b.At)
			between, _ := line.At(share * line.DistanceNM())
			require.LessOrEqual(t, earth.Inverse(s.At, between).DistanceNM, thinning.WithinNM*1.006+1e-6)
			require.LessOrEqual(t, math.Abs(*s.AltitudeFt-(*a.AltitudeFt+share*(*b.AltitudeFt-*a.AltitudeFt))), thinning.WithinFt+1e-6)
		}
	})
}

func TestLiveThinningHoldsBackOnlyTheLatest(t *testing.T) {
	samples := flown(earth.Position{Lat: 53, Lon: 14}, 3000, part{90, 95, 0, 100}, part{180, 95, 0, 100}, part{10, 60, 500, 100})
	thinner := Thinner{Thinning: UsualThinning}
	for i, s := range samples {
		for _, kept := range thinner.Add(s) {
			assert.LessOrEqual(t, s.Time.Sub(kept.Time), time.Second, "sample %d", i)
		}
	}
}

func TestTheZeroThinnerKeepsAll(t *testing.T) {
	samples := flown(earth.Position{Lat: 53, Lon: 14}, 3000, part{90, 95, 0, 50})
	assert.Equal(t, samples, thinned(samples, Thinning{}))
}

func BenchmarkThinTwelveHours(b *testing.B) {
	samples := flown(earth.Position{Lat: 53, Lon: 14}, 3000, part{90, 95, 0, 12 * 3600})
	b.ReportAllocs()
	for b.Loop() {
		thinned(samples, UsualThinning)
	}
}
