package angle_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
)

func TestWrap360StaysInRangeAndKeepsDirection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(-1e6, 1e6).Draw(t, "degrees")
		wrapped := angle.Wrap360(degrees)
		if wrapped < 0 || wrapped >= 360 {
			t.Fatalf("Wrap360(%v) = %v", degrees, wrapped)
		}
		assert.InDelta(t, angle.Sin(degrees), angle.Sin(wrapped), 1e-9)
		assert.InDelta(t, angle.Cos(degrees), angle.Cos(wrapped), 1e-9)
	})
}

func TestTurnIsTheShortestAndLeadsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(0, 360).Draw(t, "from")
		to := rapid.Float64Range(0, 360).Draw(t, "to")
		turn := angle.Turn(from, to)
		if turn <= -180 || turn > 180 {
			t.Fatalf("Turn(%v, %v) = %v", from, to, turn)
		}
		assert.InDelta(t, 0, angle.Wrap180(from+turn-to), 1e-9)
	})
}

func TestDirectionInvertsSinAndCos(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(0, 359.999).Draw(t, "degrees")
		got := angle.Direction(angle.Cos(degrees), angle.Sin(degrees))
		assert.InDelta(t, 0, angle.Wrap180(got-degrees), 1e-9)
	})
}

func TestWholeSaysNorthAs360(t *testing.T) {
	for degrees, want := range map[float64]int{0: 360, 0.4: 360, 359.6: 360, 0.6: 1, 180.4: 180, -1: 359} {
		assert.Equal(t, want, angle.Whole(degrees), "%v", degrees)
	}
	assert.Zero(t, angle.Wrap360(math.Copysign(1e-30, -1)))
}
