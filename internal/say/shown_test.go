package say_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/say"
)

func ref(v float64) *float64 { return &v }

func TestFigures(t *testing.T) {
	for want, got := range map[string]string{
		"0:09":       say.Span(9.4),
		"7:20":       say.Span(-440),
		"1 h 00":     say.Span(3599.6),
		"1 h 07":     say.Span(4040),
		"1:07:20":    say.Elapsed(ref(4040.9)),
		"07:20":      say.Elapsed(ref(440.9)),
		"--":         say.Elapsed(nil),
		"59 min":     say.Long(59.4),
		"1 h 04":     say.Long(64.6),
		"3 h 46":     say.Long(226),
		"-12 min":    say.Long(-12),
		"on time":    say.Against(-5.4),
		"0:06 late":  say.Against(5.6),
		"0:58 late":  say.Against(58),
		"1:00 early": say.Against(-60),
		"+0:58":      say.Signed(58),
		"-0:12":      say.Signed(-12),
		"±28 s":      say.PlusMinus(28),
		"±1:02":      say.PlusMinus(62),
		"360":        say.Degrees(0.2),
		"359":        say.Degrees(-1),
		"084":        say.Degrees(84.4),
		"0.8 left":   say.Side(-0.8, 1),
		"0":          say.Side(-0.3, 0),
		"9 right":    say.Side(9.1, 0),
		"262/17":     say.Wind(262, 17.2),
		"114.35":     say.Frequency(114.35),
		"116.20":     say.Frequency(116.2),
		"404":        say.Frequency(404),
		"356.5":      say.Frequency(356.5),
		"09:41:30Z":  say.Time(time.Date(2026, 6, 14, 9, 41, 30, 999, time.UTC)),
	} {
		require.Equal(t, want, got)
	}
}

// A station is told the minutes that are shown.
func TestAReportHasTheMinutesThatAreShown(t *testing.T) {
	for _, minutes := range []float64{0, 59.995, 60, 119.9999, 120, 226.4, 226.9} {
		whole := int(say.LongMinutes(minutes))
		require.Equal(t, say.Long(float64(whole)), say.Long(minutes))
		require.Equal(t, say.ReportLong(float64(whole)), say.ReportLong(minutes), "%v", minutes)
	}
}

func TestDirectionsHaveThreeDigitsFrom001To360(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		require.Regexp(t, `^(00[1-9]|0[1-9]\d|[12]\d\d|3[0-5]\d|360)$`, say.Degrees(rapid.Float64Range(-1e4, 1e4).Draw(t, "direction")))
	})
}

func TestNoFigureIsNotANumber(t *testing.T) {
	for _, value := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		require.Equal(t, say.Unknown, say.Span(value))
		require.Equal(t, say.Unknown, say.Long(value))
	}
}

func TestNamesAndSpansFromNow(t *testing.T) {
	now := time.Date(2026, 6, 14, 9, 41, 30, 0, time.UTC)
	for want, got := range map[string]string{
		"KVN Kelvin": say.Named("KVN", "Kelvin"),
		"KVN":        say.Named("KVN", ""),
		"Glen dam":   say.Named("Glen dam", "Glen dam"),
		"in 2:20":    say.In(now, now.Add(140*time.Second)),
		"in 0:00":    say.In(now, now),
		"3:15 ago":   say.In(now, now.Add(-195*time.Second)),
		"1 h 00 ago": say.In(now, now.Add(-time.Hour)),
	} {
		require.Equal(t, want, got)
	}
}
