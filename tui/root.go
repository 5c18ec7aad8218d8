// Package tui is the root of the full screen: it routes messages, stamps the time, checks, records, folds, and takes the Snapshot
// that the screens are drawn from.
//
// One act, end to end, in this order and on one goroutine: a key becomes an intent; the root gives the event its time by its
// Clock; the flight checks it (a refusal becomes one line of text and nothing is recorded, a doubt asks for a yes); the
// recorder appends and syncs it; the flight folds it; a new Snapshot is taken; only then is the act echoed. What is echoed is
// therefore on disk. A disk that stalls makes the screen stall, visibly.
//
// Keys go first to a question that waits for a yes, then to an open entry line, then to the keys of keys.Global, then to the
// screen in front. A tick takes a new Snapshot only if the flight clock has gone on by a second.
//
// It knows no files and no terminal: a flight, a recorder and a clock are handed in, and package terminal runs it. Without a
// recorder it only shows: a replay, or another's flight.
package tui

import (
	"cmp"
	"errors"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// Flight is the state that acts are folded into and Snapshots are taken from; a *flight.State is one.
type Flight interface {
	Check(flight.Event) error
	Apply(flight.Event) error
	At(time.Time) flight.Snapshot
	Undoable() *flight.Event
	Setting() clock.Setting
}

// Recorder keeps acts where they can't be lost.
type Recorder interface {
	// Record gives an act its number and the machine's time, and stores it before it returns if that can be done. One that can't be
	// stored now is kept, and stored as soon as it can be. The error is of an act that can be no part of the journal.
	Record(flight.Event) (flight.Event, error)
	// Look is asked after every act and with every tick: it stores what is kept, if it can, and says how things stand.
	Look() Storage
}

// Storage is how much of what was recorded can't be lost any more.
type Storage struct {
	Kept    int    // acts that are only kept
	Trouble string // why; empty when all is stored
	News    string // what came about since the last look; may be empty
	Moved   string // news too: where the flight is recorded from now on, and why
}

// Machine is the machine's own clock, which may be moved, and stand still in its sleep, while the flight's goes on.
type Machine interface {
	// Moved is how far it was moved ahead (negative: back) since that was last asked.
	Moved() time.Duration
	// Slept is how long the machine has slept since that was last asked.
	Slept() time.Duration
	// Machine is what its clock reads.
	Machine() time.Time
}

// Pilot is the hidden world of a practice flight, and hands that fly and log for one who only looks.
type Pilot interface {
	// NextEvent is what the program would record next, at or before t; ok is false when there is nothing yet.
	NextEvent(s flight.Snapshot, t time.Time) (event flight.Event, ok bool)
	// Outside is one line of what window and panel show.
	Outside(t time.Time) string
	// Seat is what is seen and asked at the moment at which a Snapshot was taken.
	Seat(s flight.Snapshot) practice.Seat
}

// Footer stands below every screen of a flight that is only shown: the time-line of a replay, what is known of a flight that is watched. Its
// keys come before all others.
type Footer interface {
	// Keys lists its bindings for the Snapshot at hand.
	Keys(s flight.Snapshot) []key.Binding
	// Press answers a key; known is false for one that is not its own.
	Press(msg tea.KeyMsg, s flight.Snapshot) (intents []screen.Intent, known bool)
	// Tick is asked with every tick for what time itself has brought about.
	Tick(s flight.Snapshot) []screen.Intent
	// Rows draws it for a screen of width and height, in as many rows as it takes; each exactly width cells wide.
	Rows(s flight.Snapshot, width, height int, t theme.Theme) []string
}

// Options are what the screen is made of. Flight, Mode and Clock are required.
type Options struct {
	Flight Flight
	Mode   Mode
	Clock  *clock.Clock

	Log     string // the file that the flight is in; empty: none
	Theme   string // by name; empty: the first of theme.Names
	Profile termenv.Profile
	ASCII   bool   // draw with ASCII alone
	Silent  bool   // no bell
	Notice  string // said at the start: where a flight was taken up again
}

// Root is the whole screen. It holds nothing of the flight but the last Snapshot.
type Root struct {
	flight  Flight
	mode    Mode
	clock   *clock.Clock
	profile termenv.Profile

	light    string // the theme's name
	theme    theme.Theme
	silent   bool
	handsOff bool // in a practice flight: the pilot's log nothing
	global   keys.Global
	question keys.Question // what answers one
	screens  []screen.Screen
	front    screen.Name
	behind   screen.Name // where closing the help or the papers leads

	snapshot flight.Snapshot
	seat     practice.Seat // at the moment of the Snapshot; of practice alone
	called   []call        // what the bell has rung for

	line    *entry.Line // open, or nil
	menu    *menu       // open, or nil
	asked   *asked      // waits for a yes, or nil
	waiting []*asked    // were asked, another key or question came: asked again when that is done, the last first
	gone    withdrawn   // what was withdrawn last
	whole   whole       // until when what presses is shown whole
	dropped *dropped    // the point that the passing key meant until a moment ago, or nil
	earlier *time.Time  // the time of the next act, if it was not now
	said    string      // until the next key
	saying  saying      // until when that is shown whole
	own     ownEcho     // of the pilot's last act, until the next key
	storage Storage     // as it stood at the last look
	trouble string      // an act that could not be taken; stays until one can
	feed    *Feed       // as it stands; nil without one
	started bool        // a key has been pressed
	changed time.Time   // by the machine's clock: when time made another prompt the one that the keys mean
	drawn   *drawn      // the last frame
}

// ownEcho is what was echoed of an act of the pilot's own, at a moment of the machine's clock.
type ownEcho struct {
	text string
	at   time.Time
}

// Recorded delivers events that someone else has recorded, in order: another's flight being watched.
type Recorded struct{ Events []flight.Event }

// Act delivers an event to be recorded that no key gave: a position from a feed.
type Act struct{ Event flight.Event }

// Feed delivers how a feed of positions stands: whether positions come, and a line to be shown.
type Feed struct {
	Positions bool
	Text      string
}

// Said delivers one line to be shown.
type Said struct{ Text string }

// New makes the screen. An unknown theme is an error, and so is a flight without a mode.
func New(o Options) (*Root, error) {
	if o.Mode.recorder == nil {
		return nil, errors.New("a flight on the screen is live, practised, watched or replayed")
	}
	light := cmp.Or(o.Theme, theme.Names()[0])
	look, err := theme.Named(light, o.Profile)
	if err != nil {
		return nil, err
	}
	look.ASCII = o.ASCII
	r := &Root{
		flight: o.Flight, mode: o.Mode, clock: o.Clock, profile: o.Profile, light: light, theme: look, silent: o.Silent, handsOff: o.Mode.handsOff,
		global: keys.NewGlobal(), question: keys.NewQuestion(), front: screen.Flying, behind: screen.Flying, said: o.Notice,
	}
	r.screens = newScreens(nil, o.Log, r.sections)
	if r.mode.practised {
		r.screens = newScreens(&r.seat, o.Log, r.sections)
	}
	r.refresh()
	r.newCalls()
	r.noticePressing()
	r.noticeSaid()
	if r.seat.HandsOn {
		r.open(screen.Cockpit)
	}
	return r, nil
}

// Init asks for nothing.
func (r *Root) Init() tea.Cmd { return nil }

// Update routes a message.
func (r *Root) Update(msg tea.Msg) terminal.Effect {
	effect := r.route(msg)
	changed, pressed, read := r.reconsider(), r.noticePressing(), r.noticeSaid()
	effect.Redraw = effect.Redraw || changed || pressed || read
	return effect
}

func (r *Root) route(msg tea.Msg) terminal.Effect {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return r.key(msg)
	case terminal.Tick:
		return r.tick()
	case terminal.Resumed:
		r.refresh()
		r.said = r.resumed(msg)
	case Recorded:
		r.fold(msg.Events)
	case Act:
		r.fed(msg.Event)
	case Feed:
		r.feed = &msg
		r.mention(msg.Text)
	case Said:
		r.mention(msg.Text)
	case tea.WindowSizeMsg:
	default:
		return terminal.Effect{}
	}
	return terminal.Effect{Redraw: true, Ring: r.newCalls()}
}

