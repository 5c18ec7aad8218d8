package flight

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// noticesAt says what the pilot must know at the moment of a Snapshot that is made but for them, the gravest first.
func (f *fuelled) noticesAt(s *Snapshot) []Notice {
	notices := []Notice{}
	add := func(severity Severity, format string, arguments ...any) {
		notices = append(notices, Notice{Severity: severity, Text: fmt.Sprintf(format, arguments...)})
	}
	if i := slices.IndexFunc(s.Tanks.Tanks, func(tank TankNow) bool { return tank.Selected }); i >= 0 && f.burning(s) && f.flying() && s.Tanks.Tanks[i].dry() {
		add(Alarm, "%s tank has no usable fuel left", s.Tanks.Tanks[i].Name) // the engine is about to stop
	}
	if state := s.FuelState; state != nil {
		add(Alarm, "%s: %s", state.Name, state.Why)
	}
	for _, severity := range []Severity{Alarm, Caution} {
		of := func(own Severity, format string, arguments ...any) {
			if own == severity {
				add(own, format, arguments...)
			}
		}
		f.tankNotices(s, of)
		f.fuelNotices(s, of)
		f.routeNotices(s, of)
		if late, ok := f.lateTank(s); ok && severity == Alarm { // what is over a limit comes before what is late
			notices = append(notices, late)
		}
	}
	return notices
}

type notify func(severity Severity, format string, arguments ...any)

// burning reports whether the flight has begun and not ended.
func (f *fuelled) burning(s *Snapshot) bool {
	return s.Phase != Arrived && !(f.offBlocks.IsZero() && f.airborne.IsZero())
}

// lateTank alarms of a change of tank that is late.
func (f *fuelled) lateTank(s *Snapshot) (Notice, bool) {
	if !f.flying() {
		return Notice{}, false
	}
	for i := range s.Prompts {
		if p := &s.Prompts[i]; p.Kind == PromptTank && p.State == Late {
			return Notice{Alarm, fmt.Sprintf("%s was due %s, %s ago", p.Text, say.Time(p.Due), say.Between(p.Due, s.At)), p.ID}, true
		}
	}
	return Notice{}, false
}

func (f *fuelled) tankNotices(s *Snapshot, add notify) {
	if limit := s.Tanks.MaxImbalance; limit != nil && s.Tanks.Imbalance > *limit && f.landed.IsZero() && s.Phase != Arrived {
		add(Alarm, "imbalance %.1f of %g %s: %s", s.Tanks.Imbalance, *limit, f.tanks.Unit(), f.heavy(s, *limit))
	}
	if !f.burning(s) {
		return
	}
	const lowMinutes = 10
	for _, tank := range s.Tanks.Tanks {
		if !tank.Selected {
			continue
		}
		left := math.Max(0, tank.Quantity-tank.Unusable)
		switch {
		case left == 0 && !f.flying(): // the taxi may be ended without it
			add(Caution, "%s tank has no usable fuel left", tank.Name)
		case left == 0: // said first
		case !f.landed.IsZero():
		case s.Tanks.FlowPerHour > 0 && left/s.Tanks.FlowPerHour*60 < lowMinutes && !changesBefore(s.Tanks, s.At.Add(minutes(left/s.Tanks.FlowPerHour*60))):
			add(Alarm, "%s tank: endurance %s", tank.Name, say.Minutes(left/s.Tanks.FlowPerHour*60))
		}
	}
	for _, trend := range s.Tanks.Trends {
		add(trend.Severity, "%s", trend.Text)
	}
	if s.Tanks.GaugeDisagreement != "" {
		add(Caution, "%s", s.Tanks.GaugeDisagreement)
	}
	if s.Tanks.ScheduleProblem != "" {
		add(Caution, "tanks: %s", s.Tanks.ScheduleProblem)
	}
}

