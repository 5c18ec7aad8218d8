package screentest

import (
	"strings"
	"time"

	"example.com/legclock/internal/flight"
)

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
	s.Groundspeed.Sum = nasty
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
	for i := range s.WaysOut {
		s.WaysOut[i].Point, s.WaysOut[i].Name, s.WaysOut[i].Problem = nasty, nasty, nasty
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
