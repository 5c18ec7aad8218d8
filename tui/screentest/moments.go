package screentest

import (
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	fuel "example.com/legclock/internal/tanks"
)

// Moment is a Snapshot with a name that can stand in a file name.
type Moment struct {
	Name     string
	Snapshot flight.Snapshot
}

// Moments are the five that every screen is drawn at: before the start, in the climb, in the cruise with prompts due, with a
// tank change late, and arrived.
func Moments() []Moment {
	return []Moment{
		{"before-start", BeforeStart()},
		{"climb", Climb()},
		{"cruise", Cruise()},
		{"tank-late", TankLate()},
		{"arrived", Arrived()},
	}
}

// Clock is a time of the flight's day: "09:41:30".
func Clock(text string) time.Time {
	t, err := time.Parse(time.TimeOnly, text)
	if err != nil {
		panic("screentest: " + err.Error())
	}
	return time.Date(2026, time.June, 14, t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
}

func ref[T any](v T) *T { return &v }

// base is what all moments share.
func base(at string) flight.Snapshot {
	return flight.Snapshot{
		At:          Clock(at),
		Title:       "Three lochs round",
		Mode:        flight.Practice,
		Clock:       flight.Clocks{Rate: 1},
		Wind:        flight.WindNow{FromTrue: 250, SpeedKt: 22, SigmaKt: 8, Source: flight.WindForecast, ForecastFrom: 250, ForecastKt: 22},
		Altimetry:   flight.Altimetry{QNH: 1019},
		Groundspeed: flight.GroundspeedNow{PlannedKt: 101, UsedKt: 101},
		Route:       route(),
		Radio:       receivers(),
		Alternates:  alternates(),
		WaysOut:     flight.WaysOutOf(waysOut()), SuggestedDiversion: "ALD",
	}
}

// BeforeStart is eight minutes before off-blocks: nothing has happened.
func BeforeStart() flight.Snapshot {
	s := base("09:02:11")
	s.Phase = flight.BeforeStart
	s.Leg = legOne()
	s.Steer = flight.Steer{
		HeadingMagnetic: ref(18.0), TrackMagnetic: ref(24.0), Drift: ref(6.0), PlannedHeading: ref(18.0),
		NextHeading: ref(81.0), NextTrack: ref(93.0), TASKt: 84, IASKt: 70,
	}
	s.Next = &flight.NextPoint{
		Point: "Glen dam", Name: "Glen dam", IsCheckpoint: true, ETA: Clock("09:26:20"), ETASigmaSeconds: 35,
		Planned: Clock("09:26:20"), ToGoNM: 11.2,
	}
	s.FinalReserve, s.Destination = finalReserve(), destination("10:21:40", 120, 0, 61.2)
	s.Tanks = tanks(48, 51, "", 26)
	s.Prompts = slices.Concat(
		[]flight.Prompt{
			act("off-blocks", "off blocks", flight.OffBlocks, "09:10:00", flight.Coming),
			act("airborne", "airborne", flight.Airborne, "09:18:00", flight.Coming),
		},
		[]flight.Prompt{
			tune("NAV1", "KVN", "114.35", "-.- ...- -.", "09:18:00", flight.Coming),
			check("pump and landing light off", "09:19:24", flight.Coming),
			level("09:24:10", flight.Coming),
		},
		laterPrompts(flight.Coming)[:1],
	)
	s.Notices = []flight.Notice{{Severity: flight.Note, Text: "KVN has no station declination: its radials are counted from that of the magnetic model there, 3.2° west"}}
	return whole(s)
}

// Climb is three and a half minutes after take-off.
func Climb() flight.Snapshot {
	s := base("09:21:35")
	s.Phase = flight.Climbing
	s.Leg = legOne()
	s.Leg.StartedAt = ref(Clock("09:18:04"))
	s.Clock = flight.Clocks{LegSeconds: ref(211.0), AirborneSeconds: ref(211.0), BlockSeconds: ref(693.0), Rate: 1}
	s.Steer = BeforeStart().Steer
	s.Steer.Steering = ref(20.0)
	s.Position = &flight.PositionNow{Lat: 56.19, Lon: -4.53, AfterNM: 4.4, ToGoNM: 24.3, AltitudeFt: 2350, UncertaintyNM: 0.6, By: "dead reckoning"}
	s.Next = BeforeStart().Next
	s.Next.ETA, s.Next.DifferenceSeconds, s.Next.ToGoNM = Clock("09:26:24"), 4, 6.8
	s.FinalReserve, s.Destination = finalReserve(), destination("10:21:44", 118, 4, 61.2)
	s.Tanks = withPast(tanks(48, 49.4, "right", 30), "09:21:00")
	s.Tanks.SelectedSince = ref(Clock("09:10:02"))
	s.Prompts = append([]flight.Prompt{
		identify("NAV1", "KVN", "114.35", "-.- ...- -.", "09:18:40", flight.Due),
		level("09:24:10", flight.Coming),
	}, laterPrompts(flight.Coming)...)
	s.Prompts = append(s.Prompts, answered(act("airborne", "airborne", flight.Airborne, "09:18:00", flight.PromptDone), "09:18:04"))
	s.Entries = entries(4)
	return whole(s)
}

// Cruise is on the second leg with a checkpoint just passed, a turn a few minutes ahead and three prompts due.
func Cruise() flight.Snapshot {
	s := base("09:41:30")
	s.Phase = flight.Cruising
	s.Leg = legTwo()
	s.Clock = flight.Clocks{LegSeconds: ref(440.0), AirborneSeconds: ref(1406.0), BlockSeconds: ref(1888.0), Rate: 16}
	s.Steer = flight.Steer{
		HeadingMagnetic: ref(84.0), TrackMagnetic: ref(93.0), Drift: ref(9.0), PlannedHeading: ref(81.0), Steering: ref(83.0),
		NextHeading: ref(146.0), NextTrack: ref(151.0), TASKt: 100, IASKt: 94,
	}
	s.Position = &flight.PositionNow{Lat: 56.37, Lon: -3.5, AfterNM: 14.2, ToGoNM: 16.4, OffTrackNM: ref(-0.8), AltitudeFt: 4000, UncertaintyNM: 0.9, By: "passing"}
	s.Critical = flight.CriticalNow{
		EqualTime: &flight.CriticalPoint{Leg: 1, AfterNM: 26.4, ETA: Clock("09:48:02"), Back: "STR", Minutes: 29.6},
		NoReturn:  &flight.CriticalPoint{Leg: 2, AfterNM: 20.1, ETA: Clock("10:08:30"), Back: "STR", Minutes: 41.2},
	}
	s.OffTrack = &flight.OffTrackNow{
		OffNM: -0.8, TrackErrorRule: -3.4, TrackErrorExact: -3.2, ClosingRule: -2.9, ClosingExact: -2.8, TurnRule: 6.3, TurnExact: 6,
		HeadingMagnetic: ref(90.0),
	}
	s.Groundspeed = flight.GroundspeedNow{PlannedKt: 118, MeasuredKt: ref(111.6), UsedKt: 112, Sum: "11.5 nm in 6:11 = 112 kt", SumTo: "DAM"}
	s.Wind = flight.WindNow{FromTrue: 262, SpeedKt: 17, SigmaKt: 4, Source: flight.WindFound, ForecastFrom: 250, ForecastKt: 22}
	s.Next = &flight.NextPoint{
		Point: "GRN", Name: "Grenan", ETA: Clock("09:50:10"), ETASigmaSeconds: 28, Planned: Clock("09:49:12"),
		DifferenceSeconds: 58, ToGoNM: 16.4,
	}
	s.FinalReserve, s.Destination = finalReserve(), destination("10:23:35", 62, 115, 60.4)
	s.Tanks = read(withPast(tanks(48, 40.6, "right", 36), "09:41:20"))
	s.Tanks.SelectedSince = ref(Clock("09:10:02"))
	s.Prompts = append([]flight.Prompt{
		tune("NAV1", "GRN", "116.20", "--. .-. -.", "09:41:10", flight.Due),
		check("cruise check", "09:41:24", flight.Due),
		report("KVN", "09:41:30", flight.Due),
	}, laterPrompts(flight.Coming)...)
	s.Prompts = append(s.Prompts,
		answered(identify("NAV1", "KVN", "114.35", "-.- ...- -.", "09:18:40", flight.PromptDone), "09:21:50"),
		answered(act("airborne", "airborne", flight.Airborne, "09:18:00", flight.PromptDone), "09:18:04"))
	s.Report = &flight.PositionReport{
		Text:  "X-ABCD position KVN 34, 4000 feet, GRN 50, DUN next",
		Lines: []string{"X-ABCD", "position KVN 34", "4000 feet", "GRN 50", "DUN next"},
	}
	s.Entries = entries(9)
	markPassed(s.Route, 5)
	return whole(s)
}

// TankLate is in the same cruise ten minutes on, with the tank change not made.
func TankLate() flight.Snapshot {
	s := Cruise()
	s.At = Clock("09:47:05")
	s.Clock.LegSeconds, s.Clock.AirborneSeconds, s.Clock.BlockSeconds = ref(775.0), ref(1741.0), ref(2223.0)
	s.Clock.Rate = 1
	s.Position.AfterNM, s.Position.ToGoNM, s.Position.By, s.Position.UncertaintyNM = 24.6, 6.0, "dead reckoning", 1.2
	s.Next.ToGoNM, s.Next.ETA, s.Next.DifferenceSeconds = 6.0, Clock("09:50:18"), 66
	s.Tanks = read(withPast(tanks(48, 38.2, "right", 40), "09:47:00"))
	s.Tanks.SelectedSince = ref(Clock("09:10:02"))
	s.Tanks.GaugeDisagreement = "left gauge 43 is 5 litres below the reckoning: 43 counts"
	s.Prompts = append([]flight.Prompt{
		tank("left", "09:43:50", flight.Late),
		check("gyro to compass", "09:46:50", flight.Due),
		turn("GRN", 146, "09:50:18", flight.Coming),
	}, laterPrompts(flight.Coming)[2:]...)
	s.Notices = []flight.Notice{
		{Severity: flight.Alarm, Text: "TANK: change to left was due 09:43:50Z, 3:15 ago; imbalance 9.8, limit 19"},
		{Severity: flight.Caution, Text: s.Tanks.GaugeDisagreement},
	}
	s.Entries = entries(11)
	return whole(s)
}

// Arrived is on blocks at the destination.
func Arrived() flight.Snapshot {
	s := base("10:34:20")
	s.Phase = flight.Arrived
	s.Leg = legThree()
	s.Clock = flight.Clocks{BlockSeconds: ref(4998.0), AirborneSeconds: ref(4316.0), Rate: 1}
	s.Position = &flight.PositionNow{Lat: 56.05, Lon: -3.2, AfterNM: 33.1, AltitudeFt: 210, UncertaintyNM: 0.1, By: "passing"}
	s.Wind = flight.WindNow{FromTrue: 259, SpeedKt: 18, SigmaKt: 3, Source: flight.WindFound, ForecastFrom: 250, ForecastKt: 22}
	s.Groundspeed = flight.GroundspeedNow{PlannedKt: 96, MeasuredKt: ref(93.2), UsedKt: 93, Sum: "20.2 nm in 13:00 = 93 kt", SumTo: "DUN"}
	s.FinalReserve, s.Destination = finalReserve(), destination("10:24:02", 0, 142, 60.1)
	s.Tanks = tanks(40.2, 37.8, "left", 0)
	s.Tanks.History = s.Tanks.Ahead
	s.Tanks.NextChange, s.Tanks.Planned, s.Tanks.LimitAt, s.Tanks.Ahead = nil, nil, nil, nil
	s.Tanks.ReserveTouchedAt, s.Tanks.LatestDivert = nil, nil
	s.Prompts = []flight.Prompt{
		answered(act("on-blocks", "on blocks", flight.OnBlocks, "10:33:00", flight.PromptDone), "10:33:20"),
		answered(tank("left", "09:43:50", flight.PromptDone), "09:47:20"),
	}
	s.Entries = entries(14)
	markPassed(s.Route, len(s.Route))
	return whole(s)
}

// whole is a Snapshot with the lists that are made of what it holds.
func whole(s flight.Snapshot) flight.Snapshot {
	s.Ahead, s.Pressing = flight.ListAhead(&s), flight.ListPressing(&s)
	return s
}

// Still is a flight that stands at one Snapshot, whatever is done.
type Still struct{ Snapshot flight.Snapshot }

// At is the Snapshot.
func (s Still) At(time.Time) flight.Snapshot { return s.Snapshot }

// Check refuses nothing.
func (Still) Check(flight.Event) error { return nil }

// Apply takes everything and changes nothing.
func (Still) Apply(flight.Event) error { return nil }

// Undoable is never anything.
func (Still) Undoable() *flight.Event { return nil }

// Setting is none.
func (Still) Setting() clock.Setting { return clock.Setting{} }

// FourTanks is the cruise in an aircraft with two mains and two tips, each pair with the limit for itself. The tips have been flown on
// first.
func FourTanks() flight.Snapshot {
	s := Cruise()
	names := []string{"left main", "right main", "left tip", "right tip"}
	moment := func(at string, quantities ...float64) flight.TankMoment {
		return flight.TankMoment{At: Clock(at), Quantities: quantities, Differences: []float64{quantities[0] - quantities[1], quantities[2] - quantities[3]}}
	}
	k := flight.TanksNow{
		TankFigures: flight.TankFigures{
			Unit:             "usgal",
			Selected:         "right tip",
			SelectedSince:    ref(Clock("09:30:00")),
			Quantities:       map[string]float64{},
			Pairs:            []flight.PairNow{{First: "left main", Second: "right main", Difference: 2}, {First: "left tip", Second: "right tip", Difference: 2.1}},
			Imbalance:        2.1,
			HeavySide:        "left tip",
			MaxImbalance:     ref(6.0),
			Made:             []flight.TankChangeMade{{At: Clock("09:30:00"), To: "right tip", ImbalanceBefore: 2}},
			FlowPerHour:      12.3,
			TotalUsable:      53.9,
			EnduranceMinutes: 263,
			MassKg:           ref(153.0),
			Endurance:        flight.Endurance{PlanMinutes: 263, CountsMinutes: 263, By: fuel.ByPlan},
			Readings:         []flight.GaugeReading{{At: Clock("09:31:00"), Tank: "left tip", Read: 9, Reckoned: 8.9}, {At: Clock("09:51:00"), Tank: "left tip", Read: 6, Reckoned: 8.9}},
		},
		LimitAt: ref(Clock("10:01:00")),
		DryAt:   ref(Clock("10:01:30")),
		Planned: []flight.TankChangeNow{
			{At: Clock("09:52:00"), To: "left main", ImbalanceThen: 4.2, HeavyThen: "left tip"},
			{At: Clock("10:12:00"), To: "right main", ImbalanceThen: 2.1, HeavyThen: "right main"},
		},
		ReserveTouchedAt: ref(Clock("13:20:10")),
		LatestDivert:     []flight.LatestDivertNow{{Point: "STR", Name: "Strath", TooLate: true, Text: "too late for Strath: 3.1 US gal short of the reserve there"}},
		Trends:           []flight.FuelTrend{{Severity: flight.Alarm, Text: "left tip was not selected, but its gauge fell from 9 to 6 in 20 minutes: a leak, or the selector does not close it"}},
	}
	k.NextChange = &k.Planned[0]
	for i, quantity := range []float64{24, 22, 6.9, 4.8} {
		k.Quantities[names[i]] = quantity
		k.Tanks = append(k.Tanks, flight.TankNow{Name: names[i], Quantity: quantity, Capacity: []float64{25, 25, 12, 12}[i], Unusable: 0.5, Selected: i == 3})
	}
	k.History = []flight.TankMoment{
		moment("09:10:00", 24, 22, 12, 7.4), moment("09:18:00", 24, 22, 11.6, 7.4), moment("09:30:00", 24, 22, 8.9, 7.4), moment("09:41:30", 24, 22, 8.9, 4.8),
	}
	k.History = append(k.History, moment("09:41:30", 24, 22, 6.9, 4.8))
	k.Ahead = []flight.TankMoment{
		moment("09:41:30", 24, 22, 6.9, 4.8), moment("09:52:00", 24, 22, 6.9, 2.7), moment("10:12:00", 19.9, 22, 6.9, 2.7), moment("10:26:00", 19.9, 19.4, 6.9, 2.7),
	}
	s.Tanks = k
	return whole(s)
}

// Empty is a Snapshot in which nothing is known.
func Empty() flight.Snapshot { return flight.Snapshot{At: Clock("09:00:00")} }

// Harsh is the cruise with text that a careless screen would break on: long names, wide letters, control characters,
// thirty prompts at one moment, a mark beyond the end of the leg, quantities above their tank's.
func Harsh() flight.Snapshot {
	const nasty = "Ünter 東京\x1b[31m red\a\nline\tend \u202e \U0001F6E9 e\u0301 "
	s := Cruise()
	s.Title = strings.Repeat(nasty, 4)
	s.Leg.From, s.Leg.To, s.Leg.ToName = nasty, nasty, strings.Repeat(nasty, 3)
	s.Leg.Marks = append(s.Leg.Marks,
		flight.LegMark{Kind: flight.MarkCheckpoint, Name: nasty, AfterNM: 400, ETA: ref(Clock("09:42:00"))},
		flight.LegMark{Kind: nasty, Name: nasty, AfterNM: -3})
	s.Next.Point, s.Next.Name = nasty, nasty
	s.Destination.Point, s.Destination.Name = nasty, nasty
	s.Clock.LegSeconds = ref(400_000.0)
	s.Tanks.Selected = nasty
	s.Tanks.Tanks = append(s.Tanks.Tanks, flight.TankNow{Name: nasty, Quantity: 900, Capacity: 57, Gauge: ref(-4.0), Selected: true})
	s.Tanks.GaugeDisagreement, s.Tanks.ScheduleProblem = nasty, strings.Repeat(nasty, 5)
	s.Groundspeed.Sum, s.Groundspeed.SumTo = nasty, nasty
	s.Wind.Source = nasty
	for i := range 30 {
		p := check(nasty, "09:43:00", flight.Coming)
		p.ID += string(rune('a' + i))
		p.Kind = flight.PromptKind([]string{"check", "turn", nasty}[i%3])
		p.Detail = []string{strings.Repeat(nasty, 6), "", nasty}
		p.Due = p.Due.Add(time.Duration(i%4) * 20 * time.Second)
		s.Prompts = append([]flight.Prompt{p}, s.Prompts...)
	}
	s.Prompts[0].State, s.Prompts[1].State = flight.Late, "newer"
	for i := range s.Route {
		s.Route[i].Point, s.Route[i].Name = nasty, nasty
	}
	for i := range s.Radio {
		s.Radio[i].Receiver = nasty
	}
	for i := range s.Alternates {
		s.Alternates[i].Point, s.Alternates[i].Problem = nasty, nasty
	}
	ways := s.WaysOut.All()
	for i := range ways {
		ways[i].Point, ways[i].Name, ways[i].Problem = nasty, nasty, nasty
	}
	s.Bearing = &flight.BearingCheckNow{Beacon: nasty, Name: nasty, Done: true, Result: &flight.ToBeacon{Sum: nasty}, Notes: []string{nasty}}
	s.Crossing = &flight.CrossingNow{Point: nasty, Name: nasty, Wanted: ref(Clock("10:10:00")), LoseSeconds: ref(90.0), Hold: &flight.HoldWanted{Point: nasty}}
	s.Diversion = &flight.DiversionNow{To: nasty, Name: nasty, Since: Clock("09:30:00")}
	s.Notices = []flight.Notice{{Severity: flight.Alarm, Text: strings.Repeat(nasty, 9)}, {Severity: nasty, Text: nasty}}
	s.Critical.EqualTime.Back, s.Holding = nasty, &flight.HoldingNow{Point: nasty, Since: Clock("09:30:00")}
	s.Critical.NoReturn.AfterNM, s.Critical.NoReturn.Leg = 1e6, 1
	s.Report.Lines = []string{nasty, strings.Repeat(nasty, 5)}
	for i := range s.Entries {
		s.Entries[i].Text = nasty
		s.Entries[i].Event.N = 100_000 + i
	}
	return whole(s)
}
