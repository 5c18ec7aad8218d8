package plan

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var pathIndex = regexp.MustCompile(`\[\d+\]`)

// knownKeys is what the reader itself knows of every key, learnt while it reads the starter files, which use all groups.
func knownKeys(t *testing.T) (facts []fact) {
	t.Helper()
	r := newReader(starterFiles)
	r.learn = func(f fact) {
		f.path = pathIndex.ReplaceAllString(f.path, "[]")
		if !slices.Contains(facts, f) {
			facts = append(facts, f)
		}
	}
	require.NotNil(t, r.load(starterName), "%v", r.problems)
	require.NotEmpty(t, facts)
	return facts
}

const starterName = "trip.yaml"

// starterFiles hands over the starter plan and its aircraft.
func starterFiles(name string) ([]byte, error) {
	plan, aircraft := Starter()
	return fileMap{starterName: string(plan), StarterAircraftFile: string(aircraft)}.read(name)
}

func TestStarterHasNoProblems(t *testing.T) {
	plan, problems := Load(starterName, starterFiles)
	assert.Empty(t, problems)
	assert.NotNil(t, plan)
}

func TestStarterExplainsEveryKey(t *testing.T) {
	planYAML, aircraftYAML := Starter()
	for _, fact := range knownKeys(t) {
		key := fact.path[strings.LastIndex(fact.path, ".")+1:]
		text := planYAML
		if strings.HasPrefix(fact.path, "aircraft.") {
			text = aircraftYAML
		}
		assert.Regexp(t, `\b`+key+`:`, string(text), "%s is nowhere in the starter", fact.path)
	}
}

func TestPointKeysAreThoseOfTheReader(t *testing.T) {
	var keys []string
	for _, fact := range knownKeys(t) {
		if key, found := strings.CutPrefix(fact.path, "points[]."); found {
			keys = append(keys, key)
		}
	}
	assert.ElementsMatch(t, keys, pointKeys, "the columns of a CSV list")
}

const planFilePage = "../../docs/plan-file.md"

func planFilePageText(t *testing.T) (plan, aircraft string) {
	t.Helper()
	page, err := os.ReadFile(planFilePage)
	require.NoError(t, err)
	plan, aircraft, found := strings.Cut(string(page), "\n## The aircraft\n")
	require.True(t, found)
	return plan, aircraft
}

var keyRow = regexp.MustCompile("(?m)^\\| `([^`]+)` \\| ([^|]*) \\| ?([^|]*) \\| ([^|]*) \\|")

// TestPlanFilePageTellsTheTruth compares the tables of the page for users with what the reader does.
func TestPlanFilePageTellsTheTruth(t *testing.T) {
	var documented []fact
	rows := func(text, prefix string) {
		for _, row := range keyRow.FindAllStringSubmatch(text, -1) {
			documented = append(documented, fact{prefix + row[1], row[2], row[3], row[4]})
		}
	}
	plan, aircraft := planFilePageText(t)
	rows(plan, "")
	rows(aircraft, "aircraft.")
	assert.ElementsMatch(t, knownKeys(t), documented)
}

func TestPlanFilePageExamplesAreOnePlan(t *testing.T) {
	plan, aircraft := planFilePageText(t)
	files := fileMap{
		"plan.yaml":     fenced(plan, "yaml"),
		"aircraft.yaml": fenced(aircraft, "yaml"),
		"my-points.csv": fenced(plan, "csv"),
		"beacons.yaml":  "points: [{ident: FAR, kind: ndb, at: [46.7, -66.2], frequency: 290}]",
	}
	_, problems := Load("plan.yaml", files.read)
	for _, problem := range problems {
		assert.Equal(t, Note, problem.Severity, "%v", problem)
	}
}

// fenced joins the blocks of code of one language.
func fenced(text, language string) (code string) {
	for _, block := range regexp.MustCompile("(?s)```"+language+"\n(.*?)```").FindAllStringSubmatch(text, -1) {
		code += block[1]
	}
	return code
}
