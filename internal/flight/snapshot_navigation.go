package flight

import "time"

// DiversionNow is the way that was turned to, away from the plan.
type DiversionNow struct {
	To      string    `json:"to"`
	Name    string    `json:"name"`
	Since   time.Time `json:"since"`
	Rejoins bool      `json:"rejoins"` // from To on the flight goes on as planned
}

// AlternateNow is one way out: straight to a point, from where the aircraft is.
type AlternateNow struct {
	Point      string  `json:"point"`
	Name       string  `json:"name"`
	Kind       string  `json:"kind"`      // of the plan's point: "aerodrome", "vor" …
	Alternate  bool    `json:"alternate"` // the plan lists it as one
	DistanceNM float64 `json:"distance_nm"`
	// TrackMagnetic, HeadingMagnetic and Turn mean nothing within a few hundred metres of the point.
	TrackMagnetic       float64   `json:"track_magnetic"`
	HeadingMagnetic     float64   `json:"heading_magnetic"`
	Turn                *float64  `json:"turn"` // from the heading now, right positive; nil on the ground
	Minutes             float64   `json:"minutes"`
	ETA                 time.Time `json:"eta"`
	Fuel                float64   `json:"fuel"` // usable, there
	ReserveHeldMinutes  float64   `json:"reserve_held_minutes"`
	BeforeSunsetMinutes *float64  `json:"before_sunset_minutes"`
	BeforeDarkMinutes   *float64  `json:"before_dark_minutes"`
	// Rejoin is the leg of the plan that ends there, where that is still to be flown: the plan can be taken up again there.
	Rejoin  *int   `json:"rejoin"`
	Problem string `json:"problem,omitempty"` // why it can't be reached
}

// CriticalNow are the two points at which a way back is decided. Back means straight to the departure, at cruise.
type CriticalNow struct {
	EqualTime *CriticalPoint `json:"equal_time"` // nil: passed, or there is none
	NoReturn  *CriticalPoint `json:"no_return"`  // nil: passed, or a return is possible from everywhere
}

// CriticalPoint is a place on the way ahead.
type CriticalPoint struct {
	Leg     int       `json:"leg"`
	AfterNM float64   `json:"after_nm"`
	ETA     time.Time `json:"eta"`
	Back    string    `json:"back"`    // the ident of the point to return to
	Minutes float64   `json:"minutes"` // back from there
}

// HoldingNow is the hold being flown.
type HoldingNow struct {
	Point string    `json:"point"` // empty where none was named
	Since time.Time `json:"since"`
	Fuel  float64   `json:"fuel"` // burned in it
	// LeaveBy is when it must be left to arrive at the destination with the reserve; nil where that is past already or not known.
	LeaveBy *time.Time `json:"leave_by"`
	// Leave is when to leave it for a time that is wanted of a point ahead; nil where none is.
	Leave *time.Time `json:"leave"`
}

// CrossingNow is a time or an altitude that is wanted of a point ahead, and what it takes.
type CrossingNow struct {
	Point       string       `json:"point"`
	Name        string       `json:"name"`
	ETA         time.Time    `json:"eta"` // as it stands
	Wanted      *time.Time   `json:"wanted"`
	AltitudeFt  *float64     `json:"altitude_ft"`
	LoseSeconds *float64     `json:"lose_seconds"` // wanted less ETA: positive, time is to be lost
	Speed       *SpeedWanted `json:"speed"`        // nil: no airspeed within reach does it
	Hold        *HoldWanted  `json:"hold"`         // instead of another speed; nil: there is no time to lose
	Problem     string       `json:"problem,omitempty"`
}

// SpeedWanted is the airspeed that brings the flight over a point at the time wanted, flown in cruise from here on.
type SpeedWanted struct {
	IASKt           float64 `json:"ias_kt"`
	TASKt           float64 `json:"tas_kt"`
	GroundspeedKt   float64 `json:"groundspeed_kt"`   // on the leg being flown
	HeadingMagnetic float64 `json:"heading_magnetic"` // the same
}

