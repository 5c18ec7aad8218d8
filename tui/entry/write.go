package entry

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// Write gives the line that Parse reads as the event, its time to the second; ok is false for what can't be typed, such as a
// position from a feed.
func Write(e flight.Event) (line string, ok bool) {
	words := written(e)
	if words == nil {
		return "", false
	}
	if !e.T.IsZero() && timed(e) {
		words = append(words, say.UTC(e.T))
	}
	return strings.Join(words, " "), true
}

// timed reports whether a line of this act may end in its time.
func timed(e flight.Event) bool {
	return !openEnded(e.Act, e.Kind) && e.Act != flight.Cross && e.Act != flight.Void && e.Act != flight.Amend && (e.Act != flight.Clock || e.Set == nil)
}

// openEnded reports whether a line ends in a text, which may end like a time.
func openEnded(act flight.Act, kind string) bool {
	return act == flight.NoteText || act == flight.Cleared && kind != flight.ClearedSquawk
}

func writtenCleared(e flight.Event) []string {
	switch {
	case e.Kind == flight.ClearedSquawk && e.Frequency == nil && e.Text == "":
		return []string{"squawk", e.Squawk}
	case e.Squawk != "":
		return nil
	case e.Kind == flight.ClearedContact && e.Frequency != nil:
		words := []string{"contact", fmt.Sprintf("%.3f", *e.Frequency)}
		if e.Text != "" {
			words = append(words, e.Text)
		}
		return words
	case e.Frequency != nil:
		return nil
	case e.Kind == flight.ClearedATIS:
		return []string{"atis", e.Text}
	case e.Kind == flight.ClearedClearance:
		return []string{"cleared", e.Text}
	}
	return nil
}

func written(e flight.Event) []string {
	switch e.Act {
	case flight.OffBlocks, flight.Airborne, flight.Descend, flight.Landed:
		return []string{string(e.Act)}
	case flight.Unhold:
		return []string{"leave-hold"}
	case flight.OnBlocks:
		return labelled([]string{"on-blocks"}, "landings", e.Landings)
	case flight.VORCheck:
		words := []string{"vor-check", quote(e.Receiver)}
		if e.Beacon != "" {
			words = append(words, quote(e.Beacon))
		}
		return append(optional(words, e.Radial), "for", say.SayNumber(*e.Course, say.AllDecimals))
	case flight.LevelOff:
		return optional([]string{"level"}, e.Altitude)
	case flight.Passing:
		return append([]string{"passing", quote(e.Point)}, side(e.OffTrack)...)
	case flight.TankChange:
		return []string{"tank", quote(e.Tank)}
	case flight.Done:
		return []string{"done", quote(e.Prompt)}
	case flight.Skipped:
		return []string{"skip", quote(e.Prompt)}
	case flight.Snoozed:
		return append(optional([]string{"snooze"}, e.Minutes), quote(e.Prompt))
	case flight.Hold:
		return []string{"hold", quote(e.Point)}
	case flight.Bearing:
		words := optional([]string{"bearing", quote(e.Beacon)}, e.Relative)
		if e.Radial != nil {
			words = append(words, say.SayNumber(*e.Radial, say.AllDecimals), "radial")
		}
		return words
	case flight.Cross:
		words := optional([]string{"cross", quote(e.Point)}, e.Altitude)
		if e.Wanted != nil {
			words = append(words, say.UTC(*e.Wanted))
		}
		return words
	case flight.Tuned, flight.Identified:
		return []string{string(e.Act), quote(e.Receiver), quote(e.Beacon)}
	case flight.Cleared:
		return writtenCleared(e)
	case flight.NoteText:
		return []string{"note", e.Text}
	case flight.Void:
		return []string{"void", fmt.Sprint(e.Event)}
	case flight.Hands:
		return []string{"hands", e.Hands}
	case flight.Clock:
		return writtenClock(e)
	case flight.Fix:
		return writtenFix(e)
	case flight.Divert:
		return writtenDivert(e)
	default:
		return writtenValues(e)
	}
}

