package flying_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestRowsFillEverySize(t *testing.T) { screentest.Exact(t, flying.New()) }

func TestRowsInASCII(t *testing.T) {
	s := flying.New()
	for _, size := range []screen.Size{{Width: 72, Height: 18}, {Width: 80, Height: 20}, {Width: 120, Height: 32}, {Width: 200, Height: 56}} {
		rows := s.Rows(screentest.Cruise(), size, theme.Theme{ASCII: true})
		screentest.RequireExact(t, rows, size)
		for _, row := range rows {
			require.NotRegexp(t, `[─-▟]`, row)
		}
	}
}
