package tanks_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/tanks"
)

var start = time.Date(2026, 5, 15, 10, 0, 0, 0, time.UTC)

// twoTanks is a plan with so much in each wing, which may differ by 5 and has to be changed every half hour.
func twoTanks(each float64) *plan.Plan {
	limit, every := 5.0, 30.0
	return &plan.Plan{
		OffBlocks: start,
		Aircraft: plan.Aircraft{Fuel: plan.FuelSystem{
			Unit: "usgal", MaxImbalance: &limit, ChangeEveryMinutes: &every,
			Tanks: []plan.Tank{{Name: "left", Capacity: 25}, {Name: "right", Capacity: 25}},
		}},
		Fuel: plan.Fuel{OnBoard: map[string]float64{"left": each, "right": each}, StartOn: "left"},
	}
}

// even is an engine that uses so much an hour.
func even(flowPerHour float64) tanks.Burn {
	return func(from, to time.Time) float64 { return flowPerHour * to.Sub(from).Hours() }
}

func minute(m float64) time.Time { return start.Add(time.Duration(m * float64(time.Minute))) }

// What is in the tanks and what was burned is what was filled, whatever was selected and whenever it was looked at: conservation of mass.
func TestNothingIsGainedOrLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const filled = 24.0
		flow := rapid.Float64Range(1, 12).Draw(t, "flow")
		k := tanks.New(twoTanks(filled), 4)
		k.StartEngine(start)
		fed, selected, m := [2]float64{}, 0, 0.0
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			span := rapid.Float64Range(0, 8).Draw(t, "minutes")
			m += span
			fed[selected] += flow * span / 60
			k.BurnUntil(minute(m), even(flow))
			selected = rapid.IntRange(0, 1).Draw(t, "tank")
			k.Select(selected, minute(m))
		}
		left := k.QuantitiesAt(minute(m), even(flow))
		for i := range left {
			require.InDelta(t, filled-fed[i], left[i], 1e-6)
		}
		require.InDelta(t, left[0]+left[1], k.Usable(left), 1e-9)
		require.InDelta(t, math.Abs(fed[0]-fed[1]), k.Imbalance(left), 1e-6)
	})
}

// A copy goes its own way.
func TestACopyIsAValue(t *testing.T) {
	k := tanks.New(twoTanks(24), 4)
	k.StartEngine(start)
	k.BurnUntil(minute(20), even(9))
	k.Read(minute(20), map[string]float64{"left": 15, "right": 24}, 9)
	k.Plan(minute(20), []fuel.Burn{{Minutes: 100, FlowPerHour: 9, ChangeAllowed: true, Phase: "cruise"}}, even(9))
	all := func(k tanks.Tanks) string {
		left := k.QuantitiesAt(minute(30), even(9))
		return fmt.Sprint(left, k.Selected(), k.Since(), k.Made(), k.History(), k.Readings(), k.Disagreement(), k.Changes(), k.LimitAt(), k.DryAt(),
			k.Problem(), k.Trends(9), k.CountedUsable(left), k.Ahead(minute(30), 0, even(9)))
	}
	before, other := all(k), k
	other.BurnUntil(minute(25), even(9))
	other.Select(1, minute(25))
	other.Read(minute(26), map[string]float64{"left": 10, "right": 20}, 9)
	other.TellFlow(12, 9)
	other.BurnUntil(minute(40), even(9))
	other.Plan(minute(40), []fuel.Burn{{Minutes: 60, FlowPerHour: 9, ChangeAllowed: true, Phase: "cruise"}}, even(9))
	require.Equal(t, before, all(k))
	require.NotEqual(t, before, all(other))
}

// From level tanks a limit of 5 at 8 an hour is reached after 5/8 h, 37.5 minutes, and 24 last 3 h: by the definition of a flow. A change
// is late at the earliest of these and the longest time on a tank with the patience after it.
func TestLimitsAreReachedByTheFlow(t *testing.T) {
	p := twoTanks(24)
	cruise := []fuel.Burn{{Minutes: 200, FlowPerHour: 8, ChangeAllowed: true, Phase: "cruise"}}
	k := tanks.New(p, 4)
	k.StartEngine(start)
	k.Plan(start, cruise, even(8))
	require.WithinDuration(t, minute(37.5), k.LimitAt(), time.Second)
	require.WithinDuration(t, minute(180), k.DryAt(), time.Second)
	require.WithinDuration(t, minute(35), k.LateAt(minute(30), 5*time.Minute), time.Second)
	require.WithinDuration(t, minute(36), k.LateAt(minute(36), 5*time.Minute), time.Second, "not before it is due")
	p.Aircraft.Fuel.ChangeEveryMinutes = nil
	require.WithinDuration(t, minute(37.5), k.LateAt(minute(30), 5*time.Minute), time.Second)
	k.PlanNothing(minute(1))
	require.Zero(t, k.LimitAt())
	require.WithinDuration(t, minute(35), k.LateAt(minute(30), 5*time.Minute), time.Second)
	require.Empty(t, k.Changes())
}

