// Package cockpit is the seat of a practice flight: what window and instruments show in words, figures and plain bars, what the plan
// says of this leg, and the figure that is asked for.
//
// It shows what a pilot could read, not what the log reckons: no revised time, no heading by the wind found. Its keys steer.
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
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the cockpit. It has no state of its own.
type Screen struct {
	fly  keys.Fly
	seat *practice.Seat
}

// Steps of one key.
const (
	largeTurnDeg = 5
	smallTurnDeg = 1
	stepFt       = 500
)

// New returns the screen as seen from a seat, which whoever holds it keeps at the moment of the Snapshot.
func New(seat *practice.Seat) *Screen { return &Screen{fly: keys.NewFly(), seat: seat} }

// Name is screen.Cockpit.
func (*Screen) Name() screen.Name { return screen.Cockpit }

// Keys fly the aeroplane, while the pilot does.
func (c *Screen) Keys(flight.Snapshot) []key.Binding {
	return keys.Usable(c.seat.HandsOn, c.fly.All())
}

// Marked is nothing: the arrows fly.
func (*Screen) Marked(flight.Snapshot) screen.Marked { return screen.Marked{} }

// Unmark has nothing to do.
func (*Screen) Unmark() {}

// Choices are to answer what is asked, and what the hands can set.
func (c *Screen) Choices(flight.Snapshot) (choices []screen.Choice) {
	if c.seat.Question != nil {
		choices = append(choices, screen.Wants("answer the question", "answer", answer(*c.seat.Question)), screen.Wants("show me: the question is given up", "show me", giveUp(*c.seat.Question)))
	}
	if c.seat.HandsOn {
		choices = append(choices,
			screen.Wants("steer a heading by the compass", "steer", screen.Ask{Text: "steer "}),
			screen.Wants("climb or descend to an altitude", "altitude", altitude()),
			screen.Wants("select a course on a receiver", "course", course(c.seat.Panel)))
	}
	return choices
}

// Press answers a key.
func (c *Screen) Press(msg tea.KeyMsg, _ flight.Snapshot) []screen.Intent {
	for _, act := range []struct {
		key  key.Binding
		does func(practice.Panel) screen.Intent
	}{
		{c.fly.Left, turn(-largeTurnDeg)},
		{c.fly.Right, turn(largeTurnDeg)},
		{c.fly.SlightLeft, turn(-smallTurnDeg)},
		{c.fly.SlightRight, turn(smallTurnDeg)},
		{c.fly.Climb, climb(stepFt)},
		{c.fly.Descend, climb(-stepFt)},
	} {
		switch {
		case !key.Matches(msg, act.key):
		case c.seat.HandsOn:
			return []screen.Intent{act.does(c.seat.Panel)}
		default:
			return []screen.Intent{screen.Say{Text: "the program flies: h takes over"}}
		}
	}
	return nil
}

// turn steers so many degrees farther, from the heading that is being turned to.
func turn(byDeg float64) func(practice.Panel) screen.Intent {
	return func(p practice.Panel) screen.Intent {
		if p.Steering == nil {
			return screen.Say{Text: "not airborne: there is nothing to steer yet"}
		}
		heading := float64(angle.Whole(*p.Steering + byDeg))
		return screen.Record{Event: flight.Event{Act: flight.Steering, Heading: &heading}}
	}
}

// climb changes the altitude that is flown to, to the next step.
func climb(byFt float64) func(practice.Panel) screen.Intent {
	return func(p practice.Panel) screen.Intent {
		altitude := p.AltitudeFt
		if p.ToAltitudeFt != nil {
			altitude = *p.ToAltitudeFt
		}
		next := math.Round(altitude/stepFt)*stepFt + byFt
		return toAltitude(next)
	}
}

func toAltitude(ft float64) screen.Intent {
	return screen.Record{Event: flight.Event{Act: flight.Controls, Altitude: &ft}}
}

func altitude() screen.Intent {
	return screen.Ask{Label: "climb or descend to, in feet", Accept: "fly to it", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		ft, err := say.Height.Parse(line)
		if err != nil {
			return nil, err
		}
		return []screen.Intent{toAltitude(ft)}, nil
	}}
}

// course asks for a receiver and a course: "NAV1 096", or the course alone where one receiver has one.
func course(p practice.Panel) screen.Intent {
	var with []string
	for _, receiver := range p.Receivers {
		if receiver.Course != nil {
			with = append(with, receiver.Receiver)
		}
	}
	if len(with) == 0 {
		return screen.Say{Text: "no VOR is tuned: there is no course to select"}
	}
	return screen.Ask{Label: "course", Text: with[0] + " ", Accept: "select it", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
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
func Check(s practice.Seat) screen.Intent {
	e := flight.Event{Act: flight.QuickCheck}
	if s.Check != nil && s.Check.Goes {
		e.Text = flight.QuickCheckEnd
	}
	return screen.Record{Event: e}
}

// NextQuick asks for the answer to the figure of a quick check that is open; nil where none is. An empty line gives it up.
func NextQuick(s practice.Seat) screen.Intent {
	if s.Question == nil || !s.Question.Quick {
		return nil
	}
	return answer(*s.Question)
}

func answer(q practice.OpenQuestion) screen.Intent {
	return screen.Ask{Label: "answer, as " + q.Example, Accept: "answer", Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		if line = strings.TrimSpace(line); line == "" && !q.Quick {
			return nil, errors.New("write an answer; esc closes, and enter then shows it")
		}
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Answered, Prompt: q.ID, Text: line}}}, nil
	}}
}

func giveUp(q practice.OpenQuestion) screen.Intent {
	return screen.Record{Event: flight.Event{Act: flight.Answered, Prompt: q.ID}}
}
