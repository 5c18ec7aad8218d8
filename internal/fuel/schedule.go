package fuel

import (
	"fmt"
	"slices"
	"sort"
)

// Change is a change of the tank in use.
type Change struct {
	AtMinutes       float64
	To              int       // index of the tank changed to
	ImbalanceBefore float64   // just then, by the planned burn
	Quantities      []float64 // just then, by the planned burn
}

// Schedule says which tank feeds the engine when, and what comes of it. Quantities and imbalances are by the planned burn
// unless they say extra.
type Schedule struct {
	StartOn int // tank in use at minute 0, before any change at minute 0
	Changes []Change
	LandsOn int // tank in use on landing

	HighestImbalance      float64 // from minute 0 to landing
	HighestImbalanceExtra float64 // the same with the extra burn
	ImbalanceAtStart      float64
	StartsAboveLimit      bool
	WithinLimitAtMinutes  float64 // when an imbalance above the limit at the start has fallen to it; +Inf if not before landing

	Remaining        []float64 // on landing
	LandsOnFullest   bool      // no tank holds more usable fuel on landing than the one in use
	LandsWithReserve bool      // the tank in use on landing holds the landing reserve above its unusable quantity
	HoldsExtraBurn   bool      // with the extra burn too no tank is fed below its unusable quantity
	Broken           []Broken  // rules that it doesn't keep, the gravest first

	pairs [][2]int
	track []knot
}

// knot is a time at which the flow or the tank changes; between two knots all quantities are linear.
type knot struct {
	minutes    float64
	quantities []float64
	fed        int // the tank in use from here on
}

// QuantitiesAt returns the quantity in each tank at a time, by the planned burn: before minute 0 those at the start, after
// landing those on landing. A tank in use without usable fuel keeps what is unusable in it.
func (s Schedule) QuantitiesAt(minutes float64) []float64 {
	after := sort.Search(len(s.track), func(i int) bool { return s.track[i].minutes >= minutes })
	switch {
	case len(s.track) == 0:
		return nil
	case after == len(s.track):
		return slices.Clone(s.Remaining)
	case after == 0:
		return slices.Clone(s.track[0].quantities)
	}
	a, b := s.track[after-1], s.track[after]
	share := (minutes - a.minutes) / (b.minutes - a.minutes)
	quantities := make([]float64, len(a.quantities))
	for i := range quantities {
		quantities[i] = a.quantities[i] + share*(b.quantities[i]-a.quantities[i])
	}
	return quantities
}

// Knots are the times at which the flow or the tank in use changes, from minute 0 to landing: between two of them all quantities
// go evenly.
func (s Schedule) Knots() []float64 {
	minutes := make([]float64, len(s.track))
	for i, k := range s.track {
		minutes[i] = k.minutes
	}
	return minutes
}

// ImbalanceAt returns the largest imbalance within a pair at a time, by the planned burn. Two tanks are a pair; of more,
// only those named in the rules.
func (s Schedule) ImbalanceAt(minutes float64) float64 {
	imbalance, _ := LargestImbalance(s.QuantitiesAt(minutes), s.pairs)
	return imbalance
}

// TankAt returns the index of the tank in use at a time; at the time of a change, the tank changed to.
func (s Schedule) TankAt(minutes float64) int {
	tank := s.StartOn
	for _, change := range s.Changes {
		if change.AtMinutes <= minutes {
			tank = change.To
		}
	}
	return tank
}

// Follow reckons a schedule that somebody else made: which rules of the request it breaks, and the figures that come of
// it. Of the changes only the times, which must not run backwards, and the tanks count. The error is about a request or
// changes that can't be reckoned with; broken rules are in the Schedule.
func Follow(request Request, startOn int, changes []Change) (Schedule, error) {
	if err := request.problem(); err != nil {
		return Schedule{}, err
	}
	if startOn < 0 || startOn >= len(request.Tanks) {
		return Schedule{}, fmt.Errorf("start on tank %d: it must be from 0 to %d", startOn, len(request.Tanks)-1)
	}
	p := newProblem(request)
	c := course{start: startOn}
	last := 0.0
	for i, change := range changes {
		if !(change.AtMinutes >= last) || change.AtMinutes > p.line.end {
			return Schedule{}, fmt.Errorf("change %d at minute %v: it must be from minute %v to %v", i+1, change.AtMinutes, last, p.line.end)
		}
		if change.To < 0 || change.To >= len(request.Tanks) {
			return Schedule{}, fmt.Errorf("change %d to tank %d: it must be from 0 to %d", i+1, change.To, len(request.Tanks)-1)
		}
		last = change.AtMinutes
		c.stops = append(c.stops, stop{change.AtMinutes, change.To})
	}
	return p.schedule(c), nil
}
