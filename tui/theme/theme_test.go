package theme

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/frame"
)

// roles lists a theme's roles by field name.
func roles(t Theme) map[string]Role {
	found := map[string]Role{}
	value := reflect.ValueOf(t)
	for i := range value.NumField() {
		if field := value.Type().Field(i); field.Type == reflect.TypeFor[Role]() && field.IsExported() {
			found[field.Name] = value.Field(i).Interface().(Role)
		}
	}
	return found
}

// states are the roles whose difference a pilot must see.
var states = []string{"Value", "NextAct", "Due", "Late", "Selected"}

func TestStatesDiffer(t *testing.T) {
	for _, name := range Names() {
		for _, profile := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
			theme, err := Named(name, profile)
			require.NoError(t, err)
			seen := map[string]string{}
			for _, state := range states {
				look := after(theme.page.On() + roles(theme)[state].On())
				if state == "Selected" && (name == "plain" || profile == termenv.Ascii) {
					continue // no fifth look is left; it has its mark
				}
				assert.Empty(t, seen[look], "%s, profile %d: %s looks like %s", theme.Name, profile, state, seen[look])
				seen[look] = state
			}
		}
	}
}

// While all is well there is no colour beside the page's.
func TestWhatIsWellHasNoColour(t *testing.T) {
	for _, theme := range []Theme{Terminal(termenv.TrueColor), Day(termenv.TrueColor), Dusk(termenv.TrueColor)} {
		for _, role := range []Role{theme.Value, theme.Estimate, theme.Good, theme.Coming} {
			assert.Equal(t, Role{}, role, theme.Name)
		}
	}
	for name, role := range roles(Terminal(termenv.TrueColor)) {
		if !slices.Contains([]string{"NextAct", "Due", "Late", "Caution", "Warning"}, name) {
			assert.NotContains(t, role.On(), ";2;", "%s has the terminal's own colours", name)
		}
	}
}

var (
	sequences = regexp.MustCompile(`\x1b\[([0-9;]*)m`)
	codes     = regexp.MustCompile(`[34]8;2;\d+;\d+;\d+|[34]8;5;\d+|\d+`)
)

func TestNoColour(t *testing.T) {
	for _, theme := range []Theme{Plain(), Terminal(termenv.Ascii), Day(termenv.Ascii), Dusk(termenv.Ascii)} {
		for name, role := range roles(theme) {
			for _, match := range sequences.FindAllStringSubmatch(role.Render("x"), -1) {
				for _, code := range strings.Split(match[1], ";") {
					assert.Contains(t, []string{"1", "2", "4", "7", "22", "24", "27"}, code, "%s %s", theme.Name, name)
				}
			}
		}
		assert.Equal(t, []string{"row"}, theme.Page([]string{"row"}))
	}
}

func TestSixteenColoursOnly(t *testing.T) {
	for _, theme := range []Theme{Terminal(termenv.ANSI), Day(termenv.ANSI), Dusk(termenv.ANSI)} {
		for name, role := range roles(theme) {
			for _, match := range sequences.FindAllStringSubmatch(role.On(), -1) {
				for _, code := range strings.Split(match[1], ";") {
					assert.NotContains(t, []string{"38", "48"}, code, "%s %s", theme.Name, name)
				}
			}
		}
	}
}

// Every cell has the page's ground: a role sets back what it changed, and a row ends in the terminal's own colours.
func TestPage(t *testing.T) {
	theme := Day(termenv.ANSI)
	row := theme.Page([]string{theme.Due.Render("due") + " " + theme.Key.Render("p")})[0]
	assert.Equal(t, "\x1b[30;107m\x1b[43mdue\x1b[107m \x1b[34mp\x1b[30m\x1b[m", row)

	for _, theme := range []Theme{Terminal(termenv.TrueColor), Terminal(termenv.ANSI), Day(termenv.TrueColor), Dusk(termenv.ANSI), Dusk(termenv.ANSI256), Plain()} {
		for name, role := range roles(theme) {
			assert.Equal(t, after(theme.page.On()), after(theme.page.On()+role.Render("x")), "%s %s", theme.Name, name)
			assert.Equal(t, len("x rest"), frame.Width(theme.Page([]string{role.Render("x") + " rest"})[0]))
		}
	}
}

