package debrief_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/remarks"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

var update = flag.Bool("update", false, "write the golden reports anew; look at every difference before you keep it")

func demo(t require.TestingT) *sheet.Sheet {
	s, err := flighttest.Sheet(plans.DemoFile, plans.FS.ReadFile)
	require.NoError(t, err)
	return s
}

// flown is the demo flown by the practice flight's own hands through the wind of a seed, with the truth.
func flown(t require.TestingT, seed uint64) debrief.Log {
	s := demo(t)
	events, err := practice.Whole(s, seed)
	require.NoError(t, err)
	truth := practice.New(s, practice.Hidden{Seed: seed}).Air()
	return debrief.Log{Name: "flight.jsonl", Mode: "practice", Sheet: s, Events: events, Truth: &truth}
}

func of(t require.TestingT, log debrief.Log) *debrief.Flight {
	f, err := debrief.Of(log)
	require.NoError(t, err)
	return f
}

// The figures against the hidden world that the flight was flown through.
func TestFiguresAgreeWithTheHiddenTruth(t *testing.T) {
	for seed := range uint64(6) {
		log := flown(t, seed)
		f := of(t, log)
		way, err := log.Sheet.Route.Reckon(sheet.Start{AltitudeFt: log.Sheet.Route.Legs[0].From.ElevationFt}, *log.Truth)
		require.NoError(t, err)
		require.NotNil(t, f.Totals.ActualMinutes)
		assert.InDelta(t, way.TotalMinutes(), *f.Totals.ActualMinutes, 1.0/60, "passings are logged to the second")
		start := 0.0
		for i, leg := range f.Legs {
			end, ok := way.MinutesTo(i, leg.DistanceNM)
			if i == len(f.Legs)-1 {
				end, ok = way.TotalMinutes(), true
			}
			require.True(t, ok)
			assert.InDelta(t, end-start, *leg.ActualMinutes, 2.0/60, "seed %d, leg %d", seed, i)
			assert.InDelta(t, leg.DistanceNM/(end-start)*60, *leg.ActualGroundspeedKt, 0.5)
			start = end
		}
		last := f.Winds[len(f.Winds)-1]
		require.NotNil(t, last.TrueKt)
		assert.Less(t, math.Abs(last.SpeedKt-*last.TrueKt), 3*last.SigmaKt+1, "seed %d: the wind found lies near the true one", seed)
		assert.Equal(t, f.Discipline.PassingsDue, f.Discipline.PassingsLogged)
		assert.Zero(t, f.Discipline.PromptsLate+f.Discipline.PromptsLeft)
		assert.InDelta(t, f.Fuel.Block-log.Sheet.Fuel.Unusable, *f.Fuel.ReckonedBurn+*f.Fuel.ReckonedArrival, 1e-9)
	}
}

// hand is a journal of exercise A made by hand: the flight clock runs with the wall's.
type hand struct {
	s      *sheet.Sheet
	events []flight.Event
}

func byHand(t require.TestingT) *hand {
	s, err := flighttest.SheetsIn("../../testdata/flights/plans")("exercise.yaml")
	require.NoError(t, err)
	h := &hand{s: s}
	set, rate := s.Plan.OffBlocks, 1.0
	h.log("13:00:00", flight.Event{Act: flight.Clock, Set: &set, Rate: &rate})
	return h
}

