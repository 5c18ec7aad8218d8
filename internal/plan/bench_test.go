package plan_test

import (
	"testing"

	"example.com/legclock/internal/plan"
	"example.com/legclock/plans"
)

// BenchmarkLoad reads the demo's plan and its aircraft.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile); p == nil {
			b.Fatal(problems)
		}
	}
}
