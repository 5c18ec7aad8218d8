package debrief

import (
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// passings are the points that were passed, in the order of the route, each with the ETAs that there were at the point before.
func (m making) passings() []Passing {
	passings := []Passing{}
	for i, row := range m.route {
		if i == 0 || row.Actual == nil {
			continue
		}
		p := Passing{
			Point: row.Point, Name: row.Name, Leg: row.Leg, Checkpoint: row.Checkpoint, AfterNM: row.AfterNM, At: *row.Actual, Planned: row.Planned,
			Estimate: m.estimateBefore(keyOf(m.route, i), *row.Actual), GroundspeedKt: m.speedTo(i),
		}
		if !row.Planned.IsZero() {
			p.PlanErrorSeconds = say.Apart(row.Planned, *row.Actual).Seconds()
		}
		if r := m.entryOf(row); r != nil {
			p.EnteredAfter, p.OffTrackNM = math.Max(0, r.After().Seconds()), r.OffTrack
		}
		passings = append(passings, p)
	}
	return passings
}

// entryOf is the standing entry of a passing; nil when it came from something else.
func (m making) entryOf(row flight.RoutePoint) *flight.Record {
	for i := range m.entries {
		if r := &m.entries[i]; r.Act == flight.Passing && r.Point == row.Point && r.T.Equal(*row.Actual) {
			return r
		}
	}
	return nil
}

// estimateBefore is the last estimate that a pilot made of a point, at a passing or at take-off, before it was passed.
func (m making) estimateBefore(key pointKey, actual time.Time) *Estimate {
	for i := len(m.known.estimates) - 1; i >= 0; i-- {
		e := m.known.estimates[i]
		if !e.major || !e.at.Before(actual) {
			continue
		}
		if estimate := e.estimateOf(key, &actual); estimate != nil {
			estimate.CorrectedSince = !e.stillStands(m.route)
			return estimate
		}
	}
	return nil
}

// speedTo is the groundspeed from the place passed before on the same leg, or from the leg's start, to a row that was passed.
func (m making) speedTo(i int) *float64 {
	row := m.route[i]
	for j := i - 1; j >= 0; j-- {
		before := m.route[j]
		fromNM := before.AfterNM
		if before.Leg != row.Leg {
			fromNM = 0
		}
		if before.Diverted && before.Actual == nil || before.Actual == nil && before.Checkpoint {
			continue
		}
		if before.Actual == nil || row.Leg >= len(m.log.Sheet.Legs) && before.Leg != row.Leg {
			return nil
		}
		minutes := m.minutesFlown(*before.Actual, *row.Actual)
		if minutes == nil || *minutes <= 0 || row.AfterNM <= fromNM {
			return nil
		}
		return finite(deadreckon.Groundspeed(row.AfterNM-fromNM, *minutes))
	}
	return nil
}

// sumUp sums the errors up.
func sumUp(passings []Passing) ETAErrors {
	var sums ETAErrors
	var plan, hand, revised, within1, within2 mean
	for _, p := range passings {
		if p.Estimate == nil || p.Estimate.RevisedErrorSeconds == nil {
			continue
		}
		sums.Count++
		plan.add(math.Abs(p.PlanErrorSeconds))
		revised.add(math.Abs(*p.Estimate.RevisedErrorSeconds))
		if by := p.Estimate.HandErrorSeconds(); by != nil {
			hand.add(math.Abs(*by))
		}
		if z := p.Estimate.Sigmas; z != nil {
			within1.count(math.Abs(*z) <= 1)
			within2.count(math.Abs(*z) <= 2)
		}
	}
	sums.PlanMean, sums.HandMean, sums.RevisedMean = plan.value(), hand.value(), revised.value()
	sums.Within1Sigma, sums.Within2Sigma = within1.value(), within2.value()
	return sums
}

// mean is a running mean.
type mean struct{ sum, n float64 }

func (m *mean) add(value float64) { m.sum, m.n = m.sum+value, m.n+1 }

func (m *mean) count(yes bool) {
	if yes {
		m.add(1)
		return
	}
	m.add(0)
}

// value is the mean; nil of nothing.
func (m mean) value() *float64 {
	if m.n == 0 {
		return nil
	}
	return finite(m.sum / m.n)
}

// arrival is the ETA at the destination as it was revised. An estimate of another destination, before a diversion, is not judged.
func (m making) arrival() []Estimate {
	arrival := []Estimate{}
	final := m.destination()
	if final.Leg < 0 {
		return arrival
	}
	finalKey := pointKey{leg: final.Leg, point: final.Point}
	for _, e := range m.known.estimates {
		if final.Actual != nil && !e.at.Before(*final.Actual) {
			break
		}
		if estimate := e.estimateOf(finalKey, final.Actual); estimate != nil {
			estimate.CorrectedSince = !e.stillStands(m.route)
			arrival = append(arrival, *estimate)
		}
	}
	return arrival
}
