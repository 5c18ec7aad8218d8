package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"example.com/legclock/internal/fuel"
)

// verifyFuel checks the fuel against the tanks and chooses the tank to start on and the alternate where the plan does not.
func (d *draft) verifyFuel() {
	if len(d.Aircraft.Fuel.Tanks) > 0 {
		d.verifyOnBoard()
		d.verifyStart()
	}
	switch planned := &d.Plan.Fuel; {
	case planned.Alternate != "":
		d.verifyAerodrome("fuel.alternate", planned.Alternate)
	case len(d.Route.Alternates) > 0:
		planned.Alternate = d.Route.Alternates[0]
		d.noteAt("fuel.alternate", "not given: %s, the first of the alternates, is used", planned.Alternate)
	default:
		d.noteAt("fuel.alternate", "not given: no fuel is planned for an alternate")
	}
	if d.Plan.Fuel.Alternate != "" && d.Plan.Fuel.Alternate == d.Route.Destination() {
		d.cautionAt("fuel.alternate", "another aerodrome", "the alternate is the destination itself")
	}
}

func (d *draft) verifyOnBoard() {
	system, onBoard := d.Aircraft.Fuel, d.Plan.Fuel.OnBoard
	if onBoard == nil {
		return
	}
	d.convertOnBoard()
	for _, name := range slices.Sorted(maps.Keys(onBoard)) {
		path, quantity := "fuel.on_board."+name, onBoard[name]
		index := system.TankIndex(name)
		switch {
		case index < 0:
			d.failAt(path, meant(name, tankNames(system)), "the aircraft has no tank %q", name)
		case quantity > system.Tanks[index].Capacity:
			d.failAt(path, "at most the capacity", "%s is more than the tank holds, %s", formatNumber(math.Round(quantity*100)/100), formatNumber(system.Tanks[index].Capacity))
		}
	}
	for _, tank := range system.Tanks {
		if _, given := onBoard[tank.Name]; !given {
			d.failAt("fuel.on_board", "0 if it is empty", "there is no quantity for the tank %q", tank.Name)
		}
	}
}

// convertOnBoard puts quantities that name a unit of their own into the aircraft's.
func (d *draft) convertOnBoard() {
	own, err := fuel.ParseUnit(d.Aircraft.Fuel.Unit)
	if err != nil {
		return // it has been reported
	}
	for name, unit := range d.onBoardIn {
		if unit != own {
			d.Plan.Fuel.OnBoard[name] = own.FromLitres(unit.Litres(d.Plan.Fuel.OnBoard[name]))
		}
	}
}

// verifyStart checks the tank to start on; where none is given it is the one with the most usable fuel, the first of equals.
func (d *draft) verifyStart() {
	system, planned := d.Aircraft.Fuel, &d.Plan.Fuel
	usable := func(tank Tank) float64 { return planned.OnBoard[tank.Name] - tank.Unusable }
	if planned.StartOn != "" {
		index := system.TankIndex(planned.StartOn)
		switch {
		case index < 0:
			d.failAt("fuel.start_on", meant(planned.StartOn, tankNames(system)), "the aircraft has no tank %q", planned.StartOn)
		case usable(system.Tanks[index]) <= 0:
			d.failAt("fuel.start_on", "a tank that has some", "the tank %q holds no usable fuel", planned.StartOn)
		}
		return
	}
	if d.locate("fuel.start_on").path == "fuel.start_on" || len(planned.OnBoard) == 0 {
		return // it was given and could not be read, or there is nothing to choose by: both have been reported
	}
	best := system.Tanks[0]
	for _, tank := range system.Tanks[1:] {
		if usable(tank) > usable(best) {
			best = tank
		}
	}
	planned.StartOn = best.Name
	switch most := usable(best); {
	case math.IsNaN(most): // a quantity that could not be read has been reported
	case most <= 0:
		d.failAt("fuel.on_board", "fuel in a tank", "no tank holds usable fuel")
	default:
		d.noteAt("fuel.start_on", "not given: %s is used, the fullest", best.Name)
	}
}

// verifyAerodrome checks that a name is that of an aerodrome of the points.
func (d *draft) verifyAerodrome(path, ident string) {
	entry, known := d.points.find(ident)
	switch {
	case !known:
		d.failAt(path, meant(ident, d.points.idents(func(kind Kind) bool { return kind == Aerodrome })), "there is no point %q", ident)
	case entry.Kind != Aerodrome && entry.Kind != "":
		d.failAt(path, fmt.Sprintf("a point of kind %s", Aerodrome), "%s is no aerodrome: it is of kind %s", ident, entry.Kind)
	}
}
