package flight

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/sheet"
)

// anchor is the last place and time that the flight is reckoned from.
type anchor struct {
	place
	at         time.Time
	altitudeFt float64
	descending bool
	by         string // what set the position: "dead reckoning", "passing", "fix" or "feed"
	// carried is how the time of being here depends on the belief: on the timing of the last passing, and by dead reckoning since
	// then. variance is what is uncertain about it besides, in minutes squared.
	carried  vector
	variance float64
}

// ahead is the flight from an anchor on, reckoned with the air as it is believed to be.
type ahead struct {
	from   anchor
	way    *way
	air    sheet.Air
	belief belief
	err    error // why it can't be reckoned

	trajectory sheet.Trajectory
	// nudged are the trajectories with one state of the belief moved by its step.
	nudged [states]sheet.Trajectory
	// changes is, by piece, how many minutes of climb and descent lie before it.
	changes []float64
}

// reckon makes the flight ahead of the anchor. After the last leg there is none.
func (p *progress) reckon() *ahead {
	a := &ahead{from: p.anchor, way: p.legs[p.anchor.leg].way, belief: p.belief}
	a.air = p.belief.air(p.forecast)
	if p.complete || !p.landed.IsZero() {
		return a
	}
	start := sheet.Start{
		Leg: p.anchor.leg - a.way.first, AfterNM: p.anchor.afterNM,
		AltitudeFt: p.anchor.altitudeFt, Descending: p.anchor.descending,
	}
	a.trajectory, a.err = a.way.route.Reckon(start, a.air)
	if a.err != nil {
		a.trajectory = nil
		return a
	}
	for state, step := range steps {
		if step == 0 {
			continue
		}
		moved := p.belief.mean
		moved[state] += step
		if way, err := a.way.route.Reckon(start, moved.air(p.forecast)); err == nil {
			a.nudged[state] = way
		}
	}
	p.overrideFlows(a.trajectory)
	minutes := 0.0
	for _, piece := range a.trajectory {
		a.changes = append(a.changes, minutes)
		if piece.Phase != sheet.Cruise {
			minutes += piece.Minutes
		}
	}
	return a
}

// minutesTo is how long it is from the anchor to a place; ok is false when the reckoning doesn't pass it.
func (a *ahead) minutesTo(to place) (minutes float64, ok bool) {
	return a.trajectory.MinutesTo(to.leg-a.way.first, to.afterNM)
}

// eta is the time at a place ahead, as it is when nothing delays the flight.
func (a *ahead) eta(to place) (at time.Time, ok bool) {
	minutes, ok := a.minutesTo(to)
	return a.after(minutes), ok
}

// after is the time some minutes from the anchor. It counts from the passing as it was recorded, so that a pilot's own sum agrees;
// that the record may be some seconds out is in the standard error.
func (a *ahead) after(minutes float64) time.Time { return plus(a.from.at, minutes) }

// minutesOf is how long after the anchor a time is.
func (a *ahead) minutesOf(t time.Time) float64 { return t.Sub(a.from.at).Minutes() }

// slope is how the time at a place depends on the belief.
func (a *ahead) slope(to place, minutes float64) vector {
	slope := a.from.carried
	for state, step := range steps {
		if moved, ok := a.nudged[state].MinutesTo(to.leg-a.way.first, to.afterNM); ok && step != 0 {
			slope[state] += (moved - minutes) / step
		}
	}
	return slope
}

// sigmaMinutes is one standard error of the time at a place.
func (a *ahead) sigmaMinutes(to place) float64 {
	minutes, ok := a.minutesTo(to)
	if !ok {
		return 0
	}
	return math.Sqrt(a.belief.variance(a.slope(to, minutes)) + a.varianceOf(to, minutes))
}

// varianceOf is the variance of the time at a place that the belief doesn't explain.
func (a *ahead) varianceOf(to place, minutes float64) float64 {
	slope := a.slope(to, minutes)
	for state := range slope {
		slope[state] -= a.from.carried[state]
	}
	wander := wanderKt * wanderKt * minutes / 60 / 3 * (slope[windNorth]*slope[windNorth] + slope[windEast]*slope[windEast])
	return a.from.variance + wander + levelChangeVariance(a.levelChangeMinutes(minutes)) + handFlyingVariance(minutes)
}

// levelChangeMinutes is how much of the first minutes is climb or descent.
func (a *ahead) levelChangeMinutes(minutes float64) float64 {
	if len(a.trajectory) == 0 {
		return 0
	}
	i := a.trajectory.At(minutes).Piece
	changing := a.changes[i]
	if piece := a.trajectory[i]; piece.Phase != sheet.Cruise {
		changing += math.Min(math.Max(minutes-piece.StartMinutes, 0), piece.Minutes)
	}
	return changing
}

