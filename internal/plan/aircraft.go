package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

// Aircraft is what the handbook says of the aeroplane, as far as the navigator needs it.
type Aircraft struct {
	Version       int              `json:"aircraft"`
	Name          string           `json:"name"`
	Registration  string           `json:"registration,omitempty"`
	Callsign      string           `json:"callsign,omitempty"` // on the radio, where it is not the registration
	Fuel          FuelSystem       `json:"fuel"`
	Receivers     []string         `json:"receivers"`
	TaxiFlow      float64          `json:"taxi_flow"` // unit per hour
	Climb         Climb            `json:"climb"`
	Cruise        Cruise           `json:"cruise"`
	Descent       Descent          `json:"descent"`
	Holding       *Holding         `json:"holding,omitempty"`
	PositionError []air.Correction `json:"position_error,omitempty"` // indicated to calibrated; empty: equal
	Deviation     []Deviation      `json:"deviation,omitempty"`      // the compass's card, by heading; empty: none is given
	PreDeparture  []string         `json:"pre_departure,omitempty"`  // the owner's own list before departure
	Cards         Cards            `json:"cards,omitzero"`           // the owner's own steps
}

// FuelSystem is the tanks and the rules that they are used by.
type FuelSystem struct {
	Unit                      string      `json:"unit"` // litre, usgal or impgal
	Tanks                     []Tank      `json:"tanks"`
	MaxImbalance              *float64    `json:"max_imbalance,omitempty"` // nil: no limit given
	Pairs                     [][2]string `json:"pairs,omitempty"`         // tanks that the limit compares; two tanks need none
	ChangeEveryMinutes        *float64    `json:"change_every,omitempty"`  // longest time on one tank; nil: no such rule
	QuietBelowFt              float64     `json:"quiet_below"`             // above departure or destination: no planned change below
	QuietBeforeLandingMinutes float64     `json:"quiet_before_landing"`
	ChangeSteps               []string    `json:"change_steps,omitempty"` // what the handbook asks for at a change
	DensityKgPerLitre         *float64    `json:"density,omitempty"`      // nil: no masses are shown
}

// Tank is one tank by the name on its selector position.
type Tank struct {
	Name     string  `json:"name"`
	Capacity float64 `json:"capacity"`
	Unusable float64 `json:"unusable"`
}

// TankIndex finds a tank by name, -1 when there is none.
func (f FuelSystem) TankIndex(name string) int {
	for i, tank := range f.Tanks {
		if tank.Name == name {
			return i
		}
	}
	return -1
}

// TankPairs are the tanks that the limit compares, by index: those that are named, else the only two. The index of a name that
// no tank has is -1.
func (f FuelSystem) TankPairs() [][2]int {
	if len(f.Pairs) == 0 && len(f.Tanks) == 2 {
		return [][2]int{{0, 1}}
	}
	pairs := make([][2]int, len(f.Pairs))
	for i, names := range f.Pairs {
		pairs[i] = [2]int{f.TankIndex(names[0]), f.TankIndex(names[1])}
	}
	return pairs
}

// Deviation is a line of the compass's deviation card: to fly a magnetic heading, steer so much by compass. Degrees.
type Deviation struct {
	HeadingMagnetic float64 `json:"heading"`
	Compass         float64 `json:"compass"`
}

// Cards are the owner's own steps for what one hopes not to need, in the order to be done.
type Cards struct {
	Lost         []string `json:"lost,omitempty"`
	RadioFailure []string `json:"radio_failure,omitempty"`
	LowFuel      []string `json:"low_fuel,omitempty"`
	Weather      []string `json:"weather,omitempty"` // or night closing in
}

// Climb is the climb table at one indicated airspeed.
type Climb struct {
	IASKt float64    `json:"ias"`
	Table []ClimbRow `json:"table"`
}

// ClimbRow is one line of the climb table.
type ClimbRow struct {
	AltitudeFt  float64 `json:"altitude"` // pressure altitude
	RateFtMin   float64 `json:"rate"`
	FlowPerHour float64 `json:"flow"`
}

// Cruise is the cruise table and the power that the plan uses.
type Cruise struct {
	Power float64     `json:"power"` // per cent
	Table []CruiseRow `json:"table"`
}

