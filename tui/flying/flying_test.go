package flying_test

import (
	"testing"

	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screentest"
)

func TestRowsFillEverySize(t *testing.T) {
	screentest.Exact(t, flying.New(frame.Drawn()))
	screentest.Exact(t, flying.New(frame.ASCII()))
}
