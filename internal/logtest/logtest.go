// Package logtest writes journals of whole flights, for tests: plans flown by the practice flight's own hands through the wind of a seed.
package logtest

import (
	"errors"
	"fmt"
	"time"

	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// Demo is the embedded plan.
func Demo() (*plan.Plan, error) {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	if p == nil {
		return nil, fmt.Errorf("the demo plan does not hold: %v", problems)
	}
	return p, nil
}

// Write flies a plan and writes its journal. The file must not be there.
func Write(path string, p *plan.Plan, seed uint64) (err error) {
	s, problems := sheet.Compute(p)
	if s == nil {
		return fmt.Errorf("the plan does not hold: %v", problems)
	}
	events, err := practice.Whole(s, seed)
	if err != nil {
		return err
	}
	header := journal.Header{Mode: "practice", Seed: &seed, Opened: p.OffBlocks}
	writer, err := journal.Create(path, header, p, func() time.Time { return p.OffBlocks })
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, writer.Close()) }()
	for _, event := range events {
		if _, err := writer.Append(event); err != nil {
			return err
		}
	}
	return nil
}
