package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// trainer is an invented aircraft: climb 720 to 300 ft/min, cruise about 100 kt.
func trainer() plan.Aircraft {
	limit, every := 19.0, 30.0
	return plan.Aircraft{
		Version: 1, Name: "Kestrel two-seat trainer (invented)", Registration: "X-ABCD",
		Fuel: plan.FuelSystem{
			Unit:         "litre",
			Tanks:        []plan.Tank{{Name: "left", Capacity: 57, Unusable: 2}, {Name: "right", Capacity: 57, Unusable: 2}},
			MaxImbalance: &limit, ChangeEveryMinutes: &every, QuietBelowFt: 1000, QuietBeforeLandingMinutes: 10,
		},
		Receivers: []string{"NAV1", "NAV2", "DME", "ADF"},
		TaxiFlow:  8,
		Climb:     plan.Climb{IASKt: 70, Table: []plan.ClimbRow{{AltitudeFt: 0, RateFtMin: 720, FlowPerHour: 30}, {AltitudeFt: 8000, RateFtMin: 300, FlowPerHour: 25}}},
		Cruise: plan.Cruise{Power: 75, Table: []plan.CruiseRow{
			{AltitudeFt: 2000, Power: 75, TASKt: 98, FlowPerHour: 23.5},
			{AltitudeFt: 6000, Power: 75, TASKt: 102, FlowPerHour: 23.8},
			{AltitudeFt: 2000, Power: 65, TASKt: 91, FlowPerHour: 20.5},
			{AltitudeFt: 8000, Power: 65, TASKt: 97, FlowPerHour: 20.9},
		}},
		Descent: plan.Descent{IASKt: 95, RateFtMin: 500, FlowPerHour: 16},
		Holding: &plan.Holding{IASKt: 70, FlowPerHour: 16},
	}
}

// lochs is an invented flight of four legs in air that changes with height, with every kind of radio step and checkpoint.
func lochs() *plan.Plan {
	west := -2.5
	safe := 3100.0
	after, temperature := 8.5, 4.0
	every, climbing := 15.0, 1000.0
	late := 14.0
	return &plan.Plan{
		Version: 1, Title: "Three lochs round",
		OffBlocks: time.Date(2026, 6, 14, 9, 10, 0, 0, time.UTC), TaxiMinutes: 8,
		Aircraft: trainer(),
		Fuel:     plan.Fuel{OnBoard: map[string]float64{"left": 48, "right": 51}, StartOn: "right", ContingencyPercent: 5, Alternate: "STR"},
		Conditions: plan.Conditions{QNH: 1019, ISADeviation: 2, WindErrorKt: 8, Winds: []plan.WindLevel{
			{AltitudeFt: 2000, FromTrue: 230, SpeedKt: 15},
			{AltitudeFt: 5000, FromTrue: 250, SpeedKt: 22, TemperatureC: &temperature},
		}},
		Points: []plan.Point{
			{Ident: "STR", Name: "Strath", Kind: plan.Aerodrome, At: earth.Position{Lat: 56.1234, Lon: -4.5678}, ElevationFt: 35, CircuitFt: 1000},
			{Ident: "KVN", Name: "Kelvin", Kind: plan.VORDME, At: earth.Position{Lat: 56.3733, Lon: -3.8617}, Frequency: 114.35, ElevationFt: 1250, Declination: &west, RangeNM: 60},
			{Ident: "OBN", Name: "Oban", Kind: plan.NDB, At: earth.Position{Lat: 56.4625, Lon: -4.5361}, Frequency: 404, RangeNM: 30},
			{Ident: "GRN", Name: "Green", Kind: plan.VORDME, At: earth.Position{Lat: 56.7, Lon: -4.3}, Frequency: 112.6, ElevationFt: 900, RangeNM: 40},
			{Ident: "DUN", Name: "Dunmore", Kind: plan.Aerodrome, At: earth.Position{Lat: 56.15, Lon: -4.1}, ElevationFt: 210, CircuitFt: 1000},
			{Ident: "DAM", Name: "Glen dam", Kind: plan.Visual, At: earth.Position{Lat: 56.23, Lon: -4.30}},
		},
		Route: plan.Route{From: "STR", Alternates: []string{"STR"}, Legs: []plan.Leg{
			{
				To: "KVN", Level: plan.Level{AltitudeFt: 4000}, SafeAltitudeFt: &safe,
				Checkpoints: []plan.Checkpoint{{Name: "DAM", Point: "DAM"}, {Name: "railway", AfterNM: &after}},
				Radio:       []plan.RadioStep{{Receiver: "NAV1", Beacon: "KVN", Course: plan.Inbound}},
			},
			{
				To: "GRN", Level: plan.Level{AltitudeFt: 4000},
				Radio: []plan.RadioStep{
					{Receiver: "NAV1", Beacon: "KVN", Course: plan.Outbound},
					{Receiver: "NAV1", Beacon: "GRN", Course: plan.Inbound, AfterNM: &late},
				},
			},
			{To: "OBN", Level: plan.Level{FlightLevel: 55}},
			{To: "DUN", Level: plan.Level{FlightLevel: 55}},
		}},
		Checks: []plan.Check{
			{Name: "cruise check", EveryMinutes: &every, Text: "fuel, radio, engine, gyro to compass, altimeter"},
			{Name: "pump and landing light off", ClimbingThroughFt: &climbing},
			{Name: "arrival check", Before: "DUN", Minutes: 10},
		},
	}
}

