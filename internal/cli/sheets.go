package cli

import (
	"fmt"
	"sync"

	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/sheet"
)

// sheetOf computes the sheet of a journal's plan.
func sheetOf(header journal.Header) (*sheet.Sheet, error) {
	if err := header.Plan.Sound(); err != nil {
		return nil, fmt.Errorf("the plan in the journal can't be flown: %w", err)
	}
	s, problems := sheet.Compute(header.Plan)
	if s == nil {
		return nil, fmt.Errorf("the plan in the journal is not complete: %v", problems)
	}
	return s, nil
}

// mostSheets is how many sheets are kept: a folder of logs has few plans, or too many to keep.
const mostSheets = 32

// sheets are computed once for the journals of one plan. They may be asked for from many goroutines at once.
type sheets struct {
	mutex sync.Mutex
	made  map[string]*sheet.Sheet // by the plan's checksum
}

// of is the sheet of a journal's plan.
func (k *sheets) of(header journal.Header) (*sheet.Sheet, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	if s, known := k.made[header.PlanSHA256]; known {
		return s, nil
	}
	s, err := sheetOf(header)
	if err != nil {
		return nil, err
	}
	if k.made == nil || len(k.made) >= mostSheets {
		k.made = map[string]*sheet.Sheet{}
	}
	k.made[header.PlanSHA256] = s
	return s, nil
}
