package drill

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
)

// moments are what the screen shows, each prepared from the start.
func moments() map[string]func(r *rig) {
	live := func(r *rig) {
		r.keys("<home><down><enter>")
		r.tickNeedle(12 * time.Second)
		r.keys("<space>")
		r.tickNeedle(9 * time.Second)
	}
	answered := func(r *rig) {
		r.keys("<enter>")
		for i := range 12 {
			r.passed += time.Duration(20+i) * time.Second
			if i%3 == 0 {
				r.keys(r.wrong() + "<enter>n")
			} else {
				r.keys(r.right() + "<enter>n")
			}
		}
		r.keys("<esc>")
	}
	return map[string]func(r *rig){
		"choose": answered,
		"ask": func(r *rig) {
			r.keys("<down><down><down><right><right><enter>")
			r.wait(42 * time.Second)
			r.keys("10")
		},
		"wrong": func(r *rig) {
			r.keys("<down><down><down><down><down><down><right><right><right><enter>")
			r.keys(r.wrong() + "<enter>")
		},
		"right":    func(r *rig) { r.keys("<end><up><up><right><enter>"); r.keys(r.right() + "<enter>") },
		"show-me":  func(r *rig) { r.keys("<end><right><right><right><enter>?") },
		"standing": func(r *rig) { answered(r); r.keys("p") },
		"untried":  func(r *rig) { r.keys("p") },
		"live":     live,
	}
}

func TestGoldenFrames(t *testing.T) {
	for name, prepare := range moments() {
		for _, size := range []screen.Size{{Width: 80, Height: 24}, {Width: 120, Height: 36}, {Width: 160, Height: 48}} {
			file := fmt.Sprintf("%s-%dx%d.txt", name, size.Width, size.Height)
			t.Run(file, func(t *testing.T) {
				r := newRig(t, nil)
				prepare(r)
				screentest.RequireFrame(t, "../../testdata/frames/drill/"+file, screentest.Bare(r.Rows(size.Width, size.Height)))
			})
		}
	}
	t.Run("colour", func(t *testing.T) {
		r := newRig(t, func(o *Options) { o.Theme, o.Profile = "dusk", termenv.ANSI })
		moments()["wrong"](r)
		screentest.RequireFrame(t, "../../testdata/frames/drill/wrong-80x24-dusk-16.txt", r.Rows(80, 24))
	})
	t.Run("ascii", func(t *testing.T) {
		r := newRig(t, func(o *Options) { o.ASCII = true })
		moments()["live"](r)
		screentest.RequireFrame(t, "../../testdata/frames/drill/live-80x24-ascii.txt", screentest.Bare(r.Rows(80, 24)))
	})
}

// In ASCII the program's own signs are ASCII, whatever is in front.
func TestASCII(t *testing.T) {
	for name, prepare := range moments() {
		r := newRig(t, func(o *Options) { o.ASCII = true })
		prepare(r)
		for _, width := range []int{40, 80, 160} {
			require.NotRegexp(t, `[^\x00-\x7f]`, strings.Join(screentest.Bare(r.Rows(width, 30)), "\n"), name)
		}
	}
}

// Whatever is in front, at every size there are exactly as many rows as the terminal has, each exactly as wide.
func TestRowsFillEverySize(t *testing.T) {
	for name, prepare := range moments() {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, func(o *Options) { o.Theme, o.Profile = "dusk", termenv.TrueColor })
			prepare(r)
			for width := 1; width <= 200; width += 3 {
				for height := 1 + width%4; height <= 60; height += 4 {
					screentest.RequireExact(t, r.Rows(width, height), screen.Size{Width: width, Height: height})
				}
			}
		})
	}
}

// anyExercise is a drill that begins with an exercise of any topic and level.
func anyExercise(t *rapid.T) *rig {
	topic := rapid.SampledFrom(drill.Topics()).Draw(t, "topic")
	level := rapid.SampledFrom(drill.Levels()).Draw(t, "level")
	return newRig(t, func(o *Options) {
		o.Begin, o.Wish, o.Seed = true, drill.Wish{Topic: topic, Level: level}, rapid.Uint64Range(1, 1<<40).Draw(t, "seed")
	})
}

// Every exercise there is fills every size, whatever is typed and with its verdict; from 80×24 on nothing of the question or of the
// verdict is cut off.
func TestEveryExerciseFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyExercise(t)
		size := screen.Size{Width: rapid.IntRange(1, 200).Draw(t, "width"), Height: rapid.IntRange(1, 60).Draw(t, "height")}
		r.typed = rapid.String().Draw(t, "typed")
		requireExact(t, r.Rows(size.Width, size.Height), size)
		requireShown(t, r, r.exercise.Question)
		for _, given := range r.exercise.Given {
			requireShown(t, r, given.Text)
		}
		r.typed = ""
		r.keys(r.wrong() + "<enter>")
		requireExact(t, r.Rows(size.Width, size.Height), size)
		for _, text := range append(r.exercise.Comment(r.verdict), r.exercise.Steps...) {
			requireShown(t, r, text)
		}
	})
}

// In a window however small the verdict and what is right stand first, and every word of what is given, asked and worked out can be read: by moving.
func TestEveryExerciseCanBeReadInASmallWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyExercise(t)
		size := tea.WindowSizeMsg{Width: rapid.IntRange(40, 80).Draw(t, "width"), Height: rapid.IntRange(10, 24).Draw(t, "height")}
		r.Update(size)
		require.Contains(t, r.shown(size.Width, size.Height), "such as "+r.exercise.Form.Example())
		all := r.readAll(size)
		require.Contains(t, all, joined(r.exercise.Question))
		for _, given := range r.exercise.Given {
			require.Contains(t, all, joined(given.Text))
		}
		r.keys(r.wrong() + "<enter>")
		first := joined(r.shown(size.Width, size.Height))
		require.Contains(t, first, "WRONG")
		require.Contains(t, first, joined(frame.Wrap(r.exercise.Comment(r.verdict)[0], size.Width-4)[0]))
		all = r.readAll(size)
		for _, text := range append(append(r.exercise.Comment(r.verdict), r.exercise.Question), r.exercise.Steps...) {
			require.Contains(t, all, joined(text))
		}
	})
}

// joined is a text without what may stand between its words.
func joined(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(text, "│", " ")), "")
}

// readAll is a question read from its first row to its last.
func (r *rig) readAll(size tea.WindowSizeMsg) string {
	const most = 200
	front := func() []string { return screentest.Bare(r.Rows(size.Width, size.Height))[1 : size.Height-2] }
	r.readOn(-most)
	read := front()
	for range most {
		before := front()
		if !strings.Contains(before[len(before)-1], "more below") {
			break
		}
		r.keys("<down>")
		after := front()
		read = append(read[:len(read)-1], after[len(after)-2:]...)
	}
	return joined(strings.Join(read, "\n"))
}

// requireShown looks for a text, as it may be wrapped, on the smallest screen that has to show everything.
func requireShown(t *rapid.T, r *rig, text string) {
	require.Contains(t, joined(r.shown(80, 24)), joined(text))
}

func requireExact(t *rapid.T, rows []string, size screen.Size) {
	require.Len(t, rows, size.Height)
	for _, row := range rows {
		require.Equal(t, size.Width, frame.Width(row), "%q", row)
	}
}
