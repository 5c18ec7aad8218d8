package cli

import (
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// criticalSums are the points from which there is a way on or back.
func criticalSums() []sumCommand {
	return []sumCommand{equalTimeSum(), noReturnSum()}
}

// wayParameters are the groundspeeds on and back, themselves or by the wind.
func wayParameters(ways *sums.Ways) []parameter {
	return []parameter{
		{name: "on", value: "kt", help: "groundspeed on to the end", read: maybe(&ways.OnKt, say.Speed.Parse)},
		{name: "back", also: []string{"home"}, value: "kt", help: "groundspeed back to the start", read: maybe(&ways.BackKt, say.Speed.Parse)},
		{name: "track", value: "090", help: "on, true or with M magnetic; with tas and wind, instead of on and back", read: maybe(&ways.Track, say.ParseDirection)},
		tasParameter(maybe(&ways.TASKt, say.Speed.Parse)),
		windParameter(maybe(&ways.Wind, say.ParseWind)),
		variationParameter(&ways.Variation),
	}
}

func equalTimeSum() sumCommand {
	var q sums.EqualTime
	return sumCommand{
		name: "equaltime", short: "The equal time point (PET)",
		long: "equaltime gives the point from which it is as long on to the end as back to the start, by the groundspeeds on and back or by the\n" +
			"track, the true airspeed and the wind.",
		examples: []string{"360 on 165 back 195", "36.5 nm track 329 tas 102 wind 240/18"},
		takes: append([]parameter{inPlace(parameter{name: "distance", value: "nm", help: "from the start to the end", read: into(&q.DistanceNM, say.Distance.Parse)})},
			append(wayParameters(&q.Ways), parameter{name: "out", value: "kt", help: "groundspeed up to the point, where it is not that on", read: maybe(&q.OutKt, say.Speed.Parse)})...),
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func noReturnSum() sumCommand {
	var q sums.NoReturn
	ways := wayParameters(&q.Ways)
	ways[0].also, ways[0].help = []string{"out"}, "groundspeed out"
	return sumCommand{
		name: "noreturn", short: "The point of no return (PNR)",
		long: "noreturn takes the endurance, or usable fuel and flows, less a reserve. An endurance of 4:20 is hours and minutes. The groundspeeds\n" +
			"are given, or follow from the track, the true airspeed and the wind.",
		examples: []string{"6.5 h out 240 home 210", "4:20 reserve 45 min track 021 tas 145 wind 240/19", "fuel 30 flow 8 flow-back 9 out 92 home 108 distance 150 --json"},
		takes: append([]parameter{
			{name: "endurance", value: "4:20", help: "hours and minutes: 4:20, 6.5 h, 260 min", placed: true, read: maybe(&q.EnduranceMinutes, say.ParseHours), span: hoursAndMinutes},
			{name: "fuel", value: "30", help: "usable, instead of the endurance: 30, 110 l", read: maybe(&q.Fuel, say.ParseFuel)},
			{name: "flow", value: "8", help: "fuel an hour on the way out", read: maybe(&q.Flow, say.ParseFlow)},
			{name: "flow-back", value: "9", help: "fuel an hour on the way back, where it is another", read: maybe(&q.FlowBack, say.ParseFlow)},
			{name: "reserve", value: "45", help: "minutes kept on landing", read: maybe(&q.ReserveMinutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "distance", also: []string{"leg"}, value: "nm", help: "of the leg, to say whether the point lies on it", read: maybe(&q.DistanceNM, say.Distance.Parse)},
		}, ways...),
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}
