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

// key routes a key: a question, the entry line, the choices, what stands below, the keys of every screen, the screen in front.
func (r *Root) key(msg tea.KeyMsg) terminal.Effect {
	r.started = true
	r.said, r.saying, r.own = "", saying{}, ownEcho{}
	r.refresh()
	if r.meantForWithdrawn(msg) {
		return terminal.Effect{Redraw: true}
	}
	defer r.askAgain()
	if r.asked != nil {
		question := r.asked
		r.asked = nil
		if key.Matches(msg, r.question.Yes) {
			if question.quits {
				return terminal.Effect{Redraw: true, Command: tea.Quit}
			}
			r.confirm(question)
			return terminal.Effect{Redraw: true, Ring: r.newCalls()}
		}
		if key.Matches(msg, r.question.No) {
			return terminal.Effect{Redraw: true}
		}
		if !question.quits && !question.ofLine {
			r.waiting = append(r.waiting, question)
		}
	}
	effect := terminal.Effect{Redraw: true}
	switch {
	case r.line != nil:
		r.typed(msg)
	case msg.Paste:
	case r.choosing(msg):
	case r.below(msg):
	default:
		if command, known := r.pressed(msg); known {
			effect.Command = command
		} else if front := r.screen(r.front); front != nil && !r.covered() {
			r.fulfil(front.Press(msg, r.snapshot))
			r.unusable(msg)
		}
	}
	effect.Ring = r.newCalls()
	return effect
}

// unusable says so when a key is one of the root's or of the screen's in front, but can't be used now.
func (r *Root) unusable(msg tea.KeyMsg) {
	if r.said != "" || r.line != nil || r.asked != nil {
		return
	}
	for _, binding := range r.Keys() {
		if !binding.Enabled() && slices.Contains(binding.Keys(), msg.String()) {
			if slices.Contains(slices.Concat(r.global.Yes.Keys(), r.global.No.Keys()), msg.String()) {
				r.said = "nothing is asked: y and n answer a question"
				return
			}
			r.said = fmt.Sprintf("%s (%s) can't be used now", binding.Help().Key, binding.Help().Desc)
			return
		}
	}
}

// Keys are all that can meet on the screen in front while nothing is open, those that can't be used now disabled.
func (r *Root) Keys() []key.Binding {
	all := append(r.mode.footer.Keys(r.snapshot), r.live().All()...)
	if front := r.screen(r.front); front != nil && !r.covered() {
		all = append(all, front.Keys(r.snapshot)...)
	}
	return all
}

// below hands a key to what stands below the screens.
func (r *Root) below(msg tea.KeyMsg) bool {
	intents, known := r.mode.footer.Press(msg, r.snapshot)
	r.fulfil(intents)
	return known
}

