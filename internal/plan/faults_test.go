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
			`plan.yaml:2:1: error: colour: the key "colour" is not known here (one of plan, title, pilot, instructor, date, off_blocks, taxi_minutes, variation, aircraft, fuel, conditions, points, points_files, route, checks, contacts, remarks)`,
		}},
		"key twice": {"title: There and back", "title: There\ntitle: Back", []string{
			`plan.yaml:3:1: error: title: the key "title" is given twice, first on line 2 (leave one of them out)`,
		}},
		"a tag": {"title: There", "title: !!binary There", []string{
			`plan.yaml:2:8: error: the tag !!binary is not read here (write the value alone, in quotes if it begins with !)`,
		}},
		"no UTF-8": {"title: There", "title: Th\xe8re", []string{
			`plan.yaml:2: error: the file can't be understood near line 2: invalid trailing UTF-8 octet (save the file as UTF-8)`,
		}},
		"a value that is a file": {"  qnh: 1019", "  qnh: " + strings.Repeat("x", 100_000), []string{
			`plan.yaml:14:8: error: conditions.qnh: "` + strings.Repeat("x", 299) + " … " + strings.Repeat("x", 83) + `" is not a number (850 to 1090 hPa: or 25.2 to 32.1 inHg)`,
		}},
		"missing key": {"  from: STR\n", "", []string{
			`plan.yaml:27:1: error: route.from: the key "from" is missing (the aerodrome of departure)`,
		}},
		"missing group": {"descent: {ias: 95, rate: 500, flow: 16}\n", "", []string{
			`aircraft.yaml:1:1: error: aircraft.descent: the key "descent" is missing ({ias: 95, rate: 500, flow: 16})`,
		}},
		"key without a value": {"  qnh: 1019", "  qnh:", []string{
			`plan.yaml:14:7: error: conditions.qnh: there is no value (850 to 1090 hPa: or 25.2 to 32.1 inHg, or leave the key out)`,
		}},
		"a required key without a value": {"  from: STR", "  from:", []string{
			`plan.yaml:28:8: error: route.from: there is no value (the aerodrome of departure)`,
		}},
		"an item of a list without a value": {"  alternates: [DUN]", "  alternates: [DUN, ~]", []string{
			`plan.yaml:39:21: error: route.alternates[1]: there is no value ([STR], aerodromes of the points)`,
		}},
		"list where one value belongs": {"  qnh: 1019", "  qnh: [1019]", []string{
			`plan.yaml:14:8: error: conditions.qnh: there is a list where one value belongs (850 to 1090 hPa: or 25.2 to 32.1 inHg)`,
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
			`plan.yaml:14:8: error: conditions.qnh: 33.09 is out of range (850 to 1090 hPa: or 25.2 to 32.1 inHg)`,
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
			`plan.yaml:3:7: error: date: no magnetic field for 2019-06-14: WMM2025 holds from 2025 to the end of 2029 and is extrapolated to the end of 2099 (give the variation of a chart, variation: 3W, for the whole flight or for each leg)`,
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
			`plan.yaml:2: error: the file can't be understood near line 2: control characters are not allowed (plain text, saved as UTF-8)`,
		}},
		"line break in a text": {"title: There and back", "title: |\n  There\n  and back", []string{
			`plan.yaml:2:8: error: title: the text has a line break or another control character in it (one line of plain text)`,
		}},
	})
}

