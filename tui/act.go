package tui

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/cockpit"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/screen"
)

// fulfil does what a screen, a key or the entry line wants.
func (r *Root) fulfil(intents []screen.Intent) {
	for _, intent := range intents {
		switch intent := intent.(type) {
		case screen.Record:
			r.record(intent.Event)
		case screen.Answered:
			r.answer(intent.Prompt)
		case screen.Undo:
			r.undo()
		case screen.Backdate:
			r.earlier = &intent.At
			r.closeLine()
		case screen.Open:
			r.open(intent.Name)
		case screen.Ask:
			r.line = entry.NewLine(intent)
		case screen.Say:
			r.said = intent.Text
			r.closeLine()
		}
	}
}

// record stamps an act of the pilot's, checks it and stores it; a doubt waits for a yes, and so does what is asked about first.
func (r *Root) record(e flight.Event) { r.recordAsking(e, func() question { return r.asksFirst(e) }) }

// asksFirst is the question that an act is asked about before it is recorded: what changes the destination, and what takes an entry away that
// was not the last. It is none for the others.
func (r *Root) asksFirst(e flight.Event) question {
	switch {
	case e.Act == flight.Divert && e.Rejoin == nil:
		name := e.To
		for _, way := range r.snapshot.WaysOut.All() {
			if way.Point == e.To {
				name = say.Named(way.Point, way.Name)
			}
		}
		return question{text: "Divert to " + name + ", the destination from then on?", of: "divert"}
	case e.Act == flight.Void:
		for _, entry := range r.snapshot.Entries {
			if entry.Event.N == e.Event {
				text := fmt.Sprintf("Void entry %d, %s %s?", e.Event, entry.Text, say.Time(entry.Event.T))
				return question{text: text, of: text}
			}
		}
	}
	return question{}
}

// recordAsking records an act, after a yes where it is doubtful or first has a question.
func (r *Root) recordAsking(e flight.Event, first func() question) {
	if !r.mode.records {
		r.setClock(e)
		return
	}
	e = r.stamp(e)
	asks := func() (question, error) { return r.asksAbout(e, first) }
	switch asked, err := asks(); {
	case err != nil:
		r.refuse(err.Error())
	case asked.text == "":
		r.enter(e)
	default:
		r.put(asked, e, asks, func(q question) {
			e.Confirmed = q.doubts
			r.enter(e)
		})
	}
}

// enter stores what the pilot has entered; no question stands that would enter it once more.
func (r *Root) enter(e flight.Event) {
	if r.store(e) {
		r.overtake(e)
	}
}

// asksAbout is what is to be asked before an act is recorded, as things stand: a doubt before all else. The error says why it can't be recorded.
func (r *Root) asksAbout(e flight.Event, first func() question) (question, error) {
	err := r.check(e)
	var doubt *flight.Doubt
	switch {
	case errors.As(err, &doubt):
		return question{text: doubt.Error() + ". Record it all the same?", of: doubt.Of, doubts: true}, nil
	case err != nil:
		return question{}, err
	default:
		return first(), nil
	}
}

// check asks the flight; the recorder gives the act its machine's time anew.
func (r *Root) check(e flight.Event) error {
	e.Rec = r.clock.Wall()
	return r.flight.Check(e)
}

// stamp gives an act without a time the one that was asked for, or now.
func (r *Root) stamp(e flight.Event) flight.Event {
	if !e.T.IsZero() {
		return e
	}
	e.T = r.clock.Now()
	if r.earlier != nil && e.Act.MayBeEarlier() {
		e.T = *r.earlier
	}
	return e
}

// refuse says why nothing was recorded; what was typed stays.
func (r *Root) refuse(why string) {
	if r.line != nil {
		r.line.Fault(why)
		return
	}
	r.said = "not recorded: " + why
}

// store gives an act to the recorder, folds it, looks and echoes, in this order.
func (r *Root) store(e flight.Event) bool {
	recorded, err := r.mode.recorder.Record(e)
	if err != nil {
		r.trouble = "NOT RECORDED: " + flight.Describe(e) + ": " + err.Error()
		return false
	}
	if err := r.flight.Apply(recorded); err != nil {
		r.trouble = "RECORDED BUT NOT TAKEN: " + flight.Describe(recorded) + ": " + err.Error()
		return false
	}
	r.trouble = ""
	r.adopt(recorded)
	r.refresh()
	if recorded.Act == flight.Hands {
		r.faceHands()
	}
	r.checkStorage()
	if recorded.By != "" { // what the program or a feed records leaves alone what the pilot is typing
		if r.storage.News == "" {
			r.mention(r.echo(recorded))
		}
		return true
	}
	r.own = ownEcho{text: r.echo(recorded), at: r.clock.Wall()}
	if recorded.Act.Undone() {
		r.own.text += " · u undoes"
	}
	r.said = r.own.text
	if r.storage.News != "" {
		r.said = r.storage.News + " · " + r.own.text
	}
	if recorded.Act.MayBeEarlier() {
		r.earlier = nil
		r.closeLine()
	}
	if recorded.Act == flight.Clock || recorded.Act == flight.Void || recorded.Act == flight.Amend || recorded.Act == flight.Snoozed {
		r.closeLine()
	}
	if recorded.Act == flight.QuickCheck || recorded.Act == flight.Answered {
		r.goOn()
	}
	return true
}