// typed hands a key to the entry line.
func (r *Root) typed(msg tea.KeyMsg) {
	outcome, intents := r.line.Press(msg, r.snapshot)
	switch outcome {
	case entry.Closed:
		r.closeLine()
	case entry.Accepted:
		r.fulfil(intents)
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
	return []answer{
		{g.Done, r.done},
		{g.Passing, r.passing},
		{g.Tank, r.tank},
		{g.Skip, func() { r.withPrompt("to be skipped", screen.Skip) }},
		{g.Later, func() {
			r.withPrompt("to be put off", func(p flight.Prompt) screen.Intent { return screen.Snooze(p, entry.SnoozeMinutes) })
		}},
		{g.Yes, r.takeOffer},
		{g.No, func() { r.record(flight.Event{Act: flight.Skipped, Prompt: r.snapshot.Offer.ID}) }},
		{g.Undo, r.undo},
		{g.Earlier, r.askEarlier},
		{g.Entry, func() { r.line = entry.NewLine(screen.Ask{}) }},
		{g.Choices, r.openChoices},
		{g.Slower, func() { r.rate(-1) }},
		{g.Faster, func() { r.rate(1) }},
		{g.Pause, func() { r.record(flight.Event{Act: flight.Clock, Paused: new(!r.clock.Setting().Paused)}) }},
		{g.Set, r.askClock},
		{g.Whole, r.readWhole},
		{g.Theme, r.nextTheme},
		{g.Bell, r.bell},
		{g.Divert, func() { r.open(screen.Divert) }},
		{g.Papers, func() { r.read(screen.Papers) }},
		{g.Help, func() { r.read(screen.Help) }},
		{g.Hands, r.changeHands},
		{g.Check, func() { r.fulfil([]screen.Intent{cockpit.Check(r.seat)}) }},
		{g.Close, r.close},
	}
}

// usable is which of the keys that hang on the Snapshot and on marks can be used now.
type usable struct{ passing, tank, prompt, offer, choices, pressing bool }

// usable asks for the choices only where they are wanted, as they are many.
func (r *Root) usable(choices bool) usable {
	_, prompted := r.prompt()
	point, _ := r.meant()
	return usable{
		passing: point != "" && r.snapshot.Clock.LegSeconds != nil, tank: len(r.snapshot.Tanks.Tanks) > 1, prompt: prompted, offer: r.snapshot.Offer != nil,
		choices: choices && len(r.choices()) > 0, pressing: len(r.whole.of) > 0,
	}
}

// live are the global keys with those disabled that can't be used now.
func (r *Root) live() keys.Global {
	return r.usableKeys(r.usable(true), r.mode.footer.Keys(r.snapshot))
}

// usableKeys are the global keys with those disabled that can't be used, or that what stands below the screens takes before them.
func (r *Root) usableKeys(now usable, below []key.Binding) keys.Global {
	g := r.global
	set := func(enabled bool, bindings ...*key.Binding) {
		for _, binding := range bindings {
			binding.SetEnabled(enabled)
		}
	}
	records := r.mode.records
	set(records && now.passing, &g.Passing)
	set(records && now.tank, &g.Tank)
	set(records && now.prompt, &g.Done, &g.Skip, &g.Later)
	set(records && now.offer, &g.Yes, &g.No)
	set(records, &g.Undo, &g.Earlier, &g.Entry)
	set(now.pressing, &g.Whole)
	set(now.choices, &g.Choices)
	set(r.mode.setsClock, &g.Slower, &g.Faster, &g.Pause, &g.Set)
	set(r.mode.practised, &g.Hands, &g.Check)
	g = g.Without(below)
	for i, name := range screen.Names() {
		g.Screens[i].SetEnabled(g.Screens[i].Enabled() && r.screen(name) != nil)
	}
	return g
}

// first is the first prompt: the worst, then the soonest that is open.
func (r *Root) first() (flight.Prompt, bool) {
	if len(r.snapshot.Prompts) == 0 {
		return flight.Prompt{}, false
	}
	p := r.snapshot.Prompts[0]
	return p, p.Open()
}

// prompt is the one that the keys mean: the marked one, else the first.
func (r *Root) prompt() (flight.Prompt, bool) {
	if id := r.marked().Prompt; id != "" {
		for _, p := range r.snapshot.Prompts {
			if p.ID == id && p.Open() {
				return p, true
			}
		}
	}
	return r.first()
}

// marked is what the pilot marked on the screen in front.
func (r *Root) marked() screen.Marked {
	front := r.screen(r.front)
	if front == nil || r.covered() {
		return screen.Marked{}
	}
	return front.Marked(r.snapshot)
}

func (r *Root) unmark() {
	if front := r.screen(r.front); front != nil {
		front.Unmark()
	}
}

// choices are what can be done with what is marked; where nothing can be recorded, only what changes what is shown.
func (r *Root) choices() []screen.Choice {
	front := r.screen(r.front)
	if front == nil || r.covered() {
		return nil
	}
	choices := front.Choices(r.snapshot)
	if !r.mode.records {
		choices = slices.DeleteFunc(choices, func(c screen.Choice) bool { return !c.Shows })
	}
	return choices
}

func (r *Root) withPrompt(done string, intent func(flight.Prompt) screen.Intent) {
	if p, ok := r.unhurried(done); ok {
		r.unmark()
		r.fulfil([]screen.Intent{intent(p)})
	}
}

// haste is how long after the prompt that the keys mean has become another a key is taken to have been meant for the one before.
const haste = time.Second

// done answers the prompt that the keys mean.
func (r *Root) done() {
	if p, ok := r.unhurried("done"); ok {
		r.unmark()
		r.answer(p)
	}
}

// unhurried is the prompt that the keys mean, unless it has just come first: then it is said what to do if the key was meant.
func (r *Root) unhurried(word string) (p flight.Prompt, ok bool) {
	if p, ok = r.prompt(); !ok {
		return p, false
	}
	if first, _ := r.first(); first.ID == p.ID && r.clock.Wall().Sub(r.changed) < haste {
		r.said = fmt.Sprintf("%q has just come first: press again if it is %s", p.Text, word)
		return p, false
	}
	return p, true
}

// answer records what a prompt asks for; long before its time only after a yes, as of when it was pressed.
func (r *Root) answer(p flight.Prompt) {
	r.recordAsking(p.Answer.Event(), func() question {
		at := slices.IndexFunc(r.snapshot.Prompts, func(now flight.Prompt) bool { return now.ID == p.ID && now.Hasty })
		if at < 0 {
			return question{}
		}
		now := &r.snapshot.Prompts[at]
		return question{text: fmt.Sprintf("%q is not due before %s. Is it done already?", now.Text, say.Time(now.Due)), of: "hasty"}
	})
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

// tank selects the marked tank, else that of the next change, else the other of two, else asks which.
func (r *Root) tank() {
	tanks, marked := r.snapshot.Tanks, r.marked().Tank
	wanted := screen.SelectTank
	switch {
	case marked != "" && marked == tanks.Selected:
		r.said = marked + " is selected already"
	case marked != "":
		r.unmark()
		r.fulfil([]screen.Intent{wanted(marked)})
	case tanks.NextChange != nil:
		r.fulfil([]screen.Intent{wanted(tanks.NextChange.To)})
	case len(tanks.Tanks) == 2 && tanks.Selected != "":
		other := tanks.Tanks[0].Name
		if other == tanks.Selected {
			other = tanks.Tanks[1].Name
		}
		r.fulfil([]screen.Intent{wanted(other)})
	default:
		r.fulfil([]screen.Intent{screen.Ask{Text: "tank "}})
	}
}

// askEarlier asks when the next act was.
func (r *Root) askEarlier() {
	r.fulfil([]screen.Intent{screen.Ask{
		Label: "when was it: 10:42, 10:42:30, 2 min ago", Accept: "take that time",
		Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
			at, err := entry.When(line, s.At)
			if err != nil {
				return nil, err
			}
			return []screen.Intent{screen.Backdate{At: at}}, nil
		},
	}})
}

// askClock asks what the flight clock is to read.
func (r *Root) askClock() {
	r.fulfil([]screen.Intent{screen.Ask{
		Label: "the flight clock reads now, 10:42 or 10:42:30", Accept: "set the clock",
		Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
			at, err := entry.When(line, s.At)
			if err != nil {
				return nil, err
			}
			return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Clock, Set: &at}}}, nil
		},
	}})
}

