package flighttest

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// SheetsIn loads plans from a folder.
func SheetsIn(folder string) LoadSheet {
	return func(name string) (*sheet.Sheet, error) { return Sheet(filepath.Join(folder, name), os.ReadFile) }
}

// Sheet loads a plan and computes its nav log. The error has every problem that makes it impossible.
func Sheet(name string, read plan.ReadFile) (*sheet.Sheet, error) {
	p, problems := plan.Load(name, read)
	if p == nil {
		return nil, said(problems)
	}
	s, problems := sheet.Compute(p)
	if s == nil {
		return nil, said(problems)
	}
	return s, nil
}

func said(problems []plan.Problem) error {
	var all []error
	for _, problem := range problems {
		if problem.Severity == plan.Error {
			all = append(all, errors.New(problem.String()))
		}
	}
	return fmt.Errorf("the plan can't be flown: %w", errors.Join(all...))
}
