package sheet_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// Only commit rewritten files if you understand what changed them.
var update = flag.Bool("update", false, "rewrite the golden files")

func written(t testing.TB, s *sheet.Sheet, format string) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, s.Write(&out, format))
	return out.String()
}

func golden(t *testing.T, name, got string) string {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	return string(want)
}

// TestPrintedSheets compares what is printed with files that people have read.
func TestPrintedSheets(t *testing.T) {
	s := computed(t, lochs())
	for format, name := range map[string]string{"text": "lochs.txt", "markdown": "lochs.md", "html": "lochs.html"} {
		got := written(t, s, format)
		assert.Equal(t, golden(t, name, got), got)
		assert.Contains(t, strings.Join(strings.Fields(got), " "), "Not certified", "the caution stands on every printed sheet")
	}
}

// TestJSONGolden compares names, structure and figures; the last digits of a figure differ from one processor to another.
func TestJSONGolden(t *testing.T) {
	got := written(t, computed(t, lochs()), "json")
	var want, have any
	require.NoError(t, json.Unmarshal([]byte(golden(t, "lochs.json", got)), &want))
	require.NoError(t, json.Unmarshal([]byte(got), &have))
	sameJSON(t, "sheet", want, have)
}

func sameJSON(t *testing.T, path string, want, have any) {
	t.Helper()
	switch want := want.(type) {
	case map[string]any:
		object, ok := have.(map[string]any)
		require.True(t, ok, path)
		require.Len(t, object, len(want), path)
		for name, value := range want {
			require.Contains(t, object, name, path)
			sameJSON(t, path+"."+name, value, object[name])
		}
	case []any:
		list, ok := have.([]any)
		require.True(t, ok, path)
		require.Len(t, list, len(want), path)
		for i, value := range want {
			sameJSON(t, fmt.Sprintf("%s[%d]", path, i), value, list[i])
		}
	case float64:
		require.InDelta(t, want, have, 1e-6*max(1, math.Abs(want)), path)
	case string:
		if at, err := time.Parse(time.RFC3339Nano, want); err == nil {
			again, err := time.Parse(time.RFC3339Nano, have.(string))
			require.NoError(t, err, path)
			require.WithinDuration(t, at, again, time.Millisecond, path)
			return
		}
		require.Equal(t, want, have, path)
	default:
		require.Equal(t, want, have, path)
	}
}

// TestJSONNames: every name that programs rely on is there, in every object.
func TestJSONNames(t *testing.T) {
	var out map[string]any
	require.NoError(t, json.Unmarshal([]byte(written(t, computed(t, lochs()), "json")), &out))
	names := func(value any, want string) {
		t.Helper()
		for _, name := range strings.Split(want, ",") {
			assert.Contains(t, value, name)
		}
	}
	names(out, "title,legs,climb,descent,fuel,tanks,radio,daylight,problems,alternates,contacts,remarks,freezing_level_ft")
	for _, leg := range out["legs"].([]any) {
		names(leg, "from,to,kind,distance_nm,track_true,track_magnetic,course_outbound,course_inbound,variation,altitude_ft,wind_from,wind_kt,tas_kt,"+
			"wind_correction_deg,heading_true,heading_magnetic,groundspeed_kt,minutes,eta,fuel,checkpoints,safe_altitude_ft")
		for _, checkpoint := range leg.(map[string]any)["checkpoints"].([]any) {
			names(checkpoint, "name,after_nm,eta")
		}
	}
	for _, way := range out["alternates"].([]any) {
		names(way, "point,heading_magnetic,distance_nm,minutes,fuel,eta")
	}
	names(out["climb"], "minutes,distance_nm,fuel,top_after_nm,top_leg")
	names(out["descent"], "minutes,distance_nm,fuel,top_before_nm,top_leg")
	names(out["fuel"], "unit,taxi,trip,contingency,alternate,reserve,required,on_board,spare,endurance_minutes")
	names(out["tanks"], "changes,max_imbalance_planned")
	for _, change := range out["tanks"].(map[string]any)["changes"].([]any) {
		names(change, "at,minutes_after_airborne,to,imbalance_before")
	}
	for _, step := range out["radio"].([]any) {
		names(step, "leg,receiver,beacon,frequency,ident_morse,course,after_nm,eta,range_nm,in_range")
	}
	names(out["daylight"], "sunset,civil_twilight_end,arrival")
	for _, problem := range out["problems"].([]any) {
		names(problem, "severity,path,text")
	}
}

