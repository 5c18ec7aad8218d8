package drill

import (
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/terminal"
)

// rig is a screen on a desk: its clock stands until it is turned, what it keeps is a list.
type rig struct {
	*Model
	t        require.TestingT
	passed   time.Duration
	attempts []drill.Attempt
	full     error // why nothing can be kept
	effect   terminal.Effect
}

var evening = time.Date(2026, 6, 15, 18, 0, 0, 0, time.UTC)

func newRig(t require.TestingT, change func(*Options)) *rig {
	r := &rig{t: t}
	options := Options{
		Record: func(a drill.Attempt) error {
			if r.full == nil {
				r.attempts = append(r.attempts, a)
			}
			return r.full
		},
		Now:     func() time.Time { return evening.Add(r.passed) },
		Elapsed: func() time.Duration { return r.passed },
		Seed:    1, Theme: "plain", Profile: termenv.Ascii,
	}
	if change != nil {
		change(&options)
	}
	model, err := New(options)
	require.NoError(t, err)
	r.Model = model
	return r
}

// keys presses keys; words in angle brackets are keys by name.
func (r *rig) keys(text string) {
	named := map[string]tea.KeyMsg{
		"enter": {Type: tea.KeyEnter}, "esc": {Type: tea.KeyEsc}, "up": {Type: tea.KeyUp}, "down": {Type: tea.KeyDown},
		"left": {Type: tea.KeyLeft}, "right": {Type: tea.KeyRight}, "back": {Type: tea.KeyBackspace}, "erase": {Type: tea.KeyCtrlU},
		"end": {Type: tea.KeyEnd}, "home": {Type: tea.KeyHome}, "pgdown": {Type: tea.KeyPgDown}, "pgup": {Type: tea.KeyPgUp},
		"interrupt": {Type: tea.KeyCtrlC}, "space": {Type: tea.KeySpace, Runes: []rune{' '}},
	}
	for text != "" {
		if name, rest, ok := strings.Cut(strings.TrimPrefix(text, "<"), ">"); ok && text[0] == '<' {
			message, known := named[name]
			require.True(r.t, known, name)
			r.effect = r.Update(message)
			text = rest
			continue
		}
		r.effect = r.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{[]rune(text)[0]}})
		text = text[len(string([]rune(text)[0])):]
	}
}

// bindings are what can be pressed in the mode in front.
func (r *rig) bindings() []key.Binding {
	k := r.Model.keys
	always := []key.Binding{k.back, k.end}
	switch r.mode {
	case choosing:
		return append(always, k.list.Up, k.list.Down, k.list.Top, k.list.Bottom, k.lower, k.higher, k.begin, k.standing, k.light)
	case asking:
		return []key.Binding{k.answer, k.giveUp, k.erase, k.back}
	case marked:
		return append(always, k.next, k.standing, k.light)
	case standing:
		return append(append(always, k.list.All()...), k.light)
	}
	return append(always, k.watch)
}

// wait lets time pass and ticks once.
func (r *rig) wait(by time.Duration) {
	r.passed += by
	r.effect = r.Update(terminal.Tick{At: evening.Add(r.passed)})
}

// shown is the screen as text.
func (r *rig) shown(width, height int) string {
	return strings.Join(screentest.Bare(r.Rows(width, height)), "\n")
}