// timeThrough is when an altitude is first climbed or descended through.
func (a *ahead) timeThrough(altitudeFt float64, phase sheet.Phase) (at time.Time, ok bool) {
	for _, piece := range a.trajectory {
		low, high := math.Min(piece.FromFt, piece.ToFt), math.Max(piece.FromFt, piece.ToFt)
		if piece.Phase != phase || altitudeFt < low || altitudeFt > high || low == high {
			continue
		}
		share := (altitudeFt - piece.FromFt) / (piece.ToFt - piece.FromFt)
		return a.after(piece.StartMinutes + share*piece.Minutes), true
	}
	return time.Time{}, false
}

// topOfClimb is where the climb being flown, or the first one ahead, ends.
func (a *ahead) topOfClimb() (top place, ok bool) {
	local, afterNM, ok := a.trajectory.TopOfClimb()
	return place{a.way.first + local, afterNM}, ok
}

// topOfDescent is where the last descent begins.
func (a *ahead) topOfDescent() (top place, ok bool) {
	local, afterNM, ok := a.trajectory.TopOfDescent()
	return place{a.way.first + local, afterNM}, ok
}

// cruisePiece is the piece that a leg's cruise is flown with; where it has none, the last one on the leg.
func (a *ahead) cruisePiece(index int) (sheet.Piece, bool) {
	pieces := a.trajectory.OnLeg(index - a.way.first)
	if i := slices.IndexFunc(pieces, func(piece sheet.Piece) bool { return piece.Phase == sheet.Cruise }); i >= 0 {
		return pieces[i], true
	}
	if len(pieces) == 0 {
		return sheet.Piece{}, false
	}
	return pieces[len(pieces)-1], true
}

// now is where the flight is reckoned to be at a moment.
type now struct {
	place
	point      sheet.Point // on the trajectory; its Piece is an index into it
	minutes    float64     // from the anchor, on the trajectory
	overdue    time.Duration
	descending bool // in the last descent
}

// here reckons where the flight is at a moment: along the trajectory, but not beyond the end of the leg being flown, which ends
// when the pilot says so. ok is false on the ground and when nothing can be reckoned.
func (p *progress) here(t time.Time) (n now, ok bool) {
	if !p.flying() || len(p.ahead.trajectory) == 0 {
		return n, false
	}
	a := p.ahead
	if !p.holding.IsZero() {
		t = p.anchor.at
	}
	n.minutes = math.Max(0, a.minutesOf(t))
	end, _ := a.minutesTo(p.endOfLeg())
	if n.minutes > end {
		n.overdue = t.Sub(a.after(end))
		n.minutes = end
	}
	n.point = a.trajectory.At(n.minutes)
	n.place = place{a.way.first + n.point.Leg, n.point.AfterNM}
	if n.place.leg != p.leg { // exactly at the end of the leg the trajectory may count as on the next
		n.place = p.endOfLeg()
		n.point.Piece = max(0, n.point.Piece-1)
	}
	n.descending = n.point.Phase == sheet.Descent && n.point.Piece >= len(a.trajectory)-len(a.trajectory.LastDescent())
	return n, true
}

func (p *progress) endOfLeg() place { return place{p.leg, p.legs[p.leg].line().DistanceNM} }

// delay is by how much the times ahead are later than reckoned: on the ground by what take-off is behind its time, in a hold by
// the hold so far, else by what the next route point is overdue, for nothing after it can come before it.
func (p *progress) delay(t time.Time) time.Duration {
	switch {
	case p.complete || !p.landed.IsZero():
		return 0
	case p.offBlocks.IsZero() && p.airborne.IsZero():
		return max(0, t.Add(p.taxi()).Sub(p.anchor.at))
	case p.airborne.IsZero():
		return max(0, t.Sub(p.anchor.at))
	case !p.holding.IsZero():
		return max(0, t.Sub(p.holding))
	}
	n, _ := p.here(t)
	return n.overdue
}

// eta is when a place ahead will be passed, as it looks at a moment.
func (p *progress) eta(to place, t time.Time) (at time.Time, ok bool) {
	at, ok = p.ahead.eta(to)
	if !ok {
		return at, false
	}
	return at.Add(p.delayTo(to, t)), true
}

// delayTo is the delay that counts for a place: an overdue point does not delay what lies before it, or itself.
func (p *progress) delayTo(to place, t time.Time) time.Duration {
	if p.flying() && p.holding.IsZero() && to.leg == p.leg {
		return 0
	}
	return p.delay(t)
}

func (p *progress) taxi() time.Duration { return minutes(p.sheet.Plan.TaxiMinutes) }

// flying reports whether the aircraft is in the air.
func (p *progress) flying() bool { return !p.airborne.IsZero() && p.landed.IsZero() }

// minutes is a duration.
func minutes(m float64) time.Duration { return time.Duration(math.Round(m * float64(time.Minute))) }

// plus adds minutes to a time.
func plus(t time.Time, m float64) time.Time { return t.Add(minutes(m)) }
