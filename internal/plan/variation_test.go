package plan

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
)

// with is the good plan with some of its text changed.
func with(changes ...string) fileMap {
	text := strings.NewReplacer(changes...).Replace(goodPlan)
	return fileMap{"plan.yaml": text, "aircraft.yaml": goodAircraft}
}

// The places in the good plan where a variation or another date is put.
const (
	goodDate, goodTaxi   = "date: 2026-06-14\n", "taxi_minutes: 8\n"
	firstLeg, secondLeg  = "      safe_altitude: 3100\n", "      altitude: FL045\n"
	kelvinsOwn, noKelvin = "declination: -2.5, ", ""
)

func TestFaultsOfVariations(t *testing.T) {
	const right = "(write 3W, 0.5E or -3, east being positive)"
	checkFaults(t, map[string]fault{
		"of the whole flight":    {goodTaxi, goodTaxi + "variation: 1W\n", nil},
		"of a leg, as a number":  {firstLeg, firstLeg + "      variation: -1.5\n", nil},
		"declination, lettered":  {"declination: -2.5", "declination: 2.5W", nil},
		"no variation":           {goodTaxi, goodTaxi + "variation: west\n", []string{`plan.yaml:6:12: error: variation: "west" is not a variation ` + right}},
		"letter and sign":        {goodTaxi, goodTaxi + "variation: -3W\n", []string{`plan.yaml:6:12: error: variation: "-3W" is not a variation ` + right}},
		"hexadecimal":            {goodTaxi, goodTaxi + "variation: 0x3E\n", []string{`plan.yaml:6:12: error: variation: "0x3E" is not a variation ` + right}},
		"exponent":               {goodTaxi, goodTaxi + "variation: 1e1\n", []string{`plan.yaml:6:12: error: variation: "1e1" is not a variation ` + right}},
		"not a number":           {goodTaxi, goodTaxi + "variation: .nan\n", []string{`plan.yaml:6:12: error: variation: ".nan" is not a variation ` + right}},
		"round the compass":      {firstLeg, firstLeg + "      variation: 181E\n", []string{`plan.yaml:33:18: error: route.legs[0].variation: "181E" lies outside 180° W to 180° E ` + right}},
		"declination beyond all": {"declination: -2.5", "declination: 200", []string{`plan.yaml:23:100: error: points[2].declination: "200" lies outside 180° W to 180° E ` + right}},
		"a list":                 {goodTaxi, goodTaxi + "variation: [3W]\n", []string{`plan.yaml:6:12: error: variation: there is a list where one value belongs (3W, 0.5E or -3, east being positive)`}},
		"misspelt":               {goodTaxi, goodTaxi + "varation: 3W\n", []string{`plan.yaml:6:1: error: varation: the key "varation" is not known here (did you mean "variation"?)`}},
		"twice":                  {goodTaxi, goodTaxi + "variation: 1W\nvariation: 1W\n", []string{`plan.yaml:7:1: error: variation: the key "variation" is given twice, first on line 6 (leave one of them out)`}},
		"a slip of the sign": {goodTaxi, goodTaxi + "variation: 3E\n", []string{
			`plan.yaml:6:12: caution: variation: 3° E is far from the magnetic field half-way from STR to KVN, 0.8° W (look for a slip of the sign; a leg far from the others takes a variation of its own)`,
		}},
		"a slip of a leg's sign": {firstLeg, firstLeg + "      variation: 3E\n", []string{
			`plan.yaml:33:18: caution: route.legs[0].variation: 3° E is far from the magnetic field half-way from STR to KVN, 0.8° W (look for a slip of the sign)`,
		}},
		"after the model's years": {goodDate, "date: 2049-06-14\n", []string{
			`plan.yaml:3:7: caution: date: the magnetic model was made for the years to 2029 and is extrapolated: the variation may be out by 3.9° or more (` + GiveVariation + `)`,
		}},
		"after them, with its own": {goodDate, "date: 2049-06-14\nvariation: 3E\n", nil},
		"before them":              {goodDate, "date: 2024-06-14\n", []string{`plan.yaml:3:7: error: date: no magnetic field for 2024-06-14: WMM2025 holds from 2025 to the end of 2029 and is extrapolated to the end of 2099 (` + GiveVariation + `)`}},
		"before them, its own":     {goodDate, "date: 1987-06-14\nvariation: 6W\n", nil},
		"far beyond, its own":      {goodDate, "date: 2199-12-31\nvariation: 20E\n", nil},
		"no such age":              {goodDate, "date: 2200-01-01\nvariation: 20E\n", []string{`plan.yaml:3:7: error: date: the year 2200 is out of range (a date from 1900 to 2199)`}},
	})
}

// Every leg's own is enough, one of two is not.
func TestVariationsOfSomeLegs(t *testing.T) {
	_, problems := Load("plan.yaml", with(goodDate, "date: 2120-06-14\n", firstLeg, firstLeg+"      variation: 3W\n", secondLeg, secondLeg+"      variation: 4W\n").read)
	assert.Empty(t, problems)
	_, problems = Load("plan.yaml", with(goodDate, "date: 2120-06-14\n", firstLeg, firstLeg+"      variation: 3W\n").read)
	require.Len(t, problems, 1)
	assert.Equal(t, "plan.yaml:3:7: error: date: no magnetic field for 2120-06-14: WMM2025 holds from 2025 to the end of 2029 and is extrapolated to the end of 2099"+
		" (a variation for leg 2, KVN to STR, too, or one for the whole flight)", problems[0].String())
	_, problems = Load("plan.yaml", with(goodDate, "date: 2040-06-14\n", firstLeg, firstLeg+"      variation: 1E\n").read)
	require.Len(t, problems, 1)
	assert.Equal(t, Caution, problems[0].Severity, "leg 2 still is the model's")
}

