package cli

import (
	"bytes"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/testkit"
)

func TestWhatGoesToATerminalIsCleaned(t *testing.T) {
	for text, want := range map[string]string{
		"LKM 08:42:30Z\n":                      "LKM 08:42:30Z\n",
		"a\tb\n":                               "a\tb\n",
		"\x1b]0;title\x07\x1b[2Jgone":          "]0;title[2Jgone", // an escape sequence without its escape is text
		"\u009b2Jc1":                           "2Jc1",            // CSI as one character
		"over\rwritten\b\b":                    "overwritten",
		"one\u2028two\u2029three\ffour":        "one two three four",
		"\u202ereversed\u2066isolated\u200bzw": "reversedisolatedzw", // UAX 9's controls and what has no width
		"Škoda น้ำ हिन्दी":                     "Škoda น้ำ हिन्दी",
	} {
		var shown bytes.Buffer
		out := &output{to: &shown, clean: true}
		n, err := out.Write([]byte(text))
		require.NoError(t, err)
		require.Equal(t, len(text), n)
		require.Equal(t, want, shown.String())
	}
	var file bytes.Buffer
	_, err := (&output{to: &file}).Write([]byte("\x1b[2J"))
	require.NoError(t, err)
	require.Equal(t, "\x1b[2J", file.String(), "what goes to a file stays as it is")
}

// However a text is cut into writes, what is shown is the same, and nothing in it steers a terminal.
func TestNothingRawReachesATerminalHoweverItIsCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
			rapid.StringOf(rapid.SampledFrom([]rune("a\x1b[]02J;?h\u009b\u202e\u2028\r\nกำ")))).Draw(t, "text")
		var whole, parts bytes.Buffer
		_, err := (&output{to: &whole, clean: true}).Write([]byte(text + "."))
		require.NoError(t, err)
		out := &output{to: &parts, clean: true}
		for rest := text + "."; rest != ""; {
			n := rapid.IntRange(1, min(len(rest), 3)).Draw(t, "bytes")
			_, err := out.Write([]byte(rest[:n]))
			require.NoError(t, err)
			rest = rest[n:]
		}
		require.Equal(t, whole.String(), parts.String())
		require.Equal(t, -1, strings.IndexFunc(whole.String(), func(r rune) bool {
			return r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r))
		}))
		screen := testkit.NewScreen(40, 10)
		_, err = screen.Write(whole.Bytes())
		require.NoError(t, err)
		require.False(t, screen.Alternate)
		require.Zero(t, screen.Bells)
	})
}
