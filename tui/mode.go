package tui

import (
	"errors"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Mode is what kind of flight stands on the screen, asked for what it allows: Live, Practice, Watch or Replay makes one.
type Mode struct {
	words     []string // in the header, at length first
	records   bool
	setsClock bool
	practised bool
	handsOff  bool // at the start

	recorder Recorder
	machine  Machine
	pilot    Pilot
	footer   Footer
}

// Live is a flight that the pilot records. The machine's clock tells when it was moved; nil where nothing does.
func Live(recorder Recorder, machine Machine) Mode {
	if machine == nil {
		machine = unmoved{}
	}
	return Mode{records: true, setsClock: true, recorder: recorder, machine: machine, pilot: nobody{}, footer: nothing{}}
}

// Practice is a flight in the pilot's hidden world, at the start with the hands on or off.
func Practice(recorder Recorder, machine Machine, pilot Pilot, handsOff bool) Mode {
	m := Live(recorder, machine)
	m.words, m.pilot, m.practised, m.handsOff = []string{"practice", ""}, pilot, true, handsOff
	return m
}

// Watch is another's flight: it is only shown, by the other's clock. Footer stands below the screens; nil: nothing does.
func Watch(footer Footer) Mode {
	if footer == nil {
		footer = nothing{}
	}
	return Mode{words: []string{"only shown", ""}, recorder: nowhere{}, machine: unmoved{}, pilot: nobody{}, footer: footer}
}

// Replay is a flight that is over: it is only shown, by a clock that can be set.
func Replay(footer Footer) Mode {
	m := Watch(footer)
	m.words, m.setsClock = []string{"replay", ""}, true
	return m
}

// nowhere keeps nothing.
type nowhere struct{}

func (nowhere) Record(flight.Event) (flight.Event, error) {
	return flight.Event{}, errors.New("nothing can be recorded here: this flight is only shown")
}

func (nowhere) Look() Storage { return Storage{} }

// unmoved is a clock that nobody sets.
type unmoved struct{}

func (unmoved) Moved() time.Duration { return 0 }
func (unmoved) Slept() time.Duration { return 0 }
func (unmoved) Machine() time.Time   { return time.Time{} }

// nobody flies no practice flight.
type nobody struct{}

func (nobody) NextEvent(flight.Snapshot, time.Time) (flight.Event, bool) {
	return flight.Event{}, false
}
func (nobody) Outside(time.Time) string           { return "" }
func (nobody) Seat(flight.Snapshot) practice.Seat { return practice.Seat{} }

// nothing stands below the screens.
type nothing struct{}

func (nothing) Keys(flight.Snapshot) []key.Binding                        { return nil }
func (nothing) Press(tea.KeyMsg, flight.Snapshot) ([]screen.Intent, bool) { return nil, false }
func (nothing) Tick(flight.Snapshot) []screen.Intent                      { return nil }
func (nothing) Rows(flight.Snapshot, int, int, theme.Theme) []string      { return nil }
