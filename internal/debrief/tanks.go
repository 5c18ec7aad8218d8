package debrief

import (
	"cmp"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/fuel"
)

func (m making) tanks() Tanks {
	s := m.log.Sheet
	system := s.Plan.Aircraft.Fuel
	t := Tanks{
		Unit: system.Unit, Limit: system.MaxImbalance, Names: []string{}, Planned: []TankChange{}, Made: []TankChange{}, Gauges: []Gauge{},
		Series: m.tankSeries(),
	}
	for _, tank := range system.Tanks {
		t.Names = append(t.Names, tank.Name)
	}
	for _, change := range s.Tanks.Changes {
		t.Planned = append(t.Planned, TankChange{At: change.At, To: change.To, Imbalance: change.ImbalanceBefore})
	}
	for _, change := range m.last.Tanks().Made {
		t.Made = append(t.Made, TankChange{At: change.At, To: change.To, Imbalance: change.ImbalanceBefore, Seconds: m.changedAfter(change.At)})
	}
	for _, read := range m.standing.gauges {
		for _, tank := range read.reckoned {
			if reading, ok := read.readings[tank.Name]; ok {
				t.Gauges = append(t.Gauges, Gauge{At: read.at, Tank: tank.Name, Reading: reading, Reckoned: tank.Quantity, Difference: reading - tank.Quantity})
			}
		}
	}
	for _, point := range t.Series {
		if point.Imbalance > t.HighestImbalance {
			t.HighestImbalance, t.HighestAt = point.Imbalance, ref(point.At)
		}
	}
	if t.Limit != nil {
		t.MinutesAboveLimit, t.AboveSince = aboveLimit(t.Series, system.TankPairs(), *t.Limit)
	}
	return t
}

// tankSeries is the tanks over the flight, by time; of points at one time the order stays.
func (m making) tankSeries() []TankPoint {
	series := append([]TankPoint{}, m.standing.tanks...)
	slices.SortStableFunc(series, func(a, b TankPoint) int { return cmp.Compare(a.At.UnixNano(), b.At.UnixNano()) })
	return slices.CompactFunc(series, func(a, b TankPoint) bool {
		return a.At.Equal(b.At) && slices.Equal(a.Quantities, b.Quantities)
	})
}

// changedAfter is how long after its prompt was due a change was made.
func (m making) changedAfter(at time.Time) *float64 {
	for _, prompt := range m.final.Closed(m.end) {
		if prompt.Kind == flight.PromptTank && prompt.Answered != nil && prompt.Answered.Equal(at) {
			return prompt.AfterDue()
		}
	}
	return nil
}

// aboveLimit is how many minutes the imbalance was above its limit, to the second, and since when. Between two points of the series the
// quantities go evenly.
func aboveLimit(series []TankPoint, pairs [][2]int, limit float64) (minutes float64, since *time.Time) {
	const step = time.Second
	const longest = 24 * time.Hour
	for i := 1; i < len(series); i++ {
		from, to := series[i-1], series[i]
		length := to.At.Sub(from.At)
		if from.Imbalance <= limit && to.Imbalance <= limit || length <= 0 || length > longest {
			continue
		}
		for at := step / 2; at < length; at += step {
			share := float64(at) / float64(length)
			if imbalanceAt(from, to, share, pairs) <= limit {
				continue
			}
			if since == nil {
				since = ref(from.At.Add(at.Truncate(step)))
			}
			minutes += step.Minutes()
		}
	}
	return minutes, since
}

func imbalanceAt(from, to TankPoint, share float64, pairs [][2]int) float64 {
	highest := 0.0
	quantity := func(tank int) float64 {
		return from.Quantities[tank] + share*(to.Quantities[tank]-from.Quantities[tank])
	}
	for _, pair := range pairs {
		highest = max(highest, fuel.Imbalance(quantity(pair[0]), quantity(pair[1])))
	}
	return highest
}

func (m making) fuel() Fuel {
	s, reserve := m.log.Sheet, m.last.FinalReserve()
	f := Fuel{
		Unit: s.Fuel.Unit, Block: s.Fuel.Block, PlannedBurn: s.Fuel.Taxi + s.Fuel.Trip, MinimumBlock: s.Fuel.MinimumBlock,
		PlannedArrival: s.Fuel.OnArrival, Reserve: reserve.Fuel, ReserveMinutes: reserve.Minutes, ReserveRule: reserve.Rule,
	}
	if arrived := m.standing.arrived; arrived != nil && m.destination().Actual != nil && arrived.At.Equal(*m.destination().Actual) {
		then := arrived.Tanks()
		f.ReckonedArrival = ref(then.TotalUsable)
		f.ReckonedBurn = ref(f.Block - totalOf(then.Tanks))
	}
	for i := len(m.standing.gauges) - 1; i >= 0 && f.MeasuredAt == nil; i-- {
		read := m.standing.gauges[i]
		if len(read.readings) < len(read.reckoned) {
			continue
		}
		total := 0.0
		for _, reading := range read.readings {
			total += reading
		}
		f.MeasuredAt, f.Measured, f.ReckonedThen = ref(read.at), finite(total), finite(read.total)
		f.MeasuredBurn, f.ReckonedBurnThen = finite(f.Block-total), finite(f.Block-read.total)
	}
	if m.first(flight.Airborne) != nil {
		usable, extraMinutes := m.last.OverReserve()
		if landed := m.standing.landed; landed != nil {
			usable, extraMinutes = landed.OverReserve()
		}
		f.Landed, f.ExtraMinutes = finite(usable), finite(extraMinutes)
	}
	return f
}

func totalOf(tanks []flight.TankNow) float64 {
	total := 0.0
	for _, tank := range tanks {
		total += tank.Quantity
	}
	return total
}
