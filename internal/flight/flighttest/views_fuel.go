package flighttest

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// fuelView shows what is known of the fuel beyond the tanks: how long it lasts by every witness, what is left at the destination, the
// reserve, the alternates and what readings say over time.
func fuelView(s flight.Snapshot, _ []string) []string {
	k := s.Tanks
	line := fmt.Sprintf("usable %.1f, endurance %.0f min by plan", k.TotalUsable, k.Endurance.PlanMinutes)
	if m := k.Endurance.MeterMinutes; m != nil {
		line += fmt.Sprintf(", %.0f by flow meter", *m)
	}
	if m := k.Endurance.GaugesMinutes; m != nil {
		line += fmt.Sprintf(", %.0f ±%.0f by gauges", *m, *k.Endurance.GaugesSigmaMinutes)
	}
	lines := []string{line + fmt.Sprintf("; %.0f by %s counts", k.EnduranceMinutes, k.Endurance.By)}
	if b := k.Burn; b != nil {
		line := fmt.Sprintf("burn by %d readings %.1f ±%.1f, calculated %.1f", b.Readings, b.FlowPerHour, b.SigmaPerHour, b.ReckonedPerHour)
		if !b.Counts {
			line += ", too uncertain to count"
		}
		lines = append(lines, line)
	}
	if d := s.Destination; d != nil {
		lines = append(lines, fmt.Sprintf("%.1f ±%.1f left at %s", d.Fuel, d.FuelSigma, d.Point))
	}
	if state := s.FuelState; state != nil {
		lines = append(lines, state.Name+": "+state.Why, "say: "+state.Say)
	}
	lines = append(lines, "only the reserve is left at "+say.Or(k.ReserveTouchedAt, say.UTC))
	for _, b := range k.LatestDivert {
		lines = append(lines, b.Text)
	}
	for _, trend := range k.Trends {
		lines = append(lines, string(trend.Severity)+": "+trend.Text)
	}
	return lines
}
