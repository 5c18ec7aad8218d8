package debrief

import (
	"time"

	"example.com/legclock/internal/flight"
)

// known collects what was known while the flight was flown.
type known struct {
	interval time.Duration
	looks    *looks

	estimates []estimated
	headings  []headingGiven
	reckoned  []Place
	sampled   time.Time
	revised   time.Time // when estimates were last taken
}

// estimated is the route with its ETAs at a moment.
type estimated struct {
	at    time.Time
	after string
	// major is an estimate that a pilot makes: at take-off, at a passing, at a diversion.
	major bool
	rows  []flight.RoutePoint
}

// headingGiven is what the program gave to steer from a moment on.
type headingGiven struct {
	at       time.Time
	leg      int
	magnetic float64
}

// revising are the acts after which ETAs may differ.
var revising = map[flight.Act]bool{
	flight.OffBlocks: true, flight.Airborne: true, flight.Passing: true, flight.Divert: true, flight.Fix: true, flight.WindReported: true,
	flight.Airspeed: true, flight.Altitude: true, flight.LevelOff: true, flight.Descend: true, flight.Hold: true, flight.Unhold: true,
	flight.Altimeter: true, flight.Void: true, flight.Amend: true, flight.Position: true,
}

// Before samples where the flight was reckoned to be.
func (k *known) Before(state *flight.State, r flight.Record) {
	if k.interval == 0 {
		return
	}
	const longest = 24 * time.Hour // a clock that was set on by a day is no flight
	if k.sampled.IsZero() || r.RecordedAt.Sub(k.sampled) > longest || r.RecordedAt.Before(k.sampled) {
		k.sampled = r.RecordedAt
		return
	}
	for ; k.sampled.Before(r.RecordedAt); k.sampled = k.sampled.Add(k.interval) {
		snapshot := state.Figures(k.sampled)
		if flies(snapshot) && snapshot.Position != nil {
			k.reckoned = append(k.reckoned, Place{At: ref(snapshot.At), Pos: snapshot.Position.Place()})
		}
	}
}

// flies reports whether figures are of a moment in the air, before the landing.
func flies(s flight.Figures) bool {
	return s.Clock.AirborneSeconds != nil && s.Phase != flight.Taxi && s.Phase != flight.Arrived
}

// After takes the estimates that an entry led to.
func (k *known) After(state *flight.State, r flight.Record) {
	if !revising[r.Act] {
		return
	}
	at := r.RecordedAt
	if r.T.After(at) {
		at = r.T
	}
	if r.Act == flight.Position && at.Sub(k.revised) < time.Minute {
		return
	}
	k.revised = at
	snapshot := k.looks.figures(state, r.N, at)
	k.estimates = append(k.estimates, estimated{at: at, after: afterWhat(*r.Event, snapshot), major: isMajor(r.Act), rows: snapshot.Route})
	if snapshot.Steer.HeadingMagnetic != nil && snapshot.Clock.LegSeconds != nil {
		k.headings = append(k.headings, headingGiven{at, snapshot.Leg.Index, *snapshot.Steer.HeadingMagnetic})
	}
}

func isMajor(do flight.Act) bool {
	return do == flight.Airborne || do == flight.Passing || do == flight.Divert
}

// afterWhat names the point or the act that an estimate followed.
func afterWhat(e flight.Event, s flight.Figures) string {
	switch e.Act {
	case flight.Passing:
		return e.Point
	case flight.Airborne:
		return s.Route[0].Point
	default:
		return flight.Describe(flight.Event{Act: e.Act, To: e.To})
	}
}

// pointKey names a point of a route in every Snapshot of it.
type pointKey struct {
	leg, nth int
	point    string
}

// keysOf are the keys of a route's rows.
func keysOf(rows []flight.RoutePoint) []pointKey {
	keys := make([]pointKey, len(rows))
	seen := map[pointKey]int{}
	for i, row := range rows {
		key := pointKey{leg: row.Leg, point: row.Point}
		if row.Checkpoint {
			key.nth = 1 + seen[key]
			seen[pointKey{leg: row.Leg, point: row.Point}]++
		}
		keys[i] = key
	}
	return keys
}

// estimateOf is the estimate of a point in a route, judged by when it was passed; nil when there is none.
func (e estimated) estimateOf(key pointKey, actual *time.Time) *Estimate {
	for i, k := range keysOf(e.rows) {
		row := e.rows[i]
		if k != key || row.Revised == nil {
			continue
		}
		estimate := &Estimate{
			MadeAt: e.at, After: e.after, LeadMinutes: row.Revised.Sub(e.at).Minutes(), Revised: *row.Revised,
			CarriedOver: row.CarriedOver, ByRatio: row.ByRatio,
		}
		if row.SigmaSeconds != nil {
			estimate.SigmaSeconds = *row.SigmaSeconds
		}
		if actual != nil {
			estimate.judge(*actual)
		}
		return estimate
	}
	return nil
}

// judge fills in the errors of an estimate.
func (e *Estimate) judge(actual time.Time) {
	e.LeadMinutes = actual.Sub(e.MadeAt).Minutes()
	e.RevisedErrorSeconds = ref(actual.Sub(e.Revised).Seconds())
	if e.SigmaSeconds > 0 {
		e.Sigmas = finite(*e.RevisedErrorSeconds / e.SigmaSeconds)
	}
	if e.CarriedOver != nil {
		e.CarriedErrorSeconds = ref(actual.Sub(*e.CarriedOver).Seconds())
	}
	if e.ByRatio != nil {
		e.RatioErrorSeconds = ref(actual.Sub(*e.ByRatio).Seconds())
	}
}
