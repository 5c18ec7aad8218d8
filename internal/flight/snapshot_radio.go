package flight

import (
	"time"

	"example.com/legclock/internal/radio"
)

// ReceiverNow is one receiver of the panel.
type ReceiverNow struct {
	Receiver   string      `json:"receiver"`
	Tuned      *BeaconNow  `json:"tuned"`
	Identified bool        `json:"identified"`
	Next       *BeaconNext `json:"next"`
}

// BeaconNow is what a tuned beacon should read here.
type BeaconNow struct {
	Beacon          string       `json:"beacon"`
	Name            string       `json:"name"`
	Kind            string       `json:"kind"`
	Frequency       float64      `json:"frequency"`
	Morse           string       `json:"morse"`
	Course          *float64     `json:"course"`
	Held            string       `json:"held,omitempty"` // "QDM" or "QDR": what the course is, of an NDB
	Radial          *float64     `json:"radial"`         // expected, magnetic
	Sense           *radio.Sense `json:"sense"`
	NeedleDeg       *float64     `json:"needle_deg"`
	DME             *float64     `json:"dme"`      // expected reading
	Relative        *float64     `json:"relative"` // expected ADF needle
	QDM             *float64     `json:"qdm"`
	InRange         bool         `json:"in_range"`
	OverheadSeconds *float64     `json:"overhead_seconds"` // until it is reached; nil where that is not so
	OverdueSeconds  *float64     `json:"overdue_seconds"`  // since it was to be reached; nil where it is still to come
	WingTip         *WingTip     `json:"wing_tip"`         // nil: none is to come, or it has no bearing
}

// BeaconNext is the beacon to be tuned next on a receiver.
type BeaconNext struct {
	Beacon    string     `json:"beacon"`
	Name      string     `json:"name"`
	Frequency float64    `json:"frequency"`
	Morse     string     `json:"morse"`
	Course    *float64   `json:"course"`
	Held      string     `json:"held,omitempty"` // "QDM" or "QDR": what the course is, of an NDB
	AfterNM   float64    `json:"after_nm"`
	Leg       int        `json:"leg"`
	Due       *time.Time `json:"due"`
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
