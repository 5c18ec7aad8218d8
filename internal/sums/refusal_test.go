package sums_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// Figures that do not belong together are refused, with what would be right.
func TestRefusals(t *testing.T) {
	magnetic := say.Direction{Degrees: 45, North: say.Magnetic}
	ways := sums.Ways{OnKt: sums.With(100), BackKt: sums.With(100)}
	both := ways
	both.TASKt = sums.With(100)
	for wrong, ask := range map[string]asked{
		"a magnetic track and a true wind need the variation between them":       sums.Heading{Track: magnetic, TASKt: 100},
		"a magnetic heading and a true wind need the variation between them":     sums.Track{Heading: magnetic, TASKt: 100},
		"a deviation counts from magnetic north":                                 sums.Heading{TASKt: 100, Deviation: sums.With(2)},
		"a flow gives fuel only over a distance":                                 sums.Heading{TASKt: 100, Flow: &say.Fuel{Amount: 8}},
		"faster than sound":                                                      sums.TAS{CASKt: 700},
		"of distance, time and groundspeed two are needed, no more and no fewer": sums.Groundspeed{DistanceNM: sums.With(1), Minutes: sums.With(1), GroundspeedKt: sums.With(60)},
		"there is no angle over no distance":                                     sums.OffTrack{OffNM: 1},
		"nothing is left to go":                                                  sums.OffTrack{OffNM: 1, FlownNM: 1, ToGoNM: sums.With(0)},
		"no time between the bearings gives no distance":                         sums.Station{Doubled: true},
		"one way of taking bearings is needed":                                   sums.Station{Minutes: 1},
		"the groundspeeds on and back are needed, in one way":                    sums.EqualTime{DistanceNM: 10, Ways: both},
		"the endurance is needed, in one way":                                    sums.NoReturn{Ways: ways, Fuel: &say.Fuel{Amount: 8}},
		"without a flow there is no endurance":                                   sums.NoReturn{Ways: ways, Fuel: &say.Fuel{Amount: 8}, Flow: &say.Fuel{}},
		"the fuel is in gal and in l":                                            sums.Hold{DelayMinutes: sums.With(1), Fuel: &say.Fuel{Amount: 8, Unit: "gal"}, Flow: &say.Fuel{Amount: 8, Unit: "l"}},
		"WMM2025 holds from":                                                     sums.Variation{},
		"a path to be flown lies between 0 and 45°":                              sums.Descent{From: say.Level{Feet: 4000}, GroundspeedKt: 100, AngleDeg: sums.With(60)},
		"one of the two distances is needed":                                     sums.Slant{},
	} {
		_, err := ask.Sum()
		var misread *say.Misread
		require.ErrorAs(t, err, &misread, wrong)
		assert.Contains(t, misread.Fault(), wrong)
		assert.NotEmpty(t, misread.Right, wrong)
	}
}

// A sum without a solution says why and has no answer that would be nonsense: no negative time, no heading in a wind too strong for one.
func TestProblems(t *testing.T) {
	strong, against := air.Wind{SpeedKt: 70}, air.Wind{FromTrue: 95, SpeedKt: 65}
	east := say.Direction{Degrees: 90}
	for problem, test := range map[string]struct {
		ask     asked
		missing []string
	}{
		"no heading holds this track":      {sums.Heading{Track: east, TASKt: 60, Wind: strong}, []string{"heading_true", "wind_correction_deg", "groundspeed_kt"}},
		"no headway along this track":      {sums.Heading{Track: east, TASKt: 60, Wind: against, DistanceNM: sums.With(10)}, []string{"groundspeed_kt", "minutes"}},
		"holds the aircraft over one spot": {sums.Track{Heading: say.Direction{Degrees: 33}, TASKt: 70, Wind: air.Wind{FromTrue: 33, SpeedKt: 70}}, []string{"track_true", "drift_deg"}},
		"no time gives no speed":           {sums.Groundspeed{DistanceNM: sums.With(1), Minutes: sums.With(0)}, []string{"groundspeed_kt"}},
		"these bearings give no distance":  {sums.Station{Minutes: 1, Relative: &[2]float64{60, 45}}, []string{"minutes", "distance_nm"}},
		"on the way on: no heading": {
			sums.EqualTime{DistanceNM: 10, Ways: sums.Ways{Track: &east, TASKt: sums.With(60), Wind: &strong}}, []string{"from_start_nm", "minutes", "on_kt", "back_kt"},
		},
		"less than the reserve": {
			sums.NoReturn{EnduranceMinutes: sums.With(30), ReserveMinutes: sums.With(45), Ways: sums.Ways{OnKt: sums.With(90), BackKt: sums.With(90)}},
			[]string{"no_return_nm", "minutes", "beyond_end"},
		},
		"no time to lose": {sums.Hold{ETA: midnight.Add(time.Minute), Arrive: midnight}, []string{"patterns"}},
	} {
		sum, err := test.ask.Sum()
		require.NoError(t, err, problem)
		assert.Contains(t, sum.Problem, problem)
		missing := 0
		for _, answer := range sum.Answers {
			for _, value := range answer.Values {
				for _, name := range test.missing {
					if value.Name == name {
						missing++
						number, isNumber := value.Value.(float64)
						assert.True(t, value.Value == nil || isNumber && number != number, "%s: %s is %v", problem, name, value.Value)
						assert.Empty(t, answer.Text)
					}
				}
			}
		}
		assert.Len(t, test.missing, missing, problem)
	}
}