func (h *hand) at(clock string) time.Time {
	t, err := time.Parse(time.TimeOnly, clock)
	if err != nil {
		panic(err)
	}
	day := h.s.Plan.OffBlocks
	return time.Date(day.Year(), day.Month(), day.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
}

func (h *hand) log(clock string, e flight.Event) {
	e.N, e.T = len(h.events)+1, h.at(clock)
	if e.Rec.IsZero() {
		e.Rec = e.T
	}
	h.events = append(h.events, e)
}

func (h *hand) debrief(t require.TestingT) *debrief.Flight {
	return of(t, debrief.Log{Name: "hand", Mode: "live", Sheet: h.s, Events: h.events})
}

// The planned leg of case 16A.07 is 24.19 minutes to LIM; it is passed 2.5 minutes late. By the case the groundspeed made good is
// 81.94 kt, every later ETA moves by 2.5 minutes when carried over, and later legs become 1.1034 times as long by ratio: 25.63 minutes
// for the second. The second is then passed after exactly that, so that the ratio's error is nought and the carried one's is 25.63 less
// the plan's own minutes of it.
func TestHandSumsAgreeWithThePublishedCase(t *testing.T) {
	h := byHand(t)
	h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	planned := h.s.Legs[0].ETA
	first := planned.Add(150 * time.Second).Round(time.Second)
	ratio := first.Sub(h.at("13:05:00")).Minutes() / h.s.Legs[0].Minutes
	second := first.Add(time.Duration(h.s.Legs[1].Minutes * ratio * float64(time.Minute))).Round(time.Second)
	h.log(first.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: h.s.Legs[0].To.Ident})
	h.log(second.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: h.s.Legs[1].To.Ident})
	f := h.debrief(t)

	require.Len(t, f.Passings, 2)
	assert.InDelta(t, 150, f.Passings[0].PlanErrorSeconds, 1)
	assert.InDelta(t, 81.94, *f.Legs[0].ActualGroundspeedKt, 0.1)
	assert.InDelta(t, 26.69, *f.Legs[0].ActualMinutes, 0.05)
	assert.InDelta(t, 25.63, *f.Legs[1].ActualMinutes, 0.05, "by ratio")
	e := f.Passings[1].Estimate
	require.NotNil(t, e)
	assert.Equal(t, h.s.Legs[0].To.Ident, e.After)
	assert.InDelta(t, 0, *e.RatioErrorSeconds, 1.5)
	assert.InDelta(t, (25.63-h.s.Legs[1].Minutes)*60, *e.CarriedErrorSeconds, 3)
	assert.InDelta(t, 25.63, e.LeadMinutes, 0.05)
}

// What is said of two times comes out of what is read of them, whatever part of a second they were entered at.
func TestLateIsTheDifferenceOfTheTimesThatAreShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := byHand(t)
		at := h.s.Plan.OffBlocks
		for i, e := range []flight.Event{
			{Act: flight.OffBlocks},
			{Act: flight.Airborne},
			{Act: flight.Passing, Point: "LIM"},
			{Act: flight.Passing, Point: h.s.Legs[1].To.Ident},
			{Act: flight.Passing, Point: h.s.Legs[2].To.Ident},
			{Act: flight.Landed},
			{Act: flight.OnBlocks},
		} {
			at = at.Add(time.Duration(rapid.IntRange(60_000, 1_800_000).Draw(t, "later")) * time.Millisecond)
			e.N, e.T, e.Rec = i+2, at, at
			h.events = append(h.events, e)
		}
		var out bytes.Buffer
		f := h.debrief(t)
		require.NoError(t, f.Write(&out, "text"))
		rows := regexp.MustCompile(`(?m)(\d\d:\d\d:\d\dZ) +(\d\d:\d\d:\d\dZ) +(.*)$`).FindAllStringSubmatch(out.String(), -1)
		require.GreaterOrEqual(t, len(rows), 2, out.String())
		for _, row := range rows {
			planned, _ := time.Parse("15:04:05Z", row[1])
			actual, _ := time.Parse("15:04:05Z", row[2])
			require.Equal(t, say.Signed(actual.Sub(planned).Seconds()), row[3], row[0])
		}
		for _, leg := range f.Legs {
			if leg.ActualMinutes != nil && leg.PlannedMinutes != nil {
				require.Regexp(t, fmt.Sprintf(`(?m)^%s +%s .*%s +%s +%s `, leg.From, leg.To, say.Span(60**leg.PlannedMinutes), say.Span(60**leg.ActualMinutes),
					regexp.QuoteMeta(say.Signed(math.Round(60**leg.ActualMinutes)-math.Round(60**leg.PlannedMinutes)))), out.String())
			}
		}
	})
}

