package air

import (
	"fmt"
	"math"
	"slices"

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
	above, between := l.find(altitudeFt)
	switch {
	case len(l) == 0:
		return Wind{}, 0
	case !between:
		return l[above].Wind, l[above].Deviation
	}
	return interpolated(vectorOf(l[above-1]), vectorOf(l[above]), altitudeFt)
}

// find is the level that holds at an altitude or, where it lies between two, the upper of them.
func (l Layers) find(altitudeFt float64) (index int, between bool) {
	above := 0
	for above < len(l) && l[above].AltitudeFt < altitudeFt {
		above++
	}
	if above == len(l) {
		return above - 1, false
	}
	return above, above > 0 && l[above].AltitudeFt != altitudeFt
}

// levelVector is a level with its wind as a vector.
type levelVector struct{ altitudeFt, north, east, deviation float64 }

func vectorOf(l Level) levelVector {
	north, east := l.Wind.Components()
	return levelVector{l.AltitudeFt, north, east, l.Deviation}
}

func interpolated(lower, upper levelVector, altitudeFt float64) (wind Wind, deviationC float64) {
	share := (altitudeFt - lower.altitudeFt) / (upper.altitudeFt - lower.altitudeFt)
	wind = WindFromComponents(lower.north+share*(upper.north-lower.north), lower.east+share*(upper.east-lower.east))
	return wind, lower.deviation + share*(upper.deviation-lower.deviation)
}

// Profile is layers that are asked at many altitudes: their vectors are worked out once. The zero value is of still air.
type Profile struct {
	layers  Layers
	vectors []levelVector
}

// Set makes a profile that of other layers, in the room that it has.
func (p *Profile) Set(layers Layers) {
	p.layers, p.vectors = layers, p.vectors[:0]
	for _, level := range layers {
		p.vectors = append(p.vectors, vectorOf(level))
	}
}

// At is what Layers.At is.
func (p *Profile) At(altitudeFt float64) (wind Wind, deviationC float64) {
	if index, between := p.layers.find(altitudeFt); between {
		return interpolated(p.vectors[index-1], p.vectors[index], altitudeFt)
	}
	return p.layers.At(altitudeFt)
}
