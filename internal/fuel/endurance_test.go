package fuel_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/fuel"
)

// Cases 13.10–13.15: FAA commercial-pilot questions, fuel for a distance at a groundspeed. The published answers are
// rounded, those in gallons up; the tolerance is theirs.
func TestBurnForADistanceAgreesWithFAAQuestions(t *testing.T) {
	for _, c := range []struct {
		name                                  string
		flow, groundspeedKt, distanceNM       float64
		published, publishedTolerance, reckon float64
	}{
		{"13.10", 80, 180, 460, 205, 1.5, 204.4},
		{"13.11", 95, 173, 450, 248, 1.5, 247.1},
		{"13.12", 12.5, 145, 435, 38, 1, 37.50},
		{"13.13", 9.5, 135, 490, 35, 1, 34.48},
		{"13.14", 14.8, 167, 560, 50, 1, 49.63},
		{"13.15", 14.7, 157, 612, 58, 1, 57.30},
	} {
		got := fuel.Burned(60*c.distanceNM/c.groundspeedKt, c.flow)
		assert.InDelta(t, c.published, got, c.publishedTolerance, "%s published", c.name)
		assert.InDelta(t, c.reckon, got, 0.05, "%s exact", c.name)
	}
}

// Cases 13.16–13.19.
func TestEnduranceAgreesWithWorkedExamples(t *testing.T) {
	flow := fuel.MeasuredFlowPerHour(90, 75, 20)
	assert.InDelta(t, 45, flow, 1e-12, "13.16 microlight workbook: 90 l, 75 l after 20 min")
	assert.InDelta(t, 120, fuel.EnduranceMinutes(90, flow), 1e-9, "13.16 microlight workbook: in all")
	assert.InDelta(t, 70, fuel.MinutesToReserve(75, flow, 30), 1e-9, "13.16 microlight workbook: still to fly with 30 min in hand")

	assert.InDelta(t, 180, fuel.EnduranceMinutes(24, 8), 1e-9, "13.17 public flash cards: 24 gal at 8 gal/h")
	assert.InDelta(t, 300, fuel.EnduranceMinutes(40, 8), 1e-9, "13.17 public flash cards: 40 gal at 8 gal/h")

	day := fuel.PublishedReserves(false)[0].Minutes
	assert.InDelta(t, 4*60+45, fuel.EnduranceMinutes(38, 8), 1e-9, "13.18 PHAK figures: 38 gal usable at 8 gal/h")
	assert.InDelta(t, 4*60+15, fuel.MinutesToReserve(38, 8, day), 1e-9, "13.18 PHAK figures: to the day reserve")

	night := fuel.PublishedReserves(true)[0].Minutes
	assert.InDelta(t, 4*60+16.6, fuel.EnduranceMinutes(17.5+15, 7.6), 0.1, "13.19 both tanks")
	assert.InDelta(t, 3*60+31.6, fuel.MinutesToReserve(17.5+15, 7.6, night), 0.1, "13.19 to a reserve of 45 min")
	assert.InDelta(t, 138.2, fuel.EnduranceMinutes(17.5, 7.6), 0.1, "13.19 left tank alone")

	assert.InDelta(t, 117, fuel.EnduranceMinutes(15.60, 8), 0.01, "16A.11 composite exercise: 15.60 gal at 8 gal/h")
	assert.InDelta(t, 4, fuel.Burned(30, 8), 1e-12, "16A.11 day reserve at 8 gal/h")
}

func TestEnduranceAtTheEdges(t *testing.T) {
	assert.Zero(t, fuel.EnduranceMinutes(0, 0))
	assert.Zero(t, fuel.EnduranceMinutes(-1, 8))
	assert.True(t, math.IsInf(fuel.EnduranceMinutes(1, 0), 1))
	assert.Zero(t, fuel.Usable(1.5, 2))
	assert.Equal(t, 46.0, fuel.Usable(48, 2))
	assert.Equal(t, 3.0, fuel.Imbalance(48, 51))
}

// 14 CFR 91.151 and ICAO Annex 6 Part II 2.2.3.6 (cases 10.13, 10.14).
func TestReservesAreThePublishedMinimaWithTheirSources(t *testing.T) {
	for _, c := range []struct {
		night   bool
		minutes float64
		when    string
	}{{false, 30, "30 min by day"}, {true, 45, "45 min by night"}} {
		reserves := fuel.PublishedReserves(c.night)
		require.Len(t, reserves, 2)
		assert.Contains(t, reserves[0].Source, "14 CFR 91.151")
		assert.Contains(t, reserves[1].Source, "ICAO Annex 6 Part II 2.2.3.6")
		for _, reserve := range reserves {
			assert.Equal(t, c.minutes, reserve.Minutes)
			assert.Equal(t, fuel.AtNormalCruise, reserve.At)
			assert.Contains(t, reserve.Source, c.when)
		}
	}
}

// Each rule counts at the flow it names: 30 minutes at 24 an hour are 12, more than 40 minutes at 16.5 of holding. By hand.
func TestTheLargestReserveCountsAtItsOwnFlow(t *testing.T) {
	flows := map[fuel.ReserveFlow]float64{fuel.AtNormalCruise: 24, fuel.AtHolding: 16.5}
	largest, quantity := fuel.LargestReserve([]fuel.Reserve{{40, fuel.AtHolding, "held"}, {30, fuel.AtNormalCruise, "cruise"}},
		func(at fuel.ReserveFlow) float64 { return flows[at] })
	assert.Equal(t, "cruise", largest.Source)
	assert.InDelta(t, 12, quantity, 1e-12)
}

// The microlight workbook's exercise, case 13.16.
func ExampleMinutesToReserve() {
	flow := fuel.MeasuredFlowPerHour(90, 75, 20)
	fmt.Printf("%.0f l/h, %.0f min in all, %.0f min still to fly\n",
		flow, fuel.EnduranceMinutes(90, flow), fuel.MinutesToReserve(75, flow, 30))
	// Output: 45 l/h, 120 min in all, 70 min still to fly
}
