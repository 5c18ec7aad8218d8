package flight

import (
	"time"

	"example.com/legclock/internal/sheet"
)

// At is everything that is known of the flight at a moment, which must not lie before the last event. It changes nothing: asked
// twice it answers the same.
func (s *State) At(t time.Time) Snapshot {
	p, snapshot := &s.progress, s.Figures(t)
	snapshot.Tanks = p.tanksAt(t)
	snapshot.Prompts = p.promptsAt(t)
	snapshot.Radio = p.radioAt(t)
	snapshot.Cleared = p.cleared
	snapshot.Report = p.positionReport(t)
	snapshot.OffTrack = p.offTrackAt(t)
	snapshot.Crossing = p.crossingAt(t)
	snapshot.Descent = p.descentAt(t)
	snapshot.Bearing = p.bearingCheckAt(t)
	snapshot.Offer = p.offerAt(t)
	p.holdingAt(&snapshot)
	snapshot.WaysOut = p.waysOutAt(t)
	snapshot.Alternates = p.alternatesAmong(snapshot.WaysOut)
	snapshot.Critical = p.criticalAt(t)
	snapshot.Notices = p.noticesAt(&snapshot)
	return snapshot
}

// Figures is what a flight is judged by at a moment, for those who look at many: At without the prompts, what is to come of the tanks,
// the receivers, the report to read out, the hold, what is wanted of a point, the descent, the ways back and out, and the notices.
// LateAt has the prompts that are late.
func (s *State) Figures(t time.Time) Snapshot {
	p, snapshot := &s.progress, s.Glance(t)
	snapshot.Phase = p.phaseAt(t)
	snapshot.Diversion = p.diversionNow()
	snapshot.Position = p.positionAt(t)
	snapshot.Altimetry = Altimetry{QNH: p.forecast.QNH}
	snapshot.Wind = p.windAt(t)
	snapshot.Next = p.nextAt(t)
	snapshot.Route = p.routeAt(t)
	snapshot.Groundspeed = p.groundspeedAt(t)
	snapshot.Destination = p.destinationAt(t)
	return snapshot
}

// Glance is the leg, what to steer and the tanks as they are: of a Snapshot what costs least.
func (s *State) Glance(t time.Time) Snapshot {
	p := &s.progress
	snapshot := Snapshot{
		At: t, Title: s.sheet.Plan.Title, Mode: s.mode,
		Leg: p.legAt(t), Clock: p.clocksAt(t), Steer: p.steerAt(t), Tanks: p.tankFiguresAt(t), Entries: s.entries.all(),
	}
	snapshot.Clock.Rate, snapshot.Clock.Paused = 1, s.setting.Paused
	if s.setting.Rate != 0 {
		snapshot.Clock.Rate = s.setting.Rate
	}
	return snapshot
}

// phaseAt is what the whole flight is in.
func (p *progress) phaseAt(t time.Time) FlightPhase {
	switch {
	case !p.onBlocks.IsZero():
		return Arrived
	case !p.landed.IsZero():
		return Taxi
	case p.airborne.IsZero() && p.offBlocks.IsZero():
		return BeforeStart
	case p.airborne.IsZero():
		return Taxi
	}
	n, ok := p.here(t)
	switch {
	case p.complete || n.descending || !p.descended.IsZero():
		return Descending
	case p.diverting():
		return Diverting
	case ok && n.point.Phase == sheet.Climb:
		return Climbing
	}
	return Cruising
}

// secondsSince is the time from a moment to another in seconds; nil before the first is known.
func secondsSince(from, to time.Time) *float64 {
	if from.IsZero() || to.Before(from) {
		return nil
	}
	seconds := to.Sub(from).Seconds()
	return &seconds
}

// ended is a moment, or a later end if that has come.
func ended(t, end time.Time) time.Time {
	if !end.IsZero() && end.Before(t) {
		return end
	}
	return t
}

func (p *progress) clocksAt(t time.Time) Clocks {
	c := Clocks{
		AirborneSeconds: secondsSince(p.airborne, ended(t, p.landed)),
		BlockSeconds:    secondsSince(p.offBlocks, ended(t, p.onBlocks)),
	}
	if !p.complete {
		c.LegSeconds = secondsSince(p.legs[p.leg].started, ended(t, p.landed))
	}
	return c
}

// timeOf is a time, nil when it is not known.
func timeOf(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}