// CruiseRow is one line of the cruise table.
type CruiseRow struct {
	AltitudeFt  float64 `json:"altitude"` // pressure altitude
	Power       float64 `json:"power"`    // per cent
	RPM         float64 `json:"rpm,omitempty"`
	TASKt       float64 `json:"tas"`
	FlowPerHour float64 `json:"flow"`
	Mixture     string  `json:"mixture,omitempty"` // as the handbook words it
}

// Descent is how the aircraft is brought down.
type Descent struct {
	IASKt       float64 `json:"ias"`
	RateFtMin   float64 `json:"rate"`
	FlowPerHour float64 `json:"flow"`
	Power       float64 `json:"power,omitempty"`   // per cent; 0: not given
	RPM         float64 `json:"rpm,omitempty"`     // 0: not given
	Mixture     string  `json:"mixture,omitempty"` // as the handbook words it
}

// Holding is how the aircraft waits.
type Holding struct {
	IASKt       float64 `json:"ias"`
	FlowPerHour float64 `json:"flow"`
}

// CompassHeading is what to steer by compass to fly a magnetic heading, degrees: between two lines of the card the deviation is
// interpolated, round the circle. ok is false where the aircraft has no card.
func (a Aircraft) CompassHeading(headingMagnetic float64) (compass float64, ok bool) {
	card := a.Deviation
	if len(card) == 0 {
		return 0, false
	}
	heading := angle.Wrap360(headingMagnetic)
	above := 0
	for above < len(card) && card[above].HeadingMagnetic < heading {
		above++
	}
	from, to := card[(above+len(card)-1)%len(card)], card[above%len(card)]
	deviation := func(line Deviation) float64 { return angle.Wrap180(line.Compass - line.HeadingMagnetic) }
	share := 0.0
	if width := angle.Wrap360(to.HeadingMagnetic - from.HeadingMagnetic); width > 0 {
		share = angle.Wrap360(heading-from.HeadingMagnetic) / width
	}
	return angle.Wrap360(heading + deviation(from) + share*(deviation(to)-deviation(from))), true
}

// CallSign is how the aircraft is called on the radio: its callsign or, where none is given, its registration.
func (a Aircraft) CallSign() string {
	if a.Callsign != "" {
		return a.Callsign
	}
	return a.Registration
}

// Defaults of the aircraft file.
const (
	defaultQuietBelowFt              = 1000
	defaultQuietBeforeLandingMinutes = 10
)

// The quantities of an aircraft file. Their bounds are wide: they catch a slip of the finger or of the unit, not a rare aeroplane.
var (
	pressureAltitude = quantity{unit: "ft", low: -2000, high: 30000}
	airspeed         = quantity{unit: "kt", low: 20, high: 350}
	flow             = quantity{unit: "per hour", low: 0, high: 1000, above: true}
	verticalSpeed    = quantity{unit: "ft/min", low: 0, high: 6000, above: true}
	power            = quantity{unit: "per cent", low: 10, high: 110}
	rpm              = quantity{unit: "rpm", low: 500, high: 6000}
	taxiFlow         = quantity{unit: "per hour", low: 0, high: 1000}
	fuelQuantity     = quantity{low: 0, high: 5000}
	someFuel         = quantity{low: 0, high: 5000, above: true} // a capacity, a limit
	changeInterval   = quantity{unit: "minutes", low: 1, high: 600}
	quietBelow       = quantity{unit: "ft", low: 0, high: 10000}
	quietBefore      = quantity{unit: "minutes", low: 0, high: 120}
	density          = quantity{unit: "kg per litre", low: 0.6, high: 0.9} // gasolines and kerosenes lie within
)

// Units lists the units of fuel that an aircraft file can name.
func Units() []string { return []string{"litre", "usgal", "impgal"} }

