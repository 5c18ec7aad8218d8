package flight

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
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

func (f *fold) foldTuned(e Event) bool {
	beacon, ok := f.sheet.Plan.Point(e.Beacon)
	if !ok {
		return false
	}
	before, tuned := f.told.receivers.Find(e.Receiver)
	set := receiver{beacon: beacon, tunedAt: e.T, tunedLeg: f.leg}
	if tuned && before.beacon.Ident == beacon.Ident {
		set.identified, set.course = before.identified, before.course
	}
	if step, ok := f.stepFor(e.Receiver, e.Beacon); ok {
		set.course = step.CourseMagnetic
	}
	f.told.receivers = f.told.receivers.With(e.Receiver, set)
	return true
}

func (f *fold) foldIdentified(e Event) bool {
	if set, tuned := f.told.receivers.Find(e.Receiver); !tuned || set.beacon.Ident != e.Beacon {
		f.foldTuned(e)
	}
	if set, tuned := f.told.receivers.Find(e.Receiver); tuned {
		set.identified = true
		f.told.receivers = f.told.receivers.With(e.Receiver, set)
	}
	return true
}

// stepFor is the radio step that tuning a beacon answers: the one that the prompt just answered was for, else the first on this leg
// or a later one.
func (f *fold) stepFor(receiver, beacon string) (sheet.RadioStep, bool) {
	if step := f.prompts.answeredStep; step != nil && step.Receiver == receiver && step.Beacon.Ident == beacon {
		return *step, true
	}
	for i := f.leg; i < len(f.legs); i++ {
		for _, step := range f.legs[i].line().Radio {
			if step.Receiver == receiver && step.Beacon.Ident == beacon && !f.legs[i].leftOut {
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

func (f *fold) radioAt(t time.Time) []ReceiverNow {
	position := f.positionAt(t)
	n, flying := f.here(t)
	list := make([]ReceiverNow, 0, len(f.sheet.Plan.Aircraft.Receivers))
	for _, name := range f.sheet.Plan.Aircraft.Receivers {
		now := ReceiverNow{Receiver: name, Next: f.nextBeacon(name, t)}
		if set, tuned := f.told.receivers.Find(name); tuned {
			now.Identified = set.identified
			now.Tuned = f.beaconNow(set, position, n, flying, t)
		}
		list = append(list, now)
	}
	return list
}

// beaconNow is what a tuned beacon should show; without a position only what it is.
func (f *ahead) beaconNow(set receiver, position *PositionNow, n now, flying bool, t time.Time) *BeaconNow {
	b := &BeaconNow{
		Beacon: set.beacon.Ident, Name: set.beacon.Title(), Kind: string(set.beacon.Kind), Frequency: set.beacon.Frequency,
		Morse: morse(set.beacon.Ident), Course: set.course,
	}
	if position == nil {
		return b
	}
	reading := f.expectAt(position.Place(), position.AltitudeFt, set.beacon, set.course)
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
		qdm := deadreckon.MagneticFromTrue(earth.Inverse(position.Place(), set.beacon.At).AzimuthStart, f.declinationAt(n.place))
		b.QDM, b.Relative = &qdm, ref(radio.RelativeBearing(f.headingMagnetic(n), qdm))
	}
	if flying {
		b.WingTip = f.wingTip(set.beacon, position, n)
	}
	if flying && f.legs[f.leg].line().To.Ident == set.beacon.Ident {
		if eta, ok := f.eta(f.endOfLeg(), t); ok {
			b.OverheadSeconds = ref(eta.Sub(t).Seconds())
		}
	}
	return b
}

// nextBeacon is the first open radio step of a receiver.
func (f *fold) nextBeacon(receiver string, t time.Time) *BeaconNext {
	for _, open := range f.prompts.made {
		if open.step == nil || open.step.Receiver != receiver {
			continue
		}
		step := open.step
		next := &BeaconNext{
			Beacon: step.Beacon.Ident, Name: step.Beacon.Title(), Frequency: step.Beacon.Frequency, Morse: morse(step.Beacon.Ident),
			Course: step.CourseMagnetic, AfterNM: step.AfterNM, Leg: step.Leg, Due: ref(shown(open.Due)),
		}
		if open.at != nil {
			next.Leg = open.at.leg
			next.Due = ref(shown(open.Due.Add(f.delayTo(*open.at, t))))
		}
		return next
	}
	return nil
}

// What can be cleared or told over the radio.
const (
	ClearedATIS      = "atis"
	ClearedClearance = "clearance"
	ClearedSquawk    = "squawk"
	ClearedContact   = "contact"
)

// ClearedKinds are the kinds of what is cleared or told, in the order in which they are shown.
var ClearedKinds = []string{ClearedATIS, ClearedClearance, ClearedSquawk, ClearedContact}

// ClearedNow is the last of its kind that was written down.
type ClearedNow struct {
	Kind      string    `json:"kind"` // atis, clearance, squawk or contact
	At        time.Time `json:"at"`
	Text      string    `json:"text"`                // free
	Squawk    string    `json:"squawk,omitempty"`    // four octal digits
	Frequency *float64  `json:"frequency,omitempty"` // MHz
	Line      string    `json:"line"`                // all that in words
}

// The band of voice communication, in MHz: ICAO Annex 10 Volume V, 4.1.
const lowestMHz, highestMHz = 118.0, 136.99

// clearedGiven reports whether there is what a kind is about.
func clearedGiven(e Event) bool {
	switch e.Kind {
	case ClearedSquawk:
		return e.Squawk != ""
	case ClearedContact:
		return e.Frequency != nil || e.Text != ""
	}
	return e.Kind != "" && e.Text != ""
}

// checkCleared refuses a kind that there is none of, a code that no transponder can be set to and a frequency between channels.
func checkCleared(_ *State, e Event) error {
	if !slices.Contains(ClearedKinds, e.Kind) {
		return refuse("it is "+strings.Join(ClearedKinds, ", "), "there is no kind %q", e.Kind)
	}
	if e.Squawk != "" && (len(e.Squawk) != 4 || strings.Trim(e.Squawk, "01234567") != "") {
		return refuse("four digits from 0 to 7", "a transponder has no code %q", e.Squawk)
	}
	if e.Frequency != nil {
		if channel := nearestChannel(*e.Frequency); math.Abs(channel-*e.Frequency) > 1e-6 {
			return refuse(fmt.Sprintf("the nearest channel is %.3f", channel), "%.3f lies between channels", *e.Frequency)
		}
	}
	return nil
}

// nearestChannel is the name of the channel nearest to a frequency in MHz. Names of channels 25 kHz apart end in 00, 25, 50 and 75, those
// 8.33 kHz apart in 05, 10, 15 and so on from each of these: ICAO Annex 10 Volume V, table 4-1 (bis).
func nearestChannel(frequencyMHz float64) float64 {
	const step, names, group = 5, 4, 25 // kHz, to a group, kHz
	kHz := frequencyMHz * 1000
	start := math.Floor(kHz/group) * group
	const hair = 1e-6
	nearest := start + group // of two the upper one: it is the last digit that is left out when a channel is said
	for i := names - 1; i >= 0; i-- {
		if name := start + float64(i*step); math.Abs(name-kHz) < math.Abs(nearest-kHz)-hair {
			nearest = name
		}
	}
	return nearest / 1000
}

// doubtCleared asks after codes that call for help: ICAO Doc 8168 Volume III, part III, section 3.
func doubtCleared(_ *State, e Event) error {
	if means, special := map[string]string{"7500": "unlawful interference", "7600": "radio failure", "7700": "an emergency"}[e.Squawk]; special {
		return doubt("%s is the code for %s", e.Squawk, means)
	}
	return nil
}

func describeCleared(e Event) string {
	words := []string{e.Kind}
	switch e.Kind {
	case ClearedATIS:
		words[0] = "ATIS"
	case ClearedClearance:
		words[0] = "cleared"
	}
	if e.Squawk != "" {
		words = append(words, e.Squawk)
	}
	words = append(words, number(e.Frequency, "%.3f"), e.Text)
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}

// foldCleared keeps the last of each kind.
func (f *flown) foldCleared(e Event) bool {
	kept := make([]ClearedNow, 0, len(ClearedKinds))
	for _, kind := range ClearedKinds {
		if kind == e.Kind {
			kept = append(kept, ClearedNow{Kind: kind, At: e.T, Text: e.Text, Squawk: e.Squawk, Frequency: e.Frequency, Line: describeCleared(e)})
			continue
		}
		if i := slices.IndexFunc(f.told.cleared, func(before ClearedNow) bool { return before.Kind == kind }); i >= 0 {
			kept = append(kept, f.told.cleared[i])
		}
	}
	f.told.cleared = kept
	return true
}
