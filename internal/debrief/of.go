package debrief

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/say"
)

// Of debriefs a log in full. The error is of events that can't be part of one journal.
func Of(log Log) (*Flight, error) { return of(log, time.Minute) }

// Brief debriefs a log without what only a whole report shows: the tracks, what each entry made of the ETA at the destination, the headings, the
// passings and winds as they were flown, and how far off its legs the aircraft was where no lesson tells of it. Its lessons and its Row are those of the
// whole debrief.
func Brief(log Log) (*Flight, error) { return of(log, 0) }

// of debriefs a log; what is drawn is sampled at an interval, at none when it is 0.
func of(log Log, interval time.Duration) (*Flight, error) {
	looks := &looks{}
	k := &known{interval: interval, looks: looks, departure: log.Sheet.Route.Legs[0].From.Ident}
	s := &standing{looks: looks, legs: map[int]legSeen{}, beside: map[int]*float64{}, late: map[string]flight.Prompt{}}
	var visitor replay.Visitor = k
	records, err := log.records()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", log.Name, err)
	}
	k.records = records
	s.expect(records)
	once := flight.InOrder(records) // then one fold tells both what was known and what stands
	if once {
		visitor = both{k, s}
	}
	final, err := log.play(replay.Known, records, visitor)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", log.Name, err)
	}
	entries := flight.Standing(records)
	if !once {
		again, _ := replay.Renumbered(entries)
		if _, err := log.play(replay.Hindsight, again, s); err != nil {
			return nil, fmt.Errorf("%s: %w", log.Name, err)
		}
	}
	m := making{log: log, known: k, standing: s, entries: entries, records: records, final: final, end: replay.Latest(records, log.Sheet.Plan.OffBlocks)}
	m.last = final.Look(m.end)
	m.route = m.last.Route()
	m.way, m.by = m.samples()
	return m.flight(), nil
}

// records are the log's entries.
func (l Log) records() ([]flight.Record, error) {
	if l.Tape != nil {
		return l.Tape.Records(), nil
	}
	return flight.Records(l.Events)
}

// play shows a visitor the log, on its tape where it has one.
func (l Log) play(view replay.View, records []flight.Record, visitor replay.Visitor) (*flight.State, error) {
	if l.Tape != nil {
		return l.Tape.Play(view, visitor), nil
	}
	if l.Start == nil {
		l.Start = flight.New(l.Sheet, l.Mode)
	}
	return replay.Play(l.Start, records, visitor)
}

// both are two visitors of one fold.
type both struct{ one, other replay.Visitor }

func (b both) Before(state *flight.State, r flight.Record) {
	b.one.Before(state, r)
	b.other.Before(state, r)
}

func (b both) After(state *flight.State, r flight.Record) {
	b.one.After(state, r)
	b.other.After(state, r)
}

// looks keep the last look, for two visitors that look at the same moment.
type looks struct {
	state *flight.State
	after int // so many entries
	last  flight.Look
}

// at is a look at the flight at a moment, after so many entries.
func (l *looks) at(state *flight.State, after int, t time.Time) flight.Look {
	if l.state != state || l.after != after || !l.last.At.Equal(t) {
		*l = looks{state, after, state.Look(t)}
	}
	return l.last
}

// making is what the figures of one flight are made from.
type making struct {
	log      Log
	known    *known
	standing *standing
	records  []flight.Record // as they were made
	entries  []flight.Record // those that stand, as they happened
	final    *flight.State
	end      time.Time
	last     flight.Look         // at the end
	route    []flight.RoutePoint // as it was then
	way      []feed.Sample       // that was really flown, as far as something but the pilot's log tells
	by       string              // what tells it
}

// inFull reports whether there is to be a whole report, and not only what Brief has.
func (m making) inFull() bool { return m.known.interval != 0 }

func (m making) flight() *Flight {
	p := m.log.Sheet.Plan
	f := &Flight{
		Name: m.log.Name, Title: p.Title, Mode: m.log.Mode, Pilot: m.log.Pilot, Instructor: m.log.Instructor, Aircraft: p.Aircraft.Name, Registration: p.Aircraft.Registration,
		Legs: m.legs(), Holds: append([]flight.HoldFlown{}, m.last.Holds()...), Passings: m.passings(), Winds: m.winds(), Tanks: m.tanks(),
		Notes: append([]string{}, m.log.Notes...), Remarks: []RemarkMade{}, Practice: m.log.Hidden, Caution: say.Caution,
	}
	f.Totals = m.totals(f.Legs)
	f.ETA = sumUp(f.Passings)
	if m.inFull() {
		f.Track, f.Flown, f.Arrival = m.track(), m.flown(f.Passings), m.arrival()
	}
	f.Discipline = m.discipline()
	f.Fuel = m.fuel()
	if f.byTrack() {
		f.leaveWhatNoTrackTells()
	}
	for _, remark := range m.log.Remarks {
		f.Remarks = append(f.Remarks, RemarkMade{At: remark.T, By: remark.By, Text: remark.Text})
	}
	f.Lessons = lessons(f)
	return f
}

