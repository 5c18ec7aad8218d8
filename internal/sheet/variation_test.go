package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// TestVariationsOfThePlan: on each leg its own holds, else the plan's, on every day; magnetic is true less variation ("variation west,
// magnetic best": the rule as FAA-H-8083-25 chapter 16 has it).
func TestVariationsOfThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := lochs()
		drawn := func(name string) *float64 {
			value := rapid.Float64Range(-180, 180).Draw(t, name)
			return &value
		}
		p.OffBlocks = p.OffBlocks.AddDate(rapid.IntRange(plan.FirstYear-2026, plan.LastYear-2026).Draw(t, "years"), 0, 0)
		p.Variation = drawn("whole")
		own := rapid.IntRange(0, len(p.Route.Legs)-1).Draw(t, "leg")
		p.Route.Legs[own].Variation = drawn("own")
		route, problems := sheet.NewRoute(p)
		require.NotNil(t, route, "%v", problems)
		for i, leg := range route.Legs {
			want := *p.Variation
			if i == own {
				want = *p.Route.Legs[own].Variation
			}
			require.Equal(t, want, leg.Variation)
			require.Equal(t, plan.FromPlan, leg.VariationFrom)
			require.InDelta(t, 0, angle.Turn(leg.TrackTrue-want, leg.TrackMagnetic), 1e-9)
			for _, track := range leg.Tracks {
				require.Equal(t, want, track.Variation)
			}
		}
		// On a diversion from the middle of a leg to half a mile on, that leg's holds.
		here := route.PositionAt(own, route.Legs[own].DistanceNM/2)
		there, _ := earth.Direct(here, 45, 0.5)
		away, err := route.Direct(here, 3000, plan.Point{Ident: "FLD", Kind: plan.Aerodrome, At: there}, plan.Level{AltitudeFt: 3000})
		require.NoError(t, err)
		require.Equal(t, *p.Route.Legs[own].Variation, away.Legs[0].Variation)
		again, err := away.Direct(there, 3000, plan.Point{Ident: "HOM", Kind: plan.Aerodrome, At: here}, plan.Level{AltitudeFt: 3000})
		require.NoError(t, err)
		require.Equal(t, *p.Route.Legs[own].Variation, again.Legs[0].Variation, "and on the way on from there")
	})
}

// TestVariationsOfSomeLegs: what the plan does not give is the magnetic model's, off the legs as on the nearest one.
func TestVariationsOfSomeLegs(t *testing.T) {
	p := lochs()
	five := 5.0
	p.Route.Legs[0].Variation = &five
	route := routed(t, p)
	assert.Equal(t, plan.FromPlan, route.Legs[0].VariationFrom)
	for i, leg := range route.Legs {
		middle := route.PositionAt(i, leg.DistanceNM/2)
		variation, from, err := route.VariationNear(middle, leg.AltitudeFt)
		require.NoError(t, err)
		assert.Equal(t, leg.VariationFrom, from)
		assert.InDelta(t, leg.Variation, variation, 1e-9)
		if i > 0 {
			model, err := earth.Variation(middle, leg.AltitudeFt, p.OffBlocks)
			require.NoError(t, err)
			assert.Equal(t, plan.FromModel, leg.VariationFrom)
			assert.InDelta(t, model, leg.Variation, 1e-9)
		}
	}
	p.OffBlocks = time.Date(2150, 6, 14, 9, 0, 0, 0, time.UTC)
	_, problems := sheet.NewRoute(p)
	require.True(t, plan.HasErrors(problems), "the model does not know the day, and the other legs need it")
	assert.Equal(t, plan.GiveVariation, problems[0].Hint)
}

// TestStationsByTheVariationOfThePlan: a VOR without a declination counts from it, which is said.
func TestStationsByTheVariationOfThePlan(t *testing.T) {
	p := lochs()
	p.Variation = new(float64)
	*p.Variation = -3
	route, problems := sheet.NewRoute(p)
	require.NotNil(t, route, "%v", problems)
	_, inbound := route.Legs[1].Line.At(route.Legs[1].DistanceNM)
	assert.InDelta(t, inbound+3, *route.Legs[1].CourseInbound, 1e-9)
	_, inbound = route.Legs[0].Line.At(route.Legs[0].DistanceNM)
	assert.InDelta(t, inbound+2.5, *route.Legs[0].CourseInbound, 1e-9, "KVN has its own")
	assert.Contains(t, problems, plan.Problem{
		Severity: plan.Note, Path: "points[GRN]", Hint: "give it its published station declination",
		Text: "GRN has no station declination: its radials are counted from the variation of the plan, 3° W",
	})
}
