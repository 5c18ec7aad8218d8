// Package plan reads and checks the plan and aircraft files: it says what is wrong, on which line, and what would be right.
//
// A plan file is YAML, and so is an aircraft file; shared lists of points are YAML or CSV. Load reads them, fills in the
// defaults and collects every problem in one run. It checks all that needs no wind: values and their ranges, names that must be
// known, levels against the aircraft's tables and the ground, the semicircular rule. What follows from the reckoning (range and
// line of sight where a beacon is used, an unflyable wind, fuel, tanks, daylight) is the sheet's to find; Locate tells it where
// in the files to point.
//
// Numbers, times and positions are read from the text as it was typed: 045 is 45, not an octal number.
//
// Degrees, nautical miles, knots, feet above sea level, minutes; declination east positive; winds are true and say where they
// blow from; times are UTC. Fuel is in the aircraft's own unit.
//
// The package knows nothing of file systems: whoever calls Load hands in how to read a file.
package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// Plan is a prepared flight, complete and checked: every default is filled in and every point that the route, the radio
// steps or the checks name is in Points. It survives a round trip through JSON unchanged, so that a journal can carry it.
type Plan struct {
	Version     int        `json:"plan"`
	Title       string     `json:"title"`
	OffBlocks   time.Time  `json:"off_blocks"`      // UTC
	Pilot       string     `json:"pilot,omitempty"` // whose flight it is: any text, or a code
	Instructor  string     `json:"instructor,omitempty"`
	TaxiMinutes float64    `json:"taxi_minutes"`
	Variation   *float64   `json:"variation,omitempty"` // of the whole flight, degrees, east positive; nil: the magnetic model's
	Aircraft    Aircraft   `json:"aircraft"`
	Fuel        Fuel       `json:"fuel"`
	Conditions  Conditions `json:"conditions"`
	Points      []Point    `json:"points"`
	Route       Route      `json:"route"`
	Checks      []Check    `json:"checks,omitempty"`
	Contacts    []Contact  `json:"contacts,omitempty"`
	Remarks     []string   `json:"remarks,omitempty"` // notices, runways, hazards: to be read before the flight and in it

	origin *origin // what it was read from; nil for one that a journal carried
}

// Airborne is the planned time of take-off: off blocks plus the taxi.
func (p *Plan) Airborne() time.Time {
	return p.OffBlocks.Add(time.Duration(p.TaxiMinutes * float64(time.Minute)))
}

// Point finds a point by its ident; ok is false when the plan has none of that name.
func (p *Plan) Point(ident string) (point Point, ok bool) {
	for _, candidate := range p.Points {
		if candidate.Ident == ident {
			return candidate, true
		}
	}
	return Point{}, false
}

// Fuel is what is on board at off-blocks and what must be left.
type Fuel struct {
	OnBoard            map[string]float64 `json:"on_board"` // by tank name, in the aircraft's unit
	StartOn            string             `json:"start_on"`
	ReserveMinutes     float64            `json:"reserve_minutes"` // 0 when the plan gives none: the sheet takes the rule's
	ReserveSource      string             `json:"reserve_source"`  // ReserveFromPlan, or empty when the plan gives none
	ContingencyPercent float64            `json:"contingency_percent"`
	Alternate          string             `json:"alternate,omitempty"`
}

// ReserveFromPlan is the source of a reserve that the plan itself asks for. Where it asks for none, the published minimum
// depends on the time of arrival, by day or by night, which the plan does not know.
const ReserveFromPlan = "plan"

// Conditions is the forecast that the sheet is computed from.
type Conditions struct {
	QNH          float64     `json:"qnh"`                     // hPa
	QNHInInches  bool        `json:"qnh_in_inches,omitempty"` // the plan gives it in inches of mercury: the pilot's altimeter shows these
	ISADeviation float64     `json:"isa_deviation"`           // °C
	Winds        []WindLevel `json:"winds"`                   // at least one, lowest first
	WindErrorKt  float64     `json:"wind_error"`              // standard error of the forecast per component
}

// WindLevel is the forecast at one height.
type WindLevel struct {
	AltitudeFt   float64  `json:"altitude"`
	FromTrue     float64  `json:"from"`
	SpeedKt      float64  `json:"speed"`
	TemperatureC *float64 `json:"temperature,omitempty"` // replaces the deviation at this level
}

