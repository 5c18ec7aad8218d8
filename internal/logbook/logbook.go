// Package logbook makes the pilot's logbook of finished flights: block time, airborne time, night time, landings and fuel used, a line a
// flight.
//
// Block time is from off blocks to on blocks (flight time in ICAO Annex 1, definitions: from the moment that an aeroplane first moves to
// take off until it finally comes to rest). Airborne time is from take-off to landing. Night is between the end of evening and the
// beginning of morning civil twilight (14 CFR 1.1; ICAO Annex 2), by the sun where the aircraft was: between two places that were logged
// it flew evenly along the geodesic, and it stood at the ends of the flight before take-off and after landing. Night time is that part of the block time, of the airborne time where no blocks were logged, found in
// steps of [nightStep]. What the log does not tell is left empty, never guessed.
package logbook

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Line is one flight. What was not logged is nil.
type Line struct {
	Date                                        time.Time
	Aircraft, Registration, From, To            string
	OffBlocks, Airborne, Landed, OnBlocks       *time.Time
	BlockMinutes, AirborneMinutes, NightMinutes *float64
	Landings                                    int      // as many as were said on blocks, or else as were logged
	FuelUsed                                    *float64 // block to block, by the reckoning and the gauges read
	FuelUnit                                    string
	Practice                                    bool
}

// nightStep is how finely the night along the way is found.
const nightStep = 10 * time.Second

// Of makes the line of a flight. The error is of events that can't be part of one journal.
func Of(s *sheet.Sheet, mode flight.Mode, events []flight.Event) (Line, error) {
	p := s.Plan
	line := Line{
		Date: p.OffBlocks, Aircraft: p.Aircraft.Name, Registration: p.Aircraft.Registration,
		From: p.Route.From, To: p.Route.Destination(), FuelUnit: s.Fuel.Unit, Practice: mode == flight.Practice,
	}
	records, err := flight.Records(events)
	if err != nil {
		return line, err
	}
	standing := flight.Standing(records)
	way := []sighting{}
	destination, destinationKnown := place(s, line.To)
	var last time.Time
	for _, r := range standing {
		e := r.Event
		last = e.T
		switch e.Act {
		case flight.OffBlocks:
			line.OffBlocks = first(line.OffBlocks, e.T)
		case flight.Airborne:
			line.Airborne = first(line.Airborne, e.T)
		case flight.Landed:
			t := e.T
			line.Landed = &t
		case flight.OnBlocks:
			t := e.T
			line.OnBlocks = &t
		case flight.Divert:
			if at, ok := place(s, e.To); ok {
				line.To, destination, destinationKnown = e.To, at, true
			} else if e.At != nil {
				line.To, destination, destinationKnown = e.At.String(), *e.At, true
			}
		case flight.Passing:
			if at, ok := place(s, e.Point); ok {
				way = append(way, sighting{e.T, at})
			}
		case flight.Position, flight.Fix:
			if e.At != nil {
				way = append(way, sighting{e.T, *e.At})
			}
		}
	}
	line.Landings = flight.CountLandings(func(yield func(flight.Event) bool) {
		for _, r := range standing {
			if !yield(*r.Event) {
				return
			}
		}
	})
	line.BlockMinutes, line.AirborneMinutes = between(line.OffBlocks, line.OnBlocks), between(line.Airborne, line.Landed)
	from, until := line.OffBlocks, line.OnBlocks
	if line.BlockMinutes == nil {
		from, until = line.Airborne, line.Landed
	}
	if from != nil {
		line.Date = *from
	}
	if between(from, until) == nil {
		return line, nil
	}
	if at, ok := place(s, line.From); ok {
		way = append([]sighting{{*cmp.Or(line.Airborne, from), at}}, way...)
	}
	if destinationKnown {
		way = append(way, sighting{*cmp.Or(line.Landed, until), destination})
	}
	slices.SortStableFunc(way, func(a, b sighting) int { return a.t.Compare(b.t) })
	line.NightMinutes = nightBetween(*from, *until, way)
	state, err := flight.Fold(s, mode, events, nil)
	if err != nil {
		return line, err
	}
	line.FuelUsed = state.Look(last).Tanks().Used()
	return line, nil
}

func first(have *time.Time, t time.Time) *time.Time {
	if have != nil {
		return have
	}
	return &t
}

// between is a time in whole minutes, from the minute of one time to that of the other, so that a line's times and spans add up as they are written.
func between(from, until *time.Time) *float64 {
	if from == nil || until == nil || until.Before(*from) {
		return nil
	}
	minutes := until.Truncate(time.Minute).Sub(from.Truncate(time.Minute)).Minutes()
	return &minutes
}