func TestFaultsOfPoints(t *testing.T) {
	fix := "from: KVN, radial: 96, distance: 25"
	at := func(place, text string) []string { return []string{"plan.yaml:" + place + ": error: points" + text} }
	checkFaults(t, map[string]fault{
		"localizer for a vor": {"frequency: 114.35", "frequency: 109.5", at("23:62",
			"[2].frequency: 109.50 MHz is a localizer channel: below 112 MHz a VOR has an even tenth; the nearest are 109.45 and 109.60")},
		"off the raster": {"frequency: 114.35", "frequency: 114.33", at("23:62",
			"[2].frequency: 114.33 MHz is not a VOR channel, their spacing is 50 kHz; the nearest are 114.30 and 114.35")},
		"outside the vor band": {"frequency: 114.35", "frequency: 118.00", at("23:62",
			"[2].frequency: 118 MHz is outside the VOR band, 108.00 to 117.95 MHz")},
		"an ndb in mhz": {"frequency: 404", "frequency: 114.35", at("24:58",
			"[3].frequency: 114.35 kHz is outside the NDB band, 190 to 1750 kHz")},
		"no frequency": {"at: [56.3, -4.0], frequency: 404", "at: [56.3, -4.0]", at("24:5",
			`[3].frequency: the key "frequency" is missing (kHz)`)},
		"three coordinates": {"at: [56.16, -4.2]", "at: [-4.2, 156.16, 7]", at("25:36",
			`[4].at: a position is two values, latitude and longitude; here are 3 ([56.1234, -4.5678] or "N56 22.4 W003 51.7")`)},
		"latitude out of range": {"at: [56.16, -4.2]", "at: [156.16, -4.2]", at("25:37",
			"[4].at[0]: 156.16 is out of range (-90 to 90 degrees: the latitude comes first, north positive)")},
		"half a position": {"at: [56.16, -4.2]", "at: 56.16N", at("25:36",
			`[4].at: position "56.16N": there must be one of N and S, and one of E and W, or none of them; write 56.1234, -4.5678 or N56 22.4 W003 51.7 or 562745N 0043210W or 56 27 45 N 4 32 10 W`)},
		"no position": {"kind: visual, at: [56.16, -4.2]", "kind: visual", at("25:5",
			`[4].at: the key "at" is missing ([56.1234, -4.5678] or "N56 22.4 W003 51.7")`)},
		"unknown kind": {"kind: visual", "kind: visaul", at("25:24",
			`[4].kind: "visaul" is not known here (did you mean "visual"?)`)},
		"ident of two words": {"ident: DAM", "ident: DAM 1", []string{
			`plan.yaml:25:13: error: points[4].ident: "DAM 1" can't be an ident (one word of letters and figures, KVN)`,
			`plan.yaml:33:21: error: route.legs[0].checkpoints[0]: there is no point "DAM" (one of STR, DUN, KVN, OBN, K25)`,
		}},
		"one ident twice": {"ident: OBN", "ident: KVN", []string{
			`plan.yaml:24:5: error: points[3]: there are two points "KVN" in this list, the first on line 23 (a name of its own for each)`,
			`plan.yaml:36:35: error: route.legs[0].radio[1].beacon: there is no point "OBN" (only "KVN")`,
		}},
		"fix in two ways": {fix, fix + ", at: [56.1, -3.2]", at("26:5",
			"[5]: the fix is given twice: by its position, and measured from a beacon (one of the two)")},
		"fix in no way": {"kind: fix, " + fix, "kind: fix", at("26:5",
			"[5]: the fix has no place (at, or {from: KVN, radial: 96, distance: 25})")},
		"fix without a distance": {fix, "from: KVN, radial: 96", at("26:5",
			"[5]: the fix is not measured in full ({from: KVN, radial: 96, distance: 25})")},
		"fix from an unknown beacon": {fix, "from: KNV, radial: 96, distance: 25", at("26:35",
			`[5].from: there is no point "KNV" (did you mean "KVN"?)`)},
		"radial of a beacon without one": {fix, "from: OBN, radial: 96, distance: 25", at("26:35",
			"[5].from: OBN has no radials: it is of kind ndb (a vor or a vor-dme)")},
		"radial out of range": {"radial: 96", "radial: 396", at("26:48",
			"[5].radial: 396 is out of range (0 to 360 degrees)")},
		"keys of other kinds": {"{ident: DAM, kind: visual", "{ident: DAM, circuit: 1000, frequency: 404, declination: 2, range: 5, radial: 5, kind: visual", []string{
			`plan.yaml:25:27: caution: points[4].circuit: "circuit" is not used: the point is of kind visual (it belongs to an aerodrome)`,
			`plan.yaml:25:44: caution: points[4].frequency: "frequency" is not used: the point is of kind visual (it belongs to a beacon)`,
			`plan.yaml:25:62: caution: points[4].declination: "declination" is not used: the point is of kind visual (it belongs to a vor or vor-dme, whose radials count from it)`,
			`plan.yaml:25:72: caution: points[4].range: "range" is not used: the point is of kind visual (it belongs to a beacon)`,
			`plan.yaml:25:83: caution: points[4].radial: "radial" is not used: the point is of kind visual (it belongs to a fix)`,
		}},
		"declination with the wrong sign": {"declination: -2.5", "declination: 12.5", []string{
			"plan.yaml:23:100: caution: points[KVN].declination: 12.5° E is far from the magnetic field at the station, 0.7° W (degrees, east positive, west negative)",
		}},
		"defaults of a beacon in use": {", elevation: 1250, declination: -2.5, range: 60", "", []string{
			"plan.yaml:23:5: note: points[KVN].elevation: not given: sea level is used",
			"plan.yaml:23:5: note: points[KVN].range: not given: line of sight alone counts",
		}},
		"defaults of an aerodrome": {"at: [56.1, -4.5], elevation: 35, circuit: 1000", "at: [56.1, -4.5]", []string{
			"plan.yaml:21:5: note: points[STR].elevation: not given: sea level is used",
			"plan.yaml:21:5: note: points[STR].circuit: not given: 1000 ft above the elevation is used",
		}},
	})
}

