package cli

import (
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// speedSums are those of speeds and of the air.
func speedSums(env Env) []sumCommand {
	return []sumCommand{tasSum(), altitudeSum(), groundspeedSum(), legsSum(env)}
}

func levelParameter(level *say.Level) parameter {
	return parameter{name: "altitude", also: []string{"level"}, value: "4500", help: "feet on QNH, or FL065", read: into(level, say.ParseLevel)}
}

func qnhParameter(target **float64) parameter {
	return parameter{name: "qnh", value: "1019", help: "hPa, or inches of mercury: 29.92; without it 1013.25", read: maybe(target, say.ParseQNH)}
}

func temperatureParameter(target **say.Temperature) parameter {
	return parameter{name: "temperature", also: []string{"temp", "oat"}, value: "8", help: "°C: 8, -10, ISA-15, 45 F; without it standard", placed: true, read: maybe(target, say.ParseTemperature)}
}

func tasSum() sumCommand {
	var q sums.TAS
	return sumCommand{
		name: "tas", short: "The true airspeed of a calibrated one",
		long:     "tas gives the true airspeed by pressure and temperature, with the rule of 2 % beside it.",
		examples: []string{"100 4000 7", "cas 120 altitude FL055 oat ISA", "95 4500 8 qnh 1019 --json"},
		takes: []parameter{
			inPlace(parameter{name: "cas", also: []string{"ias"}, value: "kt", help: "calibrated airspeed: indicated without the position error", read: into(&q.CASKt, say.Speed.Parse)}),
			inPlace(levelParameter(&q.Level)),
			temperatureParameter(&q.Temperature),
			qnhParameter(&q.QNHHPa),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func altitudeSum() sumCommand {
	var q sums.Altitude
	return sumCommand{
		name: "altitude", short: "Pressure, density and true altitude",
		long:     "altitude gives the pressure, density and true altitude at a level, exactly and by the rules.",
		examples: []string{"5000 qnh 985", "FL100 ISA-15 qnh 1032", "2000 30 --json"},
		takes:    []parameter{inPlace(levelParameter(&q.Level)), temperatureParameter(&q.Temperature), qnhParameter(&q.QNHHPa)},
		sum:      func() (sums.Sum, error) { return q.Sum() },
	}
}

func groundspeedSum() sumCommand {
	var q sums.Groundspeed
	return sumCommand{
		name: "groundspeed", short: "The third of distance, time and groundspeed",
		long:     "groundspeed takes two of distance, time and groundspeed and gives the third; to go says how long a rest will take.",
		examples: []string{"11.5 nm in 7:20", "11.5 7:20 to go 12", "210 nm at 140 kt", "in 45 min at 120 flow 8 gal/h"},
		takes: []parameter{
			{name: "distance", value: "nm", help: "flown, or to be flown", placed: true, read: maybe(&q.DistanceNM, say.Distance.Parse)},
			{name: "time", also: []string{"in"}, value: "7:20", help: "7:20, 7.3 min, 1 h 05", placed: true, read: maybe(&q.Minutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "groundspeed", also: []string{"gs", "at"}, value: "kt", help: "groundspeed", read: maybe(&q.GroundspeedKt, say.Speed.Parse)},
			{name: "to-go", also: []string{"togo"}, value: "nm", help: "a distance still to go", read: maybe(&q.ToGoNM, say.Distance.Parse)},
			flowParameter(&q.Flow),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func legsSum(env Env) sumCommand {
	var q sums.Legs
	return sumCommand{
		name: "legs", short: "Times and ETAs along legs, and revised ones",
		long: "legs gives the time of each leg, with the time of leaving the ETAs, and the totals. With the times at which points were passed it gives\n" +
			"the ETAs of the rest, the delay carried over as it is and by ratio.",
		examples: []string{"36.45 38.69 40.30 43.98 gs 90.4 99.9 119.9 104 leave 13:05 flow 8 gal/h", "legs 36.45 38.69 gs 90 leave 13:05 passed 13:31:42", "21 24 20 at 105 --json"},
		takes: []parameter{
			{name: "legs", also: []string{"distances"}, value: "nm…", help: "the length of each leg: 36.5 38.7 40.3", placed: true, required: true, read: several(&q.DistancesNM, say.Distance.Parse)},
			needed(parameter{name: "groundspeed", also: []string{"gs", "at"}, value: "kt…", help: "for all legs, or for each", read: several(&q.GroundspeedsKt, say.Speed.Parse)}),
			{name: "leave", also: []string{"leaving"}, value: "13:05", help: "over the start, UTC", read: into(&q.Leave, momentOfToday(env))},
			{name: "passed", value: "13:31:42…", help: "over the ends of the first legs, in order, UTC", read: several(&q.Passed, momentOfToday(env))},
			flowParameter(&q.Flow),
		},
		sum: func() (sums.Sum, error) {
			for i := range q.Passed {
				for !q.Leave.IsZero() && q.Passed[i].Before(q.Leave.Add(-12*time.Hour)) {
					q.Passed[i] = q.Passed[i].AddDate(0, 0, 1) // past midnight
				}
			}
			return q.Sum()
		},
	}
}
