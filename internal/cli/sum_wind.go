package cli

import (
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
	return parameter{name: "groundspeed", also: []string{"gs"}, value: "kt", help: "groundspeed", read: read}
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
		long: "heading solves the wind triangle for the heading and the groundspeed. A track counts from true north, or with M behind it from\n" +
			"magnetic north; then the variation is needed. With the distance it gives the time, with a flow the fuel.",
		examples: []string{"090 tas 120 wind 045/40", "045M 130 190/30 variation 15E", "--track 295 --tas 102 --wind 240/18 --variation 0.5E --distance 36.5 --flow 8 --json"},
		takes: []parameter{
			inPlace(parameter{name: "track", value: "090", help: "true, or magnetic with M behind it", read: into(&q.Track, say.ParseDirection)}),
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
		long:     "track solves the wind triangle for the track and the groundspeed made good on a heading, true or, with M behind it, magnetic.",
		examples: []string{"090 tas 160 wind 240/24", "355M 90 120/20 variation 3W"},
		takes: []parameter{
			inPlace(parameter{name: "heading", value: "090", help: "true, or magnetic with M behind it", read: into(&q.Heading, say.ParseDirection)}),
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
			inPlace(parameter{name: "heading", value: "090", help: "steered, true, or magnetic with M behind it", read: into(&q.Heading, say.ParseDirection)}),
			inPlace(tasParameter(into(&q.TASKt, say.Speed.Parse))),
			inPlace(parameter{name: "track", value: "090", help: "made good, true, or magnetic with M behind it", read: into(&q.Track, say.ParseDirection)}),
			inPlace(groundspeedParameter(into(&q.GroundspeedKt, say.Speed.Parse))),
			variationParameter(&q.Variation),
		},
		sum: func() (sums.Sum, error) { return q.Sum() },
	}
}
