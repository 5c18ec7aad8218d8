package radio_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/radio"
)

// The logic of the receiver, cases 8.44 to 8.57: TO/FROM as pilots describe it, needles computed.
func TestCourseReading(t *testing.T) {
	for _, c := range []struct {
		id             string
		course, radial float64
		sense          radio.Sense
		needle         float64
	}{
		{"8.44", 360, 10, radio.From, -10},
		{"8.45", 360, 350, radio.From, 10},
		{"8.46", 360, 170, radio.To, -10},
		{"8.47", 360, 190, radio.To, 10},
		{"8.48", 90, 95, radio.From, -5},
		{"8.49", 90, 85, radio.From, 5},
		{"8.50", 270, 95, radio.To, 5},
		{"8.51", 270, 85, radio.To, -5},
		{"8.52", 30, 210, radio.To, 0},
		{"8.53", 210, 25, radio.To, -5},
		{"8.54", 45, 135, radio.Off, -90},
		{"8.55", 45, 140, radio.To, -85},
		{"8.56", 300, 120, radio.To, 0},
		{"8.57", 180, 185, radio.From, -5},
		{"edge of the flag's band", 360, 88, radio.Off, -88},
		{"edge of the flag's band", 360, 87, radio.From, -87},
		{"edge of the flag's band", 360, 267, radio.To, 87},
	} {
		sense, needle := radio.CourseReading(c.course, c.radial)
		assert.Equal(t, c.sense, sense, "%s: %s", c.id, sense)
		assert.InDelta(t, c.needle, needle, 1e-9, c.id)
	}
}

// Pilots' newsgroup answers (case 8.59): on radial 120 with 300 selected and TO, but heading 120, the aircraft flies away
// and the needle is reversed.
func TestReverseSensing(t *testing.T) {
	sense, _ := radio.CourseReading(300, 120)
	assert.Equal(t, radio.To, sense)
	assert.True(t, radio.ReverseSensing(120, 300))
	assert.False(t, radio.ReverseSensing(300, 300))
	assert.False(t, radio.ReverseSensing(10, 300))
	assert.False(t, radio.ReverseSensing(30, 300), "just across the course")
	assert.True(t, radio.ReverseSensing(31, 300))
}

// Places the aircraft on a flat plane and looks where the course line lies: the needle points to it as seen along the course,
// and the flag says whether flying the course brings the station nearer.
func TestCourseReadingIsWhereTheCourseLies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		course := rapid.Float64Range(0, 359.99).Draw(t, "course")
		radial := rapid.Float64Range(0, 359.99).Draw(t, "radial")
		sense, needle := radio.CourseReading(course, radial)
		right := angle.Sin(radial - course) // of the course line, from a station at distance 1
		along := angle.Cos(radial - course) // past the station
		assert.InDelta(t, -right, angle.Sin(needle), 1e-9)
		assert.LessOrEqual(t, math.Abs(needle), 90.0)
		switch sense {
		case radio.From:
			assert.Positive(t, along)
		case radio.To:
			assert.Negative(t, along)
		case radio.Off:
			assert.Less(t, math.Abs(along), angle.Sin(3.001))
		}
	})
}

// The opposite course turns the flag and mirrors the needle; the opposite radial turns the flag and mirrors the needle too.
func TestCourseReadingIsSymmetric(t *testing.T) {
	opposite := map[radio.Sense]radio.Sense{radio.To: radio.From, radio.From: radio.To, radio.Off: radio.Off}
	rapid.Check(t, func(t *rapid.T) {
		course := float64(rapid.IntRange(0, 359).Draw(t, "course"))
		radial := float64(rapid.IntRange(0, 359).Draw(t, "radial"))
		sense, needle := radio.CourseReading(course, radial)
		turned, turnedNeedle := radio.CourseReading(angle.Reciprocal(course), radial)
		assert.Equal(t, opposite[sense], turned)
		if math.Abs(needle) < 90 { // at 90 the needle is at its stop on either side
			assert.InDelta(t, -needle, turnedNeedle, 1e-9)
		}
		across, acrossNeedle := radio.CourseReading(course, angle.Reciprocal(radial))
		assert.Equal(t, opposite[sense], across)
		if math.Abs(needle) < 90 {
			assert.InDelta(t, -needle, acrossNeedle, 1e-9)
		}
	})
}

func TestSenseText(t *testing.T) {
	for sense, name := range map[radio.Sense]string{radio.To: "TO", radio.From: "FROM", radio.Off: "OFF"} {
		assert.Equal(t, name, sense.String())
		text, err := json.Marshal(sense)
		require.NoError(t, err)
		assert.Equal(t, `"`+name+`"`, string(text))
		var back radio.Sense
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, sense, back)
	}
	var sense radio.Sense
	require.EqualError(t, sense.UnmarshalText([]byte("to")), `"to" is not a sense; it is TO, FROM or OFF`)
	assert.Equal(t, "Sense(9)", radio.Sense(9).String())
}

// FAA private pilot questions with answers, Figure 31, and a radio aid tutorial (8.66); 8.65 is by definition.
func TestBearings(t *testing.T) {
	for _, c := range []struct {
		id                     string
		heading, relative, qdm float64
	}{
		{"8.60", 35, 0, 35},
		{"8.61", 120, 45, 165},
		{"8.62", 195, 45, 240},
		{"8.63", 120, 270, 30},
		{"8.64", 360, 135, 135},
		{"8.65", 320, 225, 185},
		{"8.66", 345, 30, 15},
	} {
		assert.InDelta(t, c.qdm, radio.QDM(c.heading, c.relative), 1e-9, c.id)
		assert.InDelta(t, math.Mod(c.qdm+180, 360), radio.QDR(c.heading, c.relative), 1e-9, c.id)
		assert.InDelta(t, c.relative, radio.RelativeBearing(c.heading, c.qdm), 1e-9, c.id)
	}
	assert.InDelta(t, 5, radio.QDR(320, 225), 1e-9, "8.65")
}

// Section 8: on track to a station with a correction of x° to the right, the ADF needle stands x° left of the nose.
func TestNeedleStandsOffByTheWindCorrection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := rapid.Float64Range(0, 359.99).Draw(t, "track")
		correction := rapid.Float64Range(-40, 40).Draw(t, "correction")
		needle := angle.Wrap180(radio.RelativeBearing(track+correction, track))
		assert.InDelta(t, -correction, needle, 1e-9)
	})
}

// FAA question bank (case 8.58): to track inbound on radial 215, select 035: the flag says TO and the needle is centred.
func ExampleCourseReading() {
	sense, needle := radio.CourseReading(35, 215)
	fmt.Printf("%s, needle %.0f°\n", sense, needle)
	// Output: TO, needle 0°
}

// FAA private pilot questions, Figure 31 (case 8.61): heading 120, relative bearing 045: bearing to the station 165.
func ExampleQDM() {
	fmt.Printf("%03.0f\n", radio.QDM(120, 45))
	// Output: 165
}