func TestFaultsOfTheAircraft(t *testing.T) {
	at := func(place, text string) []string {
		return []string{"aircraft.yaml:" + place + ": error: aircraft." + text}
	}
	checkFaults(t, map[string]fault{
		"unit": {"unit: litre", "unit: liter", at("5:9", `fuel.unit: "liter" is not known here (did you mean "litre"?)`)},
		"nothing usable": {"{name: left, capacity: 57, unusable: 2}", "{name: left, capacity: 57, unusable: 57}", at("7:7",
			`fuel.tanks[0]: of 57 nothing is usable: unusable 57 (an unusable part below the capacity)`)},
		"two tanks of one name": {"{name: right, capacity: 57, unusable: 2}", "{name: left, capacity: 57, unusable: 2}", []string{
			`plan.yaml:8:31: error: fuel.on_board.right: the aircraft has no tank "right" (one of left, left)`,
			`plan.yaml:9:13: error: fuel.start_on: the aircraft has no tank "right" (one of left, left)`,
			`aircraft.yaml:8:7: error: aircraft.fuel.tanks[1]: there are two tanks "left" (a name of its own for each position of the selector)`,
		}},
		"limit of three tanks": {"  max_imbalance", "    - {name: aux, capacity: 20, unusable: 1}\n  max_imbalance", []string{
			`plan.yaml:8:13: error: fuel.on_board: there is no quantity for the tank "aux" (0 if it is empty)`,
			`aircraft.yaml:10:18: error: aircraft.fuel.max_imbalance: with more than two tanks it is not clear which the limit compares (pairs: [[left, right]])`,
		}},
		"limit of one tank": {"    - {name: right, capacity: 57, unusable: 2}\n", "", []string{
			`plan.yaml:8:31: error: fuel.on_board.right: the aircraft has no tank "right" (only "left")`,
			`plan.yaml:9:13: error: fuel.start_on: the aircraft has no tank "right" (only "left")`,
			`aircraft.yaml:8:18: caution: aircraft.fuel.max_imbalance: one tank alone has no imbalance (leave the key out)`,
		}},
		"pair of an unknown tank": {"  quiet_below", "  pairs: [[left, rihgt]]\n  quiet_below", at("10:18",
			`fuel.pairs[0][1]: "rihgt" is not known here (did you mean "right"?)`)},
		"pair of a tank with itself": {"  quiet_below", "  pairs: [[left, left]]\n  quiet_below", at("10:11",
			`fuel.pairs[0]: "left" is paired with itself ([[left, right]])`)},
		"pair of three": {"  quiet_below", "  pairs: [[left, right, left]]\n  quiet_below", at("10:11",
			`fuel.pairs[0]: there are 3 names where a pair belongs ([[left, right]])`)},
		"receiver of nothing": {"[NAV1, DME, ADF]", "[NAV1, DME, ADF, COM1]", at("12:29",
			`receivers[3]: what "COM1" receives is not known (a name that begins with NAV (VOR), DME or ADF (NDB))`)},
		"receiver twice": {"[NAV1, DME, ADF]", "[NAV1, NAV1, ADF]", at("12:19",
			`receivers[1]: there are two receivers "NAV1" (NAV1, NAV2)`)},
		"table of one row": {"    - {altitude: 8000, rate: 300, flow: 25}\n", "", at("16:3",
			`climb.table: the list needs 2 of them and has 1 (two rows or more, {altitude: 0, rate: 720, flow: 30})`)},
		"two rows for one altitude": {"altitude: 8000", "altitude: 0", at("16:3",
			`climb.table: there are two rows for 0 ft (one row for each)`)},
		"two rows for one power": {"{altitude: 6000, power: 75", "{altitude: 2000, power: 75", at("21:3",
			`cruise.table: there are two rows for 2000 ft and 75 % (one row for each)`)},
		"power as a fraction": {"power: 75\n", "power: 0.75\n", at("20:10",
			`cruise.power: 0.75 is out of range (10 to 110 per cent)`)},
		"corrections that fall": {"holding:", "instrument: {position_error: [{ias: 70, cas: 72}, {ias: 100, cas: 71}]}\nholding:", at("25:30",
			`instrument.position_error: row 2 of the airspeed corrections (indicated 100 kt, calibrated 71 kt) must be above row 1 (indicated 70 kt, calibrated 72 kt) in both speeds (a table in which both speeds rise)`)},
		"defaults": {"  quiet_below: 1000\n  quiet_before_landing: 10\n", "", []string{
			"aircraft.yaml:4:1: note: aircraft.fuel.quiet_before_landing: not given: 10 minutes is used",
			"aircraft.yaml:4:1: note: aircraft.fuel.quiet_below: not given: 1000 ft is used",
		}},
		"no holding": {"holding: {ias: 70, flow: 16}\n", "", []string{
			"aircraft.yaml:1:1: note: aircraft.holding: not given: the final reserve is taken at the cruise flow",
		}},
	})
}

