package flight

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// Refusal is the error of an event that can't be recorded.
type Refusal struct {
	Text string // what is wrong
	Hint string // what would be right; may be empty
}

// Error is what is wrong and, after a colon, what would be right.
func (r *Refusal) Error() string {
	if r.Hint == "" {
		return r.Text
	}
	return r.Text + ": " + r.Hint
}

// Doubt is the error of an event that looks wrong: it may be recorded all the same, with Confirmed set.
type Doubt struct {
	Text string // what looks wrong
	Of   string // the same without its figures, which go on counting: two doubts about an act that have it in common are one
}

// Error is what looks wrong.
func (d *Doubt) Error() string { return d.Text }

func refuse(mend, format string, arguments ...any) error {
	return &Refusal{Text: fmt.Sprintf(format, arguments...), Hint: mend}
}

func doubt(format string, arguments ...any) error {
	return &Doubt{Text: fmt.Sprintf(format, arguments...), Of: format}
}

// Check says whether an event can be recorded now: nil, a *Refusal or, unless it is confirmed, a *Doubt. The event needs its time T;
// with its Rec set to the wall time of now, a time in the future is found too. An act that is not known passes.
//
// What is entered late is checked as the flight stood at its time, without what was logged of a later one.
func (s *State) Check(e Event) error {
	if e.T.IsZero() {
		return refuse("give it one", "%s has no time", Describe(e))
	}
	r := e.Act.known()
	if err := s.checkGiven(e, r); err != nil {
		return err
	}
	then, after := s, []Record(nil)
	at := s.placed(e)
	late := !r.ofNow && !r.ofLog && s.latest.Event != nil && byTime(at, s.latest) < 0
	if late {
		then, after = s.around(at)
	}
	if err := then.refused(e, r); err != nil {
		var refusal *Refusal
		if late && errors.As(err, &refusal) {
			return refuse(refusal.Hint, "at %s: %s", say.Time(e.T), refusal.Text)
		}
		return err
	}
	if e.Confirmed {
		return nil
	}
	if err := s.doubtFuture(e); err != nil {
		return err
	}
	return then.doubted(at, after)
}

// refused refuses an event that can't be recorded as the flight stands.
func (s *State) refused(e Event, r *row) error {
	if r.refused == nil {
		return nil
	}
	return r.refused(s, e)
}

// checkGiven refuses an event that lacks what it records, names what there is none of, or has figures that nothing can have.
func (s *State) checkGiven(e Event, r *row) error {
	if r.given != nil && !r.given(e) {
		return refuse(r.lacks, "%q lacks what it records", e.Act)
	}
	if r.names != nil {
		if err := r.names(s, e); err != nil {
			return err
		}
	}
	if r.once != nil {
		if at := r.once(&s.fold); !at.IsZero() {
			return refuse("amend or void that entry", "%s was logged at %s", Describe(e), say.Time(at))
		}
	}
	return CheckRanges(&e)
}

// afterTakeOff is the check of an act that is done after the take-off.
func afterTakeOff(s *State, _ Event) error {
	if s.fold.airborne.IsZero() {
		return refuse("the take-off comes first, and may be given its time", "not airborne yet")
	}
	return nil
}

// inFlight is the check of an act that is done in the air.
func inFlight(s *State, e Event) error {
	if landed := s.fold.landed; !landed.IsZero() {
		return refuse("void that entry if it is wrong", "landed at %s", say.Time(landed))
	}
	return afterTakeOff(s, e)
}

func (s *State) checkPassing(e Event) error {
	if err := inFlight(s, e); err != nil {
		return err
	}
	p := &s.fold
	if p.complete {
		return refuse("divert to fly on", "the last leg has been flown")
	}
	if _, _, ok := p.find(e.Point); ok {
		return nil
	}
	if _, ok := p.sheet.Plan.Point(e.Point); ok {
		return nil
	}
	return refuse("ahead are "+strings.Join(p.passable(), ", "), "there is no point %q", e.Point)
}

