package plan

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The seeds are whole files, so making a finding smaller takes long: fuzz with -fuzzminimizetime 10x.

// FuzzLoad puts anything where the plan or the aircraft belongs. Whatever it is, the reader ends, tells each problem with its file,
// and hands out only plans that are whole.
func FuzzLoad(f *testing.F) {
	bad, err := os.ReadFile("testdata/bad.yaml")
	require.NoError(f, err)
	starterPlan, starterAircraft := Starter()
	for _, seed := range [][]byte{
		starterPlan, starterAircraft, []byte(goodPlan), []byte(goodAircraft), bad, nil,
		[]byte(strings.Replace(goodPlan, "title:", "variation: 3.5W\ntitle:", 1)), []byte(strings.Replace(goodPlan, "- to: KVN", "- to: KVN\n      variation: -2", 1)),
		[]byte("plan: 1\nroute: {legs: [{to: [}"), []byte("a: &a [*a]"), []byte("? {a: b}\n: c"), []byte("plan: !!binary aGk="),
		[]byte("--- 1\n--- 2"), []byte("plan: 1\npoints: [{ident: [[1]]: 045}]"), []byte("\xff\xfe1\x00"), []byte("%YAML 9.9\n---\nplan: 1"),
	} {
		f.Add(seed, true)
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, content []byte, isPlan bool) {
		files := fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}
		if isPlan {
			files["plan.yaml"] = string(content)
		} else {
			files["aircraft.yaml"] = string(content)
		}
		requireSound(t, files)
	})
}

// FuzzPointsCSV puts anything where a list of points belongs.
func FuzzPointsCSV(f *testing.F) {
	list, err := os.ReadFile("testdata/bad-points.csv")
	require.NoError(f, err)
	for _, seed := range []string{
		string(list), "ident,kind,lat,lon\nONE,visual,1,2\n", "ident,kind,lat,lon\n\"ONE\n,visual,1,2\n", "lat,lon\n,\n", ",\n,\n", "\"\"\n",
		"ident,name,kind,at,frequency,from,radial,distance\nR1,,fix,,,KVN,045,9\n", "ident;kind\n", "\xef\xbb\xbf", "ident\r\nÅ\r\n",
		"# only\n#comments\n\nident,kind,at\nX,visual,\"56.1, -4.5\"\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		requireSound(t, withLists(fileMap{"points.csv": string(content)}, "points.csv"))
	})
}

// requireSound loads the plan among the files and checks what must hold whatever is in them.
func requireSound(t *testing.T, files fileMap) {
	name := "plan.yaml"
	if _, found := files[name]; !found {
		name = "trips/plan.yaml"
	}
	plan, problems := Load(name, files.read)
	for _, problem := range problems {
		require.NotEmpty(t, problem.File, "%v", problem)
		require.NotEmpty(t, problem.Text, "%v", problem)
		require.GreaterOrEqual(t, problem.Line, 0)
	}
	require.Equal(t, HasErrors(problems), plan == nil, "%v", problems)
	if plan == nil {
		return
	}
	require.NotEmpty(t, plan.Route.Legs)
	require.NotEmpty(t, plan.Conditions.Winds)
	require.NotEmpty(t, plan.Title)
	for _, leg := range plan.Route.Legs {
		_, known := plan.Point(leg.To)
		require.True(t, known, leg.To)
	}
	for _, point := range plan.Points {
		require.True(t, point.At.Valid(), point.Ident)
	}
	requireJSONRoundTrip(t, plan)
}
