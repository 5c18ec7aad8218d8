package plan

import (
	"fmt"
	"slices"

	"example.com/legclock/internal/say"
)

// verifyChecks checks that each check can come to be due on this flight, and that the contacts are at places it passes.
func (d *draft) verifyChecks() {
	var passed []string
	for _, leg := range d.Route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			passed = append(passed, checkpoint.Name)
		}
		passed = append(passed, leg.To)
	}
	for i, contact := range d.Contacts {
		if contact.At != "" && !slices.Contains(append(passed, d.Route.From), contact.At) {
			d.failAt(fmt.Sprintf("contacts[%d].at", i), meant(contact.At, passed), "the route passes no point %q", contact.At)
		}
	}
	lowestFt, highestFt := d.heights()
	for i, check := range d.Checks {
		path := fmt.Sprintf("checks[%d]", i)
		for _, condition := range []struct{ key, name string }{{"passing", check.Passing}, {"before", check.Before}} {
			if condition.name != "" && !slices.Contains(passed, condition.name) {
				d.failAt(path+"."+condition.key, meant(condition.name, passed), "the route passes no point %q", condition.name)
			}
		}
		for _, condition := range []struct {
			key        string
			altitudeFt *float64
		}{{"climbing_through", check.ClimbingThroughFt}, {"descending_through", check.DescendingThroughFt}} {
			if at := condition.altitudeFt; at != nil && (*at < lowestFt || *at > highestFt) {
				d.cautionAt(path+"."+condition.key, fmt.Sprintf("%.0f to %s", lowestFt, say.Feet(highestFt)),
					"the flight does not pass %s ft", formatNumber(*at))
			}
		}
	}
}

// heights are the lowest end of the route and its highest level, in feet above sea level.
func (d *draft) heights() (lowestFt, highestFt float64) {
	ends := []string{d.Route.From, d.Route.Destination()}
	for i, ident := range ends {
		if entry, known := d.points.find(ident); known && (i == 0 || entry.ElevationFt < lowestFt) {
			lowestFt = entry.ElevationFt
		}
	}
	for _, leg := range d.Route.Legs {
		highestFt = max(highestFt, leg.Level.AltitudeFtAt(d.Conditions.QNH)) // NaN if one is not known: then nothing is said
	}
	return lowestFt, highestFt
}
