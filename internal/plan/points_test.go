package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
)

// withLists is the good plan with shared lists of points beside it.
func withLists(lists fileMap, names ...string) fileMap {
	files := fileMap{"trips/plan.yaml": strings.Replace(goodPlan, "points:\n", "points_files: ["+strings.Join(names, ", ")+"]\npoints:\n", 1)}
	files["trips/aircraft.yaml"] = goodAircraft
	for name, content := range lists {
		files["trips/"+name] = content
	}
	return files
}

func TestSharedLists(t *testing.T) {
	files := withLists(fileMap{
		"lists/beacons.yaml": "points:\n  - {ident: GRN, name: Green, kind: vor, at: [56.5, -3.5], frequency: 112.10}\n",
		"more.CSV": "\xef\xbb\xbfident, name,kind,lat,lon,frequency,declination\r\n" +
			"# beacons of the south\r\n" +
			"BLU,\"Blue, the hill\",ndb,055.5,-003.50,0372,\r\n" +
			"RED,,vor,55.25,-3.25,113.00,-1.5\r\n",
		"measured.csv": "ident,kind,at,from,radial,distance\nMIL,visual,562745N 0043210W,,,\nR09,fix,,RED,090,9\n",
	}, "lists/beacons.yaml", "more.CSV", "measured.csv")
	plan, problems := Load("trips/plan.yaml", files.read)
	require.NotNil(t, plan, "%v", problems)
	assert.Empty(t, problems, "points that the plan does not use are not worth a word")

	green, ok := plan.Point("GRN")
	require.True(t, ok)
	assert.Equal(t, Point{Ident: "GRN", Name: "Green", Kind: VOR, At: earth.Position{Lat: 56.5, Lon: -3.5}, Frequency: 112.1}, green)
	blue, ok := plan.Point("BLU")
	require.True(t, ok)
	assert.Equal(t, Point{Ident: "BLU", Name: "Blue, the hill", Kind: NDB, At: earth.Position{Lat: 55.5, Lon: -3.5}, Frequency: 372}, blue)
	red, ok := plan.Point("RED")
	require.True(t, ok)
	assert.Equal(t, -1.5, *red.Declination)
	mill, ok := plan.Point("MIL")
	require.True(t, ok)
	assert.InDelta(t, 56+27./60+45./3600, mill.At.Lat, 1e-9)
	assert.InDelta(t, -4-32./60-10./3600, mill.At.Lon, 1e-9)
	fix, ok := plan.Point("R09")
	require.True(t, ok)
	way := earth.Inverse(red.At, fix.At)
	assert.InDelta(t, 9, way.DistanceNM, 1e-6)
	assert.InDelta(t, 90-1.5, way.AzimuthStart, 1e-6, "the radial counts from the station's own north")

	file, line, _ := plan.Locate("points[BLU].frequency")
	assert.Equal(t, "trips/more.CSV", file)
	assert.Equal(t, 3, line)
}

func TestThePlansOwnPointsWin(t *testing.T) {
	files := withLists(fileMap{
		"a.yaml": "points:\n  - {ident: KVN, kind: visual, at: [10, 10]}\n  - {ident: TWO, kind: visual, at: [1, 1]}\n",
		"b.yaml": "points:\n  - {ident: TWO, kind: visual, at: [2, 2]}\n",
	}, "a.yaml", "b.yaml")
	plan, problems := Load("trips/plan.yaml", files.read)
	require.NotNil(t, plan, "%v", problems)
	kelvin, _ := plan.Point("KVN")
	assert.Equal(t, VORDME, kelvin.Kind)
	two, _ := plan.Point("TWO")
	assert.Equal(t, 1.0, two.At.Lat, "of two lists the one named first counts")
	require.Len(t, problems, 1)
	assert.Equal(t, "trips/plan.yaml:24:5: note: points[KVN]: this one is used, not the point of the same ident at trips/a.yaml:2", problems[0].String())
}

