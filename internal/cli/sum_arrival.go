package cli

import (
	"time"

	"example.com/legclock/internal/forms"
	"example.com/legclock/internal/sums"
)

// arrivalSums are those of the end of a flight.
func arrivalSums(env Env) []sumCommand {
	return []sumCommand{descentSum(env), holdSum(env)}
}

func midnight(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// momentOfToday reads a time of the command line on today's date.
func momentOfToday(env Env) func(string) (time.Time, error) {
	return func(text string) (time.Time, error) { return parseMoment(text, env.Now().UTC()) }
}

func descentSum(env Env) sumCommand {
	var q sums.Descent
	return sumCommand{
		name: "descent", short: "When to leave the level, or at what rate",
		long: "descent takes the levels, the groundspeed and one of rate, path and within: a rate in ft/min, a path in degrees, or the distance in\n" +
			"which to lose the height, for the rate that this needs.",
		examples: []string{"4500 2500 rate 500 groundspeed 130 before 5", "from FL075 to 1500 qnh 1019 path 3 gs 100", "5500 to 1450 within 12 nm gs 112 eta 10:42 --json"},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "4500", help: "feet on QNH, or FL065", read: into(&q.From, forms.ParseLevel)}),
			inPlace(parameter{name: "to", value: "1500", help: "likewise", read: into(&q.To, forms.ParseLevel)}),
			needed(groundspeedParameter(into(&q.GroundspeedKt, forms.Speed.Parse))),
			{name: "rate", value: "ft/min", help: "of descent", read: maybe(&q.RateFtPerMin, forms.Rate.Parse)},
			{name: "path", value: "degrees", help: "angle of the path", read: maybe(&q.AngleDeg, forms.Angle.Parse)},
			{name: "within", value: "nm", help: "lose the height in so many miles to the point", read: maybe(&q.WithinNM, forms.Distance.Parse)},
			{name: "before", value: "nm", help: "be level so far before the point", read: maybe(&q.BeforeNM, forms.Distance.Parse)},
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
			"lasts; with the distance to go and the groundspeed, how much slower to fly instead.",
		examples: []string{"8 min flow 6 gal/h", "eta 10:42 arrive 10:50 flow 16 l/h fuel 40 l reserve 45", "delay 3 to go 24 groundspeed 96 --json"},
		takes: []parameter{
			{name: "delay", value: "8", help: "minutes to lose: 8, 8:30", placed: true, read: maybe(&q.DelayMinutes, forms.ParseSpan)},
			{name: "eta", value: "10:42", help: "as it stands, UTC", read: into(&q.ETA, momentOfToday(env))},
			{name: "arrive", also: []string{"wanted"}, value: "10:50", help: "as it is wanted, UTC", read: into(&q.Arrive, momentOfToday(env))},
			flowParameter(&q.Flow),
			{name: "fuel", value: "40", help: "usable when the hold begins", read: maybe(&q.Fuel, forms.ParseFuel)},
			{name: "reserve", value: "45", help: "minutes kept, at the flow of the hold", read: maybe(&q.ReserveMinutes, forms.ParseSpan)},
			{name: "to-go", also: []string{"togo"}, value: "nm", help: "for how much slower to fly instead", read: maybe(&q.ToGoNM, forms.Distance.Parse)},
			groundspeedParameter(maybe(&q.GroundspeedKt, forms.Speed.Parse)),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}
