package sheet

import (
	"io"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// NewRoute lays out a plan's legs on the earth.
func NewRoute(p *plan.Plan) (*Route, []plan.Problem) { return nil, nil }

// Forecast is the air that a plan's conditions describe.
func Forecast(p *plan.Plan) Air { return Air{} }

// Reckon takes the route from a start through the air to overhead the destination.
func (r *Route) Reckon(from Start, air Air) (Trajectory, error) { return nil, nil }

// At is where the trajectory is after some minutes.
func (t Trajectory) At(minutes float64) Point { return Point{} }

// MinutesTo is when a place on a leg is passed; ok is false when the trajectory does not pass it.
func (t Trajectory) MinutesTo(leg int, afterNM float64) (minutes float64, ok bool) { return 0, false }

// TotalMinutes is how long the trajectory takes.
func (t Trajectory) TotalMinutes() float64 { return 0 }

// Fuel is what the trajectory burns, in the aircraft's unit.
func (t Trajectory) Fuel() float64 { return 0 }

// TopOfClimb is where the first climb ahead ends; ok is false when there is none.
func (t Trajectory) TopOfClimb() (leg int, afterNM float64, ok bool) { return 0, 0, false }

// TopOfDescent is where the last descent begins; ok is false when there is none.
func (t Trajectory) TopOfDescent() (leg int, afterNM float64, ok bool) { return 0, 0, false }

// Burns is the fuel flow along a trajectory, with the times at which a tank change may be planned.
func (r *Route) Burns(t Trajectory) []fuel.Burn { return nil }

// Direct is a diversion: a route of one leg from a position to a point.
func (r *Route) Direct(from earth.Position, altitudeFt float64, to plan.Point, level plan.Level) (*Route, error) {
	return nil, nil
}

// PositionAt is the place on a leg.
func (r *Route) PositionAt(leg int, afterNM float64) earth.Position { return earth.Position{} }

// DeclinationAt is the declination on a leg, east positive.
func (r *Route) DeclinationAt(leg int, afterNM float64) float64 { return 0 }

// Compute makes the nav log of a plan. The sheet is nil only when errors make it impossible.
func Compute(p *plan.Plan) (*Sheet, []plan.Problem) { return nil, nil }

// Write prints the sheet: text, markdown, html, csv or json.
func (s *Sheet) Write(w io.Writer, format string) error { return nil }
