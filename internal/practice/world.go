package practice

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// World is one practice flight as it really goes.
type World struct {
	sheet *sheet.Sheet
	truth
	landmarks []landmark

	taken   []taken
	void    map[int]bool // entries that were taken back, by number
	handsOn bool
	next    int // the leg that is flown by the passings logged

	tookOver  time.Time // the program, from the pilot, the last time; zero: it has flown from the start
	began     time.Time // the engine runs
	landed    time.Time
	stretches []stretch
	acts      []taken // of the hands, in order
	diverted  *flight.Event

	missedAt    time.Time // lesson: the turning point that the program flies past
	forgottenAt time.Time // lesson: the change of tank that is logged and not made
	handedOver  bool      // the pilot has flown

	front   craft   // the latest that was flown
	samples []craft // every sampleEvery since began
	seen    []Sight // on the stretches that were steered
}

// taken is an event, which nobody changes any more, with the flight time at which it was recorded.
type taken struct {
	*flight.Event
	at time.Time
}

// stretch is a part of the flight: on a route's legs by the reckoner, or by the pilot's headings.
type stretch struct {
	from    time.Time
	steered bool
	missed  bool // straight on, by the program, past a turning point that it does not see
	route   *sheet.Route
	way     sheet.Trajectory
}

// New draws the world of a flight.
func New(s *sheet.Sheet, hidden Hidden) *World {
	w := &World{sheet: s, truth: draw(s, hidden), void: map[int]bool{}}
	w.landmarks = landmarksOf(s)
	return w
}

// Seed is what the world was drawn from.
func (w *World) Seed() uint64 { return w.seed }

// Air is the air as it really is, without its gusts. It is for the debrief of a flight that is over, and for nobody before.
func (w *World) Air() sheet.Air { return w.air }

// Take takes in the next event, recorded at a flight time. The error says why the true wind lets a leg not be flown.
func (w *World) Take(e *flight.Event, at time.Time) error {
	w.taken = append(w.taken, taken{e, at})
	if e.Act == flight.Void && e.Event >= 1 && e.Event < len(w.taken) && isCourse(w.taken[e.Event-1].Act) {
		w.void[e.Event] = true
		return w.refold()
	}
	return w.play(*e, at)
}

// play acts on an event that has been taken in. An amendment changes what was logged, not what was done.
func (w *World) play(e flight.Event, at time.Time) error {
	if e.Act != flight.Void {
		return w.apply(e, at)
	}
	if e.Event < 1 || e.Event >= len(w.taken) {
		return nil
	}
	w.void[e.Event] = true
	if w.taken[e.Event-1].Act == flight.Hands && !w.handsOn { // the program has the flight, and the log from now on
		w.tookOver = at
	}
	if control := controlOf(*w.taken[e.Event-1].Event); control != "" {
		w.release(control, at)
	}
	return nil
}

// refold flies the whole flight anew, without what was taken back of who flies and when.
func (w *World) refold() error {
	again := World{sheet: w.sheet, truth: w.truth, landmarks: w.landmarks, void: map[int]bool{}}
	for n := range w.void {
		if isCourse(w.taken[n-1].Act) {
			again.void[n] = true
		}
	}
	for i, t := range w.taken {
		again.taken = append(again.taken, t)
		if isCourse(t.Act) && again.void[i+1] {
			continue
		}
		if err := again.play(*t.Event, t.at); err != nil {
			return err
		}
	}
	*w = again
	return nil
}

// isCourse is true for what changes who flies, or whether anybody does.
func isCourse(do flight.Act) bool {
	switch do {
	case flight.OffBlocks, flight.Airborne, flight.Landed, flight.Divert, flight.Hands, flight.Passing:
		return true
	default:
		return false
	}
}

func (w *World) apply(e flight.Event, at time.Time) error {
	switch e.Act {
	case flight.OffBlocks, flight.Airborne:
		w.begin(e.T)
		if e.Act == flight.Airborne {
			return w.takeOff(e.T)
		}
	case flight.Landed:
		w.landed = e.T
		w.rewind(e.T)
	case flight.Passing:
		if next := w.after(w.next, e.Point); next != w.next {
			w.next = next
			w.act(e, at)
		}
	case flight.Hands:
		return w.hands(e.Hands == "on", at)
	case flight.Divert:
		w.diverted = &e
		if w.flies(at) && !w.handsOn {
			return w.reckonOn(at)
		}
	case flight.Clock:
		if e.Set != nil {
			w.setBack(at)
		}
	default:
		if controlOf(e) != "" && !w.forgets(e, at) {
			w.act(e, at)
		}
	}
	return nil
}

