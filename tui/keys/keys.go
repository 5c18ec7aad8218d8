// Package keys is the table of every key of the full screen, each with the words that help, the key rows and docs/keys.md are made from.
//
// A scope is where a key is looked for: the entry line while it is open, else the question that waits for yes or no, else the choices that enter
// opened, else what stands below the screens of a flight that is only shown, else Global, else List and the cockpit's own. One letter means one
// thing on every screen; arrows mark, and enter opens what can be done with what is marked. There is no key with Alt, and Esc only ever closes.
package keys

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/tui/screen"
)

// Global are the keys that work on every screen.
type Global struct {
	// Acts of the flight: one key each, recorded at the moment of the key.
	Done    key.Binding
	Passing key.Binding
	Tank    key.Binding
	Skip    key.Binding
	Later   key.Binding
	Yes     key.Binding // where a feed offers something
	No      key.Binding
	Undo    key.Binding

	// What needs words.
	Earlier key.Binding
	Entry   key.Binding
	Choices key.Binding

	// The flight clock.
	Slower key.Binding
	Faster key.Binding
	Pause  key.Binding
	Set    key.Binding

	// The screen.
	Screens []key.Binding // one per screen.Names, in that order
	Divert  key.Binding
	Papers  key.Binding
	Whole   key.Binding // what the kept row is too short for
	Theme   key.Binding
	Bell    key.Binding
	Hands   key.Binding
	Check   key.Binding
	Help    key.Binding
	Close   key.Binding
	Quit    key.Binding
}

// NewGlobal returns the global keys, all enabled.
func NewGlobal() Global {
	g := Global{
		Done:    New("first or marked prompt: done", " "),
		Passing: New("passing next or marked point", "p"),
		Tank:    New("tank changed, next or marked", "t"),
		Skip:    New("first or marked prompt: skip", "x"),
		Later:   New("ask again in 2 minutes", "z"),
		Yes:     New("yes: record what the feed shows", "y"),
		No:      New("no: it was not so", "n"),
		Undo:    New("undo the last entry", "u"),

		Earlier: New("it was earlier: time, then key", "b"),
		Entry:   New("enter: a letter, or any words", "e"),
		Choices: New("what can be done with the mark", "enter"),

		Slower: New("clock slower", "-"),
		Faster: New("clock faster", "+", "="),
		Pause:  New("pause or run the clock", "0"),
		Set:    New("set the clock", "c"),

		Divert: New("diversion: the alternates", "d"),
		Papers: New("papers: ATIS, clearance, cards", "r"),
		Whole:  New("what row 2 is too short for", "w"),
		Theme:  New("light: day, dusk, plain, own", "l"),
		Bell:   New("bell on or off", "m"),
		Hands:  New("hands on or off", "h"),
		Check:  New("quick check of ten figures", "k"),
		Help:   New("keys and what can be typed", "?", "f1"),
		Close:  New("close, drop the mark, back", "esc"),
		Quit:   New("quit", "q", "ctrl+c"),
	}
	for i, name := range screen.Names() {
		g.Screens = append(g.Screens, New(string(name), string(rune('1'+i))))
	}
	return g
}

// Acts are the keys that record.
func (g Global) Acts() []key.Binding { return values(g.acts()) }

// Clock are the keys of the flight clock.
func (g Global) Clock() []key.Binding { return values(g.clock()) }

// Screen are the keys that change only what is shown, and the way out.
func (g Global) Screen() []key.Binding { return values(g.screen()) }

// All are all of them.
func (g Global) All() []key.Binding { return values(g.all()) }

// Without is the same without the keys that others take before it.
func (g Global) Without(others []key.Binding) Global {
	g.Screens = slices.Clone(g.Screens)
	for _, own := range g.all() {
		if slices.ContainsFunc(others, func(other key.Binding) bool { return share(*own, other) }) {
			own.SetEnabled(false)
		}
	}
	return g
}

func (g *Global) acts() []*key.Binding {
	return []*key.Binding{&g.Done, &g.Passing, &g.Tank, &g.Skip, &g.Later, &g.Yes, &g.No, &g.Undo, &g.Earlier, &g.Entry, &g.Choices, &g.Check}
}

func (g *Global) clock() []*key.Binding {
	return []*key.Binding{&g.Slower, &g.Faster, &g.Pause, &g.Set}
}

