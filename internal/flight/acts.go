package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/say"
)

// row is all that is to be known of an act, in one place. An act without a row, of a newer version, stands in the list of entries and
// does nothing else.
type row struct {
	act  Act
	mark string // its letter on a replay's time-line

	// takes are the fields that the act may carry, by their JSON names: parameters.go has their units and ranges. given reports
	// whether those are there that it can't do without, and lacks says what to give where they are not.
	takes []string
	given func(Event) bool
	lacks string

	// text says in a few words what an event of this act records.
	text func(Event) string

	// names refuses what the plan and the aircraft do not have, whatever the moment; once is when an act was logged that a flight has once; refused
	// refuses what can't be done at that moment; doubted says what looks wrong with what can.
	names   func(*State, Event) error
	once    func(*fold) time.Time
	refused func(*State, Event) error
	doubted func(*State, Event) error

	// answers reports whether an event of this act does what a prompt asks for; nil: it answers none.
	answers func(*Event, *task) bool

	// fold takes an event in and reports whether it counted. What follows is made anew as far as the effect says, and settle notes
	// what is known only then. A nil fold counts and changes nothing.
	fold   func(*fold, Event) bool
	effect effect
	settle func(*fold, Event)

	etas      bool // ETAs may be others after it
	ofNow     bool // it can't be of another time than its entry
	ofLog     bool // what refuses it stands in the log as that is now, of whatever time it is
	notUndone bool // undoing passes over it
	notTyped  bool // it has no form on the entry line
}

// effect is what follows from an act that counted.
type effect int

const (
	nothing  effect = iota
	prompted        // the prompts are made anew
	revised         // the way ahead, the changes of tank and the prompts are
)

// acts are the acts that a journal knows, and where each stands among them. They are filled in at the start, for the checks of an act
// may word it.
var (
	acts  []row
	rowOf map[Act]*row
)

