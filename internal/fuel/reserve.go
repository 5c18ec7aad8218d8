package fuel

// ReserveFlow says at which flow a rule counts its minutes of final reserve.
type ReserveFlow int

// The flows that rules and plans name.
const (
	AtNormalCruise ReserveFlow = iota
	AtHolding
)

// Reserve is a published minimum of fuel to be left at the first point of intended landing, in minutes of flight at the flow that
// the rule names, with its source in words that can be shown to a pilot.
type Reserve struct {
	Minutes float64
	At      ReserveFlow
	Source  string
}

// PublishedReserves are the published minima for an aeroplane flown by visual rules, for an arrival by day or by night. Night is from
// the end of evening to the beginning of morning civil twilight (14 CFR 1.1); whether the arrival is in it is the caller's to say, and
// a caller who doesn't know should say yes.
//
//   - 14 CFR 91.151(a): to the first point of intended landing and after that, at normal cruising speed, 30 minutes by day and 45 by
//     night.
//   - ICAO Annex 6 Part II 2.2.3.6: final reserve fuel for 30 minutes by day and 45 by night, at normal cruising altitude; the wording
//     of the altitude is from memory.
//
// None of the two counts at the flow of holding: that of reciprocating engines in ICAO Annex 6 Part I is for airlines.
func PublishedReserves(arrivesByNight bool) []Reserve {
	minutes, when := 30.0, "30 min by day"
	if arrivesByNight {
		minutes, when = 45, "45 min by night"
	}
	return []Reserve{
		{minutes, AtNormalCruise, when + " at normal cruise (14 CFR 91.151)"},
		{minutes, AtNormalCruise, when + " at normal cruise (ICAO Annex 6 Part II 2.2.3.6)"},
	}
}

// LargestReserve is the one of some that asks for the largest quantity, each at its own flow per hour; of equals the first.
func LargestReserve(reserves []Reserve, flow func(ReserveFlow) float64) (largest Reserve, quantity float64) {
	for i, reserve := range reserves {
		if asked := Burned(reserve.Minutes, flow(reserve.At)); i == 0 || asked > quantity {
			largest, quantity = reserve, asked
		}
	}
	return largest, quantity
}
