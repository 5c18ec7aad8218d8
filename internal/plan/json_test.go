package plan

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
)

// drawn are the parts that random plans are made of.
type drawn struct{ *rapid.T }

func (d drawn) number(low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(d.T, "number")
}

func (d drawn) word() string { return rapid.StringN(1, 8, 20).Draw(d.T, "word") }
func (d drawn) flag() bool   { return rapid.Bool().Draw(d.T, "flag") }
func (d drawn) count() int   { return rapid.IntRange(1, 3).Draw(d.T, "count") }

func (d drawn) maybe(low, high float64) *float64 {
	if d.flag() {
		return nil
	}
	number := d.number(low, high)
	return &number
}

func (d drawn) position() earth.Position {
	return earth.Position{Lat: d.number(-90, 90), Lon: d.number(-180, 180)}
}

func some[T any](d drawn, draw func() T) (list []T) {
	for range d.count() {
		list = append(list, draw())
	}
	return list
}

func (d drawn) level() Level {
	if d.flag() {
		return Level{FlightLevel: rapid.IntRange(1, 300).Draw(d.T, "flight level")}
	}
	return Level{AltitudeFt: d.number(0, 30000)}
}

func (d drawn) point() Point {
	return Point{
		Ident: d.word(), Name: d.word(), Kind: rapid.SampledFrom(Kinds()).Draw(d.T, "kind"), At: d.position(),
		ElevationFt: d.number(-1000, 10000), CircuitFt: d.number(0, 3000), Frequency: d.number(108, 1750),
		Declination: d.maybe(-180, 180), RangeNM: d.number(0, 300), From: d.word(), Radial: d.maybe(0, 360), DistanceNM: d.number(0, 99),
	}
}

func (d drawn) leg() Leg {
	return Leg{
		To: d.word(), Level: d.level(), SafeAltitudeFt: d.maybe(0, 10000), Variation: d.maybe(-180, 180),
		Checkpoints: some(d, func() Checkpoint { return Checkpoint{d.word(), d.word(), d.maybe(0, 100), d.flag()} }),
		Radio: some(d, func() RadioStep {
			return RadioStep{
				Receiver: d.word(), Beacon: d.word(), Course: rapid.SampledFrom([]Course{NoCourse, Inbound, Outbound, Given}).Draw(d.T, "course"),
				CourseMagnetic: d.maybe(0, 360), AfterNM: d.maybe(0, 100), BeforeNM: d.maybe(0, 100),
				At: rapid.SampledFrom([]Moment{AtStart, HalfWay, InRange}).Draw(d.T, "moment"),
			}
		}),
	}
}

func (d drawn) aircraft() Aircraft {
	aircraft := Aircraft{
		Version: 1, Name: d.word(), Registration: d.word(), Receivers: some(d, d.word), TaxiFlow: d.number(0, 50),
		Fuel: FuelSystem{
			Unit:         rapid.SampledFrom(Units()).Draw(d.T, "unit"),
			Tanks:        some(d, func() Tank { return Tank{d.word(), d.number(1, 100), d.number(0, 1)} }),
			MaxImbalance: d.maybe(1, 50), Pairs: some(d, func() [2]string { return [2]string{d.word(), d.word()} }),
			ChangeEveryMinutes: d.maybe(1, 60), QuietBelowFt: d.number(0, 2000), QuietBeforeLandingMinutes: d.number(0, 20),
			ChangeSteps: some(d, d.word),
		},
		Climb:   Climb{d.number(50, 100), some(d, func() ClimbRow { return ClimbRow{d.number(0, 9000), d.number(1, 999), d.number(1, 50)} })},
		Descent: Descent{d.number(50, 100), d.number(1, 999), d.number(1, 50), d.number(0, 99), d.number(0, 2700), d.word()},
		Cruise: Cruise{d.number(50, 100), some(d, func() CruiseRow {
			return CruiseRow{d.number(0, 9000), d.number(50, 100), d.number(0, 2700), d.number(50, 200), d.number(1, 50), d.word()}
		})},
		PositionError: some(d, func() air.Correction {
			return air.Correction{IndicatedKt: d.number(50, 100), CalibratedKt: d.number(50, 100)}
		}),
	}
	aircraft.Deviation = some(d, func() Deviation { return Deviation{d.number(0, 359), d.number(0, 359)} })
	aircraft.PreDeparture = some(d, d.word)
	aircraft.Cards = Cards{some(d, d.word), some(d, d.word), some(d, d.word), some(d, d.word)}
	if d.flag() {
		aircraft.Holding = &Holding{d.number(50, 100), d.number(1, 50)}
	}
	return aircraft
}

func (d drawn) plan() *Plan {
	off := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 365*24*3600).Draw(d.T, "off")) * time.Second)
	return &Plan{
		Version: 1, Title: d.word(), OffBlocks: off, TaxiMinutes: d.number(0, 30), Variation: d.maybe(-180, 180), Aircraft: d.aircraft(),
		Fuel: Fuel{
			OnBoard: map[string]float64{d.word(): d.number(0, 100)}, StartOn: d.word(), ReserveMinutes: d.number(0, 90),
			ReserveSource: rapid.SampledFrom([]string{"", ReserveFromPlan}).Draw(d.T, "source"), ContingencyPercent: d.number(0, 10), Alternate: d.word(),
		},
		Conditions: Conditions{
			QNH: d.number(950, 1050), QNHInInches: rapid.Bool().Draw(d.T, "inches"), ISADeviation: d.number(-30, 30), WindErrorKt: d.number(1, 20),
			Winds: some(d, func() WindLevel {
				return WindLevel{d.number(0, 9000), d.number(0, 360), d.number(0, 99), d.maybe(-50, 40)}
			}),
		},
		Points:   some(d, d.point),
		Route:    Route{d.word(), some(d, d.leg), some(d, d.word), d.maybe(0, 5000), d.maybe(0, 50)},
		Contacts: some(d, func() Contact { return Contact{d.word(), d.number(118, 136), d.word(), d.maybe(0, 50), d.word()} }),
		Remarks:  some(d, d.word),
		Checks: some(d, func() Check {
			return Check{d.word(), d.word(), d.maybe(1, 60), d.maybe(0, 9000), d.maybe(0, 9000), d.word(), d.word(), d.number(0, 60)}
		}),
	}
}

// TestPlanSurvivesJSON: a journal carries the plan as JSON, and must give the same plan back.
func TestPlanSurvivesJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawn{t}.plan()
		requireJSONRoundTrip(t, plan)
	})
}

func TestLoadedPlanSurvivesJSON(t *testing.T) {
	plan, problems := Load(starterName, starterFiles)
	require.NotNil(t, plan, "%v", problems)
	requireJSONRoundTrip(t, plan)
}

// requireJSONRoundTrip writes a plan as JSON and reads it back: everything but where it was read from is the same.
func requireJSONRoundTrip(t require.TestingT, plan *Plan) {
	text, err := json.Marshal(plan)
	require.NoError(t, err)
	var back Plan
	require.NoError(t, json.Unmarshal(text, &back))
	same := *plan
	same.origin = nil
	require.Equal(t, same, back)
}
