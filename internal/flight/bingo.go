package flight

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// turnBy is where on the reckoned way the last moment is at which an alternate can be turned to with the reserve kept.
type turnBy struct {
	point   plan.Point
	minutes float64 // from the anchor; NaN where it is not on the way: see left
	left    float64 // above the reserve at the alternate: when turned to now or, where it is reached from all the way on, at its end
	all     bool    // it is reached from all the way on
	air     bool    // it can't be reached in this wind
}

const (
	bingoLooks  = 24 // along the way, to find where the fuel first becomes too little
	bingoHalves = 10 // to find that place more closely
)

// bingoAt is, for each alternate, the time by which it has to be turned to. The way there is straight, at cruise and the height of the
// place, as it is when fuel for an alternate is planned.
func (p *progress) bingoAt(t time.Time) []LatestDivertNow {
	list := []LatestDivertNow{}
	if !p.landed.IsZero() || !p.onBlocks.IsZero() {
		return list
	}
	if p.standing() {
		return p.bingoStanding(t)
	}
	if len(p.ahead.trajectory) == 0 {
		return list
	}
	var turns []turnBy
	if p.flying() && p.delay(t) > 0 {
		turns = p.turns(t)
	} else { // as it was after the last act: what is burned until now is reckoned already
		turns = p.tanks.turns.get(func() []turnBy { return p.turns(p.tanks.plannedAt) })
	}
	for _, turn := range turns {
		list = append(list, p.bingo(turn, t))
	}
	return list
}

// standing reports whether the aircraft stays where it is, in a hold or overhead the destination.
func (p *progress) standing() bool { return p.flying() && (!p.holding.IsZero() || p.complete) }

// bingoStanding is for an aircraft that stays where it is: by when it has to leave.
func (p *progress) bingoStanding(t time.Time) []LatestDivertNow {
	list := []LatestDivertNow{}
	from := p.positionAt(t)
	if from == nil {
		return list
	}
	for _, point := range p.alternatePoints() {
		left := p.aboveReserve(t) - p.fuelStraight(from.Place(), from.AltitudeFt, point.At)
		turn := turnBy{point: point, minutes: math.NaN(), left: left, air: math.IsInf(left, -1)}
		if left < 0 {
			list = append(list, p.bingo(turn, t))
			continue
		}
		at := plus(t, fuel.EnduranceMinutes(left, p.circlingFlow()+p.excessPerHour()))
		list = append(list, LatestDivertNow{Point: point.Ident, Name: point.Title(), At: &at, Text: fmt.Sprintf("leave for %s by %s", point.Title(), clockText(at))})
	}
	return list
}

// alternatePoints are the alternates but the one that is being flown to.
func (p *progress) alternatePoints() []plan.Point {
	var points []plan.Point
	destination := p.legs[p.destination().leg].line().To.Ident
	for _, ident := range p.sheet.Plan.Route.Alternates {
		if point, ok := p.sheet.Plan.Point(ident); ok && ident != destination {
			points = append(points, point)
		}
	}
	return points
}

// aboveReserve is the usable fuel at a moment without the reserve; before take-off without what the taxi still takes, too.
func (p *progress) aboveReserve(t time.Time) float64 {
	left := p.countedUsable(p.quantitiesAt(t)) - p.sheet.Fuel.Reserve
	if p.airborne.IsZero() {
		left -= p.taxiLeft(t)
	}
	return left
}

// fuelStraight is what it takes straight to a place at cruise; endless where the wind forbids it.
func (p *progress) fuelStraight(from earth.Position, altitudeFt float64, to earth.Position) float64 {
	line := earth.Inverse(from, to)
	if line.DistanceNM == 0 {
		return 0
	}
	wind, _ := p.ahead.air.Layers.At(altitudeFt)
	_, trackTrue := earth.NewLine(from, to).At(line.DistanceNM / 2)
	heading, err := deadreckon.HeadingFor(trackTrue, p.cruiseTAS(), wind)
	if err != nil {
		return math.Inf(1)
	}
	return fuel.Burned(deadreckon.Minutes(line.DistanceNM, heading.GroundspeedKt), p.cruiseFlow()+p.excessPerHour())
}

