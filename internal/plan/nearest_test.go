package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plainDistance is the edit distance by its definition: the least of all ways to make one word of the other.
func plainDistance(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	change := plainDistance(a[1:], b[1:])
	if a[0] != b[0] {
		change++
	}
	least := min(change, plainDistance(a[1:], b)+1, plainDistance(a, b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		least = min(least, plainDistance(a[2:], b[2:])+1)
	}
	return least
}

func TestEditDistanceIsTheLeastOfAllWays(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abé")), 0, 6, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		require.Equal(t, plainDistance([]rune(a), []rune(b)), editDistance(a, b))
	})
}

func TestNearest(t *testing.T) {
	keys := []string{"frequency", "from", "range", "radial", "at", "kind", "safe_altitude"}
	for word, want := range map[string]string{
		"freqency": "frequency", "Frequency": "frequency", "form": "from", "rnage": "range", "radail": "radial",
		"safealtitude": "safe_altitude", "safe-altitude": "safe_altitude", "ta": "at", "colour": "", "x": "", "": "",
	} {
		assert.Equal(t, want, nearest(word, keys), word)
	}
	assert.Equal(t, "DAM", nearest("DMA", []string{"DME", "DAM"}), "shuffled letters are nearer than changed ones")
}

// TestOneSlipIsUnderstood makes one slip in a known key: the key is found again, or another that is just as near.
func TestOneSlipIsUnderstood(t *testing.T) {
	var keys []string
	for _, fact := range knownKeys(t) {
		keys = append(keys, fact.path)
	}
	rapid.Check(t, func(t *rapid.T) {
		key := []rune(rapid.SampledFrom(keys).Draw(t, "key"))
		letter := rapid.RuneFrom([]rune("abcdefghijklmnopqrstuvwxyz_")).Draw(t, "letter")
		at := rapid.IntRange(0, len(key)-1).Draw(t, "at")
		slip := append([]rune(nil), key...)
		switch rapid.IntRange(0, 2).Draw(t, "slip") {
		case 0:
			slip[at] = letter
		case 1:
			slip = append(slip[:at], slip[at+1:]...)
		case 2:
			slip = append(slip[:at], append([]rune{letter}, key[at:]...)...)
		}
		found := nearest(string(slip), keys)
		if found != string(key) {
			require.LessOrEqual(t, editDistance(string(slip), found), 1, "%q for %q", found, string(slip))
		}
	})
}

// TestUnknownKeyNamesTheNearestOne puts a slip into each key of the good plan in turn.
func TestUnknownKeyNamesTheNearestOne(t *testing.T) {
	lines := planLines()
	for i, line := range lines {
		parts := keyOfLine.FindStringSubmatch(line)
		if parts == nil {
			continue
		}
		key := parts[2]
		slip := key[:len(key)-1] + "x"
		broken := append([]string(nil), lines...)
		broken[i] = parts[1] + slip + ":" + parts[3]
		problem := problemAt(t, broken, i+1)
		assert.Contains(t, problem.Text, `"`+slip+`"`)
		assert.Equal(t, `did you mean "`+key+`"?`, problem.Hint)
		assert.Equal(t, len(parts[1])+1, problem.Column)
	}
}
