// Package screen is what the root model and the screens agree on: a screen answers a key with intents and turns a Snapshot
// into rows.
//
// A screen holds where its mark stands, its scroll position and nothing of the flight. It reads no clock, records nothing, looks nothing
// up and computes nothing of the flight: all of that is in the Snapshot. Its Rows are a function of the Snapshot, the
// screen's own mark, the size and the theme.
//
// What the root does and a screen need not: the header with the leg clock, the row that is kept for what is late, the entry line, the echo of
// what was recorded, the row of keys, the keys of keys.Global, and the choices that enter opens. Keys reach a screen only after those.
//
// Duties of a screen, tested over all of them: Rows returns exactly Size.Height rows, each exactly Size.Width cells wide, at
// any size from 1×1; every state that has a colour has a word or a shape as well; text that a user typed is cut to its
// cells and holds no control character (frame does both).
package screen

import (
	"time"

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
	Papers  Name = "papers"
	Help    Name = "help"
)

// Names lists the screens in the order of their digit keys; the screens for a diversion, for the papers and for help
// have keys of their own.
func Names() []Name { return []Name{Flying, Route, Radio, Tanks, Entries, Cockpit} }

// Size is a rectangle in cells.
type Size struct{ Width, Height int }

// Screen is one page. Its methods are called on one goroutine.
type Screen interface {
	Name() Name

	// Keys lists the screen's own bindings for the Snapshot at hand: those that move its mark, in the cockpit those that fly. One that can't be
	// used now is disabled and so leaves the help by itself. It must not use a key of keys.Global.
	Keys(s flight.Snapshot) []key.Binding

	// Press answers a key that matched none of the root's: it moves the mark or returns what the pilot wants, or both. A
	// key that the screen does not know gives nil.
	Press(msg tea.KeyMsg, s flight.Snapshot) []Intent

	// Marked is what the pilot has put the mark on; the zero value while it stands where the screen has it by itself.
	Marked(s flight.Snapshot) Marked

	// Unmark puts the mark back where the screen has it by itself.
	Unmark()

	// Choices are what can be done with what the mark stands on, wherever it stands, the likeliest first.
	Choices(s flight.Snapshot) []Choice

	// Rows draws the screen: exactly size.Height rows of exactly size.Width cells. It changes nothing that a second call
	// could see; the list is the screen's, which may use it again in the next call.
	Rows(s flight.Snapshot, size Size, t theme.Theme) []string
}

// Marked is what the keys of every screen mean in place of what comes next. What is empty is not marked.
type Marked struct {
	Row    bool   // the pilot has put the mark somewhere, whatever stands there
	Point  string // that is to be passed
	Tank   string // that is to be selected
	Prompt string // the ID of an open one
}

// Choice is one thing that can be done with what is marked.
type Choice struct {
	Text  string // whole: "passing KVN, off track"
	Short string // for the row of keys: "off track"
	// Shows says that it changes nothing but what is shown: a flight that is only looked at has it too.
	Shows bool
	Does  func() []Intent
}

// Wants is a choice that records or asks.
func Wants(text, short string, intents ...Intent) Choice {
	return Choice{Text: text, Short: short, Does: func() []Intent { return intents }}
}

// Intent is what a screen wants of the root: one of Record, Answered, Undo, Backdate, Open, Ask and Say.
type Intent interface{ intent() }

// Record asks for an event to be recorded. A zero T means now, by the root's clock; N and Rec are the recorder's.
type Record struct{ Event flight.Event }

// Answered says that what a prompt asks for is done.
type Answered struct{ Prompt flight.Prompt }

// Undo voids the pilot's last entry that is not void.
type Undo struct{}

// Backdate gives the next act that is recorded without a time of its own this one instead of now.
type Backdate struct{ At time.Time }

// Open turns to another screen.
type Open struct{ Name Name }

// Ask opens the entry line, with text already in it, the cursor behind the text.
type Ask struct {
	Label string // before the text: "amend 12"; empty: "enter"
	Text  string
	// Accept is what enter does with the line. Empty: it records the act that is typed, whose words tab finishes.
	Accept string
	// Parse turns the line into intents. Its error is shown, in one line, and nothing typed is lost. Nil: the line is read
	// by the grammar of package entry, which covers every act of a flight.
	Parse func(line string, s flight.Snapshot) ([]Intent, error)
}

// Say shows one line until the next key. It never stands for something recorded: the root echoes that itself.
type Say struct{ Text string }

func (Record) intent()   {}
func (Answered) intent() {}
func (Undo) intent()     {}
func (Backdate) intent() {}
func (Open) intent()     {}
func (Ask) intent()      {}
func (Say) intent()      {}

// Passing records that a point is passed now.
func Passing(point string) Intent {
	return Record{flight.Event{Act: flight.Passing, Point: point}}
}

// SelectTank records that a tank was selected now.
func SelectTank(tank string) Intent {
	return Record{flight.Event{Act: flight.TankChange, Tank: tank}}
}

// Skip records that a prompt is left undone on purpose.
func Skip(p flight.Prompt) Intent {
	return Record{flight.Event{Act: flight.Skipped, Prompt: p.ID}}
}

// Snooze records that a prompt is to come back in so many minutes.
func Snooze(p flight.Prompt, minutes float64) Intent {
	return Record{flight.Event{Act: flight.Snoozed, Prompt: p.ID, Minutes: &minutes}}
}

// Void records that entry n was wrong.
func Void(n int) Intent { return Record{flight.Event{Act: flight.Void, Event: n}} }
