package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/terminal"
)

func TestTheClockIsRecordedAndFollowed(t *testing.T) {
	r := airborne(t, nil)
	r.keys("+")
	require.Equal(t, 2.0, *r.last().Rate)
	r.pass(time.Minute)
	require.Equal(t, day("08:33:00"), r.clock.Now())
	r.keys("0")
	require.True(t, *r.last().Paused)
	r.shows("PAUSED")
	r.keys("0---")
	require.Equal(t, 0.5, *r.last().Rate)
	recorded := len(r.recorded)
	r.keys("-")
	require.Len(t, r.recorded, recorded)
	r.shows("no further that way")
	r.keys("c09:00<enter>")
	require.Equal(t, day("09:00:00"), *r.last().Set)
	require.Equal(t, day("09:00:00"), r.clock.Now())
}

// An idle screen costs nothing: no Snapshot, no frame, as long as the same second stands.
func TestATickWithoutANewSecondDoesNothing(t *testing.T) {
	r := airborne(t, nil)
	r.keys("0")
	looks := r.flight.looks
	for range 10 {
		require.Equal(t, terminal.Effect{}, r.pass(time.Second))
	}
	require.Equal(t, looks, r.flight.looks)
	r.keys("0")
	require.True(t, r.pass(time.Second).Redraw)
	require.Equal(t, terminal.Effect{}, r.pass(0))
}

func TestTheBellRingsOnceForWhatBecomesDue(t *testing.T) {
	r := newRig(t, "08:24:00", nil)
	rung := 0
	for range 90 {
		if r.pass(time.Second).Ring {
			rung++
		}
	}
	require.Equal(t, 1, rung, "off blocks is due at 08:25")
	r.keys("m")
	r.shows("the bell is off")
	for range 3600 {
		require.False(t, r.pass(time.Second).Ring)
	}
}

// moving is a machine's clock that is moved.
type moving struct {
	by, asleep time.Duration
	reads      time.Time
}

func (m *moving) Slept() time.Duration {
	asleep := m.asleep
	m.asleep = 0
	return asleep
}

func (m *moving) Moved() time.Duration {
	by := m.by
	m.by = 0
	return by
}

func (m *moving) Machine() time.Time { return m.reads }

func TestAStepOfTheMachinesClockIsAskedOnceAndTheFlightsTimeKept(t *testing.T) {
	machine := &moving{}
	r := airborne(t, func(o *tui.Options, r *rig) { o.Mode = tui.Live(r, machine) })
	before := r.clock.Now()
	machine.by, machine.reads = time.Hour, before.Add(time.Hour)
	r.Update(terminal.Tick{At: r.hand.Wall()})
	r.shows("the machine's clock moved ahead by 1 h 00: n keeps the flight's time. Take the machine's?")
	require.Equal(t, before, r.clock.Now())
	require.Equal(t, machine.reads, *r.last().Machine)
	recorded := len(r.recorded)
	r.keys("n")
	r.pass(time.Second)
	r.Update(terminal.Tick{At: r.hand.Wall()})
	require.NotContains(t, r.screen(), "Take the machine's?")
	require.Len(t, r.recorded, recorded)

	machine.by = -30 * time.Minute
	r.Update(terminal.Tick{At: r.hand.Wall()})
	r.keys("y")
	require.Equal(t, before.Add(time.Second-30*time.Minute), r.clock.Now())
}

func TestASleepOfTheMachineIsAskedOnceAndTheFlightsTimeKept(t *testing.T) {
	machine := &moving{}
	r := airborne(t, func(o *tui.Options, r *rig) { o.Mode = tui.Live(r, machine) })
	before := r.clock.Now()
	r.hand.Move(10 * time.Minute)
	machine.asleep = 10 * time.Minute
	r.Update(terminal.Tick{At: r.hand.Wall()})
	r.shows("the machine slept for 10:00: n keeps the flight's time, which went on. Did the simulator sleep too?")
	require.Equal(t, before.Add(10*time.Minute), r.clock.Now())
	require.Equal(t, flight.NoteText, r.last().Act)
	require.Equal(t, "program", r.last().By)
	recorded := len(r.recorded)
	r.keys("n")
	r.pass(time.Second)
	require.NotContains(t, r.screen(), "slept for 10:00: n keeps")
	require.Len(t, r.recorded, recorded)

	machine.asleep = 4 * time.Minute
	r.Update(terminal.Tick{At: r.hand.Wall()})
	r.keys("y")
	require.Equal(t, before.Add(6*time.Minute+time.Second), r.clock.Now())
}

func TestAfterASuspensionItSaysWhatIsDue(t *testing.T) {
	r := airborne(t, nil)
	r.hand.Move(10 * time.Minute)
	r.Update(terminal.Resumed{At: r.hand.Wall(), Away: 10 * time.Minute})
	r.shows("the flight went on for 10:00; ")
	r.shows(" due now")
}
