package cli

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// statusTanks prints what is in the tanks, how long it lasts by every witness, and by when the alternates have to be turned to.
func statusTanks(b *strings.Builder, s flight.Snapshot) {
	t, unit := s.Tanks, say.Unit(s.Tanks.Unit)
	fmt.Fprintf(b, "\ntanks: on %s, %.1f %s/h\n", t.Selected, t.FlowPerHour, unit)
	nameWidth := 8
	for _, tank := range t.Tanks {
		nameWidth = max(nameWidth, len(tank.Name))
	}
	for _, tank := range t.Tanks {
		fmt.Fprintf(b, "  %-*s %5.1f of %.0f %s", nameWidth, tank.Name, tank.Quantity, tank.Capacity, unit)
		if tank.MassKg != nil {
			fmt.Fprintf(b, ", %s", say.Mass(*tank.MassKg, t.Unit))
		}
		if tank.Gauge != nil {
			fmt.Fprintf(b, ", gauge %.1f at %s", *tank.Gauge, say.TimeOf(tank.GaugeAt))
		}
		b.WriteByte('\n')
	}
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-10s %s\n", label, fmt.Sprintf(format, values...))
	}
	statusBalance(t, unit, row)
	e := t.Endurance
	endurance := say.Long(e.PlanMinutes) + " by plan"
	if e.MeterMinutes != nil {
		endurance += ", " + say.Long(*e.MeterMinutes) + " by flow meter"
	}
	if e.GaugesMinutes != nil {
		endurance += fmt.Sprintf(", %s ±%.0f min by gauges", say.Long(*e.GaugesMinutes), *e.GaugesSigmaMinutes)
	}
	row("endurance", "%s (%s)", say.Long(t.EnduranceMinutes), endurance)
	if burn := t.Burn; burn != nil {
		certain := ""
		if !burn.Counts {
			certain = ", too uncertain to count"
		}
		row("burn", "%.1f ±%.1f %s/h by %d gauge readings, %.1f calculated%s", burn.FlowPerHour, burn.SigmaPerHour, unit, burn.Readings,
			burn.ReckonedPerHour, certain)
	}
	if d := s.Destination; d != nil {
		row("at landing", "%.1f ±%.1f %s usable", d.Fuel, d.FuelSigma, unit)
	}
	if t.ReserveTouchedAt != nil {
		row("reserve", "only that is left at %s", say.TimeOf(t.ReserveTouchedAt))
	}
	for _, bingo := range t.LatestDivert {
		row("alternate", "%s", bingo.Text)
	}
}

// statusBalance prints how far the tanks are apart and when to change.
func statusBalance(t flight.TanksNow, unit string, row func(label, format string, values ...any)) {
	if t.MaxImbalance != nil {
		row("imbalance", "%.1f of %.1f %s", t.Imbalance, *t.MaxImbalance, unit)
	}
	if t.NextChange != nil {
		row("change", "to %s at %s, imbalance then %.1f %s", t.NextChange.To, say.Time(t.NextChange.At), t.NextChange.ImbalanceThen, unit)
	}
	if t.LimitAt != nil {
		row("limit", "at %s if nothing is changed", say.TimeOf(t.LimitAt))
	}
}
