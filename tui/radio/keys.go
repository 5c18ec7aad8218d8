package radio

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
)

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Next       key.Binding
	Identified key.Binding
	Other      key.Binding
	Fix        key.Binding
	Check      key.Binding
	Bearing    key.Binding
}

func newBindings() bindings {
	return bindings{
		Next:       keys.New("the marked receiver is tuned to its next beacon", "v"),
		Identified: keys.New("the marked receiver's ident is heard", "i"),
		Other:      keys.New("the marked receiver is tuned to another beacon", "r"),
		Check:      keys.New("bearing check: the marked beacon is on the wing tip, then where it is to be stopped", "s"),
		Bearing:    keys.New("bearing check from another bearing", "a"),
		Fix:        keys.New("a fix from the marked receiver's beacon", "f"),
	}
}

// enabled are the bindings that the marked receiver has a use for.
func (b bindings) enabled(r *flight.ReceiverNow) bindings {
	b.Next.SetEnabled(r != nil && r.Next != nil)
	b.Identified.SetEnabled(r != nil && r.Tuned != nil && !r.Identified)
	b.Other.SetEnabled(r != nil)
	b.Fix.SetEnabled(r != nil && r.Tuned != nil)
	b.Check.SetEnabled(r != nil && r.Tuned != nil && r.Tuned.WingTip != nil)
	b.Bearing.SetEnabled(r != nil && r.Tuned != nil && r.Tuned.WingTip != nil)
	return b
}

func (b bindings) all() []key.Binding {
	return []key.Binding{b.Next, b.Identified, b.Check, b.Other, b.Fix, b.Bearing}
}

// runs reports whether a bearing check of a receiver's beacon is being made.
func runs(r *flight.ReceiverNow, check *flight.BearingCheckNow) bool {
	return check != nil && !check.Done && check.Problem == "" && r.Tuned != nil && r.Tuned.Beacon == check.Beacon
}

// named are the live bindings in the words of the marked receiver.
func (b bindings) named(r *flight.ReceiverNow, check *flight.BearingCheckNow) []key.Binding {
	b = b.enabled(r)
	if r == nil {
		return nil
	}
	receiver := frame.Clean(r.Receiver)
	setHelp := func(binding *key.Binding, does string) { binding.SetHelp(binding.Help().Key, does) }
	switch {
	case r.Next == nil:
	case r.Tuned != nil && r.Tuned.Beacon == r.Next.Beacon && r.Next.Course != nil:
		setHelp(&b.Next, receiver+" course "+say.Degrees(*r.Next.Course)+" is selected")
	default:
		setHelp(&b.Next, receiver+" is tuned to "+frame.Clean(r.Next.Beacon))
	}
	if r.Tuned != nil {
		setHelp(&b.Identified, frame.Clean(r.Tuned.Beacon)+" is identified")
		setHelp(&b.Fix, "fix from "+frame.Clean(r.Tuned.Beacon))
	}
	setHelp(&b.Other, "another")
	setHelp(&b.Bearing, "bearing")
	switch {
	case runs(r, check):
		setHelp(&b.Check, frame.Clean(check.Beacon)+" at "+say.Degrees(check.StopRelative)+": stop")
	case r.Tuned != nil && r.Tuned.WingTip != nil:
		setHelp(&b.Check, frame.Clean(r.Tuned.Beacon)+" abeam, "+say.Degrees(r.Tuned.WingTip.Relative)+": check")
	}
	return b.all()
}
