package sheet

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

// LogPart is a row of the pilot's log: a leg, or the part of one that is flown in one phase, so that its distance by its groundspeed is
// its time.
type LogPart struct {
	From, To        string // an ident, TOC, TOD or LVL
	Phase           Phase
	DistanceNM      float64
	TrackMagnetic   float64
	Wind            air.Wind
	TASKt           float64
	CorrectionDeg   float64
	HeadingMagnetic float64
	GroundspeedKt   float64 // distance over time: of a climb or descent the mean
	Minutes         float64
	Fuel            float64
	ETA             time.Time // at its end
}

// The ends of a part that no point of the route names.
const (
	topOfClimb   = "TOC"
	topOfDescent = "TOD"
	levelOff     = "LVL"
)

// LogParts are the rows of a leg, split at the tops of climb and descent. The wind, airspeed and heading of a climb or descent are those
// at its mean height; a part of cruise has its leg's.
func (s *Sheet) LogParts(index int) []LogPart {
	leg, way := s.Legs[index], s.Trajectory.OnLeg(index)
	var parts []LogPart
	for first := 0; first < len(way); {
		next := first
		for next < len(way) && way[next].Phase == way[first].Phase {
			next++
		}
		parts = append(parts, s.logPart(leg, index, way[first:next]))
		if n := len(parts); n > 1 {
			join := topOfDescent
			switch {
			case parts[n-2].Phase == Climb && parts[n-1].Phase == Cruise:
				join = topOfClimb
			case parts[n-2].Phase == Descent:
				join = levelOff
			}
			parts[n-2].To, parts[n-1].From = join, join
		}
		first = next
	}
	parts[0].From, parts[len(parts)-1].To = leg.From.Ident, leg.To.Ident
	return parts
}

func (s *Sheet) logPart(leg Leg, index int, way Trajectory) LogPart {
	last := way[len(way)-1]
	part := LogPart{
		Phase: way[0].Phase, DistanceNM: way.DistanceNM(), TrackMagnetic: leg.TrackMagnetic, Fuel: way.Fuel(), ETA: s.TimeAt(index, last.ToNM),
		Wind: leg.Wind, TASKt: leg.TASKt, CorrectionDeg: leg.CorrectionDeg, HeadingMagnetic: leg.HeadingMagnetic,
	}
	heights := 0.0
	for _, piece := range way {
		part.Minutes += piece.Minutes
		heights += piece.Minutes * (piece.FromFt + piece.ToFt) / 2
	}
	part.GroundspeedKt = deadreckon.Groundspeed(part.DistanceNM, part.Minutes)
	if part.Phase == Cruise || part.Minutes == 0 {
		return part
	}
	k := newReckoner(s.Route, Start{Leg: index}, s.Air, layerFt, index)
	if piece, _, err := k.through(part.Phase, index, Track{TrackTrue: leg.TrackTrue}, heights/part.Minutes); err == nil {
		part.Wind, part.TASKt, part.CorrectionDeg = piece.Wind, piece.TASKt, piece.Heading.CorrectionDeg
		part.HeadingMagnetic = deadreckon.MagneticFromTrue(piece.Heading.HeadingTrue, leg.Variation)
	}
	return part
}

// logRow is a row of the log as it is written: its time is from one whole second to another, and its fuel from one tenth to another, so
// that the columns add up to their totals; its wind correction is what is between the track and the heading written.
type logRow struct {
	LogPart
	leg        int
	seconds    float64
	correction float64
	fuel, left float64 // used on the row; usable and remaining at its end
}

// logRows is the whole log.
func (s *Sheet) logRows() []logRow {
	block := s.writtenFuel()
	start := tenths(block.OnBoard - block.Unusable - block.Taxi)
	var rows []logRow
	at, left, burned := s.Airborne, start, 0.0
	for i := range s.Legs {
		for _, part := range s.LogParts(i) {
			row := logRow{LogPart: part, leg: i, seconds: part.ETA.Sub(at).Seconds()}
			row.correction = angle.Turn(float64(angle.Whole(part.TrackMagnetic)), float64(angle.Whole(part.HeadingMagnetic)))
			burned += part.Fuel
			row.left = tenths(start - tenths(burned))
			row.fuel = tenths(left - row.left)
			at, left = part.ETA, row.left
			rows = append(rows, row)
		}
	}
	return rows
}

func tenths(value float64) float64 { return math.Round(10*value) / 10 }
