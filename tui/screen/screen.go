package screen

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/theme"
)

// Name is one of the screens.
type Name string

// The screens, by the word that stands in the header.
const (
	Flying  Name = "flying"
	Route   Name = "route"
	Radio   Name = "radio"
	Tanks   Name = "tanks"
	Entries Name = "log"
	Cockpit Name = "cockpit" // of a practice flight only
	Divert  Name = "divert"
	Help    Name = "help"
)

// Names lists the screens in the order of their digit keys; the screens for a diversion and for help have
// keys of their own.
func Names() []Name { return []Name{Flying, Route, Radio, Tanks, Entries, Cockpit} }

// Size is a rectangle in cells.
type Size struct{ Width, Height int }

// Screen is one page. Its methods are called on one goroutine.
type Screen interface {
	Name() Name

	// Keys lists the screen's own bindings for the Snapshot at hand; one that can't be used now is disabled and so leaves
	// the help by itself. It must not use a key of keys.Global.
	Keys(s flight.Snapshot) []key.Binding

	// Press answers a key that matched none of the root's: it moves the cursor or returns what the pilot wants, or both. A
	// key that the screen does not know gives nil.
	Press(msg tea.KeyMsg, s flight.Snapshot) []Intent

	// Rows draws the screen: exactly size.Height rows of exactly size.Width cells. It changes nothing that a second call
	// could see.
	Rows(s flight.Snapshot, size Size, t theme.Theme) []string
}
