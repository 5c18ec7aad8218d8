package practice

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// View is a practice flight at one moment: what its log tells, and beside that what is seen and asked in its seat.
type View struct {
	flight.Snapshot
	Seat Seat
}

// Seat is what a person in the seat of a practice flight sees and is asked. It is no part of what a log tells.
type Seat struct {
	HandsOn      bool // the pilot flies
	Seed         uint64
	VisibilityNM float64
	Passed       []Passed // what went by last, the newest first
	InView       []string // nearest first: "long lake, ahead right, 3 nm"
	NextLies     string   // where the plan has the next checkpoint: "0.3 nm left of track"
	Panel        Panel
	Trouble      string        // what can't wait: the engine
	Landing      string        // the aerodrome at which the flight could end now
	Question     *OpenQuestion // open; nil: none
	Check        *QuickCheck   // the quick check that goes on, or that ended last
	Marked       *Marked       // the last one that was closed
	Points       int
	MostPoints   int // of the questions so far
}

// Passed is something that was seen once.
type Passed struct {
	At   time.Time
	Text string
}

// Panel is what the instruments show: what a pilot reads, errors included, not what is true.
type Panel struct {
	Compass       float64  // magnetic
	Steering      *float64 // the compass heading flown or turned to; nil with the hands off
	AirspeedKt    float64
	AltitudeFt    float64
	OnGround      bool
	ToAltitudeFt  *float64 // climbing or descending to
	VerticalFtMin float64
	Receivers     []PanelReceiver
	Gauges        []PanelGauge
	Unit          string
	Engine        Engine
}

// Engine is how the engine runs, by its sound.
type Engine string

// How an engine runs.
const (
	EngineRuns    Engine = "runs"
	EngineFalters Engine = "falters"
	EngineStopped Engine = "stopped"
)

// PanelReceiver is one receiver with what its needle, flag or counter shows; nil: nothing.
type PanelReceiver struct {
	Receiver  string
	Beacon    string // tuned; empty: none
	Frequency float64
	Morse     string // heard; empty: nothing is
	Course    *float64
	Sense     *radio.Sense
	NeedleDeg *float64 // right positive, to its stop
	DME       *float64
	Relative  *float64
}

// PanelGauge is one fuel gauge.
type PanelGauge struct {
	Tank     string
	Reading  float64
	Capacity float64
	Selected bool
}

// OpenQuestion is a figure that the pilot is asked for before the program shows its own.
type OpenQuestion struct {
	ID      string
	Asked   time.Time // flight time
	Text    string
	Given   [][2]string // name, figure
	Example string
	Waiting int  // how many more wait for their turn
	Quick   bool // one of a quick check
}

// QuickCheck is how a quick check goes: figures of the moment, asked for one after the other and marked by the truth, which is told when the
// flight is over.
type QuickCheck struct {
	Goes    bool // it is running
	Count   int  // how many figures there are
	Asked   int  // answered or given up so far
	Right   int
	Seconds float64 // that they took, by the machine's clock
}

// Marked is what became of a question.
type Marked struct {
	At      time.Time
	Text    string
	Outcome drill.Outcome
	Comment []string
	Steps   []string
	Points  int
	Seconds float64 // that it took, by the machine's clock
	Quick   bool    // one of a quick check
}

// How steadily instruments stand and are read. Common practice, no source.
const (
	jitterSeconds   = 4 // how long a needle stands still
	jitterDeg       = 0.7
	jitterKt        = 0.8
	jitterFt        = 15
	gaugeSloshShare = 0.01 // of what the tank can hold
	mostPassed      = 6
)

// atOnce is within what a hand moves: the time of an entry is rounded, and may lie after a clock that stands.
const atOnce = 100 * time.Millisecond

// seat is what a person sees at a time.
func (w *World) seat(t time.Time) Seat {
	c := w.obey(w.to(t), t.Add(atOnce)) // also while the clock stands
	s := Seat{
		HandsOn: w.handsOn, Seed: w.seed, VisibilityNM: w.visibilityNM, Passed: w.passedBy(t), InView: w.inView(c),
		Panel: w.panel(c), Trouble: w.trouble(c),
	}
	return s
}

