package route

import (
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// placeID tells the rows apart that the mark can stand on, so that it stays on its row when others come or go.
type placeID struct {
	point   string
	leg     int
	afterNM float64
	landing bool // a row of the places to land at
}

// place is a row that the mark can stand on. The zero place is no row.
type place struct {
	id    placeID
	point *flight.RoutePoint // nil for a place to land at
}

// name is what a place is called on this screen: a checkpoint by its name, others by their ident too.
func (p place) name() string {
	switch {
	case p.point == nil:
		return frame.Clean(p.id.point)
	case p.point.Checkpoint && p.point.Name != "":
		return frame.Clean(p.point.Name)
	default:
		return say.Named(frame.Clean(p.point.Point), frame.Clean(p.point.Name))
	}
}

// indented is the name, set in for a checkpoint.
func (p place) indented() string {
	if p.point != nil && p.point.Checkpoint {
		return "  " + p.name()
	}
	return p.name()
}

func (p place) canPass() bool {
	return p.point != nil && p.point.Actual == nil && !p.point.Diverted
}

// places lists the rows in their order on the screen: the route, without its checkpoints if they are hidden, then the
// alternates.
func places(s flight.Snapshot, checkpoints bool) []place {
	all := make([]place, 0, len(s.Route)+len(s.Alternates))
	for i := range s.Route {
		p := &s.Route[i]
		if p.Checkpoint && !checkpoints {
			continue
		}
		all = append(all, place{placeID{point: p.Point, leg: p.Leg, afterNM: p.AfterNM}, p})
	}
	for _, a := range s.Alternates {
		all = append(all, place{id: placeID{point: a.Point, landing: true}})
	}
	return all
}

// onRoute is how many of the places are points of the route; they come first.
func onRoute(all []place) int {
	for i, p := range all {
		if p.point == nil {
			return i
		}
	}
	return len(all)
}

// next is the point of the route to be passed next; len if there is none. What lies on a leg that is over, or before the last
// point passed, is behind, even if its passing was never entered; so is what a diversion left out.
func next(s flight.Snapshot, route []place) int {
	from := 0
	for i, p := range route {
		if p.point.Actual != nil || s.Clock.LegSeconds != nil && p.point.Leg < s.Leg.Index {
			from = i + 1
		}
	}
	for i := from; i < len(route); i++ {
		if route[i].canPass() {
			return i
		}
	}
	return len(route)
}
