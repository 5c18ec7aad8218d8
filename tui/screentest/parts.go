// Package screentest makes Snapshots for tests of the screens: five moments of one invented flight, complete to the last
// field, and harsh variations of them. The figures hang together but nothing was computed: they test what is drawn, not what is
// reckoned.
package screentest

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/radio"
	fuel "example.com/legclock/internal/tanks"
)

func legOne() flight.LegNow {
	return flight.LegNow{
		Index: 0, Count: 3, From: "STR", To: "KVN", ToName: "Kelvin", DistanceNM: 28.7, TrackMagnetic: 24,
		CourseInbound: ref(24.0), AltitudeFt: 4000, SafeAltitudeFt: ref(3100.0), PlannedMinutes: 16.1,
		Marks: []flight.LegMark{
			{Kind: "top-of-climb", Name: "top of climb", AfterNM: 7.8, ETA: ref(Clock("09:24:10"))},
			{Kind: flight.MarkCheckpoint, Name: "Glen dam", AfterNM: 11.2, ETA: ref(Clock("09:26:24"))},
			{Kind: flight.MarkCheckpoint, Name: "railway", AfterNM: 20.0, ETA: ref(Clock("09:31:10"))},
		},
	}
}

func legTwo() flight.LegNow {
	return flight.LegNow{
		Index: 1, Count: 3, From: "KVN", To: "GRN", ToName: "Grenan", DistanceNM: 30.6, TrackMagnetic: 93,
		CourseOutbound: ref(92.0), CourseInbound: ref(94.0), AltitudeFt: 4000, SafeAltitudeFt: ref(3100.0),
		StartedAt: ref(Clock("09:34:10")), PlannedMinutes: 15.6,
		Marks: []flight.LegMark{
			{Kind: flight.MarkCheckpoint, Name: "two lakes", AfterNM: 11.5, ETA: ref(Clock("09:40:21")), Passed: true},
			{Kind: "radio", Name: "NAV1 GRN", AfterNM: 14.0, ETA: ref(Clock("09:41:10"))},
			{Kind: "tank", Name: "tank left", AfterNM: 18.4, ETA: ref(Clock("09:43:50"))},
			{Kind: flight.MarkCheckpoint, Name: "Aldmoor mast", AfterNM: 22.9, ETA: ref(Clock("09:46:12"))},
		},
	}
}

func legThree() flight.LegNow {
	return flight.LegNow{
		Index: 2, Count: 3, From: "GRN", To: "DUN", ToName: "Dunmore", DistanceNM: 33.1, TrackMagnetic: 151,
		CourseOutbound: ref(151.0), AltitudeFt: 3000, SafeAltitudeFt: ref(2600.0), StartedAt: ref(Clock("09:50:20")), PlannedMinutes: 31.4,
		Marks: []flight.LegMark{
			{Kind: flight.MarkCheckpoint, Name: "Castle Erran", AfterNM: 12.9, ETA: ref(Clock("10:02:10")), Passed: true},
			{Kind: "top-of-descent", Name: "top of descent", AfterNM: 24.2, ETA: ref(Clock("10:11:30")), Passed: true},
		},
	}
}

