package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/fuel"
)

// Defaults of the plan file.
const (
	defaultTaxiMinutes        = 10
	defaultContingencyPercent = 5
	defaultWindErrorKt        = 8
)

// doubtfulDeviationC is a difference from the standard temperature that the climates of the earth hardly have.
const doubtfulDeviationC = 40

// The quantities of a plan file.
var (
	taxiTime       = quantity{unit: "minutes", low: 0, high: 120}
	reserveTime    = quantity{unit: "minutes", low: 0, high: 300}
	contingency    = quantity{unit: "per cent", low: 0, high: 100}
	isaDeviation   = quantity{unit: "°C", low: -60, high: 60}
	windError      = quantity{unit: "kt", low: 1, high: 50}
	windAltitude   = quantity{unit: "ft", low: -1500, high: 60000}
	airTemperature = quantity{unit: "°C", low: -90, high: 60}
	altitude       = quantity{unit: "ft", low: 0, high: 30000}
	windSpeed      = quantity{unit: "kt", low: 0, high: 250}
	levelBefore    = quantity{unit: "nm", low: 0, high: 50, because: "the last descent is over so far before the destination"}
	distance       = quantity{unit: "nm", low: 0, high: 3000}
	qnhInHg        = quantity{unit: "inHg", low: air.LowestQNHInHg, high: air.HighestQNHInHg}
	qnh            = quantity{unit: "hPa", low: air.LowestQNH, high: air.HighestQNH, because: "or " + qnhInHg.bounds()}
)

// draft is a plan on its way from the files: not checked yet, and with holes where something could not be read. A hole is NaN, an
// empty text or an empty list, of which the checks that follow say nothing more.
type draft struct {
	*reader
	*Plan
	points *gazetteer
	// onBoardIn are the units of quantities on board that are given in one, by tank.
	onBoardIn map[string]fuel.Unit
}

// plan reads the plan's own keys and the files that it names; ok is false where there is nothing to check.
func (r *reader) plan(root value) (d *draft, ok bool) {
	o, ok := root.object("a plan, which begins with plan: 1")
	if !ok {
		return nil, false
	}
	_, isPlan := o.find("plan")
	if v, isAircraft := o.find("aircraft"); isAircraft && !isPlan && v.node.Value == "1" {
		v.fail("this is an aircraft file", "name the plan that it belongs to")
		return nil, false
	}
	if !o.version("plan") {
		return nil, false
	}
	defer o.finish()
	d = &draft{reader: r, Plan: &Plan{Version: 1}}
	d.origin = &origin{sources: r.sources, plan: root}
	d.Title = o.textIfGiven("title", "what the flight is called")
	d.Pilot = o.textIfGiven("pilot", "whose flight it is, or a code for that")
	d.Instructor = o.textIfGiven("instructor", "whose pupil the pilot is, or a code for that")
	d.OffBlocks = readOffBlocks(o)
	d.TaxiMinutes = o.numberOr("taxi_minutes", taxiTime, defaultTaxiMinutes)
	d.Variation = o.eastIfGiven("variation")
	d.readAircraft(o)
	d.Plan.Fuel, d.onBoardIn = readFuel(o)
	d.Conditions = readConditions(o)
	d.points = r.points(o)
	d.Route = readRoute(o)
	d.Checks = readChecks(o)
	d.Contacts = readContacts(o)
	d.Remarks = o.names("remarks", "a line of plain text for each")
	return d, true
}

// readOffBlocks joins the date and the time; the zero time where one of them could not be read.
func readOffBlocks(o *object) time.Time {
	date, dated := readBy(o, "date", "date", "year-month-day, UTC: 2026-06-14", parseDate)
	clock, timed := readBy(o, "off_blocks", "time", `UTC: "09:10"`, parseClock)
	if !dated || !timed {
		return time.Time{}
	}
	return date.Add(clock)
}

// readBy reads a required key by a way of its own.
func readBy[T any](o *object, key, what, wanted string, parse func(text string) (T, *misread)) (read T, ok bool) {
	o.tell(key, what, "", required)
	v, ok := o.need(key, wanted)
	if !ok {
		return read, false
	}
	text, ok := v.scalar(wanted)
	if !ok {
		return read, false
	}
	read, wrong := parse(text)
	if wrong != nil {
		v.fail(wrong.text, wrong.hint)
	}
	return read, wrong == nil
}

// readAircraft reads the aircraft from its own file or from below the plan's key.
func (d *draft) readAircraft(o *object) {
	const wanted = "the name of an aircraft file, or the aircraft's keys"
	o.tell("aircraft", "file name or group", "", required)
	v, ok := o.need("aircraft", wanted)
	if !ok {
		return
	}
	if v.node.Kind == yaml.MappingNode {
		d.Aircraft = d.aircraft(v, false)
		return
	}
	name := v.name(wanted)
	if name == "" {
		return
	}
	name = beside(v.file, name)
	content, ok := d.fetch(name, v.fail)
	if !ok {
		return
	}
	if root, ok := d.document(name, "aircraft", content); ok {
		d.origin.aircraft = &root
		d.Aircraft = d.aircraft(root, true)
	}
}