// What the screen of an arrival says of a flight with a diversion, its debrief says too: how many prompts a hand answered late and how late at worst,
// and by how much a leg differed from the reckoning of the moment at which it was turned to. No hand sum reaches across that turn.
func TestAnArrivalAndItsDebriefSayTheSame(t *testing.T) {
	h := byHand(t)
	first, turned := h.s.Legs[0].ETA.Add(5*time.Minute+30*time.Second), h.s.Legs[0].ETA.Add(12*time.Minute)
	h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log(first.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: "LIM"})
	h.log(turned.Format(time.TimeOnly), flight.Event{Act: flight.Divert, To: "OSC"})
	h.log(turned.Add(4*time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.TankChange, Tank: h.s.Plan.Aircraft.Fuel.Tanks[1].Name})
	h.events[len(h.events)-1].T = h.events[len(h.events)-1].T.Add(987 * time.Millisecond)
	state := flight.New(h.s, flight.Live)
	for _, e := range h.events {
		require.NoError(t, state.Apply(e))
	}
	planned := state.At(turned.Add(5 * time.Minute)).Destination.Planned
	end := planned.Add(50 * time.Second)
	h.log(end.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: "OSC"})
	h.log(end.Add(time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.Landed})
	h.log(end.Add(2*time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.OnBlocks})
	for _, e := range h.events[len(h.events)-3:] {
		require.NoError(t, state.Apply(e))
	}
	said, f := state.At(end.Add(2*time.Minute)).Flown, h.debrief(t)
	require.NotNil(t, said)

	require.Positive(t, f.Discipline.PromptsLate)
	assert.Equal(t, f.Discipline.PromptsLate, said.LatePrompts)
	assert.Equal(t, f.Discipline.PromptsInTime+f.Discipline.PromptsLate, said.AnsweredPrompts)
	worst := 0.0
	for _, p := range f.Discipline.Prompts {
		if p.Met == debrief.AnswerLate {
			worst = max(worst, *p.Seconds)
		}
	}
	assert.InDelta(t, worst, said.LatestSeconds, 0)
	made := f.Tanks.Made[0]
	require.NotNil(t, made.Seconds)
	assert.Zero(t, math.Mod(*made.Seconds, 1), "of the times as they are shown")

	assert.Equal(t, "LIM", said.Mattered.To, "5:30 late")
	diverted := f.Legs[len(f.Legs)-1]
	require.True(t, diverted.Diversion)
	assert.InDelta(t, 50, (*diverted.ActualMinutes-*diverted.PlannedMinutes)*60, 1.01)
	passing := f.Passings[len(f.Passings)-1]
	assert.InDelta(t, 50, passing.PlanErrorSeconds, 1e-9)
	assert.Nil(t, passing.Estimate.HandErrorSeconds())
	var out bytes.Buffer
	require.NoError(t, f.Write(&out, "text"))
	assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "no hand sum reaches across that turn")
}

