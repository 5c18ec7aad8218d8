package route

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/tui/keys"
)

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Passing     key.Binding
	Offset      key.Binding
	Divert      key.Binding
	Checkpoints key.Binding
}

func newBindings() bindings {
	return bindings{
		Passing:     keys.New("passing the marked point now", "v"),
		Offset:      keys.New("passing it, off track", "r"),
		Divert:      keys.New("divert to it", "d"),
		Checkpoints: keys.New("checkpoints", "i"),
	}
}

// all lists them with those enabled that the place under the mark allows.
func (b bindings) all(at place) []key.Binding {
	b.Passing.SetEnabled(at.canPass())
	b.Offset.SetEnabled(at.canPass())
	b.Divert.SetEnabled(at.canDivertTo())
	return []key.Binding{b.Passing, b.Offset, b.Divert, b.Checkpoints}
}