func init() {
	acts = []row{
		{
			act: OffBlocks, mark: "A", etas: true, text: always("off blocks"), answers: asked, fold: (*fold).foldOffBlocks, effect: revised,
			once: func(p *fold) time.Time { return p.offBlocks },
		},
		{
			act: Airborne, mark: "A", etas: true, text: always("airborne"), answers: asked, fold: (*fold).foldAirborne, effect: revised,
			once: func(p *fold) time.Time { return p.airborne }, doubted: (*State).doubtAirborne,
		},
		{
			act: LevelOff, mark: "L", etas: true, takes: []string{"altitude"}, text: func(e Event) string { return "level" + at(e.Altitude) },
			refused: inFlight, doubted: (*State).doubtLevel, answers: asked, fold: (*fold).foldLevel, effect: revised,
		},
		{
			act: Descend, mark: "D", etas: true, text: always("descending"), answers: asked, fold: (*fold).foldDescend, effect: revised,
			once: func(p *fold) time.Time { return p.descended }, refused: inFlight,
		},
		{
			act: Landed, mark: "A", text: always("landed"), answers: asked, fold: (*fold).foldLanded, effect: revised,
			once: func(p *fold) time.Time { return p.landed }, refused: afterTakeOff, doubted: (*State).doubtOnGround,
		},
		{
			act: OnBlocks, mark: "A", takes: []string{"landings"}, text: describeOnBlocks, answers: asked, fold: (*fold).foldOnBlocks, effect: revised,
			once: func(p *fold) time.Time { return p.onBlocks },
			refused: func(s *State, e Event) error {
				if e.Landings != nil && *e.Landings != math.Trunc(*e.Landings) {
					return refuse("give a whole number: landings 3", "%g landings", *e.Landings)
				}
				return nil
			}, doubted: (*State).doubtOnGround,
		},
		{
			act: Passing, mark: "V", etas: true, takes: []string{"point", "offtrack"}, given: func(e Event) bool { return e.Point != "" }, lacks: "name the point",
			text:    func(e Event) string { return "passing " + e.Point + offTrack(e.OffTrack) },
			refused: (*State).checkPassing, doubted: (*State).doubtPassing,
			answers: func(e *Event, prompt *task) bool { return asked(e, prompt) && prompt.Answer.Point == e.Point },
			fold:    (*fold).foldPassing, effect: revised,
		},
		{
			act: Steering, mark: ".", takes: []string{"heading"}, given: func(e Event) bool { return e.Heading != nil }, lacks: "give the magnetic heading",
			text: func(e Event) string { return "steering " + heading(e.Heading) }, refused: inFlight, doubted: (*State).doubtSteering, fold: (*fold).foldSteering,
		},
		{
			act: Airspeed, mark: ".", etas: true, takes: []string{"ias", "tas"}, given: func(e Event) bool { return e.IAS != nil || e.TAS != nil }, lacks: "give ias or tas in knots",
			text: describeAirspeed, refused: inFlight, doubted: (*State).doubtAirspeed, fold: (*fold).foldAirspeed, effect: revised,
		},
		{
			act: Altitude, mark: ".", etas: true, takes: []string{"altitude"}, given: func(e Event) bool { return e.Altitude != nil }, lacks: "give the altitude in feet",
			text: func(e Event) string { return "altitude " + given(e.Altitude, say.Feet) }, refused: inFlight, doubted: (*State).doubtAltitude, fold: (*fold).foldAltitude, effect: revised,
		},
		{
			act: Altimeter, mark: "Q", etas: true, takes: []string{"qnh", "inches"}, given: func(e Event) bool { return e.QNH != nil }, lacks: "give the QNH in hPa",
			text: describeAltimeter, doubted: (*State).doubtSetting,
			answers: func(_ *Event, prompt *task) bool { return prompt.Kind == PromptQNH }, fold: (*fold).foldAltimeter, effect: revised,
		},
		{
			act: WindReported, mark: ".", etas: true, takes: []string{"from", "speed"}, given: func(e Event) bool { return e.WindFrom != nil && e.WindSpeed != nil }, lacks: "give from and speed",
			text: func(e Event) string { return "wind " + heading(e.WindFrom) + number(e.WindSpeed, "/%02.0f") }, doubted: (*State).doubtWind, fold: (*fold).foldWind, effect: revised,
		},
		{
			act: TankChange, mark: "F", takes: []string{"tank"}, given: func(e Event) bool { return e.Tank != "" }, lacks: "name the tank",
			text:  func(e Event) string { return "tank " + e.Tank },
			names: (*State).checkTank, doubted: (*State).doubtTank,
			answers: func(_ *Event, prompt *task) bool { return prompt.Kind == PromptTank }, fold: (*fold).foldTank, effect: revised,
		},
		{
			act: Gauges, mark: "G", takes: []string{"tanks"}, given: func(e Event) bool { return len(e.Tanks) > 0 }, lacks: "give the reading of one tank at least",
			text: describeGauges, names: (*State).checkGauges, doubted: (*State).doubtGauges, fold: (*fold).foldGauges, effect: revised,
		},
		{
			act: Flow, mark: "G", takes: []string{"flow", "power"}, given: func(e Event) bool { return e.Flow != nil }, lacks: "give the flow an hour",
			text:    func(e Event) string { return "flow " + number(e.Flow, "%g an hour") + number(e.Power, " at %g %%") },
			doubted: (*State).doubtFlow, fold: (*fold).foldFlow, effect: revised,
			settle: (*fold).settleFlow,
		},
		{
			act: Tuned, mark: "N", takes: []string{"receiver", "beacon", "prompt"}, given: receiverAndBeacon, lacks: "give receiver and beacon",
			text: func(e Event) string { return "tuned " + e.Receiver + " " + e.Beacon }, names: (*State).checkReceiver,
			answers: func(e *Event, prompt *task) bool { return prompt.Answer.Act == Tuned && sameReceiver(e, prompt) },
			fold:    (*fold).foldTuned, effect: prompted,
		},
		{
			act: Identified, mark: "I", takes: []string{"receiver", "beacon"}, given: receiverAndBeacon, lacks: "give receiver and beacon",
			text: func(e Event) string { return "identified " + e.Receiver + " " + e.Beacon }, names: (*State).checkReceiver,
			answers: func(e *Event, prompt *task) bool {
				return (prompt.Answer.Act == Tuned || prompt.Answer.Act == Identified) && sameReceiver(e, prompt)
			},
			fold: (*fold).foldIdentified, effect: prompted,
		},
		{
			act: Fix, mark: "X", etas: true, takes: []string{"beacon", "dme", "radial", "relative", "offtrack", "after", "within", "at"}, text: describeFix,
			refused: (*State).checkFix, doubted: (*State).doubtFix, fold: (*fold).foldFix, effect: revised,
		},
		{
			act: Bearing, mark: ".", takes: []string{"beacon", "relative", "radial"}, text: describeBearing,
			given: func(e Event) bool { return e.Beacon != "" && (e.Relative != nil || e.Radial != nil) }, lacks: "give the beacon and its bearing from the nose, or its radial",
			refused: (*State).checkBearing, fold: (*fold).foldBearing,
		},
		{
			act: Divert, mark: "X", etas: true, takes: []string{"to", "at", "rejoin", "altitude"}, given: func(e Event) bool { return e.To != "" || e.At != nil }, lacks: "give a point or a position",
			text: describeDivert, refused: (*State).checkDivert, fold: (*fold).foldDivert, effect: revised, settle: (*fold).settleDiversion,
		},
		{
			act: Hold, mark: "X", etas: true, takes: []string{"point"}, text: describeHold, refused: (*State).checkHold, doubted: (*State).doubtHold, fold: (*fold).foldHold, effect: revised,
		},
		{act: Unhold, mark: "X", etas: true, text: always("leaving the hold"), refused: (*State).checkUnhold, fold: (*fold).foldUnhold, effect: revised},
		{
			act: Cross, mark: ".", takes: []string{"point", "wanted", "altitude"}, given: func(e Event) bool { return e.Point != "" }, lacks: "name the point",
			text: describeCross, refused: (*State).checkCross, fold: (*fold).foldCross, effect: prompted,
		},
		{
			act: Cleared, mark: ".", takes: []string{"kind", "text", "squawk", "frequency"}, given: clearedGiven, lacks: "give the kind (atis, clearance, squawk or contact) and what was said: a text, four digits, a frequency",
			text: describeCleared, names: checkCleared, doubted: doubtCleared, answers: answersContact, fold: (*fold).foldCleared, effect: prompted,
		},
		{
			act: VORCheck, mark: ".", takes: []string{"receiver", "beacon", "radial", "course"}, given: func(e Event) bool { return e.Receiver != "" && e.Radial != nil && e.Course != nil },
			lacks: "give the receiver, the radial that it shows and, as course, the one that it should show", text: describeVORCheck,
			names: (*State).checkVORReceiver, doubted: (*State).doubtVORCheck, fold: (*fold).foldVORCheck,
		},
		{
			act: Done, mark: "C", takes: []string{"prompt"}, text: func(e Event) string { return "done: " + promptWords(e.Prompt) },
			refused: (*State).checkPrompt, answers: named, effect: prompted, ofLog: true,
		},
		{
			act: Skipped, mark: "C", takes: []string{"prompt"}, text: func(e Event) string { return "skipped: " + promptWords(e.Prompt) },
			refused: (*State).checkPrompt, answers: named, fold: func(f *fold, e Event) bool { return f.refuseOffer(e) }, effect: prompted,
			ofLog: true,
		},
		{
			act: Snoozed, mark: ".", takes: []string{"prompt", "minutes"}, given: func(e Event) bool { return e.Minutes == nil || *e.Minutes > 0 }, lacks: "give minutes above 0",
			text:    func(e Event) string { return "later: " + promptWords(e.Prompt) + number(e.Minutes, ", %g min") },
			refused: (*State).checkPrompt, fold: (*fold).foldSnoozed, ofNow: true,
		},
		{
			act: Clock, mark: "c", takes: []string{"rate", "paused", "set", "machine"}, text: describeClock, refused: checkClock, doubted: (*State).doubtClock,
			ofNow: true, notUndone: true,
		},
		{
			act: Position, mark: ".", etas: true, takes: []string{"at", "alt", "gs", "track"}, given: func(e Event) bool { return e.At != nil }, lacks: "give the position",
			text: func(e Event) string { return "position " + positionText(e) }, fold: (*fold).foldPosition, effect: revised,
			ofNow: true, notUndone: true, notTyped: true,
		},
		{
			act: Hands, mark: ".", takes: []string{"hands"}, text: func(e Event) string { return "hands " + e.Hands }, names: checkHands, ofNow: true, notUndone: true,
		},
		{act: Controls, mark: ".", takes: []string{"altitude", "receiver", "course"}, text: describeControls, notTyped: true},
		{act: Answered, mark: ".", takes: []string{"prompt", "text"}, text: describeAnswered, notUndone: true, notTyped: true},
		{act: QuickCheck, mark: ".", takes: []string{"text"}, text: describeQuickCheck, ofNow: true, notUndone: true, notTyped: true},
		{
			act: NoteText, mark: "n", takes: []string{"text"}, given: func(e Event) bool { return e.Text != "" }, lacks: "give the text",
			text: func(e Event) string { return "note: " + e.Text },
		},
		{act: Void, mark: "u", etas: true, takes: []string{"event"}, text: describeVoid, refused: (*State).checkVoid, ofNow: true, notUndone: true},
		{act: Amend, mark: "u", etas: true, takes: []string{"event", "with"}, text: describeAmend, refused: (*State).checkAmend, doubted: (*State).doubtAmended, ofNow: true},
	}
	rowOf = make(map[Act]*row, len(acts))
	for i := range acts {
		rowOf[acts[i].act] = &acts[i]
	}
}

