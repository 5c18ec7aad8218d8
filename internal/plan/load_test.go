package plan

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/exp/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
)

// TestLoad reads the good plan to the last value.
func TestLoad(t *testing.T) {
	plan, problems := Load("plan.yaml", fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, plan, "%v", problems)
	half, ten := 8.5, 10.0
	five, fifteen, thousand, safe, warm, declination, radial, limit := 5.0, 15.0, 1000.0, 3100.0, 4.0, -2.5, 96.0, 19.0
	fix, _ := plan.Point("K25")
	want := Plan{
		Version: 1, Title: "There and back", OffBlocks: time.Date(2026, 6, 14, 9, 10, 0, 0, time.UTC), TaxiMinutes: 8,
		Fuel: Fuel{map[string]float64{"left": 48, "right": 51}, "right", 45, "plan", 5, "DUN"},
		Conditions: Conditions{1019, false, 2, []WindLevel{
			{AltitudeFt: 2000, FromTrue: 230, SpeedKt: 15}, {AltitudeFt: 5000, FromTrue: 250, SpeedKt: 22, TemperatureC: &warm},
		}, 8},
		Points: []Point{
			{Ident: "STR", Kind: Aerodrome, At: earth.Position{Lat: 56.1, Lon: -4.5}, ElevationFt: 35, CircuitFt: 1000},
			{Ident: "DUN", Kind: Aerodrome, At: earth.Position{Lat: 56.4, Lon: -3}, ElevationFt: 50, CircuitFt: 1000},
			{Ident: "KVN", Kind: VORDME, At: earth.Position{Lat: 56.2, Lon: -3.9}, ElevationFt: 1250, Frequency: 114.35, Declination: &declination, RangeNM: 60},
			{Ident: "OBN", Kind: NDB, At: earth.Position{Lat: 56.3, Lon: -4}, Frequency: 404, RangeNM: 30},
			{Ident: "DAM", Kind: Visual, At: earth.Position{Lat: 56.16, Lon: -4.2}},
			{Ident: "K25", Kind: Fix, At: fix.At, From: "KVN", Radial: &radial, DistanceNM: 25},
		},
		Route: Route{"STR", []Leg{
			{
				To: "KVN", Level: Level{AltitudeFt: 3500}, SafeAltitudeFt: &safe,
				Checkpoints: []Checkpoint{{Name: "DAM", Point: "DAM"}, {Name: "railway", AfterNM: &half}},
				Radio:       []RadioStep{{Receiver: "NAV1", Beacon: "KVN", Course: Inbound}, {Receiver: "ADF", Beacon: "OBN", BeforeNM: &five}},
			},
			{To: "STR", Level: Level{FlightLevel: 45}},
		}, []string{"DUN"}, nil, nil},
		Checks: []Check{
			{Name: "cruise check", EveryMinutes: &fifteen},
			{Name: "pump off", ClimbingThroughFt: &thousand},
			{Name: "area QNH", Passing: "KVN"},
			{Name: "arrival", Before: "STR", Minutes: ten},
		},
		Aircraft: Aircraft{
			Version: 1, Name: "Kestrel two-seat trainer (invented)", Registration: "X-ABCD",
			Fuel: FuelSystem{
				Unit: "litre", Tanks: []Tank{{"left", 57, 2}, {"right", 57, 2}}, MaxImbalance: &limit,
				QuietBelowFt: 1000, QuietBeforeLandingMinutes: 10,
			},
			Receivers: []string{"NAV1", "DME", "ADF"}, TaxiFlow: 8,
			Climb:   Climb{70, []ClimbRow{{0, 720, 30}, {8000, 300, 25}}},
			Cruise:  Cruise{75, []CruiseRow{{2000, 75, 0, 98, 23.5, ""}, {6000, 75, 0, 102, 23.8, ""}}},
			Descent: Descent{95, 500, 16, 0, 0, ""}, Holding: &Holding{70, 16},
		},
	}
	got := *plan
	got.origin = nil
	assert.Equal(t, want, got)
	assert.Equal(t, time.Date(2026, 6, 14, 9, 18, 0, 0, time.UTC), plan.Airborne())

	way := earth.Inverse(earth.Position{Lat: 56.2, Lon: -3.9}, fix.At)
	assert.InDelta(t, 25, way.DistanceNM, 1e-6)
	assert.InDelta(t, 96-2.5, way.AzimuthStart, 1e-6, "radial 096 by a declination of 2.5° W")
}