// Typing reports whether the entry line is open.
func (r *Root) Typing() bool { return r.line != nil && r.asked == nil }

// refresh takes the Snapshot of now, and what is seen from the seat then.
func (r *Root) refresh() {
	before := r.snapshot.Next
	first, prompted := r.first()
	meant, _ := r.prompt()
	r.snapshot = r.flight.At(r.clock.Now())
	r.seat = r.mode.pilot.Seat(r.snapshot)
	r.noticeDropped(before)
	if !prompted {
		return
	}
	firstNow, _ := r.first()
	if meantNow, _ := r.prompt(); firstNow.ID != first.ID || meantNow.ID != meant.ID {
		r.changed = r.clock.Wall()
	}
}

// screen is the one of that name, nil where there is none.
func (r *Root) screen(name screen.Name) screen.Screen {
	for _, s := range r.screens {
		if s.Name() == name {
			return s
		}
	}
	return nil
}

// open turns to a screen; what is only read begins with its first page.
func (r *Root) open(name screen.Name) {
	if r.screen(name) == nil || name == r.front {
		return
	}
	if !isRead(r.front) {
		r.behind = r.front
	}
	r.front, r.menu = name, nil
	if isRead(name) {
		r.unmark()
	}
}

// isRead reports whether a screen is only read, and closes to the one behind it.
func isRead(name screen.Name) bool { return name == screen.Help || name == screen.Papers }