func TestFaultsOfFuel(t *testing.T) {
	checkFaults(t, map[string]fault{
		"more than the tank holds": {"{left: 48,", "{left: 57.5,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: 57.5 is more than the tank holds, 57 (at most the capacity)`,
		}},
		"hardly more than the tank holds": {"{left: 48,", "{left: 57.0001,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: 57.0001 is more than the tank holds, 57 (at most the capacity)`,
		}},
		"more than the tank holds, in another unit": {"{left: 48,", "{left: 16 usgal,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: 60.57 is more than the tank holds, 57 (at most the capacity)`,
		}},
		"a unit that is none": {"{left: 48,", "{left: 48 kg,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: "48 kg" is not a quantity of fuel (a number, with a unit of its own where that is not the aircraft's: 30 usgal; the units are litre, usgal and impgal)`,
		}},
		"a unit without a number": {"{left: 48,", "{left: some usgal,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: "some usgal" is not a quantity of fuel (0 to 5000)`,
		}},
		"a decimal comma": {"right: 51}", "right: 51,5}", []string{
			`plan.yaml:8:35: error: fuel.on_board.5: "5" stands alone after a comma (a decimal point, 17.5: a comma parts two tanks)`,
		}},
		"nothing in a tank's place": {"right: 51}", "right: }", []string{
			`plan.yaml:8:31: error: fuel.on_board.right: there is no value (0 to 5000, or leave the key out)`,
		}},
		"less than nothing": {"{left: 48,", "{left: -1,", []string{`plan.yaml:8:20: error: fuel.on_board.left: -1 is out of range (0 to 5000)`}},
		"unknown tank": {"{left: 48,", "{lefd: 48,", []string{
			`plan.yaml:8:13: error: fuel.on_board: there is no quantity for the tank "left" (0 if it is empty)`,
			`plan.yaml:8:20: error: fuel.on_board.lefd: the aircraft has no tank "lefd" (did you mean "left"?)`,
		}},
		"start on an unknown tank": {"start_on: right", "start_on: both", []string{
			`plan.yaml:9:13: error: fuel.start_on: the aircraft has no tank "both" (one of left, right)`,
		}},
		"start on an empty tank": {"right: 51", "right: 2", []string{
			`plan.yaml:9:13: error: fuel.start_on: the tank "right" holds no usable fuel (a tank that has some)`,
		}},
		"no usable fuel at all": {"{left: 48, right: 51}\n  start_on: right", "{left: 2, right: 1}", []string{
			`plan.yaml:8:13: error: fuel.on_board: no tank holds usable fuel (fuel in a tank)`,
		}},
		"start not given":        {"  start_on: right\n", "", []string{`plan.yaml:7:1: note: fuel.start_on: not given: right is used, the fullest`}},
		"reserve not given":      {"  reserve_minutes: 45\n", "", nil},               // the sheet chooses one, and says so
		"reserve of nothing":     {"reserve_minutes: 45", "reserve_minutes: 0", nil}, // what is published depends on the arrival: the sheet says it
		"alternate not given":    {"  alternate: DUN\n", "", []string{`plan.yaml:7:1: note: fuel.alternate: not given: DUN, the first of the alternates, is used`}},
		"unknown alternate":      {"alternate: DUN\n", "alternate: DUM\n", []string{`plan.yaml:12:14: error: fuel.alternate: there is no point "DUM" (did you mean "DUN"?)`}},
		"alternate no aerodrome": {"alternate: DUN\n", "alternate: KVN\n", []string{`plan.yaml:12:14: error: fuel.alternate: KVN is not an aerodrome: it is of kind vor-dme (a point of kind aerodrome)`}},
		"alternate the destination": {"alternate: DUN\n", "alternate: STR\n", []string{
			`plan.yaml:12:14: caution: fuel.alternate: the alternate is the destination itself (another aerodrome)`,
		}},
	})
}