// leaveWhatNoTrackTells takes out what the log of an imported track has nothing of: no tank was selected in it, no beacon tuned, no prompt
// answered, and its entries were made by no hand. What is left is times, legs, passings, headings made good, winds and ways.
func (f *Flight) leaveWhatNoTrackTells() {
	none := Discipline{Missed: f.Discipline.Missed, PassingsDue: f.Discipline.PassingsDue, PassingsLogged: f.Discipline.PassingsLogged}
	none.Gaps, none.Beacons, none.Prompts, none.Checks = []Gap{}, []Beacon{}, []PromptMade{}, []Check{}
	f.Discipline = none
	f.Tanks = Tanks{Unit: f.Tanks.Unit, Names: f.Tanks.Names, Planned: f.Tanks.Planned, Made: []TankChange{}, Gauges: []Gauge{}, Series: []TankPoint{}}
	f.Fuel = Fuel{
		Unit: f.Fuel.Unit, Block: f.Fuel.Block, PlannedBurn: f.Fuel.PlannedBurn, PlannedArrival: f.Fuel.PlannedArrival,
		Reserve: f.Fuel.Reserve, ReserveMinutes: f.Fuel.ReserveMinutes, ReserveRule: f.Fuel.ReserveRule, MinimumBlock: f.Fuel.MinimumBlock,
	}
}

// first is the time of the first standing entry of a kind; nil when there is none.
func (m making) first(do flight.Act) *time.Time {
	for _, r := range m.entries {
		if r.Act == do {
			return &r.T
		}
	}
	return nil
}

func milestone(planned, actual *time.Time) Milestone {
	m := Milestone{Planned: planned, Actual: actual}
	if planned != nil && actual != nil {
		m.DifferenceSeconds = ref(say.Apart(*planned, *actual).Seconds())
	}
	return m
}

func (m making) totals(legs []Leg) Totals {
	s := m.log.Sheet
	t := Totals{
		OffBlocks: milestone(&s.Plan.OffBlocks, m.first(flight.OffBlocks)),
		Airborne:  milestone(&s.Airborne, m.first(flight.Airborne)),
		Landed:    milestone(nil, m.first(flight.Landed)),
		OnBlocks:  milestone(nil, m.first(flight.OnBlocks)),
		Entries:   len(m.records),
	}
	destination := m.destination()
	t.Destination, t.Diverted = destination.Point, destination.Leg >= len(s.Legs)
	t.Overhead = milestone(optional(destination.Planned), destination.Actual)
	t.DistanceNM = m.distanceFlown(legs)
	if t.Overhead.Planned != nil {
		t.PlannedMinutes = ref(t.Overhead.Planned.Sub(s.Airborne).Minutes())
	}
	t.ActualMinutes = minutesBetween(t.Airborne.Actual, t.Overhead.Actual)
	t.AirborneMinutes = minutesBetween(t.Airborne.Actual, t.Landed.Actual)
	t.Complete = t.Landed.Actual != nil || t.OnBlocks.Actual != nil
	return t
}

// distanceFlown is that of the legs that were flown: by the log, also where the end of one was never logged.
func (m making) distanceFlown(legs []Leg) (distanceNM float64) {
	last := m.route[m.lastDue()]
	for _, leg := range legs {
		switch {
		case leg.LeftAfterNM != nil:
			distanceNM += *leg.LeftAfterNM
		case !leg.LeftOut && (leg.Index < last.Leg || leg.Index == last.Leg && !last.Checkpoint):
			distanceNM += leg.DistanceNM
		}
	}
	return distanceNM
}

// destination is the last point of the way that was flown last.
func (m making) destination() flight.RoutePoint {
	last := m.route[0]
	for _, row := range m.route {
		if !row.Checkpoint && !row.Diverted {
			last = row
		}
	}
	return last
}

// minutesBetween is the time from one moment to another; nil when one is not known or they are in the wrong order.
func minutesBetween(from, to *time.Time) *float64 {
	if from == nil || to == nil || to.Before(*from) {
		return nil
	}
	return ref(say.Apart(*from, *to).Minutes())
}

// optional is a time, nil when it is not known.
func optional(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

func ref[T any](value T) *T { return &value }

// finite is a number that can be printed; nil for what is none.
func finite(value float64) *float64 {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return nil
	}
	return &value
}
