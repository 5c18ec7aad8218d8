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
	Check        *CheckNow    `json:"check,omitempty"`   // the quick check that goes on, or that ended last
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
	Quick   bool        `json:"quick"`   // one of a quick check
}

// QuickCheckEnd is the text of a quick check's entry that ends it.
const QuickCheckEnd = "end"

// CheckNow is how a quick check goes: figures of the moment, asked for one after the other and marked by the truth, which is told when the
// flight is over.
type CheckNow struct {
	Goes    bool    `json:"goes"`  // it goes on
	Count   int     `json:"count"` // how many figures there are
	Asked   int     `json:"asked"` // answered or given up so far
	Right   int     `json:"right"`
	Seconds float64 `json:"seconds"` // that they took, by the machine's clock
}

// MarkedNow is what became of a question.
type MarkedNow struct {
	At      time.Time `json:"at"`
	Text    string    `json:"text"`
	Outcome string    `json:"outcome"`
	Comment []string  `json:"comment"`
	Steps   []string  `json:"steps"`
	Points  int       `json:"points"`
	Seconds float64   `json:"seconds"` // that it took, by the machine's clock
	Quick   bool      `json:"quick"`   // one of a quick check
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

func describeQuickCheck(e Event) string {
	if e.Text == QuickCheckEnd {
		return "quick check ended"
	}
	return "quick check"
}