// A hold is no part of a leg's time, wherever that is told: on the screen of an arrival, in the debrief's legs and groundspeeds, in the sums by hand. A flight
// as planned but for holds is as planned leg by leg.
func TestAHoldIsNoPartOfALeg(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := byHand(t)
		at := h.s.Airborne
		asPlanned := rapid.Bool().Draw(t, "as planned")
		log := func(e flight.Event) {
			e.N, e.T, e.Rec = len(h.events)+1, at, at
			h.events = append(h.events, e)
		}
		wait := func(most int, name string) {
			at = at.Add(time.Duration(rapid.IntRange(1, most).Draw(t, name)) * time.Second)
		}
		at = h.s.Plan.OffBlocks
		log(flight.Event{Act: flight.OffBlocks})
		at = h.s.Airborne
		log(flight.Event{Act: flight.Airborne})
		state, held := flight.New(h.s, flight.Live), false
		for i := range h.s.Legs {
			leg := &h.s.Legs[i]
			at = at.Add(time.Duration(math.Round(60*leg.Minutes)) * time.Second)
			if !asPlanned {
				wait(300, "later")
			}
			log(flight.Event{Act: flight.Passing, Point: leg.To.Ident})
			if i < len(h.s.Legs)-1 && rapid.Bool().Draw(t, "hold") {
				held = true
				log(flight.Event{Act: flight.Hold, Point: leg.To.Ident})
				wait(1200, "held")
				log(flight.Event{Act: flight.Unhold})
			}
		}
		at = at.Add(2 * time.Minute)
		log(flight.Event{Act: flight.Landed})
		log(flight.Event{Act: flight.OnBlocks})
		for _, e := range h.events {
			require.NoError(t, state.Apply(e))
			if e.Act == flight.Passing {
				leg := h.s.Legs[slices.IndexFunc(h.s.Legs, func(l sheet.Leg) bool { return l.To.Ident == e.Point })]
				speed := state.At(e.T).Groundspeed
				require.Equal(t, e.Point, speed.SumTo)
				if asPlanned {
					require.Contains(t, speed.Sum, say.Miles(leg.DistanceNM)+" in "+say.Span(60*leg.Minutes)+" = ")
				}
			}
		}
		f, said := h.debrief(t), state.At(at).Flown
		require.NotNil(t, said)
		most := 0.0
		for i, leg := range f.Legs {
			longer := math.Round(60**leg.ActualMinutes) - math.Round(60**leg.PlannedMinutes)
			if math.Abs(longer) > math.Abs(most) {
				most = longer
			}
			require.InDelta(t, *leg.ActualGroundspeedKt, *f.Passings[i].GroundspeedKt, 1e-9, "no checkpoint lies on it")
			if asPlanned {
				require.Zero(t, longer)
			}
			if e := f.Passings[i].Estimate; asPlanned && e != nil {
				require.InDelta(t, 0, *e.CarriedErrorSeconds, 1)
				if e.RatioErrorSeconds != nil {
					require.InDelta(t, 0, *e.RatioErrorSeconds, 2)
				}
			}
		}
		require.InDelta(t, most, said.Mattered.DifferenceSeconds, 1e-9)
		var out bytes.Buffer
		require.NoError(t, f.Write(&out, "text"))
		require.Equal(t, held, strings.Contains(strings.Join(strings.Fields(out.String()), " "), "A hold is no part of a groundspeed"))
	})
}

// The log of a flight that goes on says nothing of its landing.
func TestTheReserveOfALogThatEndsInFlight(t *testing.T) {
	h := byHand(t)
	h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:30:00", flight.Event{Act: flight.Passing, Point: "LIM"})
	said := func() (text string, row debrief.Row) {
		var out bytes.Buffer
		f := h.debrief(t)
		require.NoError(t, f.Write(&out, "text"))
		return strings.Join(strings.Fields(out.String()), " "), f.Row()
	}
	text, row := said()
	assert.Regexp(t, `Final reserve [^.]*\.[^.]*; \d h \d\d over it in cruise where the log ends, before the landing\.`, text)
	assert.Contains(t, text, "usable where the log ends")
	assert.NotContains(t, text, "kept with")
	assert.NotContains(t, text, "usable after landing")
	assert.Nil(t, row.ExtraMinutes)
	h.log("14:30:00", flight.Event{Act: flight.Landed})
	text, row = said()
	assert.Contains(t, text, "kept with")
	assert.Contains(t, text, "usable after landing")
	assert.NotNil(t, row.ExtraMinutes)
}

