package cli

import (
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// arrivalSums are those of the end of a flight.
func arrivalSums(env Env) []sumCommand {
	return []sumCommand{divertSum(env), descentSum(env), holdSum(env), reserveSum(env)}
}

func midnight(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// momentOfToday reads a time of the command line on today's date.
func momentOfToday(env Env) func(string) (time.Time, error) {
	return func(text string) (time.Time, error) { return parseMoment(text, env.Now().UTC()) }
}

func divertSum(env Env) sumCommand {
	var q sums.Divert
	return sumCommand{
		name: "divert", short: "Straight to another place: heading, time and what is left",
		long: "divert gives the heading first, then distance, time and groundspeed from one place straight to another in a wind. With the time of leaving it\n" +
			"gives the ETA and the daylight there, with usable fuel and a flow what is left. A position is " + placeForms + ".",
		examples: []string{
			"56.373,-3.862 56.1234,-4.5678 tas 102 wind 245/20 leave 2026-06-14T09:38:00Z fuel 88 l flow 24 l/h reserve 45",
			"from N56 22.4 W003 51.7 to 56.15,-4.10 tas 102 wind 245/20 date 2026-06-14 --json",
		},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "position", help: "where you are: " + placeForms, read: into(&q.From, parsePlace)}),
			inPlace(parameter{name: "to", value: "position", help: "likewise", read: into(&q.To, parsePlace)}),
			needed(tasParameter(into(&q.TASKt, say.Speed.Parse))),
			needed(windParameter(into(&q.Wind, say.ParseWind))),
			{name: "leave", also: []string{"leaving"}, value: "09:38", help: "when you turn, UTC: for the ETA and the daylight", read: into(&q.Leave, momentOfToday(env))},
			{name: "date", value: "2026-06-14", help: "for the magnetic heading, where leave does not say it", read: maybe(&q.Date, say.ParseDate)},
			{name: "fuel", value: "88", help: "usable now: 88, 88 l", read: maybe(&q.Fuel, say.ParseFuel)},
			flowParameter(&q.Flow),
			{name: "reserve", value: "45", help: "minutes to be kept, at that flow", read: maybe(&q.ReserveMinutes, say.ParseSpan), span: minutesAndSeconds},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func descentSum(env Env) sumCommand {
	var q sums.Descent
	return sumCommand{
		name: "descent", short: "Where the top of descent is, or at what rate to descend",
		long: "descent takes the levels, the groundspeed and one of rate, path and within: a rate in ft/min, a path in degrees, or the distance in\n" +
			"which to lose the height, for the rate that this needs.",
		examples: []string{"4500 2500 rate 500 groundspeed 130 before 5", "from FL075 to 1500 qnh 1019 path 3 gs 100", "5500 to 1450 within 12 nm gs 112 eta 10:42 --json"},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "4500", help: "feet on QNH, or FL065", read: into(&q.From, say.ParseLevel)}),
			inPlace(parameter{name: "to", value: "1500", help: "likewise", read: into(&q.To, say.ParseLevel)}),
			needed(groundspeedParameter(into(&q.GroundspeedKt, say.Speed.Parse))),
			{name: "rate", value: "ft/min", help: "of descent", read: maybe(&q.RateFtPerMin, say.Rate.Parse)},
			{name: "path", value: "degrees", help: "angle of the path", read: maybe(&q.AngleDeg, say.Angle.Parse)},
			{name: "within", value: "nm", help: "lose the height in so many miles to the point", read: maybe(&q.WithinNM, say.Distance.Parse)},
			{name: "before", value: "nm", help: "be level so far before the point", read: maybe(&q.BeforeNM, say.Distance.Parse)},
			qnhParameter(&q.QNHHPa),
			{name: "eta", also: []string{"over"}, value: "10:42", help: "at the point, UTC: 10:42, 10:42:30, RFC 3339", read: into(&q.ETA, momentOfToday(env))},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func holdSum(env Env) sumCommand {
	var q sums.Hold
	return sumCommand{
		name: "hold", short: "How long to hold for a time of arrival, and what it takes",
		long: "hold takes a delay, or the ETA and the time wanted, and gives the patterns and the fuel; with usable fuel and a reserve, how long the fuel\n" +
			"lasts; with the distance to go and the groundspeed, how much slower to fly instead, and with track and wind at which airspeed.",
		examples: []string{"8 min flow 6 gal/h", "eta 10:42 arrive 10:50 flow 16 l/h fuel 40 l reserve 45", "delay 3 to go 24 groundspeed 96 track 045 wind 250/20", "delay 3 to go 24 groundspeed 96 --json"},
		takes: []parameter{
			{name: "delay", value: "8", help: "minutes to lose: 8, 8:30", placed: true, read: maybe(&q.DelayMinutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "eta", value: "10:42", help: "as it stands, UTC", read: into(&q.ETA, momentOfToday(env))},
			{name: "arrive", also: []string{"wanted"}, value: "10:50", help: "as it is wanted, UTC", read: into(&q.Arrive, momentOfToday(env))},
			flowParameter(&q.Flow),
			{name: "fuel", value: "40", help: "usable when the hold begins", read: maybe(&q.Fuel, say.ParseFuel)},
			{name: "reserve", value: "45", help: "minutes kept, at the flow of the hold", read: maybe(&q.ReserveMinutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "to-go", also: []string{"togo"}, value: "nm", help: "for how much slower to fly instead", read: maybe(&q.ToGoNM, say.Distance.Parse)},
			groundspeedParameter(maybe(&q.GroundspeedKt, say.Speed.Parse)),
			{name: "track", value: "045", help: "true, or magnetic with M behind it: for the airspeed", read: maybe(&q.Track, say.ParseDirection)},
			windParameter(maybe(&q.Wind, say.ParseWind)),
			variationParameter(&q.Variation),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func reserveSum(env Env) sumCommand {
	var q sums.Reserve
	said := func(night bool) func(string) error {
		return func(string) error {
			if q.Night != nil && *q.Night != night {
				return &say.Misread{Wrong: "day and night are both said", Right: "say one of them"}
			}
			q.Night = &night
			return nil
		}
	}
	return sumCommand{
		name: "reserve", short: "Which final reserve applies",
		long: "reserve gives the largest published final reserve for an arrival by day or by night, which is said or follows from the place and the time,\n" +
			"the rules that ask for it and, with the flow, the fuel.",
		examples: []string{"night flow 8 gal/h", "day flow 24 l/h", "at 52.7,-1.2 arrive 2026-05-15T20:45:00Z flow 8 gal/h --json"},
		takes: []parameter{
			{name: "at", also: []string{"position"}, value: "position", help: placeForms, read: maybe(&q.At, parsePlace)},
			{name: "arrive", also: []string{"eta"}, value: "20:45", help: "UTC: 20:45, 20:45:30, RFC 3339", read: into(&q.Arrive, momentOfToday(env))},
			{name: "day", help: "the arrival is by day", read: said(false)},
			{name: "night", help: "the arrival is by night", read: said(true)},
			flowParameter(&q.Flow),
			{name: "holding", value: "6", help: "flow in the hold, for a rule that counts by it", read: maybe(&q.Holding, say.ParseFlow)},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}
