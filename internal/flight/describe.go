package flight

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
)

// describeUnknown names an act of a newer version as it stands.
func describeUnknown(e Event) string { return strings.TrimSpace(string(e.Act) + " " + e.Text) }

func describeHold(e Event) string { return strings.TrimSpace("hold " + e.Point) }

func describeVoid(e Event) string { return fmt.Sprintf("void entry %d", e.Event) }

// describeAmend names what an amendment changes, field by field: "amend entry 4: time 09:24:20Z", "amend entry 12: heading 123".
func describeAmend(e Event) string {
	var with map[string]any
	if json.Unmarshal(e.With, &with) != nil || len(with) == 0 {
		return fmt.Sprintf("amend entry %d: %s", e.Event, e.With)
	}
	var changes []string
	for _, field := range slices.Sorted(maps.Keys(with)) {
		switch value := with[field].(type) {
		case nil: // what the entry had before and has no longer
		case map[string]any: // quantities by tank
			for _, tank := range slices.Sorted(maps.Keys(value)) {
				changes = append(changes, fmt.Sprintf("%s %v", tank, value[tank]))
			}
		case string:
			if at, err := time.Parse(time.RFC3339Nano, value); err == nil {
				value = say.Time(at)
				if field == "t" {
					field = "time"
				}
			}
			changes = append(changes, field+" "+value)
		default:
			changes = append(changes, fmt.Sprintf("%s %v", field, value))
		}
	}
	return fmt.Sprintf("amend entry %d: %s", e.Event, strings.Join(changes, ", "))
}

func always(text string) func(Event) string { return func(Event) string { return text } }

// given is a figure as it is written; empty where an entry has none.
func given(value *float64, written func(float64) string) string {
	if value == nil {
		return ""
	}
	return written(*value)
}

func number(value *float64, format string) string {
	return given(value, func(figure float64) string { return fmt.Sprintf(format, figure) })
}

func describeOnBlocks(e Event) string {
	if e.Landings == nil {
		return "on blocks"
	}
	return "on blocks, " + say.Counted(int(*e.Landings), "landing", "landings")
}

func heading(value *float64) string {
	if value == nil {
		return ""
	}
	return say.Degrees(*value)
}

func at(altitudeFt *float64) string {
	return given(altitudeFt, func(ft float64) string { return " at " + say.Feet(ft) })
}

func offTrack(rightNM *float64) string {
	return given(rightNM, func(nm float64) string { return ", " + say.OffTrack(nm) })
}

func describeAirspeed(e Event) string {
	if e.TAS != nil {
		return "TAS " + say.Knots(*e.TAS)
	}
	return given(e.IAS, func(kt float64) string { return "IAS " + say.Knots(kt) })
}

func describeGauges(e Event) string {
	parts := make([]string, 0, len(e.Tanks))
	for _, name := range sortedNames(e.Tanks) {
		parts = append(parts, fmt.Sprintf("%s %g", name, e.Tanks[name]))
	}
	return "gauges " + strings.Join(parts, ", ")
}

func describeFix(e Event) string {
	if e.At != nil {
		return "fix " + positionText(e)
	}
	parts := []string{"fix"}
	if e.Beacon != "" {
		parts = append(parts, e.Beacon)
	}
	if e.Radial != nil {
		parts = append(parts, "radial "+heading(e.Radial))
	}
	if e.DME != nil {
		parts = append(parts, number(e.DME, "DME %.1f"))
	}
	if e.Relative != nil {
		parts = append(parts, number(e.Relative, "relative %03.0f"))
	}
	if e.After != nil {
		parts = append(parts, say.Miles(*e.After)+" along")
	}
	return strings.Join(parts, " ") + offTrack(e.OffTrack)
}

func positionText(e Event) string {
	if e.At == nil {
		return ""
	}
	return e.At.String()
}

func describeDivert(e Event) string {
	to := e.To
	if to == "" {
		to = positionText(e)
	}
	if e.Rejoin != nil {
		return "direct to " + to + at(e.Altitude) + ", then as planned"
	}
	return "divert to " + to + at(e.Altitude)
}

func describeCross(e Event) string {
	text := "cross " + e.Point
	switch {
	case e.Wanted == nil && e.Altitude == nil:
		return "crossing of " + e.Point + " taken back"
	case e.Wanted != nil:
		text += " at " + say.TimeOf(e.Wanted)
	}
	return text + at(e.Altitude)
}

func describeClock(e Event) string {
	var parts []string
	if e.Set != nil {
		parts = append(parts, "set "+say.TimeOf(e.Set))
	}
	if e.Rate != nil {
		parts = append(parts, number(e.Rate, "rate %g"))
	}
	if e.Paused != nil {
		parts = append(parts, map[bool]string{true: "paused", false: "running"}[*e.Paused])
	}
	return "clock " + strings.Join(parts, ", ")
}

// What the name of a prompt is made of; see the Prompts that are added.
var (
	promptOfBeacon = pattern.Of(`^(tune|identify)-\d+-(.+)-([^-]+)$`)
	promptOfPoint  = pattern.Of(`^(report|altimeter)-(.+)$`)
	promptNumbered = pattern.Of(`^(turn|tank|confirm|level)-\d+$`)
	promptOfCheck  = pattern.Of(`^check-(.+?)(?:-\d+)?$`)
)

// numberedPrompts are the words for prompts that are told apart by number.
var numberedPrompts = map[string]string{
	"turn": "the turn", "tank": "the change of tank", "confirm": "engine and fuel pressure", "level": "levelling off",
}

// promptWords says in a pilot's words which prompt has a name: "cruise check" for "check-cruise check-2".
func promptWords(id string) string {
	if strings.HasPrefix(id, broadcastPrompt) {
		return "QNH of the ATIS"
	}
	match := func(p func() *regexp.Regexp) []string { return p().FindStringSubmatch(id) }
	if m := match(promptOfBeacon); m != nil {
		return m[1] + " " + m[2] + " " + m[3]
	}
	if m := match(promptOfPoint); m != nil {
		return m[1] + " " + m[2]
	}
	if m := match(promptNumbered); m != nil {
		return numberedPrompts[m[1]]
	}
	if m := match(promptOfCheck); m != nil {
		return m[1]
	}
	if name, ok := strings.CutPrefix(id, contactPrompt); ok {
		return "call " + name
	}
	if strings.HasPrefix(id, "descent") {
		return "top of descent"
	}
	return id
}

func describeControls(e Event) string {
	if e.Receiver != "" {
		return "course " + e.Receiver + " " + heading(e.Course)
	}
	return "to altitude " + given(e.Altitude, say.Feet)
}

// questionsOfPractice are the words for what a practice flight asks, by what comes before the number in a question's name.
var questionsOfPractice = map[string]string{
	"turn": "the turn to the leg's end", "groundspeed": "the groundspeed", "eta": "an ETA", "beacon": "the time to tune", "tank": "the limit of imbalance",
	"check": "a quick check",
}

func describeAnswered(e Event) string {
	kind, _, _ := strings.Cut(e.Prompt, "-")
	question, known := questionsOfPractice[kind]
	if !known {
		question = e.Prompt
	}
	if e.Text == "" {
		return "the answer was shown: " + question
	}
	return fmt.Sprintf("answered %s: %s", e.Text, question)
}

func describeQuickCheck(e Event) string {
	if e.Text == QuickCheckEnd {
		return "quick check ended"
	}
	return "quick check"
}
