package plan

import "testing"

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