// begin lets the engine run, unless it does.
func (w *World) begin(t time.Time) {
	if !w.began.IsZero() && !t.Before(w.began) {
		w.rewind(t)
		return
	}
	w.began = t.Truncate(time.Second)
	w.front = w.parked()
	w.samples, w.seen = []craft{w.front}, nil
}

func (w *World) takeOff(t time.Time) error {
	if w.handsOn {
		w.stretches = append(w.stretches, stretch{from: t, steered: true, route: w.sheet.Route})
		return nil
	}
	return w.reckon(t, w.sheet.Route, sheet.Start{AltitudeFt: w.sheet.Route.Legs[0].From.ElevationFt})
}

// reckon lets the reckoner fly a route.
func (w *World) reckon(from time.Time, route *sheet.Route, start sheet.Start) error {
	way, err := route.Reckon(start, w.air)
	if err != nil {
		return fmt.Errorf("flying the practice flight: %w", err)
	}
	w.rewind(from)
	w.stretches = append(w.stretches, stretch{from: from, route: route, way: way})
	w.missTurn(way, from, route)
	return nil
}

// hands gives the controls to the pilot, or takes them.
func (w *World) hands(on bool, at time.Time) error {
	if on == w.handsOn {
		return nil
	}
	w.handsOn, w.handedOver = on, w.handedOver || on
	if !on {
		w.tookOver = at
	}
	switch {
	case !w.flies(at):
		return nil
	case on:
		w.rewind(at)
		w.stretches = append(w.stretches, stretch{from: at, steered: true, route: w.stretch(at).route})
		return nil
	}
	return w.reckonOn(at)
}

// reckonOn lets the reckoner fly on from where the aircraft is.
func (w *World) reckonOn(at time.Time) error {
	route, start, err := w.onward(at)
	if err != nil {
		return err
	}
	return w.reckon(at, route, start)
}

// onward is the way that the reckoner would fly from where the aircraft is: to the diversion, else to the end of the leg that is flown by
// the log and along the legs behind it. The error says why there is none.
func (w *World) onward(at time.Time) (route *sheet.Route, start sheet.Start, err error) {
	here := w.to(at)
	start.AltitudeFt = here.altitudeFt
	if w.diverted != nil {
		route, err = flight.DiversionRoute(w.sheet.Route, *w.diverted, here.at, here.altitudeFt)
		return route, start, err
	}
	legs := w.sheet.Route.Legs
	for next := min(w.next, len(legs)-1); next < len(legs); next++ {
		if route, err = w.sheet.Route.Rejoin(here.at, here.altitudeFt, next, legs[next].Level); err == nil { // not at that point already
			return route, start, nil
		}
	}
	return nil, start, err
}

// refuseHands says why the program can't fly on from here; nil when it can.
func (w *World) refuseHands(e flight.Event) error {
	if e.Hands != "off" || !w.handsOn || !w.flies(e.T) {
		return nil
	}
	route, start, err := w.onward(e.T)
	if err == nil {
		_, err = route.Reckon(start, w.air)
	}
	if err != nil {
		return &flight.Refusal{Text: "the program can't fly on from here: " + err.Error(), Hint: "fly it yourself"}
	}
	return nil
}

// after is the leg that is flown after a passing on one leg: the same where the point ends no leg ahead.
func (w *World) after(leg int, point string) int {
	for i, ahead := range w.sheet.Route.Legs {
		if i >= leg && ahead.To.Ident == point {
			return i + 1
		}
	}
	return leg
}

// flies reports whether the aircraft is in the air.
func (w *World) flies(t time.Time) bool {
	return w.stretch(t) != nil && (w.landed.IsZero() || t.Before(w.landed))
}

// stretch is the part of the flight being flown at t; nil before take-off.
func (w *World) stretch(t time.Time) *stretch {
	for i := len(w.stretches) - 1; i >= 0; i-- {
		if !t.Before(w.stretches[i].from) {
			return &w.stretches[i]
		}
	}
	return nil
}

// byPilot reports whether the pilot steers.
func (s stretch) byPilot() bool { return s.steered && !s.missed }

// pilotTook is when the pilot first steered at or after a time; ok is false for never.
func (w *World) pilotTook(since time.Time) (at time.Time, ok bool) {
	for _, s := range w.stretches {
		if s.byPilot() && !s.from.Before(since) {
			return s.from, true
		}
	}
	return at, false
}

// when is the true time of a place on a reckoned route's leg.
func (s stretch) when(leg int, afterNM float64) (time.Time, bool) {
	minutes, ok := s.way.MinutesTo(leg, afterNM)
	if !ok {
		return time.Time{}, false
	}
	return s.from.Add(time.Duration(minutes * float64(time.Minute))).Round(time.Second), true
}

