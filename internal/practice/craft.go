package practice

import (
	"math"
	"slices"
	"sort"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// How the aircraft is flown. Common practice, no source, but for the rate of turn, which is the standard one.
const (
	turnPerSecondDeg = 3
	levelWithinFt    = 15  // of the altitude that is held
	glideFtMin       = 700 // without an engine
	restartSeconds   = 8   // from a tank with fuel to an engine that runs
	falterSeconds    = 40  // how long before it is empty a tank lets the engine falter

	second      = time.Second
	sampleEvery = 10 * second
	fieldEvery  = 30 // seconds between looks at the magnetic field
)

// craft is the aircraft at one second of its flight.
type craft struct {
	controls
	time       time.Time
	done       int // acts of the hands that it has been given
	flies      bool
	leg        int // that is flown by the log
	at         earth.Position
	altitudeFt float64
	phase      sheet.Phase
	magnetic   float64 // heading
	held       float64 // degrees by which the hand is out
	field      float64 // declination
	gustNorth  float64
	gustEast   float64
	tasKt      float64
	climbFtMin float64
	trackTrue  float64
	groundKt   float64
	flow       float64   // an hour, as burned
	tanks      []float64 // quantities; changed by replacing it
	standing   int       // seconds until the engine runs again, once it has fuel; 0: it runs
	down       bool      // on the ground, wherever that is
}

// parked is the aircraft at the departure with its engine running.
func (w *World) parked() craft {
	from := w.sheet.Route.Legs[0]
	fuel := w.sheet.Plan.Aircraft.Fuel
	c := craft{
		time: w.began, at: from.From.At, altitudeFt: from.From.ElevationFt, field: from.Variation,
		magnetic: w.sheet.Legs[0].HeadingMagnetic, trackTrue: from.TrackTrue, flow: w.sheet.Plan.Aircraft.TaxiFlow,
	}
	c.controls = controls{
		compass: math.Round(w.compassOf(c.magnetic)), altitudeFt: from.AltitudeFt, tank: max(0, fuel.TankIndex(w.sheet.Plan.Fuel.StartOn)),
		receivers: make([]tuning, len(w.sheet.Plan.Aircraft.Receivers)),
	}
	for _, tank := range fuel.Tanks {
		c.tanks = append(c.tanks, w.sheet.Plan.Fuel.OnBoard[tank.Name])
	}
	return c
}

// to is the aircraft at a time: the last full second before it.
func (w *World) to(t time.Time) craft {
	if w.began.IsZero() || t.Before(w.began) {
		return w.parked()
	}
	if t.Before(w.front.time) {
		i := sort.Search(len(w.samples), func(i int) bool { return w.samples[i].time.After(t) }) - 1
		c := w.samples[i]
		for !c.time.Add(second).After(t) {
			c = w.step(c)
		}
		return c
	}
	for !w.front.time.Add(second).After(t) {
		next := w.step(w.front)
		w.seen = append(w.seen, w.sightsBetween(w.front, next)...)
		w.front = next
		if next.time.Sub(w.began)%sampleEvery == 0 {
			w.samples = append(w.samples, next)
		}
	}
	return w.front
}

// rewind forgets what was flown after a time: something acts on it.
func (w *World) rewind(t time.Time) {
	if w.began.IsZero() || !w.front.time.After(t) {
		return
	}
	keep := max(1, sort.Search(len(w.samples), func(i int) bool { return w.samples[i].time.After(t) }))
	w.samples = w.samples[:keep]
	w.front = w.samples[keep-1]
	w.seen = slices.DeleteFunc(w.seen, func(s Sight) bool { return s.At.After(w.front.time) })
}

// obey sets the controls as the acts up to a time have left them.
func (w *World) obey(c craft, until time.Time) craft {
	for c.done < len(w.acts) && !w.acts[c.done].at.After(until) {
		w.handle(&c, *w.acts[c.done].Event)
		c.done++
	}
	return c
}

// step flies one second.
func (w *World) step(c craft) craft {
	c = w.obey(c, c.time)
	now := w.stretch(c.time)
	switch {
	case now == nil || c.down || !w.landed.IsZero() && !c.time.Before(w.landed):
		w.stand(&c)
	case now.steered:
		w.steer(&c)
	default:
		w.follow(&c, *now)
	}
	w.burn(&c)
	c.time = c.time.Add(second)
	return c
}

// stand is a second on the ground.
func (w *World) stand(c *craft) {
	if w.stretch(c.time) != nil && !c.down {
		w.touchDown(c)
	}
	c.groundKt, c.tasKt, c.climbFtMin, c.flies = 0, 0, 0, false
	c.flow = w.sheet.Plan.Aircraft.TaxiFlow
	if c.down {
		c.flow = 0
	}
}

// touchDown puts the aircraft on the aerodrome that it lands at: there is no circuit. Where there is none it stands where it is.
func (w *World) touchDown(c *craft) {
	c.down, c.altitudeFt = true, w.sheet.Route.Legs[0].From.ElevationFt
	if field, distance := nearestAerodrome(w.sheet, c.at); distance <= landWithinNM {
		c.at, c.altitudeFt = field.At, field.ElevationFt
	}
}

// follow is a second on a way that the reckoner has made.
func (w *World) follow(c *craft, now stretch) {
	minutes := c.time.Add(second).Sub(now.from).Minutes()
	point := now.way.At(minutes)
	piece := now.way[point.Piece]
	c.flies, c.phase = true, point.Phase
	c.at, c.altitudeFt = now.route.PositionAt(point.Leg, point.AfterNM), point.AltitudeFt
	c.field = now.route.VariationAt(point.Leg, point.AfterNM)
	c.magnetic = deadreckon.MagneticFromTrue(piece.Heading.HeadingTrue, c.field)
	c.trackTrue, c.groundKt, c.tasKt = piece.TrackTrue, piece.Heading.GroundspeedKt, piece.TASKt
	c.climbFtMin = 0
	if piece.Minutes > 0 {
		c.climbFtMin = (piece.ToFt - piece.FromFt) / piece.Minutes
	}
	c.flow = piece.FlowPerHour * (1 + w.flowShare)
	c.compass = math.Round(w.compassOf(c.magnetic))
	switch level := now.route.Legs[point.Leg].Level.AltitudeFtAt(w.air.QNH); {
	case c.phase == sheet.Descent && point.Piece >= len(now.way)-len(now.way.LastDescent()):
		c.controls.altitudeFt, _ = now.route.ArrivalFt()
	case c.phase == sheet.Cruise:
		c.controls.altitudeFt = c.altitudeFt
	default:
		c.controls.altitudeFt = level
	}
	if minutes >= now.way.TotalMinutes() { // overhead the destination: the circuit
		c.climbFtMin = 0
	}
}

// steer is a second by the pilot's heading.
func (w *World) steer(c *craft) {
	count := int64(c.time.Sub(w.began) / second)
	c.flies = true
	want := w.magneticOf(c.compass)
	c.magnetic = angle.Wrap360(c.magnetic + max(-turnPerSecondDeg, min(angle.Turn(c.magnetic, want), turnPerSecondDeg)))
	c.held = wandered(c.held, heldErrorDeg, heldSeconds, w.noise("hand", count))
	if count%fieldEvery == 0 {
		if field, _, err := w.sheet.Route.VariationNear(c.at, c.altitudeFt); err == nil {
			c.field = field
		}
	}
	w.climb(c)

	wind, _ := w.air.Layers.At(c.altitudeFt)
	sigma := gustLeastKt + gustShare*wind.SpeedKt
	c.gustNorth = wandered(c.gustNorth, sigma, gustSeconds, w.noise("gust north", count))
	c.gustEast = wandered(c.gustEast, sigma, gustSeconds, w.noise("gust east", count))
	north, east := wind.Components()
	headingTrue := deadreckon.TrueFromMagnetic(c.magnetic+c.held, c.field)
	c.trackTrue, c.groundKt = deadreckon.TrackFor(headingTrue, c.tasKt, air.WindFromComponents(north+c.gustNorth, east+c.gustEast))
	c.at, _ = earth.Direct(c.at, c.trackTrue, c.groundKt/3600)
}

// climb flies towards the altitude that is wanted, and sets airspeed and flow.
func (w *World) climb(c *craft) {
	phase := sheet.Cruise
	switch difference := c.controls.altitudeFt - c.altitudeFt; {
	case c.standing > 0, difference < -levelWithinFt:
		phase = sheet.Descent
	case difference > levelWithinFt:
		phase = sheet.Climb
	}
	flown, err := w.sheet.Route.Perform(phase, c.altitudeFt, w.air)
	if err != nil && phase == sheet.Climb { // as high as it goes
		c.controls.altitudeFt = c.altitudeFt
		phase = sheet.Cruise
	}
	if err != nil { // below or above the tables: as it flew when it left them
		flown.TASKt, flown.FlowPerHour = c.tasKt, c.flow/(1+w.flowShare)
	}
	c.phase, c.tasKt, c.flow, c.climbFtMin = phase, flown.TASKt, flown.FlowPerHour*(1+w.flowShare), 0
	switch {
	case c.standing > 0:
		c.climbFtMin, c.flow = -glideFtMin, 0
	case phase == sheet.Climb:
		c.climbFtMin = flown.RateFtMin
	case phase == sheet.Descent:
		c.climbFtMin = -flown.RateFtMin
	default:
		c.altitudeFt = c.controls.altitudeFt
	}
	c.altitudeFt += c.climbFtMin / 60
	if ground := w.sheet.Route.Legs[0].From.ElevationFt; c.altitudeFt <= ground {
		c.altitudeFt, c.down = ground, true
	}
}

// burn takes the fuel of a second from the tank that is selected. An empty one stops the engine; one with fuel lets it run again.
func (w *World) burn(c *craft) {
	tank := w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank]
	if c.flow > 0 && c.standing == 0 {
		c.tanks = slices.Clone(c.tanks)
		c.tanks[c.tank] -= c.flow / 3600
	}
	switch usable := c.tanks[c.tank] - tank.Unusable; {
	case usable <= 0:
		c.tanks[c.tank] = tank.Unusable
		c.standing = restartSeconds
	case c.standing > 0:
		c.standing--
	}
}

// falters reports whether the tank in use is all but empty.
func (w *World) falters(c craft) bool {
	usable := c.tanks[c.tank] - w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank].Unusable
	return c.standing == 0 && c.flow > 0 && usable < c.flow/3600*falterSeconds
}

// level reports whether the aircraft neither climbed nor descended from one time to another.
func (w *World) level(since, until time.Time) bool {
	const aWhile = 5 * sampleEvery // an altitude that is corrected
	climbed := time.Duration(0)
	for t := since; !t.After(until); t = t.Add(sampleEvery) {
		if c := w.to(t); c.phase != sheet.Cruise {
			climbed += sampleEvery
		}
	}
	return climbed <= aWhile
}

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
	w.acts = append(w.acts, taken{&e, at})
	w.rewind(at)
}

// release is an act taken back: the control goes to where the act before had put it. Where there was none it stays, but for the fuel
// selector, which goes back to the tank of the start.
func (w *World) release(control string, at time.Time) {
	for i := len(w.taken) - 1; i >= 0; i-- {
		if t := w.taken[i]; !w.void[i+1] && controlOf(*t.Event) == control {
			w.act(*t.Event, at)
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
	if w.tookOver.After(to) {
		w.tookOver = to
	}
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