func TestFaultsOfLists(t *testing.T) {
	for name, list := range map[string]struct {
		file, content string
		want          []string
	}{
		"unknown column": {"p.csv", "ident,kind,lat,lon,elevaton\nONE,visual,1,2,3\n", []string{
			`trips/p.csv:1:20: error: the column "elevaton" is not known (did you mean "elevation"?)`,
		}},
		"column twice": {"p.csv", "ident,kind,lat,lon,kind\nONE,visual,1,2,visual\n", []string{
			`trips/p.csv:1:20: error: there are two columns "kind" (one column for each key)`,
		}},
		"semicolons": {"p.csv", "ident;kind;lat;lon\nONE;visual;1;2\n", []string{
			`trips/p.csv:1:1: error: the columns are not separated by commas (a header of key names: ident,name,kind,lat,lon,frequency,elevation,range)`,
		}},
		"latitude alone": {"p.csv", "ident,kind,lat\nONE,visual,1\n", []string{
			`trips/p.csv:1:1: error: lat and lon go together (a header of key names: ident,name,kind,lat,lon,frequency,elevation,range)`,
		}},
		"no header": {"p.csv", "# nothing\n", []string{
			`trips/p.csv: error: the file is empty (a header of key names: ident,name,kind,lat,lon,frequency,elevation,range)`,
		}},
		"cell too many": {"p.csv", "ident,kind,lat,lon\nONE,visual,1,2,3\n", []string{
			`trips/p.csv:2:16: error: "3" is in a column without a name (a header of key names: ident,name,kind,lat,lon,frequency,elevation,range)`,
		}},
		"columns count characters": {"p.csv", "ident,name,kind,lat,lon\nÅRE,Årefjället,visual,91,2\n", []string{
			`trips/p.csv:2:23: error: points[0].at[0]: 91 is out of range (-90 to 90 degrees: the latitude comes first, north positive)`,
		}},
		"half a position": {"p.csv", "ident,kind,lat,lon,from,radial,distance\nONE,visual,1,,,,\n", []string{
			`trips/p.csv:2:1: error: lat and lon go together (both, or neither for a fix that is measured)`,
			`trips/p.csv:2:1: error: points[0].at: the key "at" is missing ([56.1234, -4.5678] or "N56 22.4 W003 51.7")`,
		}},
		"quote not closed": {"p.csv", "ident,kind,lat,lon\n\"ONE,visual,1,2\n", []string{
			`trips/p.csv:2: error: extraneous or missing " in quoted-field (cells separated by commas, quotes doubled)`,
		}},
		"list without points": {"p.yaml", "point:\n  - {ident: ONE}\n", []string{
			`trips/p.yaml:1:1: error: point: the key "point" is not known here (did you mean "points"?)`,
		}},
		"no list": {"p.yaml", "- {ident: ONE}\n", []string{
			`trips/p.yaml:1:1: error: there is a list where a group of keys belongs (points: [{ident: KVN, kind: vor-dme, at: [56.1234, -4.5678], frequency: 114.35}])`,
		}},
		"one ident twice": {"p.csv", "ident,kind,lat,lon\nONE,visual,1,2\nONE,visual,1,3\n", []string{
			`trips/p.csv:3:1: error: points[1]: there are two points "ONE" in this list, the first on line 2 (a name of its own for each)`,
		}},
	} {
		t.Run(name, func(t *testing.T) {
			_, problems := Load("trips/plan.yaml", withLists(fileMap{list.file: list.content}, list.file).read)
			var got []string
			for _, problem := range problems {
				got = append(got, problem.String())
			}
			assert.Equal(t, list.want, got)
		})
	}
}

func TestMissingListIsToldWhereItIsNamed(t *testing.T) {
	_, problems := Load("trips/plan.yaml", withLists(nil, "gone.csv").read)
	require.Len(t, problems, 1)
	assert.Equal(t, `trips/plan.yaml:20:16: error: points_files[0]: "trips/gone.csv" can't be read: there is no such file`, problems[0].String())
}

func TestNamesAreRelativeToThePlan(t *testing.T) {
	assert.Equal(t, "trips/aircraft/a.yaml", beside("trips/plan.yaml", "aircraft/a.yaml"))
	assert.Equal(t, "aircraft.yaml", beside("plan.yaml", "aircraft.yaml"))
	assert.Equal(t, "lists/p.csv", beside("trips/plan.yaml", "../lists/p.csv"))
	assert.Equal(t, "/lists/p.csv", beside("trips/plan.yaml", "/lists/p.csv"))
}
