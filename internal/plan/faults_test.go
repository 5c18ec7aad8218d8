package plan

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// goodPlan has no problem of any severity. The faults below are put into it; its lines are counted in what they expect.
const goodPlan = `plan: 1
title: There and back
date: 2026-06-14
off_blocks: "09:10"
taxi_minutes: 8
aircraft: aircraft.yaml
fuel:
  on_board: {left: 48, right: 51}
  start_on: right
  reserve_minutes: 45
  contingency_percent: 5
  alternate: DUN
conditions:
  qnh: 1019
  isa_deviation: 2
  winds:
    - {altitude: 2000, from: 230, speed: 15}
    - {altitude: 5000, from: 250, speed: 22, temperature: 4}
  wind_error: 8
points:
  - {ident: STR, kind: aerodrome, at: [56.1, -4.5], elevation: 35, circuit: 1000}
  - {ident: DUN, kind: aerodrome, at: [56.4, -3.0], elevation: 50, circuit: 1000}
  - {ident: KVN, kind: vor-dme, at: [56.2, -3.9], frequency: 114.35, elevation: 1250, declination: -2.5, range: 60}
  - {ident: OBN, kind: ndb, at: [56.3, -4.0], frequency: 404, range: 30}
  - {ident: DAM, kind: visual, at: [56.16, -4.2]}
  - {ident: K25, kind: fix, from: KVN, radial: 96, distance: 25}
route:
  from: STR
  legs:
    - to: KVN
      altitude: 3500
      safe_altitude: 3100
      checkpoints: [DAM, {name: railway, after: 8.5}]
      radio:
        - {receiver: NAV1, beacon: KVN, course: inbound}
        - {receiver: ADF, beacon: OBN, before: 5}
    - to: STR
      altitude: FL045
  alternates: [DUN]
checks:
  - {name: cruise check, every: 15}
  - {name: pump off, climbing_through: 1000}
  - {name: area QNH, passing: KVN}
  - {name: arrival, before: STR, minutes: 10}
`

const goodAircraft = `aircraft: 1
name: Kestrel two-seat trainer (invented)
registration: X-ABCD
fuel:
  unit: litre
  tanks:
    - {name: left, capacity: 57, unusable: 2}
    - {name: right, capacity: 57, unusable: 2}
  max_imbalance: 19
  quiet_below: 1000
  quiet_before_landing: 10
receivers: [NAV1, DME, ADF]
taxi_flow: 8
climb:
  ias: 70
  table:
    - {altitude: 0, rate: 720, flow: 30}
    - {altitude: 8000, rate: 300, flow: 25}
cruise:
  power: 75
  table:
    - {altitude: 2000, power: 75, tas: 98, flow: 23.5}
    - {altitude: 6000, power: 75, tas: 102, flow: 23.8}
descent: {ias: 95, rate: 500, flow: 16}
holding: {ias: 70, flow: 16}
`

func TestGoodPlanHasNoProblems(t *testing.T) {
	plan, problems := Load("plan.yaml", fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}.read)
	assert.Empty(t, problems)
	require.NotNil(t, plan)
}

// fault is one mistake in the good plan or its aircraft.
type fault struct {
	old, new string   // the new text stands where the old one did
	want     []string // every problem that comes of it, as it is printed
}

func (f fault) check(t *testing.T) {
	t.Helper()
	files := fileMap{"plan.yaml": goodPlan, "aircraft.yaml": goodAircraft}
	name := "plan.yaml"
	if !strings.Contains(goodPlan, f.old) {
		name = "aircraft.yaml"
	}
	require.Equal(t, 1, strings.Count(files[name], f.old), "%q must stand once in the files", f.old)
	files[name] = strings.Replace(files[name], f.old, f.new, 1)
	plan, problems := Load("plan.yaml", files.read)
	var got []string
	for _, problem := range problems {
		got = append(got, problem.String())
	}
	assert.Equal(t, f.want, got)
	assert.Equal(t, slices.ContainsFunc(f.want, func(text string) bool { return strings.Contains(text, ": error: ") }), plan == nil)
}

func checkFaults(t *testing.T, faults map[string]fault) {
	for name, fault := range faults {
		t.Run(name, func(t *testing.T) { fault.check(t) })
	}
}

