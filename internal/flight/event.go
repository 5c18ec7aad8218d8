package flight

import (
	"encoding/json"
	"time"

	"example.com/legclock/internal/earth"
)

// Act names what an event records.
type Act string

// The acts that a journal knows. An act not listed here is kept and shown, never dropped.
const (
	OffBlocks    Act = "off-blocks"
	Airborne     Act = "airborne"
	LevelOff     Act = "level"
	Descend      Act = "descend"
	Landed       Act = "landed"
	OnBlocks     Act = "on-blocks"
	Passing      Act = "passing"
	Steering     Act = "steering"
	Airspeed     Act = "airspeed"
	Altitude     Act = "altitude"
	Altimeter    Act = "altimeter"
	WindReported Act = "wind"
	TankChange   Act = "tank"
	Gauges       Act = "gauges"
	Flow         Act = "flow"
	Tuned        Act = "tuned"
	Identified   Act = "identified"
	Fix          Act = "fix"
	Bearing      Act = "bearing" // beacon, relative or radial: the start or the end of a bearing check
	Divert       Act = "divert"
	Hold         Act = "hold"
	Unhold       Act = "unhold"
	Cleared      Act = "cleared" // kind, text, squawk, frequency: what was told over the radio
	Cross        Act = "cross"   // point, wanted, altitude: what is wanted of a point ahead
	Done         Act = "done"
	Skipped      Act = "skipped"
	Snoozed      Act = "snoozed" // prompt, minutes
	Clock        Act = "clock"
	Position     Act = "position"
	Hands        Act = "hands"    // practice only: who flies and logs, "on" (the pilot) or "off" (the program)
	Controls     Act = "controls" // practice only: an altitude to climb or descend to, or a course on a receiver
	Answered     Act = "answered" // practice only: what the pilot answered to a question
	NoteText     Act = "note"
	Void         Act = "void"
	Amend        Act = "amend"
)

// Event is one line of a journal: what was done and when. T is flight time; Rec is when it was recorded by the machine's
// clock. Only the fields that belong to Do are set.
type Event struct {
	N   int       `json:"n"`
	T   time.Time `json:"t"`
	Rec time.Time `json:"rec"`
	Act Act       `json:"do"`

	Point     string             `json:"point,omitempty"`
	OffTrack  *float64           `json:"offtrack,omitempty"` // nm, right positive
	After     *float64           `json:"after,omitempty"`    // nm from the leg's start
	Within    *float64           `json:"within,omitempty"`   // nm along the track in which the pilot wants to be back on it; with offtrack
	Heading   *float64           `json:"heading,omitempty"`  // magnetic
	IAS       *float64           `json:"ias,omitempty"`      // kt
	TAS       *float64           `json:"tas,omitempty"`      // kt
	Altitude  *float64           `json:"altitude,omitempty"` // ft above sea level
	QNH       *float64           `json:"qnh,omitempty"`      // hPa
	WindFrom  *float64           `json:"from,omitempty"`     // wind from, true
	WindSpeed *float64           `json:"speed,omitempty"`    // wind speed, kt
	Tank      string             `json:"tank,omitempty"`
	Tanks     map[string]float64 `json:"tanks,omitempty"` // gauge readings in the aircraft's unit
	Flow      *float64           `json:"flow,omitempty"`  // unit per hour
	Power     *float64           `json:"power,omitempty"` // per cent
	Receiver  string             `json:"receiver,omitempty"`
	Beacon    string             `json:"beacon,omitempty"`
	Course    *float64           `json:"course,omitempty"`   // controls: magnetic, selected on Receiver
	DME       *float64           `json:"dme,omitempty"`      // nm, slant
	Radial    *float64           `json:"radial,omitempty"`   // magnetic
	Relative  *float64           `json:"relative,omitempty"` // degrees from the nose
	At        *earth.Position    `json:"at,omitempty"`
	To        string             `json:"to,omitempty"` // divert: ident; with At for a place without one
	// Rejoin says of a divert that the flight goes straight to the end of that leg of the plan, counted from 0, and on from there as
	// planned.
	Rejoin  *int       `json:"rejoin,omitempty"`
	Prompt  string     `json:"prompt,omitempty"`  // answered: the question's id, with Text
	Minutes *float64   `json:"minutes,omitempty"` // snoozed: for how long
	Rate    *float64   `json:"rate,omitempty"`
	Paused  *bool      `json:"paused,omitempty"`
	Set     *time.Time `json:"set,omitempty"`    // the flight clock's new time
	Wanted  *time.Time `json:"wanted,omitempty"` // cross: the time at which the point is to be passed
	Alt     *float64   `json:"alt,omitempty"`    // position: ft
	GS      *float64   `json:"gs,omitempty"`     // position: kt
	Track   *float64   `json:"track,omitempty"`
	Hands   string     `json:"hands,omitempty"`
	By      string     `json:"by,omitempty"` // who logged it when it was not the pilot: "program" or "feed"
	Text    string     `json:"text,omitempty"`
	// Confirmed says that the pilot was warned that the entry looks wrong and kept it.
	Confirmed bool `json:"confirmed,omitempty"`

	Kind      string   `json:"kind,omitempty"`      // cleared: atis, clearance, squawk or contact
	Squawk    string   `json:"squawk,omitempty"`    // cleared: four octal digits
	Frequency *float64 `json:"frequency,omitempty"` // cleared: MHz

	// Event is the entry that a void or an amendment means. With is what an amendment changes: any of the fields above by
	// their JSON names.
	Event int             `json:"event,omitempty"`
	With  json.RawMessage `json:"with,omitempty"`

	// Unknown holds the fields of a line that this version does not know.
	Unknown map[string]json.RawMessage `json:"-"`
}

// An Answer is what an event says of a prompt's answer, all that prompts need of an event: they are copied by the dozen every second.
type Answer struct {
	Act                           Act
	Point, Tank, Receiver, Beacon string
	Prompt                        string   // done, skipped
	Altitude                      *float64 // level: ft above sea level
}

// Event is the event that records the act. Its time is for the recorder to set.
func (a Answer) Event() Event {
	return Event{
		Act: a.Act, Point: a.Point, Tank: a.Tank, Receiver: a.Receiver, Beacon: a.Beacon, Prompt: a.Prompt, Altitude: a.Altitude,
	}
}
