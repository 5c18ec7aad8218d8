package cli

import (
	"fmt"
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// The parameters that several sums take.

func tasParameter(read func(string) error) parameter {
	return parameter{name: "tas", value: "kt", help: "true airspeed", read: read}
}

func windParameter(read func(string) error) parameter {
	return parameter{name: "wind", value: "from/kt", help: "where it blows from, true, and its speed: 240/15", read: read}
}

func variationParameter(target **float64) parameter {
	return parameter{name: "variation", also: []string{"declination", "var"}, value: "3W", help: "east positive: 3W, 0.5E, -3", read: maybe(target, say.ParseEast)}
}

func flowParameter(target **say.Fuel) parameter {
	return parameter{name: "flow", value: "8", help: "fuel an hour, for the fuel: 8, 30 l/h", read: maybe(target, say.ParseFlow)}
}

func groundspeedParameter(read func(string) error) parameter {
	return parameter{name: "groundspeed", also: []string{"gs"}, value: "kt", help: "speed over the ground", read: read}
}

// inPlace makes a parameter one that is needed and known by its place.
func inPlace(p parameter) parameter {
	p.placed, p.required = true, true
	return p
}

// needed makes a parameter one that is needed.
func needed(p parameter) parameter {
	p.required = true
	return p
}

// windSums are those of the wind triangle.
func windSums() []sumCommand {
	return []sumCommand{headingSum(), trackSum(), windSum()}
}

func headingSum() sumCommand {
	var q sums.Heading
	return sumCommand{
		name: "heading", short: "What to steer for a track in a wind",
		long: "heading solves the wind triangle for the heading and the groundspeed. A track counts from true north, or with M after it from\n" +
			"magnetic north; then the variation is needed. With the distance it gives the time, with a flow the fuel.",
		examples: []string{"090 tas 120 wind 045/40", "045M 130 190/30 variation 15E", "--track 295 --tas 102 --wind 240/18 --variation 0.5E --distance 36.5 --flow 8 --json"},
		takes: []parameter{
			inPlace(parameter{name: "track", value: "090", help: "true, or magnetic with M after it", read: into(&q.Track, say.ParseDirection)}),
			inPlace(tasParameter(into(&q.TASKt, say.Speed.Parse))),
			inPlace(windParameter(into(&q.Wind, say.ParseWind))),
			variationParameter(&q.Variation),
			{name: "deviation", also: []string{"dev"}, value: "2E", help: "of the compass, with its letter: a card's +2 is 2W", read: maybe(&q.Deviation, say.ParseDeviation)},
			{name: "distance", value: "nm", help: "for the time", read: maybe(&q.DistanceNM, say.Distance.Parse)},
			flowParameter(&q.Flow),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func trackSum() sumCommand {
	var q sums.Track
	return sumCommand{
		name: "track", short: "The track made good on a heading in a wind",
		long:     "track solves the wind triangle for the track and the groundspeed made good on a heading, true or, with M after it, magnetic.",
		examples: []string{"090 tas 160 wind 240/24", "355M 90 120/20 variation 3W"},
		takes: []parameter{
			inPlace(parameter{name: "heading", value: "090", help: "true, or magnetic with M after it", read: into(&q.Heading, say.ParseDirection)}),
			inPlace(tasParameter(into(&q.TASKt, say.Speed.Parse))),
			inPlace(windParameter(into(&q.Wind, say.ParseWind))),
			variationParameter(&q.Variation),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

func windSum() sumCommand {
	var q sums.Wind
	return sumCommand{
		name: "wind", short: "The wind, from what was steered and what was made good",
		long:     "wind solves the wind triangle for the wind, from heading and true airspeed, track made good and groundspeed.",
		examples: []string{"heading 296 tas 225 track 310 groundspeed 250", "085 95 105 87"},
		takes: []parameter{
			inPlace(parameter{name: "heading", value: "090", help: "steered, true, or magnetic with M after it", read: into(&q.Heading, say.ParseDirection)}),
			inPlace(tasParameter(into(&q.TASKt, say.Speed.Parse))),
			inPlace(parameter{name: "track", value: "090", help: "made good, true, or magnetic with M after it", read: into(&q.Track, say.ParseDirection)}),
			inPlace(groundspeedParameter(into(&q.GroundspeedKt, say.Speed.Parse))),
			variationParameter(&q.Variation),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

// speedSums are those of speeds and of the air.
func speedSums(env Env) []sumCommand {
	return []sumCommand{tasSum(), altitudeSum(), groundspeedSum(), legsSum(env)}
}

func levelParameter(level *say.Level) parameter {
	return parameter{name: "altitude", also: []string{"level"}, value: "4500", help: "feet on QNH, or FL065", read: into(level, say.ParseLevel)}
}

func qnhParameter(target **float64) parameter {
	hPa := func(text string) (float64, error) { value, _, err := say.ParseQNH(text); return value, err }
	return parameter{name: "qnh", value: "1019", help: "hPa, or inches of mercury: 29.92; without it 1013.25", read: maybe(target, hPa)}
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
			{name: "groundspeed", also: []string{"gs", "at"}, value: "kt", help: "speed over the ground", read: maybe(&q.GroundspeedKt, say.Speed.Parse)},
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
			{name: "legs", also: []string{"distances"}, value: "nm...", help: "the length of each leg: 36.5 38.7 40.3", placed: true, required: true, list: true, read: several(&q.DistancesNM, say.Distance.Parse)},
			needed(parameter{name: "groundspeed", also: []string{"gs", "at"}, value: "kt...", help: "for all legs, or for each", read: several(&q.GroundspeedsKt, say.Speed.Parse)}),
			{name: "leave", also: []string{"leaving"}, value: "13:05", help: "over the start, UTC", read: into(&q.Leave, momentOfToday(env))},
			{name: "passed", value: "13:31:42...", help: "over the ends of the first legs, in order, UTC", read: several(&q.Passed, momentOfToday(env))},
			flowParameter(&q.Flow),
		},
		sum: func() (sums.Sum, error) {
			for i := range q.Passed {
				q.Passed[i] = pastMidnight(q.Passed[i], q.Leave)
			}
			return q.Sum()
		},
	}
}

// pastMidnight is a time of day on the day after, where it would lie half a day and more before the one it follows.
func pastMidnight(at, after time.Time) time.Time {
	if !at.IsZero() && !after.IsZero() && at.Before(after.Add(-12*time.Hour)) && after.Sub(at) < 24*time.Hour {
		return at.AddDate(0, 0, 1)
	}
	return at
}

// bearingSums are those of small angles and of beacons.
func bearingSums() []sumCommand {
	return []sumCommand{offTrackSum(), stationSum(), slantSum()}
}

func offTrackSum() sumCommand {
	var q sums.OffTrack
	var legNM *float64
	return sumCommand{
		name: "offtrack", short: "What to turn when off track, by 1 in 60",
		long: "offtrack gives the track error and, with a distance to go, the closing angle and the turn to the end of the leg; with regain, the turns\n" +
			"back onto the track after so many miles. The exact figure stands beside the rule's where they differ by a degree or more.",
		examples: []string{"9 right after 95 to go 125", "2 left after 20 of 40.3 heading 058", "1 right after 20 regain 20 heading 094", "6 left 40 20 --json"},
		takes: []parameter{
			inPlace(parameter{name: "off", also: []string{"off-track"}, value: "nm-side", help: "how far and which side of the track: 2 left, R 0.8", read: into(&q.OffNM, say.Distance.ParseSide)}),
			inPlace(parameter{name: "flown", also: []string{"after"}, value: "nm", help: "along the track since it was left", read: into(&q.FlownNM, say.Distance.Parse)}),
			{name: "to-go", also: []string{"togo"}, value: "nm", help: "to the end of the leg", placed: true, read: maybe(&q.ToGoNM, say.Distance.Parse)},
			{name: "leg", also: []string{"of"}, value: "nm", help: "the whole leg, instead of to-go", read: maybe(&legNM, say.Distance.Parse)},
			{name: "regain", value: "nm", help: "be back on the track after so many miles along it", read: maybe(&q.RegainNM, say.Distance.Parse)},
			{name: "heading", value: "094", help: "steered so far, magnetic, or true with T after it", read: maybe(&q.Heading, say.ParseDirection)},
		},
		sum: func() (sums.Sum, error) {
			if legNM != nil {
				if q.ToGoNM != nil {
					return sums.Sum{}, &say.Misread{Wrong: "to-go and leg say the same", Right: "give one of them"}
				}
				if *legNM <= q.FlownNM {
					return sums.Sum{}, &say.Misread{
						Wrong: fmt.Sprintf("the leg of %s ends before the %s that were flown along it", say.Distance.Say(*legNM, 2), say.Distance.Say(q.FlownNM, 2)),
						Right: "give the whole leg, for example after 20 of 40.3, or what is to go",
					}
				}
				q.ToGoNM = sums.With(*legNM - q.FlownNM)
			}
			return q.Sum()
		},
	}
}

func stationSum() sumCommand {
	var q sums.Station
	var first, second *say.Direction
	return sumCommand{
		name: "station", short: "Time and distance to a beacon by its bearings",
		long: "station knows three ways: the change of a bearing that was on the wing tip (60 × minutes / degrees), a bearing from the nose that\n" +
			"has doubled, and any two bearings from the nose. It says where the rule is poor. With an airspeed it gives the distance.",
		examples: []string{"10 degrees in 75 s tas 120", "doubled in 6 min tas 105", "relative 045 then 060 in 6 min tas 110 --json"},
		takes: []parameter{
			{name: "change", value: "degrees", help: "how far a bearing has changed that was abeam", placed: true, read: maybe(&q.ChangeDeg, say.Angle.Parse)},
			{name: "doubled", help: "the bearing from the nose has doubled", read: func(string) error { q.Doubled = true; return nil }},
			{name: "relative", value: "045", help: "first bearing, clockwise from the nose", read: maybe(&first, say.ParseDirection)},
			{name: "then", value: "060", help: "second bearing from the nose", read: maybe(&second, say.ParseDirection)},
			needed(parameter{name: "in", also: []string{"time"}, value: "1:15", help: "time between the bearings: 1:15, 75 s", read: into(&q.Minutes, say.ParseSpan), span: minutesAndSeconds}),
			tasParameter(maybe(&q.TASKt, say.Speed.Parse)),
			flowParameter(&q.Flow),
		},
		sum: func() (sums.Sum, error) {
			switch {
			case first != nil && second != nil:
				q.Relative = &[2]float64{first.Degrees, second.Degrees}
			case first != nil || second != nil:
				return sums.Sum{}, &say.Misread{Wrong: "two bearings from the nose are needed", Right: "for example relative 045 then 060"}
			}
			return q.Sum()
		},
	}
}

func slantSum() sumCommand {
	var q sums.Slant
	return sumCommand{
		name: "slant", short: "The distance over the ground of a DME reading, or the reading at a distance",
		long:     "slant takes a DME's slant range and the height above the station and gives the distance over the ground; with ground, the other way round.",
		examples: []string{"5 nm 6000 ft", "dme 0.95 height 6000", "ground 5 height 4000"},
		takes: []parameter{
			{name: "dme", value: "nm", help: "what the DME shows", placed: true, read: maybe(&q.SlantNM, say.Distance.Parse)},
			inPlace(parameter{name: "height", value: "ft", help: "above the station", read: into(&q.HeightFt, say.Height.Parse)}),
			{name: "ground", value: "nm", help: "over the ground, for the reading", read: maybe(&q.GroundNM, say.Distance.Parse)},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}

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
			inPlace(parameter{name: "from", value: "position", help: "where from: " + placeForms, read: into(&q.From, parsePlace)}),
			inPlace(parameter{name: "to", value: "position", help: "where to, in the same forms", read: into(&q.To, parsePlace)}),
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
		long: "position gives the place on a bearing, or a radial, at a distance from another. A bearing is true, or with M after it magnetic; a radial is\n" +
			"magnetic. Then the variation is needed, of a VOR its station declination, or the date for the magnetic model's.",
		examples: []string{"N52 21 W002 24 328.9 38.69", "56.373,-3.862 096M 25 variation 2.5W", "N52 21 W002 24 radial 329 distance 38.7 variation 2W", "from 52.35,-2.4 bearing 329M distance 38.7 date 2026-05-15 --json"},
		takes: []parameter{
			inPlace(parameter{name: "from", value: "position", help: placeForms, read: into(&q.From, parsePlace)}),
			{name: "bearing", also: []string{"track"}, value: "096", help: "from there, true, or magnetic with M after it", placed: true, read: maybe(&q.Bearing, say.ParseDirection)},
			inPlace(parameter{name: "distance", value: "nm", help: "over the ground, in nm", read: into(&q.DistanceNM, say.Distance.Parse)}),
			{name: "radial", value: "096", help: "of a VOR, instead of the bearing: magnetic, with the station declination for variation", read: maybe(&q.Radial, say.ParseDirection)},
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
			inPlace(parameter{name: "at", also: []string{"position"}, value: "position", help: "the place: " + placeForms, read: into(&q.At, parsePlace)}),
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
			inPlace(parameter{name: "at", also: []string{"position"}, value: "position", help: "the place: " + placeForms, read: into(&q.At, parsePlace)}),
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

// arrivalSums are those of the end of a flight.
func arrivalSums(env Env) []sumCommand {
	return []sumCommand{divertSum(env), descentSum(env), holdSum(env), reserveSum(env)}
}

func midnight(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// momentOfToday reads a time of the command line on today's date.
func momentOfToday(env Env) func(string) (time.Time, error) {
	return func(text string) (time.Time, error) {
		at, err := parseMoment(text, env.Now().UTC())
		if err != nil {
			err = &say.Misread{Text: text, Wrong: "is not a time of day", Right: timeForms}
		}
		return at, err
	}
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
			inPlace(parameter{name: "to", value: "position", help: "where to, in the same forms", read: into(&q.To, parsePlace)}),
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
			inPlace(parameter{name: "from", value: "4500", help: "the level to leave, feet on QNH, or FL065", read: into(&q.From, say.ParseLevel)}),
			inPlace(parameter{name: "to", value: "1500", help: "the lower level, feet on QNH, or FL045", read: into(&q.To, say.ParseLevel)}),
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
		long: "hold takes a delay, or the ETA and the time to arrive, and gives the patterns and the fuel; with usable fuel and a reserve, the longest\n" +
			"hold; with the distance to go and the groundspeed, how much slower to fly instead, and with track and wind at which airspeed.",
		examples: []string{"8 min flow 6 gal/h", "eta 10:42 arrive 10:50 flow 16 l/h fuel 40 l reserve 45", "delay 3 to go 24 groundspeed 96 track 045 wind 250/20", "delay 3 to go 24 groundspeed 96 --json"},
		takes: []parameter{
			{name: "delay", value: "8", help: "minutes to lose: 8, 8:30", placed: true, read: maybe(&q.DelayMinutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "eta", value: "10:42", help: "as it stands, UTC", read: into(&q.ETA, momentOfToday(env))},
			{name: "arrive", also: []string{"wanted"}, value: "10:50", help: "when to arrive, UTC", read: into(&q.Arrive, momentOfToday(env))},
			flowParameter(&q.Flow),
			{name: "fuel", value: "40", help: "usable when the hold begins", read: maybe(&q.Fuel, say.ParseFuel)},
			{name: "reserve", value: "45", help: "minutes kept, at the flow of the hold", read: maybe(&q.ReserveMinutes, say.ParseSpan), span: minutesAndSeconds},
			{name: "to-go", also: []string{"togo"}, value: "nm", help: "for how much slower to fly instead", read: maybe(&q.ToGoNM, say.Distance.Parse)},
			groundspeedParameter(maybe(&q.GroundspeedKt, say.Speed.Parse)),
			{name: "track", value: "045", help: "true, or magnetic with M after it: for the airspeed", read: maybe(&q.Track, say.ParseDirection)},
			windParameter(maybe(&q.Wind, say.ParseWind)),
			variationParameter(&q.Variation),
		},
		sum: func() (sums.Sum, error) {
			q.Arrive = pastMidnight(q.Arrive, q.ETA)
			return q.Sum()
		},
	}
}

func reserveSum(env Env) sumCommand {
	var q sums.Reserve
	said := func(night bool) func(string) error {
		return func(string) error {
			if q.Night != nil && *q.Night != night {
				return &say.Misread{Wrong: "day and night are both given", Right: "give one of them"}
			}
			q.Night = &night
			return nil
		}
	}
	return sumCommand{
		name: "reserve", short: "Which final reserve applies",
		long: "reserve gives the largest published final reserve for an arrival by day or by night, which is stated or follows from the place and the time,\n" +
			"the rules that ask for it and, with the flow, the fuel.",
		examples: []string{"night flow 8 gal/h", "day flow 24 l/h", "at 52.7,-1.2 arrive 2026-05-15T20:45:00Z flow 8 gal/h --json"},
		takes: []parameter{
			{name: "at", also: []string{"position"}, value: "position", help: "the place: " + placeForms, read: maybe(&q.At, parsePlace)},
			{name: "arrive", also: []string{"eta"}, value: "20:45", help: "UTC: 20:45, 20:45:30, RFC 3339", read: into(&q.Arrive, momentOfToday(env))},
			{name: "day", help: "the arrival is by day", read: said(false)},
			{name: "night", help: "the arrival is by night", read: said(true)},
			flowParameter(&q.Flow),
			{name: "holding", value: "6", help: "flow in the hold, for a rule that counts by it", read: maybe(&q.Holding, say.ParseFlow)},
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}