// heavy says which side is heavy and, before take-off, what mends that; else when it is mended by the tank that feeds.
func (f *fuelled) heavy(s *Snapshot, limit float64) string {
	text := s.Tanks.HeavySide + " is heavy"
	within := ""
	if at := s.Tanks.WithinLimitAt; at != nil && at.After(s.At) && s.Tanks.Selected == s.Tanks.HeavySide {
		within = fmt.Sprintf("within the limit at %s, as %s feeds until then", say.Time(*at), s.Tanks.HeavySide)
	}
	if f.airborne.IsZero() {
		for _, pair := range s.Tanks.Pairs {
			light, heavy := pair.First, pair.Second
			if light == s.Tanks.HeavySide {
				light, heavy = heavy, light
			}
			if heavy == s.Tanks.HeavySide {
				text += ": " + sheet.LevelBeforeTakeOff(f.tank(light), f.tank(heavy), s.Tanks.Quantities[light], s.Tanks.Imbalance-limit, f.tanks.Unit())
			}
		}
		if within != "" {
			within = "else " + within
		}
	}
	if within != "" {
		text += "; " + within
	}
	return text
}

// tank is a tank of the aircraft by its name.
func (f *flown) tank(name string) plan.Tank {
	system := f.system()
	return system.Tanks[system.TankIndex(name)]
}

// changesBefore reports whether a change that is not late yet is planned before a time.
func changesBefore(k TanksNow, at time.Time) bool {
	return k.NextChange != nil && k.NextChange.At.Before(at)
}

func (f *ahead) fuelNotices(s *Snapshot, add notify) {
	d := s.Destination
	if d == nil || !f.landed.IsZero() || s.Phase == Arrived {
		return
	}
	switch {
	case d.Fuel <= 0:
		add(Alarm, "the fuel does not reach %s", d.Name)
	case d.BelowReserve():
		add(Alarm, "fuel on arrival at %s is %s below the final reserve of %s", d.Name, say.Shortage(-d.ExtraFuel, s.Tanks.Unit), say.Minutes(d.ReserveMinutes))
	}
	if planned := &f.sheet.Fuel; s.FinalReserve.Rule != planned.ReserveRule {
		add(Caution, "final reserve now %s (planned %s): %s", say.AmountIn(s.FinalReserve.Fuel, s.Tanks.Unit), say.Amount(planned.Reserve), s.FinalReserve.Rule)
	}
	switch {
	case d.BeforeDarkMinutes != nil && *d.BeforeDarkMinutes < 0:
		add(Caution, "arrival at %s is %s after the end of civil twilight", d.Name, say.Long(-*d.BeforeDarkMinutes))
	case d.BeforeSunsetMinutes != nil && *d.BeforeSunsetMinutes < 0:
		add(Caution, "arrival at %s is %s after sunset", d.Name, say.Long(-*d.BeforeSunsetMinutes))
	}
	if f.arrivesByNight(s.At) {
		if text := f.sheet.ReserveTooShort(true, d.ETA); text != "" {
			add(Caution, "%s", text)
		}
	}
}

func (f *ahead) routeNotices(s *Snapshot, add notify) {
	if f.outlook.err != nil {
		add(Alarm, "the wind in use can't be flown, so the forecast is used: %v", f.outlook.err)
	}
	if f.standIn != "" && f.flying() {
		add(Caution, "%s", f.standIn)
	}
	if m := f.misfit; m != nil {
		late := "late"
		if m.sigmas < 0 {
			late = "early"
		}
		add(Caution, "no likely wind makes %s so %s: is that entry right?", m.name, late)
	}
	if safe := s.Leg.SafeAltitudeFt; safe != nil && s.Position != nil && s.Phase == Cruising && s.Position.AltitudeFt < *safe-readingFt {
		add(Caution, "%s is below the MSA of this leg, %s", say.Feet(s.Position.AltitudeFt), say.Feet(*safe))
	}
	const tellAgain = 3 * time.Minute // US Navy manual P-1204: an estimate more than 3 minutes wrong is corrected
	if r := f.told.reported; r.point != "" && s.Next != nil && s.Leg.To == r.point {
		if eta, ok := f.eta(f.endOfLeg(), s.At); ok && eta.Sub(r.eta).Abs() > tellAgain {
			add(Caution, "%s was reported for %s and is now expected at %s", r.point, say.ReportMinute(r.eta), say.ReportMinute(eta))
		}
	}
}
