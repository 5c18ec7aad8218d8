// Package sheet turns a plan into a computed nav log: climb, cruise, descent, legs, fuel, radio and tank schedule.
//
// NewRoute is the geometry, which no wind changes. Route.Reckon is the one reckoner: it takes a route from any place on it,
// through any air, to overhead the destination. The sheet before the flight, the revised times in flight, a diversion and the
// true flight of a practice are all made by it. Compute puts the nav log together and says what does not hold; Sheet.Write
// prints it.
//
// The package knows nothing of what happens in flight, of files or of terminals, and has no clock.
//
// Units and signs: nautical miles, knots, feet above sea level, minutes, degrees, the aircraft's own fuel unit; variation and
// right-of-track offsets positive; winds true, where they blow from; times UTC. Distances on a leg count from its start, legs
// from 0. A level is an altitude by the QNH of the air that is reckoned through.
//
// Limits: the air changes with height, not with place or time. A climb and a descent hold their indicated airspeed. Turns take
// no time. An altitude by QNH is taken for the height above sea level.
package sheet

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// Route is a plan's geometry: everything about its legs that no wind changes.
type Route struct {
	Plan *plan.Plan
	Legs []RouteLeg

	performance *performance
}

// Track is a part of a leg that is reckoned with one track: the whole of a leg of up to 120 nm.
type Track struct {
	FromNM, ToNM float64 // along the leg
	TrackTrue    float64 // azimuth at its middle
	Variation    float64 // east positive, at its middle
}

// RouteLeg is one leg as a line on the earth.
type RouteLeg struct {
	From, To       plan.Point
	Line           earth.Line
	StartNM        float64 // from the route's start
	DistanceNM     float64
	Tracks         []Track // without gaps from the leg's start to its end
	TrackTrue      float64 // azimuth at mid-leg: the track to fly
	Variation      float64 // east positive: the plan's own, or the magnetic model's at mid-leg, for height and date
	VariationFrom  plan.Source
	TrackMagnetic  float64
	CourseOutbound *float64 // magnetic by the station's declination; nil: the point left has no radials
	CourseInbound  *float64 // magnetic by the station's declination; nil: the point reached has no radials
	Level          plan.Level
	AltitudeFt     float64 // above sea level, by the plan's QNH
	SafeAltitudeFt *float64
	Checkpoints    []Checkpoint // by distance
	Radio          []RadioStep  // by distance
}

// Checkpoint is a place along a leg with its distance from the leg's start.
type Checkpoint struct {
	Name    string
	AfterNM float64
	RightNM float64 // how far the point lies right of the track; 0 for a named distance
	// Boundary says that a flight information region or an airspace is entered there.
	Boundary bool
}

// RadioStep is a beacon to be tuned, with the place where its change is due.
type RadioStep struct {
	Leg            int
	Receiver       string
	Beacon         plan.Point
	Course         plan.Course
	CourseMagnetic *float64 // what to select, for an NDB the QDM or QDR to hold; nil: nothing (a DME, no course asked for)
	AfterNM        float64  // where on the leg it is due
	Automatic      bool     // the plan set no step: chosen half-way or when in range
	RangeNM        float64  // how far the beacon can be received at the leg's level; 0: not known (an NDB without a published range)
	DistanceNM     float64  // from the beacon at the place where the step is due
	InRange        bool     // from where it is due to the end of its use; true where RangeNM is not known

	path string // where the plan asks for it
}

// Tuning is what a receiver is set to; the zero value is nothing.
type Tuning struct {
	Beacon string
	Course *float64 // magnetic; nil: none is selected
}

// Tuning is what a step's receiver is set to by it.
func (r *RadioStep) Tuning() Tuning { return Tuning{r.Beacon.Ident, r.CourseMagnetic} }

// SameAs reports whether nothing has to be turned to come from one setting to another.
func (t Tuning) SameAs(to Tuning) bool {
	const readable = 0.5
	if t.Beacon != to.Beacon {
		return false
	}
	return to.Course == nil || t.Course != nil && math.Abs(angle.Turn(*t.Course, *to.Course)) < readable
}

