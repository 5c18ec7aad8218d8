package clock

import "time"

// stepWorthSaying: smaller differences between the machine's clock and the time that passed are the ordinary steering of clocks.
const stepWorthSaying = 2 * time.Second

// Steady is wall time that no step of the machine's clock moves: it is read once and goes on with the time that passes, sleep included where
// the system has a clock for that.
type Steady struct {
	wall   func() time.Time
	passed func() time.Duration
	base   time.Time
	from   time.Duration
	ahead  time.Duration // of the machine's clock, as far as it was noticed
}

// NewSteady begins with the machine's clock, which is known to be ahead by so much of the time that is to go on.
func NewSteady(wall func() time.Time, passed func() time.Duration, ahead time.Duration) *Steady {
	return &Steady{wall: wall, passed: passed, base: wall().Add(-ahead), from: passed(), ahead: ahead}
}

// Now is the time.
func (s *Steady) Now() time.Time { return s.base.Add(s.passed() - s.from) }

// Machine is what the machine's clock reads.
func (s *Steady) Machine() time.Time { return s.wall() }

// Moved is how far the machine's clock was moved, or has drifted, ahead (or, negative, back) since that was last asked; 0 for what is
// not worth saying. One goroutine asks.
func (s *Steady) Moved() time.Duration {
	moved := s.wall().Sub(s.Now()) - s.ahead
	if moved.Abs() < stepWorthSaying {
		return 0
	}
	s.ahead += moved
	return moved
}