// A radial uses the receiver that shows it, a distance the DME.
func TestAFixUsesTheReceiverThatShowsIt(t *testing.T) {
	h := byHand(t)
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:06:00", flight.Event{Act: flight.Tuned, Receiver: "NAV1", Beacon: "NOV"})
	h.log("13:06:10", flight.Event{Act: flight.Tuned, Receiver: "DME", Beacon: "NOV"})
	h.log("13:20:00", flight.Event{Act: flight.Fix, Beacon: "NOV", Radial: new(115.0)})
	used := map[string]string{}
	uses := func() map[string]string {
		for _, b := range h.debrief(t).Discipline.Beacons {
			used[b.Receiver] = say.TimeOf(b.Used)
		}
		return used
	}
	assert.Equal(t, map[string]string{"NAV1": "13:20:00Z", "DME": "--"}, uses())
	h.log("13:25:00", flight.Event{Act: flight.Fix, Beacon: "NOV", DME: new(12.0)})
	assert.Equal(t, map[string]string{"NAV1": "13:20:00Z", "DME": "13:25:00Z"}, uses())
}

// Where nobody said when a hold was left, nobody knows how long the leg took.
func TestAHoldThatWasNotLeft(t *testing.T) {
	h := byHand(t)
	h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:10:00", flight.Event{Act: flight.Hold})
	h.log("13:40:00", flight.Event{Act: flight.Passing, Point: "LIM"})
	f := h.debrief(t)
	require.Len(t, f.Holds, 1)
	assert.Nil(t, f.Legs[0].ActualMinutes)
	assert.Nil(t, f.Passings[0].GroundspeedKt)
	state, err := flight.Fold(h.s, "live", h.events, nil)
	require.NoError(t, err)
	assert.Empty(t, state.At(h.at("13:41:00")).Groundspeed.Sum)
}

// Every figure here was worked out by hand from the entries.
func TestDisciplineOfAJournalMadeByHand(t *testing.T) {
	h := byHand(t)
	h.log("13:01:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:07:00", flight.Event{Act: flight.Airborne})
	late := flight.Event{Act: flight.Passing, Point: h.s.Legs[0].To.Ident, Rec: h.at("13:35:10")}
	h.log("13:32:00", late) // entered 3:10 after
	wrong := flight.Event{Act: flight.TankChange, Tank: h.s.Plan.Aircraft.Fuel.Tanks[1].Name}
	h.log("13:36:00", wrong)
	h.log("13:36:20", flight.Event{Act: flight.Void, Event: len(h.events)})
	h.log("14:15:00", flight.Event{Act: flight.Passing, Point: h.s.Legs[2].To.Ident}) // the second was never logged
	f := h.debrief(t)

	d := f.Discipline
	assert.Equal(t, 3, d.PassingsDue)
	assert.Equal(t, 2, d.PassingsLogged)
	require.Len(t, d.Missed, 1)
	assert.Equal(t, h.s.Legs[1].To.Ident, d.Missed[0].Point)
	assert.Equal(t, h.at("14:15:00"), d.Missed[0].NoticedAt)
	assert.Equal(t, 1, d.EnteredLate)
	assert.InDelta(t, 190, d.WorstEnteredLate, 1e-9)
	assert.Equal(t, 1, d.Voided)
	require.NotEmpty(t, d.Gaps)
	assert.InDelta(t, 43, d.Gaps[0].Minutes, 1e-9, "13:32 to 14:15: what was voided counts for nothing")
	assert.InDelta(t, 60, *f.Totals.OffBlocks.DifferenceSeconds, 1e-9)
	assert.InDelta(t, 120, *f.Totals.Airborne.DifferenceSeconds, 1e-9)
	assert.False(t, f.Totals.Complete)
}

