package practice

import (
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
)

// controls are how the hands have set the aircraft.
type controls struct {
	compass    float64 // the heading to hold
	altitudeFt float64 // to be climbed or descended to
	tank       int
	receivers  []tuning // in the aircraft's order; changed by replacing it
}

// tuning is how a receiver is set.
type tuning struct {
	beacon      plan.Point // none without an ident
	course      float64
	declination float64 // what its radials count from
}

// controlOf names what an act of the hands sets; empty for what is no such act.
func controlOf(e flight.Event) string {
	switch e.Act {
	case flight.Steering:
		return "heading"
	case flight.TankChange:
		return "tank"
	case flight.Descend:
		return "altitude"
	case flight.Tuned:
		return "beacon " + e.Receiver
	case flight.Controls:
		if e.Receiver != "" {
			return "course " + e.Receiver
		}
		return "altitude"
	default:
		return ""
	}
}

// act is an act of the hands.
func (w *World) act(e flight.Event, at time.Time) {
	w.acts = append(w.acts, taken{e, at})
	w.rewind(at)
}

// release is an act taken back: the control goes to where the act before had put it. Where there was none it stays, but for the fuel
// selector, which goes back to the tank of the start.
func (w *World) release(control string, at time.Time) {
	for i := len(w.taken) - 1; i >= 0; i-- {
		if t := w.taken[i]; !w.void[i+1] && controlOf(t.Event) == control {
			w.act(t.Event, at)
			return
		}
	}
	if control == "tank" {
		w.act(flight.Event{Act: flight.TankChange, Tank: w.sheet.Plan.Fuel.StartOn}, at)
	}
}

// setBack takes the flight back to a time, or does nothing where that lies ahead.
func (w *World) setBack(to time.Time) {
	const together = time.Second // an act and the setting of the clock to its time
	for len(w.acts) > 0 && w.acts[len(w.acts)-1].at.After(to.Add(together)) {
		w.acts = w.acts[:len(w.acts)-1]
	}
	w.rewind(to)
}

// handle sets the controls as an act does.
func (w *World) handle(c *craft, e flight.Event) {
	switch e.Act {
	case flight.Steering:
		if e.Heading != nil {
			c.compass = *e.Heading
		}
	case flight.TankChange:
		if i := w.sheet.Plan.Aircraft.Fuel.TankIndex(e.Tank); i >= 0 {
			c.tank = i
		}
	case flight.Descend:
		if altitudeFt, ok := w.sheet.Route.ArrivalFt(); ok {
			c.controls.altitudeFt = altitudeFt
		}
	case flight.Tuned:
		w.tune(c, e)
	case flight.Passing:
		c.leg = w.after(c.leg, e.Point)
	case flight.Controls:
		switch {
		case e.Receiver != "" && e.Course != nil:
			c.setReceiver(w.receiver(e.Receiver), func(t *tuning) { t.course = *e.Course })
		case e.Altitude != nil:
			c.controls.altitudeFt = *e.Altitude
		}
	}
}

// receiver is a receiver's place on the panel, -1 for none of that name.
func (w *World) receiver(name string) int {
	for i, receiver := range w.sheet.Plan.Aircraft.Receivers {
		if receiver == name {
			return i
		}
	}
	return -1
}

// setReceiver changes one receiver.
func (c *craft) setReceiver(i int, change func(*tuning)) {
	if i < 0 {
		return
	}
	set := append([]tuning{}, c.receivers...)
	change(&set[i])
	c.receivers = set
}

// tune tunes a beacon and selects the course that the plan has for it, if it has one: first on the leg that is flown.
func (w *World) tune(c *craft, e flight.Event) {
	beacon, ok := w.sheet.Plan.Point(e.Beacon)
	if !ok {
		return
	}
	c.setReceiver(w.receiver(e.Receiver), func(t *tuning) {
		*t = tuning{beacon: beacon, course: t.course, declination: w.stationDeclination(beacon)}
		legs := w.sheet.Route.Legs
		for i := range legs {
			leg := legs[(min(c.leg, len(legs)-1)+i)%len(legs)]
			for _, step := range leg.Radio {
				if step.Receiver == e.Receiver && step.Beacon.Ident == e.Beacon && step.CourseMagnetic != nil {
					t.course = *step.CourseMagnetic
					return
				}
			}
		}
	})
}