func writtenValues(e flight.Event) []string {
	switch {
	case e.Act == flight.Steering && e.Heading != nil:
		return []string{"steer", fmt.Sprintf("%03s", say.SayNumber(*e.Heading, say.AllDecimals))}
	case e.Act == flight.Airspeed && e.IAS != nil && e.TAS == nil:
		return []string{"ias", say.SayNumber(*e.IAS, say.AllDecimals)}
	case e.Act == flight.Airspeed && e.TAS != nil && e.IAS == nil:
		return []string{"tas", say.SayNumber(*e.TAS, say.AllDecimals)}
	case e.Act == flight.Altitude && e.Altitude != nil:
		return []string{"altitude", say.SayNumber(*e.Altitude, say.AllDecimals)}
	case e.Act == flight.Altimeter && e.QNH != nil:
		if e.Inches {
			return []string{"qnh", strconv.FormatFloat(air.InHgFromHPa(*e.QNH), 'f', 2, 64)}
		}
		return []string{"qnh", say.SayNumber(*e.QNH, say.AllDecimals)}
	case e.Act == flight.WindReported && e.WindFrom != nil && e.WindSpeed != nil:
		return []string{"wind", fmt.Sprintf("%03s/%s", say.SayNumber(*e.WindFrom, say.AllDecimals), say.SayNumber(*e.WindSpeed, say.AllDecimals))}
	case e.Act == flight.Gauges && len(e.Tanks) > 0:
		words := []string{"gauges"}
		for _, tank := range slices.Sorted(maps.Keys(e.Tanks)) {
			words = append(words, quote(tank), say.SayNumber(e.Tanks[tank], say.AllDecimals))
		}
		return words
	case e.Act == flight.Flow && e.Flow != nil:
		return labelled([]string{"flow", say.SayNumber(*e.Flow, say.AllDecimals)}, "power", e.Power)
	default:
		return nil
	}
}

func writtenClock(e flight.Event) []string {
	switch {
	case e.Set != nil && e.Rate == nil && e.Paused == nil:
		return []string{"set", say.UTC(*e.Set)}
	case e.Rate != nil && e.Set == nil && e.Paused == nil:
		return []string{"rate", say.SayNumber(*e.Rate, say.AllDecimals)}
	case e.Paused != nil && e.Set == nil && e.Rate == nil && *e.Paused:
		return []string{"pause"}
	case e.Paused != nil && e.Set == nil && e.Rate == nil:
		return []string{"run"}
	default:
		return nil
	}
}

func writtenFix(e flight.Event) []string {
	switch {
	case e.At != nil:
		return []string{"fix", "at", e.At.String()}
	case e.Beacon == "" && e.OffTrack != nil:
		words := labelled(append([]string{"off-track"}, side(e.OffTrack)...), "after", e.After)
		return labelled(words, "back", e.Within)
	case e.Beacon == "":
		return nil
	}
	words := []string{"fix", quote(e.Beacon)}
	for _, figure := range []struct {
		unit  string
		value *float64
	}{{"dme", e.DME}, {"radial", e.Radial}, {"relative", e.Relative}} {
		if figure.value != nil {
			words = append(words, say.SayNumber(*figure.value, say.AllDecimals), figure.unit)
		}
	}
	return words
}

func writtenDivert(e flight.Event) []string {
	words := []string{"divert"}
	if e.Rejoin != nil {
		words[0] = "direct"
	}
	if e.To != "" {
		words = append(words, quote(e.To))
	}
	if e.At != nil {
		words = append(words, "at", e.At.String())
	}
	return words
}

func optional(words []string, value *float64) []string {
	if value == nil {
		return words
	}
	return append(words, say.SayNumber(*value, say.AllDecimals))
}

func labelled(words []string, label string, value *float64) []string {
	if value == nil {
		return words
	}
	return append(words, label, say.SayNumber(*value, say.AllDecimals))
}

func side(value *float64) []string {
	switch {
	case value == nil:
		return nil
	case *value < 0:
		return []string{say.SayNumber(-*value, say.AllDecimals), "left"}
	default:
		return []string{say.SayNumber(*value, say.AllDecimals), "right"}
	}
}

func parseAmend(tokens []token, s flight.Snapshot) (flight.Event, error) {
	r := &reader{tokens: tokens}
	n := r.entry()
	if r.err != nil {
		return flight.Event{}, r.err
	}
	at := slices.IndexFunc(s.Entries, func(entry flight.Entry) bool { return entry.Event.N == n })
	if at < 0 {
		return flight.Event{}, fmt.Errorf("there is no entry %d", n)
	}
	return amendment(r.tokens, *s.Entries[at].Event, s)
}

// Amend reads a line as what entry old should have been: a time alone, or the act anew, of the same kind. The event
// carries only the fields that change.
func Amend(line string, old flight.Event, s flight.Snapshot) (flight.Event, error) {
	return amendment(tokenise(line), old, s)
}

func amendment(tokens []token, old flight.Event, s flight.Snapshot) (flight.Event, error) {
	c := times{now: s.At, near: old.T}
	rest, at, err := c.split(tokens)
	if err != nil {
		return flight.Event{}, err
	}
	if len(tokens) == 0 {
		return flight.Event{}, errNothing
	}
	if len(rest) == 0 {
		if at.IsZero() {
			at = s.At
		}
		return with(old, map[string]json.RawMessage{"t": timeJSON(at)})
	}
	form, err := formOf(mergeVerb(tokens)[0].text)
	if err != nil {
		return flight.Event{}, err
	}
	anew, err := form.parse(mergeVerb(tokens)[1:], s, c)
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
