package sheet

import (
	"errors"
	"fmt"
	"math"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// extraBurnFraction is how much more than planned may be burned with every tank rule still kept.
const extraBurnFraction = 0.10

// Burns is the fuel flow along a trajectory, minute 0 at its start. A tank may be changed in all of it but the quiet times: after
// take-off until the first climb has passed the quiet height above the departure, and before landing from where the last descent
// passes that height above the destination or in the quiet minutes, whichever is longer. The steps of a climb or descent are put
// together with their mean flow.
func (r *Route) Burns(t Trajectory) []fuel.Burn {
	quietUntil, quietFrom := r.quietTimes(t)
	var burns []fuel.Burn
	var last Piece
	add := func(piece Piece, from, to float64) {
		if to <= from {
			return
		}
		burn := fuel.Burn{
			Minutes: to - from, FlowPerHour: piece.FlowPerHour, Phase: phaseWords(piece.Phase, from, quietUntil, quietFrom),
			ChangeAllowed: from >= quietUntil && from < quietFrom,
		}
		n := len(burns) - 1
		if n < 0 || piece.Phase != last.Phase || burns[n].ChangeAllowed != burn.ChangeAllowed ||
			piece.Phase == Cruise && burn.FlowPerHour != burns[n].FlowPerHour {
			burns, last = append(burns, burn), piece
			return
		}
		total := burns[n].Minutes + burn.Minutes
		burns[n].FlowPerHour = (burns[n].FlowPerHour*burns[n].Minutes + burn.FlowPerHour*burn.Minutes) / total
		burns[n].Minutes = total
	}
	for _, piece := range t {
		begin, end := piece.StartMinutes, piece.StartMinutes+piece.Minutes
		first, second := min(max(quietUntil, begin), end), min(max(quietFrom, begin), end)
		add(piece, begin, min(first, second))
		add(piece, min(first, second), max(first, second))
		add(piece, max(first, second), end)
	}
	return burns
}

func phaseWords(phase Phase, at, quietUntil, quietFrom float64) string {
	switch {
	case at >= quietFrom:
		return "before landing"
	case at < quietUntil:
		return "after take-off"
	}
	return string(phase)
}

// quietTimes are the minutes until which and from which no change of tanks is planned.
func (r *Route) quietTimes(t Trajectory) (until, from float64) {
	system := r.Plan.Aircraft.Fuel
	if len(t) > 0 && t[0].Leg == 0 && t[0].Phase == Climb {
		until = minutesAtAltitude(t.FirstClimb(), r.Legs[0].From.ElevationFt+system.QuietBelowFt)
	}
	from = t.TotalMinutes() - system.QuietBeforeLandingMinutes
	if descent := t.LastDescent(); len(descent) > 0 {
		from = min(from, minutesAtAltitude(descent, r.Destination().ElevationFt+system.QuietBelowFt))
	}
	return until, from
}

// minutesAtAltitude is when a climb or a descent passes an altitude: its start when it begins beyond that, its end when it does not
// come to it.
func minutesAtAltitude(way Trajectory, altitudeFt float64) float64 {
	for _, piece := range way {
		sign := 1.0
		if piece.ToFt < piece.FromFt {
			sign = -1
		}
		if sign*(altitudeFt-piece.ToFt) > 0 {
			continue
		}
		share := 0.0
		if piece.ToFt != piece.FromFt {
			share = max((altitudeFt-piece.FromFt)/(piece.ToFt-piece.FromFt), 0)
		}
		return piece.StartMinutes + share*piece.Minutes
	}
	return way.TotalMinutes()
}

// TankRequest is what the schedule of an aircraft's tank changes is planned from: the tanks and their rules by its handbook, with
// every rule to be kept with a tenth more burned than planned. The landing reserve is a quantity. The error names a unit that is
// not known or a tank that the aircraft does not have.
func TankRequest(system plan.FuelSystem, quantities map[string]float64, selected string, sinceChangeMinutes float64,
	burns []fuel.Burn, landingReserve float64,
) (fuel.Request, error) {
	unit, err := fuel.ParseUnit(system.Unit)
	if err != nil {
		return fuel.Request{}, err
	}
	request := fuel.Request{
		UnitName: unit.Short(), Selected: system.TankIndex(selected), SinceChangeMinutes: sinceChangeMinutes, Burns: burns,
		Rules: fuel.Rules{ExtraBurnFraction: extraBurnFraction, LandingReserve: landingReserve},
	}
	if request.Selected < 0 {
		return request, fmt.Errorf("the aircraft has no tank %q", selected)
	}
	for _, tank := range system.Tanks {
		request.Tanks = append(request.Tanks, fuel.Tank{Name: tank.Name, Capacity: tank.Capacity, Unusable: tank.Unusable})
		request.Quantities = append(request.Quantities, quantities[tank.Name])
	}
	for i, pair := range system.TankPairs() {
		if pair[0] < 0 || pair[1] < 0 {
			return request, fmt.Errorf("the aircraft has no tanks %q and %q to compare", system.Pairs[i][0], system.Pairs[i][1])
		}
		request.Rules.Pairs = append(request.Rules.Pairs, pair)
	}
	if system.MaxImbalance != nil {
		request.Rules.MaxImbalance = *system.MaxImbalance
	}
	if system.ChangeEveryMinutes != nil {
		request.Rules.ChangeEveryMinutes = *system.ChangeEveryMinutes
	}
	return request, nil
}

// tanks plans the changes from take-off to landing. The taxi is flown on the tank that the plan starts on, and counts as time on it.
func (s *Sheet) tanks() error {
	p := s.Plan
	quantities := map[string]float64{}
	for name, quantity := range p.Fuel.OnBoard {
		quantities[name] = quantity
	}
	quantities[p.Fuel.StartOn] = max(quantities[p.Fuel.StartOn]-s.Fuel.Taxi, 0)
	request, err := TankRequest(p.Aircraft.Fuel, quantities, p.Fuel.StartOn, p.TaxiMinutes, s.Route.Burns(s.Trajectory), s.Fuel.Reserve)
	if err != nil {
		return err
	}
	schedule, err := fuel.Calmly(request)
	var broken *fuel.Broken
	if err != nil && !errors.As(err, &broken) {
		return fmt.Errorf("tank schedule: %w", err)
	}
	s.Tanks.Schedule = schedule
	s.startImbalances(quantities)
	for _, change := range schedule.Changes {
		s.Tanks.Changes = append(s.Tanks.Changes, TankChange{
			At: s.after(change.AtMinutes), MinutesAfterAirborne: change.AtMinutes,
			To: p.Aircraft.Fuel.Tanks[change.To].Name, ImbalanceBefore: change.ImbalanceBefore,
		})
	}
	return nil
}

// startImbalances tells of every pair of tanks that is above the limit at off blocks or, with the taxi burned, at take-off.
func (s *Sheet) startImbalances(atTakeOff map[string]float64) {
	system, onBoard := s.Plan.Aircraft.Fuel, s.Plan.Fuel.OnBoard
	if system.MaxImbalance == nil {
		return
	}
	limit, unit := *system.MaxImbalance, say.Unit(s.Fuel.Unit)
	for _, pair := range system.TankPairs() {
		light, heavy := system.Tanks[pair[0]], system.Tanks[pair[1]]
		if onBoard[light.Name] > onBoard[heavy.Name] {
			light, heavy = heavy, light
		}
		before := onBoard[heavy.Name] - onBoard[light.Name]
		after := fuel.Imbalance(atTakeOff[heavy.Name], atTakeOff[light.Name])
		over := max(before, after) - limit
		if over <= leastQuantity {
			continue
		}
		hint := LevelBeforeTakeOff(light, heavy, onBoard[light.Name], over, unit)
		switch schedule := s.Tanks.Schedule; {
		case !schedule.StartsAboveLimit:
		case math.IsInf(schedule.WithinLimitAtMinutes, 1):
			hint += "; in flight it does not come within the limit before landing"
		default:
			hint += fmt.Sprintf("; else it is within the limit at %s, as %s feeds until then", say.Minute(s.after(schedule.WithinLimitAtMinutes)), heavy.Name)
		}
		s.Tanks.AboveLimitAtStart = append(s.Tanks.AboveLimitAtStart, StartImbalance{
			Over: over, Hint: hint,
			Text: fmt.Sprintf("tanks: above the imbalance limit before take-off: %s is heavier than %s by %s %s at off blocks and %s %s at take-off, limit %g %s: %s %s over",
				heavy.Name, light.Name, say.Amount(before), unit, say.Amount(after), unit, limit, unit, say.Amount(over), unit),
		})
	}
}

// LevelBeforeTakeOff says what brings a pair of tanks within the limit before take-off: how much to fill into the lighter one, where there is room for
// it beside what is in it, or to draw from the other.
func LevelBeforeTakeOff(light, heavy plan.Tank, inLight, over float64, unit string) string {
	draw := fmt.Sprintf("draw %s %s from %s", say.Amount(roundUp(over)), unit, heavy.Name)
	if inLight+over > light.Capacity {
		return draw
	}
	return fmt.Sprintf("fill %s by %s %s, or %s", light.Name, say.Amount(roundUp(over)), unit, draw)
}
