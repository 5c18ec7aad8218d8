package fuel

import (
	"fmt"
	"math"
)

// Tank is one of the tanks that the selector can feed the engine from. Quantities are in the aircraft's unit.
type Tank struct {
	Name     string
	Capacity float64 // when full; 0: not said
	Unusable float64 // what stays in the tank when the engine starves
}

// Burn is a piece of the flight to come with a constant flow.
type Burn struct {
	Minutes       float64 // how long it lasts
	FlowPerHour   float64 // planned
	ChangeAllowed bool    // a tank may be changed from its first to its last minute, both included
	Phase         string  // what is said of it in messages: "climb", "cruise", "the last 10 minutes"
}

// Rules are what a schedule has to keep. The zero value asks for nothing but usable fuel.
type Rules struct {
	// MaxImbalance is the largest difference of quantities within each of Pairs; 0 means that there is no limit.
	MaxImbalance float64
	// Pairs are the indexes of the tanks that the limit compares. With two tanks they may be left out; with more they
	// must be named if there is a limit.
	Pairs [][2]int
	// ChangeEveryMinutes is the longest time on one tank, counted from the last change; 0 means none.
	ChangeEveryMinutes float64
	// ExtraBurnFraction is how much more than planned may be burned, from now to landing, with every rule still kept:
	// 0.10 for 10 % more. The times of the changes stay the same.
	ExtraBurnFraction float64
	// LandingReserve is the quantity above unusable that the tank in use should hold on landing, by the planned burn.
	LandingReserve float64
}

// FreeToChoose as Request.Selected lets the schedule choose the tank to start on.
const FreeToChoose = -1

// Request is everything that a schedule is planned from. Minutes count from a zero of the caller's, at which the first
// Burn begins.
type Request struct {
	UnitName           string // of all quantities, as messages should say it (Unit.Short); empty: not said
	Tanks              []Tank
	Quantities         []float64 // now, by tank
	Selected           int       // the tank now in use, or FreeToChoose
	SinceChangeMinutes float64   // how long it has been in use
	Burns              []Burn
	Rules              Rules
}

// problem says what is wrong with a request that can't be reckoned with at all, or nil.
func (r Request) problem() error {
	if len(r.Tanks) == 0 {
		return fmt.Errorf("no tanks: at least one is needed")
	}
	if len(r.Tanks) > mostTanks {
		return fmt.Errorf("%d tanks: at most %d can be scheduled", len(r.Tanks), mostTanks)
	}
	if len(r.Quantities) != len(r.Tanks) {
		return fmt.Errorf("%d tanks but %d quantities: one for each tank is needed", len(r.Tanks), len(r.Quantities))
	}
	for i, tank := range r.Tanks {
		if !counts(tank.Unusable) {
			return fmt.Errorf("tank %q: unusable quantity %v: it must be 0 or more", tank.Name, tank.Unusable)
		}
		if !counts(r.Quantities[i]) {
			return fmt.Errorf("tank %q: quantity %v: it must be 0 or more", tank.Name, r.Quantities[i])
		}
	}
	if r.Selected != FreeToChoose && (r.Selected < 0 || r.Selected >= len(r.Tanks)) {
		return fmt.Errorf("selected tank %d: it must be from 0 to %d, or FreeToChoose", r.Selected, len(r.Tanks)-1)
	}
	for i, burn := range r.Burns {
		if !counts(burn.Minutes) || !counts(burn.FlowPerHour) {
			return fmt.Errorf("burn %d (%s): %v minutes at %v an hour: both must be 0 or more", i, burn.Phase, burn.Minutes, burn.FlowPerHour)
		}
	}
	if !counts(r.SinceChangeMinutes) {
		return fmt.Errorf("%v minutes since the last change: it must be 0 or more", r.SinceChangeMinutes)
	}
	return r.Rules.problem(len(r.Tanks))
}

func (r Rules) problem(tanks int) error {
	for _, figure := range []struct {
		name  string
		value float64
	}{
		{"largest imbalance", r.MaxImbalance},
		{"longest time on one tank", r.ChangeEveryMinutes},
		{"extra burn", r.ExtraBurnFraction},
		{"landing reserve", r.LandingReserve},
	} {
		if !counts(figure.value) {
			return fmt.Errorf("%s %v: it must be 0 or more", figure.name, figure.value)
		}
	}
	for _, pair := range r.Pairs {
		for _, tank := range pair {
			if tank < 0 || tank >= tanks {
				return fmt.Errorf("pair %v: there is no tank %d", pair, tank)
			}
		}
		if pair[0] == pair[1] {
			return fmt.Errorf("pair %v: a tank can't be compared with itself", pair)
		}
	}
	if r.MaxImbalance > 0 && len(r.Pairs) == 0 && tanks > 2 {
		return fmt.Errorf("a largest imbalance with %d tanks: the pairs it applies to must be named", tanks)
	}
	return nil
}

// counts reports whether a figure is a finite number not below 0.
func counts(figure float64) bool { return figure >= 0 && !math.IsInf(figure, 1) }

// pairs are the pairs of tanks whose imbalance is reckoned.
func (r Request) pairs() [][2]int {
	if len(r.Rules.Pairs) > 0 {
		return r.Rules.Pairs
	}
	if len(r.Tanks) == 2 {
		return [][2]int{{0, 1}}
	}
	return nil
}
