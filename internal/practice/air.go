package practice

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/sheet"
)

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
