package debrief_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// straight is exercise A with other legs: at 100 kt through still air, so that each takes as many minutes as are given.
func straight(t require.TestingT, minutes ...float64) *hand {
	h := byHand(t)
	p := *h.s.Plan
	p.Aircraft.Cruise.Table = slices.Clone(p.Aircraft.Cruise.Table)
	for i := range p.Aircraft.Cruise.Table {
		p.Aircraft.Cruise.Table[i].TASKt = 100
	}
	p.Conditions.Winds = []plan.WindLevel{{AltitudeFt: 4500}}
	at := p.Points[0].At
	p.Points, p.Route.Legs = slices.Clone(p.Points[:1]), nil
	for i, length := range minutes {
		at, _ = earth.Direct(at, 90, length*100/60)
		point := plan.Point{Ident: string(rune('A' + i)), Kind: plan.Fix, At: at}
		if i == len(minutes)-1 {
			point.Kind, point.ElevationFt, point.CircuitFt = plan.Aerodrome, 3500, 1000
		}
		p.Points = append(p.Points, point)
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: point.Ident, Level: plan.Level{AltitudeFt: 4500}})
	}
	return h.of(t, &p)
}

// of is the same journal of another plan.
func (h *hand) of(t require.TestingT, p *plan.Plan) *hand {
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	return &hand{s: s, events: h.events}
}

// Case 1.35 (by definition): a leg of 30 nm planned for 18.0 minutes is flown in 20.0, the next are planned for 24.0, 15.0 and 31.0.
// Carried over, every ETA moves by 2.0 minutes; by the ratio of groundspeeds, 90 to 100, the legs become 26.7, 16.7 and 34.4, which is
// 26.7, 43.3 and 77.8 from the fix. To within 0.1 minutes, as published.
func TestCarriedOverAndByRatioAsInThePublishedCase(t *testing.T) {
	h := straight(t, 18, 24, 15, 31)
	planned := make([]time.Time, len(h.s.Legs))
	for i, want := range []float64{18, 24, 15, 31} {
		require.InDelta(t, want, h.s.Legs[i].Minutes, 0.01)
		planned[i] = h.s.Legs[i].ETA
	}
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	fix := h.at("13:25:00")
	h.log("13:25:00", flight.Event{Act: flight.Passing, Point: "A"})
	for i, fromFix := range []float64{24, 24 + 15, 24 + 15 + 31} { // flown as the ratio has it
		at := fix.Add(time.Duration(fromFix * 20 / 18 * float64(time.Minute))).Round(time.Second)
		h.log(at.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: h.s.Legs[i+1].To.Ident})
	}
	f := h.debrief(t)
	assert.InDelta(t, 90, *f.Legs[0].ActualGroundspeedKt, 0.1)
	assert.InDelta(t, 120, f.Passings[0].PlanErrorSeconds, 1)

	state, err := flight.Fold(h.s, "live", h.events[:3], nil)
	require.NoError(t, err)
	for i, row := range state.At(fix).Route[2:] {
		const tenthOfAMinute = 6.0
		assert.InDelta(t, 120, row.CarriedOver.Sub(planned[i+1]).Seconds(), tenthOfAMinute, "carried over to %s", row.Point)
		assert.InDelta(t, []float64{26.7, 43.3, 77.8}[i], row.ByRatio.Sub(fix).Minutes(), 0.1, "by ratio to %s", row.Point)
	}

	second := f.Passings[1].Estimate
	require.NotNil(t, second)
	assert.InDelta(t, 0, *second.RatioErrorSeconds, 6)
	assert.InDelta(t, (26.7-24)*60, *second.CarriedErrorSeconds, 6)
	for i, want := range []float64{26.7, 16.7, 34.4} {
		assert.InDelta(t, want, *f.Legs[i+1].ActualMinutes, 0.1)
	}
}

// Where the start of a leg was never logged its minutes are not known, and no lesson is drawn from them; the groundspeed is that from the
// first place logged on it.
func TestALegWithoutItsStart(t *testing.T) {
	log := flown(t, 7)
	whole := of(t, log)
	var events []flight.Event
	for _, e := range log.Events {
		if e.Act == flight.Passing && e.Point == "LKM" {
			continue
		}
		e.N = len(events) + 1
		events = append(events, e)
	}
	log.Events = events
	f := of(t, log)
	require.Equal(t, "FNW", f.Legs[1].To)
	assert.Nil(t, f.Legs[0].ActualMinutes)
	assert.Nil(t, f.Legs[1].ActualMinutes)
	require.NotNil(t, f.Legs[1].ActualGroundspeedKt)
	assert.InDelta(t, *whole.Legs[1].ActualGroundspeedKt, *f.Legs[1].ActualGroundspeedKt, 2)
	require.Len(t, f.Discipline.Missed, 1)
	assert.Equal(t, "LKM", f.Discipline.Missed[0].Point)
	for _, lesson := range f.Lessons {
		assert.NotContains(t, lesson.Text, "from LKM to FNW")
	}
}
