package flight

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// receiver is what the pilot has set on one receiver.
type receiver struct {
	beacon     plan.Point
	course     *float64 // magnetic
	held       string   // "QDM" or "QDR" where the course is held with an ADF
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
		set.identified, set.course, set.held = before.identified, before.course, before.held
	}
	if step, ok := f.stepFor(e.Receiver, e.Beacon); ok {
		set.course, set.held = step.CourseMagnetic, bearingHeld(&step)
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

// ofPlan is the sheet of a plan, and what else follows from it whatever is flown.
type ofPlan struct {
	sheet    *sheet.Sheet
	reserves finalReserves
	stations map[string]float64                       // declinations that radials count from, by ident of the beacon
	days     *values.Found[map[string]sheet.Daylight] // the end of the day about the planned arrival, by ident
	later    *laterDays
	lists    *values.Found[[]cards.Card] // before departure, and for what one hopes not to need
	checks   []onceChecked
	repeats  []repeating
	contacts []*task // for its stations
}

func follows(s *sheet.Sheet) *ofPlan {
	p := ofPlan{sheet: s, reserves: finalReservesOf(s), stations: stationDeclinations(s), days: &values.Found[map[string]sheet.Daylight]{}, later: &laterDays{}, lists: &values.Found[[]cards.Card]{}}
	p.checks, p.repeats = checksOf(s.Plan)
	seen := namesMet{}
	for i := range s.Contacts {
		contact := &s.Contacts[i]
		call := task{
			ID: contactPrompt + seen.key(contact.Name), Kind: PromptContact, Text: "call " + contact.Name + " " + say.Voice(contact.FrequencyMHz),
			Answer: Answer{Act: Cleared, Contact: &contact.Contact},
		}
		if contact.For != "" {
			call.Detail = []string{contact.For}
		}
		p.contacts = append(p.contacts, newTask(call))
	}
	return &p
}

// daylightOf is the end of the day about the planned arrival, by ident.
func daylightOf(s *sheet.Sheet) map[string]sheet.Daylight {
	days := map[string]sheet.Daylight{}
	for _, point := range s.Plan.Points {
		days[point.Ident] = sheet.DaylightAt(point, s.Arrival())
	}
	for _, day := range s.Daylight {
		days[day.Ident] = day
	}
	return days
}

func listsOf(s *sheet.Sheet) []cards.Card {
	return append([]cards.Card{cards.PreDeparture(s)}, cards.All(s.Plan.Aircraft.Cards)...)
}

// stationDeclinations are what bearings from a plan's beacons count from: the station's declination, at one without radials the variation.
func stationDeclinations(s *sheet.Sheet) map[string]float64 {
	declinations := map[string]float64{}
	for _, point := range s.Plan.Points { // a sheet has been made from the plan: that of every place is known
		switch {
		case point.Kind.HasRadials():
			declinations[point.Ident], _, _ = s.Plan.StationDeclination(point)
		case point.Kind.IsBeacon():
			declinations[point.Ident], _, _ = s.Route.VariationNear(point.At, point.ElevationFt)
		}
	}
	return declinations
}

func (f *fold) radioAt(t time.Time) []ReceiverNow {
	position := f.positionAt(t)
	n, flying := f.here(t)
	receivers := f.sheet.Plan.Aircraft.Receivers
	list := make([]ReceiverNow, 0, len(receivers))
	next := keep(f.lookAt(t), func(k *kept) *keptPart[time.Duration, []*BeaconNext] { return &k.beacons }, f.delay(t), func() []*BeaconNext {
		all := make([]*BeaconNext, len(receivers))
		for i, name := range receivers {
			all[i] = f.nextBeacon(name, t)
		}
		return all
	})
	for i, name := range receivers {
		now := ReceiverNow{Receiver: name, Next: next[i]}
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
		Morse: morse(set.beacon.Ident), Course: set.course, Held: set.held,
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
		if eta, ok := f.eta(f.endOfLeg(), t); ok && eta.Before(t) {
			b.OverdueSeconds = ref(say.Apart(eta, t).Seconds())
		} else if ok {
			b.OverheadSeconds = ref(say.Apart(t, eta).Seconds())
		}
	}
	return b
}

// nextBeacon is the first open radio step of a receiver.
func (f *fold) nextBeacon(receiver string, t time.Time) *BeaconNext {
	for i := range f.prompts.made {
		open := &f.prompts.made[i]
		step := open.step
		if step == nil || step.Receiver != receiver {
			continue
		}
		next := &BeaconNext{
			Beacon: step.Beacon.Ident, Name: step.Beacon.Title(), Frequency: step.Beacon.Frequency, Morse: morse(step.Beacon.Ident),
			Course: step.CourseMagnetic, Held: bearingHeld(step), AfterNM: step.AfterNM, Leg: step.Leg, Due: ref(shown(f.dueAt(open, t))),
		}
		if open.at != nil {
			next.Leg = open.at.leg
		}
		return next
	}
	return nil
}

// VORCheckNow is the last check of a receiver against a radial that is known, with the limit of 14 CFR 91.171 (b) for where it was made.
type VORCheckNow struct {
	At       time.Time `json:"at"`
	Receiver string    `json:"receiver"`
	Beacon   string    `json:"beacon,omitempty"`
	Reading  float64   `json:"reading"`
	Expected float64   `json:"expected"`
	ErrorDeg float64   `json:"error_deg"` // reading less expected
	LimitDeg float64   `json:"limit_deg"`
	Airborne bool      `json:"airborne"`
}

// Within reports whether the receiver may be used for instrument flight by that check.
func (c VORCheckNow) Within() bool { return math.Abs(c.ErrorDeg) <= c.LimitDeg }

// What a VOR receiver may be out by: 14 CFR 91.171 (b), at a ground checkpoint or by a test signal, and at an airborne checkpoint.
const groundLimitDeg, airborneLimitDeg = 4, 6

func (f *flown) vorCheck(e Event) VORCheckNow {
	c := VORCheckNow{
		At: e.T, Receiver: e.Receiver, Beacon: e.Beacon, Reading: *e.Radial, Expected: *e.Course, ErrorDeg: angle.Turn(*e.Course, *e.Radial), LimitDeg: groundLimitDeg,
		Airborne: f.flying(),
	}
	if c.Airborne {
		c.LimitDeg = airborneLimitDeg
	}
	return c
}

// foldVORCheck keeps the last check of each receiver, in the panel's order.
func (f *fold) foldVORCheck(e Event) bool {
	if e.Radial == nil || e.Course == nil {
		return false
	}
	f.told.vorChecks = withLast(f.told.vorChecks, f.vorCheck(e), f.sheet.Plan.Aircraft.Receivers, func(c VORCheckNow) string { return c.Receiver })
	return true
}

func (s *State) checkVORReceiver(e Event) error {
	var selects []string
	for _, name := range s.sheet.Plan.Aircraft.Receivers {
		if plan.SelectsCourse(name) {
			selects = append(selects, name)
		}
	}
	if !slices.Contains(selects, e.Receiver) {
		return refuse("the aircraft has "+strings.Join(selects, ", "), "%q is no VOR receiver of the aircraft", e.Receiver)
	}
	return nil
}

// doubtVORCheck asks after an error beyond the limit, and after a difference from the other receiver beyond that of a dual check.
func (s *State) doubtVORCheck(e Event) error {
	c := s.fold.vorCheck(e)
	if !c.Within() {
		where := "on the ground"
		if c.Airborne {
			where = "in the air"
		}
		return doubt("%s is out by %s: the limit %s is %.0f° (14 CFR 91.171)", e.Receiver, say.Angle.SaySide(c.ErrorDeg, 0), where, c.LimitDeg)
	}
	return nil
}

func describeVORCheck(e Event) string {
	if e.Radial == nil || e.Course == nil {
		return "VOR check " + e.Receiver
	}
	beacon := ""
	if e.Beacon != "" {
		beacon = e.Beacon + " "
	}
	return fmt.Sprintf("VOR check %s %s%s for %s, %.0f° out", e.Receiver, beacon, say.Degrees(*e.Radial), say.Degrees(*e.Course), math.Abs(angle.Turn(*e.Course, *e.Radial)))
}
