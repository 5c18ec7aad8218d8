package terminal

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// jumpThreshold: smaller differences between wall clock and time passed are the ordinary steering of the clock.
const jumpThreshold = 2 * time.Second

// tickMsg wakes the loop at a wall second. One of another chain than the loop's is left over from before a stop.
type tickMsg struct{ chain int }

// tickAt returns a command that delivers the tick of the coming wall second. It aims a millisecond behind the second, so
// that a clock that is being slowed down does not give two ticks in one.
func tickAt(now time.Time, chain int) tea.Cmd {
	wait := now.Truncate(time.Second).Add(time.Second + time.Millisecond).Sub(now)
	timer := time.NewTimer(wait)
	return func() tea.Msg {
		<-timer.C
		return tickMsg{chain}
	}
}

// jumpWatch compares the steps of the wall clock with the time that passed.
type jumpWatch struct {
	wall   time.Time
	passed time.Duration
}

// step notes a new reading of both and returns how far the wall clock jumped since the last one, 0 if it did not.
func (w *jumpWatch) step(wall time.Time, passed time.Duration) time.Duration {
	jump := wall.Sub(w.wall) - (passed - w.passed)
	w.wall, w.passed = wall, passed
	if jump.Abs() <= jumpThreshold {
		return 0
	}
	return jump
}
