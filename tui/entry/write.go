package entry

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// Write gives the line that Parse reads as the event, its time to the second; ok is false for what can't be typed, such as a
// position from a feed.
func Write(e flight.Event) (line string, ok bool) {
	for _, form := range Forms() {
		if form.act != e.Act || form.write == nil {
			continue
		}
		behind, ok := form.write(e)
		if !ok {
			continue
		}
		line := append(words{form.Verb}, behind...)
		if !e.T.IsZero() && !form.text && form.whole == nil {
			line = append(line, say.UTC(e.T))
		}
		return strings.Join(line, " "), true
	}
	return "", false
}

func writeFix(e flight.Event) (words, bool) {
	switch {
	case e.At != nil:
		return words{"at", e.At.String()}, true
	case e.Beacon == "":
		return nil, false
	}
	w := words{quote(e.Beacon)}
	for _, figure := range []struct {
		unit  string
		value *float64
	}{{"dme", e.DME}, {"radial", e.Radial}, {"relative", e.Relative}} {
		if figure.value != nil {
			w = append(w.number(figure.value), figure.unit)
		}
	}
	return w, true
}

func writeDivert(e flight.Event) (w words) {
	if e.To != "" {
		w = append(w, quote(e.To))
	}
	if e.At != nil {
		w = append(w, "at", e.At.String())
	}
	return w
}

// number goes on with a figure, if there is one.
func (w words) number(value *float64) words {
	if value == nil {
		return w
	}
	return append(w, say.SayNumber(*value, say.AllDecimals))
}

// labelled goes on with a figure behind its label, if there is one.
func (w words) labelled(label string, value *float64) words {
	if value == nil {
		return w
	}
	return append(w, label).number(value)
}

// side goes on with a distance and the side on which it lies, right positive, if there is one.
func (w words) side(value *float64) words {
	switch {
	case value == nil:
		return w
	case *value < 0:
		return append(w.number(new(-*value)), "left")
	default:
		return append(w.number(value), "right")
	}
}

func threeDigits(direction float64) string {
	return fmt.Sprintf("%03s", say.SayNumber(direction, say.AllDecimals))
}

func parseAmend(tokens []token, s flight.Snapshot, _ times) (flight.Event, error) {
	r := &reader{tokens: tokens}
	n := r.entry()
	if r.err != nil {
		return flight.Event{}, r.err
	}
	at := slices.IndexFunc(s.Entries, func(entry flight.Entry) bool { return entry.Event.N == n })
	switch {
	case at < 0:
		return flight.Event{}, fmt.Errorf("there is no entry %d", n)
	case len(r.tokens) == 0:
		return flight.Event{}, errors.New("the time or the line again is missing")
	}
	return amendment(r.tokens, *s.Entries[at].Event, s)
}

// Amend reads a line as what entry old should have been: a time alone, or the act anew, of the same kind. The event
// carries only the fields that change.
func Amend(line string, old flight.Event, s flight.Snapshot) (flight.Event, error) {
	return amendment(tokenise(line), old, s)
}

func amendment(tokens []token, old flight.Event, s flight.Snapshot) (flight.Event, error) {
	if len(tokens) == 0 {
		return flight.Event{}, errNothing
	}
	c := times{now: s.At, near: old.T}
	return withTime(c, tokens, func(rest []token, at time.Time) (flight.Event, error) {
		if len(rest) > 0 {
			return amendedLine(mergeVerb(tokens), old, s, c)
		}
		if at.IsZero() {
			at = s.At
		}
		return with(old, map[string]json.RawMessage{"t": timeJSON(at)})
	})
}

// amendedLine reads the line of an entry anew.
func amendedLine(tokens []token, old flight.Event, s flight.Snapshot, c times) (flight.Event, error) {
	form, err := formOf(tokens[0].text)
	if err != nil {
		return flight.Event{}, err
	}
	anew, err := form.parse(tokens[1:], s, c)
	if err != nil {
		return flight.Event{}, err
	}
	if anew.Act != old.Act {
		return flight.Event{}, fmt.Errorf("entry %d stays a %q: void it and enter %q instead", old.N, old.Act, anew.Act)
	}
	changed, err := difference(old, anew)
	if err != nil {
		return flight.Event{}, err
	}
	return with(old, changed)
}

func with(old flight.Event, changed map[string]json.RawMessage) (flight.Event, error) {
	if len(changed) == 0 {
		return flight.Event{}, fmt.Errorf("nothing would change in entry %d", old.N)
	}
	text, err := json.Marshal(changed)
	return flight.Event{Act: flight.Amend, Event: old.N, With: text}, err
}

// difference lists by their JSON names the fields in which an entry typed anew differs; what was left out becomes null.
// A time that was left alone, or that is the old one to the second, doesn't count.
func difference(old, anew flight.Event) (map[string]json.RawMessage, error) {
	before, err := fields(old)
	if err != nil {
		return nil, err
	}
	after, err := fields(anew)
	if err != nil {
		return nil, err
	}
	changed := map[string]json.RawMessage{}
	for name, value := range after {
		if !bytes.Equal(before[name], value) {
			changed[name] = value
		}
	}
	for name := range before {
		if _, still := after[name]; !still {
			changed[name] = json.RawMessage("null")
		}
	}
	if old.At != nil && anew.At != nil && old.At.String() == anew.At.String() {
		delete(changed, "at") // the line shows it rounded
	}
	if !anew.T.IsZero() && !anew.T.Equal(old.T.Truncate(time.Second)) {
		changed["t"] = timeJSON(anew.T)
	}
	return changed, nil
}

// fields are those of an event that can be typed, but for its time.
func fields(e flight.Event) (map[string]json.RawMessage, error) {
	text, err := json.Marshal(e)
	if err != nil {
		return nil, err
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal(text, &all); err != nil {
		return nil, err
	}
	maps.DeleteFunc(all, func(name string, _ json.RawMessage) bool {
		return slices.Contains([]string{"n", "t", "rec", "do", "by", "confirmed"}, name)
	})
	for name := range e.Unknown {
		delete(all, name)
	}
	return all, nil
}

func timeJSON(t time.Time) json.RawMessage {
	return json.RawMessage(t.UTC().Format(`"` + time.RFC3339Nano + `"`))
}
