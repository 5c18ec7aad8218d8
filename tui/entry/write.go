package entry

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/forms"
)

// Write gives the line that Parse reads as the event, its time to the second; ok is false for what can't be typed, such as a
// position from a feed.
func Write(e flight.Event) (line string, ok bool) {
	words := written(e)
	if words == nil {
		return "", false
	}
	if !e.T.IsZero() && timed(e) {
		words = append(words, e.T.UTC().Format(time.TimeOnly))
	}
	return strings.Join(words, " "), true
}

// timed reports whether a line of this act may end in its time.
func timed(e flight.Event) bool {
	return e.Do != flight.NoteText && e.Do != flight.Cross && e.Do != flight.Void && e.Do != flight.Amend && (e.Do != flight.Clock || e.Set == nil)
}

func written(e flight.Event) []string {
	switch e.Do {
	case flight.OffBlocks, flight.Airborne, flight.Descend, flight.Landed, flight.OnBlocks, flight.Unhold:
		return []string{string(e.Do)}
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
			words = append(words, forms.SayNumber(*e.Radial, forms.AllDecimals), "radial")
		}
		return words
	case flight.Cross:
		words := optional([]string{"cross", quote(e.Point)}, e.Altitude)
		if e.Wanted != nil {
			words = append(words, e.Wanted.UTC().Format(time.TimeOnly))
		}
		return words
	case flight.Tuned, flight.Identified:
		return []string{string(e.Do), quote(e.Receiver), quote(e.Beacon)}
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
	case e.Do == flight.Steering && e.Heading != nil:
		return []string{"steer", fmt.Sprintf("%03s", forms.SayNumber(*e.Heading, forms.AllDecimals))}
	case e.Do == flight.Airspeed && e.IAS != nil && e.TAS == nil:
		return []string{"ias", forms.SayNumber(*e.IAS, forms.AllDecimals)}
	case e.Do == flight.Airspeed && e.TAS != nil && e.IAS == nil:
		return []string{"tas", forms.SayNumber(*e.TAS, forms.AllDecimals)}
	case e.Do == flight.Altitude && e.Altitude != nil:
		return []string{"altitude", forms.SayNumber(*e.Altitude, forms.AllDecimals)}
	case e.Do == flight.Altimeter && e.QNH != nil:
		return []string{"qnh", forms.SayNumber(*e.QNH, forms.AllDecimals)}
	case e.Do == flight.WindTold && e.From != nil && e.Speed != nil:
		return []string{"wind", fmt.Sprintf("%03s/%s", forms.SayNumber(*e.From, forms.AllDecimals), forms.SayNumber(*e.Speed, forms.AllDecimals))}
	case e.Do == flight.Gauges && len(e.Tanks) > 0:
		words := []string{"gauges"}
		for _, tank := range slices.Sorted(maps.Keys(e.Tanks)) {
			words = append(words, quote(tank), forms.SayNumber(e.Tanks[tank], forms.AllDecimals))
		}
		return words
	case e.Do == flight.Flow && e.Flow != nil:
		return labelled([]string{"flow", forms.SayNumber(*e.Flow, forms.AllDecimals)}, "power", e.Power)
	default:
		return nil
	}
}

func writtenClock(e flight.Event) []string {
	switch {
	case e.Set != nil && e.Rate == nil && e.Paused == nil:
		return []string{"set", e.Set.UTC().Format(time.TimeOnly)}
	case e.Rate != nil && e.Set == nil && e.Paused == nil:
		return []string{"rate", forms.SayNumber(*e.Rate, forms.AllDecimals)}
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
			words = append(words, forms.SayNumber(*figure.value, forms.AllDecimals), figure.unit)
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
	return append(words, forms.SayNumber(*value, forms.AllDecimals))
}

func labelled(words []string, label string, value *float64) []string {
	if value == nil {
		return words
	}
	return append(words, label, forms.SayNumber(*value, forms.AllDecimals))
}

func side(value *float64) []string {
	switch {
	case value == nil:
		return nil
	case *value < 0:
		return []string{forms.SayNumber(-*value, forms.AllDecimals), "left"}
	default:
		return []string{forms.SayNumber(*value, forms.AllDecimals), "right"}
	}
}