func (g *Global) screen() []*key.Binding {
	var screens []*key.Binding
	for i := range g.Screens {
		screens = append(screens, &g.Screens[i])
	}
	return append(screens, &g.Divert, &g.Papers, &g.Whole, &g.Theme, &g.Bell, &g.Hands, &g.Help, &g.Close, &g.Quit)
}

func (g *Global) all() []*key.Binding { return slices.Concat(g.acts(), g.clock(), g.screen()) }

func values(bindings []*key.Binding) []key.Binding {
	list := make([]key.Binding, len(bindings))
	for i, binding := range bindings {
		list[i] = *binding
	}
	return list
}

func share(a, b key.Binding) bool {
	return slices.ContainsFunc(a.Keys(), func(name string) bool { return slices.Contains(b.Keys(), name) })
}

// Usable gives bindings, all enabled or all disabled; those given are changed.
func Usable(enabled bool, bindings []key.Binding) []key.Binding {
	for i := range bindings {
		bindings[i].SetEnabled(enabled)
	}
	return bindings
}

// Letter is what one letter on an empty entry line stands for.
type Letter struct {
	Letter rune
	Verb   string
	Does   string
}

// Letters are those that stand for what is entered most.
func Letters() []Letter {
	return []Letter{
		{'s', "steer", "steer: the heading you steer"},
		{'f', "fix", "fix: from a beacon or a place"},
		{'o', "off-track", "off track: how far"},
		{'g', "gauges", "gauges: what they show"},
		{'q', "qnh", "QNH: the altimeter setting"},
		{'i', "ias", "indicated airspeed, as read"},
		{'w', "wind", "wind: as reported to you"},
		{'n', "note", "note: a remark"},
	}
}

// letters are the same as bindings.
func letters() []key.Binding {
	var bindings []key.Binding
	for _, letter := range Letters() {
		bindings = append(bindings, New(letter.Does, string(letter.Letter)))
	}
	return bindings
}

// Question are the keys while something waits for a yes.
type Question struct{ Yes, No key.Binding }

// NewQuestion returns the keys of a question.
func NewQuestion() Question {
	return Question{Yes: New("yes", "y"), No: New("no", "n", "esc")}
}

// All are both of them.
func (q Question) All() []key.Binding { return []key.Binding{q.Yes, q.No} }

// Line are the keys of the entry line, beside typing.
type Line struct{ Accept, Cancel, Complete, Erase key.Binding }

// NewLine returns the keys of the entry line.
func NewLine() Line {
	return Line{
		Accept:   New("record it", "enter"),
		Cancel:   New("close, nothing recorded", "esc"),
		Complete: New("finish the word", "tab"),
		Erase:    New("erase the line", "ctrl+u"),
	}
}

// All are all of them.
func (l Line) All() []key.Binding { return []key.Binding{l.Accept, l.Cancel, l.Complete, l.Erase} }

// Menu are the keys while enter has opened what can be done.
type Menu struct{ Accept, Up, Down, Cancel key.Binding }

// NewMenu returns the keys of the choices.
func NewMenu() Menu {
	return Menu{Accept: New("do it", "enter"), Up: New("up", "up"), Down: New("down", "down"), Cancel: New("close, nothing done", "esc")}
}

// All are all of them.
func (m Menu) All() []key.Binding { return []key.Binding{m.Accept, m.Up, m.Down, m.Cancel} }

// List are the keys that move a mark, or what is in view.
type List struct{ Up, Down, PageUp, PageDown, Top, Bottom key.Binding }

// NewList returns the keys that move a mark.
func NewList() List {
	return List{
		Up:       New("up", "up"),
		Down:     New("down", "down"),
		PageUp:   New("page up", "pgup"),
		PageDown: New("page down", "pgdown"),
		Top:      New("first", "home"),
		Bottom:   New("last", "end"),
	}
}

// All are all of them.
func (l List) All() []key.Binding {
	return []key.Binding{l.Up, l.Down, l.PageUp, l.PageDown, l.Top, l.Bottom}
}

// Move is where a mark goes that stands at a row of a list up to last, by the key that was pressed; moved is false for one that moves nothing.
func (l List) Move(msg tea.KeyMsg, at, last, page int) (to int, moved bool) {
	for _, step := range []struct {
		key key.Binding
		to  int
	}{{l.Up, at - 1}, {l.Down, at + 1}, {l.PageUp, at - page}, {l.PageDown, at + page}, {l.Top, 0}, {l.Bottom, last}} {
		if key.Matches(msg, step.key) {
			return max(0, min(step.to, last)), true
		}
	}
	return at, false
}

