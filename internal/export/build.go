// Package export writes plans and journals for other programs: GPX 1.1, GeoJSON, KML 2.2 and CSV.
//
// [New] gathers what any of them can show in a [Document]: the points that the flight uses, the route with its times, and the track.
// The track is made of the positions of a feed where the journal has them, with what was done between them, else of the places where the aircraft was reckoned to be when
// something fixed it: take-off, passings, fixes, landing. [Document.Write] writes it.
//
// It reads and computes nothing else, and knows no files and no clock.
//
// # Units and signs
//
// Positions are degrees on WGS-84, written to 0.0000001 (a centimetre), north and east positive. Altitudes are above sea level: metres in
// GPX and KML, whose formats ask for that, feet where a name says so. Times are UTC.
//
// # Sources
//
// GPX 1.1 schema, Topografix. RFC 7946, The GeoJSON Format. OGC KML 2.2.
//
// # Limits
//
// A route is drawn along the geodesics of its legs where a format takes lines (GeoJSON, KML); in GPX it is its points alone. GeoJSON
// coordinates carry no altitude, as RFC 7946 counts it from the ellipsoid; it stands in properties.
package export

import (
	"slices"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// New gathers a flight as it is known at a moment. A flight of which nothing has been recorded is a plan, at its off-blocks.
func New(s *sheet.Sheet, state *flight.State, at time.Time) Document {
	b := builder{sheet: s, state: state, snapshot: state.At(at)}
	b.document = Document{Title: s.Plan.Title, Time: s.Plan.OffBlocks.UTC()}
	b.gatherEvents()
	b.route()
	b.points()
	if !b.recordedTrack() {
		b.reckonedTrack()
	}
	return b.document
}

// exact is how finely reckoned times are written.
const exact = 100 * time.Millisecond

// builder makes a document.
type builder struct {
	sheet    *sheet.Sheet
	state    *flight.State
	snapshot flight.Snapshot
	events   []flight.Event // those that stand, as amended, in order of time
	document Document
}

func (b *builder) gatherEvents() {
	for _, entry := range b.snapshot.Entries {
		if !entry.Voided {
			b.events = append(b.events, *entry.Event)
		}
	}
	slices.SortStableFunc(b.events, func(x, y flight.Event) int { return x.T.Compare(y.T) })
}

// route takes the turning points as they were flown: without those that a diversion left out, and with the place where it began.
func (b *builder) route() {
	for _, row := range b.snapshot.Route {
		if row.Checkpoint || row.Diverted {
			continue
		}
		diversion := b.diversionOf(row)
		point, ok := b.placeOf(row, diversion)
		if !ok {
			continue
		}
		if diversion != nil {
			b.turnAside(*diversion)
		}
		b.document.Route = append(b.document.Route, RoutePoint{
			Point: point, AltitudeFt: row.AltitudeFt, DistanceNM: row.LegDistanceNM, Planned: row.Planned.UTC().Round(exact), Actual: row.Actual,
		})
	}
}

// diversionOf is the diversion whose first leg a row ends; nil where there is none.
func (b *builder) diversionOf(row flight.RoutePoint) *flight.Event {
	if row.Turned == nil {
		return nil
	}
	for i := range b.events {
		if event := &b.events[i]; event.Act == flight.Divert && event.T.Equal(*row.Turned) {
			return event
		}
	}
	return nil
}

// placeOf is where a row of the route lies.
func (b *builder) placeOf(row flight.RoutePoint, diversion *flight.Event) (Point, bool) {
	if diversion != nil {
		target, _, err := flight.DiversionTarget(b.sheet.Plan, *diversion, row.AltitudeFt)
		return planPoint(target), err == nil
	}
	point, ok := b.sheet.Plan.Point(row.Point)
	return planPoint(point), ok
}

// turnAside adds the place where a diversion began, at the end of what was flown of the leg that it left.
func (b *builder) turnAside(event flight.Event) {
	position := b.state.Hindsight(event.T).At(event.T).Position
	if position == nil {
		return
	}
	flownNM := 0.0
	for _, row := range b.snapshot.Route {
		if row.Left != nil && row.Left.To.Equal(event.T) {
			flownNM = row.Left.DistanceNM
		}
	}
	b.document.Route = append(b.document.Route, RoutePoint{
		Point:      Point{Ident: "diversion", Kind: string(plan.Fix), At: position.Place()},
		AltitudeFt: position.AltitudeFt, DistanceNM: flownNM, Actual: &event.T, Aside: true,
	})
}

// points takes the places that the flight uses, in the plan's order, and the checkpoints that have only a distance.
func (b *builder) points() {
	used := b.usedIdents()
	for _, point := range b.sheet.Plan.Points {
		if used[point.Ident] {
			b.document.Points = append(b.document.Points, planPoint(point))
		}
	}
	for i, leg := range b.sheet.Plan.Route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if checkpoint.AfterNM != nil {
				b.document.Points = append(b.document.Points, Point{
					Ident: checkpoint.Name, Kind: "checkpoint", At: b.sheet.Route.PositionAt(i, *checkpoint.AfterNM),
				})
			}
		}
	}
}

