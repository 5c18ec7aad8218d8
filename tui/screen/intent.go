package screen

import (
	"time"

	"example.com/legclock/internal/flight"
)

// Intent is what a screen wants of the root: one of Record, Undo, Backdate, Open, Ask and Say.
type Intent interface{ intent() }

// Record asks for an event to be recorded. A zero T means now, by the root's clock; N and Rec are the recorder's.
type Record struct{ Event flight.Event }

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
	// Parse turns the line into intents. Its error is shown, in one line, and nothing typed is lost. Nil: the line is read
	// by the grammar of package entry, which covers every act of a flight.
	Parse func(line string, s flight.Snapshot) ([]Intent, error)
}

// Say shows one line until the next key. It never stands for something recorded: the root echoes that itself.
type Say struct{ Text string }

func (Record) intent()   {}
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

// Answer records what answers a prompt, now.
func Answer(p flight.Prompt) Intent { return Record{p.Answer.Event()} }

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
