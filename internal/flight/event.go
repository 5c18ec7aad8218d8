package flight

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
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
	Cleared      Act = "cleared"   // kind, text, squawk, frequency: what was told over the radio
	VORCheck     Act = "vor-check" // receiver, radial, course: what it shows, and what it should
	Cross        Act = "cross"     // point, wanted, altitude: what is wanted of a point ahead
	Done         Act = "done"
	Skipped      Act = "skipped"
	Snoozed      Act = "snoozed" // prompt, minutes
	Clock        Act = "clock"
	Position     Act = "position"
	Hands        Act = "hands"    // practice only: who flies and logs, "on" (the pilot) or "off" (the program)
	Controls     Act = "controls" // practice only: an altitude to climb or descend to, or a course on a receiver
	Answered     Act = "answered" // practice only: what the pilot answered to a question
	// QuickCheck, practice only: the pilot wants to be asked for some figures of the moment, one after the other, or, where its text is QuickCheckEnd, no more.
	QuickCheck Act = "quick-check"
	NoteText   Act = "note"
	Void       Act = "void"
	Amend      Act = "amend"
)

// QuickCheckEnd is the text of a quick check's entry that ends it.
const QuickCheckEnd = "end"

// Damaged stands where an entry of a journal could not be read. No act has that name: it is shown, and changes nothing.
const Damaged = Act("damaged")

// Event is one line of a journal: what was done and when. T is flight time; Rec is when it was recorded by the machine's
// clock. Only the fields that belong to Act are set.
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
	Inches    bool               `json:"inches,omitempty"`   // altimeter: the QNH was set in inches of mercury
	WindFrom  *float64           `json:"from,omitempty"`     // wind from, true
	WindSpeed *float64           `json:"speed,omitempty"`    // wind speed, kt
	Tank      string             `json:"tank,omitempty"`
	Tanks     map[string]float64 `json:"tanks,omitempty"` // gauge readings in the aircraft's unit
	Flow      *float64           `json:"flow,omitempty"`  // unit per hour
	Power     *float64           `json:"power,omitempty"` // per cent
	Receiver  string             `json:"receiver,omitempty"`
	Beacon    string             `json:"beacon,omitempty"`
	Course    *float64           `json:"course,omitempty"`   // controls: magnetic, selected on Receiver; vor-check: what Radial should be
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
	Set     *time.Time `json:"set,omitempty"`     // the flight clock's new time
	Machine *time.Time `json:"machine,omitempty"` // clock: what the machine's clock read at Rec, where it had been moved
	Wanted  *time.Time `json:"wanted,omitempty"`  // cross: the time at which the point is to be passed
	Alt     *float64   `json:"alt,omitempty"`     // position: ft
	GS      *float64   `json:"gs,omitempty"`      // position: kt
	Track   *float64   `json:"track,omitempty"`
	Hands   string     `json:"hands,omitempty"`
	By      string     `json:"by,omitempty"` // who logged it when it was not the pilot: "program" or "feed"
	Text    string     `json:"text,omitempty"`
	// Confirmed says that the pilot was warned that the entry looks wrong and kept it.
	Confirmed bool `json:"confirmed,omitempty"`

	// Landings is how many landings the flight had, on on-blocks: as many as were logged where it is not said.
	Landings *float64 `json:"landings,omitempty"`

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
	QNH                           *float64 // altimeter: hPa
	Inches                        bool     // altimeter: set in inches of mercury
	Contact                       *plan.Contact
}

// Event is the event that records the act. Its time is for the recorder to set.
func (a Answer) Event() Event {
	e := Event{
		Act: a.Act, Point: a.Point, Tank: a.Tank, Receiver: a.Receiver, Beacon: a.Beacon, Prompt: a.Prompt, Altitude: a.Altitude,
		QNH: a.QNH, Inches: a.Inches,
	}
	if a.Contact != nil {
		e.Kind, e.Frequency, e.Text = ClearedContact, ref(a.Contact.FrequencyMHz), a.Contact.Name
	}
	return e
}

// fields maps the JSON name of every field of an Event to its index in the struct.
var fields = sync.OnceValue(func() map[string]int {
	byName := map[string]int{}
	event := reflect.TypeFor[Event]()
	for i := range event.NumField() {
		if name, _, _ := strings.Cut(event.Field(i).Tag.Get("json"), ","); name != "-" {
			byName[name] = i
		}
	}
	return byName
})

// plainEvent is an Event without its own JSON methods.
type plainEvent Event

// MarshalJSON writes the event's fields and, after them, those of a newer version by name.
func (e Event) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(plainEvent(e)); err != nil {
		return nil, err
	}
	b.Truncate(b.Len() - len("}\n"))
	for _, name := range slices.Sorted(maps.Keys(e.Unknown)) {
		quoted, err := json.Marshal(name)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, ",%s:%s", quoted, e.Unknown[name])
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// UnmarshalJSON reads an event. Fields that this version does not know go to Unknown; names count letter by letter, so that a
// newer "T" is not taken for "t".
func (e *Event) UnmarshalJSON(data []byte) error {
	if e.scan(data) {
		return nil
	}
	return e.decode(data)
}

// decode reads an event of any shape.
func (e *Event) decode(data []byte) error {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(data, &raw); err != nil {
		return err
	}
	*e = Event{}
	return e.set(raw)
}

// set puts the named fields into the event; it is what an amendment does to the one that it amends. An unknown name is kept.
func (e *Event) set(raw map[string]json.RawMessage) error {
	event := reflect.ValueOf(e).Elem()
	for _, name := range slices.Sorted(maps.Keys(raw)) {
		index, known := fields()[name]
		if !known {
			unknown := maps.Clone(e.Unknown)
			if unknown == nil {
				unknown = map[string]json.RawMessage{}
			}
			unknown[name] = raw[name]
			e.Unknown = unknown
			continue
		}
		field := event.Field(index)
		field.SetZero()
		if err := json.Unmarshal(raw[name], field.Addr().Interface()); err != nil {
			return fmt.Errorf("field %q: %s is not what belongs there", name, raw[name])
		}
	}
	e.T, e.Rec = e.T.UTC(), e.Rec.UTC()
	for name, at := range map[string]*time.Time{"t": &e.T, "rec": &e.Rec, "set": e.Set, "wanted": e.Wanted, "machine": e.Machine} {
		if at != nil && (at.UTC().Year() < 0 || at.UTC().Year() > 9999) {
			return fmt.Errorf("field %q: a time outside the years 0 to 9999", name)
		}
	}
	if len(e.Tanks) == 0 {
		e.Tanks = nil
	}
	return nil
}

// asAmended is the event with the fields of an amendment that has been checked.
func (e *Event) asAmended(with json.RawMessage) *Event {
	changed, _ := e.amended(with)
	return &changed
}

// amended is the event with the fields of an amendment put in. N, Rec and Act stay.
func (e Event) amended(with json.RawMessage) (Event, error) {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(with, &raw); err != nil {
		return e, fmt.Errorf("an amendment needs the fields that change, as an object: %w", err)
	}
	for _, name := range []string{"n", "rec", "do", "event", "with"} {
		if _, given := raw[name]; given {
			return e, fmt.Errorf("an amendment can't change %q: void the entry and make another", name)
		}
	}
	changed := e
	if err := changed.set(raw); err != nil {
		return e, err
	}
	return changed, nil
}