func (s *State) checkFix(e Event) error {
	if err := inFlight(s, e); err != nil {
		return err
	}
	if e.Beacon != "" {
		if err := s.checkBeacon(e.Beacon); err != nil {
			return err
		}
		if err := s.checkShown(e); err != nil {
			return err
		}
	}
	n, ok := s.fold.here(e.T)
	if !ok {
		return refuse("", "the way ahead can't be calculated")
	}
	if len(s.fold.figures(e, n)) == 0 && e.OffTrack == nil {
		return refuse("give a beacon with dme, radial or relative, a distance along the leg, a position, or a distance off track",
			"%s does not say where on the leg that is", Describe(e))
	}
	return nil
}

// checkShown refuses figures that a beacon of its kind does not give.
func (s *State) checkShown(e Event) error {
	beacon, _ := s.sheet.Plan.Point(e.Beacon)
	switch kind := kindText(beacon.Kind); {
	case e.DME != nil && !beacon.Kind.HasDistance():
		return refuse("take a DME or a VOR-DME", "%s is %s %s: it gives no distance", e.Beacon, article(kind), kind)
	case e.Radial != nil && !beacon.Kind.HasRadials():
		return refuse("take a VOR", "%s is %s %s: it has no radials", e.Beacon, article(kind), kind)
	case e.Relative != nil && beacon.Kind != plan.NDB:
		return refuse("take an NDB", "%s is %s %s: no ADF points to it", e.Beacon, article(kind), kind)
	}
	return nil
}

// article goes before the name of a kind of beacon as it is spoken: an NDB, a VOR.
func article(kind string) string {
	if strings.HasPrefix(kind, "N") {
		return "an"
	}
	return "a"
}

func (s *State) checkBeacon(ident string) error {
	point, ok := s.sheet.Plan.Point(ident)
	if ok && point.Kind.IsBeacon() {
		return nil
	}
	var beacons []string
	for _, candidate := range s.sheet.Plan.Points {
		if candidate.Kind.IsBeacon() {
			beacons = append(beacons, candidate.Ident)
		}
	}
	return refuse("the plan has "+strings.Join(beacons, ", "), "there is no beacon %q", ident)
}

func (s *State) checkReceiver(e Event) error {
	receivers := s.sheet.Plan.Aircraft.Receivers
	if !slices.Contains(receivers, e.Receiver) {
		return refuse("the aircraft has "+strings.Join(receivers, ", "), "there is no receiver %q", e.Receiver)
	}
	return s.checkBeacon(e.Beacon)
}

func (s *State) checkDivert(e Event) error {
	if err := inFlight(s, e); err != nil {
		return err
	}
	p := &s.fold
	if _, known := s.sheet.Plan.Point(e.To); !known && e.At == nil {
		idents := make([]string, len(s.sheet.Plan.Points))
		for i, point := range s.sheet.Plan.Points {
			idents[i] = point.Ident
		}
		return refuse("the plan has "+strings.Join(idents, ", "), "%q is not a point of the plan", e.To)
	}
	if point, known := s.sheet.Plan.Point(e.To); known && point.Kind != plan.Aerodrome && e.At == nil && e.Rejoin == nil {
		var aerodromes []string
		for _, candidate := range s.sheet.Plan.Points {
			if candidate.Kind == plan.Aerodrome {
				aerodromes = append(aerodromes, candidate.Ident)
			}
		}
		return refuse("there are "+strings.Join(aerodromes, ", ")+"; \"direct\" goes to a point ahead on the plan", "%s is not an aerodrome, and a diversion ends at one", e.To)
	}
	ahead := p.aheadOnPlan()
	if leg, found := ahead[e.To]; e.Rejoin != nil && (!found || *e.Rejoin < leg) {
		return refuse("ahead on it are "+strings.Join(sortedNames(ahead), ", "), "%s does not lie ahead on the plan", e.To)
	}
	if _, _, err := p.diversion(e); err != nil {
		return refuse("", "%v", err)
	}
	return nil
}