// Never changed from the left tank, exercise A burns 8 gal an hour from it: taxi and flight draw 4 gal, the limit of the exercise's
// aircraft, or more within the flight; the time above it is the time burning beyond it.
func TestTheLimitIsMeasuredToTheSecond(t *testing.T) {
	h := byHand(t)
	limit := h.s.Plan.Aircraft.Fuel.MaxImbalance
	require.NotNil(t, limit)
	h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("14:05:00", flight.Event{Act: flight.NoteText, Text: "still on the left"})
	h.log("14:05:00", flight.Event{Act: flight.Landed})
	f := h.debrief(t)
	taxi := h.s.Plan.Aircraft.TaxiFlow * 5 / 60
	hourly := h.s.Legs[0].Fuel / h.s.Legs[0].Minutes * 60
	until := (*limit - taxi) / hourly * 60 // minutes after take-off
	assert.InDelta(t, 60-until, f.Tanks.MinutesAboveLimit, 0.1)
	assert.InDelta(t, taxi+hourly, f.Tanks.HighestImbalance, 0.01)
	var rules []string
	for _, lesson := range f.Lessons {
		rules = append(rules, lesson.Rule)
	}
	assert.Contains(t, rules, "imbalance")
}

func TestLessonsAreThreeToFive(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	for seed := range uint64(8) {
		f := of(t, flown(t, seed))
		assert.GreaterOrEqual(t, len(f.Lessons), 3)
		assert.LessOrEqual(t, len(f.Lessons), 5)
		for i := 1; i < len(f.Lessons); i++ {
			before, after := f.Lessons[i-1], f.Lessons[i]
			require.GreaterOrEqual(t, before.Danger, after.Danger)
			if before.Danger == after.Danger {
				require.GreaterOrEqual(t, before.Minutes, after.Minutes)
			}
		}
	}
}

// Whatever a journal holds, its debrief fails in nothing and prints only numbers that are numbers.
func TestDebriefOfAnyJournal(t *testing.T) {
	s := demo(t)
	whole, err := practice.Whole(s, 3)
	require.NoError(t, err)
	acts := []flight.Act{
		flight.OffBlocks, flight.Airborne, flight.LevelOff, flight.Descend, flight.Landed, flight.OnBlocks, flight.Passing, flight.Steering,
		flight.Altimeter, flight.WindReported, flight.TankChange, flight.Gauges, flight.Flow, flight.Tuned, flight.Identified, flight.Fix,
		flight.Divert, flight.Hold, flight.Unhold, flight.Done, flight.Skipped, flight.NoteText, flight.Void, flight.Clock, "newer",
	}
	rapid.Check(t, func(t *rapid.T) {
		var events []flight.Event
		at := s.Plan.OffBlocks
		for n := 1; n <= rapid.IntRange(0, 30).Draw(t, "entries"); n++ {
			e := flight.Event{Act: rapid.SampledFrom(acts).Draw(t, "do")}
			if rapid.Bool().Draw(t, "of a real flight") {
				e = rapid.SampledFrom(whole).Draw(t, "entry")
			}
			at = at.Add(time.Duration(rapid.IntRange(0, 1200).Draw(t, "seconds")) * time.Second)
			e.N, e.Rec, e.T = n, at, at.Add(-time.Duration(rapid.IntRange(0, 300).Draw(t, "after"))*time.Second)
			fill(t, &e, n)
			events = append(events, e)
		}
		f := of(t, debrief.Log{Name: "any", Mode: "live", Sheet: s, Events: events})
		require.GreaterOrEqual(t, len(f.Lessons), 1)
		for _, format := range debrief.Formats() {
			var out bytes.Buffer
			require.NoError(t, f.Write(&out, format), format)
			require.NotRegexp(t, `NaN|\+Inf|-Inf|%!`, out.String(), format)
		}
		log := debrief.Log{Name: "any", Mode: "live", Sheet: s, Events: events}
		brief, err := debrief.Brief(log)
		require.NoError(t, err)
		log.Tape, err = replay.New(s, "live", events)
		require.NoError(t, err)
		onTape, err := debrief.Brief(log)
		require.NoError(t, err)
		require.Equal(t, brief, onTape)
	})
}