// TestJSONNulls: what is missing is null and not 0, and lists are never null.
func TestJSONNulls(t *testing.T) {
	p := level(360, 30, 100, 8, air.Wind{})
	p.OffBlocks = time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC)
	p.Points[0].At.Lat, p.Points[1].At.Lat = 75, 75.5
	p.Aircraft.Fuel.Tanks = p.Aircraft.Fuel.Tanks[:1]
	p.Fuel = plan.Fuel{OnBoard: map[string]float64{"left": 48}, StartOn: "left"}
	p.Aircraft.Fuel.MaxImbalance, p.Aircraft.Fuel.ChangeEveryMinutes = nil, nil
	p.Points = append(p.Points, plan.Point{Ident: "OBN", Kind: plan.NDB, At: p.Points[0].At, Frequency: 404})
	p.Route.Alternates = nil
	p.Route.Legs[0].Radio = []plan.RadioStep{{Receiver: "ADF", Beacon: "OBN"}}
	var out map[string]any
	require.NoError(t, json.Unmarshal([]byte(written(t, computed(t, p), "json")), &out))
	for _, c := range []struct {
		in   any
		null string
	}{
		{out["legs"].([]any)[0], "course_outbound,course_inbound,safe_altitude_ft"},
		{out["climb"], "minutes,distance_nm,fuel,top_after_nm,top_leg"},
		{out["descent"], "minutes,distance_nm,fuel,top_before_nm,top_leg"},
		{out["fuel"], "alternate"},
		{out["tanks"], "max_imbalance_planned"},
		{out["radio"].([]any)[0], "course,range_nm,in_range"},
		{out["daylight"], "sunset,civil_twilight_end"},
	} {
		for _, name := range strings.Split(c.null, ",") {
			value, there := c.in.(map[string]any)[name]
			assert.True(t, there, name)
			assert.Nil(t, value, name)
		}
	}
	assert.Equal(t, []any{}, out["legs"].([]any)[0].(map[string]any)["checkpoints"])
	assert.Equal(t, []any{}, out["tanks"].(map[string]any)["changes"])
}

// TestJSONMeanings: some figures in their places.
func TestJSONMeanings(t *testing.T) {
	s := computed(t, bent(4000, 1000, bentLeg{30, 4000}, bentLeg{4, 4000}))
	var out struct {
		Descent struct {
			TopLeg      int     `json:"top_leg"`
			TopBeforeNM float64 `json:"top_before_nm"`
			DistanceNM  float64 `json:"distance_nm"`
		}
		Legs []struct{ ETA time.Time }
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, s, "json")), &out))
	assert.Equal(t, 0, out.Descent.TopLeg)
	assert.InDelta(t, out.Descent.DistanceNM-4, out.Descent.TopBeforeNM, 1e-6, "before the end of the leg that the top lies on")
	assert.True(t, s.Legs[1].ETA.Equal(out.Legs[1].ETA), "unrounded")
}

