package plan

import (
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
