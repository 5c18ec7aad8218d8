package cli

import (
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// placeSums are those of places on the earth.
func placeSums(env Env) []sumCommand {
	return []sumCommand{distanceSum(), positionSum(), sunSum(env), variationSum(env)}
}

const placeForms = "56.1234,-4.5678 or N56 22.4 W003 51.7"

func distanceSum() sumCommand {
	var q sums.Distance
	return sumCommand{
		name: "distance", short: "Distance and track between two places",
		long: "distance gives the shortest way on WGS-84 and its direction at the start, half-way and at the end; with a date the magnetic track, with a\n" +
			"groundspeed the time. A position is " + placeForms + ", or any other usual way to write one.",
		examples: []string{"35.0974,-97.9673 35.8498,-97.4156", "N56 22.4 W003 51.7 to 562745N 0043210W date 2026-06-14", "from 52.1,-1.5 to 52.35,-2.4 groundspeed 90 --json"},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "position", help: placeForms, read: into(&q.From, parsePlace)}),
			inPlace(parameter{name: "to", value: "position", help: "likewise", read: into(&q.To, parsePlace)}),
			{name: "date", value: "2026-06-14", help: "for the magnetic track", read: maybe(&q.Date, say.ParseDate)},
			groundspeedParameter(maybe(&q.GroundspeedKt, say.Speed.Parse)),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

// today is the date that is taken where none is given.
func today(env Env) say.Date {
	year, month, day := env.Now().UTC().Date()
	return say.Date{At: midnight(year, month, day)}
}

func positionSum() sumCommand {
	var q sums.Position
	return sumCommand{
		name: "position", short: "The place on a bearing at a distance",
		long: "position gives the place on a bearing, or a radial, at a distance from another. A bearing is true, or with M behind it magnetic; then the\n" +
			"variation is needed, of a VOR its station declination, or the date for the magnetic model's.",
		examples: []string{"N52 21 W002 24 328.9 38.69", "56.373,-3.862 096M 25 variation 2.5W", "from 52.35,-2.4 bearing 329M distance 38.7 date 2026-05-15 --json"},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "position", help: placeForms, read: into(&q.From, parsePlace)}),
			inPlace(parameter{name: "bearing", also: []string{"radial", "track"}, value: "096", help: "from there, true, or magnetic with M behind it", read: into(&q.Bearing, say.ParseDirection)}),
			inPlace(parameter{name: "distance", value: "nm", help: "over the ground", read: into(&q.DistanceNM, say.Distance.Parse)}),
			variationParameter(&q.Variation),
			{name: "date", value: "2026-06-14", help: "for the variation of a magnetic bearing", read: maybe(&q.Date, say.ParseDate)},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func sunSum(env Env) sumCommand {
	var q sums.Sun
	var date *say.Date
	return sumCommand{
		name: "sun", short: "Sunrise, sunset and civil twilight",
		long: "sun gives the times of one solar day at a place, UTC: of a date by local mean time, so that by UTC they may fall on the date before or\n" +
			"after, or of the day around a moment. Without a date it is today.",
		examples: []string{"51.5,-0.12 2026-06-21", "N69 39 E018 58 date 2026-12-21", "at 52.7,-1.2 date 2026-05-15T19:40:00Z --json"},
		takes: []parameter{
			inPlace(parameter{name: "at", also: []string{"position"}, value: "position", help: placeForms, read: into(&q.At, parsePlace)}),
			{name: "date", also: []string{"on"}, value: "2026-06-21", help: "a date, or a moment in RFC 3339", placed: true, read: maybe(&date, say.ParseDate)},
		},
		sum: func() (sums.Sum, error) {
			q.Date = today(env)
			if date != nil {
				q.Date = *date
			}
			return q.Sum()
		},
	}
}

func variationSum(env Env) sumCommand {
	var q sums.Variation
	var date *say.Date
	return sumCommand{
		name: "variation", formerly: "declination", short: "Magnetic variation of a place and date",
		long:     "variation gives the angle from true to magnetic north by WMM2025, east positive, after 2029 extrapolated. Without a date it is today's.",
		examples: []string{"51.5,-0.12 2026-01-01", "at N52 21 W002 24 date 2026-05-15 height 4500 ft --json"},
		takes: []parameter{
			inPlace(parameter{name: "at", also: []string{"position"}, value: "position", help: placeForms, read: into(&q.At, parsePlace)}),
			{name: "date", also: []string{"on"}, value: "2026-06-21", help: "a date, or a moment in RFC 3339", placed: true, read: maybe(&date, say.ParseDate)},
			{name: "height", also: []string{"altitude"}, value: "ft", help: "above sea level: 4500 ft, 850 km, from -1 to 850 km", read: into(&q.HeightFt, say.ParseModelHeight)},
		},
		sum: func() (sums.Sum, error) {
			q.Date = today(env)
			if date != nil {
				q.Date = *date
			}
			return q.Sum()
		},
	}
}
