package tui

import (
	"fmt"
	"slices"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/cockpit"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// key routes a key: a question, the entry line, the keys of every screen, the screen in front.
func (r *Root) key(msg tea.KeyMsg) terminal.Effect {
	r.started = true
	r.said = ""
	r.refresh()
	defer r.askAgain()
	if r.asked != nil {
		question := r.asked
		r.asked = nil
		if key.Matches(msg, r.question.Yes) {
			return question.yes()
		}
		if key.Matches(msg, r.question.No) {
			return terminal.Effect{Redraw: true}
		}
		if question.stays && r.line == nil { // what is still on the entry line can't be lost
			r.waiting = question
		}
	}
	effect := terminal.Effect{Redraw: true}
	switch {
	case r.line != nil:
		r.typed(msg)
	case msg.Paste:
	case r.below(msg):
	default:
		if command, known := r.pressed(msg); known {
			effect.Command = command
		} else if front := r.screen(r.front); front != nil && !r.covered() {
			r.carry(front.Press(msg, r.snapshot))
			r.unusable(msg, front)
		}
	}
	effect.Ring = r.newCalls()
	return effect
}

// askAgain puts a question that another key came before, once that key has done its own.
func (r *Root) askAgain() {
	if r.waiting == nil || r.line != nil {
		return
	}
	if r.asked == nil || r.asked.text == r.waiting.text { // the same key again: its first time counts
		r.asked = r.waiting
		r.waiting = nil
	}
}

// unusable says so when a key is one of the root's or of the screen's in front, but can't be used now.
func (r *Root) unusable(msg tea.KeyMsg, front screen.Screen) {
	if r.said != "" || r.line != nil || r.asked != nil {
		return
	}
	all := front.Keys(r.snapshot)
	for _, section := range keys.Sections(r.live()) {
		all = append(all, section.Keys...)
	}
	for _, binding := range all {
		if !binding.Enabled() && slices.Contains(binding.Keys(), msg.String()) {
			r.said = fmt.Sprintf("%s (%s) can't be used now", binding.Help().Key, binding.Help().Desc)
			return
		}
	}
}

// below hands a key to what stands below the screens.
func (r *Root) below(msg tea.KeyMsg) bool {
	if r.Footer == nil {
		return false
	}
	intents, known := r.Footer.Press(msg, r.snapshot)
	r.carry(intents)
	return known
}

// typed hands a key to the entry line.
func (r *Root) typed(msg tea.KeyMsg) {
	outcome, intents := r.line.Press(msg, r.snapshot)
	switch outcome {
	case entry.Closed:
		r.closeLine()
	case entry.Accepted:
		r.carry(intents)
	}
}

// pressed answers a key of keys.Global.
func (r *Root) pressed(msg tea.KeyMsg) (command tea.Cmd, known bool) {
	g := r.live()
	for _, answer := range r.answers(g) {
		if key.Matches(msg, answer.key) {
			answer.act()
			return nil, true
		}
	}
	for i, name := range screen.Names() {
		if key.Matches(msg, g.Screens[i]) {
			r.open(name)
			return nil, true
		}
	}
	if key.Matches(msg, g.Quit) {
		return r.quit(), true
	}
	return nil, false
}

// answer is what a key does.
type answer struct {
	key key.Binding
	act func()
}

func (r *Root) answers(g keys.Global) []answer {
	want := func(intent screen.Intent) { r.carry([]screen.Intent{intent}) }
	return []answer{
		{g.Done, r.done},
		{g.Passing, r.passing},
		{g.Overhead, func() { want(screen.Passing(r.snapshot.Leg.To)) }},
		{g.Take, r.takeOffer},
		{g.Tank, r.tank},
		{g.Skip, func() { r.withFirst(screen.Skip) }},
		{g.Snooze, func() {
			r.withFirst(func(p flight.Prompt) screen.Intent { return screen.Snooze(p, entry.SnoozeMinutes) })
		}},
		{g.Undo, r.undo},
		{g.Earlier, r.askEarlier},
		{g.Enter, func() { want(screen.Ask{}) }},
		{g.Slower, func() { r.rate(-1) }},
		{g.Faster, func() { r.rate(1) }},
		{g.Pause, func() { r.record(flight.Event{Act: flight.Clock, Paused: new(!r.Clock.Setting().Paused)}) }},
		{g.SetClock, func() { want(screen.Ask{Text: "set "}) }},
		{g.Back, func() { r.turnClock(-time.Minute) }},
		{g.Ahead, func() { r.turnClock(time.Minute) }},
		{g.Next, func() { r.turn(1) }},
		{g.Previous, func() { r.turn(-1) }},
		{g.Theme, r.nextTheme},
		{g.Bell, r.bell},
		{g.Divert, func() { r.open(screen.Divert) }},
		{g.Help, r.help},
		{g.Hands, r.changeHands},
		{g.Check, func() { want(cockpit.Check(r.snapshot)) }},
		{g.Close, r.close},
	}
}

// live are the global keys with those disabled that can't be used now.
func (r *Root) live() keys.Global {
	g := r.global
	records, flies := r.Recorder != nil, r.snapshot.Clock.LegSeconds != nil
	_, prompted := r.first()
	g.Passing.SetEnabled(records && r.snapshot.Next != nil && flies)
	g.Overhead.SetEnabled(records && r.snapshot.Leg.To != "" && flies)
	g.Take.SetEnabled(records && r.snapshot.Offer != nil)
	g.Tank.SetEnabled(records && len(r.snapshot.Tanks.Tanks) > 1)
	for _, binding := range []*key.Binding{&g.Done, &g.Skip, &g.Snooze} {
		binding.SetEnabled(records && prompted)
	}
	for _, binding := range []*key.Binding{&g.Undo, &g.Earlier} {
		binding.SetEnabled(records)
	}
	clocks := records || r.FreeClock
	for _, binding := range []*key.Binding{&g.Slower, &g.Faster, &g.Pause, &g.SetClock, &g.Enter} {
		binding.SetEnabled(clocks)
	}
	if r.Footer != nil && !records {
		g.Enter.SetEnabled(false)
	}
	g.Back.SetEnabled(!records && r.FreeClock)
	g.Ahead.SetEnabled(!records && r.FreeClock)
	g.Hands.SetEnabled(records && r.Pilot != nil)
	g.Check.SetEnabled(records && r.Pilot != nil)
	if r.Footer != nil { // its keys come before these
		for _, below := range r.Footer.Keys(r.snapshot) {
			for _, binding := range []*key.Binding{&g.SetClock, &g.Next, &g.Previous, &g.Hands, &g.Pause} {
				if slices.ContainsFunc(below.Keys(), func(pressed string) bool { return slices.Contains(binding.Keys(), pressed) }) {
					binding.SetEnabled(false)
				}
			}
		}
	}
	g.Screens = append([]key.Binding{}, g.Screens...)
	for i, name := range screen.Names() {
		g.Screens[i].SetEnabled(r.screen(name) != nil)
	}
	return g
}

// first is the prompt that the one key answers: the soonest that is open.
func (r *Root) first() (flight.Prompt, bool) {
	if len(r.snapshot.Prompts) == 0 {
		return flight.Prompt{}, false
	}
	p := r.snapshot.Prompts[0]
	return p, p.Open()
}

func (r *Root) withFirst(intent func(flight.Prompt) screen.Intent) {
	if p, ok := r.first(); ok {
		r.carry([]screen.Intent{intent(p)})
	}
}

// haste is how long after the first prompt has changed the key that answers it is taken to have been meant for the one before.
const haste = time.Second

// done answers the first prompt; one that is answered in haste only after a yes.
func (r *Root) done() {
	p, ok := r.first()
	if !ok {
		return
	}
	if r.Clock.Wall().Sub(r.changed) < haste {
		r.said = fmt.Sprintf("%q has just come first: press again if it is done", p.Text)
		return
	}
	answer := func() { r.carry([]screen.Intent{screen.Answer(p)}) }
	if !p.Hasty {
		answer()
		return
	}
	text := fmt.Sprintf("%q is not due before %s. Is it done already?", p.Text, say.Time(p.Due))
	r.asked = &asked{text: text, yes: func() terminal.Effect {
		answer()
		return terminal.Effect{Redraw: true, Ring: r.newCalls()}
	}}
}

// takeOffer records the passing that the feed shows, at its moment.
func (r *Root) takeOffer() {
	o := r.snapshot.Offer
	e := flight.Event{Act: o.Act, T: o.At}
	if o.Act == flight.Passing {
		e.Point, e.OffTrack = o.Point, &o.OffTrackNM
	}
	r.record(e)
}

// tank selects the tank of the next change, else the other of two, else asks which.
func (r *Root) tank() {
	tanks := r.snapshot.Tanks
	switch {
	case tanks.NextChange != nil:
		r.carry([]screen.Intent{screen.SelectTank(tanks.NextChange.To)})
	case len(tanks.Tanks) == 2 && tanks.Selected != "":
		other := tanks.Tanks[0].Name
		if other == tanks.Selected {
			other = tanks.Tanks[1].Name
		}
		r.carry([]screen.Intent{screen.SelectTank(other)})
	default:
		r.carry([]screen.Intent{screen.Ask{Text: "tank "}})
	}
}

// askEarlier asks when the next act was.
func (r *Root) askEarlier() {
	r.carry([]screen.Intent{screen.Ask{
		Label: "when was it: 10:42, 10:42:30, 2 min ago",
		Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
			at, err := entry.When(line, s.At)
			if err != nil {
				return nil, err
			}
			return []screen.Intent{screen.Backdate{At: at}}, nil
		},
	}})
}