// after returns the shortest sequence that leaves a terminal as text does.
func after(text string) string {
	state := map[string]string{}
	for _, match := range sequences.FindAllStringSubmatch(text, -1) {
		for _, code := range codes.FindAllString(match[1], -1) {
			switch {
			case code == "22" || code == "24" || code == "27":
				delete(state, code)
			case code == "39":
				delete(state, "fore")
			case code == "49":
				delete(state, "back")
			case code == "1" || code == "2":
				state["22"] = code
			case code == "4" || code == "7":
				state["2"+code] = code
			case strings.HasPrefix(code, "4") || strings.HasPrefix(code, "10"):
				state["back"] = code
			default:
				state["fore"] = code
			}
		}
	}
	if len(state) == 0 {
		return ""
	}
	var parts []string
	for _, key := range []string{"22", "24", "27", "fore", "back"} {
		if state[key] != "" {
			parts = append(parts, state[key])
		}
	}
	return "\x1b[" + strings.Join(parts, ";") + "m"
}

func TestBoldDoesNotBleach(t *testing.T) {
	for name, role := range roles(Day(termenv.ANSI)) {
		if strings.Contains(role.On(), "[1;") || strings.Contains(role.On(), "[1m") {
			assert.Regexp(t, `;97[;m]`, role.On(), "%s is bold, so it must be white on a colour", name)
		}
	}
	assert.Contains(t, Day(termenv.ANSI).Late.On(), "1;97")
	assert.Contains(t, Day(termenv.TrueColor).Title.On(), "[1m")
}

// Contrast as the W3C recommendation WCAG 2.2 defines it: at least 4.5:1 for text by success criterion 1.4.3, 3:1 for what is no text, lines
// here, by 1.4.11. Where the ground is the terminal's own, only the roles that bring one along can be held to it.
func TestLetteringCanBeRead(t *testing.T) {
	for _, theme := range []Theme{Terminal(termenv.TrueColor), Day(termenv.TrueColor), Dusk(termenv.TrueColor)} {
		held := 0
		for name, role := range roles(theme) {
			look := after(theme.page.On() + role.On())
			if theme.page == (Role{}) && !strings.Contains(look, "48;2;") {
				continue
			}
			held++
			fore, back := colours(t, look)
			least := 4.5
			if name == "Frame" {
				least = 3
			}
			assert.GreaterOrEqual(t, contrast(fore, back), least, "%s %s", theme.Name, name)
		}
		assert.GreaterOrEqual(t, held, 5, theme.Name)
	}
}

