package export

import (
	"math"
	"strconv"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
)

// degrees writes a latitude or longitude to seven decimals, without zeros at the end.
func degrees(value float64) string { return strconv.FormatFloat(roundedTo(value, 1e7), 'f', -1, 64) }

// longitude is a longitude from -180 up to but not 180, as GPX wants it.
func longitude(value float64) float64 {
	if rounded := roundedTo(value, 1e7); rounded >= 180 {
		return rounded - 360
	}
	return value
}

// metres writes an altitude in feet as metres, to the decimetre.
func metres(altitudeFt float64) string {
	return strconv.FormatFloat(roundedTo(altitudeFt*air.MetresPerFoot, 10), 'f', -1, 64)
}

func metresOf(altitudeFt *float64) string {
	if altitudeFt == nil {
		return ""
	}
	return metres(*altitudeFt)
}

// roundedTo rounds to a part of one; negative zero is zero.
func roundedTo(value, parts float64) float64 { return math.Round(value*parts)/parts + 0 }

// roundedOf rounds a figure that may not be known.
func roundedOf(value *float64, parts float64) *float64 {
	if value == nil {
		return nil
	}
	rounded := roundedTo(*value, parts)
	return &rounded
}

// moment writes a time; empty for the zero time.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}

func momentOf(t *time.Time) string {
	if t == nil {
		return ""
	}
	return moment(*t)
}

// longestStraightNM is how long a line drawn straight between two positions may be. Over 30 nm at 60° of latitude a geodesic bulges
// less than 0.06 nm from it.
const longestStraightNM = 30

// way is a line along the geodesics between route points.
func way(route []RoutePoint) []earth.Position {
	var line []earth.Position
	for i, point := range route {
		if i > 0 {
			leg := earth.NewLine(route[i-1].At, point.At)
			pieces := int(math.Ceil(leg.DistanceNM() / longestStraightNM))
			for piece := 1; piece < pieces; piece++ {
				at, _ := leg.At(leg.DistanceNM() * float64(piece) / float64(pieces))
				line = append(line, at)
			}
		}
		line = append(line, point.At)
	}
	return line
}