// fill gives an event what its act needs.
func fill(t *rapid.T, e *flight.Event, n int) {
	number := func(low, high float64) *float64 { v := rapid.Float64Range(low, high).Draw(t, "number"); return &v }
	switch e.Act {
	case flight.Passing:
		e.Point = rapid.SampledFrom([]string{"JNC", "LKM", "FNW", "TRH24", "TRH", "PLM", "nowhere"}).Draw(t, "point")
		e.OffTrack = number(-9, 9)
	case flight.Steering:
		e.Heading = number(0, 360)
	case flight.Altimeter:
		e.QNH = number(950, 1050)
	case flight.WindReported:
		e.WindFrom, e.WindSpeed = number(0, 360), number(0, 60)
	case flight.TankChange:
		e.Tank = rapid.SampledFrom([]string{"left", "right"}).Draw(t, "tank")
	case flight.Gauges:
		e.Tanks = map[string]float64{"left": *number(0, 57), "right": *number(0, 57)}
	case flight.Flow:
		e.Flow = number(5, 40)
	case flight.Fix:
		e.Beacon, e.DME = "LKM", number(0, 60)
	case flight.Divert:
		e.To = rapid.SampledFrom([]string{"WXH", "QLB"}).Draw(t, "to")
	case flight.Void:
		if n < 2 {
			e.Act = flight.NoteText
			return
		}
		e.Event = rapid.IntRange(1, n-1).Draw(t, "void")
	case flight.Clock:
		e.Set, e.Rate = &e.T, number(0.5, 16)
	}
}

// outside finds anything that a page would fetch.
var outside = regexp.MustCompile(`(src|href)="?(https?:|//)|@import|url\(`)

