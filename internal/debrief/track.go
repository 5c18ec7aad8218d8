package debrief

import "example.com/legclock/internal/earth"

// planPieceNM is how finely the planned way is drawn.
const planPieceNM = 10.0

// track is the flight as a picture: the planned way, where it was reckoned to be, where it was logged to be, and what was fed.
func (m making) track() Track {
	t := Track{
		Planned: m.plannedWay(), Reckoned: append([]Place{}, m.known.reckoned...), Fixed: append([]Place{}, m.standing.fixed...),
		Fed: []Place{}, Passed: []Place{},
	}
	if m.by != ByTruth {
		const most = 2000 // more than can be told apart in the picture
		for i := 0; i < len(m.way); i += 1 + len(m.way)/most {
			t.Fed = append(t.Fed, Place{At: ref(m.way[i].Time), Pos: m.way[i].At})
		}
	}
	if m.log.Hidden != nil {
		for _, point := range m.log.Hidden.Path {
			t.True = append(t.True, Place{At: &point.At, Pos: point.Pos})
		}
	}
	for i, row := range m.last.Route {
		if row.Actual == nil || row.Leg >= len(m.log.Sheet.Legs) {
			continue
		}
		leg := max(row.Leg, 0)
		afterNM := row.AfterNM
		if i == 0 {
			afterNM = 0
		}
		at, azimuth := m.log.Sheet.Route.Legs[leg].Line.At(afterNM)
		if r := m.entryOf(row); r != nil && r.OffTrack != nil {
			at, _ = earth.Direct(at, azimuth+90, *r.OffTrack)
		}
		t.Passed = append(t.Passed, Place{Name: row.Point, At: row.Actual, Pos: at})
	}
	return t
}

// plannedWay has a named place at every route point and nameless ones between them.
func (m making) plannedWay() []Place {
	legs := m.log.Sheet.Route.Legs
	way := []Place{{Name: legs[0].From.Ident, Pos: legs[0].From.At}}
	for _, leg := range legs {
		for at := planPieceNM; at < leg.DistanceNM; at += planPieceNM {
			place, _ := leg.Line.At(at)
			way = append(way, Place{Pos: place})
		}
		way = append(way, Place{Name: leg.To.Ident, Pos: leg.To.At})
	}
	return way
}