// sighting is where the aircraft was at a time.
type sighting struct {
	t  time.Time
	at earth.Position
}

// place finds a point or a checkpoint of the route.
func place(s *sheet.Sheet, name string) (earth.Position, bool) {
	for i, leg := range s.Route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if checkpoint.Name == name {
				return s.Route.PositionAt(i, checkpoint.AfterNM), true
			}
		}
	}
	point, ok := s.Plan.Point(name)
	return point.At, ok
}

// nightBetween is the minutes of night along a way.
func nightBetween(from, until time.Time, way []sighting) *float64 {
	if len(way) == 0 {
		return nil
	}
	night := time.Duration(0)
	next := 0
	for t := from; t.Before(until); t = t.Add(nightStep) {
		step := min(nightStep, until.Sub(t))
		middle := t.Add(step / 2)
		for next < len(way) && !way[next].t.After(middle) {
			next++
		}
		if earth.SunAltitude(positionBetween(way, next, middle), middle) < earth.CivilTwilightAltitude {
			night += step
		}
	}
	minutes := night.Minutes()
	return &minutes
}

func positionBetween(way []sighting, next int, t time.Time) earth.Position {
	switch {
	case next == 0:
		return way[0].at
	case next == len(way):
		return way[len(way)-1].at
	}
	a, b := way[next-1], way[next]
	path := earth.Inverse(a.at, b.at)
	at, _ := earth.Direct(a.at, path.AzimuthStart, path.DistanceNM*t.Sub(a.t).Seconds()/b.t.Sub(a.t).Seconds())
	return at
}

// Formats names the forms that Write knows.
func Formats() []string { return []string{"text", "csv"} }

// caution stands below what people read.
const caution = "By this program's logs. What counts in a logbook is the handbook's, the authority's and your instructor's to decide."

var heads = []string{"date", "aircraft", "from", "to", "off blocks", "airborne", "landed", "on blocks", "block", "airborne", "night", "landings", "fuel used"}

// Write writes lines and their totals, as text or as CSV with spans in hours and minutes.
func Write(w io.Writer, lines []Line, format string) error {
	rows := [][]string{heads}
	var block, airborne, night float64 // of the lines as they are written, so that the totals can be followed by hand
	landings := 0
	for _, line := range lines {
		rows = append(rows, line.cells())
		block, airborne, night = block+written(line.BlockMinutes), airborne+written(line.AirborneMinutes), night+written(line.NightMinutes)
		landings += line.Landings
	}
	total := make([]string, len(heads))
	total[0], total[8], total[9], total[10], total[11] = "total", say.LogbookSpan(block), say.LogbookSpan(airborne), say.LogbookSpan(night), strconv.Itoa(landings)
	switch format {
	case "csv":
		out := markup.NewTable(w)
		for _, row := range rows {
			out.Row(row...)
		}
		return out.End()
	case "text":
	default:
		return fmt.Errorf("there is no format %q for a logbook: use %s", format, strings.Join(Formats(), ", "))
	}
	var out bytes.Buffer
	table := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	for _, row := range append(rows, total) {
		fmt.Fprintln(table, strings.Join(row, "\t"))
	}
	if err := table.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(out.String()) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, "\nTimes UTC, spans h:mm.\n%s\n", caution)
	return err
}

func (l Line) cells() []string {
	aircraft := cmp.Or(l.Registration, l.Aircraft)
	if l.Practice {
		aircraft += " (practice)"
	}
	used := ""
	if l.FuelUsed != nil {
		used = say.AmountIn(*l.FuelUsed, l.FuelUnit)
	}
	return []string{
		l.Date.UTC().Format(time.DateOnly), aircraft, l.From, l.To, given(l.OffBlocks, say.ColumnMinute), given(l.Airborne, say.ColumnMinute), given(l.Landed, say.ColumnMinute), given(l.OnBlocks, say.ColumnMinute),
		given(l.BlockMinutes, say.LogbookSpan), given(l.AirborneMinutes, say.LogbookSpan), given(l.NightMinutes, say.LogbookSpan), strconv.Itoa(l.Landings), used,
	}
}

// given is a figure that was logged, nothing where it was not.
func given[T any](value *T, known func(T) string) string {
	if value == nil {
		return ""
	}
	return known(*value)
}

// written is a span rounded as the logbook writes it, 0 for none.
func written(minutes *float64) float64 {
	if minutes == nil {
		return 0
	}
	return math.Round(*minutes)
}