func TestFaultsOfTheRoute(t *testing.T) {
	checkFaults(t, map[string]fault{
		"unknown start": {"  from: STR", "  from: SRT", []string{
			`plan.yaml:28:9: error: route.from: there is no point "SRT" (did you mean "STR"?)`,
		}},
		"start in the air": {"  from: STR", "  from: DAM", []string{
			`plan.yaml:28:9: caution: route.from: the route begins at DAM, which is not an aerodrome but of kind visual (a point of kind aerodrome)`,
			`plan.yaml:33:21: error: route.legs[0].checkpoints[0]: "DAM" is an end of the leg, not a checkpoint on it (another name)`,
		}},
		"end in the air": {"    - to: STR\n      altitude: FL045\n", "    - to: OBN\n      altitude: FL045\n", []string{
			`plan.yaml:37:11: caution: route.legs[1].to: the route ends at OBN, which is not an aerodrome but of kind ndb (a point of kind aerodrome)`,
			`plan.yaml:44:29: error: checks[3].before: the route passes no point "STR" (one of DAM, railway, KVN, OBN)`,
		}},
		"unknown point": {"    - to: KVN", "    - to: KMN", []string{
			`plan.yaml:30:11: error: route.legs[0].to: there is no point "KMN" (did you mean "KVN"?)`,
			`plan.yaml:43:31: error: checks[2].passing: the route passes no point "KVN" (did you mean "KMN"?)`,
		}},
		"leg of no length": {"    - to: STR\n      altitude: FL045", "    - to: KVN\n      altitude: FL045\n    - {to: STR}", []string{
			`plan.yaml:37:11: error: route.legs[1].to: the leg has no length: KVN is where it begins (another point)`,
		}},
		"leg around half the world": {"at: [56.2, -3.9]", "at: [56.2, 39.0]", []string{
			`plan.yaml:23:100: caution: points[KVN].declination: 2.5° W is far from the magnetic field at the station, 12.6° E (degrees, east positive, west negative)`,
			`plan.yaml:30:11: caution: route.legs[0].to: STR to KVN is 1435 nm long (look for a slip in the positions of its ends)`,
			`plan.yaml:37:11: caution: route.legs[1].to: KVN to STR is 1435 nm long (look for a slip in the positions of its ends)`,
		}},
		"unknown alternates": {"alternates: [DUN]", "alternates: [STR, DOM, K25]", []string{
			`plan.yaml:39:21: error: route.alternates[1]: there is no point "DOM" (one of STR, DUN)`,
			`plan.yaml:39:26: error: route.alternates[2]: K25 is not an aerodrome: it is of kind fix (a point of kind aerodrome)`,
		}},
		"unknown checkpoint": {"checkpoints: [DAM,", "checkpoints: [DMA,", []string{
			`plan.yaml:33:21: error: route.legs[0].checkpoints[0]: there is no point "DMA" (did you mean "DAM"?)`,
		}},
		"checkpoint twice": {"{name: railway, after: 8.5}", "{name: DAM, after: 8.5}", []string{
			`plan.yaml:33:26: error: route.legs[0].checkpoints[1]: the leg has two checkpoints "DAM" (a name of its own for each)`,
		}},
		"checkpoint beyond the leg": {"after: 8.5", "after: 85", []string{
			`plan.yaml:33:49: error: route.legs[0].checkpoints[1].after: 85 nm is beyond the leg, which is 21.0 nm long (at most 21.0)`,
		}},
		"checkpoint far from the track": {"at: [56.16, -4.2]", "at: [56.46, -4.2]", []string{
			`plan.yaml:33:21: caution: route.legs[0].checkpoints[0]: DAM lies 18 nm from the track (a point nearer to the track)`,
		}},
		"checkpoint at two places": {"{name: railway, after: 8.5}", "{name: railway, point: OBN, after: 8.5}", []string{
			`plan.yaml:33:26: error: route.legs[0].checkpoints[1]: a checkpoint stands at one place: a point, or a distance from the leg's start (a point, or {name: railway, after: 8.5})`,
		}},
		"checkpoint without a name": {"{name: railway, after: 8.5}", "{after: 8.5}", []string{
			`plan.yaml:33:26: error: route.legs[0].checkpoints[1].name: the key "name" is missing (what is seen there)`,
		}},
	})
}