func (s *State) checkHold(e Event) error {
	if !s.fold.holding.IsZero() {
		return refuse("leave that hold first", "holding since %s", say.Time(s.fold.holding))
	}
	if _, known := s.sheet.Plan.Point(e.Point); e.Point != "" && !known {
		if _, _, ok := s.fold.find(e.Point); !ok {
			return refuse("ahead are "+strings.Join(s.fold.passable(), ", "), "there is no point %q", e.Point)
		}
	}
	return inFlight(s, e)
}

func (s *State) checkCross(e Event) error {
	p := &s.fold
	if p.complete || !p.landed.IsZero() {
		return refuse("divert to fly on", "the last leg has been flown")
	}
	if _, behind, ok := p.find(e.Point); !ok || behind {
		return refuse("ahead are "+strings.Join(p.passable(), ", "), "%q does not lie ahead", e.Point)
	}
	if e.Wanted != nil && e.Wanted.Before(e.T) {
		return refuse("give a later time", "%s has passed", say.Time(*e.Wanted))
	}
	return nil
}

func (s *State) checkUnhold(e Event) error {
	if s.fold.holding.IsZero() && s.fold.holdAt == "" {
		return refuse("", "not holding")
	}
	return nil
}

func (s *State) checkPrompt(e Event) error {
	var open []string
	if o := s.fold.offerAt(); o != nil && e.Act == Skipped && e.Prompt == o.ID {
		return nil
	}
	queue := &s.looking(e.T).withRounds(e.T).prompts
	for _, prompt := range queue.made {
		if prompt.ID == e.Prompt {
			return nil
		}
		open = append(open, prompt.ID)
	}
	if queue.closed.Has(e.Prompt) {
		return refuse("", "%q has been answered already, or missed", e.Prompt)
	}
	return refuse("open are "+strings.Join(open, ", "), "there is no prompt %q", e.Prompt)
}

func checkClock(_ *State, e Event) error {
	change := clockChange(e)
	if err := change.Check(); err != nil {
		return refuse("", "%s", strings.TrimPrefix(err.Error(), "clock: "))
	}
	return nil
}

func checkHands(_ *State, e Event) error {
	if e.Hands != "on" && e.Hands != "off" {
		return refuse("on or off", "hands can't be %q", e.Hands)
	}
	return nil
}

func (s *State) checkVoid(e Event) error {
	target, err := s.target(e)
	if err != nil {
		return err
	}
	switch target.Act {
	case Void:
		return refuse("make the entry again", "entry %d is a void", e.Event)
	case Clock:
		return refuse("set the clock again", "entry %d set the clock: what followed was timed by it", e.Event)
	}
	return nil
}

// target is the entry that a void or an amendment means.
func (s *State) target(e Event) (Event, error) {
	if e.Event < 1 || e.Event > s.records.Len() {
		return Event{}, refuse(fmt.Sprintf("entries are numbered from 1 to %d", s.records.Len()), "there is no entry %d", e.Event)
	}
	if voidedOf(s.records.All())[e.Event-1] {
		return Event{}, refuse("", "entry %d is void", e.Event)
	}
	return *s.records.All()[e.Event-1].Event, nil
}

func (s *State) checkAmend(e Event) error {
	target, err := s.target(e)
	if err != nil {
		return err
	}
	if target.Act == Void || target.Act == Amend || target.Act == Clock {
		return refuse("make a new one", "entry %d is a %s", e.Event, target.Act)
	}
	amended, err := s.amended(e)
	if err != nil {
		return refuse("", "%v", err)
	}
	then, _ := s.around(amended)
	r := target.Act.known()
	if err := then.checkGiven(*amended.Event, r); err != nil {
		return err
	}
	return then.refused(*amended.Event, r)
}
