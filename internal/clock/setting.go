package clock

import (
	"fmt"
	"time"
)

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
