package say_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/say"
)

// What the eye sees is said as it is said in the air. Common practice, no source.
func TestByEye(t *testing.T) {
	for nm, text := range map[float64]string{0.1: "right beside", 0.3: "a quarter of a mile", 0.9: "a mile", 1.4: "1.5 nm", 2.1: "2.0 nm", 4.4: "4 nm"} {
		assert.Equal(t, text, say.MilesByEye(nm))
	}
	for degrees, text := range map[float64]string{
		-5: "ahead", 20: "just right of the nose", -50: "ahead left", 90: "abeam right", -130: "behind left", 175: "behind",
	} {
		assert.Equal(t, text, say.OffNose(degrees))
	}
	for direction, text := range map[float64]string{359: "north", 50: "north-east", 180: "south", 293: "north-west", -90: "west"} {
		assert.Equal(t, text, say.EightWinds(direction))
	}
	for minutes, text := range map[float64]string{24: "24 min", 7 + 1.0/3: "7:20", 65: "1 h 05 min"} {
		assert.Equal(t, text, say.SayTaken(minutes))
	}
	for minutes, text := range map[float64]string{44.6: "45 min", 64.6: "1 h 05"} {
		assert.Equal(t, text, say.SayHours(minutes))
	}
}
