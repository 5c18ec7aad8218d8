package sheet

import (
	"io"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// Burns is the fuel flow along a trajectory, with the times at which a tank change may be planned.
func (r *Route) Burns(t Trajectory) []fuel.Burn { return nil }

// Compute makes the nav log of a plan. The sheet is nil only when errors make it impossible.
func Compute(p *plan.Plan) (*Sheet, []plan.Problem) { return nil, nil }

// Write prints the sheet: text, markdown, html, csv or json.
func (s *Sheet) Write(w io.Writer, format string) error { return nil }
