package practice

import (
	"math"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
)

// navigator flies a practice flight by hand as well as it can be flown: it knows where it is and how the wind blows, and logs what
// passes in the second in which it does.
type navigator struct {
	*rig
	answers func(q question) string // nil: questions are left open
	asleep  func(minutes float64) bool
	aside   func(minutes float64) float64 // degrees to the right of the way back to the track; nil: none
	says    bool                          // how far off track it is, with every passing
	point   int                           // of the leg: checkpoints, then its end
	minute  float64                       // how far it has flown
}

// looksEvery is how often the navigator looks, in minutes.
const looksEvery = 5.0 / 60

// fly flies to the landing, or until so many minutes after off-blocks.
func (n *navigator) fly(until float64) {
	legs := n.world.sheet.Route.Legs
	for n.minute = max(n.minute, 5); n.minute+looksEvery < until && n.world.landed.IsZero(); {
		n.minute += looksEvery
		minute := n.minute
		c := n.craft(minute)
		if n.asleep != nil && n.asleep(minute) {
			continue
		}
		if c.leg >= len(legs) {
			n.does(minute, flight.Event{Act: flight.Landed})
			return
		}
		n.steer(minute, c)
		n.log(minute, c)
		n.tanks(minute)
		if q := n.exam.open; q != nil && n.answers != nil {
			n.does(minute+0.01, flight.Event{Act: flight.Answered, Prompt: q.ID, Text: n.answers(*q)})
		}
	}
}

// steer holds the leg's line and its level, and lets down in time.
func (n *navigator) steer(minute float64, c craft) {
	leg := n.world.sheet.Route.Legs[c.leg]
	along, right := earth.Abeam(leg.From.At, leg.To.At, c.at)
	wind, _ := n.world.air.Layers.At(c.altitudeFt)
	track := leg.TrackAt(along).TrackTrue - max(-40, min(40*right, 40))
	if n.aside != nil && n.aside(minute) != 0 {
		track = leg.TrackAt(along).TrackTrue + n.aside(minute)
	}
	h, err := deadreckon.HeadingFor(track, c.tasKt, wind)
	require.NoError(n.t, err)
	compass := float64(angle.Whole(n.world.compassOf(deadreckon.MagneticFromTrue(h.HeadingTrue, c.field))))
	if math.Abs(angle.Turn(c.compass, compass)) >= 1 {
		n.does(minute, steer(compass))
	}
	altitudeFt := leg.AltitudeFt
	if arrivalFt, ok := n.world.sheet.Route.ArrivalFt(); ok && c.leg == len(n.world.sheet.Route.Legs)-1 && (c.altitudeFt-arrivalFt)/500 > (leg.DistanceNM-along)/c.groundKt*60 {
		altitudeFt = arrivalFt
	}
	if math.Abs(altitudeFt-c.controls.altitudeFt) > 1 && c.controls.altitudeFt > 1500 {
		n.does(minute, flight.Event{Act: flight.Controls, Altitude: &altitudeFt})
	}
}

// log logs the next point once it is abeam.
func (n *navigator) log(minute float64, c craft) {
	leg := n.world.sheet.Route.Legs[c.leg]
	along, right := earth.Abeam(leg.From.At, leg.To.At, c.at)
	off := &right
	if !n.says {
		off = nil
	}
	if n.point < len(leg.Checkpoints) {
		if checkpoint := leg.Checkpoints[n.point]; along >= checkpoint.AfterNM {
			n.point++
			n.does(minute, flight.Event{Act: flight.Passing, Point: checkpoint.Name, OffTrack: off})
		}
		return
	}
	if along >= leg.DistanceNM-0.01 {
		n.point = 0
		n.does(minute, flight.Event{Act: flight.Passing, Point: leg.To.Ident, OffTrack: off})
	}
}

// tanks changes tanks when that is due.
func (n *navigator) tanks(minute float64) {
	if change := n.State.At(n.at(minute)).Tanks.NextChange; change != nil && !change.At.After(n.at(minute)) {
		n.does(minute, flight.Event{Act: flight.TankChange, Tank: change.To})
	}
}

// flown is a whole flight by the navigator.
func flown(t require.TestingT, seed uint64, change func(*navigator)) *navigator {
	n := &navigator{rig: seated(t, seed)}
	if change != nil {
		change(n)
	}
	n.fly(150)
	return n
}

// ended is when the flight was over.
func (n *navigator) ended() time.Time { return n.world.landed }
