package practice

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Flight is a practice flight: the state that the log tells, the world as it really is beside it, and the questions.
type Flight struct {
	*flight.State
	world  *World
	exam   exam
	rate   float64 // of the clock
	slowed float64 // what that was before a question slowed it; 0: it was not
}

// NewFlight is a practice flight of which nothing has been recorded yet.
func NewFlight(s *sheet.Sheet, hidden Hidden) *Flight {
	return &Flight{State: flight.New(s, flight.Practice), world: New(s, hidden)}
}

// Fold is the practice flight after a journal's events, which must not be changed any more.
func Fold(s *sheet.Sheet, hidden Hidden, events []flight.Event) (*Flight, error) {
	f := NewFlight(s, hidden)
	f.Expect(len(events))
	for i := range events {
		if err := f.ApplyKept(&events[i]); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// Apply folds the next event into the log, the world and the questions.
func (f *Flight) Apply(e flight.Event) error { return f.ApplyKept(&e) }

// ApplyKept is Apply for an event that somebody keeps and nobody changes any more: it is not copied.
func (f *Flight) ApplyKept(e *flight.Event) error {
	at := f.recordedAt(*e)
	if err := f.State.ApplyKept(e); err != nil {
		return err
	}
	if err := f.world.Take(e, at); err != nil {
		return err
	}
	f.exam.take(f, *e, at)
	f.follow(*e)
	return nil
}

// recordedAt is the flight time at which an event was recorded, never before its own.
func (f *Flight) recordedAt(e flight.Event) time.Time {
	switch {
	case e.Act == flight.Clock && e.Set != nil:
		return *e.Set
	case f.Setting().Rate == 0:
		return e.T
	}
	return later(e.T, f.Setting().At(e.Rec))
}

// follow keeps what the clock ran at before a question slowed it.
func (f *Flight) follow(e flight.Event) {
	if e.Act != flight.Clock || e.Rate == nil {
		return
	}
	f.slowed = 0
	if e.By == byProgram && f.exam.open != nil {
		f.slowed = f.rate
	}
	f.rate = *e.Rate
}

// View is what the log tells and what is to be seen at a time.
func (f *Flight) View(t time.Time) View {
	s := f.At(t)
	return View{Snapshot: s, Seat: f.Seat(s)}
}

// Seat is what is seen and asked at the moment at which a Snapshot was taken.
func (f *Flight) Seat(s flight.Snapshot) Seat {
	seat := f.world.seat(s.At)
	seat.Question, seat.Marked = f.exam.question(), f.exam.last()
	seat.Points, seat.MostPoints = f.exam.points()
	seat.Check = f.exam.checkNow()
	seat.NextLies = f.world.nextLies(s)
	seat.Landing = f.landing(s.At)
	return seat
}

// landing is the aerodrome at which a pilot who has come to the end of the way could land now; empty for none.
func (f *Flight) landing(t time.Time) string {
	w := f.world
	arrived := w.next >= len(w.sheet.Route.Legs) || w.diverted != nil
	if !arrived || !w.handsOn || !w.flies(t) || f.refused(flight.Event{Act: flight.Landed, T: t}) != nil {
		return ""
	}
	field, _ := nearestAerodrome(w.sheet, w.to(t).at)
	return field.Title()
}

// Outside is one line of what window and panel show.
func (f *Flight) Outside(t time.Time) string {
	if trouble := f.world.trouble(f.world.to(t)); trouble != "" {
		return trouble
	}
	return f.world.Outside(t)
}

// NextEvent is what the program would record next, at or before t: with the hands off all that a pilot logs; with the hands on only
// what happens to one, and the clock, which goes no faster than life while a question is open.
func (f *Flight) NextEvent(s flight.Snapshot, t time.Time) (event flight.Event, ok bool) {
	rate := s.Clock.Rate
	switch c := f.world.to(t); {
	case f.world.handsOn && c.down && c.time.After(f.world.began) && f.world.landed.IsZero() && f.world.flies(t):
		return flight.Event{Act: flight.Landed, T: t, By: byProgram, Text: "in a field"}, true
	case f.exam.open != nil && rate > 1 && f.exam.slows:
		return flight.Event{Act: flight.Clock, T: t, By: byProgram, Rate: new(1.0)}, true
	case f.exam.open == nil && f.slowed != 0 && rate == 1:
		return flight.Event{Act: flight.Clock, T: t, By: byProgram, Rate: new(f.slowed)}, true
	case !f.world.handsOn:
		return f.world.nextByHands(s, t)
	}
	return flight.Event{}, false
}

// How near an aerodrome a flight can end. Common practice, no source.
const (
	landWithinNM    = 3
	landBelowFt     = 700 // above the circuit
	leastAltitudeFt = 500 // above the departure
)

// Check says whether an event can be recorded: what the log can't hold, and what can't be done from this seat.
func (f *Flight) Check(e flight.Event) error {
	if err := f.refused(e); err != nil {
		return err
	}
	return f.State.Check(e)
}

func (f *Flight) refused(e flight.Event) error {
	w := f.world
	switch e.Act {
	case flight.Landed:
		if !w.handsOn || e.By == byProgram || !w.flies(e.T) {
			return nil
		}
		c := w.to(e.T)
		field, distance := nearestAerodrome(w.sheet, c.at)
		switch {
		case distance > landWithinNM:
			return &flight.Refusal{Text: "there is no aerodrome here", Hint: fmt.Sprintf("land within %d nm of one", landWithinNM)}
		case c.altitudeFt > field.ElevationFt+field.CircuitFt+landBelowFt:
			return &flight.Refusal{Text: fmt.Sprintf("%s is too high to land", say.Feet(c.altitudeFt)), Hint: fmt.Sprintf("descend to the circuit, %s", say.Feet(field.ElevationFt+field.CircuitFt))}
		}
	case flight.Hands:
		return w.refuseHands(e)
	case flight.Controls:
		return w.refuseControls(e)
	case flight.QuickCheck:
		return f.refuseQuick(e)
	case flight.Answered:
		if f.exam.open == nil || f.exam.open.ID != e.Prompt {
			return &flight.Refusal{Text: "no such question is open"}
		}
		return f.exam.open.unreadable(e.Text)
	}
	return nil
}

func (w *World) refuseControls(e flight.Event) error {
	least := w.sheet.Route.Legs[0].From.ElevationFt + leastAltitudeFt
	switch {
	case !w.handsOn:
		return &flight.Refusal{Text: "the program flies", Hint: "h takes over"}
	case e.Receiver != "":
		if i := w.receiver(e.Receiver); i < 0 || e.Course == nil {
			return &flight.Refusal{Text: fmt.Sprintf("no course on %q", e.Receiver), Hint: "name a receiver with a course, and degrees"}
		}
	case e.Altitude == nil || *e.Altitude < least:
		return &flight.Refusal{Text: "that is too low", Hint: fmt.Sprintf("fly to %s or more; landing is an entry of its own", say.Feet(least))}
	case !w.flies(e.T):
		return &flight.Refusal{Text: "not airborne"}
	}
	return nil
}