func TestAircraftInThePlan(t *testing.T) {
	var inline strings.Builder
	for _, line := range strings.Split(strings.TrimSpace(goodAircraft), "\n") {
		fmt.Fprintf(&inline, "  %s\n", line)
	}
	files := fileMap{"plan.yaml": strings.Replace(goodPlan, "aircraft: aircraft.yaml\n", "aircraft:\n"+inline.String(), 1)}
	plan, problems := Load("plan.yaml", files.read)
	require.NotNil(t, plan, "%v", problems)
	assert.Empty(t, problems)
	assert.Equal(t, "X-ABCD", plan.Aircraft.Registration)
	file, line, column := plan.Locate("aircraft.taxi_flow")
	assert.Equal(t, []any{"plan.yaml", 19, 14}, []any{file, line, column})

	files["plan.yaml"] = strings.Replace(files["plan.yaml"], "  aircraft: 1\n", "", 1)
	plan, _ = Load("plan.yaml", files.read)
	assert.NotNil(t, plan, "inside a plan the aircraft's own version may be left out")
}

func TestALegKeepsTheLevelBefore(t *testing.T) {
	plan, problems := Load("plan.yaml", fileMap{"plan.yaml": strings.Replace(goodPlan, "      altitude: FL045\n", "", 1), "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, plan, "%v", problems)
	assert.Equal(t, Level{AltitudeFt: 3500}, plan.Route.Legs[1].Level)
	require.Len(t, problems, 1)
	assert.Equal(t, 37, problems[0].Line, "%v: an odd thousand to the west", problems[0])
}

func TestWindsAndTablesAreSorted(t *testing.T) {
	lines := planLines()
	lines[16], lines[17] = lines[17], lines[16]
	rows := strings.Split(goodAircraft, "\n")
	rows[16], rows[17] = rows[17], rows[16]
	rows[21], rows[22] = rows[22], rows[21]
	plan, problems := Load("plan.yaml", fileMap{"plan.yaml": strings.Join(lines, "\n"), "aircraft.yaml": strings.Join(rows, "\n")}.read)
	require.NotNil(t, plan, "%v", problems)
	assert.Empty(t, problems)
	assert.Equal(t, 2000.0, plan.Conditions.Winds[0].AltitudeFt)
	assert.Equal(t, 0.0, plan.Aircraft.Climb.Table[0].AltitudeFt)
	assert.Equal(t, 2000.0, plan.Aircraft.Cruise.Table[0].AltitudeFt)
}

func TestAFixFromABeaconWithoutItsDeclination(t *testing.T) {
	lines := strings.Replace(goodPlan, "declination: -2.5, ", "", 1)
	lines = strings.Replace(lines, "    - to: STR\n", "    - {to: K25, altitude: 3500}\n    - to: STR\n", 1)
	plan, problems := Load("plan.yaml", fileMap{"plan.yaml": lines, "aircraft.yaml": goodAircraft}.read)
	require.NotNil(t, plan, "%v", problems)
	require.Len(t, problems, 1)
	assert.Equal(t, "plan.yaml:23:5: note: points[KVN].declination: not given: 0.7° W of the magnetic field at the station is used for the fixes measured from it",
		problems[0].String())
	kelvin, _ := plan.Point("KVN")
	fix, _ := plan.Point("K25")
	north, err := earth.Variation(kelvin.At, kelvin.ElevationFt, plan.OffBlocks)
	require.NoError(t, err)
	assert.InDelta(t, 96+north, earth.Inverse(kelvin.At, fix.At).AzimuthStart, 1e-6)
}

// TestManyFaults is one plan with most faults in it: all of them are told in one run.
func TestManyFaults(t *testing.T) {
	plan, problems := Load("testdata/bad.yaml", os.ReadFile)
	assert.Nil(t, plan)
	var report strings.Builder
	for _, problem := range problems {
		fmt.Fprintln(&report, problem)
		fmt.Fprintln(&report, problem.Excerpt)
	}
	golden.RequireEqual(t, []byte(report.String()))
}

func TestUnreadablePlan(t *testing.T) {
	_, problems := Load("gone.yaml", fileMap{}.read)
	require.Len(t, problems, 1)
	assert.Equal(t, `gone.yaml: error: "gone.yaml" can't be read: there is no such file`, problems[0].String())
	_, problems = Load("-", func(string) ([]byte, error) { return nil, errors.New("the pipe broke") })
	require.Len(t, problems, 1)
	assert.Equal(t, `-: error: "-" can't be read: the pipe broke`, problems[0].String())
	_, problems = Load("testdata", os.ReadFile)
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].String(), `testdata: error: "testdata" can't be read: is a directory`)
}

