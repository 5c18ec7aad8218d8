package radio

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/words"
)

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Next       key.Binding
	Identified key.Binding
	Other      key.Binding
	Fix        key.Binding
}

func newBindings() bindings {
	return bindings{
		Next:       keys.New("the marked receiver is tuned to its next beacon", "v"),
		Identified: keys.New("the marked receiver's ident is heard", "i"),
		Other:      keys.New("the marked receiver is tuned to another beacon", "r"),
		Fix:        keys.New("a fix from the marked receiver's beacon", "f"),
	}
}

// enabled are the bindings that the marked receiver has a use for.
func (b bindings) enabled(r *flight.ReceiverNow) bindings {
	b.Next.SetEnabled(r != nil && r.Next != nil)
	b.Identified.SetEnabled(r != nil && r.Tuned != nil && !r.Identified)
	b.Other.SetEnabled(r != nil)
	b.Fix.SetEnabled(r != nil && r.Tuned != nil)
	return b
}

func (b bindings) all() []key.Binding {
	return []key.Binding{b.Next, b.Identified, b.Other, b.Fix}
}

// named are the live bindings in the words of the marked receiver.
func (b bindings) named(r *flight.ReceiverNow) []key.Binding {
	b = b.enabled(r)
	if r == nil {
		return nil
	}
	receiver := frame.Clean(r.Receiver)
	say := func(binding *key.Binding, does string) { binding.SetHelp(binding.Help().Key, does) }
	switch {
	case r.Next == nil:
	case r.Tuned != nil && r.Tuned.Beacon == r.Next.Beacon && r.Next.Course != nil:
		say(&b.Next, receiver+" course "+words.Degrees(*r.Next.Course)+" is selected")
	default:
		say(&b.Next, receiver+" is tuned to "+frame.Clean(r.Next.Beacon))
	}
	if r.Tuned != nil {
		say(&b.Identified, frame.Clean(r.Tuned.Beacon)+" is identified")
		say(&b.Fix, "fix from "+frame.Clean(r.Tuned.Beacon))
	}
	say(&b.Other, "another")
	return b.all()
}
