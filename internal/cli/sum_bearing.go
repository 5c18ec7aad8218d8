package cli

import (
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

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
			{name: "heading", value: "094", help: "steered so far, magnetic, or true with T behind it", read: maybe(&q.Heading, say.ParseDirection)},
		},
		sum: func() (sums.Sum, error) {
			if legNM != nil {
				if q.ToGoNM != nil {
					return sums.Sum{}, &say.Misread{Wrong: "to-go and leg say the same", Right: "give one of them"}
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
			{name: "change", value: "degrees", help: "of a bearing that was abeam", placed: true, read: maybe(&q.ChangeDeg, say.Angle.Parse)},
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
