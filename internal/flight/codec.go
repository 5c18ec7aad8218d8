package flight

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"
)

// fields maps the JSON name of every field of an Event to its index in the struct.
var fields = func() map[string]int {
	byName := map[string]int{}
	event := reflect.TypeFor[Event]()
	for i := range event.NumField() {
		if name, _, _ := strings.Cut(event.Field(i).Tag.Get("json"), ","); name != "-" {
			byName[name] = i
		}
	}
	return byName
}()

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
		index, known := fields[name]
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
	for name, at := range map[string]*time.Time{"t": &e.T, "rec": &e.Rec, "set": e.Set, "wanted": e.Wanted} {
		if at != nil && (at.UTC().Year() < 0 || at.UTC().Year() > 9999) {
			return fmt.Errorf("field %q: a time outside the years 0 to 9999", name)
		}
	}
	if len(e.Tanks) == 0 {
		e.Tanks = nil
	}
	return nil
}

// amended is the event with the fields of an amendment put in. N, Rec and Do stay.
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
