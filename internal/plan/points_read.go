package plan

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/radio"
)

const defaultCircuitFt = 1000 // height of a circuit above the aerodrome

// The quantities of a point.
var (
	direction   = quantity{unit: "degrees", low: 0, high: 360}
	elevation   = quantity{unit: "ft", low: -1500, high: 20000}
	circuit     = quantity{unit: "ft", low: 100, high: 5000, because: "a height above the elevation"}
	declination = quantity{unit: "degrees", low: -180, high: 180, because: "east positive"}
	beaconRange = quantity{unit: "nm", low: 0, high: 400, above: true}
	fixDistance = quantity{unit: "nm", low: 0, high: 300, above: true}
	frequency   = quantity{unit: "MHz, an NDB's in kHz", low: 100, high: 2000}
)

// pointEntry is a point as read, with what its Point alone does not tell.
type pointEntry struct {
	Point
	from           value // where it stands
	placed         bool  // its position is known
	elevationGiven bool
	circuitGiven   bool
	shadowed       *pointEntry // a point of the same ident in a later list, which this one replaces
}

// at is where one of the point's keys stands; the point itself where the key is not given.
func (e pointEntry) at(key string) value {
	o, _ := e.from.object("")
	if v, ok := o.find(key); ok {
		return v
	}
	return e.from
}

const pointWanted = `{ident: KVN, kind: vor-dme, at: [56.1234, -4.5678], frequency: 114.35}`

// readPoint reads one point. ok is false where it has no ident to be found by. ours says that it stands in the plan itself,
// where a key that its kind has no use for is worth a word; in a shared list of many kinds it is not.
func readPoint(item value, ours bool) (entry pointEntry, ok bool) {
	o, ok := item.object(pointWanted)
	if !ok {
		return entry, false
	}
	defer o.finish()
	entry.from = item
	entry.Ident = readIdent(o)
	entry.Name = o.textIfGiven("name", "what a pilot calls it")
	entry.Kind = Kind(o.choice("kind", kindNames()...))
	entry.At, entry.placed = readAt(o, entry.Kind)
	if given := o.numberIfGiven("elevation", elevation); given != nil {
		entry.ElevationFt, entry.elevationGiven = *given, true
	}
	if given := o.numberIfGiven("circuit", circuit); given != nil {
		entry.CircuitFt, entry.circuitGiven = *given, true
	}
	entry.Frequency = readFrequency(o, entry.Kind)
	entry.Declination = o.numberIfGiven("declination", declination)
	entry.RangeNM = orZero(o.numberIfGiven("range", beaconRange))
	readMeasured(o, &entry)
	entry.dropForeign(o, ours)
	return entry, entry.Ident != ""
}

func kindNames() (names []string) {
	for _, kind := range Kinds() {
		names = append(names, string(kind))
	}
	return names
}

func readIdent(o *object) string {
	const wanted = "one word of letters and figures, KVN"
	ident := o.text("ident", wanted)
	if strings.ContainsAny(ident, " \t,[]{}\"'") {
		v, _ := o.find("ident")
		v.fail(fmt.Sprintf("%q can't be an ident", ident), wanted)
		return ""
	}
	return ident
}

// readAt reads the position. Only a fix may go without: it can be measured from a beacon.
func readAt(o *object, kind Kind) (at earth.Position, placed bool) {
	o.tell("at", "position", "", "required, but for a measured fix")
	v, given := o.get("at")
	switch {
	case given:
		return v.position()
	case kind == Fix || kind == "": // an unknown kind has been reported, and may have been meant for a fix
	default:
		o.missing("at", positionMend)
	}
	return at, false
}

// readFrequency reads a beacon's frequency and checks it against the band and the channels of its kind.
func readFrequency(o *object, kind Kind) float64 {
	o.tell("frequency", "number", "a channel of its kind", "required for a beacon")
	v, given := o.get("frequency")
	switch {
	case !given && kind.IsBeacon():
		o.missing("frequency", map[bool]string{true: "kHz", false: "MHz"}[kind == NDB])
		return math.NaN()
	case !given:
		return 0
	}
	number := v.number(frequency)
	if math.IsNaN(number) {
		return number
	}
	if err := checkFrequency(kind, number); err != nil {
		v.fail(err.Error(), "")
		return math.NaN()
	}
	return number
}

func checkFrequency(kind Kind, number float64) error {
	switch kind {
	case VOR, VORDME:
		return radio.CheckVORFrequency(number)
	case DME:
		return radio.CheckDMEFrequency(number)
	case NDB:
		return radio.CheckNDBFrequency(number)
	}
	return nil
}

// readMeasured reads the way to give a fix by beacon, radial and distance: all three and no position.
func readMeasured(o *object, entry *pointEntry) {
	const wanted = "{from: KVN, radial: 96, distance: 25}"
	entry.From = o.textIfGiven("from", "the beacon that the fix is measured from")
	entry.Radial = o.numberIfGiven("radial", direction)
	distance := o.numberIfGiven("distance", fixDistance)
	entry.DistanceNM = orZero(distance)
	if entry.Kind != Fix {
		return
	}
	_, at := o.find("at")
	_, from := o.find("from")
	measured := from || entry.Radial != nil || distance != nil
	switch {
	case at && measured:
		o.fail("the fix is given twice: by its position, and measured from a beacon", "one of the two")
	case !at && !measured:
		o.fail("the fix has no place", "at, or "+wanted)
	case measured && !(from && entry.Radial != nil && distance != nil):
		o.fail("the fix is not measured in full", wanted)
	}
}

// dropForeign forgets what the kind of the point has no use for.
func (e *pointEntry) dropForeign(o *object, ours bool) {
	foreign := func(key string, belongs bool, to string) bool {
		v, given := o.find(key)
		if !given || belongs || e.Kind == "" {
			return false
		}
		if ours {
			v.caution(fmt.Sprintf("%q is not used: the point is of kind %s", key, e.Kind), to)
		}
		return true
	}
	if foreign("circuit", e.Kind == Aerodrome, "it belongs to an aerodrome") {
		e.CircuitFt, e.circuitGiven = 0, false
	}
	if foreign("frequency", e.Kind.IsBeacon(), "it belongs to a beacon") {
		e.Frequency = 0
	}
	if foreign("declination", e.Kind.HasRadials(), "it belongs to a vor or vor-dme, whose radials count from it") {
		e.Declination = nil
	}
	if foreign("range", e.Kind.IsBeacon(), "it belongs to a beacon") {
		e.RangeNM = 0
	}
	from, radial := foreign("from", e.Kind == Fix, "it belongs to a fix"), foreign("radial", e.Kind == Fix, "it belongs to a fix")
	if distance := foreign("distance", e.Kind == Fix, "it belongs to a fix"); from || radial || distance {
		e.From, e.Radial, e.DistanceNM = "", nil, 0
	}
}