// Of a reading and the reckoning that differ by more than 8 % of a tank the lower counts; nearer than that the reckoning stays. That is
// the program's rule: common practice, no source.
func TestTheLowerFigureCounts(t *testing.T) {
	for _, c := range []struct{ read, left float64 }{{18, 18}, {19.9, 19.9}, {20.1, 22}, {23, 22}, {23.9, 22}, {24.1, 22}} {
		k := tanks.New(twoTanks(25), 4)
		k.StartEngine(start)
		k.BurnUntil(minute(30), even(6))
		k.Read(minute(30), map[string]float64{"left": c.read}, 6)
		require.InDelta(t, c.left, k.QuantitiesAt(minute(30), even(6))[0], 1e-9, c.read)
		require.Equal(t, math.Abs(c.read-22) > 2, k.Disagreement() != "", c.read)
		require.InDelta(t, c.read-22, k.Readings()[0].Read-k.Readings()[0].Reckoned, 1e-9)
	}
}

// Gauges that fall evenly by more than is reckoned show that much: on points of one line least squares are exact.
func TestGaugesShowTheBurn(t *testing.T) {
	const flow, excess = 8.0, 2.0
	k := tanks.New(twoTanks(24), 4)
	k.StartEngine(start)
	require.Nil(t, k.BurnFound(flow))
	for _, m := range []float64{10, 20, 30, 40, 50} {
		k.BurnUntil(minute(m), even(flow))
		k.Read(minute(m), map[string]float64{"left": 24 - (flow+excess)*m/60}, flow)
	}
	found := k.BurnFound(flow)
	require.NotNil(t, found)
	require.InDelta(t, flow+excess, found.FlowPerHour, 1e-9)
	require.Equal(t, 5, found.Readings)
	left := k.QuantitiesAt(minute(50), even(flow))
	require.True(t, found.Counts)
	require.InDelta(t, excess, k.ExcessPerHour(), 1e-9)
	require.InDelta(t, k.Usable(left)-excess*50/60, k.CountedUsable(left), 1e-9)
	e := k.EnduranceOf(left, tanks.Flow{At: tanks.InCruise, Table: flow})
	require.InDelta(t, 60*k.Usable(left)/flow, e.PlanMinutes, 1e-9)
	require.InDelta(t, 60*k.CountedUsable(left)/(flow+excess), *e.GaugesMinutes, 1e-9)
	require.InDelta(t, math.Min(e.PlanMinutes, *e.GaugesMinutes), e.CountsMinutes, 1e-9)
}

// However long the engine runs, what is kept of the quantities is bounded, in order, and begins where the engine was started.
func TestHistoryIsBounded(t *testing.T) {
	k := tanks.New(twoTanks(25), 4)
	k.StartEngine(start)
	for m := 7.0; m < 3000; m += 7 {
		k.BurnUntil(minute(m), even(0.01))
	}
	history := k.History()
	require.LessOrEqual(t, len(history), 512)
	require.Greater(t, len(history), 128)
	require.Equal(t, start, history[0].At)
	for i := 1; i < len(history); i++ {
		require.False(t, history[i].At.Before(history[i-1].At))
	}
}

// A stopped engine burns nothing.
func TestAStoppedEngineBurnsNothing(t *testing.T) {
	k := tanks.New(twoTanks(24), 4)
	require.False(t, k.Running())
	require.Equal(t, []float64{24, 24}, k.QuantitiesAt(minute(30), even(8)))
	k.StartEngine(start)
	k.BurnUntil(minute(30), even(8))
	k.StopEngine()
	k.BurnUntil(minute(60), even(8))
	require.InDeltaSlice(t, []float64{20, 24}, k.QuantitiesAt(minute(90), even(8)), 1e-9)
}
