package legend_test

import (
	"testing"

	"github.com/charmbracelet/bubbles/key"
	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/theme"
)

func TestOnlyKeysThatCanBeUsedAndFit(t *testing.T) {
	dead := keys.New("never", "n")
	dead.SetEnabled(false)
	bindings := []key.Binding{keys.New("one", "a"), dead, keys.New("another", "b", "f1")}
	for width, want := range map[int]string{
		26: " a one   b / F1 another   ",
		23: " a one   b / F1 another",
		22: " a one                ",
		5:  "     ",
		0:  "",
	} {
		require.Equal(t, want, legend.Row(bindings, width, theme.Theme{}), "width %d", width)
	}
}
