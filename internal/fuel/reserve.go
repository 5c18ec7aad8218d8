package fuel

// Reserve is a published minimum of fuel to be left at the first point of intended landing, in minutes of flight, with
// its source in words that can be shown to a pilot.
type Reserve struct {
	Name    string
	Minutes float64
	Source  string
}

// PublishedReserve returns the stricter of the published minima for an aeroplane flown by visual rules: 30 minutes by day,
// 45 by night. Night is from the end of evening to the beginning of morning civil twilight (14 CFR 1.1); whether the
// arrival is in it is the caller's to say, and a caller who doesn't know should say yes.
//
// 14 CFR 91.151 and ICAO Annex 6 Part II 2.2.3.6 ask for the same minutes; the first counts them at normal cruising
// speed.
func PublishedReserve(arrivesByNight bool) Reserve {
	if arrivesByNight {
		return Reserve{
			Name: "night", Minutes: 45,
			Source: "45 min by night: 14 CFR 91.151 (at normal cruising speed); ICAO Annex 6 Part II 2.2.3.6 (VFR)",
		}
	}
	return Reserve{
		Name: "day", Minutes: 30,
		Source: "30 min by day: 14 CFR 91.151 (at normal cruising speed); ICAO Annex 6 Part II 2.2.3.6 (VFR)",
	}
}
