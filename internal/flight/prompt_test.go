package flight_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
)

// open are the prompts of a Snapshot that are not answered, by id.
func open(s flight.Snapshot) map[string]flight.Prompt {
	list := map[string]flight.Prompt{}
	for _, prompt := range s.Prompts {
		if prompt.Answered == nil {
			list[prompt.ID] = prompt
		}
	}
	return list
}

// A prompt's due time never moves into the past of the moment at which that is learnt: what was to come is due then at the earliest, what
// was due already stays so.
func TestNoPromptBecomesDueInThePast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state := flight.New(lochs(), "live")
		latest := events[0].T
		for _, e := range events {
			before := open(state.At(e.T))
			require.NoError(t, state.Apply(e))
			if e.T.Before(latest) || e.Act == flight.Void || e.Act == flight.Amend || e.Act == flight.Clock {
				continue // the flight is folded anew, as if it had been known all along
			}
			latest = e.T
			for id, prompt := range open(state.At(e.T)) {
				was, known := before[id]
				if !known || was.Snoozed || was.Kind == flight.PromptTurn { // whose due time is an ETA
					continue
				}
				earliest := e.T
				if was.Due.Before(earliest) {
					earliest = was.Due
				}
				require.False(t, prompt.Due.Before(earliest.Add(-time.Second)), "%s was due %s and after %s at %s is due %s", id, was.Due, e.Act, e.T, prompt.Due)
			}
		}
	})
}

// Nothing is asked for before its phase, however late the flight is.
func TestNothingOfTheAirIsAskedForOnTheGround(t *testing.T) {
	s := lochs()
	rapid.Check(t, func(t *rapid.T) {
		state := flight.New(s, "live")
		at := s.Plan.OffBlocks
		n := 0
		for _, do := range rapid.Permutation([]flight.Act{flight.OffBlocks, flight.Altimeter, flight.TankChange, flight.Tuned, flight.WindReported}).Draw(t, "acts") {
			at = at.Add(time.Duration(rapid.IntRange(0, 90*60).Draw(t, "seconds")) * time.Second)
			n++
			e := flight.Event{N: n, T: at, Rec: at, Act: do, Tank: "left", Receiver: "NAV1", Beacon: "GRN", QNH: ref(1003.0), WindFrom: ref(250.0), WindSpeed: ref(30.0)}
			require.NoError(t, state.Apply(e))
			for id, prompt := range open(state.At(at.Add(time.Minute))) {
				switch prompt.Kind {
				case flight.PromptCheck, flight.PromptGyro, flight.PromptQNH, flight.PromptReport, flight.PromptDescent, flight.PromptTurn, flight.PromptLevel:
					require.Equal(t, flight.Coming, prompt.State, id)
				}
			}
		}
	})
}
