package tui

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/terminal"
)

// dropped is a point so long overdue that the next one is offered in its place, at a moment of the machine's clock.
type dropped struct {
	point, next string
	at          time.Time
}

// noticeDropped says so when time alone has changed what the passing key means.
func (r *Root) noticeDropped(before *flight.NextPoint) {
	next := r.snapshot.Next
	if before == nil || next == nil || before.Point == next.Point || r.snapshot.At.Before(before.ETA) || r.behindUs(before.Point) {
		return
	}
	r.dropped = &dropped{before.Point, next.Point, r.Clock.Wall()}
	r.said = fmt.Sprintf("%s is overdue and was not logged: p is now %s", frame.Clean(before.Point), frame.Clean(next.Point))
}

// behindUs reports whether a point was passed or left out.
func (r *Root) behindUs(point string) bool {
	for i := range r.snapshot.Route {
		if row := &r.snapshot.Route[i]; row.Point == point && row.Actual == nil && !row.Diverted {
			return false
		}
	}
	return true
}

// passing records the passing of the next point. Shortly after that became another one, the finger may have been on its way: it asks.
func (r *Root) passing() {
	next := r.snapshot.Next.Point
	passing := r.stamp(flight.Event{Act: flight.Passing, Point: next})
	const onItsWay = 20 * time.Second
	was := r.dropped
	r.dropped = nil
	if was == nil || was.next != next || r.Clock.Wall().Sub(was.at) > onItsWay {
		r.record(passing)
		return
	}
	text := fmt.Sprintf("%s was not logged. Is this %s?", frame.Clean(was.point), frame.Clean(next))
	r.asked = &asked{text: text, stays: true, yes: func() terminal.Effect {
		r.record(passing)
		return terminal.Effect{Redraw: true, Ring: r.newCalls()}
	}}
}
