package say_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/say"
)

// The East Asian widths are those of Unicode Standard Annex 11, the general categories those of the Unicode Character Database; that wcwidth gives 0
// to marks without a space of their own is common practice, no source.
func TestCells(t *testing.T) {
	for text, want := range map[string]int{
		"": 0, "LKM 12.4": 8, "é": 1, "Ærø": 3, "e\u0301": 1, "東京": 4, "ｶﾞ": 2, "กำ": 2, "น้ำ": 2, "हिन्दी": 5, "한국": 4, "تونس": 4, "→": 1,
	} {
		assert.Equal(t, want, say.Cells(text), text)
	}
}

func TestWithin(t *testing.T) {
	for text, want := range map[string]string{"abcdef": "abc", "ab": "ab", "東京": "東", "e\u0301e\u0301xe\u0301": "e\u0301e\u0301x", "กำกำ": "กำ", "": ""} {
		assert.Equal(t, want, say.Within(text, 3), text)
	}
}
