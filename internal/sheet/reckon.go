package sheet

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
)

// Air is the air that a route is reckoned through: the forecast, or the wind as found.
type Air struct {
	Layers air.Layers
	QNH    float64 // hPa
	// TASBiasKt is added to every true airspeed of the tables: how much faster than its book the aircraft was found to be.
	TASBiasKt float64
}

// Start is where a reckoning begins.
type Start struct {
	Leg        int     // index into Route.Legs
	AfterNM    float64 // along that leg
	AltitudeFt float64 // above sea level
	// Descending says that the last descent has begun: no climb or level part comes before it.
	Descending bool
}

// Phase says what an aircraft does on a piece of its way.
type Phase string

// The phases of a trajectory.
const (
	Climb   Phase = "climb"
	Cruise  Phase = "cruise"
	Descent Phase = "descent"
)

// Piece is a part of a trajectory on one leg in one phase, short enough to reckon with one wind and one airspeed.
type Piece struct {
	Leg          int
	Phase        Phase
	FromNM, ToNM float64 // along the leg
	StartMinutes float64 // from the reckoning's start
	Minutes      float64
	FromFt, ToFt float64 // above sea level
	TrackTrue    float64
	TASKt        float64
	Wind         air.Wind
	Heading      deadreckon.Heading
	FlowPerHour  float64 // in the aircraft's unit
}

// Fuel is what the piece burns, in the aircraft's unit.
func (p Piece) Fuel() float64 { return p.FlowPerHour * p.Minutes / 60 }

// Trajectory is the way from a Start to overhead the destination, piece after piece without gaps.
type Trajectory []Piece

// Point is where a trajectory is at one moment.
type Point struct {
	Leg        int
	AfterNM    float64
	AltitudeFt float64
	Phase      Phase
	Piece      int // index into the trajectory
}