// straight is a flight of one leg with a true track at its middle, in standard air with one wind at every height, and an aircraft
// with one true airspeed and one flow: what is true of it can be worked out by hand.
type straight struct {
	trackTrue, distanceNM      float64
	fromFt, levelFt, arrivalFt float64
	tasKt, flow                float64 // in cruise
	wind                       air.Wind
}

func (s straight) plan() *plan.Plan {
	middle := earth.Position{Lat: 52, Lon: -2}
	start, _ := earth.Direct(middle, s.trackTrue+180, s.distanceNM/2)
	end, _ := earth.Direct(middle, s.trackTrue, s.distanceNM/2)
	p := lochs()
	p.Conditions = plan.Conditions{QNH: air.StandardQNH, WindErrorKt: 8, Winds: []plan.WindLevel{{FromTrue: s.wind.FromTrue, SpeedKt: s.wind.SpeedKt}}}
	p.Points = []plan.Point{
		{Ident: "AAA", Kind: plan.Aerodrome, At: start, ElevationFt: s.fromFt, CircuitFt: 1000},
		{Ident: "ZZZ", Kind: plan.Aerodrome, At: end, ElevationFt: s.arrivalFt - 1000, CircuitFt: 1000},
	}
	p.Route = plan.Route{From: "AAA", Legs: []plan.Leg{{To: "ZZZ", Level: plan.Level{AltitudeFt: s.levelFt}}}}
	p.Fuel.Alternate = ""
	p.Checks = nil
	p.Aircraft.Cruise.Table = []plan.CruiseRow{
		{AltitudeFt: 0, Power: 75, TASKt: s.tasKt, FlowPerHour: s.flow}, {AltitudeFt: 12000, Power: 75, TASKt: s.tasKt, FlowPerHour: s.flow},
	}
	return p
}

// level is a straight flight that neither climbs nor descends.
func level(trackTrue, distanceNM, tasKt, flow float64, wind air.Wind) *plan.Plan {
	return straight{trackTrue, distanceNM, 4000, 4000, 4000, tasKt, flow, wind}.plan()
}

// climbing gives a plan's aircraft one rate and flow of climb, and a true airspeed in the middle of a height band.
func climbing(p *plan.Plan, tasKt, fromFt, toFt, rateFtMin, flow float64) *plan.Plan {
	p.Aircraft.Climb = plan.Climb{
		IASKt: iasFor(tasKt, (fromFt+toFt)/2),
		Table: []plan.ClimbRow{{AltitudeFt: 0, RateFtMin: rateFtMin, FlowPerHour: flow}, {AltitudeFt: 12000, RateFtMin: rateFtMin, FlowPerHour: flow}},
	}
	return p
}

// descending is climbing for the descent.
func descending(p *plan.Plan, tasKt, fromFt, toFt, rateFtMin, flow float64) *plan.Plan {
	p.Aircraft.Descent = plan.Descent{IASKt: iasFor(tasKt, (fromFt+toFt)/2), RateFtMin: rateFtMin, FlowPerHour: flow}
	return p
}

// iasFor is the indicated airspeed that gives a true one at a pressure altitude in standard air.
func iasFor(tasKt, altitudeFt float64) float64 {
	return air.CASFromTAS(tasKt, altitudeFt, air.ISATemperatureC(altitudeFt))
}

func startOf(p *plan.Plan) sheet.Start {
	from, _ := p.Point(p.Route.From)
	return sheet.Start{AltitudeFt: from.ElevationFt}
}

// computed is the sheet of a plan that is expected to have one.
func computed(t testing.TB, p *plan.Plan) *sheet.Sheet {
	t.Helper()
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	return s
}

// routed is the route of a plan that is expected to have one.
func routed(t testing.TB, p *plan.Plan) *sheet.Route {
	t.Helper()
	route, problems := sheet.NewRoute(p)
	require.NotNil(t, route, "%v", problems)
	return route
}

// reckoned is the trajectory of a plan through its forecast.
func reckoned(t testing.TB, p *plan.Plan) sheet.Trajectory {
	t.Helper()
	way, err := routed(t, p).Reckon(startOf(p), sheet.Forecast(p))
	require.NoError(t, err)
	return way
}
