package flight

import (
	"fmt"
	"time"

	"example.com/legclock/internal/deadreckon"
)

func (p *progress) foldPassing(e Event) bool {
	if p.airborne.IsZero() || p.complete || !p.landed.IsZero() {
		return false
	}
	s, behind, ok := p.find(e.Point)
	if !ok {
		return p.passElsewhere(e)
	}
	n, flying := p.here(e.T)
	if behind || !flying {
		return false
	}
	p.burnUntil(e.T)
	p.takeEvidence(e, s)
	m := mark{place: s.place, at: e.T, name: e.Point, clean: !p.spoiled && s.leg == p.leg, changing: p.changingSince(e.T) > worthSaying}
	p.sumUp(m)
	p.spoiled = false
	p.arrive(e.T, s, n)
	p.holding = time.Time{}
	p.goOn(m, s)
	if p.offTrack = nil; e.OffTrack != nil {
		p.setOffTrack(e)
	}
	p.prompts.passed(e.Point, e.T, s.checkpoint == legEnd)
	return true
}

// goOn turns to the next leg where a passing ended one, and otherwise goes on along the leg.
func (p *progress) goOn(m mark, s spot) {
	switch {
	case s.checkpoint == legEnd && p.legs[s.leg].last():
		p.complete, p.lastPassed = true, m
		p.marks = added(p.marks, m)
		p.evidence = nil
	case s.checkpoint == legEnd:
		p.turnBelief(s.leg)
		p.leg = s.leg + 1
		m.place = place{leg: p.leg}
		p.anchor.place = m.place
		p.startLeg(m)
	case s.checkpoint == departure || s.leg != p.leg:
		p.leg = s.leg
		p.startLeg(m)
	default:
		p.lastPassed = m
		p.marks = added(p.marks, m)
		p.anchor.place = p.onThisLeg(m.afterNM)
		from := p.anchor
		p.evidence = &from
	}
}

// arrive makes a passing the place that the flight is reckoned from, and writes it into the leg.
func (p *progress) arrive(t time.Time, s spot, n now) {
	p.onLegs(s.leg, func(l *leg) {
		switch s.checkpoint {
		case legEnd:
			l.actual = t
		case departure:
		default:
			l.checkpointsActual = replaced(l.checkpointsActual, s.checkpoint, t)
		}
	})
	p.anchor = anchor{
		place: s.place, at: t, altitudeFt: n.point.AltitudeFt, descending: n.descending, by: byPassing,
	}
}

// passElsewhere is the passing of a point of the plan that does not lie on the way: it is as good as a position.
func (p *progress) passElsewhere(e Event) bool {
	point, ok := p.sheet.Plan.Point(e.Point)
	if !ok {
		return false
	}
	at := point.At
	return p.foldFix(Event{Act: Fix, T: e.T, At: &at})
}

// changingSince is how many minutes of climb and descent lie between the last passing and a time.
func (p *progress) changingSince(t time.Time) float64 {
	return p.anchor.changing + p.ahead.levelChangeMinutes(p.ahead.minutesOf(t))
}

// worthSaying is how many minutes of climb or descent are said beside a groundspeed.
const worthSaying = 0.5

// sumUp makes the plain sum of the way from the last passing on this leg to one that is about to be taken in.
func (p *progress) sumUp(to mark) {
	if len(p.marks) == 0 {
		return
	}
	if _, sum := sumOf(p.marks[len(p.marks)-1], to); sum != "" {
		p.sum = sum
	}
}

// sumOf is the groundspeed between two passings on one leg, with its sum as a pilot does it; nil where something came between.
func sumOf(from, to mark) (groundspeedKt *float64, sum string) {
	distance, took := to.afterNM-from.afterNM, to.at.Sub(from.at)
	if !to.clean || from.leg != to.leg || took <= 0 || distance <= 0 {
		return nil, ""
	}
	speed := deadreckon.Groundspeed(distance, took.Minutes())
	sum = fmt.Sprintf("%.1f nm in %s = %.0f kt", distance, spanText(took), speed)
	if to.changing {
		sum += ", not level"
	}
	return &speed, sum
}