// Kind says what a point is.
type Kind string

// The kinds of point that a plan knows.
const (
	Aerodrome Kind = "aerodrome"
	Visual    Kind = "visual"
	Fix       Kind = "fix"
	VOR       Kind = "vor"
	VORDME    Kind = "vor-dme"
	DME       Kind = "dme"
	NDB       Kind = "ndb"
)

// Kinds lists every kind, in the order of the plan file's documentation.
func Kinds() []Kind {
	kinds := make([]Kind, len(kindNames))
	for i, name := range kindNames {
		kinds[i] = Kind(name)
	}
	return kinds
}

var kindNames = []string{string(Aerodrome), string(Visual), string(Fix), string(VOR), string(VORDME), string(DME), string(NDB)}

// IsBeacon reports whether the kind can be tuned.
func (k Kind) IsBeacon() bool { return k == VOR || k == VORDME || k == DME || k == NDB }

// HasRadials reports whether a course can be selected on it.
func (k Kind) HasRadials() bool { return k == VOR || k == VORDME }

// HasDistance reports whether it answers a DME.
func (k Kind) HasDistance() bool { return k == VORDME || k == DME }

// Point is a place of the plan. A fix given by radial and distance has At computed.
type Point struct {
	Ident       string         `json:"ident"`
	Name        string         `json:"name,omitempty"`
	Kind        Kind           `json:"kind"`
	At          earth.Position `json:"at"`
	ElevationFt float64        `json:"elevation,omitempty"`   // above sea level
	CircuitFt   float64        `json:"circuit,omitempty"`     // aerodromes: height of the circuit above the elevation
	Frequency   float64        `json:"frequency,omitempty"`   // MHz; an NDB's in kHz
	Declination *float64       `json:"declination,omitempty"` // a VOR's own, east positive; nil: not given
	RangeNM     float64        `json:"range,omitempty"`       // published; 0: not given
	From        string         `json:"from,omitempty"`        // a fix: the beacon it is measured from
	Radial      *float64       `json:"radial,omitempty"`      // magnetic, from that beacon
	DistanceNM  float64        `json:"distance,omitempty"`
}

// Title is the name that a pilot says: the name where there is one, else the ident.
func (p Point) Title() string {
	if p.Name != "" {
		return p.Name
	}
	return p.Ident
}

// Route is the way from the departure aerodrome through the legs.
type Route struct {
	From       string   `json:"from"`
	Legs       []Leg    `json:"legs"`
	Alternates []string `json:"alternates,omitempty"`
	// JoinAltitudeFt is where the last descent ends, above sea level; nil: at the destination's circuit height.
	JoinAltitudeFt *float64 `json:"join_altitude,omitempty"`
	// LevelBeforeNM is how far before the destination the last descent is to be over, along the route; nil: overhead it.
	LevelBeforeNM *float64 `json:"level_before,omitempty"`
}

// Destination is the ident of the last leg's end.
func (r Route) Destination() string {
	if len(r.Legs) == 0 {
		return r.From
	}
	return r.Legs[len(r.Legs)-1].To
}

// Level is a height to fly at: an altitude above sea level, or a flight level where FlightLevel is not 0.
type Level struct {
	AltitudeFt  float64 `json:"altitude,omitempty"`     // above sea level; 0 for a flight level
	FlightLevel int     `json:"flight_level,omitempty"` // hundreds of feet of pressure altitude
}

// Leg is one line of the route. Every leg has its level filled in, also where the file left it to the leg before.
type Leg struct {
	To             string       `json:"to"`
	Level          Level        `json:"level"`
	SafeAltitudeFt *float64     `json:"safe_altitude,omitempty"`
	Variation      *float64     `json:"variation,omitempty"` // the leg's own, degrees, east positive; nil: the plan's
	Checkpoints    []Checkpoint `json:"checkpoints,omitempty"`
	Radio          []RadioStep  `json:"radio,omitempty"`
}

// Checkpoint is something to be seen along a leg: a point taken abeam, or a name at a distance from the leg's start.
type Checkpoint struct {
	Name     string   `json:"name"`
	Point    string   `json:"point,omitempty"` // ident; empty when AfterNM is given
	AfterNM  *float64 `json:"after,omitempty"`
	Boundary bool     `json:"boundary,omitempty"` // of a flight information region or an airspace, crossed there
}