func readFuel(plan *object) (f Fuel, onBoardIn map[string]fuel.Unit) {
	o, ok := plan.group("fuel", "on_board: {left: 48, right: 51}")
	if !ok {
		return f, nil
	}
	defer o.finish()
	const wanted = "quantities by tank, {left: 48, right: 51}"
	if tanks, ok := o.group("on_board", wanted); ok {
		f.OnBoard, onBoardIn = map[string]float64{}, map[string]fuel.Unit{}
		for pair := range tanks.pairs() {
			if _, wrong := parseNumber(pair.key.Value); wrong == nil && pair.isNull() { // "right: 17,5" is right: 17 and 5 without a value
				pair.fail(fmt.Sprintf("%q stands alone after a comma", pair.key.Value), "a decimal point, 17.5: a comma parts two tanks")
				continue
			}
			f.OnBoard[pair.key.Value] = pair.amount(onBoardIn)
		}
	}
	f.StartOn = o.textIfGiven("start_on", "the tank to start on")
	if reserve := o.numberIfGiven("reserve_minutes", reserveTime); reserve != nil {
		f.ReserveMinutes, f.ReserveSource = *reserve, ReserveFromPlan
	}
	f.ContingencyPercent = o.numberOr("contingency_percent", contingency, defaultContingencyPercent)
	f.Alternate = o.textIfGiven("alternate", "an aerodrome of the points")
	return f, onBoardIn
}

// amount reads a quantity of fuel. One that names its unit ("30 usgal") is noted by its tank; else it is in the aircraft's.
func (v value) amount(units map[string]fuel.Unit) float64 {
	text, ok := v.scalar(fuelQuantity.advice())
	number, name, named := strings.Cut(strings.TrimSpace(text), " ")
	if !ok {
		return math.NaN()
	}
	if !named {
		return v.number(fuelQuantity)
	}
	unit, err := fuel.ParseUnit(strings.TrimSpace(name))
	if err != nil {
		v.fail(fmt.Sprintf("%q is not a quantity of fuel", text), "a number, with a unit of its own where that is not the aircraft's: 30 usgal; the units are litre, usgal and impgal")
		return math.NaN()
	}
	quantity, wrong := parseNumber(number)
	if wrong != nil || !fuelQuantity.holds(quantity) {
		v.fail(fmt.Sprintf("%q is not a quantity of fuel", text), fuelQuantity.advice())
		return math.NaN()
	}
	units[v.key.Value] = unit
	return quantity
}

func readConditions(plan *object) (conditions Conditions) {
	o, ok := plan.group("conditions", "winds, at least one")
	if !ok {
		return conditions
	}
	defer o.finish()
	conditions.QNH, conditions.QNHInInches = readQNH(o)
	conditions.ISADeviation = o.numberOr("isa_deviation", isaDeviation, 0)
	const wanted = "{altitude: 2000, from: 230, speed: 15}"
	for _, item := range o.list("winds", 1, wanted) {
		wind, ok := readWind(item, wanted)
		if !ok {
			continue
		}
		if slices.ContainsFunc(conditions.Winds, func(other WindLevel) bool { return other.AltitudeFt == wind.AltitudeFt }) {
			item.fail(fmt.Sprintf("there are two winds at %s ft", formatNumber(wind.AltitudeFt)), "one for each altitude")
		}
		conditions.Winds = append(conditions.Winds, wind)
	}
	slices.SortStableFunc(conditions.Winds, func(a, b WindLevel) int { return cmp.Compare(a.AltitudeFt, b.AltitudeFt) })
	conditions.WindErrorKt = o.numberOr("wind_error", windError, defaultWindErrorKt)
	return conditions
}

// readQNH reads an altimeter setting in hPa, or one in inches of mercury, which its size tells.
func readQNH(o *object) (hPa float64, inches bool) {
	o.tellWorded("qnh", "number", func() string { return qnh.bounds() + ", or " + qnhInHg.bounds() },
		func() string { return "default " + formatNumber(air.StandardQNH) })
	v, ok := o.get("qnh")
	if !ok {
		o.assumed("qnh", formatNumber(air.StandardQNH)+" hPa is used")
		return air.StandardQNH, false
	}
	if v.node.Kind == yaml.ScalarNode {
		if inches, wrong := parseNumber(strings.TrimSpace(v.node.Value)); wrong == nil && qnhInHg.holds(inches) {
			return air.QNHFromInHg(inches), true
		}
	}
	return v.number(qnh), false
}

func readWind(item value, wanted string) (wind WindLevel, ok bool) {
	o, ok := item.object(wanted)
	if !ok {
		return wind, false
	}
	defer o.finish()
	wind = WindLevel{
		AltitudeFt:   o.number("altitude", windAltitude),
		FromTrue:     o.number("from", quantity{unit: "degrees", low: 0, high: 360, because: "true, where the wind comes from"}),
		SpeedKt:      o.number("speed", windSpeed),
		TemperatureC: o.numberIfGiven("temperature", airTemperature),
	}
	if temperature := wind.TemperatureC; temperature != nil {
		if standard := air.ISATemperatureC(wind.AltitudeFt); math.Abs(*temperature-standard) > doubtfulDeviationC {
			v, _ := o.find("temperature")
			v.caution(fmt.Sprintf("%s °C is far from the standard %.0f °C at that altitude", formatNumber(*temperature), standard),
				"look for a slip of the sign")
		}
	}
	return wind, !math.IsNaN(wind.AltitudeFt)
}
