package plan

import "testing"

func TestFaultsOfFuel(t *testing.T) {
	checkFaults(t, map[string]fault{
		"more than the tank holds": {"{left: 48,", "{left: 57.5,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: 57.5 is more than the tank holds, 57 (at most the capacity)`,
		}},
		"more than the tank holds, in another unit": {"{left: 48,", "{left: 16 usgal,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: 60.57 is more than the tank holds, 57 (at most the capacity)`,
		}},
		"a unit that is none": {"{left: 48,", "{left: 48 kg,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: "48 kg" is no quantity of fuel (a number, with a unit of its own where that is not the aircraft's: 30 usgal; the units are litre, usgal and impgal)`,
		}},
		"a unit without a number": {"{left: 48,", "{left: some usgal,", []string{
			`plan.yaml:8:20: error: fuel.on_board.left: "some usgal" is no quantity of fuel (0 to 5000)`,
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
		"alternate no aerodrome": {"alternate: DUN\n", "alternate: KVN\n", []string{`plan.yaml:12:14: error: fuel.alternate: KVN is no aerodrome: it is of kind vor-dme (a point of kind aerodrome)`}},
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
			`plan.yaml:28:9: caution: route.from: the route begins at DAM, which is no aerodrome but of kind visual (a point of kind aerodrome)`,
			`plan.yaml:33:21: error: route.legs[0].checkpoints[0]: "DAM" is an end of the leg, not a checkpoint on it (another name)`,
		}},
		"end in the air": {"    - to: STR\n      altitude: FL045\n", "    - to: OBN\n      altitude: FL045\n", []string{
			`plan.yaml:37:11: caution: route.legs[1].to: the route ends at OBN, which is no aerodrome but of kind ndb (a point of kind aerodrome)`,
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
			`plan.yaml:30:11: caution: route.legs[0].to: the leg is 1435 nm long (look for a slip in the positions of its ends)`,
			`plan.yaml:37:11: caution: route.legs[1].to: the leg is 1435 nm long (look for a slip in the positions of its ends)`,
		}},
		"unknown alternates": {"alternates: [DUN]", "alternates: [STR, DOM, K25]", []string{
			`plan.yaml:39:21: error: route.alternates[1]: there is no point "DOM" (one of STR, DUN)`,
			`plan.yaml:39:26: error: route.alternates[2]: K25 is no aerodrome: it is of kind fix (a point of kind aerodrome)`,
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
			`plan.yaml:32:22: caution: route.legs[0].safe_altitude: 3500 ft is below the MSA of the leg, 3600 ft (a higher level)`,
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
			`plan.yaml:31:17: caution: route.legs[0].altitude: 4000 ft is no cruising level under visual rules on a magnetic track of 074 (14 CFR 91.159, ICAO Annex 2 appendix 3: odd thousands and 500 ft above 3000 ft) (3500 ft or 5500 ft)`,
		}},
		"semicircular rule for a flight level": {"altitude: FL045", "altitude: FL055", []string{
			`plan.yaml:38:17: caution: route.legs[1].altitude: FL055 is no cruising level under visual rules on a magnetic track of 254 (14 CFR 91.159, ICAO Annex 2 appendix 3: even thousands and 500 ft above 3000 ft) (FL045 or FL065)`,
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
			`plan.yaml:35:36: error: route.legs[0].radio[0].beacon: DAM is no beacon: it is of kind visual (one of KVN, OBN)`,
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