func TestFaultsOfKeysAndTypes(t *testing.T) {
	checkFaults(t, map[string]fault{
		"unknown key": {"  qnh: 1019", "  qhn: 1019", []string{
			`plan.yaml:14:3: error: conditions.qhn: the key "qhn" is not known here (did you mean "qnh"?)`,
		}},
		"unknown key without a near one": {"title: There", "colour: There", []string{
			`plan.yaml:1:1: note: title: not given: "STR to STR" is used`,
			`plan.yaml:2:1: error: colour: the key "colour" is not known here (one of plan, title, pilot, instructor, date, off_blocks, taxi_minutes, aircraft, fuel, conditions, points, points_files, route, checks, contacts, remarks)`,
		}},
		"key twice": {"title: There and back", "title: There\ntitle: Back", []string{
			`plan.yaml:3:1: error: title: the key "title" is given twice, first on line 2 (leave one of them out)`,
		}},
		"missing key": {"  from: STR\n", "", []string{
			`plan.yaml:27:1: error: route.from: the key "from" is missing (the aerodrome of departure)`,
		}},
		"missing group": {"descent: {ias: 95, rate: 500, flow: 16}\n", "", []string{
			`aircraft.yaml:1:1: error: aircraft.descent: the key "descent" is missing ({ias: 95, rate: 500, flow: 16})`,
		}},
		"key without a value": {"  qnh: 1019", "  qnh:", []string{
			`plan.yaml:14:7: error: conditions.qnh: there is no value (850 to 1090 hPa: or 25 to 32 inHg, or leave the key out)`,
		}},
		"list where one value belongs": {"  qnh: 1019", "  qnh: [1019]", []string{
			`plan.yaml:14:8: error: conditions.qnh: there is a list where one value belongs (850 to 1090 hPa: or 25 to 32 inHg)`,
		}},
		"value where a list belongs": {"  alternates: [DUN]", "  alternates: DUN", []string{
			`plan.yaml:39:15: error: route.alternates: there is "DUN" where a list belongs ([STR], aerodromes of the points)`,
		}},
		"value where a group belongs": {"descent: {ias: 95, rate: 500, flow: 16}", "descent: 95", []string{
			`aircraft.yaml:24:10: error: aircraft.descent: there is "95" where a group of keys belongs ({ias: 95, rate: 500, flow: 16})`,
		}},
		"empty list": {"  winds:\n    - {altitude: 2000, from: 230, speed: 15}\n    - {altitude: 5000, from: 250, speed: 22, temperature: 4}", "  winds: []", []string{
			`plan.yaml:16:10: error: conditions.winds: the list needs 1 of them and has 0 ({altitude: 2000, from: 230, speed: 15})`,
		}},
		"alias": {"safe_altitude: 3100", "safe_altitude: *safe", []string{
			`plan.yaml:32: error: the file can't be understood near line 32: unknown anchor 'safe' referenced (aliases are not read; a value that begins with * needs quotes)`,
		}},
		"alias of an anchor": {"from: STR\n  legs:", "from: &start STR\n  legs:\n    - {to: *start, altitude: 3500}", []string{
			`plan.yaml:30:12: error: the alias *start is not read here (write the value out)`,
		}},
	})
}

func TestFaultsOfNumbersAndTimes(t *testing.T) {
	wind := "from: 250, speed: 22"
	at := func(column, text string) []string {
		return []string{"plan.yaml:18:" + column + ": error: conditions.winds[1]." + text}
	}
	checkFaults(t, map[string]fault{
		"hexadecimal":  {wind, "from: 0xFA, speed: 22", at("30", `from: "0xFA" is not a decimal number (write it with the digits 0 to 9 alone)`)},
		"underscore":   {wind, "from: 2_50, speed: 22", at("30", `from: "2_50" has underscores in it (write 250)`)},
		"exponent":     {wind, "from: 2.5e2, speed: 22", at("30", `from: "2.5e2" has an exponent (write the number out in full)`)},
		"comma":        {wind, `from: 250, speed: "22,5"`, at("42", `speed: "22,5" has a comma in it (write the decimal point: 22.5)`)},
		"unit":         {wind, "from: 250, speed: 22 kt", at("42", `speed: "22 kt" has a unit in it (write 22 alone)`)},
		"word":         {wind, "from: west, speed: 22", at("30", `from: "west" is not a number (0 to 360 degrees: true, where the wind comes from)`)},
		"not a number": {wind, "from: .nan, speed: 22", at("30", `from: ".nan" is not a number (0 to 360 degrees: true, where the wind comes from)`)},
		"out of range": {wind, "from: 0370, speed: 22", at("30", `from: 0370 is out of range (0 to 360 degrees: true, where the wind comes from)`)},
		"inches of mercury": {"qnh: 1019", "qnh: 33.09", []string{
			`plan.yaml:14:8: error: conditions.qnh: 33.09 is out of range (850 to 1090 hPa: or 25 to 32 inHg)`,
		}},
		"percentage": {"contingency_percent: 5", "contingency_percent: 500", []string{
			`plan.yaml:11:24: error: fuel.contingency_percent: 500 is out of range (0 to 100 per cent)`,
		}},
		"taxi minutes": {"taxi_minutes: 8", "taxi_minutes: -8", []string{
			`plan.yaml:5:15: error: taxi_minutes: -8 is out of range (0 to 120 minutes)`,
		}},
		"wrong temperature sign": {"temperature: 4", "temperature: -44", []string{
			`plan.yaml:18:59: caution: conditions.winds[1].temperature: -44 °C is far from the standard 5 °C at that altitude (look for a slip of the sign)`,
		}},
		"two winds at one altitude": {"altitude: 5000", "altitude: 02000", []string{
			`plan.yaml:18:7: error: conditions.winds[1]: there are two winds at 2000 ft (one for each altitude)`,
		}},
		"date": {"2026-06-14", "14/06/2026", []string{`plan.yaml:3:7: error: date: "14/06/2026" is not a date (year-month-day: 2026-06-14)`}},
		"no such date": {"2026-06-14", "2026-06-31", []string{
			`plan.yaml:3:7: error: date: "2026-06-31" is not a date (year-month-day: 2026-06-14)`,
		}},
		"date without a magnetic model": {"2026-06-14", "2019-06-14", []string{
			`plan.yaml:3:7: error: date: no magnetic field for 2019-06-14: WMM2025 holds from 2025 to the end of 2029 and is extrapolated to the end of 2099 (a date of those years)`,
		}},
		"time without a colon": {`"09:10"`, `0910`, []string{`plan.yaml:4:13: error: off_blocks: "0910" is not a time (write "09:10")`}},
		"no such time":         {`"09:10"`, `"24:10"`, []string{`plan.yaml:4:13: error: off_blocks: there is no time 24:10 (00:00 to 23:59:59)`}},
		"local time": {`"09:10"`, `"9:10 pm"`, []string{
			`plan.yaml:4:13: error: off_blocks: "9:10 pm" is not a time (hours and minutes, UTC: "09:10" or "09:10:30")`,
		}},
	})
}