// aircraft reads the aircraft's keys, from its own file or from below the plan's key.
func (r *reader) aircraft(root value, inOwnFile bool) Aircraft {
	o, ok := root.object("the aircraft's keys, or the name of an aircraft file")
	if !ok {
		return Aircraft{}
	}
	aircraft := Aircraft{Version: 1}
	_, given := o.find("aircraft")
	if (inOwnFile || given) && !o.version("aircraft") {
		return Aircraft{}
	}
	defer o.finish()
	aircraft.Name = o.textIfGiven("name", "what the aircraft is called")
	aircraft.Registration = o.textIfGiven("registration", "its registration")
	aircraft.Callsign = o.textIfGiven("callsign", "how it is called on the radio, where that is not the registration")
	aircraft.Fuel = readFuelSystem(o)
	aircraft.Receivers = readReceivers(o)
	aircraft.TaxiFlow = o.number("taxi_flow", taxiFlow)
	aircraft.Climb = readClimb(o)
	aircraft.Cruise = readCruise(o)
	aircraft.Descent = readDescent(o)
	aircraft.Holding = readHolding(o)
	aircraft.PositionError = readPositionError(o)
	aircraft.Deviation = readDeviation(o)
	aircraft.PreDeparture = o.names("pre_departure", "what is to be done before departure, step by step")
	aircraft.Cards = readCards(o)
	return aircraft
}

// readDeviation reads the compass's card. Two lines for one heading are refused.
func readDeviation(aircraft *object) (card []Deviation) {
	const wanted = "{heading: 0, compass: 2}"
	for _, item := range aircraft.list("deviation", 0, wanted) {
		row, ok := item.object(wanted)
		if !ok {
			continue
		}
		line := Deviation{HeadingMagnetic: angle.Wrap360(row.number("heading", direction)), Compass: angle.Wrap360(row.number("compass", direction))}
		row.finish()
		switch off := math.Abs(angle.Wrap180(line.Compass - line.HeadingMagnetic)); {
		case slices.ContainsFunc(card, func(other Deviation) bool { return other.HeadingMagnetic == line.HeadingMagnetic }):
			item.fail(fmt.Sprintf("there are two lines for %03.0f", line.HeadingMagnetic), "one line for each heading")
		case off > doubtfulDeviationDeg:
			item.caution(fmt.Sprintf("%.0f° is a large deviation", off), "what to steer by compass to fly the magnetic heading")
		}
		card = append(card, line)
	}
	slices.SortStableFunc(card, func(a, b Deviation) int { return cmp.Compare(a.HeadingMagnetic, b.HeadingMagnetic) })
	return card
}

// doubtfulDeviationDeg is more than a compass that has been swung has: 14 CFR 23.1327 (before 2017) allowed 10°.
const doubtfulDeviationDeg = 10

func readCards(aircraft *object) (cards Cards) {
	o, ok := aircraft.groupIfGiven("cards", "lost, radio_failure, low_fuel, weather")
	if !ok {
		return cards
	}
	defer o.finish()
	const wanted = "what to do, step by step"
	return Cards{
		Lost: o.names("lost", wanted), RadioFailure: o.names("radio_failure", wanted),
		LowFuel: o.names("low_fuel", wanted), Weather: o.names("weather", wanted),
	}
}

func readFuelSystem(aircraft *object) FuelSystem {
	o, ok := aircraft.group("fuel", "unit and tanks")
	if !ok {
		return FuelSystem{}
	}
	defer o.finish()
	system := FuelSystem{Unit: o.choice("unit", Units()...)}
	for _, item := range o.list("tanks", 1, "{name: left, capacity: 57, unusable: 2}") {
		if tank, ok := readTank(item); ok {
			if system.TankIndex(tank.Name) >= 0 {
				item.fail(fmt.Sprintf("there are two tanks %q", tank.Name), "a name of its own for each position of the selector")
			}
			system.Tanks = append(system.Tanks, tank)
		}
	}
	system.MaxImbalance = o.numberIfGiven("max_imbalance", someFuel)
	system.Pairs = readPairs(o, system)
	system.ChangeEveryMinutes = o.numberIfGiven("change_every", changeInterval)
	system.QuietBelowFt = o.numberOr("quiet_below", quietBelow, defaultQuietBelowFt)
	system.QuietBeforeLandingMinutes = o.numberOr("quiet_before_landing", quietBefore, defaultQuietBeforeLandingMinutes)
	system.ChangeSteps = o.names("change_steps", "what the handbook asks for at a change, step by step")
	system.DensityKgPerLitre = o.numberIfGiven("density", density)
	return system
}

