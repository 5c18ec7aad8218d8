package flight

import (
	"iter"
	"math"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// mark is a passing.
type mark struct {
	place
	at       time.Time
	name     string
	flown    time.Duration // from the mark before on the same leg; 0 where it is not known
	changing bool          // part of the way from the mark before was climb or descent
}

// steer is a heading that the pilot said to be steering.
type steer struct {
	at                time.Time
	magnetic          float64
	tasKt, altitudeFt float64 // at which it held the track; 0 where that could not be reckoned
}

// estimate is a time over a point that was told to somebody.
type estimate struct {
	point string
	eta   time.Time
}

// misfit is a passing whose time no likely wind explains.
type misfit struct {
	name   string
	sigmas float64
}

// reanchor makes the place where the flight is reckoned to be the one that it is reckoned from. What is uncertain goes with it. At the
// end of a leg that is overdue it counts from when that was due, so that it stays overdue. A heading that leads off the way ahead has led where it leads.
func (f *ahead) reanchor(t time.Time) {
	n, ok := f.here(t)
	if !ok {
		return
	}
	changing := f.anchor.changing + f.outlook.levelChangeMinutes(n.minutes)
	if _, alongKt, astray := f.astray(); astray {
		afterNM, at := f.wentAstray(t, alongKt)
		f.anchor.place, f.anchor.at = f.onThisLeg(afterNM), at
	} else {
		f.predict(t.Add(-n.overdue))
		f.anchor.place, f.anchor.at = f.onThisLeg(n.afterNM+f.belief.mean[alongNM]), t.Add(-n.overdue)
	}
	f.anchor.altitudeFt, f.anchor.descending, f.anchor.changing = n.point.AltitudeFt, n.descending || f.anchor.descending, changing
	f.belief.mean[alongNM] = 0
}

// onThisLeg is a place on the leg being flown: not before it, and a hair before its end, for the leg ends only when that is logged.
func (f *flown) onThisLeg(afterNM float64) place {
	const hairNM = 1e-4
	return place{f.leg, max(0, min(afterNM, f.legs[f.leg].line().DistanceNM-hairNM))}
}

func (f *fuelled) foldOffBlocks(e Event) bool {
	if !f.offBlocks.IsZero() || !f.airborne.IsZero() {
		return false
	}
	f.offBlocks = e.T
	f.tanks.StartEngine(e.T)
	f.anchor.at = e.T.Add(f.taxi())
	return true
}

func (f *fuelled) foldAirborne(e Event) bool {
	if !f.airborne.IsZero() {
		return false
	}
	if f.offBlocks.IsZero() { // never said: as planned before take-off
		f.tanks.StartEngine(e.T.Add(-f.taxi()))
	}
	f.burnUntil(e.T)
	f.airborne = e.T
	f.anchor.at, f.beliefAt = e.T, e.T
	f.belief = f.belief.told(alongNM, 0, f.takeOffErrorNM())
	f.startLeg(mark{at: e.T, name: f.sheet.Route.Legs[0].From.Ident})
	return true
}

// startLeg begins the clock of a leg with the passing of its start.
func (f *believed) startLeg(m mark) {
	f.lastPassed = m
	f.marks = []mark{m}
	f.steers = values.List[steer]{}
	f.onLegs(m.leg, func(l *leg) { l.started, l.startedNM, l.begun, l.begunNM = m.at, m.afterNM, m.at, m.afterNM })
	f.untimed = false
}

func (f *fuelled) foldLevel(e Event) bool {
	n, ok := f.here(e.T)
	if !ok {
		return false
	}
	f.burnUntil(e.T)
	altitudeFt := f.levelFt(f.leg)
	if e.Altitude != nil {
		altitudeFt = *e.Altitude
	}
	f.reanchor(e.T)
	if different(altitudeFt, f.levelFt(f.leg)) {
		altitudeFt = f.holdLevel(altitudeFt)
	}
	f.anchor.altitudeFt, f.anchor.descending = altitudeFt, false
	if f.cruiseFrom.IsZero() && n.point.Phase == sheet.Climb {
		f.cruiseFrom = e.T
	}
	return true
}

// levelFt is the altitude of a leg's level by the altimeter setting in use.
func (f *believed) levelFt(index int) float64 {
	return f.legs[index].line().Level.AltitudeFtAt(f.forecast.QNH)
}

// readingFt is how exactly an altitude is read and held.
const readingFt = 50

// different reports whether two altitudes differ by more than a pilot's reading.
func different(a, b float64) bool {
	return a-b > readingFt || b-a > readingFt
}

func (f *fuelled) foldDescend(e Event) bool {
	n, ok := f.here(e.T)
	if !f.flying() || !f.descended.IsZero() {
		return false
	}
	f.burnUntil(e.T)
	levelFt := f.levelLeft(n)
	f.descended = e.T
	f.reanchor(e.T)
	f.anchor.descending = true
	if ok {
		f.anchor.altitudeFt = levelFt
	}
	return true
}

func (f *fuelled) foldLanded(e Event) bool {
	if !f.flying() {
		return false
	}
	f.burnUntil(e.T)
	f.landed = e.T
	f.endHold(e.T, false)
	return true
}

func (f *fuelled) foldOnBlocks(e Event) bool {
	if !f.onBlocks.IsZero() {
		return false
	}
	f.burnUntil(e.T)
	f.onBlocks = e.T
	f.tanks.StopEngine()
	return true
}

func (f *ahead) foldSteering(e Event) bool {
	if e.Heading == nil || !f.flying() {
		return false
	}
	f.predict(e.T)
	told := steer{at: e.T, magnetic: *e.Heading}
	if n, ok := f.here(e.T); ok {
		told.tasKt, told.altitudeFt = f.outlook.trajectory[n.point.Piece].TASKt, n.point.AltitudeFt
		if f.steering() == nil && n.point.Phase != sheet.Cruise {
			f.belief.covariance[gyroDeg][gyroDeg] += retrimSigmaDeg * retrimSigmaDeg
		}
	}
	f.steers = f.steers.With(told)
	return true
}

func (f *fuelled) foldAltitude(e Event) bool {
	n, ok := f.here(e.T)
	if !ok || e.Altitude == nil {
		return false
	}
	f.burnUntil(e.T)
	f.reanchor(e.T)
	f.anchor.altitudeFt = *e.Altitude
	if n.point.Phase == sheet.Cruise && different(*e.Altitude, f.levelFt(f.leg)) {
		f.anchor.altitudeFt = f.holdLevel(*e.Altitude)
	}
	return true
}

func (f *fold) foldAltimeter(e Event) bool {
	f.told.altimeterSet = true
	if e.QNH == nil || *e.QNH == f.forecast.QNH && e.Inches == f.inches {
		return false
	}
	f.burnUntil(e.T)
	n, flying := f.here(e.T)
	f.reanchor(e.T)
	before := f.levelFt(f.leg)
	f.forecast.QNH, f.inches, f.prompts.worded = *e.QNH, e.Inches, &values.Finds[wording, *task]{}
	if flying && n.point.Phase == sheet.Cruise && !different(f.anchor.altitudeFt, before) { // a flight level is held by 1013, whatever is set
		f.anchor.altitudeFt += f.levelFt(f.leg) - before
	}
	return true
}

// clockChange is what an event does to the clock.
func clockChange(e Event) clock.Change {
	return clock.Change{Rate: e.Rate, Paused: e.Paused, Set: e.Set}
}

// FlownNow is what a flight was, once it has arrived.
type FlownNow struct {
	Landings         int       `json:"landings"`
	FuelUsed         *float64  `json:"fuel_used"`         // since off-blocks, in the aircraft's unit; nil where the fuel then is not known
	HighestImbalance *float64  `json:"highest_imbalance"` // of any pair of tanks; nil without a pair
	Mattered         *LegFlown `json:"mattered"`          // the leg whose time differed most from the planned; nil: none was timed
	AnsweredPrompts  int       `json:"answered_prompts"`  // that a hand answered
	LatePrompts      int       `json:"late_prompts"`      // of these, late
	Latest           string    `json:"latest,omitempty"`  // of these, the one answered latest
	LatestSeconds    float64   `json:"latest_seconds"`    // after it was due
}

// LegFlown is a leg between two points that were both timed, or the first of a diversion, from where the flight turned aside, against its reckoning then.
type LegFlown struct {
	From              string  `json:"from"` // empty: it began with a diversion
	To                string  `json:"to"`
	DifferenceSeconds float64 `json:"difference_seconds"` // flown less planned: positive, it took longer
	GroundspeedKt     float64 `json:"groundspeed_kt"`     // measured
}

// flownNow is what the flight of a Snapshot was; nil before its arrival.
func (f *flown) flownNow(s *Snapshot) *FlownNow {
	if s.Phase != Arrived {
		return nil
	}
	flown := FlownNow{Mattered: f.mattered(s.Route), FuelUsed: s.Tanks.Used()}
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
		if !p.Kind.ByHand() || p.State != PromptDone || p.Answered == nil {
			continue
		}
		flown.AnsweredPrompts++
		if !p.AnsweredLate() {
			continue
		}
		flown.LatePrompts++
		if by := *p.AfterDue(); by > flown.LatestSeconds {
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

// mattered is the leg whose time differed most from the planned. A hold is no part of a leg's time.
func (f *flown) mattered(route []RoutePoint) (most *LegFlown) {
	var before *RoutePoint // the end of the leg before
	for i := range route {
		p := &route[i]
		if p.Checkpoint || p.Diverted {
			continue
		}
		leg, began := LegFlown{To: p.Point, GroundspeedKt: p.GroundspeedKt}, p.Turned
		if began == nil && before != nil {
			leg.From, began = before.Point, before.Actual
		}
		before = p
		if began == nil || p.Actual == nil {
			continue
		}
		took, ok := FlownBetween(*began, *p.Actual, f.holds)
		leg.DifferenceSeconds = LongerSeconds(took, f.legs[p.Leg].plannedMinutes)
		if ok && (most == nil || math.Abs(leg.DifferenceSeconds) > math.Abs(most.DifferenceSeconds)) {
			most = &leg
		}
	}
	return most
}