func TestFaultsOfVersionAndSyntax(t *testing.T) {
	checkFaults(t, map[string]fault{
		"missing version": {"plan: 1\n", "", []string{
			`plan.yaml:1:1: error: plan: the key "plan" is missing (begin the file with plan: 1)`,
		}},
		"newer version": {"plan: 1\n", "plan: 2\n", []string{
			`plan.yaml:1:7: error: plan: version "2" is not known (this program reads plan: 1)`,
		}},
		"missing version of the aircraft": {"aircraft: 1\n", "", []string{
			`aircraft.yaml:1:1: error: aircraft.aircraft: the key "aircraft" is missing (begin the file with aircraft: 1)`,
		}},
		"newer version of the aircraft": {"aircraft: 1\n", "aircraft: 1.5\n", []string{
			`aircraft.yaml:1:11: error: aircraft.aircraft: version "1.5" is not known (this program reads aircraft: 1)`,
		}},
		"aircraft file for a plan": {goodPlan, goodAircraft, []string{
			`plan.yaml:1:11: error: aircraft: this is an aircraft file (name the plan that it belongs to)`,
		}},
		"no such aircraft": {"aircraft: aircraft.yaml", "aircraft: kestrel.yaml", []string{
			`plan.yaml:6:11: error: aircraft: "kestrel.yaml" can't be read: there is no such file`,
		}},
		"empty file": {goodPlan, "# nothing yet\n", []string{`plan.yaml: error: the file is empty`}},
		"no keys":    {goodPlan, "STR to KVN\n", []string{`plan.yaml:1:1: error: there is "STR to KVN" where a group of keys belongs (a plan, which begins with plan: 1)`}},
		"two documents": {"conditions:", "---\nconditions:", []string{
			`plan.yaml:13:1: error: a second document begins here (one file holds one document, without --- lines)`,
		}},
		"tab": {"fuel:\n  on_board", "fuel:\n\ton_board", []string{
			`plan.yaml:8: error: the file can't be understood near line 8: found character that cannot start any token (indent with blanks, not tabs; a value that begins with @ % ` + "`" + ` or a tab needs quotes)`,
		}},
		"colon in a text": {"title: There and back", "title: Out: there", []string{
			`plan.yaml:2: error: the file can't be understood near line 2: mapping values are not allowed in this context (a value with a colon in it needs quotes; keys of one block begin in one column)`,
		}},
		"brace not closed": {"descent: {ias: 95, rate: 500, flow: 16}", "descent: {ias: 95, rate: 500, flow: 16", []string{
			`aircraft.yaml:24: error: the file can't be understood near line 24: did not find expected ',' or '}' (a closing ] or } or a comma may be missing)`,
		}},
		"indentation slip in a block": {"      altitude: 3500", "     altitude: 3500", []string{
			`plan.yaml:30: error: the file can't be understood near line 30: did not find expected '-' indicator (the items of one list begin in one column, each with "- ")`,
		}},
		"indentation slip of a root key": {"points:\n", " points:\n", []string{
			`plan.yaml:20: error: the file can't be understood near line 20: did not find expected key (keys of one block begin in one column; a closing } or quote may be missing above)`,
		}},
		"quote not closed": {`"09:10"`, `"09:10`, []string{
			`plan.yaml:4: error: the file can't be understood near line 4: found unexpected end of stream (a quote that was opened is not closed)`,
		}},
		"control character": {"title: There and back", "title: There\x01", []string{
			`plan.yaml: error: the file is not YAML: control characters are not allowed`,
		}},
		"line break in a text": {"title: There and back", "title: |\n  There\n  and back", []string{
			`plan.yaml:2:8: error: title: the text has a line break or another control character in it (one line of plain text)`,
		}},
	})
}
