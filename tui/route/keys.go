package route

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/tui/keys"
)

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Passing     key.Binding
	Offset      key.Binding
	Go          key.Binding
	Wanted      key.Binding
	Checkpoints key.Binding
}

func newBindings() bindings {
	return bindings{
		Passing:     keys.New("passing the marked point now", "v"),
		Offset:      keys.New("passing the marked point, off track", "r"),
		Go:          keys.New("go straight to the marked point: ahead on the plan and on from there, else to land", "g"),
		Wanted:      keys.New("a time or a height is wanted at the marked point", "a"),
		Checkpoints: keys.New("checkpoints shown or hidden", "i"),
	}
}

// named are the live bindings in the words of the place under the mark.
func (b bindings) named(at place) []key.Binding {
	b.Passing.SetHelp(b.Passing.Help().Key, "passing "+at.name()+" now")
	b.Offset.SetHelp(b.Offset.Help().Key, "off track")
	b.Go.SetHelp(b.Go.Help().Key, "go straight there")
	b.Wanted.SetHelp(b.Wanted.Help().Key, "wanted at")
	b.Checkpoints.SetHelp(b.Checkpoints.Help().Key, "checkpoints")
	return b.all(at)
}

// all lists them with those enabled that the place under the mark allows.
func (b bindings) all(at place) []key.Binding {
	b.Passing.SetEnabled(at.canPass())
	b.Offset.SetEnabled(at.canPass())
	b.Go.SetEnabled(at.canDivertTo())
	b.Wanted.SetEnabled(at.canPass())
	return []key.Binding{b.Passing, b.Offset, b.Go, b.Wanted, b.Checkpoints}
}