// passedBy is what has gone by, the newest first.
func (w *World) passedBy(t time.Time) []Passed {
	passed := []Passed{}
	sights := w.Sights(t)
	for i := len(sights) - 1; i >= 0 && len(passed) < mostPassed; i-- {
		if !sights[i].At.After(t) {
			passed = append(passed, Passed{At: sights[i].At, Text: sights[i].Text})
		}
	}
	return passed
}

// nextLies is where the plan has the next checkpoint.
func (w *World) nextLies(s flight.Snapshot) string {
	if s.Next == nil || !s.Next.IsCheckpoint || s.Leg.Index >= len(w.sheet.Route.Legs) {
		return ""
	}
	for _, checkpoint := range w.sheet.Route.Legs[s.Leg.Index].Checkpoints {
		if checkpoint.Name != s.Next.Point {
			continue
		}
		if math.Abs(checkpoint.RightNM) < 0.05 {
			return "on the track"
		}
		return say.Distance.SaySide(checkpoint.RightNM, 1) + " of track"
	}
	return ""
}

// trouble is what the engine does, where that can't wait.
func (w *World) trouble(c craft) string {
	name := w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank].Name
	usable := c.tanks[c.tank] - w.sheet.Plan.Aircraft.Fuel.Tanks[c.tank].Unusable
	switch {
	case c.down && w.landed.IsZero():
		return "down in a field: the flight is over"
	case !c.flies:
		return ""
	case c.standing > 0 && usable > 0:
		return fmt.Sprintf("fuel from the %s tank: the engine is catching", name)
	case c.standing > 0:
		return fmt.Sprintf("THE ENGINE HAS STOPPED: the %s tank is empty. Select a tank with fuel (t)", name)
	case w.falters(c):
		return fmt.Sprintf("fuel pressure falls, the engine falters: the %s tank is all but empty (t)", name)
	default:
		return ""
	}
}

// panel is what the instruments show.
func (w *World) panel(c craft) Panel {
	count := int64(c.time.Sub(w.began)/second) / jitterSeconds
	p := Panel{
		Compass:       float64(angle.Whole(w.compassOf(c.magnetic+c.held) + jitterDeg*w.noise("compass", count))),
		AltitudeFt:    20 * math.Round((c.altitudeFt+jitterFt*w.noise("altimeter", count))/20),
		VerticalFtMin: 50 * math.Round(c.climbFtMin/50),
		Unit:          w.sheet.Plan.Aircraft.Fuel.Unit, Receivers: []PanelReceiver{}, Gauges: []PanelGauge{}, Engine: EngineRuns,
	}
	if !c.flies {
		p.AltitudeFt, p.OnGround = math.Round(c.altitudeFt), true
	}
	if w.handsOn && c.flies {
		p.Steering = &c.compass
		if math.Abs(c.controls.altitudeFt-c.altitudeFt) > levelWithinFt && c.standing == 0 {
			p.ToAltitudeFt = &c.controls.altitudeFt
		}
	}
	if c.flies {
		p.AirspeedKt = math.Round(w.indicated(c) + jitterKt*w.noise("airspeed", count))
	}
	switch {
	case c.standing > 0:
		p.Engine = EngineStopped
	case w.falters(c):
		p.Engine = EngineFalters
	}
	for i, name := range w.sheet.Plan.Aircraft.Receivers {
		p.Receivers = append(p.Receivers, w.shows(name, c.receivers[i], c, count))
	}
	for i, tank := range w.sheet.Plan.Aircraft.Fuel.Tanks {
		p.Gauges = append(p.Gauges, PanelGauge{Tank: tank.Name, Reading: w.gauge(i, c, count), Capacity: tank.Capacity, Selected: i == c.tank})
	}
	return p
}

