package plan_test

import (
	"fmt"
	"os"
	"testing"

	"example.com/legclock/internal/plan"
	"example.com/legclock/plans"
)

// All problems of a plan come in one run, each with its line, what is wrong and what would be right.
func ExampleLoad() {
	files := map[string]string{
		"trip.yaml": `plan: 1
date: 2026-06-14
off_blocks: 0910
aircraft: {receivers: [NAV1]}
conditions: {qnh: 30.09, wind: []}
`,
	}
	read := func(name string) ([]byte, error) {
		if content, ok := files[name]; ok {
			return []byte(content), nil
		}
		return nil, os.ErrNotExist
	}
	_, problems := plan.Load("trip.yaml", read)
	for _, problem := range problems {
		if problem.Line == 3 || problem.Path == "conditions.wind" {
			fmt.Println(problem)
			fmt.Println(problem.Excerpt)
		}
	}
	// Output:
	// trip.yaml:3:13: error: off_blocks: "0910" is not a time (write "09:10")
	//      3 | off_blocks: 0910
	//        |             ^
	// trip.yaml:5:26: error: conditions.wind: the key "wind" is not known here (did you mean "winds"?)
	//      5 | conditions: {qnh: 30.09, wind: []}
	//        |                          ^
}

// BenchmarkLoad reads the demo's plan and its aircraft.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile); p == nil {
			b.Fatal(problems)
		}
	}
}
