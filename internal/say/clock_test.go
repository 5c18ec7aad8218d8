package say_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/say"
)

func TestTimesOfDay(t *testing.T) {
	for text, want := range map[string]say.TimeOfDay{
		"10:42":    {Minutes: 642, HourSaid: true},
		"10:42Z":   {Minutes: 642, HourSaid: true},
		"9:05 utc": {Minutes: 545, HourSaid: true},
		"1042":     {Minutes: 642, HourSaid: true},
		"10:42:30": {Minutes: 642.5, HourSaid: true},
		"42":       {Minutes: 42},
		"0":        {Minutes: 0},
	} {
		got, err := say.ParseTimeOfDay(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "24:00", "10:60", "60", "10:42:60", "soon", "10-42", "+5", "10:4"} {
		_, err := say.ParseTimeOfDay(text)
		require.ErrorContains(t, err, "write 10:42, 1042 or 42", text)
	}
}

func TestNearIsTheNearestOfAllDaysAndHours(t *testing.T) {
	near := time.Date(2026, 6, 20, 23, 50, 0, 0, time.UTC)
	at := func(text string) time.Time {
		read, err := say.ParseTimeOfDay(text)
		require.NoError(t, err)
		return read.Near(near)
	}
	assert.Equal(t, time.Date(2026, 6, 21, 0, 10, 0, 0, time.UTC), at("0:10"), "past midnight")
	assert.Equal(t, time.Date(2026, 6, 20, 22, 30, 15, 0, time.UTC), at("22:30:15"))
	assert.Equal(t, time.Date(2026, 6, 21, 0, 5, 0, 0, time.UTC), at("5"), "the hour that is nearest")
	rapid.Check(t, func(t *rapid.T) {
		near := time.Unix(rapid.Int64Range(1.7e9, 1.9e9).Draw(t, "near"), 0).UTC()
		read := say.TimeOfDay{Minutes: float64(rapid.IntRange(0, 1439).Draw(t, "minute")), HourSaid: true}
		at := read.Near(near)
		assert.LessOrEqual(t, at.Sub(near).Abs(), 12*time.Hour)
		assert.Equal(t, say.SayTimeOfDay(read.Minutes), at.Format("15:04Z"))
		again, err := say.ParseTimeOfDay(say.Time(at))
		require.NoError(t, err)
		assert.Equal(t, read, again)
	})
}

func FuzzParseTimeOfDay(f *testing.F) {
	for _, text := range []string{"10:42", "1042z", "42", "10:42:30"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		read, err := say.ParseTimeOfDay(text)
		if err != nil {
			return
		}
		require.GreaterOrEqual(t, read.Minutes, 0.0)
		require.Less(t, read.Minutes, 1440.0)
		again, err := say.ParseTimeOfDay(say.SayTimeOfDay(read.Minutes))
		require.NoError(t, err)
		require.Equal(t, read.Minutes, again.Minutes)
	})
}

func TestPlainNumbers(t *testing.T) {
	for text, want := range map[string]float64{"12": 12, "-0.5": -0.5, "+3": 3, ".5": 0.5} {
		got, err := say.ParseNumber(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"", "1e3", "0x10", "inf", "NaN", "--1", "1 2"} {
		_, err := say.ParseNumber(text)
		require.Error(t, err, text)
	}
	_, err := say.ParseNumber("12,5")
	assert.ErrorContains(t, err, `has a comma in it: write the decimal point: 12.5`)
	assert.Equal(t, "12.125", say.SayNumber(12.125, say.AllDecimals))
}
