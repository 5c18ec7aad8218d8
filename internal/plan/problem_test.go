package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLocate(t *testing.T) {
	plan, _ := Load("plan.yaml", fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, plan)
	for path, want := range map[string]struct {
		file, text string // what stands at the place
	}{
		"route.legs[1].altitude":               {"plan.yaml", "FL045"},
		"route.legs[0].radio[1].before":        {"plan.yaml", "5}"},
		"route.legs[0].radio[1].course":        {"plan.yaml", "{receiver: ADF"}, // not given: the step that should hold it
		"route.legs[7].to":                     {"plan.yaml", "legs:"},
		"route.legs":                           {"plan.yaml", "legs:"},
		"conditions.winds[1].temperature":      {"plan.yaml", "4}"},
		"fuel.on_board.right":                  {"plan.yaml", "51}"},
		"fuel":                                 {"plan.yaml", "fuel:"},
		"date":                                 {"plan.yaml", "2026-06-14"},
		"points[2].frequency":                  {"plan.yaml", "114.35"},
		"points[KVN].frequency":                {"plan.yaml", "114.35"},
		"points[K25]":                          {"plan.yaml", "{ident: K25"},
		"points[XYZ]":                          {"plan.yaml", "points:"},
		"aircraft":                             {"plan.yaml", "aircraft.yaml"},
		"aircraft.fuel.tanks[1].capacity":      {"aircraft.yaml", "57, unusable"},
		"aircraft.cruise":                      {"aircraft.yaml", "cruise:"},
		"aircraft.instrument.position_error":   {"aircraft.yaml", "aircraft: 1"},
		"":                                     {"plan.yaml", "plan: 1"},
		"no.such[3].thing":                     {"plan.yaml", "plan: 1"},
		"route.legs[0].checkpoints[1].after.x": {"plan.yaml", "8.5}"},
	} {
		file, line, column := plan.Locate(path)
		require.Equal(t, want.file, file, path)
		content := map[string]string{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}[file]
		text := strings.Split(content, "\n")[line-1][column-1:]
		assert.True(t, strings.HasPrefix(text, want.text), "%s stands at %q", path, text)
	}
}

func TestPlacedShowsTheLine(t *testing.T) {
	plan, _ := Load("plan.yaml", fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, plan)
	problem := plan.Placed(Problem{Severity: Caution, Path: "route.legs[1].altitude", Text: "too low"})
	assert.Equal(t, "plan.yaml:38:17: caution: route.legs[1].altitude: too low", problem.String())
	assert.Equal(t, ""+
		"    38 |       altitude: FL045\n"+
		"       |                 ^", problem.Excerpt)
}

func TestAPlanFromElsewhereHasNoPlaces(t *testing.T) {
	detached, _ := Load("plan.yaml", fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, detached)
	detached.Detach()
	for _, plan := range []*Plan{{}, detached} {
		file, line, column := plan.Locate("route.from")
		assert.Zero(t, file)
		assert.Zero(t, line)
		assert.Zero(t, column)
		problem := Problem{Severity: Note, Path: "route.from", Text: "so it is"}
		assert.Equal(t, problem, plan.Placed(problem))
	}
}

func TestExcerpt(t *testing.T) {
	long := newSource("long.yaml", []byte("short\r\n"+strings.Repeat("x", 300)+"here"+strings.Repeat("y", 300)+"\ntab\there\n"))
	assert.Equal(t, "     1 | short\n       |     ^", long.excerpt(1, 5))
	rows := strings.Split(long.excerpt(2, 301), "\n")
	require.Len(t, rows, 2)
	assert.Less(t, len(rows[0]), 120)
	assert.Equal(t, "here", rows[0][strings.Index(rows[1], "^"):][:4], "the caret stands below the place in a line that was cut")
	assert.Equal(t, "     3 | tab here\n       |     ^", long.excerpt(3, 5), "a tab is one column")
	assert.Empty(t, long.excerpt(0, 1))
	assert.Empty(t, long.excerpt(99, 1))
	assert.Empty(t, (*source)(nil).excerpt(1, 1))

	lines := newSource("lines.yaml", []byte("a\nb\nc\nd\ne\nf\ng\nh"))
	assert.Equal(t, "     1 | a\n>    2 | b\n     3 | c\n     4 | d\n     5 | e\n     6 | f", lines.excerpt(2, 0))
	assert.Equal(t, "     6 | f\n     7 | g\n>    8 | h", lines.excerpt(8, 0))
}