// HoldWanted is the hold that loses the time instead.
type HoldWanted struct {
	Point   string    `json:"point"` // empty: here
	Minutes float64   `json:"minutes"`
	Fuel    float64   `json:"fuel"`
	Enter   time.Time `json:"enter"`
	Leave   time.Time `json:"leave"`
}

// DescentNow is the next descent: to an altitude that is wanted of a point, else the last one, to the circuit.
type DescentNow struct {
	Point         string    `json:"point"` // over which ToFt is reached
	Name          string    `json:"name"`
	FromFt        float64   `json:"from_ft"`
	ToFt          float64   `json:"to_ft"`
	RateFtMin     float64   `json:"rate_ft_min"`
	GroundspeedKt float64   `json:"groundspeed_kt"` // of the descent, by the wind in use
	Minutes       float64   `json:"minutes"`
	BeforeNM      float64   `json:"before_nm"` // the level is left so far before the point
	TaughtNM      float64   `json:"taught_nm"` // as taught, 3 nm for each 1,000 ft
	LeaveAt       time.Time `json:"leave_at"`
	ToGoNM        float64   `json:"to_go_nm"`
	Begun         bool      `json:"begun"`
	Late          bool      `json:"late"`
	// NeededFtMin is the rate from here on, once it is late or begun; nil before, and overhead the point.
	NeededFtMin *float64 `json:"needed_ft_min"`
}

// WingTip is when a beacon will be abeam, where a bearing check begins, and what shows then.
type WingTip struct {
	Relative  float64  `json:"relative"`   // 90 or 270
	Radial    *float64 `json:"radial"`     // magnetic
	InSeconds *float64 `json:"in_seconds"` // nil: it is behind
}

// BearingCheckNow is a check of time and distance to a beacon by the change of its bearing on one heading.
type BearingCheckNow struct {
	Beacon          string    `json:"beacon"`
	Name            string    `json:"name"`
	StartedAt       time.Time `json:"started_at"`
	Seconds         float64   `json:"seconds"`
	FirstRelative   float64   `json:"first_relative"` // clockwise from the nose
	StopRelative    float64   `json:"stop_relative"`  // what to wait for: 10° farther aft or, from well ahead, the first one doubled
	StopRadial      *float64  `json:"stop_radial"`    // the same as a VOR shows it
	ExpectedSeconds *float64  `json:"expected_seconds"`
	ReckonedNM      float64   `json:"reckoned_nm"` // from the beacon by dead reckoning, when it was begun
	Done            bool      `json:"done"`
	SecondRelative  *float64  `json:"second_relative"`
	Result          *ToBeacon `json:"result"`
	Notes           []string  `json:"notes"`             // where the rule is poor
	Problem         string    `json:"problem,omitempty"` // why it is none
}

// ToBeacon is the time and distance to a beacon from where a bearing check ended, turning to it. The rule and the exact figure are for
// still air.
type ToBeacon struct {
	Sum              string   `json:"sum"`          // as a pilot does it: "75 s / 10° = 7.5 min"
	MinutesRule      *float64 `json:"minutes_rule"` // nil: not a change from the wing tip
	DistanceRuleNM   *float64 `json:"distance_rule_nm"`
	MinutesExact     float64  `json:"minutes_exact"`
	DistanceExactNM  float64  `json:"distance_exact_nm"`
	TASKt            float64  `json:"tas_kt"`
	MinutesInWind    *float64 `json:"minutes_in_wind"` // by the wind in use
	DistanceInWindNM *float64 `json:"distance_in_wind_nm"`
	HeadingMagnetic  *float64 `json:"heading_magnetic"` // towards it, by the wind in use
}

// PassingOffer is a passing that a feed's positions show: the pilot may take it.
type PassingOffer struct {
	Point      string    `json:"point"`
	Name       string    `json:"name"`
	At         time.Time `json:"at"`
	OffTrackNM float64   `json:"off_track_nm"` // right positive
}
