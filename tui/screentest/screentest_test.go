package screentest_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/screentest"
)

// What the screens are drawn from keeps the promises of the Snapshot that screens rely on.
func TestMomentsKeepThePromisesOfASnapshot(t *testing.T) {
	for _, moment := range screentest.Moments() {
		t.Run(moment.Name, func(t *testing.T) {
			s := moment.Snapshot
			_, err := json.Marshal(s)
			require.NoError(t, err)
			for i := 1; i < len(s.Leg.Marks); i++ {
				require.GreaterOrEqual(t, s.Leg.Marks[i].AfterNM, s.Leg.Marks[i-1].AfterNM, "marks by distance")
			}
			answered := false
			for i, p := range s.Prompts {
				done := p.State == flight.PromptDone || p.State == flight.PromptSkipped
				require.False(t, answered && !done, "open prompts come first")
				if i > 0 && !done {
					require.False(t, p.Due.Before(s.Prompts[i-1].Due), "open prompts soonest first: %s", p.ID)
				}
				answered = done
			}
		})
	}
}
