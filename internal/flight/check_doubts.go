package flight

import (
	"math"
	"time"
)

// doubted says what looks wrong with an event that can be recorded.
func (s *State) doubted(e Event) error {
	p := s.progress
	if !e.Rec.IsZero() && e.Act != Clock {
		const slack = time.Second
		if ahead := e.T.Sub(s.flightTime(e.Rec)); ahead > slack {
			return doubt("%s lies %s in the future", clockText(e.T), spanText(ahead))
		}
	}
	switch e.Act {
	case Airborne:
		if !p.offBlocks.IsZero() && e.T.Before(p.offBlocks) {
			return doubt("off blocks was at %s, after that", clockText(p.offBlocks))
		}
	case Passing:
		return p.doubtPassing(e)
	case Fix:
		return p.doubtFix(e)
	case Gauges:
		return p.doubtGauges(e)
	case Flow:
		return p.doubtFlow(e)
	case TankChange:
		return p.doubtTank(e)
	case Clock:
		if e.Set != nil && len(s.records) > 0 && e.Set.Before(p.last) {
			return doubt("the clock would go back before the last entry, %s", clockText(p.last))
		}
	}
	return nil
}

// A passing looks wrong if it needs more than fastest or less than slowest times the true airspeed.
const (
	fastest = 2.0
	slowest = 0.3
)

func (p *progress) doubtPassing(e Event) error {
	found, behind, ok := p.find(e.Point)
	switch {
	case !ok:
		return doubt("%s is not on this route: it counts as a position", e.Point)
	case behind:
		return doubt("%s lies behind: %s was passed last", e.Point, p.lastPassed.name)
	case e.T.Before(p.lastPassed.at):
		return doubt("%s is before %s was passed, %s", clockText(e.T), p.lastPassed.name, clockText(p.lastPassed.at))
	case found.leg > p.leg:
		return doubt("%s comes before %s", p.legs[p.leg].line().To.Ident, e.Point)
	}
	piece, ok := p.pieceAt(e.T)
	if !ok || !p.holding.IsZero() || p.evidence == nil || found.leg != p.lastPassed.leg {
		return nil
	}
	distance, took := found.afterNM-p.lastPassed.afterNM, e.T.Sub(p.lastPassed.at)
	speed := distance / took.Hours()
	if distance > 0 && (math.IsInf(speed, 0) || speed > fastest*piece.TASKt || speed < slowest*piece.TASKt) {
		return doubt("%.1f nm in %s would be %.0f kt: TAS is %.0f", distance, spanText(took), speed, piece.TASKt)
	}
	return p.doubtTime(e, found)
}

// doubtTime doubts a passing at a time that no wind is likely to be the reason of.
func (p *progress) doubtTime(e Event, s spot) error {
	reckonedNM, groundspeedKt := p.reckonedAlong(e.T)
	believed := p.predicted(e.T)
	early, sigmaNM := s.afterNM-reckonedNM-believed.mean[alongNM], timingSigma.Hours()*groundspeedKt
	sigmas := believed.misfit(early, vector{alongNM: 1}, sigmaNM*sigmaNM)
	if groundspeedKt <= 0 || math.Abs(sigmas) <= unheardSigmas {
		return nil
	}
	word := "earlier"
	if early < 0 {
		word = "later"
	}
	span := func(distanceNM float64) string { return spanText(minutes(math.Abs(distanceNM) / groundspeedKt * 60)) }
	return doubt("%s would be %s %s than expected, where ±%s is usual", e.Point, span(early), word, span(early/sigmas))
}

// doubtFix doubts a fix that is farther from where the aircraft is reckoned to be than is likely.
func (p *progress) doubtFix(e Event) error {
	n, ok := p.here(e.T)
	if !ok || p.evidence == nil {
		return nil
	}
	figures := p.figures(e, n)
	reckonedNM, _ := p.reckonedAlong(e.T)
	believed := p.supposed(p.predicted(e.T), figures, reckonedNM)
	for _, f := range figures {
		if apartNM, sigmas := f.apart(believed, reckonedNM); sigmas > wildSigmas {
			return doubt("%s would be %.1f nm from where the aircraft is reckoned to be: ±%.1f is usual", Describe(e), apartNM, apartNM/sigmas)
		}
	}
	return nil
}