// Acts are the acts that a journal knows.
func Acts() []Act {
	list := make([]Act, len(acts))
	for i := range acts {
		list[i] = acts[i].act
	}
	return list
}

// known is the row of an act; an unknown act has one that says its name and no more.
func (a Act) known() *row {
	if r, ok := rowOf[a]; ok {
		return r
	}
	return &row{act: a, mark: ".", text: describeUnknown, notTyped: true}
}

// Mark is the letter of an act on a time-line.
func (a Act) Mark() string { return a.known().mark }

// RevisesETAs reports whether an act tells something new of what the ETAs hang on. After others the way may be reckoned anew, from where the
// flight has come to, with what was known before.
func (a Act) RevisesETAs() bool { return a.known().etas }

// Takes are the fields that an act may carry, by their JSON names.
func (a Act) Takes() []string { return a.known().takes }

// MayBeEarlier reports whether an act can be of another time than its entry.
func (a Act) MayBeEarlier() bool { return !a.known().ofNow }

// Undone reports whether undoing takes back an entry of this act, if it is the pilot's last.
func (a Act) Undone() bool { return !a.known().notUndone }

// Typed reports whether an act can be entered on the entry line.
func (a Act) Typed() bool { return !a.known().notTyped }

// Describe says in a few words what an event records: "passing KVN", "tank left". An act of a newer version is named as it stands.
func Describe(e Event) string { return e.Act.known().text(e) }

// asked reports whether a prompt asks for an event's act.
func asked(e *Event, prompt *task) bool { return prompt.Answer.Act == e.Act }

// named reports whether an event names a prompt.
func named(e *Event, prompt *task) bool { return e.Prompt == prompt.ID }

func sameReceiver(e *Event, prompt *task) bool {
	return prompt.Answer.Receiver == e.Receiver && prompt.Answer.Beacon == e.Beacon
}

func receiverAndBeacon(e Event) bool { return e.Receiver != "" && e.Beacon != "" }