// Fly are the keys that fly the aeroplane of a practice flight, in its cockpit.
type Fly struct{ Left, Right, SlightLeft, SlightRight, Climb, Descend key.Binding }

// NewFly returns the keys of the cockpit.
func NewFly() Fly {
	return Fly{
		Left:        New("5° to the left", "left"),
		Right:       New("5° to the right", "right"),
		SlightLeft:  New("1° to the left", ",", "<"),
		SlightRight: New("1° to the right", ".", ">"),
		Climb:       New("climb: 500 ft up", "up"),
		Descend:     New("descend: 500 ft down", "down"),
	}
}

// All are all of them.
func (f Fly) All() []key.Binding {
	return []key.Binding{f.Left, f.Right, f.SlightLeft, f.SlightRight, f.Climb, f.Descend}
}

// Replay are the keys of a flight that is replayed, which come before all others.
type Replay struct{ Play, Before, Next, StepBy, StepByBack, Jump, Remark, Hindsight, Ask key.Binding }

// NewReplay returns the keys of a replay.
func NewReplay() Replay {
	return Replay{
		Play:       New("play, pause", " "),
		Before:     New("before", "left"),
		Next:       New("next", "right"),
		StepBy:     New("step by", "tab"),
		StepByBack: New("step by, backwards", "shift+tab"),
		Jump:       New("jump to a time", "c"),
		Remark:     New("remark", "e"),
		Hindsight:  New("hindsight", "h"),
		Ask:        New("what now?", "a"),
	}
}

// All are all of them.
func (r Replay) All() []key.Binding {
	return []key.Binding{r.Play, r.Before, r.Next, r.StepBy, r.Jump, r.Remark, r.Hindsight, r.Ask, r.StepByBack}
}

// Section is the keys of one scope under a title, as the help screen and docs/keys.md show them.
type Section struct {
	Title string
	Keys  []key.Binding
}

// Live is the section without the keys that can't be used now.
func (s Section) Live() Section {
	live := Section{Title: s.Title}
	for _, binding := range s.Keys {
		if binding.Enabled() {
			live.Keys = append(live.Keys, binding)
		}
	}
	return live
}

// Sections are the root's own keys; a screen's come after them.
func Sections(g Global) []Section {
	return []Section{
		{"Recorded at the moment of the key", g.Acts()},
		{"The flight clock", g.Clock()},
		{"After e, a letter or any words", Usable(g.Entry.Enabled(), letters())},
		{"The screen", g.Screen()},
		{"While the entry line is open", NewLine().All()},
		{"While enter has opened the choices", NewMenu().All()},
		{"When something asks for a yes", NewQuestion().All()},
	}
}

// Markdown writes sections as the tables of the guide.
func Markdown(sections []Section) string {
	var b strings.Builder
	for _, section := range sections {
		fmt.Fprintf(&b, "\n## %s\n\n| key | does |\n|---|---|\n", section.Title)
		for _, binding := range section.Keys {
			help := binding.Help()
			fmt.Fprintf(&b, "| %s | %s |\n", code(help.Key), strings.ReplaceAll(help.Desc, "|", `\|`))
		}
	}
	return b.String()
}

// code sets each key of "q / ctrl-c" as code.
func code(engraved string) string {
	names := strings.Split(engraved, " / ")
	for i, name := range names {
		names[i] = "`" + strings.ReplaceAll(name, "|", `\|`) + "`"
	}
	return strings.Join(names, " ")
}

// New makes a binding whose help shows its keys as they are engraved: "q / ctrl-c".
func New(does string, names ...string) key.Binding {
	shown := make([]string, len(names))
	for i, name := range names {
		shown[i] = engraved(name)
	}
	return key.NewBinding(key.WithKeys(names...), key.WithHelp(strings.Join(shown, " / "), does))
}

// As is a binding under its first key alone, with other words.
func As(binding key.Binding, does string) key.Binding {
	binding.SetHelp(First(binding), does)
	return binding
}

// First is the first of a binding's keys as it is engraved.
func First(binding key.Binding) string {
	first, _, _ := strings.Cut(binding.Help().Key, " / ")
	return first
}

func engraved(name string) string {
	switch name {
	case " ":
		return "space"
	case "pgup":
		return "page up"
	case "pgdown":
		return "page down"
	case "ctrl+c", "ctrl+u", "ctrl+z":
		return "ctrl-" + name[len("ctrl+"):]
	case "shift+tab":
		return "shift-tab"
	case "f1":
		return "F1"
	default:
		return name
	}
}
