package flight

import (
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
	flown := FlownNow{Mattered: mattered(s.Route)}
	for _, entry := range s.Entries {
		if entry.Event.Act == Landed && !entry.Voided {
			flown.Landings++
		}
	}
	if len(s.Tanks.History) > 0 {
		used := 0.0
		for _, quantity := range s.Tanks.History[0].Quantities {
			used += quantity
		}
		for _, tank := range s.Tanks.Tanks {
			used -= tank.Quantity
		}
		flown.FuelUsed = ref(math.Max(0, used))
	}
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