func route() []flight.RoutePoint {
	row := func(point, name string, leg int, checkpoint bool, after, distance, track, heading, altitude, speed float64, planned string) flight.RoutePoint {
		return flight.RoutePoint{
			Point: point, Name: name, Leg: leg, Checkpoint: checkpoint, AfterNM: after, LegDistanceNM: distance, TrackMagnetic: track,
			HeadingMagnetic: ref(heading), AltitudeFt: altitude, GroundspeedKt: speed, Planned: Clock(planned),
			Revised: ref(Clock(planned).Add(40 * time.Second)), SigmaSeconds: ref(45.0), DifferenceSeconds: ref(40.0),
		}
	}
	departure := flight.RoutePoint{Point: "STR", Name: "Strath", Leg: -1, AltitudeFt: 35, Planned: Clock("09:18:00"), Revised: ref(Clock("09:18:00"))}
	return []flight.RoutePoint{
		departure,
		row("Glen dam", "Glen dam", 0, true, 11.2, 28.7, 24, 18, 4000, 101, "09:26:20"),
		row("railway", "railway", 0, true, 20, 28.7, 24, 18, 4000, 109, "09:31:08"),
		row("KVN", "Kelvin", 0, false, 28.7, 28.7, 24, 18, 4000, 109, "09:34:06"),
		row("two lakes", "two lakes", 1, true, 11.5, 30.6, 93, 81, 4000, 118, "09:39:57"),
		row("Aldmoor mast", "Aldmoor mast", 1, true, 22.9, 30.6, 93, 81, 4000, 118, "09:45:15"),
		row("GRN", "Grenan", 1, false, 30.6, 30.6, 93, 81, 4000, 118, "09:49:12"),
		row("Castle Erran", "Castle Erran", 2, true, 12.9, 33.1, 151, 146, 3000, 96, "10:00:48"),
		row("DUN", "Dunmore", 2, false, 33.1, 33.1, 151, 146, 3000, 96, "10:21:40"),
	}
}

// markPassed makes the first n points passed, each half a minute late.
func markPassed(rows []flight.RoutePoint, n int) {
	for i := range rows[:n] {
		rows[i].Actual = ref(rows[i].Planned.Add(30 * time.Second))
		rows[i].Revised, rows[i].SigmaSeconds = nil, nil
		rows[i].DifferenceSeconds = ref(30.0)
	}
}

func receivers() []flight.ReceiverNow {
	to := radio.To
	return []flight.ReceiverNow{
		{
			Receiver: "NAV1", Identified: true, Next: nextGRN(),
			Tuned: &flight.BeaconNow{
				Beacon: "KVN", Name: "Kelvin", Kind: "vor-dme", Frequency: 114.35, Morse: "-.- ...- -.", Course: ref(24.0),
				Radial: ref(202.0), Sense: &to, NeedleDeg: ref(-2.0), DME: ref(24.4), InRange: true,
				WingTip: &flight.WingTip{Relative: 90, Radial: ref(353.0)},
			},
		},
		{Receiver: "NAV2"},
		{Receiver: "DME", Tuned: &flight.BeaconNow{Beacon: "KVN", Name: "Kelvin", Kind: "vor-dme", Frequency: 114.35, Morse: "-.- ...- -.", DME: ref(24.4), InRange: true}},
		{Receiver: "ADF", Tuned: &flight.BeaconNow{Beacon: "OBN", Name: "Obanmuir", Kind: "ndb", Frequency: 404, Morse: "--- -... -.", Relative: ref(318.0), QDM: ref(42.0), InRange: false, WingTip: &flight.WingTip{Relative: 270, InSeconds: ref(252.0)}}},
	}
}

func nextGRN() *flight.BeaconNext {
	return &flight.BeaconNext{
		Beacon: "GRN", Name: "Grenan", Frequency: 116.2, Morse: "--. .-. -.", Course: ref(94.0), AfterNM: 14, Leg: 1, Due: ref(Clock("09:41:10")),
	}
}

func alternates() []flight.AlternateNow {
	return reserved([]flight.AlternateNow{
		{Point: "STR", Name: "Strath", DistanceNM: 36.2, TrackMagnetic: 251, HeadingMagnetic: 253, Minutes: 27.4, ETA: Clock("10:08:50"), Fuel: 68.2, BeforeDarkMinutes: ref(690.0)},
		{Point: "ALD", Name: "Aldmoor", DistanceNM: 12.1, TrackMagnetic: 101, HeadingMagnetic: 94, Minutes: 6.6, ETA: Clock("09:48:10"), Fuel: 76.4, BeforeDarkMinutes: ref(711.0)},
		{Point: "ROS", Name: "Rosskeen", DistanceNM: 212, TrackMagnetic: 12, HeadingMagnetic: 4, Minutes: 141, ETA: Clock("12:02:30"), Fuel: 9.7, BeforeDarkMinutes: ref(570.0), Problem: "below final reserve: 2.3 L short"},
	})
}

