package screentest

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/pattern"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

var update = flag.Bool("update", false, "write the golden frames anew; look at every difference before you keep it")

// Updating reports whether golden files are to be written anew.
func Updating() bool { return *update }

// Bare is rows without their looks.
func Bare(rows []string) []string {
	bare := make([]string, len(rows))
	for i, row := range rows {
		bare[i] = ansi.Strip(row)
	}
	return bare
}

var look = pattern.Of("\x1b\\[([0-9;]*)m")

// Looks are the looks of rows in the sixteen colours: a line for each row in which anything looks other than the page, which is how the first cell
// of all looks, with the cells from and to and the codes of ECMA-48 that are in force there.
func Looks(rows []string) []string {
	var looks []string
	page := ""
	for y, row := range rows {
		var runs []string
		now, x, before := codes{}, 0, 0
		for _, at := range append(look().FindAllStringSubmatchIndex(row, -1), []int{len(row), len(row), len(row), len(row)}) {
			if cells := frame.Width(row[before:at[0]]); cells > 0 {
				state := now.String()
				if y == 0 && x == 0 {
					page = state
				}
				if state != page {
					runs = append(runs, fmt.Sprintf("%d-%d %s", x+1, x+cells, state))
				}
				x += cells
			}
			now.take(row[at[2]:at[3]])
			before = at[1]
		}
		if len(runs) > 0 {
			looks = append(looks, fmt.Sprintf("%d: %s", y+1, strings.Join(runs, ", ")))
		}
	}
	return looks
}

// codes are those in force: weight, line, turned round, lettering and ground.
type codes [5]string

func (c *codes) take(list string) {
	for _, code := range strings.Split(list, ";") {
		switch {
		case code == "" || code == "0":
			*c = codes{}
		case code == "1" || code == "2":
			c[0] = code
		case code == "22":
			c[0] = ""
		case code == "4" || code == "24":
			c[1] = strings.TrimPrefix(code, "24")
		case code == "7" || code == "27":
			c[2] = strings.TrimPrefix(code, "27")
		case code == "39":
			c[3] = ""
		case code == "49":
			c[4] = ""
		case code[0] == '3' || code[0] == '9':
			c[3] = code
		default:
			c[4] = code
		}
	}
}

func (c codes) String() string {
	return strings.Join(slices.DeleteFunc(c[:], func(code string) bool { return code == "" }), ";")
}

// Golden compares frames of a screen at every moment and three sizes, without colour, with files in folder, and one in
// each theme that has colours. A folder is relative to the package: "../../testdata/frames/flying".
func Golden(t *testing.T, s screen.Screen, folder string) {
	t.Helper()
	sizes := []screen.Size{{Width: 80, Height: 20}, {Width: 120, Height: 32}, {Width: 200, Height: 56}}
	for _, moment := range Moments() {
		for _, size := range sizes {
			name := fmt.Sprintf("%s-%dx%d.txt", moment.Name, size.Width, size.Height)
			t.Run(name, func(t *testing.T) {
				RequireFrame(t, filepath.Join(folder, name), s.Rows(moment.Snapshot, size, uncoloured()))
			})
		}
	}
	for _, look := range []theme.Theme{theme.Terminal(termenv.ANSI), theme.Day(termenv.ANSI), theme.Dusk(termenv.ANSI)} {
		t.Run(look.Name, func(t *testing.T) {
			RequireFrame(t, filepath.Join(folder, "tank-late-80x20-"+look.Name+"-16.txt"), s.Rows(TankLate(), sizes[0], look))
		})
	}
}

// uncoloured is a theme without any role, so that a golden frame reads as it looks.
func uncoloured() theme.Theme { return theme.Theme{Name: "none"} }

// RequireFrame compares rows with a golden file, or writes it.
func RequireFrame(t *testing.T, path string, rows []string) {
	t.Helper()
	got := strings.Join(rows, "\n") + "\n"
	require.Equal(t, golden(t, path, got), got)
}

// golden is what a file holds; with -update, what it holds now that got is written to it.
func golden(t *testing.T, path, got string) string {
	t.Helper()
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return got
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run the test with -update to write it")
	return string(want)
}

// Exact checks that a screen fills every size from 1×1 to 200×60 to the cell. From size to size the moments, some with harsh
// text, take turns, and so do a theme with colours and one without.
func Exact(t *testing.T, s screen.Screen) {
	t.Helper()
	moments := append(Moments(), Moment{"harsh", Harsh()}, Moment{"empty", Empty()})
	themes := []theme.Theme{theme.Plain(), theme.Dusk(termenv.TrueColor)}
	turn := 0
	for width := 1; width <= 200; width++ {
		step := 1
		if width < 40 {
			step = 5
		}
		for height := 1 + width%step; height <= 60; height += step {
			turn++
			size := screen.Size{Width: width, Height: height}
			RequireExact(t, s.Rows(moments[turn%len(moments)].Snapshot, size, themes[turn%len(themes)]), size)
		}
	}
}

// RequireExact checks that rows fill a size to the cell.
func RequireExact(t *testing.T, rows []string, size screen.Size) {
	t.Helper()
	if len(rows) != size.Height {
		require.Failf(t, "wrong number of rows", "%d×%d: %d rows", size.Width, size.Height, len(rows))
	}
	for i, row := range rows {
		if frame.Width(row) != size.Width || strings.ContainsAny(row, "\n\r\t\a") {
			require.Failf(t, "broken row", "%d×%d, row %d is %d cells: %q", size.Width, size.Height, i, frame.Width(row), row)
		}
	}
}

// Press presses keys on a screen, one after the other, and gives all that they want. Keys are their characters, or the names of special ones; a word
// after a colon takes the choice that is called so in short, if there is one.
func Press(s screen.Screen, snapshot flight.Snapshot, keys ...string) (intents []screen.Intent) {
	special := map[string]tea.KeyType{
		"up": tea.KeyUp, "down": tea.KeyDown, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
		"left": tea.KeyLeft, "right": tea.KeyRight,
	}
	for _, name := range keys {
		if short, chosen := strings.CutPrefix(name, ":"); chosen {
			for _, choice := range s.Choices(snapshot) {
				if choice.Short == short {
					intents = append(intents, choice.Does()...)
				}
			}
			continue
		}
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
		if kind, ok := special[name]; ok {
			msg = tea.KeyMsg{Type: kind}
		}
		intents = append(intents, s.Press(msg, snapshot)...)
	}
	return intents
}
