package debrief

import (
	"slices"
	"time"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// standing collects what happened, by the entries that stand in the end.
type standing struct {
	looks *looks

	legs    map[int]legSeen
	winds   []Wind
	tanks   []TankPoint
	gauges  []gaugesRead
	late    map[string]flight.Prompt // seen late, by id
	order   []string                 // of late
	fixed   []Place
	fed     []feed.Sample
	sampled time.Time
	leg     map[int]int      // the leg that was flown before an entry, by the entry's number
	beside  map[int]*float64 // how far off track a fix put the aircraft, right positive, by the entry's number
	arrived *flight.Look
	landed  *flight.Look
}

// legSeen is a leg just before its end was passed.
type legSeen struct {
	flight.LegNow
	tasKt float64
	wind  *Wind // once it was passed
}

// gaugesRead is a reading of the gauges beside what was reckoned.
type gaugesRead struct {
	at       time.Time
	readings map[string]float64
	reckoned []flight.TankNow
	total    float64 // reckoned
}

// watched are the acts before and after which the flight is looked at.
var watched = map[flight.Act]bool{
	flight.Airborne: true, flight.Passing: true, flight.Divert: true, flight.Landed: true, flight.OnBlocks: true, flight.TankChange: true,
	flight.Gauges: true, flight.Flow: true, flight.LevelOff: true, flight.Descend: true, flight.Hold: true, flight.Unhold: true,
	flight.Fix: true,
}

// expect makes room for the positions among records, of which there may be thousands.
func (s *standing) expect(records []flight.Record) {
	positions := 0
	for i := range records {
		if records[i].Act == flight.Position {
			positions++
		}
	}
	s.fed = make([]feed.Sample, 0, positions)
}

// Before looks at the flight just before an entry.
func (s *standing) Before(state *flight.State, r flight.Record) {
	s.sample(state, r.T)
	if !watched[r.Act] {
		return
	}
	look := s.looks.at(state, r.N-1, r.T)
	s.noteLate(look.Late())
	s.noteTanks(look)
	if s.leg == nil {
		s.leg = map[int]int{}
	}
	leg := look.Leg()
	s.leg[r.N] = leg.Index
	switch r.Act {
	case flight.Passing:
		s.legs[leg.Index] = legSeen{LegNow: leg, tasKt: look.Steer().TASKt}
	case flight.Gauges:
		reckoned := look.Tanks().Tanks
		s.gauges = append(s.gauges, gaugesRead{at: r.T, readings: r.Tanks, reckoned: reckoned, total: totalOf(reckoned)})
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
	look := s.looks.at(state, r.N, r.T)
	s.noteTanks(look)
	switch r.Act {
	case flight.Passing:
		s.notePassing(look, r)
	case flight.Fix:
		if position := look.Position(); position != nil && position.By == flight.ByFix {
			s.fixed = append(s.fixed, Place{At: &r.T, Name: flight.Describe(*r.Event), Pos: position.Place()})
			s.beside[r.N] = position.OffTrackNM
		}
	case flight.Landed:
		if s.landed == nil {
			s.landed = &look
		}
	}
}

// notePassing notes the wind after a passing, and the arrival.
func (s *standing) notePassing(look flight.Look, r flight.Record) {
	leg := s.leg[r.N]
	seen := s.legs[leg]
	w := look.Wind()
	wind := Wind{
		At: r.T, After: r.Point, Leg: leg, AltitudeFt: seen.AltitudeFt, FromTrue: w.FromTrue, SpeedKt: w.SpeedKt, SigmaKt: w.SigmaKt,
		Source: w.Source, ForecastFrom: w.ForecastFrom, ForecastKt: w.ForecastKt,
	}
	if position := look.Position(); position != nil && look.Ahead() { // overhead the destination the wind is that of the last level
		wind.AltitudeFt = position.AltitudeFt
	}
	s.winds = append(s.winds, wind)
	if at := look.Ended(leg); !at.IsZero() && at.Equal(r.T) {
		seen.wind = &wind
		s.legs[leg] = seen
		s.arrived = &look // the last one that stays is the destination's
	}
}

func (s *standing) noteLate(prompts []flight.Prompt) {
	for _, prompt := range prompts {
		if !prompt.Kind.ByHand() {
			continue
		}
		if _, seen := s.late[prompt.ID]; !seen {
			s.order = append(s.order, prompt.ID)
		}
		s.late[prompt.ID] = prompt
	}
}

func (s *standing) noteTanks(look flight.Look) {
	quantities, imbalance := look.Quantities()
	s.tanks = append(s.tanks, TankPoint{At: look.At, Quantities: quantities, Imbalance: imbalance})
}

// sample follows the tanks between the entries, where the flow changes too.
func (s *standing) sample(state *flight.State, until time.Time) {
	const every, longest = 2 * time.Minute, 24 * time.Hour
	if s.sampled.IsZero() || until.Sub(s.sampled) > longest || until.Before(s.sampled) {
		s.sampled = until
		return
	}
	for ; s.sampled.Before(until); s.sampled = s.sampled.Add(every) {
		look := state.Look(s.sampled)
		if clock := look.Clock(); clock.BlockSeconds != nil || clock.AirborneSeconds != nil {
			s.noteTanks(look)
		}
	}
}

// known collects what was known while the flight was flown.
type known struct {
	interval  time.Duration
	looks     *looks
	departure string // the ident of the point that the route begins at
	records   []flight.Record

	estimates []*estimated
	headings  []headingGiven
	reckoned  []Place
	sampled   time.Time
	revised   time.Time // when estimates were last taken
}

// estimated is the route with its ETAs at a moment.
type estimated struct {
	at    time.Time
	after string
	// major is an estimate that a pilot makes: at take-off, at a passing, at a diversion, at the end of a hold, and when one of these is corrected.
	major bool
	look  flight.Look
	rows  []flight.RoutePoint // of its route, once somebody has asked
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
		look := state.Look(k.sampled)
		if !flies(look) {
			continue
		}
		if position := look.Position(); position != nil {
			k.reckoned = append(k.reckoned, Place{At: ref(look.At), Pos: position.Place()})
		}
	}
}

// flies reports whether a look is at a moment in the air, before the landing.
func flies(look flight.Look) bool {
	phase := look.Phase()
	return phase != flight.Taxi && phase != flight.Arrived && look.Clock().AirborneSeconds != nil
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
	after, major := k.afterWhat(r)
	if !major && k.interval == 0 { // the others are only drawn
		return
	}
	look := k.looks.at(state, r.N, at)
	k.estimates = append(k.estimates, &estimated{at: at, after: after, major: major, look: look})
	if k.interval == 0 {
		return
	}
	if heading := look.Steer().HeadingMagnetic; heading != nil && look.Clock().LegSeconds != nil {
		k.headings = append(k.headings, headingGiven{at, look.Leg().Index, *heading})
	}
}

func isMajor(do flight.Act) bool {
	return do == flight.Airborne || do == flight.Passing || do == flight.Divert || do == flight.Unhold
}

// afterWhat names the point or the act that an estimate followed, and reports whether it is a major one. A correction of what led to one gives it anew:
// it follows the last of these that stands.
func (k *known) afterWhat(r flight.Record) (after string, major bool) {
	if target := k.corrected(r); !isMajor(r.Act) && isMajor(target.Act) {
		standing := flight.Standing(k.records[:r.N])
		for _, earlier := range slices.Backward(standing) {
			if isMajor(earlier.Act) {
				return k.afterWhat(earlier)
			}
		}
	}
	switch r.Act {
	case flight.Passing:
		after = r.Point
	case flight.Airborne:
		after = k.departure
	default:
		after = flight.Describe(*r.Event)
	}
	return after, isMajor(r.Act)
}

// corrected is what a record voids or amends, or has by voiding a correction stand again; any other is itself.
func (k *known) corrected(r flight.Record) flight.Record {
	for r.Act == flight.Void || r.Act == flight.Amend {
		r = k.records[r.Event.Event-1]
	}
	return r
}

// pointKey names a point of a route in every Snapshot of it.
type pointKey struct {
	leg, nth int
	point    string
}

// keyOf is the key of one of a route's rows.
func keyOf(rows []flight.RoutePoint, of int) pointKey {
	key := pointKey{leg: rows[of].Leg, point: rows[of].Point}
	if rows[of].Checkpoint {
		for _, row := range rows[:of+1] {
			if row.Checkpoint && row.Leg == key.leg && row.Point == key.point {
				key.nth++
			}
		}
	}
	return key
}

// in is the row of a point in a route; nil when it has none.
func (key pointKey) in(rows []flight.RoutePoint) *flight.RoutePoint {
	nth := 0
	for i := range rows {
		row := &rows[i]
		if row.Leg != key.leg || row.Point != key.point || row.Checkpoint != (key.nth > 0) {
			continue
		}
		if row.Checkpoint {
			nth++
		}
		if nth == key.nth {
			return row
		}
	}
	return nil
}

// estimateOf is the estimate of a point in a route, judged by when it was passed; nil when there is none.
func (e *estimated) estimateOf(key pointKey, actual *time.Time) *Estimate {
	if e.rows == nil {
		e.rows = e.look.Route()
	}
	row := key.in(e.rows)
	if row == nil || row.Revised == nil {
		return nil
	}
	estimate := &Estimate{
		MadeAt: e.at, After: e.after, LeadMinutes: row.Revised.Sub(e.at).Minutes(), Revised: *row.Revised,
		CarriedOver: row.CarriedOver, ByRatio: row.ByRatio,
	}
	if sigma := e.look.Sigma(*row); sigma != nil {
		estimate.SigmaSeconds = *sigma
	}
	if actual != nil {
		estimate.judge(*actual)
	}
	return estimate
}

// stillStands reports whether the times of passing that an estimate was made by are those of the route as it turned out.
func (e *estimated) stillStands(route []flight.RoutePoint) bool {
	for i := range e.rows {
		if then := &e.rows[i]; then.Actual != nil {
			if now := keyOf(e.rows, i).in(route); now == nil || !sameTime(then.Actual, now.Actual) {
				return false
			}
		}
	}
	return true
}

// judge fills in the errors of an estimate.
func (e *Estimate) judge(actual time.Time) {
	e.LeadMinutes = actual.Sub(e.MadeAt).Minutes()
	e.RevisedErrorSeconds = ref(say.Apart(e.Revised, actual).Seconds())
	if e.SigmaSeconds > 0 {
		e.Sigmas = finite(*e.RevisedErrorSeconds / e.SigmaSeconds)
	}
	if e.CarriedOver != nil {
		e.CarriedErrorSeconds = ref(say.Apart(*e.CarriedOver, actual).Seconds())
	}
	if e.ByRatio != nil {
		e.RatioErrorSeconds = ref(say.Apart(*e.ByRatio, actual).Seconds())
	}
}