// States are told apart without seeing hues: by 3:1 at least, success criterion 1.4.11 of WCAG 2.2. What is due and what is late are told from each
// other by how light their grounds are; either is told from the page by its ground, or by its line, which belongs to neither the page nor what is
// well, against its own ground. The terminal's own ground can be any: every grey is tried, and some well-known tints (from memory).
func TestStatesAreToldApartWithoutHues(t *testing.T) {
	black, white := [3]float64{}, [3]float64{1, 1, 1}
	grounds := [][3]float64{{0.16, 0.17, 0.21}, {0, 0.17, 0.21}, {0.99, 0.96, 0.89}, {0.19, 0.04, 0.14}}
	for grey := range 256 {
		level := float64(grey) / 255
		grounds = append(grounds, [3]float64{level, level, level})
	}
	for _, theme := range []Theme{Terminal(termenv.TrueColor), Day(termenv.TrueColor), Dusk(termenv.TrueColor)} {
		pages := grounds
		if theme.page != (Role{}) {
			_, page := colours(t, after(theme.page.On()))
			pages = [][3]float64{page}
		}
		for _, pair := range [][2]Role{{theme.Due, theme.Late}, {theme.Caution, theme.Warning}} {
			var fills [2][3]float64
			for i, role := range pair {
				look := after(theme.page.On() + role.On())
				var line [3]float64
				line, fills[i] = colours(t, look)
				assert.GreaterOrEqual(t, contrast(line, fills[i]), 4.5, "%s: its text", theme.Name)
				lined := strings.Contains(look, "[4;") || strings.Contains(look, ";4;")
				for _, page := range pages {
					byFill := contrast(page, fills[i])
					byLine := 1.0
					if lined {
						byLine = contrast(line, fills[i])
						if page == black || page == white { // it stands out from the page too, or the ground does
							byLine = contrast(line, page)
						}
					}
					assert.GreaterOrEqual(t, max(byFill, byLine), 3.0, "%s on %v: %q", theme.Name, page, look)
				}
			}
			assert.GreaterOrEqual(t, contrast(fills[0], fills[1]), 3.0, "%s: due and late", theme.Name)
		}
	}
	for name, role := range roles(Terminal(termenv.TrueColor)) { // the line means nothing else
		if !slices.Contains([]string{"Due", "Late", "Caution", "Warning", "Entry"}, name) {
			assert.NotRegexp(t, `[[;]4[;m]`, role.On(), name)
		}
	}
}

// Dusk is for eyes used to the dark, whose rods hardly see red (common practice, no source): more red than green, little
// blue, nothing bright but the lettering of what is late.
func TestDuskSparesTheDarkAdaptedEye(t *testing.T) {
	theme := Dusk(termenv.TrueColor)
	for name, role := range roles(theme) {
		fore, back := colours(t, after(theme.page.On()+role.On()))
		for _, c := range [][3]float64{fore, back} {
			if c == fore && (name == "Late" || name == "Warning") {
				continue
			}
			assert.LessOrEqual(t, c[1], 0.75*c[0], "%s: green", name)
			assert.LessOrEqual(t, c[2], 0.34*c[0], "%s: blue", name)
			assert.LessOrEqual(t, luminance(c), 0.45, "%s: brightness", name)
		}
	}
}

// colours reads the 24-bit foreground and background of a sequence, each channel 0 to 1.
func colours(t *testing.T, sequence string) (fore, back [3]float64) {
	t.Helper()
	match := regexp.MustCompile(`38;2;(\d+);(\d+);(\d+);48;2;(\d+);(\d+);(\d+)m`).FindStringSubmatch(sequence)
	require.NotNil(t, match, "%q", sequence)
	for i := range 3 {
		for j, channel := range []*float64{&fore[i], &back[i]} {
			value, err := strconv.Atoi(match[1+i+3*j])
			require.NoError(t, err)
			*channel = float64(value) / 255
		}
	}
	return fore, back
}

// luminance and contrast follow the definitions of relative luminance and contrast ratio in WCAG 2.2.
func luminance(c [3]float64) float64 {
	linear := func(v float64) float64 {
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}

func contrast(a, b [3]float64) float64 {
	high, low := luminance(a), luminance(b)
	if high < low {
		high, low = low, high
	}
	return (high + 0.05) / (low + 0.05)
}

func TestNamed(t *testing.T) {
	for _, name := range Names() {
		for _, profile := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.TrueColor} {
			theme, err := Named(name, profile)
			require.NoError(t, err)
			assert.Equal(t, name, theme.Name)
		}
	}
	_, err := Named("night", termenv.ANSI)
	assert.EqualError(t, err, `unknown theme "night"; there are terminal, day, dusk, plain`)
}

func BenchmarkRender(b *testing.B) {
	role := Day(termenv.TrueColor).Due
	for b.Loop() {
		_ = role.Render("09:43:50")
	}
}

func ExampleRole_Render() {
	fmt.Printf("%q\n", Plain().NextAct.Render("turn 093"))
	// Output: "\x1b[1;4mturn 093\x1b[22;24m"
}