// finalReserve is protected: 45 minutes at the flow of holding.
func finalReserve() flight.FinalReserve {
	return flight.FinalReserve{Minutes: 45, Fuel: 12, Rule: "45 min at the flow of holding, by the plan"}
}

// reserved puts into ways what is over the final reserve on arrival.
func reserved(ways []flight.AlternateNow) []flight.AlternateNow {
	for i := range ways {
		ways[i].ExtraFuel = ways[i].Fuel - finalReserve().Fuel
		ways[i].ReserveHeldMinutes, ways[i].ExtraMinutes = ways[i].Fuel/cruiseFlow*60, ways[i].ExtraFuel/cruiseFlow*60
	}
	return ways
}

const cruiseFlow = 23.6 // litres an hour

// waysOut are the alternates and points of the route, the quickest first.
func waysOut() []flight.AlternateNow {
	ways := alternates()
	for i, turn := range []float64{170, 11, -80} {
		ways[i].Kind, ways[i].Alternate, ways[i].Turn = "aerodrome", true, ref(turn)
	}
	ways = append(ways,
		flight.AlternateNow{Point: "KVN", Name: "Kelvin", Kind: "vor-dme", DistanceNM: 14.2, TrackMagnetic: 273, HeadingMagnetic: 271, Turn: ref(-172.0), Minutes: 9.8, ETA: Clock("09:51:18"), Fuel: 75.1, BeforeDarkMinutes: ref(707.0)},
		flight.AlternateNow{Point: "GRN", Name: "Grenan", Kind: "vor-dme", DistanceNM: 16.4, TrackMagnetic: 96, HeadingMagnetic: 90, Turn: ref(7.0), Minutes: 8.6, ETA: Clock("09:50:08"), Fuel: 75.6, BeforeDarkMinutes: ref(709.0), Rejoin: ref(1)},
		flight.AlternateNow{Point: "DUN", Name: "Dunmore", Kind: "aerodrome", DistanceNM: 38.9, TrackMagnetic: 133, HeadingMagnetic: 130, Turn: ref(47.0), Minutes: 22.7, ETA: Clock("10:04:12"), Fuel: 70, BeforeDarkMinutes: ref(694.0), Rejoin: ref(2)},
	)
	slices.SortFunc(ways, func(a, b flight.AlternateNow) int { return cmp.Compare(a.Minutes, b.Minutes) })
	return reserved(ways)
}

func destination(eta string, sigma, difference, usable float64) *flight.DestinationNow {
	return &flight.DestinationNow{
		Point: "DUN", Name: "Dunmore", ETA: Clock(eta), ETASigmaSeconds: sigma, Planned: Clock("10:21:40"), ToGoNM: 49.5, Fuel: usable, FuelSigma: 2.7,
		ReserveMinutes: 45, ReserveHeldMinutes: usable / cruiseFlow * 60, ExtraFuel: usable - finalReserve().Fuel, ExtraMinutes: (usable - finalReserve().Fuel) / cruiseFlow * 60, BeforeSunsetMinutes: ref(640.0), BeforeDarkMinutes: ref(690.0),
	}
}

