//go:build unix

package terminal

import (
	"context"
	"os"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// typist is a program that remembers the keys it is given, until it has seen so many.
type typist struct {
	keys []string
	most int
}

func (t *typist) Init() tea.Cmd { return nil }
func (t *typist) View() string  { return "" }

func (t *typist) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if msg, ok := msg.(tea.KeyMsg); ok {
		for _, key := range singleKeys(msg) {
			t.keys = append(t.keys, key.String())
		}
	}
	if len(t.keys) >= t.most {
		return t, tea.Quit
	}
	return t, nil
}

// However many keys are read at once, each is what it is alone. The sequences are those of ECMA-48 and of xterm's control sequences.
func TestKeysReadTogetherAreTheKeysOneByOne(t *testing.T) {
	keys := map[string]string{
		"e": "e", "?": "?", " ": " ", "é": "é", "東": "東", "1": "1", "[": "[", "\r": "enter", "\t": "tab", "\x7f": "backspace",
		"\x1b": "esc", "\x1b[A": "up", "\x1bOB": "down", "\x1b[3~": "delete", "\x1b[1;5C": "ctrl+right", "\x1bOP": "f1", "\x1b[[B": "f2", "\x1b[Z": "shift+tab",
	}
	var all []string
	for key := range keys {
		all = append(all, key)
	}
	rapid.Check(t, func(t *rapid.T) {
		var want []string
		var typed strings.Builder
		for _, key := range rapid.SliceOfN(rapid.SampledFrom(all), 1, 400).Draw(t, "keys") {
			if key == "[" && strings.HasSuffix(typed.String(), "\x1b") {
				continue // begins a control sequence
			}
			want = append(want, keys[key])
			typed.WriteString(key)
		}
		reading, writing, err := os.Pipe()
		require.NoError(t, err)
		defer reading.Close()
		_, err = writing.WriteString(typed.String())
		require.NoError(t, err)
		defer writing.Close()

		seen := &typist{most: len(want)}
		patient, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		program := tea.NewProgram(seen, tea.WithInput(&keyboard{File: reading}), tea.WithoutRenderer(), tea.WithoutSignalHandler(), tea.WithContext(patient))
		_, err = program.Run()
		require.NoError(t, err, "%q", typed.String())
		require.Equal(t, want, seen.keys)
	})
}
