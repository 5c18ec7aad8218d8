package flight

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
)

// Range is what a figure of an event must lie within, whoever gives it: the entry line, an imported track, a feed or a journal's file.
type Range struct {
	Name      string // with its article: "a heading"
	Low, High float64
	Unit      string
}

// parameter is a figure that an event may carry.
type parameter struct {
	Range
	field string // its JSON name
	of    func(*Event) **float64
}

// parameters are the figures that events carry. A figure in a tank is bounded by any aircraft's tanks here, by this one's in checkGauges.
var parameters = []parameter{
	{Range{"a heading", 0, 360, "degrees"}, "heading", func(e *Event) **float64 { return &e.Heading }},
	{Range{"a wind direction", 0, 360, "degrees"}, "from", func(e *Event) **float64 { return &e.WindFrom }},
	{Range{"a radial", 0, 360, "degrees"}, "radial", func(e *Event) **float64 { return &e.Radial }},
	{Range{"a course", 0, 360, "degrees"}, "course", func(e *Event) **float64 { return &e.Course }},
	{Range{"a relative bearing", 0, 360, "degrees"}, "relative", func(e *Event) **float64 { return &e.Relative }},
	{Range{"a track", 0, 360, "degrees"}, "track", func(e *Event) **float64 { return &e.Track }},
	{Range{"a wind speed", 0, 250, "kt"}, "speed", func(e *Event) **float64 { return &e.WindSpeed }},
	{Range{"an indicated airspeed", 20, 400, "kt"}, "ias", func(e *Event) **float64 { return &e.IAS }},
	{Range{"a true airspeed", 20, 500, "kt"}, "tas", func(e *Event) **float64 { return &e.TAS }},
	{Range{"a groundspeed", 0, 900, "kt"}, "gs", func(e *Event) **float64 { return &e.GS }},
	{Range{"an altitude", -1500, 45000, "ft"}, "altitude", func(e *Event) **float64 { return &e.Altitude }},
	{Range{"an altitude", -1500, 60000, "ft"}, "alt", func(e *Event) **float64 { return &e.Alt }},
	{Range{"a QNH", air.LowestQNH, air.HighestQNH, "hPa"}, "qnh", func(e *Event) **float64 { return &e.QNH }},
	{Range{"a DME distance", 0, 300, "nm"}, "dme", func(e *Event) **float64 { return &e.DME }},
	{Range{"a flow", leastFlow, 500, "an hour"}, "flow", func(e *Event) **float64 { return &e.Flow }},
	{Range{"a power", 0, 110, "per cent"}, "power", func(e *Event) **float64 { return &e.Power }},
	{Range{"a distance off track", -100, 100, "nm"}, "offtrack", func(e *Event) **float64 { return &e.OffTrack }},
	{Range{"a distance to be back on track in", 0.5, 500, "nm"}, "within", func(e *Event) **float64 { return &e.Within }},
	{Range{"a distance along the leg", 0, 2000, "nm"}, "after", func(e *Event) **float64 { return &e.After }},
	{Range{"a number of landings", 0, 200, "landings"}, "landings", func(e *Event) **float64 { return &e.Landings }},
	{Range{"a number of minutes", 0, 999, "minutes"}, "minutes", func(e *Event) **float64 { return &e.Minutes }},
	{Range{"a rate", 0, 1000, "times"}, "rate", func(e *Event) **float64 { return &e.Rate }}, // how fast a clock runs is the clock's to say
	{Range{"a frequency", lowestMHz, highestMHz, "MHz"}, "frequency", func(e *Event) **float64 { return &e.Frequency }},
}

// parameterOf is the parameter of a JSON name; nil if none has it.
func parameterOf(field string) *parameter {
	for i := range parameters {
		if parameters[i].field == field {
			return &parameters[i]
		}
	}
	return nil
}

// gaugeRange is of the reading of a fuel gauge: more than any light aircraft has in one tank, in any unit.
var gaugeRange = Range{"a gauge reading", 0, 9999, "in any unit"}

// Flights are of the years that a plan can be of; one of the last evening ends in the year after.
const firstYear, lastYear = plan.FirstYear, plan.LastYear + 1

var firstMoment, endMoment = time.Date(firstYear, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(lastYear+1, 1, 1, 0, 0, 0, 0, time.UTC)

// RangeOf is what a figure must lie within, by its JSON name.
func RangeOf(field string) Range {
	if p := parameterOf(field); p != nil {
		return p.Range
	}
	if field == "tanks" {
		return gaugeRange
	}
	return Range{Low: math.Inf(-1), High: math.Inf(1)}
}

// refuse is the error of a figure outside its range, which not-a-number is too.
func (r Range) refuse(value float64) error {
	if value >= r.Low && value <= r.High {
		return nil
	}
	return refuse(fmt.Sprintf("it is from %g to %g %s", r.Low, r.High, r.Unit), "%s of %g", r.Name, value)
}

// CheckRanges refuses figures that nothing can have, whatever was done and when. An event that it refuses changes nothing but the list of
// entries, also when a journal holds one.
func CheckRanges(e *Event) error {
	for i := range parameters {
		if value := *parameters[i].of(e); value != nil {
			if err := parameters[i].refuse(*value); err != nil {
				return err
			}
		}
	}
	for _, name := range sortedNames(e.Tanks) {
		if err := gaugeRange.refuse(e.Tanks[name]); err != nil {
			return err
		}
	}
	if e.At != nil && !e.At.Valid() {
		return refuse("latitude to 90, longitude to 180 degrees", "there is no position %g, %g", e.At.Lat, e.At.Lon)
	}
	for _, at := range [...]*time.Time{&e.T, &e.Rec, e.Set, e.Wanted, e.Machine} {
		if at != nil && !at.IsZero() && (at.Before(firstMoment) || !at.Before(endMoment)) {
			return refuse(fmt.Sprintf("years are from %d to %d", firstYear, lastYear), "the year %d", at.UTC().Year())
		}
	}
	return nil
}

// CheckEntry refuses what no entry of a journal can be, wherever the journal comes from: figures outside their ranges, and a void or an
// amendment of nothing. Of an act of a newer version only the times are known.
func CheckEntry(e *Event) error {
	if _, known := rowOf[e.Act]; !known {
		e = &Event{N: e.N, Act: e.Act, T: e.T, Rec: e.Rec}
	}
	if err := CheckRanges(e); err != nil {
		return err
	}
	if e.Act != Void && e.Act != Amend {
		return nil
	}
	if e.Event < 1 || e.Event >= e.N {
		return refuse("it is one that was made before", "no entry %d to %s", e.Event, e.Act)
	}
	if e.Act == Amend {
		changed, err := Event{N: e.Event, Act: NoteText, T: e.T, Rec: e.Rec}.amended(e.With)
		if err != nil {
			return err
		}
		return CheckRanges(&changed)
	}
	return nil
}