func TestGuards(t *testing.T) {
	load := func(content string) []Problem {
		_, problems := Load("plan.yaml", fileMap{"plan.yaml": content}.read)
		return problems
	}
	problems := load(strings.Repeat("#", largestFile+1))
	require.Len(t, problems, 1)
	assert.Equal(t, `plan.yaml: error: "plan.yaml" is too large: 1048577 bytes (at most 1048576)`, problems[0].String())

	problems = load("plan: " + strings.Repeat("[", 40) + strings.Repeat("]", 40))
	require.Len(t, problems, 1)
	assert.Equal(t, "plan.yaml:1:39: error: the values are nested too deeply", problems[0].String())

	laughs := "a: &a [x, x, x, x, x, x, x, x, x]\n"
	for letter := 'b'; letter <= 'p'; letter++ {
		laughs += fmt.Sprintf("%c: &%c [%s*%c]\n", letter, letter, strings.Repeat(fmt.Sprintf("*%c, ", letter-1), 8), letter-1)
	}
	problems = load(laughs)
	require.NotEmpty(t, problems)
	assert.Equal(t, "plan.yaml:2:8: error: the alias *a is not read here (write the value out)", problems[0].String())

	var rubbish strings.Builder
	for i := range 10 * mostProblems {
		fmt.Fprintf(&rubbish, "key%d: 1\n", i)
	}
	problems = load(rubbish.String())
	require.Len(t, problems, mostProblems+1)
	assert.Equal(t, "there are more than 200 problems; the rest is not listed", problems[mostProblems].Text)
	assert.Equal(t, Error, problems[mostProblems].Severity)
}

// 29.92 inHg is 1013.2 hPa (the conventional inch of mercury, 33.86389 hPa: NIST SP 811).
func TestAltimeterSettingInInches(t *testing.T) {
	plan, aircraft := Starter()
	text := strings.Replace(string(plan), "qnh: 1019", "qnh: 29.92", 1)
	loaded, problems := Load(starterName, fileMap{starterName: text, StarterAircraftFile: string(aircraft)}.read)
	require.NotNil(t, loaded, "%v", problems)
	assert.InDelta(t, 1013.21, loaded.Conditions.QNH, 0.01)
}

// fileMap is a folder of files in memory.
type fileMap map[string]string

func (m fileMap) read(name string) ([]byte, error) {
	content, ok := m[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return []byte(content), nil
}

// keyOfLine is a line that begins with a key of four letters or more: indent, key, the rest.
var keyOfLine = regexp.MustCompile(`^((?:  )*(?:- )?)([a-z_]{4,}):(.*)$`)

func planLines() []string { return strings.Split(goodPlan, "\n") }

// problemAt loads the lines as the plan and returns the one unknown key on a line.
func problemAt(t *testing.T, lines []string, line int) Problem {
	t.Helper()
	_, problems := Load("plan.yaml", fileMap{"plan.yaml": strings.Join(lines, "\n"), "aircraft.yaml": goodAircraft}.read)
	var found []Problem
	for _, problem := range problems {
		if problem.Line == line && strings.Contains(problem.Text, "not known here") {
			found = append(found, problem)
		}
	}
	require.Len(t, found, 1, "%v", problems)
	return found[0]
}