// arrival is the true time overhead the destination of a reckoned route.
func (s stretch) arrival() time.Time {
	return s.from.Add(time.Duration(s.way.TotalMinutes() * float64(time.Minute))).Round(time.Second)
}

// stationDeclination is what a station's radials really count from.
func (w *World) stationDeclination(station plan.Point) float64 {
	declination, _, _ := w.sheet.Plan.StationDeclination(station) // a sheet has been made from the plan
	return declination
}

// How far things are from what the book, the forecast or the instrument says: standard errors. Common practice, no source.
const (
	tasErrorKt      = 1.5   // the aircraft's true airspeed against its book
	flowErrorShare  = 0.03  // the fuel flow against its book
	swingErrorDeg   = 0.8   // of each coefficient of the compass
	heldErrorDeg    = 1.2   // a heading held by hand
	gaugeScaleShare = 0.02  // a fuel gauge: of what it shows
	gaugeZeroShare  = 0.015 // and of what the tank can hold
	vorErrorDeg     = 0.8
	adfErrorDeg     = 2.0
	dmeErrorNM      = 0.1

	gustLeastKt  = 1.0 // of each component, and beside it
	gustShare    = 0.1 // of the wind's speed
	gustSeconds  = 45  // that gusts last
	heldSeconds  = 20
	leastSightNM = 4.0
	mostSightNM  = 7.0
)

// truth is what was drawn for a flight.
type truth struct {
	seed         uint64
	air          sheet.Air
	flowShare    float64    // burned beyond the book
	swing        [3]float64 // compass less magnetic: constant, and with the sine and cosine of the heading
	gaugeScale   []float64
	gaugeZero    []float64 // in the aircraft's unit
	visibilityNM float64
	lesson       Lesson
	difficulty
}

// draw draws the truth of a flight.
func draw(s *sheet.Sheet, hidden Hidden) truth {
	seed := hidden.Seed
	random := rand.New(rand.NewPCG(seed, 0x6c6567636c6f636b))
	north := random.NormFloat64() * s.Plan.Conditions.WindErrorKt
	east := random.NormFloat64() * s.Plan.Conditions.WindErrorKt
	layers := slices.Clone(s.Air.Layers)
	for i, level := range layers {
		n, e := level.Wind.Components()
		layers[i].Wind = air.WindFromComponents(n+north, e+east)
	}
	d := truth{seed: seed, air: sheet.Air{Layers: layers, QNH: s.Air.QNH, TASBiasKt: random.NormFloat64() * tasErrorKt}}
	d.flowShare = random.NormFloat64() * flowErrorShare
	for i := range d.swing {
		d.swing[i] = random.NormFloat64() * swingErrorDeg
	}
	for _, tank := range s.Plan.Aircraft.Fuel.Tanks {
		d.gaugeScale = append(d.gaugeScale, 1+random.NormFloat64()*gaugeScaleShare)
		d.gaugeZero = append(d.gaugeZero, random.NormFloat64()*gaugeZeroShare*tank.Capacity)
	}
	d.visibilityNM = math.Round(2*(leastSightNM+random.Float64()*(mostSightNM-leastSightNM))) / 2
	d.drawDifficulty(s, hidden.Lesson)
	return d
}

// compassOf is what the compass shows on a magnetic heading.
func (d truth) compassOf(magnetic float64) float64 {
	return angle.Wrap360(magnetic + d.swingAt(magnetic))
}

// magneticOf is the heading that is flown when the compass is held on one: the swing hardly changes over its own size.
func (d truth) magneticOf(compass float64) float64 {
	return angle.Wrap360(compass - d.swingAt(compass))
}

func (d truth) swingAt(heading float64) float64 {
	return d.swing[0] + d.swing[1]*angle.Sin(heading) + d.swing[2]*angle.Cos(heading)
}

// noise is a draw of standard error 1 for a thing at a count: the same whenever it is asked for.
func (d truth) noise(of string, count int64) float64 {
	hash := fnv.New64a()
	_, _ = hash.Write([]byte(of)) // a hash takes everything
	return rand.New(rand.NewPCG(d.seed^hash.Sum64(), uint64(count))).NormFloat64()
}

// wandered is the next value, a second later, of what wanders around 0 with a standard error and a time after which it is forgotten.
func wandered(value, sigma, seconds, noise float64) float64 {
	kept := math.Exp(-1 / seconds)
	return value*kept + sigma*math.Sqrt(1-kept*kept)*noise
}
