package flight

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/angle"
)

// Describe says in a few words what an event records: "passing KVN", "tank left". An act of a newer version is named as it stands.
func Describe(e Event) string {
	if describe, known := descriptions[e.Act]; known {
		return describe(e)
	}
	return strings.TrimSpace(string(e.Act) + " " + e.Text)
}

var descriptions = map[Act]func(Event) string{
	OffBlocks:    always("off blocks"),
	Airborne:     always("airborne"),
	LevelOff:     func(e Event) string { return "level" + at(e.Altitude) },
	Descend:      always("descending"),
	Landed:       always("landed"),
	OnBlocks:     always("on blocks"),
	Passing:      func(e Event) string { return "passing " + e.Point + offTrack(e.OffTrack) },
	Steering:     func(e Event) string { return "steering " + heading(e.Heading) },
	Airspeed:     describeAirspeed,
	Altitude:     func(e Event) string { return "altitude " + number(e.Altitude, "%.0f ft") },
	Altimeter:    func(e Event) string { return "QNH " + number(e.QNH, "%g") },
	WindReported: func(e Event) string { return "wind " + heading(e.WindFrom) + number(e.WindSpeed, "/%02.0f") },
	TankChange:   func(e Event) string { return "tank " + e.Tank },
	Gauges:       describeGauges,
	Flow:         func(e Event) string { return "flow " + number(e.Flow, "%g an hour") + number(e.Power, " at %g %%") },
	Tuned:        func(e Event) string { return "tuned " + e.Receiver + " " + e.Beacon },
	Identified:   func(e Event) string { return "identified " + e.Receiver + " " + e.Beacon },
	Fix:          describeFix,
	Bearing:      describeBearing,
	Divert:       describeDivert,
	Hold:         func(e Event) string { return strings.TrimSpace("hold " + e.Point) },
	Cross:        describeCross,
	Unhold:       always("leaving the hold"),
	Done:         func(e Event) string { return "done: " + promptWords(e.Prompt) },
	Skipped:      func(e Event) string { return "skipped: " + promptWords(e.Prompt) },
	Snoozed:      func(e Event) string { return "later: " + promptWords(e.Prompt) + number(e.Minutes, ", %g min") },
	Clock:        describeClock,
	Position:     func(e Event) string { return "position " + positionText(e) },
	Hands:        func(e Event) string { return "hands " + e.Hands },
	Controls:     describeControls,
	Answered:     describeAnswered,
	NoteText:     func(e Event) string { return "note: " + e.Text },
	Void:         func(e Event) string { return fmt.Sprintf("void entry %d", e.Event) },
	Amend:        func(e Event) string { return fmt.Sprintf("amend entry %d: %s", e.Event, e.With) },
}

func always(text string) func(Event) string { return func(Event) string { return text } }

func number(value *float64, format string) string {
	if value == nil {
		return ""
	}
	return fmt.Sprintf(format, *value)
}

func heading(value *float64) string {
	if value == nil {
		return ""
	}
	return fmt.Sprintf("%03d", angle.Whole(*value))
}

func at(altitudeFt *float64) string { return number(altitudeFt, " at %.0f ft") }

func offTrack(rightNM *float64) string {
	const tenth = 10 // distances are said to a tenth of a mile
	switch {
	case rightNM == nil:
		return ""
	case math.Round(*rightNM*tenth) == 0:
		return ", on track"
	}
	return fmt.Sprintf(", %s of track", side(*rightNM))
}

// side is a distance to one side: "0.8 nm left".
func side(rightNM float64) string {
	if rightNM < 0 {
		return fmt.Sprintf("%.1f nm left", -rightNM)
	}
	return fmt.Sprintf("%.1f nm right", rightNM)
}

func describeAirspeed(e Event) string {
	if e.TAS != nil {
		return number(e.TAS, "TAS %.0f kt")
	}
	return number(e.IAS, "IAS %.0f kt")
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
		parts = append(parts, number(e.After, "%.1f nm along"))
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
		return text + " whenever"
	case e.Wanted != nil:
		text += " at " + e.Wanted.UTC().Format(time.TimeOnly) + "Z"
	}
	return text + at(e.Altitude)
}

func describeClock(e Event) string {
	var parts []string
	if e.Set != nil {
		parts = append(parts, "set "+e.Set.UTC().Format(time.TimeOnly)+"Z")
	}
	if e.Rate != nil {
		parts = append(parts, number(e.Rate, "rate %g"))
	}
	if e.Paused != nil {
		parts = append(parts, map[bool]string{true: "paused", false: "running"}[*e.Paused])
	}
	return "clock " + strings.Join(parts, ", ")
}
