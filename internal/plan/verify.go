package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

// verify finishes a draft: it checks what one value says against the others and fills in what follows from them.
func (d *draft) verify() {
	d.takePoints()
	d.measureFixes()
	d.verifyFuel()
	d.verifyRoute()
	d.verifyVariations()
	d.verifyChecks()
	d.verifyPointsInUse()
	if _, titled := d.origin.plan.step("", "title"); !titled && d.Route.Destination() != "" {
		d.Title = fmt.Sprintf("%s to %s", d.Route.From, d.Route.Destination())
		d.noteAt("title", "not given: %q is used", d.Title)
	}
}

func (d *draft) failAt(path, hint, format string, arguments ...any) {
	d.reportAt(Error, path, hint, format, arguments...)
}

func (d *draft) cautionAt(path, hint, format string, arguments ...any) {
	d.reportAt(Caution, path, hint, format, arguments...)
}

func (d *draft) noteAt(path, format string, arguments ...any) {
	d.reportAt(Note, path, "", format, arguments...)
}

// reportAt adds a problem that the path places, as the sheet's problems are.
func (d *draft) reportAt(severity Severity, path, hint, format string, arguments ...any) {
	d.add(d.Placed(Problem{Severity: severity, Path: path, Text: fmt.Sprintf(format, arguments...), Hint: hint}))
}

// takePoints hands the points over to the plan. Every aerodrome gets its circuit.
func (d *draft) takePoints() {
	d.origin.points = make(map[string]value, len(d.points.entries))
	d.Plan.Points = make([]Point, 0, len(d.points.entries))
	for i := range d.points.entries {
		entry := &d.points.entries[i]
		if entry.Kind == Aerodrome && !entry.circuitGiven {
			entry.CircuitFt = defaultCircuitFt
		}
		d.origin.points[entry.Ident] = entry.from
		d.Plan.Points = append(d.Plan.Points, entry.Point)
	}
}

// measureFixes computes the places of the fixes that are given by radial and distance.
func (d *draft) measureFixes() {
	for i := range d.points.entries {
		fix := &d.points.entries[i]
		if fix.placed || fix.From == "" || fix.Radial == nil || fix.DistanceNM == 0 {
			continue
		}
		station, known := d.points.find(fix.From)
		switch {
		case !known:
			fix.at("from").fail(fmt.Sprintf("there is no point %q", fix.From), meant(fix.From, d.points.idents(Kind.HasRadials)))
			continue
		case station.Kind == "" || !station.placed && station.Kind.HasRadials():
			continue // what is wrong with it has been said
		case !station.Kind.HasRadials():
			fix.at("from").fail(fmt.Sprintf("%s has no radials: it is of kind %s", fix.From, station.Kind), "a vor or a vor-dme")
			continue
		}
		if north, _, err := d.StationDeclination(station.Point); err == nil {
			fix.At, _ = earth.Direct(station.At, *fix.Radial+north, fix.DistanceNM)
			fix.placed = true
			d.Plan.Points[i].At = fix.At
		}
	}
}

// inUse lists the points that the plan uses, each with what for.
func (d *draft) inUse() (idents []string, use map[string]pointUse) {
	use = map[string]pointUse{}
	mark := func(ident string, how pointUse) {
		if _, known := d.points.find(ident); !known {
			return
		}
		if _, marked := use[ident]; !marked {
			idents = append(idents, ident)
		}
		use[ident] |= how
	}
	mark(d.Route.From, landed)
	for _, leg := range d.Route.Legs {
		mark(leg.To, passed)
		for _, checkpoint := range leg.Checkpoints {
			mark(checkpoint.Point, passed)
		}
		for _, step := range leg.Radio {
			mark(step.Beacon, tuned)
		}
	}
	for _, ident := range append([]string{d.Route.Destination(), d.Plan.Fuel.Alternate}, d.Route.Alternates...) {
		mark(ident, landed|circled)
	}
	for _, ident := range idents {
		if entry, _ := d.points.find(ident); entry.From != "" {
			mark(entry.From, measuredFrom)
		}
	}
	return idents, use
}

// pointUse is what a plan uses a point for.
type pointUse int

const (
	passed pointUse = 1 << iota
	tuned
	landed       // taken off from or landed at
	circled      // arrived at
	measuredFrom // a fix is
)

// verifyPointsInUse notes what was assumed of the points that the plan uses, and doubts declinations that no magnetic field has.
func (d *draft) verifyPointsInUse() {
	idents, use := d.inUse()
	for _, ident := range idents {
		entry, _ := d.points.find(ident)
		path := fmt.Sprintf("points[%s]", ident)
		if other := entry.shadowed; other != nil {
			at := other.from.place()
			d.noteAt(path, "this one is used, not the point of the same ident at %s:%d", at.file, at.line)
		}
		how := use[ident]
		sight := how&tuned != 0 && entry.Kind.IsBeacon() && entry.Kind != NDB
		if !entry.elevationGiven && (entry.Kind == Aerodrome && how&landed != 0 || sight) {
			d.noteAt(path+".elevation", "not given: sea level is used")
		}
		if entry.Kind == Aerodrome && how&circled != 0 && !entry.circuitGiven {
			d.noteAt(path+".circuit", "not given: %d ft above the elevation is used", defaultCircuitFt)
		}
		if sight && entry.RangeNM == 0 {
			d.noteAt(path+".range", "not given: line of sight alone counts")
		}
		d.verifyDeclination(path, entry, how)
	}
}

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
			d.failAt(path, "at most the capacity", "%s is more than the tank holds, %s", beyond(quantity, system.Tanks[index].Capacity), formatNumber(system.Tanks[index].Capacity))
		}
	}
	for _, tank := range system.Tanks {
		if _, given := onBoard[tank.Name]; !given {
			d.failAt("fuel.on_board", "0 if it is empty", "there is no quantity for the tank %q", tank.Name)
		}
	}
}

// beyond is a number to two decimals, or to as many more as show that it lies beyond a limit.
func beyond(number, limit float64) string {
	for scale := 100.0; scale < 1e12; scale *= 10 {
		if rounded := math.Round(number*scale) / scale; rounded != limit {
			return formatNumber(rounded)
		}
	}
	return formatNumber(number)
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
	if d.locate("fuel.start_on").path() == "fuel.start_on" || len(planned.OnBoard) == 0 {
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
		d.failAt(path, fmt.Sprintf("a point of kind %s", Aerodrome), "%s is not an aerodrome: it is of kind %s", ident, entry.Kind)
	}
}