func tanks(left, right float64, selected string, nextInMinutes float64) flight.TanksNow {
	change := flight.TankChangeNow{At: Clock("09:43:50"), To: "left", ImbalanceThen: 8.4, HeavyThen: "left"}
	second := flight.TankChangeNow{At: Clock("10:05:00"), To: "right", ImbalanceThen: 7.9, HeavyThen: "right"}
	heavy := "left"
	if right > left {
		heavy = "right"
	}
	usable := left + right - 4
	k := flight.TanksNow{
		TankFigures: flight.TankFigures{
			Unit:       "litre",
			Selected:   selected,
			Quantities: map[string]float64{"left": left, "right": right},
			Tanks: []flight.TankNow{
				{Name: "left", Quantity: left, Capacity: 57, Unusable: 2, Gauge: ref(left - 5), Selected: selected == "left"},
				{Name: "right", Quantity: right, Capacity: 57, Unusable: 2, Selected: selected == "right"},
			},
			Pairs:               []flight.PairNow{{First: "left", Second: "right", Difference: left - right}},
			Imbalance:           max(left, right) - min(left, right),
			HeavySide:           heavy,
			MaxImbalance:        ref(19.0),
			Made:                []flight.TankChangeMade{{At: Clock("09:10:02"), To: "right", ImbalanceBefore: 3}},
			FlowPerHour:         cruiseFlow,
			EnduranceMinutes:    usable / cruiseFlow * 60,
			TotalUsable:         usable,
			PlannedLandingTotal: 61 - nextInMinutes/60,
			Endurance:           flight.Endurance{PlanMinutes: usable / cruiseFlow * 60, CountsMinutes: usable / cruiseFlow * 60, By: fuel.ByPlan},
		},
		NextChange:       &change,
		LimitAt:          ref(Clock("10:06:30")),
		Planned:          []flight.TankChangeNow{change, second},
		ReserveTouchedAt: ref(Clock("12:51:40")),
		LatestDivert: []flight.LatestDivertNow{
			{Point: "STR", Name: "Strath", At: ref(Clock("12:31:04")), AfterArrival: true, Text: "from Dunmore, divert to Strath by 12:31:04Z"},
			{Point: "ROS", Name: "Rosskeen", At: ref(Clock("09:52:30")), Text: "divert to Rosskeen by 09:52:30Z"},
		},
	}
	moment := func(at string, left, right float64) flight.TankMoment {
		return flight.TankMoment{At: Clock(at), Quantities: []float64{left, right}, Differences: []float64{left - right}}
	}
	k.Ahead = []flight.TankMoment{
		moment("09:10:02", 48, 51), moment("09:18:04", 48, 49.9), moment("09:43:50", 48, 39.6), moment("10:05:00", 39.7, 39.6), moment("10:26:40", 39.7, 32.4),
	}
	return k
}

// withPast gives the tanks a past, up to a moment.
func withPast(k flight.TanksNow, at string) flight.TanksNow {
	right := k.Quantities["right"]
	for _, m := range k.Ahead {
		if m.At.Before(Clock(at)) {
			k.History = append(k.History, m)
		}
	}
	k.History = append(k.History, flight.TankMoment{At: Clock(at), Quantities: []float64{48, right}, Differences: []float64{48 - right}})
	return k
}

// read gives the tanks what gauges told.
func read(k flight.TanksNow) flight.TanksNow {
	k.Readings = []flight.GaugeReading{
		{At: Clock("09:20:00"), Tank: "left", Read: 46.5, Reckoned: 48},
		{At: Clock("09:20:00"), Tank: "right", Read: 48, Reckoned: 49.1},
		{At: Clock("09:30:00"), Tank: "right", Read: 43, Reckoned: 45.2},
		{At: Clock("09:40:00"), Tank: "right", Read: 38, Reckoned: 41.2},
		{At: Clock("09:40:00"), Tank: "left", Read: 43, Reckoned: 48},
	}
	k.Burn = &flight.BurnNow{FlowPerHour: 29.8, SigmaPerHour: 4.4, ReckonedPerHour: 23.6, Readings: 5, Counts: true}
	minutes := k.TotalUsable / 29.8 * 60
	k.Endurance.GaugesMinutes, k.Endurance.GaugesSigmaMinutes = &minutes, ref(24.0)
	k.Endurance.CountsMinutes, k.Endurance.By, k.EnduranceMinutes = minutes, fuel.ByGauges, minutes
	return k
}