// TestDatesOfAPlanWithItsOwnVariations: it is never refused for its date.
func TestDatesOfAPlanWithItsOwnVariations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := time.Date(FirstYear, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, (LastYear-FirstYear+1)*365).Draw(t, "day"))
		whole, letter := rapid.IntRange(0, 180).Draw(t, "variation"), rapid.SampledFrom([]string{"E", "W"}).Draw(t, "side")
		files := with(goodDate, fmt.Sprintf("date: %s\nvariation: %d%s\n", day.Format(time.DateOnly), whole, letter))
		if rapid.Bool().Draw(t, "by leg") {
			own := fmt.Sprintf("      variation: %d%s\n", whole, letter)
			files = with(goodDate, "date: "+day.Format(time.DateOnly)+"\n", firstLeg, firstLeg+own, secondLeg, secondLeg+own)
		}
		plan, problems := Load("plan.yaml", files.read)
		require.NotNil(t, plan, "%v", problems)
		require.NoError(t, plan.Sound())
	})
}

// TestStationDeclination: the beacon's own, else the plan's, its leg's first, else the model's there.
func TestStationDeclination(t *testing.T) {
	for name, c := range map[string]struct {
		files fileMap
		want  float64
		from  Source
	}{
		"its own":              {with(goodTaxi, goodTaxi+"variation: 1W\n"), -2.5, FromStation},
		"the whole flight's":   {with(kelvinsOwn, noKelvin, goodTaxi, goodTaxi+"variation: 1W\n"), -1, FromPlan},
		"the leg's before":     {with(kelvinsOwn, noKelvin, goodTaxi, goodTaxi+"variation: 1W\n", firstLeg, firstLeg+"      variation: 1E\n"), 1, FromPlan},
		"the leg's after":      {with(kelvinsOwn, noKelvin, secondLeg, secondLeg+"      variation: 0.5E\n"), 0.5, FromPlan},
		"the magnetic model's": {with(kelvinsOwn, noKelvin), 0, FromModel},
	} {
		plan, problems := Load("plan.yaml", c.files.read)
		require.NotNil(t, plan, "%s: %v", name, problems)
		kelvin, _ := plan.Point("KVN")
		if c.from == FromModel {
			c.want, _ = earth.Variation(kelvin.At, 1250, plan.OffBlocks)
		}
		degrees, from, err := plan.StationDeclination(kelvin)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, degrees, name)
		assert.Equal(t, c.from, from, name)
		fix, _ := plan.Point("K25")
		assert.InDelta(t, 96+c.want, earth.Inverse(kelvin.At, fix.At).AzimuthStart, 1e-6, "the fix on its radial: %s", name)
	}
}

// TestABeaconOfAnAgeThatTheModelDoesNotKnow counts from the first leg that has a variation, and from none where there is none.
func TestABeaconOfAnAgeThatTheModelDoesNotKnow(t *testing.T) {
	three := 3.0
	plan := &Plan{OffBlocks: time.Date(2150, 1, 1, 0, 0, 0, 0, time.UTC), Route: Route{From: "A", Legs: []Leg{{To: "B", Variation: &three}, {To: "C"}}}}
	degrees, from, err := plan.StationDeclination(Point{Ident: "FAR", Kind: VOR})
	require.NoError(t, err)
	assert.Equal(t, 3.0, degrees)
	assert.Equal(t, FromPlan, from)
	plan.Route.Legs[0].Variation = nil
	_, _, err = plan.StationDeclination(Point{Ident: "FAR", Kind: VOR})
	assert.Error(t, err)
}

// TestABeaconOfExtrapolatedYears: its radials are cautioned about where the legs have variations of their own.
func TestABeaconOfExtrapolatedYears(t *testing.T) {
	legs := []string{goodDate, "date: 2049-06-14\n", "  from: STR\n  legs:\n", "  from: STR\n  legs:\n    - {to: DUN, altitude: 3500, variation: 3E}\n    - {to: STR, altitude: 4500, variation: 3E}\n"}
	files := with(legs...)
	files["plan.yaml"] = strings.Replace(strings.Replace(files["plan.yaml"], firstLeg, firstLeg+"      variation: 3E\n", 1), secondLeg, secondLeg+"      variation: 3E\n", 1)
	_, problems := Load("plan.yaml", files.read)
	for _, problem := range problems {
		assert.NotEqual(t, "date", problem.Path, "%v", problem)
	}
	files["plan.yaml"] = strings.Replace(files["plan.yaml"], "  - {ident: OBN,", "  - {ident: OTH, kind: vor, at: [56.25, -4.0], frequency: 112.1, elevation: 100, range: 60}\n  - {ident: OBN,", 1)
	files["plan.yaml"] = strings.Replace(files["plan.yaml"], "{receiver: ADF, beacon: OBN, before: 5}", "{receiver: NAV1, beacon: OTH, before: 5}", 1)
	_, problems = Load("plan.yaml", files.read)
	found := 0
	for _, problem := range problems {
		if problem.Path == "points[OTH].declination" && problem.Severity == Caution {
			found++
			assert.Contains(t, problem.Text, "its radials may be out by 3.9° or more")
		}
	}
	assert.Equal(t, 1, found, "%v", problems)
}
