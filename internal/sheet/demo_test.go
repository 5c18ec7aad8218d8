package sheet_test

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// demoWith is the demo plan as it is read, with one text of its file replaced.
func demoWith(t *testing.T, old, instead string) *plan.Plan {
	t.Helper()
	p, problems := plan.Load(plans.DemoFile, func(name string) ([]byte, error) {
		content, err := fs.ReadFile(plans.FS, name)
		if name == plans.DemoFile && old != "" {
			require.Contains(t, string(content), old)
			content = []byte(strings.Replace(string(content), old, instead, 1))
		}
		return content, err
	})
	require.NotNil(t, p, "%v", problems)
	return p
}

// TestDemo: the demo plan holds.
func TestDemo(t *testing.T) {
	s := computed(t, demoWith(t, "", ""))
	for _, problem := range s.Problems {
		assert.Equal(t, plan.Note, problem.Severity, problem.String())
	}
	assert.Len(t, s.Legs, len(s.Plan.Route.Legs))
	assert.NotEmpty(t, s.Tanks.Changes)
	wellFormed(t, written(t, s, "html"))
}

// TestProblemsArePlaced: what the sheet finds wrong with a plan stands where the plan's file says it.
func TestProblemsArePlaced(t *testing.T) {
	for old, c := range map[string]struct{ instead, path, file string }{
		"on_board: {left: 43, right: 46}":                                {"on_board: {left: 8, right: 12}", "fuel.on_board", plans.DemoFile},
		"elevation: 330, declination: 5.5, range: 60}":                   {"elevation: 330, declination: 5.5, range: 9}", "route.legs[0].radio[0]", plans.DemoFile},
		`off_blocks: "08:25"`:                                            {`off_blocks: "19:25"`, "off_blocks", plans.DemoFile},
		"frequency: 114.35, elevation: 330, declination: 5.5, range: 60": {"frequency: 114.35, elevation: 330, range: 60", "points[LKM]", plans.DemoFile},
	} {
		p := demoWith(t, old, c.instead)
		_, problems := sheet.Compute(p)
		problem := findProblem(problems, c.path)
		require.NotNil(t, problem, "%s: %v", c.path, problems)
		file, line, column := p.Locate(c.path)
		assert.Equal(t, c.file, problem.File)
		assert.Equal(t, file, problem.File)
		assert.Positive(t, problem.Line)
		assert.Equal(t, []int{line, column}, []int{problem.Line, problem.Column})
		assert.NotEmpty(t, problem.Excerpt)
	}
}
