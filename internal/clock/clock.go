// Package clock is the only clock: wall, offset, rate, pause; fixed in tests.
//
// Two times are kept apart. Wall time is the machine's. Flight time is what the flight is flown by: a simulator may run
// at another rate, on another day, or be paused. A [Setting] maps the one to the other and is pure, so that a journal that
// carries every change of setting can be replayed exactly: [Setting.After] gives the setting after a change, and a
// [Clock] that adopts what it returns reads the same as a replay does.
//
// The machine's clock may be set, and stands for nothing while the machine sleeps: a [Steady] is wall time that neither moves, and says what
// became of the machine's. The monotonic reading that Go adds to a time is taken off: it stands still in sleep on most systems, and can't be
// written to a file. Times are UTC, to the millisecond.
package clock

import (
	"fmt"
	"sync"
	"time"
)

// Resolution is the finest step of a time that is read from a Clock.
const Resolution = time.Millisecond

func plain(t time.Time) time.Time { return t.Round(0).UTC().Truncate(Resolution) }

// Clock is a running flight clock. It may be read from several goroutines.
type Clock struct {
	wall    func() time.Time
	maxRate float64
	mutex   sync.Mutex
	setting Setting
}

// New starts a clock with a setting over a source of wall time.
func New(setting Setting, wall func() time.Time) *Clock {
	return &Clock{wall: wall, setting: setting, maxRate: MaxRate}
}

// NewReplay starts a clock that may run up to ReplayMaxRate.
func NewReplay(setting Setting, wall func() time.Time) *Clock {
	return &Clock{wall: wall, setting: setting, maxRate: ReplayMaxRate}
}

// MaxRate is the highest rate that a change may give the clock.
func (c *Clock) MaxRate() float64 { return c.maxRate }

// Wall is the machine's time now.
func (c *Clock) Wall() time.Time { return plain(c.wall()) }

// Now is the flight time now.
func (c *Clock) Now() time.Time { return plain(c.Setting().At(c.Wall())) }

// Setting is the setting in use.
func (c *Clock) Setting() Setting {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.setting
}

// Change applies a change now and returns the new setting. A change that fails Check changes nothing.
func (c *Clock) Change(change Change) (Setting, error) {
	if err := change.CheckUpTo(c.maxRate); err != nil {
		return c.Setting(), err
	}
	setting := c.Setting().After(c.Wall(), change)
	c.Adopt(setting)
	return setting, nil
}

// Adopt makes the clock run by a setting: the one that a recorded change has led to.
func (c *Clock) Adopt(setting Setting) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.setting = setting
}

// Hand is a source of wall time that is moved by hand, for tests.
type Hand struct {
	mutex sync.Mutex
	at    time.Time
}

// NewHand starts a hand-moved source at a time.
func NewHand(at time.Time) *Hand { return &Hand{at: at} }

// Wall is the time that the hand shows: pass it to New.
func (h *Hand) Wall() time.Time {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	return h.at
}

// Move advances the hand.
func (h *Hand) Move(by time.Duration) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	h.at = h.at.Add(by)
}

// Fixed is a clock that stands at a flight time, for tests.
func Fixed(at time.Time) *Clock { return New(Real(at), func() time.Time { return at }) }

// stepWorthSaying: smaller differences between the machine's clock and the time that passed are the ordinary steering of clocks.
const stepWorthSaying = 2 * time.Second

// Steady is wall time that no step of the machine's clock moves: it is read once and goes on with the time that passes, sleep included where
// the system has a clock for that.
type Steady struct {
	wall   func() time.Time
	passed func() Passed
	base   time.Time
	from   Passed
	ahead  time.Duration // of the machine's clock, as far as it was noticed
}

// Passed is the time that has passed since some moment, which no setting of clocks moves.
type Passed struct {
	Time  time.Duration // sleep included where the system counts it
	Slept time.Duration // the part of it in which the machine slept; 0 where the system does not count that
}

// NewSteady begins with the machine's clock, which is known to be ahead by so much of the time that is to go on.
func NewSteady(wall func() time.Time, passed func() Passed, ahead time.Duration) *Steady {
	return &Steady{wall: wall, passed: passed, base: wall().Add(-ahead), from: passed(), ahead: ahead}
}

// Now is the time.
func (s *Steady) Now() time.Time { return s.base.Add(s.passed().Time - s.from.Time) }

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

// Slept is how long the machine has slept since that was last asked; 0 for what is not worth saying. One goroutine asks.
func (s *Steady) Slept() time.Duration {
	slept := s.passed().Slept - s.from.Slept
	if slept < stepWorthSaying {
		return 0
	}
	s.from.Slept += slept
	return slept
}

// MinRate and MaxRate bound the rate of the flight clock: simulators run between half and sixteen times real time. A replay, in
// which nothing is flown, may run up to ReplayMaxRate.
const (
	MinRate       = 0.5
	MaxRate       = 16.0
	ReplayMaxRate = 60.0
)

// Setting maps wall time to flight time: at Wall the flight clock read Flight, and it has run at Rate since, unless it is
// paused. A Rate of 0 counts as 1, so that the zero Setting with both times equal is real time.
type Setting struct {
	Wall, Flight time.Time
	Rate         float64
	Paused       bool
}

// Real is the setting of a flight in real time: flight time is wall time.
func Real(wall time.Time) Setting { return Setting{Wall: wall, Flight: wall, Rate: 1} }

// At is the flight time at a wall time. Before Setting.Wall the flight clock had not been set: it reads as if it had
// run at this setting all along, except when paused, when it stands.
func (s Setting) At(wall time.Time) time.Time {
	if s.Paused {
		return s.Flight
	}
	if s.rate() == 1 { // in this order no setting is too long ago, the zero one neither
		return wall.Add(s.Flight.Sub(s.Wall))
	}
	return s.Flight.Add(time.Duration(float64(wall.Sub(s.Wall)) * s.rate()))
}

func (s Setting) rate() float64 {
	if s.Rate == 0 {
		return 1
	}
	return s.Rate
}

// Change is what is to become of a setting; a nil field is kept.
type Change struct {
	Rate   *float64
	Paused *bool
	Set    *time.Time // what the flight clock is to read
}

// Check says what is wrong with a change of a flight's clock, nil when nothing is.
func (c Change) Check() error { return c.CheckUpTo(MaxRate) }

// CheckUpTo is Check with another highest rate.
func (c Change) CheckUpTo(maxRate float64) error {
	if c.Rate == nil && c.Paused == nil && c.Set == nil {
		return fmt.Errorf("clock: nothing to change: give a rate, a pause or a time")
	}
	if c.Rate != nil && !(*c.Rate >= MinRate && *c.Rate <= maxRate) {
		return fmt.Errorf("clock: rate %g: must be from %g to %g", *c.Rate, MinRate, maxRate)
	}
	return nil
}

// After is the setting after a change made at a wall time. Flight time has no jump unless the change sets it.
func (s Setting) After(wall time.Time, c Change) Setting {
	next := Setting{Wall: wall, Flight: s.At(wall), Rate: s.rate(), Paused: s.Paused}
	if c.Rate != nil {
		next.Rate = *c.Rate
	}
	if c.Paused != nil {
		next.Paused = *c.Paused
	}
	if c.Set != nil {
		next.Flight = *c.Set
	}
	return next
}
