package tui

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
)

// dropped is a point so long overdue that the next one is offered in its place, at a moment of the machine's clock.
type dropped struct {
	point, next string
	at          time.Time
}

// noticeDropped says so when time alone has changed what the passing key means, where there is one.
func (r *Root) noticeDropped(before *flight.NextPoint) {
	next := r.snapshot.Next
	if !r.mode.records || before == nil || next == nil || before.Point == next.Point || r.snapshot.At.Before(before.ETA) || r.behindUs(before.Point) {
		return
	}
	r.dropped = &dropped{before.Point, next.Point, r.clock.Wall()}
	r.mention(fmt.Sprintf("%s is overdue and was not logged: p is now %s", frame.Clean(before.Point), frame.Clean(next.Point)))
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

// passing records the passing of the point that the key means. Shortly after the next one became another, the finger may have been on its way: it
// asks.
func (r *Root) passing() {
	point, chosen := r.meant()
	passing := r.stamp(flight.Event{Act: flight.Passing, Point: point})
	const onItsWay = 20 * time.Second
	was := r.dropped
	r.dropped = nil
	if chosen || was == nil || was.next != point || r.clock.Wall().Sub(was.at) > onItsWay {
		r.unmark()
		r.record(passing)
		return
	}
	asks := func() (question, error) {
		if r.behindUs(was.point) || r.behindUs(point) {
			return question{}, nil
		}
		return question{text: fmt.Sprintf("%s was not logged. Is this %s?", frame.Clean(was.point), frame.Clean(point)), of: "not logged"}, nil
	}
	first, _ := asks()
	r.put(first, passing, asks, func(question) { r.record(passing) })
}

// meant is the point that the passing key means: the marked one, else with a time given the one that fits it, else the next; chosen says that it
// is not just the next. It is empty where there is none.
func (r *Root) meant() (point string, chosen bool) {
	if marked := r.marked().Point; marked != "" {
		return marked, true
	}
	next := r.snapshot.Next
	if next == nil {
		return "", false
	}
	if r.earlier == nil {
		return next.Point, false
	}
	point, best := next.Point, next.ETA.Sub(*r.earlier).Abs()
	for i := range r.snapshot.Route {
		row := &r.snapshot.Route[i]
		if row.Actual != nil || row.Diverted || row.Leg < 0 {
			continue
		}
		at := row.Planned.Add(time.Duration(next.DifferenceSeconds * float64(time.Second)))
		if row.Revised != nil {
			at = *row.Revised
		}
		if away := at.Sub(*r.earlier).Abs(); away < best {
			point, best = row.Point, away
		}
	}
	return point, true
}
