package drill

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// keyMap are the keys of every mode.
type keyMap struct {
	list                              keys.List
	lower, higher                     key.Binding // level
	begin, standing, light, back, end key.Binding
	answer, erase, giveUp             key.Binding
	next, watch                       key.Binding
}

func newKeys() keyMap {
	return keyMap{
		list:     keys.NewList(),
		lower:    keys.New("easier", "left"),
		higher:   keys.New("harder", "right"),
		begin:    keys.New("begin", "enter", " "),
		standing: keys.New("how you stand", "p"),
		light:    keys.New("light", "l"),
		back:     keys.New("topics", "esc"),
		end:      keys.New("quit", "q", "ctrl+c"),
		answer:   keys.New("answer", "enter"),
		erase:    keys.New("erase the line", "ctrl+u"),
		giveUp:   keys.New("show me", "?"),
		next:     keys.New("next", "enter", " ", "n"),
		watch:    keys.New("stopwatch", " ", "enter"),
	}
}

// shown lists the keys of the mode that is in front, in few words.
func (m *Model) shown() []key.Binding {
	k := m.keys
	move := func(does string) key.Binding { return said(k.list.Up, "up down", does) }
	switch m.mode {
	case choosing:
		return []key.Binding{
			said(k.begin, "enter", "begin"), move("topic"), said(k.lower, "left right", "level"), k.standing, k.light, said(k.end, "q", "quit"),
		}
	case asking:
		return []key.Binding{k.answer, k.giveUp, k.erase, k.back}
	case marked:
		return []key.Binding{said(k.next, "enter", "next"), k.back, k.standing, k.light, said(k.end, "q", "quit")}
	case standing:
		return []key.Binding{move("move"), k.back, k.light, said(k.end, "q", "quit")}
	case timing:
		return []key.Binding{said(k.watch, "space", "stopwatch"), k.back, said(k.end, "q", "quit")}
	}
	return nil
}

// said is a binding with other words for it.
func said(binding key.Binding, name, does string) key.Binding {
	binding.SetHelp(name, does)
	return binding
}

// press routes a key by mode.
func (m *Model) press(msg tea.KeyMsg) terminal.Effect {
	if m.mode == asking {
		return m.write(msg)
	}
	switch {
	case key.Matches(msg, m.keys.end):
		return terminal.Effect{Command: tea.Quit}
	case key.Matches(msg, m.keys.light) && m.mode != timing:
		m.nextTheme()
	case key.Matches(msg, m.keys.standing) && (m.mode == choosing || m.mode == marked):
		m.begin(standing)
	case key.Matches(msg, m.keys.back):
		m.waiting = nil
		m.begin(choosing)
	default:
		return m.pressIn(msg)
	}
	return terminal.Effect{Redraw: true}
}

// pressIn takes the keys that mean something in one mode only.
func (m *Model) pressIn(msg tea.KeyMsg) terminal.Effect {
	switch m.mode {
	case choosing:
		return m.choose(msg)
	case marked:
		if key.Matches(msg, m.keys.next) {
			return m.next()
		}
	case standing:
		m.scrollBy(msg)
	case timing:
		return m.stopwatch(msg)
	}
	return terminal.Effect{Redraw: true}
}

// nextTheme turns to the next light.
func (m *Model) nextTheme() {
	names := theme.Names()
	next := names[(slices.Index(names, m.Theme)+1)%len(names)]
	if err := m.dress(next); err != nil {
		m.said = err.Error()
	}
}

// longestAnswer is more than any answer needs.
const longestAnswer = 24

// write edits the answer line.
func (m *Model) write(msg tea.KeyMsg) terminal.Effect {
	runes := []rune(m.typed)
	switch {
	case key.Matches(msg, m.keys.back):
		m.waiting = nil
		m.begin(choosing)
	case msg.Type == tea.KeyCtrlC:
		return terminal.Effect{Command: tea.Quit}
	case key.Matches(msg, m.keys.giveUp):
		return m.mark("")
	case key.Matches(msg, m.keys.answer):
		if m.typed == "" {
			m.said = "type an answer, or ? for the worked answer"
			break
		}
		return m.mark(m.typed)
	case key.Matches(msg, m.keys.erase):
		m.typed = ""
	case msg.Type == tea.KeyBackspace && len(runes) > 0:
		m.typed = string(runes[:len(runes)-1])
	case msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace:
		runes = append(runes, msg.Runes...)
		m.typed = string(runes[:min(len(runes), longestAnswer)])
	}
	return terminal.Effect{Redraw: true}
}

// choose moves in the list of topics, changes the level, or begins.
func (m *Model) choose(msg tea.KeyMsg) terminal.Effect {
	switch {
	case key.Matches(msg, m.keys.list.Up):
		m.choice = max(m.choice-1, 0)
	case key.Matches(msg, m.keys.list.Down):
		m.choice = min(m.choice+1, len(choices())-1)
	case key.Matches(msg, m.keys.list.Top):
		m.choice = 0
	case key.Matches(msg, m.keys.list.Bottom):
		m.choice = len(choices()) - 1
	case key.Matches(msg, m.keys.lower):
		m.Wish.Level = max(m.Wish.Level-1, 0)
	case key.Matches(msg, m.keys.higher):
		m.Wish.Level = min(m.Wish.Level+1, drill.Several)
	case key.Matches(msg, m.keys.begin):
		return m.start(choices()[m.choice])
	}
	return terminal.Effect{Redraw: true}
}

// start begins with what was chosen.
func (m *Model) start(c choice) terminal.Effect {
	m.waiting, m.live.flown, m.run = nil, false, 0
	if c.live {
		return m.startLive()
	}
	m.Wish.Topic = c.topic
	return m.next()
}

func (m *Model) scrollBy(msg tea.KeyMsg) {
	const page = 10
	last := max(len(m.tried())-1, 0)
	switch {
	case key.Matches(msg, m.keys.list.Up):
		m.scroll = max(m.scroll-1, 0)
	case key.Matches(msg, m.keys.list.Down):
		m.scroll = min(m.scroll+1, last)
	case key.Matches(msg, m.keys.list.PageUp):
		m.scroll = max(m.scroll-page, 0)
	case key.Matches(msg, m.keys.list.PageDown):
		m.scroll = min(m.scroll+page, last)
	case key.Matches(msg, m.keys.list.Top):
		m.scroll = 0
	case key.Matches(msg, m.keys.list.Bottom):
		m.scroll = last
	}
}