// entries are the first n of the flight's.
func entries(n int) []flight.Entry {
	paused := false
	all := []flight.Entry{
		{Event: &flight.Event{T: Clock("09:02:11"), Act: flight.Clock, Rate: ref(1.0), Paused: &paused, Set: ref(Clock("09:02:11"))}, Text: "clock set 09:02:11Z, rate 1"},
		{Event: &flight.Event{T: Clock("09:10:02"), Act: flight.OffBlocks}, Text: "off blocks"},
		{Event: &flight.Event{T: Clock("09:18:04"), Act: flight.Airborne}, Text: "airborne"},
		{Event: &flight.Event{T: Clock("09:18:30"), Act: flight.Tuned, Receiver: "NAV1", Beacon: "KVN"}, Text: "tuned NAV1 KVN"},
		{Event: &flight.Event{T: Clock("09:21:50"), Act: flight.Identified, Receiver: "NAV1", Beacon: "KVN"}, Text: "identified NAV1 KVN"},
		{Event: &flight.Event{T: Clock("09:24:20"), Act: flight.LevelOff, Altitude: ref(4000.0)}, Text: "level at 4000 ft", Late: true},
		{Event: &flight.Event{T: Clock("09:26:51"), Act: flight.Passing, Point: "Glen dam"}, Text: "passing Glen dam", Voided: true},
		{Event: &flight.Event{T: Clock("09:34:10"), Act: flight.Passing, Point: "KVN"}, Text: "passing KVN", Amended: true},
		{Event: &flight.Event{T: Clock("09:40:21"), Act: flight.Passing, Point: "two lakes", OffTrack: ref(-0.8)}, Text: "passing two lakes, 0.8 nm left of track"},
		{Event: &flight.Event{T: Clock("09:42:00"), Act: flight.Gauges, Tanks: map[string]float64{"left": 43, "right": 40}}, Text: "gauges left 43, right 40"},
		{Event: &flight.Event{T: Clock("09:44:10"), Act: flight.NoteText, Text: "two gliders right of track, 3500 ft"}, Text: "note: two gliders right of track, 3500 ft"},
		{Event: &flight.Event{T: Clock("09:47:20"), Act: flight.TankChange, Tank: "left"}, Text: "tank left"},
		{Event: &flight.Event{T: Clock("09:50:20"), Act: flight.Passing, Point: "GRN"}, Text: "passing GRN", Late: true},
		{Event: &flight.Event{T: Clock("10:33:20"), Act: flight.OnBlocks}, Text: "on blocks"},
	}
	all = all[:min(n, len(all))]
	for i := range all {
		all[i].Event.N = i + 1
		all[i].Event.Rec = all[i].Event.T
	}
	return all
}

func tune(receiver, beacon, frequency, morse, due string, state flight.PromptState) flight.Prompt {
	megahertz, err := strconv.ParseFloat(frequency, 64)
	if err != nil {
		panic("screentest: " + err.Error())
	}
	station, expect := "Grenan VOR-DME "+frequency+" MHz", "course 094 TO · DME about 16.6"
	if receiver == "ADF" {
		station, expect = "Obanmuir NDB "+frequency+" kHz", "relative 318, 42 left of the nose"
	}
	return numbered(flight.NumberFrequency, megahertz, prompt(flight.PromptTune, fmt.Sprintf("tune-1-%s-%s", receiver, beacon),
		fmt.Sprintf("tune %s %s %s", receiver, beacon, frequency), due, state, 90, flight.Answer{Act: flight.Tuned, Receiver: receiver, Beacon: beacon},
		station, "ident "+morse, expect))
}

func numbered(kind flight.NumberKind, value float64, p flight.Prompt) flight.Prompt {
	p.Number = &flight.PromptNumber{Kind: kind, Value: value}
	return p
}

func identify(receiver, beacon, frequency, morse, due string, state flight.PromptState) flight.Prompt {
	return prompt(flight.PromptIdentify, fmt.Sprintf("identify-0-%s-%s", receiver, beacon), fmt.Sprintf("identify %s on %s", beacon, receiver),
		due, state, 120, flight.Answer{Act: flight.Identified, Receiver: receiver, Beacon: beacon},
		"listen for "+morse, "Kelvin VOR-DME "+frequency+" MHz", "course 024 TO · DME about 24.4")
}

