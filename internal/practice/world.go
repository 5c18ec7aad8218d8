package practice

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// tasErrorKt is the standard error of the aircraft's true airspeed against its book: common practice, no source.
const tasErrorKt = 1.5

// World is one practice flight as it really goes.
type World struct {
	sheet *sheet.Sheet
	air   sheet.Air
	seed  uint64

	entries  int // how many entries the flown legs below were made from
	airborne time.Time
	landed   bool
	flown    []flown
}

// flown is a stretch of the flight on one route: the plan's, or a diversion's.
type flown struct {
	from  time.Time
	route *sheet.Route
	way   sheet.Trajectory
}

// New draws the true wind and airspeed of a flight from a seed.
func New(s *sheet.Sheet, seed uint64) *World {
	random := rand.New(rand.NewPCG(seed, 0x6c6567636c6f636b))
	north := random.NormFloat64() * s.Plan.Conditions.WindErrorKt
	east := random.NormFloat64() * s.Plan.Conditions.WindErrorKt
	layers := slices.Clone(s.Air.Layers)
	for i, level := range layers {
		n, e := level.Wind.Components()
		layers[i].Wind = air.WindFromComponents(n+north, e+east)
	}
	return &World{
		sheet: s,
		seed:  seed,
		air:   sheet.Air{Layers: layers, QNH: s.Air.QNH, TASBiasKt: random.NormFloat64() * tasErrorKt},
	}
}

// Seed is what the world was drawn from.
func (w *World) Seed() uint64 { return w.seed }

// Air is the air as it really is. It is for the debrief of a flight that is over, and for nobody before.
func (w *World) Air() sheet.Air { return w.air }

// Follow brings the world up to date with the entries: take-off starts it, a diversion turns it, a voided entry is as if
// it had never been. It returns an error when the true wind makes a leg unflyable.
func (w *World) Follow(entries []flight.Entry) error {
	if len(entries) == w.entries {
		return nil
	}
	w.entries = len(entries)
	w.airborne, w.landed, w.flown = time.Time{}, false, nil
	for _, entry := range entries {
		if entry.Voided {
			continue
		}
		if err := w.apply(entry.Event); err != nil {
			return fmt.Errorf("flying the practice flight: %w", err)
		}
	}
	return nil
}

func (w *World) apply(event flight.Event) error {
	switch event.Do {
	case flight.Airborne:
		start := sheet.Start{AltitudeFt: w.sheet.Route.Legs[0].From.ElevationFt}
		return w.fly(event.T, w.sheet.Route, start)
	case flight.Divert:
		return w.divert(event)
	case flight.Landed:
		w.landed = true
	}
	return nil
}

func (w *World) fly(from time.Time, route *sheet.Route, start sheet.Start) error {
	way, err := route.Reckon(start, w.air)
	if err != nil {
		return err
	}
	if w.airborne.IsZero() {
		w.airborne = from
	}
	w.flown = append(w.flown, flown{from: from, route: route, way: way})
	return nil
}

func (w *World) divert(event flight.Event) error {
	place, ok := w.At(event.T)
	if !ok {
		return nil // on the ground: nothing to turn
	}
	now := w.stretch(event.T)
	route, err := flight.DiversionRoute(w.sheet.Route, event, now.route.PositionAt(place.Leg, place.AfterNM), place.AltitudeFt)
	if err != nil {
		return err
	}
	return w.fly(event.T, route, sheet.Start{AltitudeFt: place.AltitudeFt})
}

// At is where the aircraft really is; ok is false on the ground.
func (w *World) At(t time.Time) (place sheet.Point, ok bool) {
	now := w.stretch(t)
	if now == nil || w.landed {
		return sheet.Point{}, false
	}
	return now.way.At(t.Sub(now.from).Minutes()), true
}

// stretch is the part of the flight being flown at t; nil before take-off.
func (w *World) stretch(t time.Time) *flown {
	for i := len(w.flown) - 1; i >= 0; i-- {
		if !t.Before(w.flown[i].from) {
			return &w.flown[i]
		}
	}
	return nil
}

// when is the true time of a place on a route's leg.
func (f flown) when(leg int, afterNM float64) (time.Time, bool) {
	minutes, ok := f.way.MinutesTo(leg, afterNM)
	if !ok {
		return time.Time{}, false
	}
	return f.from.Add(time.Duration(minutes * float64(time.Minute))).Round(time.Second), true
}

// arrival is the true time overhead the destination.
func (f flown) arrival() time.Time {
	return f.from.Add(time.Duration(f.way.TotalMinutes() * float64(time.Minute))).Round(time.Second)
}
