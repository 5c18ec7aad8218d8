package screentest

import (
	"example.com/legclock/internal/flight"
	fuel "example.com/legclock/internal/tanks"
)

// FourTanks is the cruise in an aircraft with two mains and two tips, each pair with the limit for itself. The tips have been flown on
// first.
func FourTanks() flight.Snapshot {
	s := Cruise()
	names := []string{"left main", "right main", "left tip", "right tip"}
	moment := func(at string, quantities ...float64) flight.TankMoment {
		return flight.TankMoment{At: Clock(at), Quantities: quantities, Differences: []float64{quantities[0] - quantities[1], quantities[2] - quantities[3]}}
	}
	k := flight.TanksNow{
		TankFigures: flight.TankFigures{
			Unit:             "usgal",
			Selected:         "right tip",
			SelectedSince:    ref(Clock("09:30:00")),
			Quantities:       map[string]float64{},
			Pairs:            []flight.PairNow{{First: "left main", Second: "right main", Difference: 2}, {First: "left tip", Second: "right tip", Difference: 2.1}},
			Imbalance:        2.1,
			HeavySide:        "left tip",
			MaxImbalance:     ref(6.0),
			Made:             []flight.TankChangeMade{{At: Clock("09:30:00"), To: "right tip", ImbalanceBefore: 2}},
			FlowPerHour:      12.3,
			TotalUsable:      53.9,
			EnduranceMinutes: 263,
			MassKg:           ref(153.0),
			Endurance:        flight.Endurance{PlanMinutes: 263, CountsMinutes: 263, By: fuel.ByPlan},
			Readings:         []flight.GaugeReading{{At: Clock("09:31:00"), Tank: "left tip", Read: 9, Reckoned: 8.9}, {At: Clock("09:51:00"), Tank: "left tip", Read: 6, Reckoned: 8.9}},
		},
		LimitAt: ref(Clock("10:01:00")),
		DryAt:   ref(Clock("10:01:30")),
		Planned: []flight.TankChangeNow{
			{At: Clock("09:52:00"), To: "left main", ImbalanceThen: 4.2, HeavyThen: "left tip"},
			{At: Clock("10:12:00"), To: "right main", ImbalanceThen: 2.1, HeavyThen: "right main"},
		},
		ReserveTouchedAt: ref(Clock("13:20:10")),
		LatestDivert:     []flight.LatestDivertNow{{Point: "STR", Name: "Strath", TooLate: true, Text: "too late for Strath: 3.1 US gal short of the reserve there"}},
		Trends:           []flight.FuelTrend{{Severity: flight.Alarm, Text: "left tip was not selected, but its gauge fell from 9 to 6 in 20 minutes: a leak, or the selector does not close it"}},
	}
	k.NextChange = &k.Planned[0]
	for i, quantity := range []float64{24, 22, 6.9, 4.8} {
		k.Quantities[names[i]] = quantity
		k.Tanks = append(k.Tanks, flight.TankNow{Name: names[i], Quantity: quantity, Capacity: []float64{25, 25, 12, 12}[i], Unusable: 0.5, Selected: i == 3})
	}
	k.History = []flight.TankMoment{
		moment("09:10:00", 24, 22, 12, 7.4), moment("09:18:00", 24, 22, 11.6, 7.4), moment("09:30:00", 24, 22, 8.9, 7.4), moment("09:41:30", 24, 22, 8.9, 4.8),
	}
	k.History = append(k.History, moment("09:41:30", 24, 22, 6.9, 4.8))
	k.Ahead = []flight.TankMoment{
		moment("09:41:30", 24, 22, 6.9, 4.8), moment("09:52:00", 24, 22, 6.9, 2.7), moment("10:12:00", 19.9, 22, 6.9, 2.7), moment("10:26:00", 19.9, 19.4, 6.9, 2.7),
	}
	s.Tanks = k
	return whole(s)
}
