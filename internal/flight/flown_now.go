package flight

import (
	"iter"
	"math"
	"time"
)

// FlownNow is what a flight was, once it has arrived.
type FlownNow struct {
	Landings         int       `json:"landings"`
	FuelUsed         *float64  `json:"fuel_used"`         // since off-blocks, in the aircraft's unit; nil where the fuel then is not known
	HighestImbalance *float64  `json:"highest_imbalance"` // of any pair of tanks; nil without a pair
	Mattered         *LegFlown `json:"mattered"`          // the leg whose time differed most from the plan's; nil: none was timed
	LatePrompts      int       `json:"late_prompts"`      // that were answered late
	Latest           string    `json:"latest,omitempty"`  // of these, the one answered latest
	LatestSeconds    float64   `json:"latest_seconds"`    // after it was due
}

// LegFlown is a leg between two points that were both timed.
type LegFlown struct {
	From              string  `json:"from"`
	To                string  `json:"to"`
	DifferenceSeconds float64 `json:"difference_seconds"` // flown less planned: positive, it took longer
	GroundspeedKt     float64 `json:"groundspeed_kt"`     // measured
}

// flownNow is what the flight of a Snapshot was; nil before its arrival.
func flownNow(s *Snapshot) *FlownNow {
	if s.Phase != Arrived {
		return nil
	}
	flown := FlownNow{Mattered: mattered(s.Route), FuelUsed: s.Tanks.Used()}
	flown.Landings = CountLandings(func(yield func(Event) bool) {
		for _, entry := range s.Entries {
			if !entry.Voided && !yield(*entry.Event) {
				return
			}
		}
	})
	if len(s.Tanks.Pairs) > 0 {
		highest := 0.0
		for _, moment := range s.Tanks.History {
			for _, difference := range moment.Differences {
				highest = math.Max(highest, math.Abs(difference))
			}
		}
		flown.HighestImbalance = &highest
	}
	for _, p := range s.Prompts {
		if p.State != PromptDone || p.Answered == nil || p.LateAt == nil || !p.Answered.After(*p.LateAt) {
			continue
		}
		flown.LatePrompts++
		if by := p.Answered.Truncate(time.Second).Sub(p.Due.Truncate(time.Second)).Seconds(); by > flown.LatestSeconds {
			flown.Latest, flown.LatestSeconds = p.Text, by
		}
	}
	return &flown
}

// CountLandings is how many landings a flight had, of its entries as they stand: as many as were said on blocks, or else as were logged.
func CountLandings(entries iter.Seq[Event]) int {
	logged := 0
	for e := range entries {
		switch {
		case e.Act == Landed:
			logged++
		case e.Act == OnBlocks && e.Landings != nil:
			return int(*e.Landings)
		}
	}
	return logged
}

// Used is the fuel used since off blocks, in the aircraft's unit; nil where what was in the tanks then is not known.
func (t TankFigures) Used() *float64 {
	if len(t.History) == 0 {
		return nil
	}
	used := 0.0
	for _, quantity := range t.History[0].Quantities {
		used += quantity
	}
	for _, tank := range t.Tanks {
		used -= tank.Quantity
	}
	return ref(math.Max(0, used))
}

// mattered is the leg whose time differed most from the plan's.
func mattered(route []RoutePoint) (most *LegFlown) {
	var before *RoutePoint
	for i := range route {
		p := &route[i]
		if p.Checkpoint || p.Diverted || p.Actual == nil || p.DifferenceSeconds == nil {
			continue
		}
		if before != nil {
			leg := LegFlown{before.Point, p.Point, *p.DifferenceSeconds - *before.DifferenceSeconds, p.GroundspeedKt}
			if most == nil || math.Abs(leg.DifferenceSeconds) > math.Abs(most.DifferenceSeconds) {
				most = &leg
			}
		}
		before = p
	}
	return most
}