func TestFaultsOfLevels(t *testing.T) {
	checkFaults(t, map[string]fault{
		"no level on the first leg": {"      altitude: 3500\n", "", []string{
			`plan.yaml:30:7: error: route.legs[0].altitude: the key "altitude" is missing (4000, feet above sea level, or FL065, a flight level; later legs keep it)`,
		}},
		"level in words": {"altitude: FL045", "altitude: FL4500", []string{
			`plan.yaml:38:17: error: route.legs[1].altitude: "FL4500" is not a number (4000, feet above sea level, or FL065, a flight level)`,
		}},
		"level out of range": {"altitude: FL045", "altitude: FL450", []string{
			`plan.yaml:38:17: error: route.legs[1].altitude: FL450 is out of range (0 to 30000 ft)`,
		}},
		"below the safe altitude": {"safe_altitude: 3100", "safe_altitude: 3600", []string{
			`plan.yaml:32:22: caution: route.legs[0].safe_altitude: STR to KVN: 3500 ft is below the MSA of the leg, 3600 ft (a higher level)`,
		}},
		"below the point reached": {"      altitude: 3500\n      safe_altitude: 3100", "      altitude: 1250", []string{
			`plan.yaml:31:17: error: route.legs[0].altitude: 1250 ft is not above KVN, whose elevation is 1250 ft (a level above it)`,
		}},
		"above the climb table": {"altitude: FL045", "altitude: FL085", []string{
			`plan.yaml:38:17: error: route.legs[1].altitude: FL085, 8500 ft of pressure altitude, is above the climb table, which ends at 8000 ft (a lower level, or a table that reaches it)`,
		}},
		"above the cruise table": {"altitude: FL045", "altitude: FL065", []string{
			`plan.yaml:38:17: error: route.legs[1].altitude: FL065, 6500 ft of pressure altitude, is not in the cruise table at 75 % power: it has 75 % from 2000 to 6000 ft (another level, or a table that covers it)`,
		}},
		"power not in the cruise table": {"  power: 75\n", "  power: 65\n", []string{
			`plan.yaml:31:17: error: route.legs[0].altitude: 3500 ft, 3343 ft of pressure altitude, is not in the cruise table at 65 % power: it has 75 % from 2000 to 6000 ft (another level, or a table that covers it)`,
			`plan.yaml:38:17: error: route.legs[1].altitude: FL045, 4500 ft of pressure altitude, is not in the cruise table at 65 % power: it has 75 % from 2000 to 6000 ft (another level, or a table that covers it)`,
		}},
		"departure below the climb table": {"{altitude: 0, rate: 720, flow: 30}", "{altitude: 1000, rate: 720, flow: 30}", []string{
			`plan.yaml:31:17: error: route.legs[0].altitude: the climb to 3500 ft begins at -122 ft of pressure altitude, below the climb table, which begins at 1000 ft (a table that begins at sea level)`,
		}},
		"semicircular rule": {"altitude: 3500", "altitude: 4000", []string{
			`plan.yaml:31:17: caution: route.legs[0].altitude: STR to KVN: 4000 ft is not a cruising level under visual rules on a magnetic track of 074 (14 CFR 91.159, ICAO Annex 2 appendix 3: odd thousands and 500 ft above 3000 ft) (3500 ft or 5500 ft)`,
		}},
		"semicircular rule for a flight level": {"altitude: FL045", "altitude: FL055", []string{
			`plan.yaml:38:17: caution: route.legs[1].altitude: KVN to STR: FL055 is not a cruising level under visual rules on a magnetic track of 254 (14 CFR 91.159, ICAO Annex 2 appendix 3: even thousands and 500 ft above 3000 ft) (FL045 or FL065)`,
		}},
	})
}

