package debrief

import (
	"time"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
)

// standing collects what happened, by the entries that stand in the end.
type standing struct {
	interval time.Duration
	looks    *looks

	legs    map[int]legSeen
	winds   []Wind
	tanks   []TankPoint
	gauges  []gaugesRead
	late    map[string]flight.Prompt // seen late, by id
	order   []string                 // of late
	fixed   []Place
	fed     []feed.Sample
	sampled time.Time
	leg     map[int]int // the leg that was flown before an entry, by the entry's number
	arrived *flight.Figures
	landed  *flight.Glance
}

// legSeen is a leg just before its end was passed.
type legSeen struct {
	flight.LegNow
	tasKt float64
	drift *float64
	wind  *Wind // once it was passed
}

// gaugesRead is a reading of the gauges beside what was reckoned.
type gaugesRead struct {
	at       time.Time
	readings map[string]float64
	reckoned []flight.TankNow
	total    float64 // reckoned
}

// watched are the acts about which the whole Snapshot is taken.
var watched = map[flight.Act]bool{
	flight.Airborne: true, flight.Passing: true, flight.Divert: true, flight.Landed: true, flight.OnBlocks: true, flight.TankChange: true,
	flight.Gauges: true, flight.Flow: true, flight.LevelOff: true, flight.Descend: true, flight.Hold: true, flight.Unhold: true,
	flight.Fix: true,
}

// Before looks at the flight just before an entry.
func (s *standing) Before(state *flight.State, r flight.Record) {
	s.sample(state, r.T)
	if !watched[r.Act] {
		return
	}
	snapshot := s.looks.glance(state, r.N-1, r.T)
	s.noteLate(state.LateAt(r.T))
	s.noteTanks(snapshot)
	if s.leg == nil {
		s.leg = map[int]int{}
	}
	s.leg[r.N] = snapshot.Leg.Index
	switch r.Act {
	case flight.Passing:
		s.legs[snapshot.Leg.Index] = legSeen{LegNow: snapshot.Leg, tasKt: snapshot.Steer.TASKt, drift: snapshot.Steer.Drift}
	case flight.Gauges:
		total := 0.0
		for _, tank := range snapshot.Tanks.Tanks {
			total += tank.Quantity
		}
		s.gauges = append(s.gauges, gaugesRead{at: r.T, readings: r.Tanks, reckoned: snapshot.Tanks.Tanks, total: total})
	}
}

// After looks at it just after.
func (s *standing) After(state *flight.State, r flight.Record) {
	if r.Act == flight.Position {
		if r.At != nil {
			s.fed = append(s.fed, feed.Sample{Time: r.T, At: *r.At, AltitudeFt: r.Alt, GroundspeedKt: r.GS, TrackTrue: r.Track})
		}
		return
	}
	if !watched[r.Act] {
		return
	}
	s.noteTanks(s.looks.glance(state, r.N, r.T))
	switch r.Act {
	case flight.Passing:
		s.notePassing(s.looks.figures(state, r.N, r.T), r)
	case flight.Fix:
		snapshot := s.looks.figures(state, r.N, r.T)
		if snapshot.Position != nil && snapshot.Position.By == flight.ByFix {
			s.fixed = append(s.fixed, Place{At: &r.T, Name: flight.Describe(*r.Event), Pos: snapshot.Position.Place()})
		}
	case flight.Landed:
		if s.landed == nil {
			s.landed = ref(s.looks.glance(state, r.N, r.T))
		}
	}
}

// notePassing notes the wind after a passing, and the arrival.
func (s *standing) notePassing(snapshot flight.Figures, r flight.Record) {
	leg := s.leg[r.N]
	seen := s.legs[leg]
	w := snapshot.Wind
	wind := Wind{
		At: r.T, After: r.Point, Leg: leg, AltitudeFt: seen.AltitudeFt, FromTrue: w.FromTrue, SpeedKt: w.SpeedKt, SigmaKt: w.SigmaKt,
		Source: w.Source, ForecastFrom: w.ForecastFrom, ForecastKt: w.ForecastKt,
	}
	if snapshot.Position != nil && snapshot.Next != nil { // overhead the destination the Snapshot's wind is that of the last level
		wind.AltitudeFt = snapshot.Position.AltitudeFt
	}
	s.winds = append(s.winds, wind)
	for _, row := range snapshot.Route {
		if row.Leg == leg && !row.Checkpoint && row.Actual != nil && row.Actual.Equal(r.T) {
			seen.wind = &wind
			s.legs[leg] = seen
			s.arrived = &snapshot // the last one that stays is the destination's
		}
	}
}

func (s *standing) noteLate(prompts []flight.Prompt) {
	for _, prompt := range prompts {
		if !askedOfAHand(prompt.Kind) {
			continue
		}
		if _, seen := s.late[prompt.ID]; !seen {
			s.order = append(s.order, prompt.ID)
		}
		s.late[prompt.ID] = prompt
	}
}

func (s *standing) noteTanks(snapshot flight.Glance) {
	point := TankPoint{At: snapshot.At, Imbalance: snapshot.Tanks.Imbalance}
	for _, tank := range snapshot.Tanks.Tanks {
		point.Quantities = append(point.Quantities, tank.Quantity)
	}
	s.tanks = append(s.tanks, point)
}

// sample follows the tanks between the entries.
func (s *standing) sample(state *flight.State, until time.Time) {
	if s.interval == 0 {
		return
	}
	const longest = 24 * time.Hour
	if s.sampled.IsZero() || until.Sub(s.sampled) > longest || until.Before(s.sampled) {
		s.sampled = until
		return
	}
	const sparse = 2
	for ; s.sampled.Before(until); s.sampled = s.sampled.Add(sparse * s.interval) {
		if snapshot := state.Glance(s.sampled); snapshot.Clock.BlockSeconds != nil || snapshot.Clock.AirborneSeconds != nil {
			s.noteTanks(snapshot)
		}
	}
}

// askedOfAHand reports whether a kind of prompt is answered by a hand; the others come true by flying.
func askedOfAHand(kind flight.PromptKind) bool {
	switch kind {
	case flight.PromptAct, flight.PromptTurn, flight.PromptLevel:
		return false
	default:
		return true
	}
}

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
	// major is an estimate that a pilot makes: at take-off, at a passing, at a diversion, at the end of a hold.
	major bool
	rows  []flight.RoutePoint
}

// headingGiven is what the program gave to steer from a moment on.
type headingGiven struct {
	at       time.Time
	leg      int
	magnetic float64
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
	if !r.Act.RevisesETAs() {
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
	return do == flight.Airborne || do == flight.Passing || do == flight.Divert || do == flight.Unhold
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
