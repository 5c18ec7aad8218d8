package radio_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/radio"
)

func formatted(mhz float64) string { return strconv.FormatFloat(mhz, 'f', 2, 64) }

// Rec. ITU-R M.1677-1 (10/2009), read from a public reproduction of its table: case 9.01.
var published = map[string]string{
	"A": ".-", "B": "-...", "C": "-.-.", "D": "-..", "E": ".", "F": "..-.", "G": "--.", "H": "....", "I": "..", "J": ".---",
	"K": "-.-", "L": ".-..", "M": "--", "N": "-.", "O": "---", "P": ".--.", "Q": "--.-", "R": ".-.", "S": "...", "T": "-",
	"U": "..-", "V": "...-", "W": ".--", "X": "-..-", "Y": "-.--", "Z": "--..", "1": ".----", "2": "..---", "3": "...--",
	"4": "....-", "5": ".....", "6": "-....", "7": "--...", "8": "---..", "9": "----.", "0": "-----",
}

func TestMorseTable(t *testing.T) {
	require.Len(t, published, 36)
	for character, signals := range published {
		got, err := radio.Morse(character)
		require.NoError(t, err)
		assert.Equal(t, signals, got, character)
		small, err := radio.Morse(strings.ToLower(character))
		require.NoError(t, err)
		assert.Equal(t, signals, small)
	}
}

func TestMorseIdents(t *testing.T) {
	for ident, want := range map[string]string{ // a public page on Morse in aviation, case 9.07
		"JFK": ".--- ..-. -.-", "SFO": "... ..-. ---", "LAX": ".-.. .- -..-", "BOS": "-... --- ...",
	} {
		got, err := radio.Morse(ident)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}

// Dot 1, dash 3, gaps 1 and 3 (rule 2 of M.1677-1, case 9.03); a dot is 1.2 s divided by the words a minute (the word PARIS,
// case 9.04, from memory). Cases 9.08 to 9.12: computed.
func TestMorseLength(t *testing.T) {
	for _, c := range []struct {
		id, ident, signals string
		units              int
		seconds            float64
	}{
		{"9.08", "E", ".", 1, 0.17},
		{"9.09", "LIM", ".-.. .. --", 25, 4.29},
		{"9.10", "OKC", "--- -.- -.-.", 37, 6.34},
		{"9.11", "BPK", "-... .--. -.-", 35, 6.00},
		{"9.12", "TEST", "- . ... -", 21, 3.60},
	} {
		t.Run(c.id, func(t *testing.T) {
			signals, err := radio.Morse(c.ident)
			require.NoError(t, err)
			assert.Equal(t, c.signals, signals)
			units, err := radio.MorseUnits(c.ident)
			require.NoError(t, err)
			assert.Equal(t, c.units, units)
			seconds, err := radio.MorseSeconds(c.ident, radio.IdentWordsPerMinute)
			require.NoError(t, err)
			assert.InDelta(t, c.seconds, seconds, 0.005)
		})
	}
	dot, err := radio.MorseSeconds("E", 7)
	require.NoError(t, err)
	assert.InDelta(t, 0.1714, dot, 0.0001, "9.04")
	paris, err := radio.MorseUnits("PARIS")
	require.NoError(t, err)
	const gapAfterWord = 7
	assert.Equal(t, 50, paris+gapAfterWord, "9.04")
}

func TestMorseRefuses(t *testing.T) {
	for ident, want := range map[string]string{
		"":      "empty ident",
		"KV-N":  `'-' has no Morse signal`,
		"K N":   `' ' has no Morse signal`,
		"ÄB":    `'Ä' has no Morse signal`,
		"K\xff": "has no Morse signal",
	} {
		_, err := radio.Morse(ident)
		require.ErrorContains(t, err, want)
		_, err = radio.MorseUnits(ident)
		require.ErrorContains(t, err, want)
		_, err = radio.MorseSeconds(ident, 7)
		require.ErrorContains(t, err, want)
	}
	_, err := radio.MorseSeconds("KVN", 0)
	assert.ErrorContains(t, err, "0 words a minute")
}

// Decodes by walking down the tree of dots and dashes that the published table makes, signal by signal, as an ear does.
func TestMorseDecodes(t *testing.T) {
	byPrefix := map[string]string{}
	for character, signals := range published {
		byPrefix[signals] = character
	}
	require.Len(t, byPrefix, len(published), "no two characters sound alike")
	rapid.Check(t, func(t *rapid.T) {
		ident := rapid.StringMatching(`[A-Z0-9]{1,5}`).Draw(t, "ident")
		signals, err := radio.Morse(ident)
		require.NoError(t, err)
		heard, prefix := "", ""
		for _, signal := range signals + " " {
			if signal != ' ' {
				prefix += string(signal)
				continue
			}
			heard += byPrefix[prefix]
			prefix = ""
		}
		assert.Equal(t, ident, heard)
	})
}

// Whatever text comes in: an error, or signals that are one for each character.
func FuzzMorse(f *testing.F) {
	for _, ident := range []string{"", "KVN", "kvn", "K25", "K N", "Ä", "K\xff"} {
		f.Add(ident)
	}
	f.Fuzz(func(t *testing.T, ident string) {
		signals, err := radio.Morse(ident)
		if err != nil {
			assert.Empty(t, signals)
			return
		}
		letters := strings.Split(signals, " ")
		require.Len(t, letters, len(ident))
		for i, letter := range letters {
			assert.Equal(t, published[strings.ToUpper(ident[i:i+1])], letter)
		}
	})
}

// A public page on Morse in aviation, case 9.07.
func ExampleMorse() {
	signals, err := radio.Morse("LAX")
	fmt.Println(signals, err)
	// Output: .-.. .- -..- <nil>
}