// indicated is what the airspeed indicator shows.
func (w *World) indicated(c craft) float64 {
	_, deviation := w.air.Layers.At(c.altitudeFt)
	pressureAltitudeFt := air.PressureAltitudeFt(c.altitudeFt, w.air.QNH)
	cas := air.CASFromTAS(c.tasKt, pressureAltitudeFt, air.ISATemperatureC(pressureAltitudeFt)+deviation)
	indicated, err := air.Indicated(w.sheet.Plan.Aircraft.PositionError, cas)
	if err != nil {
		return cas
	}
	return indicated
}

// gauge is what a fuel gauge shows, to the unit.
func (w *World) gauge(tank int, c craft, count int64) float64 {
	if reading, ok := w.stuck(tank, c.time); ok {
		return reading
	}
	fitted := w.sheet.Plan.Aircraft.Fuel.Tanks[tank]
	shown := c.tanks[tank]*w.gaugeScale[tank] + w.gaugeZero[tank]
	if c.flies {
		shown += gaugeSloshShare * fitted.Capacity * w.noise("gauge "+fitted.Name, count)
	}
	return math.Round(max(0, min(shown, fitted.Capacity)))
}

// shows is what a receiver shows of the beacon that it is tuned to. Out of range, and above it in the cone where it is not to be
// trusted, it shows nothing.
func (w *World) shows(name string, set tuning, c craft, count int64) PanelReceiver {
	r := PanelReceiver{Receiver: name, Beacon: set.beacon.Ident, Frequency: set.beacon.Frequency}
	if set.beacon.Ident == "" {
		return r
	}
	off := radio.Off
	if plan.SelectsCourse(name) {
		course := set.course
		r.Course, r.Sense = &course, &off
	}
	line := earth.Inverse(c.at, set.beacon.At)
	aboveFt := c.altitudeFt - set.beacon.ElevationFt
	reach := radio.Reception(set.beacon.RangeNM, c.altitudeFt, set.beacon.ElevationFt, set.beacon.Kind != plan.NDB)
	if reach > 0 && line.DistanceNM > reach || w.offTheAir(set.beacon.Ident, c.time) {
		return r
	}
	r.Morse, _ = radio.Morse(set.beacon.Ident)
	error := func(sigma float64) float64 {
		return sigma * (w.noise("error "+set.beacon.Ident, 0) + 0.3*w.noise(name+set.beacon.Ident, count))
	}
	switch {
	case plan.SelectsCourse(name) && line.DistanceNM > radio.ConeRadiusNM(aboveFt):
		radial := deadreckon.MagneticFromTrue(earth.Inverse(set.beacon.At, c.at).AzimuthStart, set.declination) + error(vorErrorDeg)
		sense, needle := radio.CourseReading(set.course, angle.Wrap360(radial))
		needle = max(-radio.FullScaleDeg, min(needle, radio.FullScaleDeg))
		r.Sense, r.NeedleDeg = &sense, &needle
	case plan.Receives(name, plan.NDB):
		swing := error(adfErrorDeg)
		if line.DistanceNM < radio.ConeRadiusNDBNM(aboveFt) {
			swing += 60 * w.noise("cone", count)
		}
		relative := radio.RelativeBearing(c.magnetic+c.held, deadreckon.MagneticFromTrue(line.AzimuthStart, c.field)+swing)
		r.Relative = &relative
	case plan.Receives(name, plan.DME):
		dme := max(0, math.Round(10*(radio.SlantRangeNM(line.DistanceNM, aboveFt)+error(dmeErrorNM)))/10)
		r.DME = &dme
	}
	return r
}

// nearestAerodrome is the aerodrome that is nearest to a place.
func nearestAerodrome(s *sheet.Sheet, at earth.Position) (nearest plan.Point, distanceNM float64) {
	distanceNM = math.Inf(1)
	for _, point := range s.Plan.Points {
		if point.Kind != plan.Aerodrome {
			continue
		}
		if d := earth.Inverse(at, point.At).DistanceNM; d < distanceNM {
			nearest, distanceNM = point, d
		}
	}
	return nearest, distanceNM
}
