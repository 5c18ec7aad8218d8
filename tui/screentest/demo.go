package screentest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
	"example.com/legclock/tui/entry"
)

// flown is a flight of the demo plan, as it is typed; the time of a free text stands before it.
const flown = `
off-blocks 08:25:10
08:26:00 atis D 250/12 9999 QNH 1016 runway 27
08:26:40 cleared VFR to Larkmere not above 3500 ft, report Larkmere
squawk 4271 08:26:40
08:26:50 contact Larkmere Information 124.750
-- written-down 08:27:10
airborne 08:30:00
tuned DME LKM 08:30:12
tuned NAV1 LKM 08:30:14
identified DME LKM 08:30:30
done "check-pump and landing light off" 08:31:37
-- climb 08:33:05
identified NAV1 LKM 08:33:20
passing JNC 0.4 right 08:34:28
level 08:35:44
passing DAM 08:38:09
tuned ADF FNW 08:38:46
identified ADF FNW 08:38:58
-- before-turn 08:39:30
-- turn-late 08:43:24
passing LKM 08:41:23
steer 131 08:41:50
-- cruise 08:43:20
done "check-area QNH" 08:43:35
done report-LKM 08:44:10
tuned NAV1 LKM 08:44:20
passing viaduct 08:45:20
qnh 1015 08:46:00
passing CHM 0.8 left 08:49:17
-- tank-late 08:50:55
tank left 08:51:10
gauges left 41 right 36 08:51:40
passing FNW 08:53:03
passing LNG 09:00:28
passing TRH24 09:08:10
passing quarry 09:14:14
tank right 09:16:12
passing BRG 09:22:04
passing TRH 09:29:00
passing MST 09:35:06
descend 09:37:52
passing PLM 09:44:38
landed 09:49:38
on-blocks 09:53:38
-- arrived 09:54:10
`

// Demo is the moments in a flight of the demo plan, reckoned by the program itself.
func Demo(t *testing.T) []Moment {
	t.Helper()
	moments, _ := fly(t, flown)
	return moments
}

// DemoCruise is the same flight in cruise after 08:46:00, when the QNH of the broadcast was set, with nothing to be done for some minutes.
func DemoCruise(t testing.TB) *flight.State {
	t.Helper()
	before, _, found := strings.Cut(flown, "qnh 1015 08:46:00\n")
	require.True(t, found)
	_, state := fly(t, before+"qnh 1016 08:46:00\n")
	return state
}

// fly types a flight of the demo plan, and has its moments and what it comes to.
func fly(t testing.TB, flown string) ([]Moment, *flight.State) {
	t.Helper()
	state := DemoFlight(t)
	at := func(clock string) time.Time { return Clock(clock).AddDate(0, 0, 6) } // the day of the demo plan
	moments := []Moment{{"before-start", state.At(at("08:21:00"))}}
	n := 1
	for line := range strings.Lines(strings.TrimSpace(flown)) {
		line = strings.TrimSpace(line)
		if mark, ok := strings.CutPrefix(line, "-- "); ok {
			name, clock, _ := strings.Cut(mark, " ")
			moments = append(moments, Moment{name, state.At(at(clock))})
			continue
		}
		last := moments[len(moments)-1].Snapshot
		last.At = at("09:00:00")
		first, text, _ := strings.Cut(line, " ")
		if strings.Contains(first, ":") {
			line = text
		}
		event, err := entry.Parse(line, last)
		require.NoError(t, err, line)
		if line == text {
			event.T = at(first)
		}
		n++
		event.N, event.Rec = n, event.T
		require.NoError(t, state.Apply(event), line)
	}
	return moments, state
}

// DemoFlight is a flight of the demo plan in which nothing has been recorded but the clock.
func DemoFlight(t testing.TB) *flight.State {
	t.Helper()
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.NotNil(t, p, fmt.Sprint(problems))
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, fmt.Sprint(problems))
	state := flight.New(s, flight.Live)
	start := p.OffBlocks.Add(-5 * time.Minute)
	require.NoError(t, state.Apply(flight.Event{N: 1, T: start, Rec: start, Act: flight.Clock, Rate: new(1.0), Set: &start}))
	return state
}