// turns finds where each alternate has to be turned to.
func (p *progress) turns(t time.Time) []turnBy {
	a := p.ahead
	n, _ := p.here(t)
	now, total := n.minutes, a.trajectory.TotalMinutes()
	above, burnedNow := p.aboveReserve(t), a.trajectory.FuelTo(now)
	turns := []turnBy{}
	for _, point := range p.alternatePoints() {
		left := func(m float64) float64 {
			at := a.trajectory.At(m)
			burned := a.trajectory.FuelTo(m) - burnedNow + fuel.Burned(m-now, p.excessPerHour())
			return above - burned - p.fuelStraight(a.way.route.PositionAt(at.Leg, at.AfterNM), at.AltitudeFt, point.At)
		}
		turns = append(turns, turnWhere(point, left, now, total))
	}
	return turns
}

// turnWhere finds the first place on the way from which what is left at the alternate is less than nought.
func turnWhere(point plan.Point, left func(minutes float64) float64, now, total float64) turnBy {
	turn := turnBy{point: point, minutes: math.NaN(), left: left(now)}
	if turn.left < 0 {
		turn.air = math.IsInf(turn.left, -1)
		return turn
	}
	from := now
	for i := 1; i <= bingoLooks; i++ {
		to := now + (total-now)*float64(i)/bingoLooks
		if left(to) >= 0 {
			from = to
			continue
		}
		for range bingoHalves {
			if middle := (from + to) / 2; left(middle) >= 0 {
				from = middle
			} else {
				to = middle
			}
		}
		turn.minutes = from
		return turn
	}
	turn.left, turn.all = left(total), true
	return turn
}

// bingo says in words by when an alternate has to be turned to.
func (p *progress) bingo(turn turnBy, t time.Time) LatestDivertNow {
	b := LatestDivertNow{Point: turn.point.Ident, Name: turn.point.Title()}
	switch {
	case turn.all:
		end := p.ahead.after(p.ahead.trajectory.TotalMinutes()).Add(p.delay(t))
		b.At = ref(plus(end, fuel.EnduranceMinutes(turn.left, p.circlingFlow()+p.excessPerHour())))
		b.AfterArrival = true
		b.Text = fmt.Sprintf("leave %s for %s by %s", p.legs[p.destination().leg].line().To.Title(), b.Name, clockText(*b.At))
	case !math.IsNaN(turn.minutes):
		b.At = ref(p.ahead.after(turn.minutes).Add(p.delay(t)))
		b.Text = fmt.Sprintf("turn to %s by %s", b.Name, clockText(*b.At))
	case turn.air:
		b.TooLate, b.Text = true, fmt.Sprintf("%s can't be reached in this wind", b.Name)
	default:
		b.TooLate, b.Short = true, -turn.left
		b.Text = fmt.Sprintf("too late for %s: %.1f %s short of the reserve there", b.Name, b.Short, p.unit())
	}
	return b
}

// reserveTouchedAt is when, on the way and then circling at its end, nothing but the reserve is left.
func (p *progress) reserveTouchedAt(t time.Time) *time.Time {
	if !p.landed.IsZero() || !p.onBlocks.IsZero() {
		return nil
	}
	above, extra := p.aboveReserve(t), p.excessPerHour()
	if above <= 0 {
		return &t
	}
	a := p.ahead
	if p.complete || len(a.trajectory) == 0 {
		return ref(plus(t, fuel.EnduranceMinutes(above, p.circlingFlow()+extra)))
	}
	n, flying := p.here(t)
	burned := func(m float64) float64 {
		return a.trajectory.FuelTo(m) - a.trajectory.FuelTo(n.minutes) + fuel.Burned(m-n.minutes, extra)
	}
	start := t
	if !flying {
		start = a.after(0).Add(p.delay(t))
	}
	total := a.trajectory.TotalMinutes()
	if rest := above - burned(total); rest >= 0 {
		return ref(plus(start, total-n.minutes+fuel.EnduranceMinutes(rest, p.circlingFlow()+extra)))
	}
	from, to := n.minutes, total
	for range 20 {
		if middle := (from + to) / 2; burned(middle) < above {
			from = middle
		} else {
			to = middle
		}
	}
	return ref(plus(start, to-n.minutes))
}