// mention says what no key has asked for. The echo of the pilot's own act is read before it goes: what comes at once stands behind it.
func (r *Root) mention(text string) {
	const read = 5 * time.Second
	if r.own.text != "" && r.clock.Wall().Sub(r.own.at) < read {
		text = r.own.text + " · " + text
	}
	r.said = text
}

// goOn opens the line for the next figure of a quick check, in the cockpit.
func (r *Root) goOn() {
	r.closeLine()
	if next := cockpit.NextQuick(r.seat); next != nil {
		r.open(screen.Cockpit)
		r.fulfil([]screen.Intent{next})
	}
}

// echo says what was recorded, and of an undoing what it undid.
func (r *Root) echo(recorded flight.Event) string {
	if recorded.Act == flight.Void {
		for _, entry := range r.snapshot.Entries {
			if entry.Event.N == recorded.Event {
				return fmt.Sprintf("undone: %s %s (entry %d is void)", entry.Text, say.Time(entry.Event.T), recorded.Event)
			}
		}
	}
	text := flight.Describe(recorded)
	if recorded.Set == nil { // a clock that was set says its time itself
		text += " " + say.Time(recorded.T)
	}
	if r.storage.Trouble != "" {
		return "NOT ON DISK, kept in memory: " + text
	}
	return "recorded " + text
}

// checkStorage asks how the journal stands and reports whether that is to be shown: what came about is said.
func (r *Root) checkStorage() (changed bool) {
	before := r.storage
	r.storage = r.mode.recorder.Look()
	if r.storage.Moved != "" {
		r.trouble = r.storage.Moved
	}
	if r.storage.News != "" {
		r.said, r.own = r.storage.News, ownEcho{} // which may have been that nothing is on disk
	}
	return r.storage != before
}

// notOnDisk is the alarm of acts that could be lost; empty when there is none.
func (r *Root) notOnDisk() string {
	if r.storage.Trouble == "" {
		return ""
	}
	if r.storage.Kept == 0 {
		return "PERHAPS NOT ON DISK: " + r.storage.Trouble
	}
	return "NOT ON DISK: " + say.Counted(r.storage.Kept, "entry", "entries") + " kept in memory: " + r.storage.Trouble
}

// adopt brings the rest of the screen up to what the flight now holds.
func (r *Root) adopt(e flight.Event) {
	switch e.Act {
	case flight.Clock:
		r.clock.Adopt(r.flight.Setting())
	case flight.Hands:
		r.handsOff = e.Hands == "off"
	}
}

// faceHands turns to the cockpit when the pilot takes over, and to the log when the program does.
func (r *Root) faceHands() {
	if r.seat.HandsOn {
		r.open(screen.Cockpit)
		return
	}
	r.open(screen.Flying)
}

// setClock sets a clock that nothing is recorded of; no other act can be done where nothing is recorded.
func (r *Root) setClock(e flight.Event) {
	switch {
	case e.Act != flight.Clock:
		r.refuse("nothing can be recorded here: this flight is only shown")
		return
	case !r.mode.setsClock:
		r.refuse("this clock is someone else's")
		return
	}
	if _, err := r.clock.Change(clock.Change{Rate: e.Rate, Paused: e.Paused, Set: e.Set}); err != nil {
		r.refuse(err.Error())
		return
	}
	r.closeLine()
	r.refresh()
}

// recordUnasked records what the program's hands or a feed give; a doubt is for people.
func (r *Root) recordUnasked(e flight.Event) bool {
	err := r.check(e)
	var doubt *flight.Doubt
	if errors.As(err, &doubt) {
		e.Confirmed = true
	} else if err != nil {
		r.mention("not recorded: " + flight.Describe(e) + ": " + err.Error())
		return false
	}
	return r.store(e)
}

// fed records an act that came as a message.
func (r *Root) fed(e flight.Event) {
	if !r.mode.records {
		return
	}
	said := r.said
	if e.T.IsZero() {
		e.T = r.clock.Now()
	}
	if r.recordUnasked(e) && e.Act == flight.Position {
		r.said = said // once a second would be too often
	}
}

// fold folds what another has recorded.
func (r *Root) fold(events []flight.Event) {
	for _, e := range events {
		if err := r.flight.Apply(e); err != nil {
			r.trouble = "THE JOURNAL CAN'T BE FOLLOWED: " + err.Error()
			return
		}
		r.adopt(e)
		if e.Act != flight.Position {
			r.said = strings.TrimSpace(flight.Describe(e) + " " + say.Time(e.T))
		}
	}
	r.refresh()
}

// undo voids the pilot's last entry.
func (r *Root) undo() {
	last := r.flight.Undoable()
	if last == nil {
		r.said = "nothing to undo"
		return
	}
	r.recordAsking(flight.Event{Act: flight.Void, Event: last.N}, unasked)
}

func (r *Root) closeLine() { r.line = nil }
