package air

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"example.com/legclock/internal/angle"
)

// Wind is a horizontal movement of the air.
type Wind struct {
	FromTrue float64 `json:"from"` // degrees true it blows from
	SpeedKt  float64 `json:"kt"`
}

// Components returns the vector the air moves to, in knots: positive north and east.
func (w Wind) Components() (north, east float64) {
	return -w.SpeedKt * angle.Cos(w.FromTrue), -w.SpeedKt * angle.Sin(w.FromTrue)
}

// WindFromComponents returns the wind whose air moves by a vector, in knots: the inverse of Components. Still air is from
// 0 degrees.
func WindFromComponents(north, east float64) Wind {
	if north == 0 && east == 0 {
		return Wind{}
	}
	return Wind{FromTrue: angle.Direction(-north, -east), SpeedKt: math.Hypot(north, east)}
}

// Along splits a wind for a direction of flight, in knots: headwind positive against it (a tailwind is negative),
// crosswind positive from the right.
func (w Wind) Along(directionTrue float64) (headwindKt, crosswindKt float64) {
	from := angle.Turn(directionTrue, w.FromTrue)
	return w.SpeedKt * angle.Cos(from), w.SpeedKt * angle.Sin(from)
}

// String writes a wind as pilots do: "240/15", three figures of direction and the knots, or "calm" below half a knot.
func (w Wind) String() string {
	if w.SpeedKt < 0.5 {
		return "calm"
	}
	return fmt.Sprintf("%03d/%02.0f", angle.Whole(w.FromTrue), w.SpeedKt)
}

// Level is what a forecast says of the air at one altitude.
type Level struct {
	AltitudeFt float64 `json:"altitude"`
	Wind       Wind    `json:"wind"`
	Deviation  float64 `json:"deviation"` // degrees Celsius from standard
}

// Layers are levels sorted by altitude, lowest first, no two at one altitude. No levels at all are still, standard air.
type Layers []Level

// NewLayers returns the levels sorted. It does not change its argument.
func NewLayers(levels []Level) Layers {
	return slices.SortedStableFunc(slices.Values(levels), func(a, b Level) int {
		switch {
		case a.AltitudeFt < b.AltitudeFt:
			return -1
		case a.AltitudeFt > b.AltitudeFt:
			return 1
		}
		return 0
	})
}

// At returns the wind and the deviation from standard at an altitude. Between two levels the components of the wind, not
// its angle and speed, and the deviation go linearly with height; below the lowest and above the highest it is theirs.
func (l Layers) At(altitudeFt float64) (wind Wind, deviationC float64) {
	if len(l) == 0 {
		return Wind{}, 0
	}
	above := sort.Search(len(l), func(i int) bool { return l[i].AltitudeFt >= altitudeFt })
	switch {
	case above == len(l):
		return l[above-1].Wind, l[above-1].Deviation
	case above == 0 || l[above].AltitudeFt == altitudeFt:
		return l[above].Wind, l[above].Deviation
	}
	return between(l[above-1], l[above], altitudeFt)
}

func between(lower, upper Level, altitudeFt float64) (wind Wind, deviationC float64) {
	share := (altitudeFt - lower.AltitudeFt) / (upper.AltitudeFt - lower.AltitudeFt)
	lowerNorth, lowerEast := lower.Wind.Components()
	upperNorth, upperEast := upper.Wind.Components()
	wind = WindFromComponents(lowerNorth+share*(upperNorth-lowerNorth), lowerEast+share*(upperEast-lowerEast))
	return wind, lower.Deviation + share*(upper.Deviation-lower.Deviation)
}
