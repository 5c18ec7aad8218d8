package flight

import (
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// FinalReserve is the fuel that is to be in the tanks after landing, whatever happens. Where the plan gives none it is that of an arrival by day
// or by night, as the arrival is expected now.
type FinalReserve struct {
	Minutes float64 `json:"minutes"`
	Fuel    float64 `json:"fuel"`
	Rule    string  `json:"rule"` // whose minimum it is, and at what flow
}

// finalReserves are those of a plan for an arrival by day and by night.
type finalReserves struct{ byDay, byNight FinalReserve }

func finalReservesOf(s *sheet.Sheet) finalReserves {
	of := func(byNight bool) FinalReserve {
		r := s.FinalReserve(byNight)
		return FinalReserve{Minutes: r.Minutes, Fuel: r.Fuel, Rule: r.Rule}
	}
	return finalReserves{of(false), of(true)}
}

// finalReserve is the one that is to be kept as it looks at a moment.
func (f *ahead) finalReserve(t time.Time) *FinalReserve {
	if f.arrivesByNight(t) {
		return &f.reserves.byNight
	}
	return &f.reserves.byDay
}

// onArrival is what fuel on arrival comes to: the endurance then and what is over the final reserve, both at the flow of cruise.
func (r *FinalReserve) onArrival(usable, flow float64) (enduranceMinutes, extraFuel, extraMinutes float64) {
	extraFuel = usable - r.Fuel
	return fuel.EnduranceMinutes(max(0, usable), flow), extraFuel, extraFuel / flow * 60
}

// surelyByDay is how far from the night an arrival has to be expected before the reserve of an arrival by night is given up again, so that it does not
// come and go with each entry: common practice, no source.
const surelyByDay = 5 * time.Minute

// arrivesByNight reports whether the arrival counts as one by night, as it looks at a moment: it is expected by night, or has been and is not
// expected surely by day since.
func (f *ahead) arrivesByNight(t time.Time) bool {
	return reckoned(f.lookAt(t), func(l *look) *lookPart[bool] { return &l.byNight }, func() bool { return f.findByNight(t) })
}

func (f *ahead) findByNight(t time.Time) bool {
	point := &f.legs[f.destination().leg].line().To
	at, arrived, known := f.arrival(t)
	switch {
	case !known:
		return f.byNight
	case f.nightAt(point, at):
		return true
	case arrived || !f.byNight:
		return false
	}
	return f.nightAt(point, at.Add(surelyByDay)) || f.nightAt(point, at.Add(-surelyByDay))
}

// arrival is when the flight was at its destination or, as it looks at a moment, is to be there; known is false where that can't be said.
func (f *ahead) arrival(t time.Time) (at time.Time, arrived, known bool) {
	end := f.destination()
	if passed := f.legs[end.leg].actual; !passed.IsZero() {
		return passed, true, true
	}
	if !f.landed.IsZero() {
		return f.landed, true, true
	}
	at, known = f.eta(end, t)
	return at, false, known
}

// nightAt reports whether it is night at a point, by civil twilight.
func (p *ofPlan) nightAt(point *plan.Point, at time.Time) bool {
	day := p.dayAt(point, at)
	if !day.EndsAsFor(at) {
		day = p.later.dayAt(point, at)
	}
	return day.NightAt(at)
}
