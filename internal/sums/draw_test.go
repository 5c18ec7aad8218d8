package sums_test

import (
	"math"
	"time"

	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// asked is any sum with what it was given.
type asked interface{ Sum() (sums.Sum, error) }

// draws has a way to draw what each sum may be given: figures as pilots write them, of flights likely and unlikely.
var draws = map[string]func(*rapid.T) asked{
	"heading": func(t *rapid.T) asked {
		return sums.Heading{
			Track: aDirection(t, "track"), TASKt: figureOf(t, "tas", 0, 250), Wind: aWind(t), Variation: maybe(t, "variation", variation),
			Deviation: maybe(t, "deviation", variation), DistanceNM: maybe(t, "distance", distance), Flow: maybe(t, "flow", flow),
		}
	},
	"track": func(t *rapid.T) asked {
		return sums.Track{Heading: aDirection(t, "heading"), TASKt: figureOf(t, "tas", 0, 250), Wind: aWind(t), Variation: maybe(t, "variation", variation)}
	},
	"wind": func(t *rapid.T) asked {
		return sums.Wind{
			Heading: aDirection(t, "heading"), Track: aDirection(t, "track"), TASKt: figureOf(t, "tas", 0, 250),
			GroundspeedKt: figureOf(t, "groundspeed", 0, 250), Variation: maybe(t, "variation", variation),
		}
	},
	"tas": func(t *rapid.T) asked {
		return sums.TAS{CASKt: figureOf(t, "cas", 1, 300), Level: aLevel(t, "level"), QNHHPa: maybe(t, "qnh", qnh), Temperature: maybe(t, "temperature", aTemperature)}
	},
	"altitude": func(t *rapid.T) asked {
		return sums.Altitude{Level: aLevel(t, "level"), QNHHPa: maybe(t, "qnh", qnh), Temperature: maybe(t, "temperature", aTemperature)}
	},
	"groundspeed": func(t *rapid.T) asked {
		g := sums.Groundspeed{
			DistanceNM: maybe(t, "distance", distance), Minutes: maybe(t, "minutes", minutes), ToGoNM: maybe(t, "to go", distance), Flow: maybe(t, "flow", flow),
		}
		if (g.DistanceNM == nil) != (g.Minutes == nil) {
			g.GroundspeedKt = sums.With(figureOf(t, "groundspeed", 0, 250))
		}
		return g
	},
	"offtrack": func(t *rapid.T) asked {
		return sums.OffTrack{
			OffNM: figureOf(t, "off", -30, 30), FlownNM: distance(t), ToGoNM: maybe(t, "to go", distance), RegainNM: maybe(t, "regain", distance),
			Heading: maybe(t, "heading", func(t *rapid.T) say.Direction { return aDirection(t, "steered") }),
		}
	},
	"divert": func(t *rapid.T) asked {
		q := sums.Divert{
			From: aPlace(t, "from"), TASKt: figureOf(t, "tas", 0, 250), Wind: aWind(t), Flow: maybe(t, "flow", flow), Fuel: maybe(t, "fuel", flow),
			ReserveMinutes: maybe(t, "reserve", minutes),
		}
		q.To = earth.Position{Lat: min(90, max(-90, q.From.Lat+figureOf(t, "north", -3, 3))), Lon: math.Remainder(q.From.Lon+figureOf(t, "east", -3, 3), 360)}
		if rapid.Bool().Draw(t, "leaving") {
			q.Leave = aMoment(t, "leave")
		} else if rapid.Bool().Draw(t, "dated") {
			q.Date = &say.Date{At: midnight.AddDate(0, 0, rapid.IntRange(-500, 1200).Draw(t, "days"))}
		}
		return q
	},
	"station": func(t *rapid.T) asked {
		q := sums.Station{Minutes: minutes(t), TASKt: maybe(t, "tas", speed), Flow: maybe(t, "flow", flow)}
		switch rapid.IntRange(0, 2).Draw(t, "method") {
		case 0:
			q.ChangeDeg = sums.With(figureOf(t, "change", 0, 100))
		case 1:
			q.Doubled = true
		default:
			q.Relative = &[2]float64{aDirection(t, "first").Degrees, aDirection(t, "second").Degrees}
		}
		return q
	},
	"equaltime": func(t *rapid.T) asked {
		return sums.EqualTime{DistanceNM: distance(t), Ways: ways(t), OutKt: maybe(t, "out", speed)}
	},
	"noreturn": func(t *rapid.T) asked {
		n := sums.NoReturn{Ways: ways(t), ReserveMinutes: maybe(t, "reserve", minutes), DistanceNM: maybe(t, "leg", distance)}
		if rapid.Bool().Draw(t, "by fuel") {
			n.Fuel = &say.Fuel{Amount: figureOf(t, "fuel", 0, 300), Unit: "l"}
			n.Flow = new(flow(t))
			n.FlowBack = maybe(t, "flow back", flow)
		} else {
			n.EnduranceMinutes = sums.With(minutes(t))
		}
		return n
	},
	"distance": func(t *rapid.T) asked {
		return sums.Distance{From: aPlace(t, "from"), To: aPlace(t, "to"), Date: maybe(t, "date", aDate), GroundspeedKt: maybe(t, "groundspeed", speed)}
	},
	"sun": func(t *rapid.T) asked { return sums.Sun{At: aPlace(t, "at"), Date: aDate(t)} },
	"variation": func(t *rapid.T) asked {
		return sums.Variation{At: aPlace(t, "at"), Date: aDate(t), HeightFt: figureOf(t, "height", 0, 10000)}
	},
	"descent": func(t *rapid.T) asked {
		d := sums.Descent{
			From: aLevel(t, "from"), To: aLevel(t, "to"), QNHHPa: maybe(t, "qnh", qnh), GroundspeedKt: speed(t), BeforeNM: maybe(t, "before", distance), ETA: aMoment(t, "eta"),
		}
		switch rapid.IntRange(0, 2).Draw(t, "by") {
		case 0:
			d.RateFtPerMin = sums.With(figureOf(t, "rate", 100, 2000))
		case 1:
			d.AngleDeg = sums.With(figureOf(t, "path", 0.5, 10))
		default:
			d.WithinNM = sums.With(distance(t))
		}
		return d
	},
	"hold": func(t *rapid.T) asked {
		h := sums.Hold{Flow: new(flow(t)), ReserveMinutes: maybe(t, "reserve", minutes)}
		if rapid.Bool().Draw(t, "by times") {
			h.ETA, h.Arrive = midnight.Add(time.Hour), midnight.Add(time.Hour+time.Duration(rapid.IntRange(-1800, 3600).Draw(t, "seconds"))*time.Second)
		} else {
			h.DelayMinutes = sums.With(minutes(t))
		}
		if rapid.Bool().Draw(t, "fuel known") {
			h.Fuel = &say.Fuel{Amount: figureOf(t, "fuel", 0, 300)}
		}
		if rapid.Bool().Draw(t, "to go known") {
			h.ToGoNM, h.GroundspeedKt = sums.With(distance(t)), sums.With(speed(t))
			if track := aDirection(t, "track"); rapid.Bool().Draw(t, "wind known") {
				h.Track, h.Wind, h.Variation = &track, new(aWind(t)), maybe(t, "variation", variation)
			}
		}
		return h
	},
	"legs": func(t *rapid.T) asked {
		q := sums.Legs{Flow: maybe(t, "flow", flow)}
		for range rapid.IntRange(1, 5).Draw(t, "legs") {
			q.DistancesNM = append(q.DistancesNM, distance(t))
		}
		q.GroundspeedsKt = []float64{speed(t)}
		if rapid.Bool().Draw(t, "a groundspeed each") {
			for range len(q.DistancesNM) - 1 {
				q.GroundspeedsKt = append(q.GroundspeedsKt, speed(t))
			}
		}
		if rapid.Bool().Draw(t, "departure known") {
			q.Leave = aMoment(t, "leave")
			passed := q.Leave
			for range rapid.IntRange(0, len(q.DistancesNM)).Draw(t, "passed") {
				passed = passed.Add(time.Duration(rapid.IntRange(1, 9000).Draw(t, "later")) * time.Second)
				q.Passed = append(q.Passed, passed)
			}
		}
		return q
	},
	"position": func(t *rapid.T) asked {
		q := sums.Position{From: aPlace(t, "from"), DistanceNM: distance(t), Variation: maybe(t, "variation", variation)}
		if bearing := aDirection(t, "bearing"); rapid.Bool().Draw(t, "radial") {
			q.Radial = &bearing
		} else {
			q.Bearing = &bearing
		}
		if q.Variation == nil {
			q.Date = maybe(t, "date", aDate)
		}
		return q
	},
	"reserve": func(t *rapid.T) asked {
		q := sums.Reserve{Flow: maybe(t, "flow", flow), Holding: maybe(t, "holding", flow)}
		if rapid.Bool().Draw(t, "night said") {
			q.Night = new(rapid.Bool().Draw(t, "night"))
		} else {
			q.At, q.Arrive = new(aPlace(t, "at")), aMoment(t, "arrive")
		}
		return q
	},
	"slant": func(t *rapid.T) asked {
		q := sums.Slant{HeightFt: figureOf(t, "height", 0, 20000)}
		if rapid.Bool().Draw(t, "from a reading") {
			q.SlantNM = sums.With(figureOf(t, "dme", 0, 100))
		} else {
			q.GroundNM = sums.With(figureOf(t, "ground", 0, 100))
		}
		return q
	},
}

var midnight = time.Date(2026, 6, 14, 0, 0, 0, 0, time.UTC)

// figureOf draws a figure with one decimal.
func figureOf(t *rapid.T, label string, low, high float64) float64 {
	return float64(rapid.IntRange(int(10*low), int(10*high)).Draw(t, label)) / 10
}

func maybe[T any](t *rapid.T, label string, draw func(*rapid.T) T) *T {
	if !rapid.Bool().Draw(t, label+" known") {
		return nil
	}
	return new(draw(t))
}

func speed(t *rapid.T) float64     { return figureOf(t, "speed", 0, 250) }
func distance(t *rapid.T) float64  { return figureOf(t, "distance", 0, 300) }
func minutes(t *rapid.T) float64   { return float64(rapid.IntRange(0, 20000).Draw(t, "seconds")) / 60 }
func variation(t *rapid.T) float64 { return figureOf(t, "variation", -30, 30) }
func qnh(t *rapid.T) float64       { return figureOf(t, "qnh", 960, 1050) }
func flow(t *rapid.T) say.Fuel     { return say.Fuel{Amount: figureOf(t, "flow", 0.5, 60), Unit: "l"} }

func aDirection(t *rapid.T, label string) say.Direction {
	north := say.North(rapid.IntRange(0, 2).Draw(t, label+" north"))
	return say.Direction{Degrees: float64(rapid.IntRange(0, 359).Draw(t, label)), North: north}
}

func aWind(t *rapid.T) air.Wind {
	return air.Wind{FromTrue: float64(rapid.IntRange(0, 359).Draw(t, "from")), SpeedKt: float64(rapid.IntRange(0, 120).Draw(t, "kt"))}
}

func aLevel(t *rapid.T, label string) say.Level {
	if rapid.Bool().Draw(t, label+" is a flight level") {
		return say.Level{Feet: 500 * float64(rapid.IntRange(2, 50).Draw(t, label)), FlightLevel: true}
	}
	return say.Level{Feet: float64(rapid.IntRange(-100, 12000).Draw(t, label))}
}

func aTemperature(t *rapid.T) say.Temperature {
	return say.Temperature{Celsius: figureOf(t, "temperature", -30, 30), FromISA: rapid.Bool().Draw(t, "from standard")}
}

func aPlace(t *rapid.T, label string) earth.Position {
	return earth.Position{Lat: rapid.Float64Range(-90, 90).Draw(t, label), Lon: rapid.Float64Range(-180, 180).Draw(t, label)}
}

func aMoment(t *rapid.T, label string) time.Time {
	return midnight.Add(time.Duration(rapid.IntRange(0, 86399).Draw(t, label)) * time.Second)
}

func aDate(t *rapid.T) say.Date {
	if rapid.Bool().Draw(t, "moment") {
		return say.Date{At: aMoment(t, "at"), Moment: true}
	}
	return say.Date{At: midnight.AddDate(0, 0, rapid.IntRange(-500, 1200).Draw(t, "days"))}
}

func ways(t *rapid.T) sums.Ways {
	if rapid.Bool().Draw(t, "speeds known") {
		return sums.Ways{OnKt: sums.With(speed(t)), BackKt: sums.With(speed(t))}
	}
	track := aDirection(t, "track")
	wind := aWind(t)
	return sums.Ways{Track: &track, TASKt: sums.With(speed(t)), Wind: &wind, Variation: maybe(t, "variation", variation)}
}