func act(id, text string, do flight.Act, due string, state flight.PromptState) flight.Prompt {
	return prompt(flight.PromptAct, id, text, due, state, 0, flight.Answer{Act: do})
}

func check(name, due string, state flight.PromptState) flight.Prompt {
	return prompt(flight.PromptCheck, "check-"+name, name, due, state, 240, flight.Answer{Act: flight.Done, Prompt: "check-" + name},
		"fuel, radio, engine, gyro to compass, altimeter")
}

func report(point, due string, state flight.PromptState) flight.Prompt {
	return prompt(flight.PromptReport, "report-"+point, "report "+point, due, state, 300, flight.Answer{Act: flight.Done, Prompt: "report-" + point},
		"X-ABCD position KVN 34", "4000 feet", "GRN 50 · DUN next")
}

func tank(to, due string, state flight.PromptState) flight.Prompt {
	return prompt(flight.PromptTank, "tank-1", "tank to "+to, due, state, 120, flight.Answer{Act: flight.TankChange, Tank: to},
		"pump on, select "+to+", watch pressure", "left 48.0 · right 39.6 litres, imbalance 8.4 of 19")
}

func turn(point string, heading float64, due string, state flight.PromptState) flight.Prompt {
	return numbered(flight.NumberHeading, heading, prompt(flight.PromptTurn, "turn-1", fmt.Sprintf("turn right over %s onto %03.0f", point, heading), due,
		state, 0, flight.Answer{Act: flight.Passing, Point: point}, "track 151 to DUN, 33.1 nm, 3000 ft", "overhead: flag TO to FROM, DME 0.7"))
}

func level(due string, state flight.PromptState) flight.Prompt {
	return numbered(flight.NumberAltitude, 4000, prompt(flight.PromptLevel, "level-0", "level at 4000 ft", due, state, 120,
		flight.Answer{Act: flight.LevelOff, Altitude: ref(4000.0)}, "cruise 75 %: 2430 rpm, lean", "IAS 94 for TAS 100"))
}

// laterPrompts stand on the ribbon of the cruise.
func laterPrompts(state flight.PromptState) []flight.Prompt {
	return []flight.Prompt{
		tank("left", "09:43:50", state),
		turn("GRN", 146, "09:50:10", state),
		tune("ADF", "OBN", "404", "--- -... -.", "09:50:30", state),
		prompt(flight.PromptGyro, "gyro-3", "gyro to compass", "09:51:00", state, 300, flight.Answer{Act: flight.Done, Prompt: "gyro-3"}, "compass, level, steady"),
		check("cruise check", "09:56:24", state),
		prompt(flight.PromptConfirm, "confirm-1", "engine and fuel pressure", "09:58:50", state, 120, flight.Answer{Act: flight.Done, Prompt: "confirm-1"}),
		prompt(flight.PromptQNH, "qnh-DUN", "QNH of Dunmore", "10:06:00", state, 300, flight.Answer{Act: flight.Done, Prompt: "qnh-DUN"}, "now 1019"),
		prompt(flight.PromptDescent, "descent", "top of descent", "10:12:10", state, 120, flight.Answer{Act: flight.Descend}, "500 ft/min, IAS 95, to 1210 ft"),
	}
}

func prompt(kind flight.PromptKind, id, text, due string, state flight.PromptState, lateAfter float64, answer flight.Answer, detail ...string) flight.Prompt {
	p := flight.Prompt{ID: id, Kind: kind, Text: text, Detail: detail, Due: Clock(due), State: state, Announce: state != flight.Coming, Answer: answer}
	if lateAfter > 0 {
		p.LateAt = ref(p.Due.Add(time.Duration(lateAfter * float64(time.Second))))
	}
	return p
}

func answered(p flight.Prompt, at string) flight.Prompt {
	p.Answered = ref(Clock(at))
	return p
}
