package flighttest

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"example.com/legclock/internal/flight"
)

// byPlace are the fields that an act's words mean by their place, by their names in the journal.
var byPlace = map[flight.Act][]string{
	flight.LevelOff:     {"altitude"},
	flight.Passing:      {"point"},
	flight.Steering:     {"heading"},
	flight.Altitude:     {"altitude"},
	flight.Altimeter:    {"qnh"},
	flight.WindReported: {"from", "speed"},
	flight.TankChange:   {"tank"},
	flight.Flow:         {"flow"},
	flight.Tuned:        {"receiver", "beacon"},
	flight.Identified:   {"receiver", "beacon"},
	flight.Divert:       {"to"},
	flight.Hold:         {"point"},
	flight.Cross:        {"point"},
	flight.Hands:        {"hands"},
	flight.Void:         {"event"},
	flight.Amend:        {"event"},
}

// parse reads an act and what belongs to it into an event.
func (r *Runner) parse(e *flight.Event, words []string) error {
	e.Act = flight.Act(words[0])
	words = words[1:]
	switch e.Act {
	case flight.Done, flight.Skipped, flight.Snoozed:
		return parsePrompt(e, words)
	case flight.NoteText:
		e.Text = strings.Join(words, " ")
		return nil
	case flight.Cleared:
		return parseCleared(e, words)
	}
	given := map[string]any{}
	places := byPlace[e.Act]
	var bare []string
	for _, word := range words {
		if key, value, named := strings.Cut(word, "="); named {
			given[strings.ReplaceAll(key, "_", " ")] = value
		} else {
			bare = append(bare, word)
		}
	}
	if len(places) == 1 && len(bare) > 1 { // a name of several words
		bare = []string{strings.Join(bare, " ")}
	}
	if len(bare) > len(places) {
		return fmt.Errorf("%q takes no %q", e.Act, bare[len(places)])
	}
	for i, word := range bare {
		given[places[i]] = word
	}
	return r.fill(e, given)
}

func parsePrompt(e *flight.Event, words []string) error {
	if last := len(words) - 1; last > 0 {
		if value, found := strings.CutPrefix(words[last], "minutes="); found {
			minutes, err := strconv.ParseFloat(value, 64)
			if err != nil {
				return err
			}
			e.Minutes = &minutes
			words = words[:last]
		}
	}
	e.Prompt = strings.Join(words, " ")
	return nil
}

// parseCleared reads a kind and what belongs to it: "atis D 240/12", "squawk 4271", "contact 118.705 Strath Radio".
func parseCleared(e *flight.Event, words []string) error {
	if len(words) < 2 {
		return fmt.Errorf("%q takes a kind and what was told", e.Act)
	}
	e.Kind, words = words[0], words[1:]
	switch e.Kind {
	case flight.ClearedSquawk:
		e.Squawk, words = words[0], words[1:]
	case flight.ClearedContact:
		if frequency, err := strconv.ParseFloat(words[0], 64); err == nil {
			e.Frequency, words = &frequency, words[1:]
		}
	}
	e.Text = strings.Join(words, " ")
	return nil
}

// fill puts named values into an event by way of its JSON form.
func (r *Runner) fill(e *flight.Event, given map[string]any) error {
	if given["event"] == "last" {
		given["event"] = strconv.Itoa(r.Events[len(r.Events)-1].N)
	}
	var err error
	switch e.Act {
	case flight.Amend:
		given, err = r.amendment(given)
	case flight.Gauges:
		given = map[string]any{"tanks": typed(given)}
	case flight.Clock:
		err = r.timed(given, "set")
	case flight.Cross:
		err = r.timed(given, "wanted")
	}
	if err != nil {
		return err
	}
	encoded, err := json.Marshal(typed(given))
	if err != nil {
		return err
	}
	filled := *e
	if err := json.Unmarshal(encoded, &filled); err != nil {
		return err
	}
	filled.T, filled.Rec, filled.Act, filled.Confirmed = e.T, e.Rec, e.Act, e.Confirmed
	if len(filled.Unknown) > 0 {
		return fmt.Errorf("%q has no such field: %v", e.Act, filled.Unknown)
	}
	*e = filled
	return nil
}

// amendment puts everything but the number of the entry into what changes.
func (r *Runner) amendment(given map[string]any) (map[string]any, error) {
	event := given["event"]
	delete(given, "event")
	err := r.timed(given, "t")
	return map[string]any{"event": event, "with": typed(given)}, err
}

// timed turns a field that is a time of the day into a time.
func (r *Runner) timed(given map[string]any, field string) error {
	text, isText := given[field].(string)
	if !isText {
		return nil
	}
	at, err := r.time(text)
	given[field] = at
	return err
}

// texts are the fields that are text even when they look like numbers.
var texts = map[string]bool{"point": true, "tank": true, "receiver": true, "beacon": true, "to": true, "hands": true, "text": true}

// typed turns the values that are numbers, positions or yes and no into such.
func typed(given map[string]any) map[string]any {
	values := map[string]any{}
	for key, value := range given {
		text, isText := value.(string)
		if !isText || texts[key] {
			values[key] = value
			continue
		}
		values[key] = text
		if number, err := strconv.ParseFloat(text, 64); err == nil {
			values[key] = number
		} else if text == "true" || text == "false" {
			values[key] = text == "true"
		} else if lat, lon, pair := strings.Cut(text, ","); pair {
			values[key] = []json.Number{json.Number(lat), json.Number(lon)}
		}
	}
	return values
}