// rates are those that the keys go through.
var rates = []float64{0.5, 1, 2, 4, 8, 16, 30, 60}

// rate makes the clock run at the next rate above or, negative, below its own, within what it can do.
func (r *Root) rate(by int) {
	now := r.Clock.Setting().Rate
	next := now
	for _, rate := range rates {
		if by > 0 && rate > now && rate <= r.Clock.MaxRate() {
			next = rate
			break
		}
		if by < 0 && rate < now {
			next = rate
		}
	}
	if next == now {
		r.said = fmt.Sprintf("the clock runs at ×%g, and no further that way", now)
		return
	}
	r.record(flight.Event{Act: flight.Clock, Rate: &next})
}

// turnClock moves a free clock.
func (r *Root) turnClock(by time.Duration) {
	r.record(flight.Event{Act: flight.Clock, Set: new(r.Clock.Now().Add(by))})
}

// turn goes to the next screen of those that there are.
func (r *Root) turn(by int) {
	names := screen.Names()
	at := 0
	for i, name := range names {
		if name == r.front {
			at = i
		}
	}
	for i := 1; i <= len(names); i++ {
		if name := names[((at+by*i)%len(names)+len(names))%len(names)]; r.screen(name) != nil {
			r.open(name)
			return
		}
	}
}

func (r *Root) nextTheme() {
	names := theme.Names()
	for i, name := range names {
		if name == r.Theme {
			r.Theme = names[(i+1)%len(names)]
			break
		}
	}
	if look, err := theme.Named(r.Theme, r.Profile); err == nil {
		r.theme = look
		r.theme.ASCII = r.ASCII
	}
	r.said = "light: " + r.Theme
}

func (r *Root) bell() {
	r.Silent = !r.Silent
	r.said = "the bell is on"
	if r.Silent {
		r.said = "the bell is off"
	}
}

func (r *Root) help() {
	if r.front == screen.Help {
		r.open(r.behind)
		return
	}
	r.open(screen.Help)
}

func (r *Root) changeHands() {
	hands := "off"
	if r.HandsOff {
		hands = "on"
	}
	r.record(flight.Event{Act: flight.Hands, Hands: hands})
}

// close drops what is half done: a time for the next act, then the help, then another screen.
func (r *Root) close() {
	switch {
	case r.earlier != nil:
		r.earlier = nil
	case r.front == screen.Help:
		r.open(r.behind)
	default:
		r.open(screen.Flying)
	}
}

// quit asks while a flight is going on.
func (r *Root) quit() tea.Cmd {
	phase := r.snapshot.Phase
	if r.Recorder == nil || phase == flight.BeforeStart || phase == flight.Arrived {
		return tea.Quit
	}
	r.asked = &asked{text: "Quit during the flight? It is recorded up to here and can be taken up again.", yes: func() terminal.Effect {
		return terminal.Effect{Redraw: true, Command: tea.Quit}
	}}
	return nil
}