// Leg is one row of the nav log.
type Leg struct {
	RouteLeg
	Kind            string // climb, cruise, descent or mixed
	Wind            air.Wind
	TASKt           float64
	CorrectionDeg   float64
	HeadingTrue     float64
	HeadingMagnetic float64
	GroundspeedKt   float64
	Minutes         float64
	Fuel            float64
	ETA             time.Time // overhead the leg's end
	CheckpointETAs  []time.Time
}

// LevelChange is the climb from the departure or the last descent.
type LevelChange struct {
	Minutes    float64
	DistanceNM float64
	Fuel       float64
	TopLeg     int     // the leg on which the top lies
	TopAfterNM float64 // from that leg's start
	TopAt      time.Time
}

// FuelNeeded is the fuel calculation in the aircraft's unit, at off blocks.
type FuelNeeded struct {
	Unit                               string
	Taxi, Trip, Contingency, Alternate float64
	Reserve                            float64 // the final reserve
	MinimumBlock                       float64 // the minimum block fuel: the sum of the five
	Block                              float64 // the block fuel, of which Unusable can't be fed
	Unusable                           float64
	Extra                              float64 // extra fuel: usable, over the minimum; below 0 it is short
	OnArrival                          float64 // usable overhead the destination
	CruiseFlow                         float64 // per hour, on the last leg
	EnduranceFlow                      float64 // per hour, of the first cruise or, where there is none, CruiseFlow
	EnduranceMinutes                   float64 // of the usable block fuel, at EnduranceFlow
	ReserveMinutes, AlternateMinutes   float64
	ReserveSource                      string // the rule, or plan.ReserveFromPlan
	ReserveRule                        string // the same in words, with the flow that its minutes are at

	Mass *FuelMass // nil where the aircraft gives no density
}

// Tanks is the planned schedule of changes. Its minutes count from airborne.
type Tanks struct {
	Schedule          fuel.Schedule
	Changes           []TankChange
	AboveLimitAtStart []StartImbalance // pairs of tanks that begin above the limit
}

// StartImbalance is a pair of tanks whose imbalance is above the aircraft's limit at off blocks or at take-off, in words.
type StartImbalance struct {
	Over float64 // above the limit, the higher of the two times
	Text string  // which rule is not kept, and by how much
	Hint string  // which tank to fill or to draw down, and what the schedule does otherwise
}

// TankChange is one planned change.
type TankChange struct {
	At                   time.Time
	MinutesAfterAirborne float64
	To                   string
	ImbalanceBefore      float64
}

// Daylight is the end of the day at one aerodrome for the planned arrival there.
type Daylight struct {
	Ident            string
	Arrival          time.Time
	Sunset           *time.Time // nil: the sun does not set that day
	CivilTwilightEnd *time.Time // nil: it does not end, or does not begin, that day
	SunDown          bool       // at the arrival: after sunset or before sunrise
	Night            bool       // at the arrival: after the end or before the beginning of civil twilight

	from, until time.Time      // arrivals for which sunset and dusk are these
	dawn, dusk  earth.SunEvent // of civil twilight, on the solar day of these arrivals
}

// Sheet is the computed nav log of a plan.
type Sheet struct {
	Plan       *plan.Plan
	Route      *Route
	Air        Air // the forecast
	Airborne   time.Time
	Trajectory Trajectory // from airborne, overhead the departure at its elevation
	Legs       []Leg
	Climb      LevelChange
	Descent    LevelChange
	Fuel       FuelNeeded
	Tanks      Tanks
	Radio      []RadioStep
	RadioETAs  []time.Time // when each of Radio is due
	Alternates []Alternate // that can be reached in the forecast, in the plan's order
	Daylight   []Daylight  // the destination first, then Alternates
	Contacts   []Contact   // in the order of the flight
	Problems   []plan.Problem
}