// TestCSV: what a spreadsheet opens. Spans have their hours, a section begins after an empty line, and no name is a formula.
func TestCSV(t *testing.T) {
	p := lochs()
	p.Route.Legs[0].Checkpoints[0].Name = "=1+1"
	s := computed(t, p)
	reader := csv.NewReader(strings.NewReader(written(t, s, "csv")))
	reader.FieldsPerRecord = -1
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"STR", "TOC", "climb", "9.5"}, rows[1][:4])
	assert.Equal(t, "0:06:26", rows[1][14])
	assert.Equal(t, "09:24:26", rows[1][15])
	assert.Equal(t, []string{"TOC", "KVN", "cruise", "18.5"}, rows[2][:4])
	text := written(t, s, "csv")
	assert.Contains(t, text, "\nfrom,to,along the leg,what,after nm,ETA UTC\nSTR,KVN,railway,checkpoint,8.5,09:23:48\nSTR,KVN,'=1+1,checkpoint,11.0,")
	assert.Contains(t, text, "\nfrom,to,receiver,beacon,frequency,course °M,after nm,ETA UTC\nSTR,KVN,NAV1,KVN,114.35,060,0.0,09:18:00\n")
	assert.Contains(t, text, "\ntank,change UTC,imbalance litre\nleft,09:34:33,5.1\n")
}

// TestPrintedFiguresAddUp: whoever adds up what is printed comes to what is printed: times from row to row, fuel from row to row, track and
// wind correction to the heading, the fuel to its sum, and all to the totals.
func TestPrintedFiguresAddUp(t *testing.T) {
	number := func(t *rapid.T, text string) float64 {
		value, err := strconv.ParseFloat(strings.TrimPrefix(text, "+"), 64)
		require.NoError(t, err)
		return value
	}
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t)
		p.Fuel.OnBoard = map[string]float64{"left": rapid.Float64Range(30, 57).Draw(t, "left"), "right": rapid.Float64Range(30, 57).Draw(t, "right")}
		s, problems := sheet.Compute(p)
		if s == nil {
			require.NotEmpty(t, problems)
			return
		}
		var out bytes.Buffer
		require.NoError(t, s.Write(&out, "markdown"))
		cells := func(line string) []string {
			cut := strings.Split(strings.Trim(line, "| "), "|")
			for i := range cut {
				cut[i] = strings.TrimSpace(cut[i])
			}
			return cut
		}
		_, log, _ := strings.Cut(out.String(), "## Legs\n\n")
		log, rest, _ := strings.Cut(log, "## Along the legs")
		_, block, _ := strings.Cut(rest, "## Fuel, L\n\n")
		fuel := map[string]float64{}
		for _, line := range strings.Split(block, "\n")[2:] {
			if row := cells(line); len(row) == 3 {
				fuel[row[0]], _ = strconv.ParseFloat(row[1], 64)
			}
			if line == "" {
				break
			}
		}
		clock := func(text string) time.Duration {
			at, err := time.Parse(time.TimeOnly, text)
			require.NoError(t, err)
			return at.Sub(at.Truncate(24 * time.Hour))
		}
		at, left := clock("09:18:00"), fuel["fuel on arrival"]+fuel["trip"]
		for _, line := range strings.Split(strings.TrimSpace(log), "\n")[2:] {
			row := cells(line)
			if row[0] == "total" {
				require.InDelta(t, fuel["trip"], number(t, row[12]), 0.01)
				require.InDelta(t, left, number(t, row[13]), 0.01)
				break
			}
			heading := math.Mod(number(t, row[4])+number(t, row[7])+719, 360) + 1
			require.InDelta(t, number(t, row[8]), heading, 0.01, "track and wind correction")
			if minutes, seconds, ok := strings.Cut(row[10], ":"); ok { // an hour and more is in full minutes
				span := time.Duration(number(t, minutes))*time.Minute + time.Duration(number(t, seconds))*time.Second
				require.Equal(t, clock(row[11]), (at+span)%(24*time.Hour), "time and ETA")
			}
			at = clock(row[11])
			left -= number(t, row[12])
			require.InDelta(t, left, number(t, row[13]), 0.01, "fuel used and left")
		}
		require.InDelta(t, fuel["fuel on arrival"], left, 0.01)
		sum := fuel["taxi"] + fuel["trip"] + fuel["contingency"] + fuel["alternate"] + fuel["final reserve"]
		require.InDelta(t, sum, fuel["minimum block fuel"], 0.01)
		require.InDelta(t, fuel["block fuel"]-4-sum, fuel["extra fuel"], 0.01, "2 L in each tank can't be used")
	})
}