func TestFaultsOfRadio(t *testing.T) {
	nav := "{receiver: NAV1, beacon: KVN, course: inbound}"
	checkFaults(t, map[string]fault{
		"unknown receiver": {nav, "{receiver: NAV2, beacon: KVN}", []string{
			`plan.yaml:35:22: error: route.legs[0].radio[0].receiver: the aircraft has no receiver "NAV2" (did you mean "NAV1"?)`,
		}},
		"unknown beacon": {nav, "{receiver: NAV1, beacon: KNV}", []string{
			`plan.yaml:35:36: error: route.legs[0].radio[0].beacon: there is no point "KNV" (did you mean "KVN"?)`,
		}},
		"no beacon": {nav, "{receiver: NAV1, beacon: DAM}", []string{
			`plan.yaml:35:36: error: route.legs[0].radio[0].beacon: DAM is not a beacon: it is of kind visual (one of KVN, OBN)`,
		}},
		"vor on an adf": {nav, "{receiver: ADF, beacon: KVN}", []string{
			`plan.yaml:35:22: error: route.legs[0].radio[0].receiver: ADF does not receive KVN, which is of kind vor-dme (tune it on NAV1 or DME)`,
		}},
		"ndb on a nav": {nav, "{receiver: NAV1, beacon: OBN}", []string{
			`plan.yaml:35:22: error: route.legs[0].radio[0].receiver: NAV1 does not receive OBN, which is of kind ndb (tune it on ADF)`,
		}},
		"course on an ndb": {"beacon: OBN, before: 5", "beacon: OBN, course: inbound", nil},
		"course on a dme": {nav, "{receiver: DME, beacon: KVN, course: 075}", []string{
			`plan.yaml:35:48: error: route.legs[0].radio[0].course: DME has no course to select (leave the course out)`,
		}},
		"misspelt course": {"course: inbound", "course: inbuond", []string{
			`plan.yaml:35:49: error: route.legs[0].radio[0].course: "inbuond" is not known here (did you mean "inbound"?)`,
		}},
		"no such course": {"course: inbound", "course: left", []string{
			`plan.yaml:35:49: error: route.legs[0].radio[0].course: "left" is not a number (inbound, outbound, or degrees magnetic)`,
		}},
		"course out of range": {"course: inbound", "course: 361", []string{
			`plan.yaml:35:49: error: route.legs[0].radio[0].course: 361 is out of range (0 to 360 degrees)`,
		}},
		"beyond the leg": {"before: 5", "before: 50", []string{
			`plan.yaml:36:48: error: route.legs[0].radio[1].before: 50 nm is beyond the leg, which is 21.0 nm long (at most 21.0)`,
		}},
		"two places": {"before: 5", "before: 5, at: half-way", []string{
			`plan.yaml:36:11: error: route.legs[0].radio[1]: before and at can't both hold (one of them)`,
		}},
		"unknown place": {"before: 5", "at: halfway", []string{
			`plan.yaml:36:44: error: route.legs[0].radio[1].at: "halfway" is not known here (did you mean "half-way"?)`,
		}},
		"two beacons at one place": {nav, nav + "\n        - {receiver: NAV1, beacon: KVN, course: outbound}", []string{
			`plan.yaml:36:11: error: route.legs[0].radio[1]: NAV1 can't be tuned to KVN and to KVN at one place (after, before or at, to say where the second one is tuned)`,
		}},
	})
}

