package flight

import (
	"time"

	"example.com/legclock/internal/sheet"
)

func (p *progress) foldPassing(e Event) {
	if p.airborne.IsZero() || p.complete || !p.landed.IsZero() {
		return
	}
	s, behind, ok := p.find(e.Point)
	if !ok {
		p.passElsewhere(e)
		return
	}
	if behind && s.checkpoint != departure {
		return
	}
	n, flying := p.here(e.T)
	if !flying {
		return
	}
	p.burnUntil(e.T)
	p.takeEvidence(e, s)
	m := mark{place: s.place, at: e.T, name: e.Point, clean: p.holding.IsZero() && s.leg == p.leg, climbing: p.climbedSince(e.T)}
	if s.checkpoint == departure {
		m.clean = true
	}
	p.arrive(e.T, s, n)
	p.offTrack = e.OffTrack
	p.holding = time.Time{}
	switch {
	case s.checkpoint == legEnd && p.legs[s.leg].last():
		p.complete, p.lastPassed = true, m
		p.marks = append(p.marks, m)
	case s.checkpoint == legEnd:
		p.leg = s.leg + 1
		m.place = place{leg: p.leg}
		p.anchor.place = m.place
		p.startLeg(m)
	case s.checkpoint == departure || s.leg != p.leg:
		p.leg = s.leg
		p.startLeg(m)
	default:
		p.lastPassed = m
		p.marks = append(p.marks, m)
		from := p.anchor
		p.evidence = &from
	}
	if p.complete {
		p.evidence = nil
	}
	p.prompts.passed(e.Point, e.T, s.checkpoint == legEnd)
	p.revise(e.T)
}

// arrive makes a passing the place that the flight is reckoned from, and writes it into the leg.
func (p *progress) arrive(t time.Time, s spot, n now) {
	l := p.legs[s.leg]
	switch s.checkpoint {
	case legEnd:
		l.actual = t
	case departure:
	default:
		l.checkpointsActual[s.checkpoint] = t
	}
	p.anchor = anchor{
		place: s.place, at: t, altitudeFt: n.point.AltitudeFt, descending: n.descending, by: byPassing,
		carried: vector{lastTiming: -1},
	}
}

// passElsewhere is the passing of a point of the plan that does not lie on the way: it is as good as a position.
func (p *progress) passElsewhere(e Event) {
	point, ok := p.sheet.Plan.Point(e.Point)
	if !ok {
		return
	}
	at := point.At
	p.foldFix(Event{Do: Fix, T: e.T, At: &at})
}

// climbedSince reports whether any of the way since the last passing was a climb.
func (p *progress) climbedSince(t time.Time) bool {
	if len(p.ahead.trajectory) == 0 {
		return false
	}
	return p.ahead.trajectory[0].Phase == sheet.Climb || p.lastPassed.at.Equal(p.airborne)
}