func TestGoldenReports(t *testing.T) {
	log := flown(t, 7)
	log.Remarks = []remarks.Remark{{N: 1, T: log.Sheet.Airborne.Add(10 * time.Minute), By: "Kim", Text: "ask <here> for the QNH & read it back"}}
	f := of(t, log)
	for _, format := range debrief.Formats() {
		var out bytes.Buffer
		require.NoError(t, f.Write(&out, format))
		golden(t, "flight."+format, out.Bytes())
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run the test with -update to write it")
	require.Equal(t, string(want), string(got))
}

// The page is whole in itself: nothing is fetched, what a person typed is escaped, every picture is there.
func TestThePageStandsAlone(t *testing.T) {
	log := flown(t, 7)
	log.Remarks = []remarks.Remark{{N: 1, T: log.Sheet.Airborne, Text: `<script>alert("x")</script>`}}
	var out bytes.Buffer
	require.NoError(t, of(t, log).Write(&out, "html"))
	page := out.String()
	assert.NotRegexp(t, outside, page)
	assert.NotContains(t, page, "<script")
	assert.Contains(t, page, "&lt;script&gt;")
	assert.Contains(t, page, "Not certified")
	assert.Contains(t, page, "prefers-color-scheme: dark")
	assert.Contains(t, page, "@page")
	for _, title := range []string{"ETA at the destination", "Error at each passing", "Groundspeed by leg", "Tanks", "Imbalance against the limit", "Wind", "Track"} {
		assert.Contains(t, page, "<h2>"+title+"</h2>")
	}
	assert.Equal(t, 7, bytes.Count(out.Bytes(), []byte("<svg ")))
	assert.Equal(t, 7, bytes.Count(out.Bytes(), []byte("</svg>")))
}

func TestEveryFormatCarriesTheCaution(t *testing.T) {
	f := of(t, flown(t, 7))
	for _, format := range []string{"text", "html", "json"} {
		var out bytes.Buffer
		require.NoError(t, f.Write(&out, format))
		require.Contains(t, out.String(), "Not certified", format)
	}
	require.ErrorContains(t, f.Write(&bytes.Buffer{}, "pdf"), "use text, html, csv, json")
}

func TestSeveralNamesTheDamagedAndGoesOn(t *testing.T) {
	logs := []debrief.Log{flown(t, 1), flown(t, 2), flown(t, 3)}
	load := func(i int) (debrief.Log, error) {
		switch i {
		case 1:
			return debrief.Log{Name: "torn.jsonl"}, fmt.Errorf("line 7 can't be read")
		case 2:
			return debrief.Log{Name: "hollow.jsonl"}, nil // no sheet: a fault of ours must not end the rest
		}
		log := logs[i%3]
		log.Name = fmt.Sprintf("%02d.jsonl", i)
		return log, nil
	}
	done := 0
	flights := debrief.Several(8, load, nil, func(debrief.Row) { done++ })
	require.Equal(t, 8, done)
	require.Len(t, flights.Rows, 8)
	problems := map[string]string{}
	for _, row := range flights.Rows {
		if row.Problem != "" {
			problems[row.Name] = row.Problem
		}
	}
	require.Len(t, problems, 2)
	require.Equal(t, "line 7 can't be read", problems["torn.jsonl"])
	require.Contains(t, problems["hollow.jsonl"], "could not be debriefed")
	require.NotEmpty(t, flights.Trends)
	for _, format := range debrief.Formats() {
		var out bytes.Buffer
		require.NoError(t, flights.Write(&out, format, debrief.Links{}))
		require.Contains(t, out.String(), "torn.jsonl", format)
	}
	var read struct{ Flights []map[string]any }
	var out bytes.Buffer
	require.NoError(t, flights.Write(&out, "json", debrief.Links{}))
	require.NoError(t, json.Unmarshal(out.Bytes(), &read))
	require.Len(t, read.Flights, 8)
}

func BenchmarkOneLog(b *testing.B) {
	log := flown(b, 7)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := debrief.Of(log); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHundredLogs(b *testing.B) {
	log := flown(b, 7)
	b.ReportAllocs()
	for b.Loop() {
		debrief.Several(100, func(int) (debrief.Log, error) { return log, nil }, nil, nil)
	}
}

// Every round of a check that was due in cruise is counted once, done or missed: by hand, one is due a quarter of an hour after the take-off of a
// flight that is level from the start, and then as long after each answer or, of one that nobody answered, after it was due. What is late when the
// flight ends was missed.
func TestEachMissedRoundIsCounted(t *testing.T) {
	const every, patience = 15 * time.Minute, 5 * time.Minute
	rapid.Check(t, func(t *rapid.T) {
		h := byHand(t)
		h.log("13:00:00", flight.Event{Act: flight.OffBlocks})
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		end := h.s.Legs[len(h.s.Legs)-1].ETA.Round(time.Second)
		due, number, asked, done := h.at("13:05:00").Add(every), 1, 0, 0
		at := h.at("13:05:00")
		passed := 0
		pass := func(until time.Time) {
			for ; passed < len(h.s.Legs) && !h.s.Legs[passed].ETA.Round(time.Second).After(until); passed++ {
				h.log(h.s.Legs[passed].ETA.Round(time.Second).Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: h.s.Legs[passed].To.Ident})
			}
		}
		for {
			at = at.Add(time.Duration(rapid.IntRange(60, 40*60).Draw(t, "seconds")) * time.Second)
			if !at.Before(end.Add(-time.Minute)) {
				break
			}
			for !due.Add(every).After(at) {
				asked, number, due = asked+1, number+1, due.Add(every)
			}
			pass(at)
			if !due.After(at) {
				h.log(at.Format(time.TimeOnly), flight.Event{Act: flight.Done, Prompt: fmt.Sprintf("check-cruise check-%d", number)})
				asked, done, number, due = asked+1, done+1, number+1, at.Add(every)
			}
		}
		for !due.Add(every).After(end) {
			asked, due = asked+1, due.Add(every)
		}
		if !due.Add(patience).After(end) {
			asked++
		}
		pass(end)
		f := h.debrief(t)
		found := false
		for _, check := range f.Discipline.Checks {
			if check.Name == "cruise check" {
				found = true
				require.Equal(t, asked, check.Asked, "asked")
				require.Equal(t, done, check.Done, "done")
			}
		}
		require.Equal(t, asked > 0, found)
	})
}
