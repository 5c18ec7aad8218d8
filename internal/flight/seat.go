package flight

import (
	"fmt"
	"time"

	"example.com/legclock/internal/radio"
)

// SeatNow is what a person in the seat of a practice flight sees and is asked. It is no part of what a log tells: package practice
// puts it into a Snapshot, and every other flight has none.
type SeatNow struct {
	HandsOn      bool         `json:"hands_on"` // the pilot flies
	Seed         uint64       `json:"seed"`
	VisibilityNM float64      `json:"visibility_nm"`
	Passed       []Passed     `json:"passed"`              // what went by last, the newest first
	InView       []string     `json:"in_view"`             // nearest first: "long lake, ahead right, 3 nm"
	NextLies     string       `json:"next_lies,omitempty"` // where the plan has the next checkpoint: "0.3 nm left of track"
	Panel        PanelNow     `json:"panel"`
	Trouble      string       `json:"trouble,omitempty"` // what can't wait: the engine
	Landing      string       `json:"landing,omitempty"` // the aerodrome at which the flight could end now
	Question     *QuestionNow `json:"question"`          // open; nil: none
	Marked       *MarkedNow   `json:"marked"`            // the last one that was closed
	Points       int          `json:"points"`
	MostPoints   int          `json:"most_points"` // of the questions so far
}

// Passed is something that was seen once.
type Passed struct {
	At   time.Time `json:"at"`
	Text string    `json:"text"`
}

// PanelNow is what the instruments show: what a pilot reads, errors included, not what is true.
type PanelNow struct {
	Compass       float64         `json:"compass"`  // magnetic
	Steering      *float64        `json:"steering"` // the compass heading flown or turned to; nil with the hands off
	AirspeedKt    float64         `json:"ias"`
	AltitudeFt    float64         `json:"altitude"`
	ToAltitudeFt  *float64        `json:"to_altitude"` // climbing or descending to
	VerticalFtMin float64         `json:"vertical"`
	Receivers     []PanelReceiver `json:"receivers"`
	Gauges        []PanelGauge    `json:"gauges"`
	Unit          string          `json:"unit"`
	Engine        string          `json:"engine"` // "runs", "falters", "stands"
}

// PanelReceiver is one receiver with what its needle, flag or counter shows; nil: nothing.
type PanelReceiver struct {
	Receiver  string       `json:"receiver"`
	Beacon    string       `json:"beacon"` // tuned; empty: none
	Frequency float64      `json:"frequency"`
	Morse     string       `json:"morse"` // heard; empty: nothing is
	Course    *float64     `json:"course"`
	Sense     *radio.Sense `json:"sense"`
	NeedleDeg *float64     `json:"needle_deg"` // right positive, to its stop
	DME       *float64     `json:"dme"`
	Relative  *float64     `json:"relative"`
}

// PanelGauge is one fuel gauge.
type PanelGauge struct {
	Tank     string  `json:"tank"`
	Reading  float64 `json:"reading"`
	Capacity float64 `json:"capacity"`
	Selected bool    `json:"selected"`
}

// QuestionNow is a figure that the pilot is asked for before the program shows its own.
type QuestionNow struct {
	ID      string      `json:"id"`
	Asked   time.Time   `json:"asked"` // flight time
	Text    string      `json:"text"`
	Given   [][2]string `json:"given"` // name, figure
	Example string      `json:"example"`
	Waiting int         `json:"waiting"` // how many more wait for their turn
}

// MarkedNow is what became of a question.
type MarkedNow struct {
	At      time.Time `json:"at"`
	Text    string    `json:"text"`
	Outcome string    `json:"outcome"`
	Comment []string  `json:"comment"`
	Steps   []string  `json:"steps"`
	Points  int       `json:"points"`
}

func describeControls(e Event) string {
	if e.Receiver != "" {
		return "course " + e.Receiver + " " + heading(e.Course)
	}
	return "to altitude " + number(e.Altitude, "%.0f ft")
}

func describeAnswered(e Event) string {
	if e.Text == "" {
		return "shown: " + e.Prompt
	}
	return fmt.Sprintf("answered %s: %s", e.Text, e.Prompt)
}
