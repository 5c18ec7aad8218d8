package entry

import (
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
)

// Begun opens the entry line with the beginning of an act; the names that are still to come are left off.
func Begun(e flight.Event) screen.Intent {
	line, _ := Write(e)
	return screen.Ask{Text: strings.TrimSpace(strings.TrimSuffix(line, `""`)) + " "}
}

// OfPoint are what can be done with a point of the route that is still ahead, or was not logged.
func OfPoint(s flight.Snapshot, point string) []screen.Choice {
	name := frame.Clean(point)
	choices := []screen.Choice{
		screen.Wants("passing "+name+" now", "passing", screen.Passing(point)),
		screen.Wants("passing "+name+" off track", "off track", Begun(flight.Event{Act: flight.Passing, Point: point})),
		screen.Wants("cross "+name+" at a time or a height", "cross at", Begun(flight.Event{Act: flight.Cross, Point: point})),
		screen.Wants("hold at "+name, "hold", Begun(flight.Event{Act: flight.Hold, Point: point})),
	}
	i := slices.IndexFunc(s.WaysOut, func(way flight.AlternateNow) bool { return way.Point == point })
	if i < 0 {
		return choices
	}
	return append(choices, OfWay(s.WaysOut[i])...)
}

// OfWay are what can be done with a place that can be flown to.
func OfWay(way flight.AlternateNow) (choices []screen.Choice) {
	if way.Turn == nil {
		return nil
	}
	heading := ""
	if way.DistanceNM >= flight.NearNM {
		heading = ", heading " + say.Degrees(way.HeadingMagnetic)
	}
	name, flying := frame.Clean(way.Point), screen.Open{Name: screen.Flying}
	if way.Aerodrome() {
		choices = append(choices, screen.Wants("divert to "+name+heading, "divert to "+name,
			screen.Record{Event: flight.Event{Act: flight.Divert, To: way.Point}}, flying))
	}
	if way.Rejoin != nil {
		choices = append(choices, screen.Wants("direct to "+name+heading+", then on as planned", "direct",
			screen.Record{Event: flight.Event{Act: flight.Divert, To: way.Point, Rejoin: way.Rejoin}}, flying))
	}
	return choices
}

// OfPrompt are what can be done with what is asked for.
func OfPrompt(p flight.Prompt) []screen.Choice {
	text := frame.Clean(p.Text)
	return []screen.Choice{
		screen.Wants(text+": done", "done", screen.Answered{Prompt: p}),
		screen.Wants(text+": skip it", "skip", screen.Skip(p)),
		screen.Wants(text+": again in 2 minutes", "later", screen.Snooze(p, SnoozeMinutes)),
	}
}
