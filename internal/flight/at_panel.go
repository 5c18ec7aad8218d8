package flight

import (
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
)

func (p *progress) radioAt(t time.Time) []ReceiverNow {
	position := p.positionAt(t)
	n, flying := p.here(t)
	list := make([]ReceiverNow, 0, len(p.sheet.Plan.Aircraft.Receivers))
	for _, name := range p.sheet.Plan.Aircraft.Receivers {
		now := ReceiverNow{Receiver: name, Next: p.nextBeacon(name, t)}
		if set, tuned := p.receivers.find(name); tuned {
			now.Identified = set.identified
			now.Tuned = p.beaconNow(set, position, n, flying, t)
		}
		list = append(list, now)
	}
	return list
}

// beaconNow is what a tuned beacon should show; without a position only what it is.
func (p *progress) beaconNow(set receiver, position *PositionNow, n now, flying bool, t time.Time) *BeaconNow {
	b := &BeaconNow{
		Beacon: set.beacon.Ident, Name: set.beacon.Title(), Kind: string(set.beacon.Kind), Frequency: set.beacon.Frequency,
		Morse: morse(set.beacon.Ident), Course: set.course,
	}
	if position == nil {
		return b
	}
	reading := p.expectAt(position.Place(), position.AltitudeFt, set.beacon, set.course)
	b.InRange = reading.inRange
	if set.beacon.Kind.HasRadials() {
		b.Radial = &reading.radial
		if set.course != nil {
			b.Sense, b.NeedleDeg = &reading.sense, &reading.needle
		}
	}
	if set.beacon.Kind.HasDistance() {
		b.DME = &reading.dmeNM
	}
	if set.beacon.Kind == plan.NDB && flying {
		qdm := deadreckon.MagneticFromTrue(earth.Inverse(position.Place(), set.beacon.At).AzimuthStart, p.declinationAt(n.place))
		b.QDM, b.Relative = &qdm, ref(radio.RelativeBearing(p.headingMagnetic(n), qdm))
	}
	if flying {
		b.WingTip = p.wingTip(set.beacon, position, n)
	}
	if flying && p.legs[p.leg].line().To.Ident == set.beacon.Ident {
		if eta, ok := p.eta(p.endOfLeg(), t); ok {
			b.OverheadSeconds = ref(eta.Sub(t).Seconds())
		}
	}
	return b
}

// nextBeacon is the first open radio step of a receiver.
func (p *progress) nextBeacon(receiver string, t time.Time) *BeaconNext {
	for _, open := range p.prompts.made {
		if open.step == nil || open.step.Receiver != receiver {
			continue
		}
		step := open.step
		next := &BeaconNext{
			Beacon: step.Beacon.Ident, Name: step.Beacon.Title(), Frequency: step.Beacon.Frequency, Morse: morse(step.Beacon.Ident),
			Course: step.CourseMagnetic, AfterNM: step.AfterNM, Leg: step.Leg, Due: ref(open.Due),
		}
		if open.at != nil {
			next.Leg = open.at.leg
			next.Due = ref(open.Due.Add(p.delayTo(*open.at, t)))
		}
		return next
	}
	return nil
}
