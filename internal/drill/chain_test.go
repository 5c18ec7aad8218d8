package drill

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// ofTheRules are the figures that belong to the rules themselves: minutes and seconds of the hour, one in sixty, two per cent and thousands
// of feet, the circle, feet in a mile and in a hectopascal, the standard atmosphere, factors of the rules for a descent.
var ofTheRules = []float64{2, 3, 5, 10, 60, 90, 100, 180, 360, 1000, 27, 1013.25, 273.15, 288.15, 6076, 1.1}

var shownFigure = regexp.MustCompile(`\d+:\d\d:\d\dZ?|\d+:\d\dZ?|\d+ h \d\d|\d+(?:\.\d+)?`)

// Every figure that is reckoned with is given, or stands in a line above, or belongs to the rule: none comes from nowhere, so that the
// whole working can be done again from what stands on the page. That each line comes out is TestEveryLineComesOutAsPrinted.
func TestNoFigureOfAWorkingComesFromNowhere(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		known := slices.Clone(ofTheRules)
		read := func(text string) {
			for _, figure := range shownFigure.FindAllString(text, -1) {
				known = append(known, figureOf(figure))
			}
		}
		for _, g := range e.Given {
			read(g.Name + " " + g.Text)
		}
		for _, step := range e.Steps {
			if left, _, sum := strings.Cut(step, " = "); sum {
				left = left[strings.LastIndex(left, ": ")+1:]
				for _, figure := range shownFigure.FindAllString(left, -1) {
					require.True(t, slices.ContainsFunc(known, func(other float64) bool { return math.Abs(other-figureOf(figure)) < 1e-9 }),
						"%s of %q: %q %q", figure, step, e.Given, e.Steps)
				}
			}
			read(step)
		}
	})
}

var (
	dotAbove = regexp.MustCompile(`wind side: (\d{3}) at the index, dot (\d+) kt above the centre; then (\d{3}) at the index, dot on the (\d+) kt arc: it lies (\d+)° ?(left|right)?, and the centre is at (\d+) kt`)
	dotBelow = regexp.MustCompile(`wind side: (\d{3}) at the index, dot (\d+) kt below the centre; then (\d{3}) at the index, the centre on the (\d+) kt arc: the dot lies (\d+)° ?(left|right)?, at (\d+) kt`)
	dotFound = regexp.MustCompile(`wind side: (\d{3}) at the index, the centre on the (\d+(?:\.\d+)?) kt arc, a dot where (\d+)° ?(left|right)? meets the (\d+(?:\.\d+)?) kt arc; turned until the dot stands below the centre: (\d{3}) at the index, (\d+) kt`)
)

// The wind side is turned and slid as the line says, on paper: arcs are circles about the foot of the grid, and a dot above the centre with
// the wind at the index stands, with another direction there, where the disc has taken it.
func TestTheWindSideComesOutAsPrinted(t *testing.T) {
	lines := map[string]int{}
	sided := func(degrees, side string) float64 {
		if side == "left" {
			return -figureOf(degrees)
		}
		return figureOf(degrees)
	}
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, step := range e.Steps {
			if !strings.HasPrefix(step, "wind side: ") {
				continue
			}
			// What the dot is off the centre: right and up, for a disc with the index at a direction.
			dot := func(wind, kt, index, up float64) (right, high float64) {
				return kt * sinOf(wind-index) * up, kt * cosOf(wind-index) * up
			}
			switch {
			case dotAbove.MatchString(step):
				m := dotAbove.FindStringSubmatch(step)
				right, high := dot(figureOf(m[1]), figureOf(m[2]), figureOf(m[3]), 1)
				// The centre is slid along the middle line until the dot is on the arc of the airspeed.
				centre := halve(0, 400, func(centre float64) float64 { return math.Hypot(right, centre+high) - figureOf(m[4]) })
				require.InDelta(t, centre, figureOf(m[7]), 0.5+1e-6, step)
				require.InDelta(t, arc(math.Atan2(right, centre+high)), sided(m[5], m[6]), 0.5+1e-6, step)
				lines["heading"]++
			case dotBelow.MatchString(step):
				m := dotBelow.FindStringSubmatch(step)
				right, high := dot(figureOf(m[1]), figureOf(m[2]), figureOf(m[3]), -1)
				tas := figureOf(m[4])
				require.InDelta(t, math.Hypot(right, tas+high), figureOf(m[7]), 0.5+1e-6, step)
				require.InDelta(t, arc(math.Atan2(right, tas+high)), sided(m[5], m[6]), 0.5+1e-6, step)
				lines["track"]++
			case dotFound.MatchString(step):
				m := dotFound.FindStringSubmatch(step)
				heading, tas, drift, over := figureOf(m[1]), figureOf(m[2]), sided(m[3], m[4]), figureOf(m[5])
				right, high := over*sinOf(drift), over*cosOf(drift)-tas
				require.InDelta(t, math.Hypot(right, high), figureOf(m[7]), 0.5+1e-6, step)
				require.LessOrEqual(t, math.Abs(shortest(heading+arc(math.Atan2(-right, -high)), figureOf(m[6]))), 0.5+1e-6, step)
				lines["wind"]++
			default:
				require.Fail(t, "no known line", step)
			}
		}
	})
	require.Len(t, lines, 3)
}
