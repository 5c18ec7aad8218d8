package cockpit

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the cockpit. It has no state of its own.
type Screen struct{ acts []act }

// act is a key of the hands.
type act struct {
	key   key.Binding
	hands bool // only while the pilot flies
	asked bool // only while a question is open
	does  func(s flight.Snapshot) screen.Intent
}

// Steps of one key.
const (
	largeTurnDeg = 5
	smallTurnDeg = 1
	stepFt       = 500
)

// New returns the screen.
func New() *Screen {
	return &Screen{acts: []act{
		{keys.New("5° to the left", "left"), true, false, turn(-largeTurnDeg)},
		{keys.New("5° to the right", "right"), true, false, turn(largeTurnDeg)},
		{keys.New("1° to the left", ",", "<"), true, false, turn(-smallTurnDeg)},
		{keys.New("1° to the right", ".", ">"), true, false, turn(smallTurnDeg)},
		{keys.New("steer: a compass heading", "s"), true, false, ask("steer ")},
		{keys.New("climb: 500 ft up", "up"), true, false, climb(stepFt)},
		{keys.New("descend: 500 ft down", "down"), true, false, climb(-stepFt)},
		{keys.New("altitude to climb or descend to", "v"), true, false, altitude},
		{keys.New("course to select on a receiver", "k"), true, false, course},
		{keys.New("answer the question", "a"), false, true, answer},
		{keys.New("show me: the question is given up", "w"), false, true, giveUp},
		{keys.New("fix: from a beacon or a place", "f"), false, false, ask("fix ")},
		{keys.New("off track: how far", "r"), false, false, ask("off-track ")},
		{keys.New("gauges: what the fuel gauges show", "g"), false, false, ask("gauges ")},
		{keys.New("note: a remark", "n"), false, false, ask("note ")},
	}}
}

// Name is screen.Cockpit.
func (*Screen) Name() screen.Name { return screen.Cockpit }

// Keys are those that can be used now.
func (c *Screen) Keys(s flight.Snapshot) []key.Binding {
	bindings := make([]key.Binding, len(c.acts))
	for i, act := range c.acts {
		bindings[i] = act.key
		bindings[i].SetEnabled(act.live(s))
	}
	return bindings
}

func (a act) live(s flight.Snapshot) bool {
	hands, asked := s.Seat != nil && s.Seat.HandsOn, s.Seat != nil && s.Seat.Question != nil
	return (hands || !a.hands) && (asked || !a.asked)
}

// Press answers a key.
func (c *Screen) Press(msg tea.KeyMsg, s flight.Snapshot) []screen.Intent {
	for _, act := range c.acts {
		if !key.Matches(msg, act.key) {
			continue
		}
		switch {
		case act.live(s):
			return []screen.Intent{act.does(s)}
		case act.asked && s.Seat != nil:
			return []screen.Intent{screen.Say{Text: "nothing is asked just now"}}
		default:
			return []screen.Intent{screen.Say{Text: "the program flies: h takes over"}}
		}
	}
	return nil
}

func ask(text string) func(flight.Snapshot) screen.Intent {
	return func(flight.Snapshot) screen.Intent { return screen.Ask{Text: text} }
}

// turn steers so many degrees farther, from the heading that is being turned to.
func turn(byDeg float64) func(flight.Snapshot) screen.Intent {
	return func(s flight.Snapshot) screen.Intent {
		if s.Seat.Panel.Steering == nil {
			return screen.Say{Text: "not airborne: there is nothing to steer yet"}
		}
		heading := float64(angle.Whole(*s.Seat.Panel.Steering + byDeg))
		return screen.Record{Event: flight.Event{Act: flight.Steering, Heading: &heading}}
	}
}

// climb changes the altitude that is flown to, to the next step.
func climb(byFt float64) func(flight.Snapshot) screen.Intent {
	return func(s flight.Snapshot) screen.Intent {
		altitude := s.Seat.Panel.AltitudeFt
		if s.Seat.Panel.ToAltitudeFt != nil {
			altitude = *s.Seat.Panel.ToAltitudeFt
		}
		next := math.Round(altitude/stepFt)*stepFt + byFt
		return toAltitude(next)
	}
}

func toAltitude(ft float64) screen.Intent {
	return screen.Record{Event: flight.Event{Act: flight.Controls, Altitude: &ft}}
}

func altitude(flight.Snapshot) screen.Intent {
	return screen.Ask{Label: "climb or descend to, in feet", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		ft, err := say.Height.Parse(line)
		if err != nil {
			return nil, err
		}
		return []screen.Intent{toAltitude(ft)}, nil
	}}
}

// course asks for a receiver and a course: "NAV1 096", or the course alone where one receiver has one.
func course(s flight.Snapshot) screen.Intent {
	var with []string
	for _, receiver := range s.Seat.Panel.Receivers {
		if receiver.Course != nil {
			with = append(with, receiver.Receiver)
		}
	}
	if len(with) == 0 {
		return screen.Say{Text: "no VOR is tuned: there is no course to select"}
	}
	return screen.Ask{Label: "course", Text: with[0] + " ", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		name, degrees, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok {
			return nil, fmt.Errorf("write the receiver and the course: %s 096", with[0])
		}
		direction, err := say.ParseDirection(degrees)
		if err != nil {
			return nil, err
		}
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Controls, Receiver: strings.ToUpper(name), Course: &direction.Degrees}}}, nil
	}}
}

// Check begins a quick check, or ends the one that goes on.
func Check(s flight.Snapshot) screen.Intent {
	e := flight.Event{Act: flight.QuickCheck}
	if s.Seat != nil && s.Seat.Check != nil && s.Seat.Check.Goes {
		e.Text = flight.QuickCheckEnd
	}
	return screen.Record{Event: e}
}

// NextQuick asks for the answer to the figure of a quick check that is open; nil where none is. An empty line gives it up.
func NextQuick(s flight.Snapshot) screen.Intent {
	if s.Seat == nil || s.Seat.Question == nil || !s.Seat.Question.Quick {
		return nil
	}
	return answer(s)
}

func answer(s flight.Snapshot) screen.Intent {
	id, quick := s.Seat.Question.ID, s.Seat.Question.Quick
	return screen.Ask{Label: "answer: " + s.Seat.Question.Example, Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		if line = strings.TrimSpace(line); line == "" && !quick {
			return nil, errors.New("write an answer; esc closes, w shows it")
		}
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Answered, Prompt: id, Text: line}}}, nil
	}}
}

func giveUp(s flight.Snapshot) screen.Intent {
	return screen.Record{Event: flight.Event{Act: flight.Answered, Prompt: s.Seat.Question.ID}}
}