func readTank(item value) (tank Tank, ok bool) {
	o, ok := item.object("{name: left, capacity: 57, unusable: 2}")
	if !ok {
		return tank, false
	}
	defer o.finish()
	tank.Name = o.text("name", "the name on the selector")
	tank.Capacity = o.number("capacity", someFuel)
	tank.Unusable = o.numberOr("unusable", fuelQuantity, 0)
	if tank.Unusable >= tank.Capacity {
		o.fail(fmt.Sprintf("of %s nothing is usable: unusable %s", formatNumber(tank.Capacity), formatNumber(tank.Unusable)),
			"an unusable part below the capacity")
	}
	return tank, tank.Name != ""
}

// readPairs reads which tanks the limit compares. Two tanks are a pair by themselves; more need to be told.
func readPairs(o *object, system FuelSystem) (pairs [][2]string) {
	const wanted = "[[left, right]]"
	for _, item := range o.list("pairs", 0, wanted) {
		names, ok := item.items(wanted)
		if !ok {
			continue
		}
		if len(names) != 2 {
			item.fail(fmt.Sprintf("there are %d names where a pair belongs", len(names)), wanted)
			continue
		}
		var pair [2]string
		for i, name := range names {
			pair[i] = name.choice(tankNames(system)...)
		}
		if pair[0] == pair[1] && pair[0] != "" {
			item.fail(fmt.Sprintf("%q is paired with itself", pair[0]), wanted)
		}
		pairs = append(pairs, pair)
	}
	v, limited := o.find("max_imbalance")
	switch {
	case !limited || len(pairs) > 0:
	case len(system.Tanks) > 2:
		v.fail("with more than two tanks it is not clear which the limit compares", "pairs: "+wanted)
	case len(system.Tanks) == 1:
		v.caution("one tank alone has no imbalance", "leave the key out")
	}
	return pairs
}

func tankNames(system FuelSystem) (names []string) {
	for _, tank := range system.Tanks {
		names = append(names, tank.Name)
	}
	return names
}

func readReceivers(aircraft *object) (receivers []string) {
	const wanted = "[NAV1, NAV2, DME, ADF], or [] without any"
	aircraft.tell("receivers", "list", "", required)
	list, ok := aircraft.get("receivers")
	if !ok {
		aircraft.missing("receivers", wanted)
		return nil
	}
	items, ok := list.items(wanted)
	if ok {
		receivers = []string{}
	}
	for _, item := range items {
		name := item.name(wanted)
		switch {
		case name == "":
		case slices.Contains(receivers, name):
			item.fail(fmt.Sprintf("there are two receivers %q", name), "NAV1, NAV2")
		case tunedBy(name) == nil:
			item.fail(fmt.Sprintf("what %q receives is not known", name), "a name that begins with NAV (VOR), DME or ADF (NDB)")
		default:
			receivers = append(receivers, name)
		}
	}
	return receivers
}

// A row of each table, to show its keys in messages.
const (
	climbRow  = "{altitude: 0, rate: 720, flow: 30}"
	cruiseRow = "{altitude: 2000, power: 75, tas: 98, flow: 23.5}"
)

func readClimb(aircraft *object) (climb Climb) {
	o, ok := aircraft.group("climb", "ias and table")
	if !ok {
		return climb
	}
	defer o.finish()
	before := o.errors
	climb.IASKt = o.number("ias", airspeed)
	for _, item := range o.list("table", 2, "two rows or more, "+climbRow) {
		row, ok := item.object(climbRow)
		if !ok {
			continue
		}
		climb.Table = append(climb.Table, ClimbRow{
			AltitudeFt:  row.number("altitude", pressureAltitude),
			RateFtMin:   row.number("rate", verticalSpeed),
			FlowPerHour: row.number("flow", flow),
		})
		row.finish()
	}
	sortRows(o, climb.Table, func(a, b ClimbRow) int { return cmp.Compare(a.AltitudeFt, b.AltitudeFt) },
		func(row ClimbRow) string { return formatNumber(row.AltitudeFt) + " ft" })
	if o.errors > before {
		climb.Table = nil // no level is to be judged by it
	}
	return climb
}