func (b *builder) usedIdents() map[string]bool {
	p := b.sheet.Plan
	used := map[string]bool{p.Route.From: true, p.Fuel.Alternate: true}
	for _, leg := range p.Route.Legs {
		used[leg.To] = true
		for _, checkpoint := range leg.Checkpoints {
			used[checkpoint.Point] = true
		}
	}
	for _, step := range b.sheet.Radio {
		used[step.Beacon.Ident] = true
	}
	for _, ident := range p.Route.Alternates {
		used[ident] = true
	}
	for _, event := range b.events {
		used[event.To], used[event.Beacon], used[event.Point] = true, true, true
	}
	for _, point := range p.Points {
		if point.From != "" && used[point.Ident] {
			used[point.From] = true
		}
	}
	return used
}

// pieceAfter is how long nothing may be known before a track is in another piece. A feed's positions are at most a minute apart.
const pieceAfter = 3 * time.Minute

// recordedTrack takes the positions of a feed; false where there are none.
func (b *builder) recordedTrack() bool {
	var piece []TrackPoint
	for _, event := range b.events {
		if event.Act != flight.Position || event.At == nil {
			continue
		}
		if n := len(piece); n > 0 && event.T.Sub(piece[n-1].Time) > pieceAfter {
			b.document.Track = append(b.document.Track, piece)
			piece = nil
		}
		piece = append(piece, TrackPoint{At: *event.At, Time: event.T.UTC(), AltitudeFt: event.Alt, GroundspeedKt: event.GS, TrackTrue: event.Track})
	}
	if len(piece) == 0 {
		return false
	}
	b.document.Track = append(b.document.Track, piece)
	for _, event := range b.events {
		if isFixed(event) {
			b.mark(event)
		}
	}
	return true
}

// isFixed reports whether an event tells that the aircraft was at a certain place.
func isFixed(event flight.Event) bool {
	switch event.Act {
	case flight.Airborne, flight.Passing, flight.Fix, flight.Divert, flight.Landed:
		return true
	}
	return false
}

// mark says at its place on a recorded track what was done there, between the positions before and after.
func (b *builder) mark(event flight.Event) {
	for i, piece := range b.document.Track {
		at := slices.IndexFunc(piece, func(p TrackPoint) bool { return !p.Time.Before(event.T) })
		switch {
		case at < 0:
			continue
		case piece[at].Time.Equal(event.T):
			piece[at].Text = joined(piece[at].Text, flight.Describe(event))
		case at > 0:
			point := between(piece[at-1], piece[at], event.T.UTC())
			point.Text = flight.Describe(event)
			b.document.Track[i] = slices.Insert(piece, at, point)
		}
		return
	}
}

func joined(before, after string) string {
	if before == "" {
		return after
	}
	return before + ", " + after
}

// between is where the aircraft was between two positions, at a steady speed along the line between them.
func between(from, to TrackPoint, when time.Time) TrackPoint {
	share := float64(when.Sub(from.Time)) / float64(to.Time.Sub(from.Time))
	line := earth.NewLine(from.At, to.At)
	point := TrackPoint{Time: when}
	point.At, _ = line.At(share * line.DistanceNM())
	if from.AltitudeFt != nil && to.AltitudeFt != nil {
		altitudeFt := *from.AltitudeFt + share*(*to.AltitudeFt-*from.AltitudeFt)
		point.AltitudeFt = &altitudeFt
	}
	return point
}

// reckonedTrack takes the places where the aircraft was when something fixed it.
func (b *builder) reckonedTrack() {
	var piece []TrackPoint
	for _, event := range b.events {
		if !isFixed(event) {
			continue
		}
		position := b.state.Hindsight(event.T).At(event.T).Position
		if position == nil {
			continue
		}
		piece = append(piece, TrackPoint{
			At: position.Place(), Time: event.T.UTC(), AltitudeFt: &position.AltitudeFt, Text: flight.Describe(event),
		})
	}
	if len(piece) > 0 {
		b.document.Track = [][]TrackPoint{piece}
	}
}