func TestFaultsOfChecks(t *testing.T) {
	checkFaults(t, map[string]fault{
		"two conditions": {"every: 15", "every: 15, passing: KVN", []string{
			`plan.yaml:41:5: error: checks[0]: every and passing can't both hold (one of them)`,
		}},
		"no condition": {", every: 15", "", []string{
			`plan.yaml:41:5: error: checks[0]: nothing says when the check is due (one of every, climbing_through, descending_through, passing, before)`,
		}},
		"before without minutes": {"before: STR, minutes: 10", "before: STR", []string{
			`plan.yaml:44:5: error: checks[3].minutes: the key "minutes" is missing (how long before the point)`,
		}},
		"minutes without before": {"every: 15", "every: 15, minutes: 10", []string{
			`plan.yaml:41:5: error: checks[0]: "minutes" goes with "before" (before: a point of the route; or every: a number of minutes)`,
		}},
		"point off the route": {"passing: KVN", "passing: OBN", []string{
			`plan.yaml:43:31: error: checks[2].passing: the route passes no point "OBN" (one of DAM, railway, KVN, STR)`,
		}},
		"altitude never passed": {"climbing_through: 1000", "climbing_through: 10000", []string{
			`plan.yaml:42:40: caution: checks[1].climbing_through: the flight does not pass 10000 ft (35 to 4657 ft)`,
		}},
		"no name": {"{name: cruise check, every", "{every", []string{
			`plan.yaml:41:5: error: checks[0].name: the key "name" is missing (what is to be checked)`,
		}},
		"out of range": {"minutes: 10}", "minutes: 1000}", []string{
			`plan.yaml:44:43: error: checks[3].minutes: 1000 is out of range (0 to 600 minutes)`,
		}},
	})
}
