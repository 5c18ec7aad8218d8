package tui

import (
	"fmt"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/terminal"
)

// tick looks at the clock. While the same second stands, nothing is taken and nothing drawn.
func (r *Root) tick() terminal.Effect {
	before := r.snapshot.At.Truncate(time.Second)
	stored := r.checkStorage()
	if slept := r.mode.machine.Slept(); slept != 0 {
		r.slept(slept)
		stored = true
	}
	if moved := r.mode.machine.Moved(); moved != 0 {
		r.moved(moved)
		stored = true
	}
	if !stored && r.clock.Now().Truncate(time.Second).Equal(before) {
		return terminal.Effect{}
	}
	r.refresh()
	r.fulfil(r.mode.footer.Tick(r.snapshot))
	r.hands()
	return terminal.Effect{Redraw: true, Ring: r.newCalls()}
}

// moved records that the machine's clock was moved and keeps the flight's time; a pilot may take the machine's instead.
func (r *Root) moved(by time.Duration) {
	way := "ahead"
	if by < 0 {
		way = "back"
	}
	text := fmt.Sprintf("the machine's clock moved %s by %s", way, say.Span(by.Abs().Seconds()))
	rate, reads := r.snapshot.Clock.Rate, r.mode.machine.Machine()
	if !r.store(flight.Event{Act: flight.Clock, Rate: &rate, Machine: &reads, Text: text, T: r.clock.Now(), By: "program"}) {
		return
	}
	r.mention(text + "; the flight's time goes on")
	if r.mode.practised {
		return // an invented flight has a clock of its own
	}
	r.askOfClock(text+": n keeps the flight's time. Take the machine's?", by)
}

// slept records that the machine slept. A real flight went on meanwhile; a simulator on the same machine did not, and the pilot says so. An
// invented flight waits.
func (r *Root) slept(slept time.Duration) {
	text := "the machine slept for " + say.Span(slept.Seconds())
	if !r.store(flight.Event{Act: flight.NoteText, Text: text, T: r.clock.Now(), By: "program"}) {
		return
	}
	if r.mode.practised {
		set := r.clock.Now().Add(-slept)
		if r.store(flight.Event{Act: flight.Clock, Set: &set, T: set, Confirmed: true}) {
			r.said = text + "; the flight waited"
		}
		return
	}
	r.mention(text + "; the flight's time went on")
	r.askOfClock(text+": n keeps the flight's time, which went on. Did the simulator sleep too?", -slept)
}

// askOfClock asks whether the flight's clock is to be moved as well, by so much.
func (r *Root) askOfClock(text string, by time.Duration) {
	r.ask(&asked{question: question{text: text}, clock: true, yes: func(question) {
		set := r.clock.Now().Add(by)
		r.store(flight.Event{Act: flight.Clock, Set: &set, T: set, Confirmed: true})
	}})
}

// resumed says how long the screen was away and what is due now.
func (r *Root) resumed(m terminal.Resumed) string {
	text := "the flight went on"
	if m.Away > 0 {
		text += " for " + say.Span(m.Away.Seconds())
	}
	due := 0
	for _, p := range r.snapshot.Prompts {
		if p.State == flight.Due || p.State == flight.Late {
			due++
		}
	}
	return fmt.Sprintf("%s; %d due now", text, due)
}

// hands lets a practice flight record what its program would have by now, act by act.
func (r *Root) hands() {
	const most = 64 // in one tick; the rest waits for the next
	for range most {
		event, ok := r.mode.pilot.NextEvent(r.snapshot, r.clock.Now())
		if !ok || !r.recordUnasked(event) {
			return
		}
		if event.Act == flight.Clock && event.Rate != nil {
			text := fmt.Sprintf("the clock goes on at ×%g", *event.Rate)
			if *event.Rate == 1 {
				text = "a figure is asked for: the clock goes at ×1 until it is answered"
			}
			r.mention(text)
		}
	}
}

// call is something that the bell rings for once: a prompt in a state, so many alarms, or the offer of a passing.
type call struct {
	prompt  string
	state   flight.PromptState
	alarms  int // by count: an alarm's text goes on counting
	offer   string
	trouble string // of the journal
}

// newCalls reports whether something became due, late or alarming since it was last asked, unless the bell is off.
func (r *Root) newCalls() bool {
	var calls []call
	for i := range r.snapshot.Prompts {
		if p := &r.snapshot.Prompts[i]; p.State == flight.Due || p.State == flight.Late {
			calls = append(calls, call{prompt: p.ID, state: p.State})
		}
	}
	for _, text := range []string{r.storage.Trouble, r.trouble} {
		if text != "" {
			calls = append(calls, call{trouble: text})
		}
	}
	alarms := 0
	for _, notice := range r.snapshot.Notices {
		if notice.Severity == flight.Alarm {
			alarms++
			calls = append(calls, call{alarms: alarms})
		}
	}
	if offer := r.snapshot.Offer; offer != nil {
		calls = append(calls, call{offer: offer.Point})
	}
	fresh := slices.ContainsFunc(calls, func(c call) bool { return !slices.Contains(r.called, c) })
	r.called = calls
	return fresh && !r.silent
}
