package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/words"
)

func TestNamesAndSpansFromNow(t *testing.T) {
	now := time.Date(2026, 6, 14, 9, 41, 30, 0, time.UTC)
	for want, got := range map[string]string{
		"KVN Kelvin":  words.Named("KVN", "Kelvin"),
		"KVN":         words.Named("KVN", ""),
		"Glen dam":    words.Named("Glen dam", "Glen dam"),
		"in 2:20":     words.In(now, now.Add(140*time.Second)),
		"in 0:00":     words.In(now, now),
		"3:15 ago":    words.In(now, now.Add(-195*time.Second)),
		"1:00:00 ago": words.In(now, now.Add(-time.Hour)),
	} {
		require.Equal(t, want, got)
	}
}
