package practice

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
)

// goOn lets the program record what it would, looking every few seconds, and returns that.
func (r *rig) goOn(from, until float64) []flight.Event {
	const every = 20.0 / 60
	var recorded []flight.Event
	for minute := from; minute < until; minute += every {
		now := r.at(minute)
		for e, ok := r.NextEvent(r.At(now), now); ok; e, ok = r.NextEvent(r.At(now), now) {
			r.count++
			e.N, e.Rec, e.Confirmed = r.count, now, true
			require.NoError(r.t, r.Check(e), "%v", flight.Describe(e))
			require.NoError(r.t, r.Apply(e))
			if recorded = append(recorded, e); e.Act == flight.OnBlocks {
				return recorded
			}
		}
	}
	return recorded
}

// handedOver is a flight of which the pilot has flown so many minutes, and logged passings and tanks alone, before the program takes over.
func handedOver(t require.TestingT, seed uint64, minute float64) (n *navigator, ok bool) {
	s := demoSheet(t)
	n = &navigator{rig: &rig{Flight: NewFlight(s, Hidden{Seed: seed}), t: t, start: s.Plan.OffBlocks}}
	n.does(0, flight.Event{Act: flight.Clock, Set: &n.start, Rate: new(1.0)})
	n.does(0, flight.Event{Act: flight.Hands, Hands: "on"})
	for _, step := range []struct {
		at float64
		do flight.Act
	}{{2, flight.OffBlocks}, {5, flight.Airborne}} {
		if step.at < minute {
			n.does(step.at, flight.Event{Act: step.do})
		}
	}
	n.fly(minute)
	off := flight.Event{Act: flight.Hands, Hands: "off", T: n.at(minute)}
	if !n.world.landed.IsZero() || n.Check(off) != nil {
		return n, false
	}
	n.does(minute, off)
	return n, true
}

// Whenever the program takes over, it logs nothing of the time before, and answers what it finds open when it has come to it.
func TestTheProgramLogsNothingOfTheTimeBeforeItTookOver(t *testing.T) {
	answered := func(t require.TestingT, seed uint64, minute float64) (count int, ok bool) {
		n, ok := handedOver(t, seed, minute)
		if !ok {
			return 0, false
		}
		tookOver := n.at(minute)
		open := map[string]bool{}
		for _, p := range n.At(tookOver).Prompts {
			open[p.ID] = answerable(p.Kind) && (p.State == flight.Due || p.State == flight.Late)
		}
		for _, e := range n.goOn(minute, minute+30) {
			require.False(t, e.T.Before(tookOver), "%s at %s, %s before", flight.Describe(e), e.T, tookOver.Sub(e.T))
		}
		for _, p := range n.At(n.at(minute + 30)).Prompts {
			if open[p.ID] && p.Answered != nil {
				count++
				require.False(t, p.Answered.Before(tookOver.Add(reaction)), "%s at %s", p.Text, p.Answered)
			}
		}
		return count, true
	}
	rapid.Check(t, func(t *rapid.T) {
		if _, ok := answered(t, rapid.Uint64().Draw(t, "seed"), rapid.Float64Range(0.2, 85).Draw(t, "minute")); !ok {
			t.Skip("the program can't fly on from there")
		}
	})
	count, _ := answered(t, 7, 30)
	assert.NotZero(t, count, "the beacons that a pilot who logs passings alone has not tuned")
}

// Taking the hands back is a hand-over too: what has been due meanwhile is answered when the program has the log again.
func TestWhatTheProgramFindsWhenTheHandsAreTakenBack(t *testing.T) {
	r, _ := watched(t, Hidden{Seed: 7}, 12)
	r.does(12, flight.Event{Act: flight.Hands, Hands: "on"})
	on := r.count
	var open []flight.Prompt
	for _, p := range r.At(r.at(27)).Prompts {
		if answerable(p.Kind) && p.State == flight.Late {
			open = append(open, p)
		}
	}
	require.NotEmpty(t, open)
	r.does(27, flight.Event{Act: flight.Void, Event: on})
	r.goOn(27, 40)
	for _, was := range open {
		for _, p := range r.At(r.at(40)).Prompts {
			if p.ID == was.ID && p.Answered != nil {
				assert.False(t, p.Answered.Before(r.at(27)), "%s at %s", p.Text, p.Answered)
			}
		}
	}
}
