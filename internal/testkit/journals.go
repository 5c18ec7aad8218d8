// Package testkit is what tests of several packages share: journals of whole flights, and a program run in a real pseudo-terminal
// with what its screen shows.
//
// The journals are of plans flown by the practice flight's own hands through the wind of a seed. The terminal understands the part of
// ECMA-48 that full-screen programs of this project write: text, cursor placement, erasing, and skips the rest. It waits for what should
// be seen and never for a time.
package testkit

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// DemoPlan is the embedded plan.
func DemoPlan() (*plan.Plan, error) {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	if p == nil {
		return nil, fmt.Errorf("the demo plan does not hold: %v", problems)
	}
	return p, nil
}

// WriteJournal flies a plan and writes its journal. The file must not be there.
func WriteJournal(path string, p *plan.Plan, seed uint64) error {
	s, problems := sheet.Compute(p)
	if s == nil {
		return fmt.Errorf("the plan does not hold: %v", problems)
	}
	events, err := practice.Whole(s, seed)
	if err != nil {
		return err
	}
	return write(path, p, seed, events)
}

// WriteJournalByHand writes the journal of a pilot who flies the demo through the wind of seed 7, past its second point: of three questions the first is
// answered right, the second wrong and the third not at all.
func WriteJournalByHand(path string, p *plan.Plan) error {
	start := p.OffBlocks
	at := func(minutes float64) time.Time { return start.Add(time.Duration(minutes * float64(time.Minute))) }
	return write(path, p, 7, []flight.Event{
		{T: at(0), Act: flight.Clock, Set: &start, Rate: new(1.0)},
		{T: at(0), Act: flight.Hands, Hands: "on"},
		{T: at(0), Act: flight.OffBlocks},
		{T: at(5), Act: flight.Airborne},
		{T: at(5.5), Act: flight.Steering, Heading: new(55.0)},
		{T: at(9.7), Act: flight.Passing, Point: "JNC"},
		{T: at(13.3), Act: flight.Passing, Point: "DAM", OffTrack: new(0.7)},
		{T: at(13.8), Act: flight.Answered, Prompt: "turn-7", Text: "9 left"},
		{T: at(16.7), Act: flight.Passing, Point: "LKM"},
		{T: at(17), Act: flight.Steering, Heading: new(122.0)},
		{T: at(18), Act: flight.Answered, Prompt: "groundspeed-9", Text: "12"},
		{T: at(19), Act: flight.Controls, Altitude: new(3000.0)},
		{T: at(24), Act: flight.TankChange, Tank: "left"},
		{T: at(30), Act: flight.Passing, Point: "FNW"},
		{T: at(31), Act: flight.NoteText, Text: "lost"},
	})
}

// threeHours is the demo with its round of beacons flown twice, and out to the first once more: some three hours from blocks to blocks.
func threeHours() (*plan.Plan, error) {
	p, err := DemoPlan()
	if err != nil {
		return nil, err
	}
	out, round, home := p.Route.Legs[0], p.Route.Legs[1:4], p.Route.Legs[4]
	back, direct := out, round[2]
	back.Checkpoints, back.Radio = nil, out.Radio[:1]
	direct.Checkpoints, direct.Radio = nil, direct.Radio[:1]
	legs := slices.Concat([]plan.Leg{out}, round, []plan.Leg{back}, round, []plan.Leg{back, direct, home})
	p.Title, p.Route.Legs = "Two rounds of the four beacons", legs
	for i := range p.Aircraft.Fuel.Tanks {
		p.Aircraft.Fuel.Tanks[i].Capacity = 80
	}
	p.Fuel.OnBoard = map[string]float64{"left": 74, "right": 78}
	return p, nil
}

// WriteLogs fills a folder with logs of three hours: flights through the winds of some seeds, each many times over.
func WriteLogs(folder string, count, seeds int) error {
	path := func(i int) string { return filepath.Join(folder, fmt.Sprintf("flight-%04d.jsonl", i)) }
	for i := range count {
		if i < seeds {
			p, err := threeHours()
			if err != nil {
				return err
			}
			if err := WriteJournal(path(i), p, uint64(i)); err != nil {
				return err
			}
			continue
		}
		data, err := os.ReadFile(path(i % seeds))
		if err != nil {
			return err
		}
		if err := os.WriteFile(path(i), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// WriteLongJournal writes the journal of the demo flown with a feed, whose positions lie as close together as so many entries in all take.
func WriteLongJournal(path string, entries int) error {
	p, err := DemoPlan()
	if err != nil {
		return err
	}
	s, problems := sheet.Compute(p)
	if s == nil {
		return fmt.Errorf("the plan does not hold: %v", problems)
	}
	flown, err := practice.Whole(s, 7)
	if err != nil {
		return err
	}
	began, ended := flown[0].T, flown[len(flown)-1].T
	every := ended.Sub(began) / time.Duration(entries-len(flown)+1)
	var events []flight.Event
	numbers := map[int]int{} // in the long journal, by those in the short
	next := began.Add(every)
	for _, e := range flown {
		for ; next.Before(e.T); next = next.Add(every) {
			point := s.Trajectory.At(next.Sub(s.Airborne).Minutes())
			at := s.Route.PositionAt(point.Leg, point.AfterNM)
			events = append(events, flight.Event{Act: flight.Position, By: "feed", T: next, At: &at})
		}
		number := e.N
		e.Event, e.N = numbers[e.Event], 0
		events = append(events, e)
		numbers[number] = len(events)
	}
	return write(path, p, 7, events)
}

// write records events, each at its own time by a machine whose clock is the flight's.
func write(path string, p *plan.Plan, seed uint64, events []flight.Event) (err error) {
	wall := p.OffBlocks
	header := journal.Header{Mode: flight.Practice, Seed: &seed, Opened: p.OffBlocks, Pilot: p.Pilot, Instructor: p.Instructor}
	writer, err := journal.Create(path, header, p, func() time.Time { return wall })
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, writer.Close()) }()
	for _, event := range events {
		wall = event.T
		if _, err := writer.Append(event); err != nil {
			return err
		}
	}
	return nil
}