// Contact is a station to talk to: from a point or boundary of the route on, or some miles before it; without either, from the start.
type Contact struct {
	Name         string   `json:"name"`
	FrequencyMHz float64  `json:"frequency"`
	At           string   `json:"at,omitempty"`     // a point, checkpoint or boundary of the route
	BeforeNM     *float64 `json:"before,omitempty"` // to it, along the leg that ends or has it
	For          string   `json:"for,omitempty"`    // what for
}

// Course says what to set on the course selector.
type Course string

// The courses that a plan can ask for by name. A magnetic course in degrees stands in RadioStep.CourseMagnetic.
const (
	NoCourse Course = ""
	Inbound  Course = "inbound"
	Outbound Course = "outbound"
	Given    Course = "given"
)

// RadioStep is a beacon to be tuned on a leg: from its start, or where one of After, Before or At says.
type RadioStep struct {
	Receiver       string   `json:"receiver"`
	Beacon         string   `json:"beacon"`
	Course         Course   `json:"course,omitempty"`
	CourseMagnetic *float64 `json:"course_magnetic,omitempty"` // of an NDB the QDM or QDR to hold
	AfterNM        *float64 `json:"after,omitempty"`           // from the leg's start
	BeforeNM       *float64 `json:"before,omitempty"`          // to the leg's end
	At             Moment   `json:"at,omitempty"`
}

// Moment is a place on a leg that is named, not measured.
type Moment string

// The moments that a radio step can name. AtStart is the default.
const (
	AtStart Moment = ""
	HalfWay Moment = "half-way"
	InRange Moment = "in-range"
)

// Check is something else to be prompted. Exactly one of the conditions is set.
type Check struct {
	Name                string   `json:"name"`
	Text                string   `json:"text,omitempty"`
	EveryMinutes        *float64 `json:"every,omitempty"`              // in cruise
	ClimbingThroughFt   *float64 `json:"climbing_through,omitempty"`   // above sea level
	DescendingThroughFt *float64 `json:"descending_through,omitempty"` // above sea level
	Passing             string   `json:"passing,omitempty"`            // a point of the route
	Before              string   `json:"before,omitempty"`             // a point of the route, with Minutes
	Minutes             float64  `json:"minutes,omitempty"`
}

// AltitudeFtAt is the level's altitude above sea level in feet, by the QNH in hPa.
func (l Level) AltitudeFtAt(qnh float64) float64 {
	if l.FlightLevel == 0 {
		return l.AltitudeFt
	}
	return air.AltitudeFt(float64(l.FlightLevel)*100, qnh)
}

// PressureAltitudeFt is the level's pressure altitude in feet, by the QNH in hPa.
func (l Level) PressureAltitudeFt(qnh float64) float64 {
	if l.FlightLevel == 0 {
		return air.PressureAltitudeFt(l.AltitudeFt, qnh)
	}
	return float64(l.FlightLevel) * 100
}

// String is the level as a pilot writes it: "4000 ft" or "FL065".
func (l Level) String() string {
	if l.FlightLevel == 0 {
		return say.Feet(l.AltitudeFt)
	}
	return fmt.Sprintf("FL%03d", l.FlightLevel)
}

// receivers is what each sort of receiver tunes, by the beginning of its name.
var receivers = []struct {
	prefix string
	tunes  []Kind
}{
	{"NAV", []Kind{VOR, VORDME}},
	{"DME", []Kind{VORDME, DME}},
	{"ADF", []Kind{NDB}},
}

// Receives reports whether a receiver, by the beginning of its name, tunes a kind of beacon: NAV1 a VOR, DME a DME, ADF an NDB.
func Receives(receiver string, kind Kind) bool { return slices.Contains(tunedBy(receiver), kind) }

// SelectsCourse reports whether a receiver has a course to select: NAV1 has one, a DME and an ADF have not.
func SelectsCourse(receiver string) bool { return Receives(receiver, VOR) }

// tunedBy is what a receiver tunes; nil for a name that tells of no receiver.
func tunedBy(receiver string) []Kind {
	for _, sort := range receivers {
		if strings.HasPrefix(strings.ToUpper(receiver), sort.prefix) {
			return sort.tunes
		}
	}
	return nil
}