func readCruise(aircraft *object) (cruise Cruise) {
	o, ok := aircraft.group("cruise", "power and table")
	if !ok {
		return cruise
	}
	defer o.finish()
	before := o.errors
	cruise.Power = o.number("power", power)
	for _, item := range o.list("table", 2, "two rows or more, "+cruiseRow) {
		row, ok := item.object(cruiseRow)
		if !ok {
			continue
		}
		cruise.Table = append(cruise.Table, CruiseRow{
			AltitudeFt:  row.number("altitude", pressureAltitude),
			Power:       row.number("power", power),
			RPM:         orZero(row.numberIfGiven("rpm", rpm)),
			TASKt:       row.number("tas", airspeed),
			FlowPerHour: row.number("flow", flow),
			Mixture:     row.textIfGiven("mixture", "as the handbook words it"),
		})
		row.finish()
	}
	sortRows(o, cruise.Table,
		func(a, b CruiseRow) int {
			return cmp.Or(cmp.Compare(a.AltitudeFt, b.AltitudeFt), cmp.Compare(a.Power, b.Power))
		},
		func(row CruiseRow) string {
			return fmt.Sprintf("%s ft and %s %%", formatNumber(row.AltitudeFt), formatNumber(row.Power))
		})
	if o.errors > before {
		cruise.Table = nil // no level is to be judged by it
	}
	return cruise
}

// sortRows puts a table in order and refuses two rows for the same.
func sortRows[Row any](o *object, table []Row, compare func(a, b Row) int, name func(Row) string) {
	slices.SortStableFunc(table, compare)
	list, _ := o.find("table")
	for i := 1; i < len(table); i++ {
		if text := name(table[i]); compare(table[i-1], table[i]) == 0 && !strings.Contains(text, "NaN") {
			list.fail(fmt.Sprintf("there are two rows for %s", text), "one row for each")
		}
	}
}

func orZero(number *float64) float64 {
	if number == nil {
		return 0
	}
	return *number
}

func readDescent(aircraft *object) (descent Descent) {
	o, ok := aircraft.group("descent", "{ias: 95, rate: 500, flow: 16}")
	if !ok {
		return descent
	}
	defer o.finish()
	return Descent{
		IASKt:       o.number("ias", airspeed),
		RateFtMin:   o.number("rate", verticalSpeed),
		FlowPerHour: o.number("flow", flow),
		Power:       orZero(o.numberIfGiven("power", power)),
		RPM:         orZero(o.numberIfGiven("rpm", rpm)),
		Mixture:     o.textIfGiven("mixture", "as the handbook words it"),
	}
}

func readHolding(aircraft *object) *Holding {
	const wanted = "{ias: 70, flow: 16}"
	o, ok := aircraft.groupIfGiven("holding", wanted)
	if !ok {
		if o == nil {
			aircraft.assumed("holding", "the final reserve is taken at the cruise flow")
		}
		return nil
	}
	defer o.finish()
	return &Holding{IASKt: o.number("ias", airspeed), FlowPerHour: o.number("flow", flow)}
}

func readPositionError(aircraft *object) (table []air.Correction) {
	instrument, ok := aircraft.groupIfGiven("instrument", "position_error")
	if !ok {
		return nil
	}
	defer instrument.finish()
	const wanted = "{ias: 70, cas: 72}"
	for _, item := range instrument.list("position_error", 0, wanted) {
		row, ok := item.object(wanted)
		if !ok {
			continue
		}
		table = append(table, air.Correction{IndicatedKt: row.number("ias", airspeed), CalibratedKt: row.number("cas", airspeed)})
		row.finish()
	}
	slices.SortStableFunc(table, func(a, b air.Correction) int { return cmp.Compare(a.IndicatedKt, b.IndicatedKt) })
	if err := air.CheckCorrections(table); err != nil && !strings.Contains(err.Error(), "NaN") {
		list, _ := instrument.find("position_error")
		list.fail(err.Error(), "a table in which both speeds rise")
	}
	return table
}