// TestLogPartsAreTheLeg: distance over groundspeed is the time of every row, and the rows of a leg add up to it.
func TestLogPartsAreTheLeg(t *testing.T) {
	s := computed(t, lochs())
	for i, leg := range s.Legs {
		minutes, distanceNM, burned := 0.0, 0.0, 0.0
		for _, part := range s.LogParts(i) {
			assert.InDelta(t, part.Minutes, part.DistanceNM/part.GroundspeedKt*60, 1e-9)
			minutes, distanceNM, burned = minutes+part.Minutes, distanceNM+part.DistanceNM, burned+part.Fuel
		}
		assert.InDelta(t, leg.Minutes, minutes, 1e-9)
		assert.InDelta(t, leg.DistanceNM, distanceNM, 1e-6)
		assert.InDelta(t, leg.Fuel, burned, 1e-9)
	}
}

// TestContactsBoundariesAndBearings: 10 nm before KVN is 18 nm along a first leg of 28; an NDB's inbound course is the leg's magnetic
// track there, the QDM to hold.
func TestContactsBoundariesAndBearings(t *testing.T) {
	p := lochs()
	ten, twenty := 10.0, 20.0
	p.Contacts = []plan.Contact{{Name: "Norland Information", FrequencyMHz: 124.75, At: "KVN", BeforeNM: &ten, For: "flight information"}}
	p.Route.Legs[0].Checkpoints = append(p.Route.Legs[0].Checkpoints, plan.Checkpoint{Name: "Norland FIR", AfterNM: &twenty, Boundary: true})
	p.Route.Legs[2].Radio = []plan.RadioStep{{Receiver: "ADF", Beacon: "OBN", Course: plan.Inbound}}
	p.Remarks = []string{"gliders on Sundays"}
	p.Aircraft.Deviation = []plan.Deviation{{HeadingMagnetic: 0, Compass: 2}}
	s := computed(t, p)
	require.Len(t, s.Contacts, 1)
	assert.Equal(t, 0, s.Contacts[0].Leg)
	assert.InDelta(t, s.Legs[0].DistanceNM-10, s.Contacts[0].AfterNM, 1e-9)
	step := s.Legs[2].Radio[0]
	require.NotNil(t, step.CourseMagnetic)
	assert.InDelta(t, s.Legs[2].TrackMagnetic, *step.CourseMagnetic, 1e-9)
	text := written(t, s, "text")
	for _, said := range []string{"call Norland Information 124.750, flight information", "boundary of Norland FIR", "ADF OBN 404 QDM 210", "gliders on Sundays", "CMP"} {
		assert.Contains(t, text, said)
	}
}

// TestHTML: one page that is well formed, needs nothing from elsewhere and can be printed.
func TestHTML(t *testing.T) {
	page := written(t, computed(t, lochs()), "html")
	cells := wellFormed(t, page)
	assert.Contains(t, page, "@page { size: A4")
	assert.NotRegexp(t, regexp.MustCompile(`(?i)https?:|//[a-z]|src=|href=|url\(|@import|<script|<link|<img|<iframe`), page)
	assert.Contains(t, cells, "STR-TOC")
	assert.Contains(t, cells, "09:33:46")
	legs, marks := strings.Count(page, `<tr class="leg">`), strings.Count(page, `<tr class="mark">`)
	assert.Equal(t, 7, legs, "split at the tops of climb and descent")
	assert.Equal(t, 2*(legs+marks), strings.Count(page, `<td class="write"></td>`), "room for every revised and actual time")
}

