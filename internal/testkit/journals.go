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
