// Package radio is the screen of the receivers: what each is tuned to, whether that was identified, what it should read here, what it is
// to be tuned to next; and the list of all that is to be tuned and identified, by time.
//
// The readings are what the beacons should show where the aircraft is reckoned to be: a receiver that shows something else is
// not on the beacon, or the aircraft not there. A needle is drawn as a beam on which the pointer stands left or right of the
// middle; an ADF's beam is the whole horizon with the nose in its middle.
//
// A mark (">") stands on one receiver: on that of the first thing to do until the pilot moves it.
package radio

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the radio screen. It holds which receiver is marked.
type Screen struct {
	list keys.List
	mark string // a receiver; empty: it follows what is to be done first
}

// New returns the screen with its mark on what is to be done first.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Radio.
func (*Screen) Name() screen.Name { return screen.Radio }

// Keys move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	return keys.Usable(len(snapshot.Radio) > 1, s.list.All())
}

// Marked is the first open prompt of the receiver that the pilot marked.
func (s *Screen) Marked(snapshot flight.Snapshot) screen.Marked {
	if s.mark == "" || !slices.ContainsFunc(snapshot.Radio, func(r flight.ReceiverNow) bool { return r.Receiver == s.mark }) {
		return screen.Marked{}
	}
	marked := screen.Marked{Row: true}
	for _, p := range snapshot.Prompts {
		if p.Open() && p.Answer.Receiver == s.mark {
			marked.Prompt = p.ID
			break
		}
	}
	return marked
}

// Unmark lets the mark follow what is to be done first.
func (s *Screen) Unmark() { s.mark = "" }

// Choices are what can be done with the marked receiver. While a bearing check runs its end stands first, whatever is marked: nothing else is as urgent.
func (s *Screen) Choices(snapshot flight.Snapshot) (choices []screen.Choice) {
	running := running(snapshot.Bearing)
	if running {
		c := snapshot.Bearing
		choices = append(choices, screen.Wants(frame.Clean(c.Beacon)+" is at "+say.Degrees(c.StopRelative)+": the bearing check ends", "bearing check",
			screen.Record{Event: flight.Event{Act: flight.Bearing, Beacon: c.Beacon, Relative: &c.StopRelative}}))
	}
	r := s.marked(snapshot)
	if r == nil {
		return choices
	}
	receiver, tuned := frame.Clean(r.Receiver), r.Tuned
	if tuned != nil && !r.Identified {
		choices = append(choices, screen.Wants(frame.Clean(tuned.Beacon)+" is identified", "identified",
			screen.Record{Event: flight.Event{Act: flight.Identified, Receiver: r.Receiver, Beacon: tuned.Beacon}}))
	}
	if next := r.Next; next != nil {
		text := receiver + " is tuned to " + frame.Clean(next.Beacon)
		if tuned != nil && tuned.Beacon == next.Beacon && next.Course != nil {
			text = receiver + " course " + say.Degrees(*next.Course) + " is selected"
			if next.Held != "" {
				text = next.Held + " " + say.Degrees(*next.Course) + " is held"
			}
		}
		choices = append(choices, screen.Wants(text, "next", screen.Record{Event: flight.Event{Act: flight.Tuned, Receiver: r.Receiver, Beacon: next.Beacon}}))
	}
	choices = append(choices, screen.Wants(receiver+" is tuned to another beacon", "another", entry.Begun(flight.Event{Act: flight.Tuned, Receiver: r.Receiver})))
	if tuned == nil {
		return choices
	}
	beacon := frame.Clean(tuned.Beacon)
	choices = append(choices, screen.Wants("a fix from "+beacon, "fix", entry.Begun(flight.Event{Act: flight.Fix, Beacon: tuned.Beacon})))
	if tuned.WingTip == nil {
		return choices
	}
	if !running || snapshot.Bearing.Beacon != tuned.Beacon {
		text, name := beacon+" is abeam, "+say.Degrees(tuned.WingTip.Relative)+": a bearing check begins", "bearing check"
		if running {
			name = "another check"
		}
		choices = append(choices, screen.Wants(text, name, screen.Record{Event: flight.Event{Act: flight.Bearing, Beacon: tuned.Beacon, Relative: &tuned.WingTip.Relative}}))
	}
	return append(choices, screen.Wants("a bearing check from another bearing", "another bearing", entry.Begun(flight.Event{Act: flight.Bearing, Beacon: tuned.Beacon})))
}

// running reports whether a bearing check is being made that can be ended.
func running(check *flight.BearingCheckNow) bool {
	return check != nil && !check.Done && check.Problem == ""
}

// Press moves the mark.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	if to, moved := s.list.Move(msg, s.index(snapshot), len(snapshot.Radio)-1, 1); moved && len(snapshot.Radio) > 1 {
		s.mark = snapshot.Radio[to].Receiver
	}
	return nil
}

// index is where the mark stands: on its receiver, else on that of the first open prompt that is a receiver's, else on the
// first.
func (s *Screen) index(snapshot flight.Snapshot) int {
	named := func(name string) int {
		return slices.IndexFunc(snapshot.Radio, func(r flight.ReceiverNow) bool { return r.Receiver == name })
	}
	if i := named(s.mark); i >= 0 && s.mark != "" {
		return i
	}
	for _, p := range snapshot.Prompts {
		if i := named(p.Answer.Receiver); i >= 0 && p.Open() {
			return i
		}
	}
	return 0
}

// marked is the receiver under the mark; nil without receivers.
func (s *Screen) marked(snapshot flight.Snapshot) *flight.ReceiverNow {
	if len(snapshot.Radio) == 0 {
		return nil
	}
	return &snapshot.Radio[s.index(snapshot)]
}
