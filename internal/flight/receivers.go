package flight

import (
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// receiver is what the pilot has set on one receiver.
type receiver struct {
	beacon     plan.Point
	course     *float64 // magnetic
	tunedAt    time.Time
	tunedLeg   int
	identified bool
}

func (p *progress) foldTuned(e Event) bool {
	beacon, ok := p.sheet.Plan.Point(e.Beacon)
	if !ok {
		return false
	}
	before, tuned := p.receivers.find(e.Receiver)
	set := receiver{beacon: beacon, tunedAt: e.T, tunedLeg: p.leg}
	if tuned && before.beacon.Ident == beacon.Ident {
		set.identified, set.course = before.identified, before.course
	}
	if step, ok := p.stepFor(e.Receiver, e.Beacon); ok {
		set.course = step.CourseMagnetic
	}
	p.receivers = p.receivers.with(e.Receiver, set)
	return true
}

func (p *progress) foldIdentified(e Event) bool {
	if set, tuned := p.receivers.find(e.Receiver); !tuned || set.beacon.Ident != e.Beacon {
		p.foldTuned(e)
	}
	if set, tuned := p.receivers.find(e.Receiver); tuned {
		set.identified = true
		p.receivers = p.receivers.with(e.Receiver, set)
	}
	return true
}

// stepFor is the radio step that tuning a beacon answers: the one that the prompt just answered was for, else the first on this leg
// or a later one.
func (p *progress) stepFor(receiver, beacon string) (sheet.RadioStep, bool) {
	if step := p.prompts.answeredStep; step != nil && step.Receiver == receiver && step.Beacon.Ident == beacon {
		return *step, true
	}
	for i := p.leg; i < len(p.legs); i++ {
		for _, step := range p.legs[i].line().Radio {
			if step.Receiver == receiver && step.Beacon.Ident == beacon && !p.legs[i].leftOut {
				return step, true
			}
		}
	}
	return sheet.RadioStep{}, false
}

// places are what is known of a plan's points whatever is flown.
type places struct {
	stations map[string]float64        // declinations that radials count from, by ident of the beacon
	days     map[string]sheet.Daylight // the end of the day about the planned arrival, by ident
}

func placesOf(s *sheet.Sheet) places {
	p := places{stations: stationDeclinations(s.Plan), days: map[string]sheet.Daylight{}}
	for _, point := range s.Plan.Points {
		p.days[point.Ident] = sheet.DaylightAt(point, s.Arrival())
	}
	for _, day := range s.Daylight {
		p.days[day.Ident] = day
	}
	return p
}

// stationDeclinations are what the radials of a plan's beacons count from: the station's own or, where the plan does not give it,
// the magnetic model's.
func stationDeclinations(p *plan.Plan) map[string]float64 {
	declinations := map[string]float64{}
	for _, point := range p.Points {
		switch {
		case point.Declination != nil:
			declinations[point.Ident] = *point.Declination
		case point.Kind.IsBeacon():
			declinations[point.Ident], _ = earth.Declination(point.At, point.ElevationFt, p.OffBlocks)
		}
	}
	return declinations
}