// rates are those that the keys go through.
var rates = []float64{0.5, 1, 2, 4, 8, 16, 30, 60}

// rate makes the clock run at the next rate above or, negative, below its own, within what it can do.
func (r *Root) rate(by int) {
	now := r.clock.Setting().Rate
	next := now
	for _, rate := range rates {
		if by > 0 && rate > now && rate <= r.clock.MaxRate() {
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

func (r *Root) nextTheme() {
	names := theme.Names()
	for i, name := range names {
		if name == r.light {
			r.light = names[(i+1)%len(names)]
			break
		}
	}
	if look, err := theme.Named(r.light, r.profile); err == nil {
		look.ASCII = r.theme.ASCII
		r.theme = look
	}
	r.said = "light: " + r.light
}

func (r *Root) bell() {
	r.silent = !r.silent
	r.said = "the bell is on"
	if r.silent {
		r.said = "the bell is off"
	}
}

// read opens what is only read, or closes it with the same key.
func (r *Root) read(name screen.Name) {
	if r.front == name {
		name = r.behind
	}
	r.open(name)
}

func (r *Root) changeHands() {
	hands := "off"
	if r.handsOff {
		hands = "on"
	}
	r.record(flight.Event{Act: flight.Hands, Hands: hands})
}

// close drops what is half done: a time for the next act, then a mark, then the help, then another screen; on the flying screen what presses is
// put away as far as it covers something.
func (r *Root) close() {
	switch {
	case r.earlier != nil:
		r.earlier = nil
	case r.marked().Row:
		r.unmark()
	case isRead(r.front):
		r.open(r.behind)
	case r.front == screen.Flying && r.toBeRead():
		r.readWhole()
	default:
		r.open(screen.Flying)
	}
}

// quit asks while a flight is going on, and while some of it is not on disk.
func (r *Root) quit() tea.Cmd {
	phase := r.snapshot.Phase
	if r.storage.Kept > 0 {
		r.asked = &asked{question: question{text: "Quit while " + say.Counted(r.storage.Kept, "entry is", "entries are") + " not on disk?"}, quits: true}
		return nil
	}
	if !r.mode.records || phase == flight.BeforeStart || phase == flight.Arrived {
		return tea.Quit
	}
	r.asked = &asked{question: question{text: "Quit during the flight? It is recorded and can be resumed."}, quits: true}
	return nil
}

// menu is what can be done with what is marked, opened by enter.
type menu struct {
	keys    keys.Menu
	choices []screen.Choice
	at      int
}

// openChoices opens what can be done with what is marked. The only choice that there is, if it is asked about anyway, is taken at once.
func (r *Root) openChoices() {
	choices := r.choices()
	if len(choices) == 1 {
		if does := choices[0].Does(); slices.ContainsFunc(does, r.asksFirstOf) {
			r.fulfil(does)
			return
		}
	}
	r.menu = newMenu(choices)
}

// asksFirstOf reports whether what is wanted is asked about before it is recorded.
func (r *Root) asksFirstOf(intent screen.Intent) bool {
	record, records := intent.(screen.Record)
	return records && r.asksFirst(record.Event).text != ""
}

func newMenu(choices []screen.Choice) *menu { return &menu{keys: keys.NewMenu(), choices: choices} }

// choosing hands a key to the open choices. One that is none of theirs closes them and does its own.
func (r *Root) choosing(msg tea.KeyMsg) bool {
	m := r.menu
	if m == nil {
		return false
	}
	last := len(m.choices) - 1
	switch {
	case key.Matches(msg, m.keys.Up):
		m.at = max(0, m.at-1)
	case key.Matches(msg, m.keys.Down):
		m.at = min(m.at+1, last)
	case key.Matches(msg, m.keys.Accept):
		r.menu = nil
		chosen := m.choices[m.at]
		r.fulfil(chosen.Does())
	case key.Matches(msg, m.keys.Cancel):
		r.menu = nil
	default:
		r.menu = nil
		return false
	}
	return true
}