// wellFormed walks the elements, which must nest and close, and gives the text of the table cells. Every row of a table must
// have as many columns as the others.
func wellFormed(t *testing.T, page string) (cells []string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(page))
	decoder.Strict, decoder.Entity = true, xml.HTMLEntity
	widths := map[int]int{}
	columns, text := 0, ""
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			switch token.Name.Local {
			case "tr":
				columns = 0
			case "td", "th":
				text = ""
				columns++
				for _, attribute := range token.Attr {
					if attribute.Name.Local == "colspan" {
						span, err := strconv.Atoi(attribute.Value)
						require.NoError(t, err)
						columns += span - 1
					}
				}
			}
		case xml.CharData:
			text += string(token)
		case xml.EndElement:
			switch token.Name.Local {
			case "td":
				cells = append(cells, text)
			case "tr":
				widths[columns]++
			}
		}
	}
	for width := range widths {
		assert.Contains(t, []int{16, 3, 5, 8}, width, "the log, a list, the beacons, the arrivals")
	}
	return cells
}

// hostile is a plan whose words try to be something else than words.
func hostile() *plan.Plan {
	p := lochs()
	p.Title = `<script>alert(1)</script> & "quoted" | *bold* ` + strings.Repeat("long ", 30)
	p.Points[5].Name = "<b>dam|`x`</b>"
	p.Route.Legs[0].Checkpoints[1].Name = "a very long name that does not end before the eightieth column of the terminal, does it"
	p.Aircraft.Name = "=cmd()"
	return p
}

// TestWordsStayWords: nothing that a plan says becomes markup.
func TestWordsStayWords(t *testing.T) {
	s := computed(t, hostile())
	page := written(t, s, "html")
	assert.NotContains(t, page, "<script")
	assert.Contains(t, page, "&lt;script&gt;")
	wellFormed(t, page)

	markdown := written(t, s, "markdown")
	assert.NotContains(t, markdown, "<script")
	assert.Contains(t, markdown, `\*bold\*`)
	for _, line := range strings.Split(markdown, "\n") {
		if strings.Contains(line, "dam") && strings.HasPrefix(line, "|") {
			assert.Equal(t, 6, strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"), "a row of five cells: %s", line)
		}
	}
}

// TestTextFits in 80 columns, whatever the plan says.
func TestTextFits(t *testing.T) {
	for _, p := range []*plan.Plan{lochs(), hostile(), exerciseA(), far()} {
		s, problems := sheet.Compute(p)
		require.NotNil(t, s, "%v", problems)
		for _, line := range strings.Split(written(t, s, "text"), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
	}
}

// TestFormats: every format is written, any other is refused with the list of them.
func TestFormats(t *testing.T) {
	s := computed(t, lochs())
	assert.Equal(t, []string{"text", "markdown", "html", "csv", "json"}, sheet.Formats())
	for _, format := range sheet.Formats() {
		assert.NotEmpty(t, written(t, s, format))
	}
	assert.EqualError(t, s.Write(io.Discard, "pdf"), `there is no format "pdf" for a sheet: use text, markdown, html, csv, json`)
	assert.ErrorIs(t, s.Write(failing{}, "text"), errFull)
}

var errFull = errors.New("no space left")

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }

// How warm the air is, is that of the forecast's levels, whatever is said of the rest.
func TestTheDeviationIsThatOfTheLevels(t *testing.T) {
	p := lochs()
	heading := func() string { return written(t, computed(t, p), "text") }
	for i := range p.Conditions.Winds {
		p.Conditions.Winds[i].TemperatureC = nil
	}
	p.Conditions.ISADeviation = -0.3
	assert.Contains(t, heading(), "ISA +0°C ")
	p.Conditions.ISADeviation = 5
	assert.Contains(t, heading(), "ISA +5°C ")
	for i, deviation := range []float64{-2, -4, -3} {
		if i < len(p.Conditions.Winds) {
			level := &p.Conditions.Winds[i]
			level.TemperatureC = new(air.ISATemperatureC(air.PressureAltitudeFt(level.AltitudeFt, p.Conditions.QNH)) + deviation)
		}
	}
	p.Conditions.Winds = p.Conditions.Winds[:2]
	assert.Contains(t, heading(), "ISA -4 to -2°C ")
}
