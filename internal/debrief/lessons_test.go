package debrief_test

import (
	"bytes"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// lessonOf is the lesson of a rule; the test fails where there is none.
func lessonOf(t *testing.T, f *debrief.Flight, rule string) debrief.Lesson {
	t.Helper()
	for _, lesson := range f.Lessons {
		if lesson.Rule == rule {
			return lesson
		}
	}
	require.Fail(t, "no lesson "+rule, "%+v", f.Lessons)
	return debrief.Lesson{}
}

// bent is two legs of 60 nm at 100 kt in still air, with a turn of 90° right between them.
func bent(t *testing.T) *hand {
	h := straight(t, 36, 36)
	p := *h.s.Plan
	p.Points[2].At, _ = earth.Direct(p.Points[1].At, 180, 60)
	return h.of(t, &p)
}

// tracked adds where the aircraft was, once in half a minute: to the corner, on past it for some minutes, then straight to the end. Flown at
// 100 kt, it is at the end after as many minutes as it returns.
func (h *hand) tracked(t *testing.T, lateMinutes float64) (end time.Time) {
	legs := h.s.Route.Legs
	corner := h.at("13:41:00")
	beyond, _ := earth.Direct(legs[0].To.At, 90, lateMinutes*100/60)
	rest := earth.NewLine(beyond, legs[1].To.At)
	total := lateMinutes + rest.DistanceNM()/100*60
	for minutes := 0.5; minutes < total; minutes += 0.5 {
		at := corner.Add(time.Duration(minutes * float64(time.Minute)))
		var place earth.Position
		if minutes <= lateMinutes {
			place, _ = earth.Direct(legs[0].To.At, 90, minutes*100/60)
		} else {
			place, _ = rest.At((minutes - lateMinutes) * 100 / 60)
		}
		altitude := 4500.0
		h.log(at.Format(time.TimeOnly), flight.Event{Act: flight.Position, At: &place, Alt: &altitude, By: "feed"})
	}
	return corner.Add(time.Duration(total * float64(time.Minute))).Round(time.Second)
}

// Headings that were steered round something are named where neither the turn nor the wind explains a longer leg; those of the leg are not.
func TestHeadingsRoundSomethingAreNamed(t *testing.T) {
	for _, off := range []float64{4, 21} {
		h := straight(t, 18, 48)
		follows := h.s.Legs[1].HeadingMagnetic
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		h.log("13:23:00", flight.Event{Act: flight.Passing, Point: "A"})
		h.log("13:23:00", flight.Event{Act: flight.Steering, Heading: &follows})
		h.log("13:35:00", flight.Event{Act: flight.Steering, Heading: new(follows + off)})
		h.log("13:43:00", flight.Event{Act: flight.Steering, Heading: new(follows - off)})
		h.log("13:51:00", flight.Event{Act: flight.Steering, Heading: &follows})
		h.log("14:13:00", flight.Event{Act: flight.Passing, Point: "B"})
		f := h.debrief(t)
		leg := f.Legs[1]
		require.NotNil(t, leg.SteeredOff)
		assert.InDelta(t, off, math.Abs(*leg.SteeredOff), 1.5)
		leg.WindMinutes = nil
		f.Legs[1] = leg
		text := lessonOf(t, &debrief.Flight{Legs: f.Legs, Lessons: f.Learned()}, "leg").Text
		assert.Equal(t, off > 10, strings.Contains(text, "° off the leg's were steered"), text)
	}
}

// A turn made 6½ minutes late is the cause that is named, not the groundspeed: the aircraft goes 10.8 nm beyond the corner, which by the
// Pythagorean theorem makes the way 10.83 + √(10.83² + 60²) = 71.8 nm, 7:05 more than 60 at 100 kt.
func TestATurnMadeLateIsTheCause(t *testing.T) {
	want := (6.5*100/60 + math.Hypot(6.5*100/60, 60) - 60) / 100 * 60
	require.InDelta(t, 7.08, want, 0.01)
	for _, by := range []string{"track", "heading"} {
		h := bent(t)
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		east, south := 90.0, 180.0
		if by == "heading" {
			east, south = h.s.Legs[0].HeadingMagnetic, h.s.Legs[1].HeadingMagnetic
			h.log("13:06:00", flight.Event{Act: flight.Steering, Heading: &east})
		}
		h.log("13:41:00", flight.Event{Act: flight.Passing, Point: "A"})
		end := h.at("13:41:00").Add(time.Duration((36 + want) * float64(time.Minute))).Round(time.Second)
		if by == "heading" {
			h.log("13:47:30", flight.Event{Act: flight.Steering, Heading: &south})
		} else {
			end = h.tracked(t, 6.5)
		}
		h.log(end.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: "B"})
		f := h.debrief(t)
		leg := f.Legs[1]
		require.NotNil(t, leg.TurnLateSeconds, by)
		assert.Equal(t, by, leg.TurnBy)
		assert.InDelta(t, 390, *leg.TurnLateSeconds, 30, by)
		assert.InDelta(t, want, *leg.ActualMinutes-*leg.PlannedMinutes, 0.05, by)
		lesson := lessonOf(t, f, "leg")
		assert.Contains(t, lesson.Text, "The turn at A was made 6:", by)
		assert.Contains(t, lesson.Advice, "turn first, then time, then talk")
		assert.Equal(t, h.at("13:41:00"), *lesson.At)
		if by == "track" {
			off := lessonOf(t, f, "off-track")
			assert.InDelta(t, 10.83, math.Abs(*leg.FlownOffTrackNM), 0.9)
			assert.Less(t, *leg.FlownOffTrackNM, 0.0, "east of a leg south is left of it")
			assert.Equal(t, 3, off.Danger)
			assert.Less(t, slices.Index(f.Lessons, off), slices.Index(f.Lessons, lesson), "ten miles off track comes before minutes")
			assert.Contains(t, off.Text, "It came from the turn at A")
		}
	}
}

func TestATurnMadeInTimeIsNoCause(t *testing.T) {
	h := bent(t)
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:41:00", flight.Event{Act: flight.Passing, Point: "A"})
	end := h.tracked(t, 0)
	h.log(end.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: "B"})
	f := h.debrief(t)
	assert.Less(t, *f.Legs[1].TurnLateSeconds, 31.0, "to the next position")
	assert.InDelta(t, 0, *f.Legs[1].FlownOffTrackNM, 0.1)
	for _, lesson := range f.Lessons {
		assert.NotContains(t, lesson.Text, "turn at A")
	}
}

// A fix by radial and distance puts the leg as far off track as the screens said then, its beacon is used whether it had been tuned or not, and a turn by a
// heading that was logged long after it was flown explains nothing.
func TestAFixTellsOfTheLegAndOfItsBeacon(t *testing.T) {
	h := byHand(t)
	leg := h.s.Route.Legs[1]
	nov, _ := h.s.Plan.Point("NOV")
	declination, _, err := h.s.Plan.StationDeclination(nov)
	require.NoError(t, err)
	onTrack, azimuth := leg.Line.At(17)
	place, _ := earth.Direct(onTrack, azimuth+90, 4)
	from := earth.Inverse(nov.At, place)
	fix := flight.Event{Act: flight.Fix, Beacon: "NOV", Radial: new(from.AzimuthStart - declination), DME: &from.DistanceNM}
	passed, fixed := h.s.Legs[0].ETA.Format(time.TimeOnly), h.s.Legs[0].ETA.Add(10*time.Minute)
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:06:00", flight.Event{Act: flight.Steering, Heading: &h.s.Legs[0].HeadingMagnetic})
	h.log(passed, flight.Event{Act: flight.Passing, Point: "LIM"})
	h.log(fixed.Format(time.TimeOnly), fix)
	events := slices.Clone(h.events)
	h.log(fixed.Add(time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.Steering, Heading: &h.s.Legs[1].HeadingMagnetic})
	h.log(fixed.Add(2*time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.Tuned, Receiver: "NAV1", Beacon: "NOV"})
	h.log(h.s.Legs[1].ETA.Add(time.Minute).Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: "MIK"})
	f := h.debrief(t)

	state := flight.New(h.s, flight.Live)
	for _, e := range events {
		require.NoError(t, state.Apply(e))
	}
	said := state.At(events[len(events)-1].T).OffTrack
	require.NotNil(t, said)
	require.NotNil(t, f.Legs[1].OffTrackNM)
	assert.InDelta(t, said.OffNM, *f.Legs[1].OffTrackNM, 0)
	assert.Greater(t, said.OffNM, 1.0)
	assert.Equal(t, events[len(events)-1].T, *f.Legs[1].OffTrackAt)
	off := lessonOf(t, f, "off-track")
	assert.Contains(t, off.Text, "From LIM to MIK the aircraft was "+say.OffTrack(said.OffNM))
	require.NotNil(t, f.Legs[1].TurnOffTrackNM)
	assert.Greater(t, *f.Legs[1].TurnOffTrackNM, 2*said.OffNM)
	assert.NotContains(t, off.Text, "turn")
	assert.Equal(t, "NOV was used for a fix before it was tuned.", lessonOf(t, f, "beacon").Text)
	var out bytes.Buffer
	require.NoError(t, f.Write(&out, "text"))
	assert.Regexp(t, `-- +NOV +-- +-- +\d\d:\d\d:\d\dZ +a fix, NOT TUNED\n`, out.String())
}

// The same journal called an imported track says nothing of tanks, prompts, beacons or entries, and still tells the legs and the winds.
func TestATrackIsDebriefedOnWhatATrackTells(t *testing.T) {
	log := flown(t, 7)
	log.Mode, log.Truth = flight.Import, nil
	var events []flight.Event
	for _, e := range log.Events {
		switch e.Act {
		case flight.OffBlocks, flight.Airborne, flight.Passing, flight.Landed, flight.OnBlocks:
			e.N = len(events) + 1
			events = append(events, e)
		}
	}
	log.Events = events
	f := of(t, log)
	require.NotNil(t, f.Totals.ActualMinutes)
	require.NotEmpty(t, f.Winds)
	require.Len(t, f.Passings, f.Discipline.PassingsLogged)
	assert.Zero(t, f.Discipline.PromptsAsked)
	assert.Nil(t, f.Tanks.Limit)
	assert.Empty(t, f.Tanks.Series)
	assert.Nil(t, f.Fuel.Landed)
	assert.Nil(t, f.Row().PromptsInTime)
	assert.Nil(t, f.Row().HighestImbalance)
	for _, format := range []string{"text", "html"} {
		var out bytes.Buffer
		require.NoError(t, f.Write(&out, format))
		assert.NotRegexp(t, `(?i)imbalance|\btank|prompt|gauge|nothing logged|nothing was logged|identified|entered late|answered`, sentences(out.String()), format)
		assert.Regexp(t, `(?i)legs: time`, out.String())
	}
	for _, m := range f.Moments(nil) {
		assert.NotEqual(t, debrief.MomentPrompt, m.Kind)
	}
}

// style is the part of a page that no one reads.
var style = regexp.MustCompile(`(?s)<style>.*?</style>`)

func sentences(page string) string { return style.ReplaceAllString(page, "") }

// badGrammar finds counts that don't fit their noun, and zeros that should be words or nothing. Of the sentences' own making.
var badGrammar = regexp.MustCompile(`\b1 (minutes|entries|passings|prompts|changes|beacons|were)\b|(^| )0 (was|were|nm|minutes)\b|-0\.0|\b0\.0 nm|\b(none|1) were|(passings?|prompts?|and) ([02-9]|\d\d+) was\b|%!`)

func TestLessonsReadWellAtNoughtAndOne(t *testing.T) {
	number := func(t *rapid.T, values ...float64) *float64 {
		v := rapid.SampledFrom(values).Draw(t, "number")
		return &v
	}
	when := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		n := func() int { return rapid.IntRange(0, 3).Draw(t, "count") }
		f := &debrief.Flight{Mode: rapid.SampledFrom([]flight.Mode{"live", "import"}).Draw(t, "mode")}
		limit := 8.0
		f.Totals.Overhead.Actual, f.Totals.Destination = &when, "PLM"
		f.Totals.PlannedMinutes, f.Totals.ActualMinutes = number(t, 60), number(t, 58, 60, 61, 63)
		f.Totals.Airborne.DifferenceSeconds, f.Totals.Entries = number(t, -600, 0, 300), n()
		d := &f.Discipline
		d.PromptsLate, d.PromptsLeft, d.PromptsInTime = n(), n(), n()
		d.PromptsAsked = d.PromptsLate + d.PromptsLeft + d.PromptsInTime
		d.MedianSeconds, d.WorstSeconds = number(t, -3, 0, 1), number(t, 0, 1, 61)
		d.PassingsLogged, d.EnteredLate, d.Voided = n(), n(), n()
		for range n() {
			d.Missed = append(d.Missed, debrief.Missed{Point: "LKM", NoticedAt: when})
		}
		d.PassingsDue = d.PassingsLogged + len(d.Missed)
		for range n() {
			d.Beacons = append(d.Beacons, debrief.Beacon{Beacon: "LKM", Receiver: "NAV1", Used: &when, UsedFor: "a fix", UsedUnverified: true})
		}
		f.Tanks = debrief.Tanks{Unit: "litre", Limit: &limit, HighestAt: &when, HighestImbalance: *number(t, 0, 1, 9), MinutesAboveLimit: *number(t, 0, 0.2, 1, 12)}
		f.Fuel.Reserve, f.Fuel.Landed, f.Fuel.ExtraMinutes = 12, number(t, 0, 1, 13), number(t, -30, -1, 0, 46)
		f.Legs = []debrief.Leg{{
			From: "QLB", To: "LKM", DistanceNM: 20, StartedAt: &when, PlannedMinutes: number(t, 10), ActualMinutes: number(t, 9, 10, 11, 12), PlannedGroundspeedKt: number(t, 100),
			ActualGroundspeedKt: number(t, 99, 100), OffTrackNM: number(t, -1.04, -0.04, 0, 0.04, 1), FlownOffTrackNM: number(t, -2, -0.04, 0, 7), WindMinutes: number(t, -0.001, 0, 1),
		}}
		for _, lesson := range f.Learned() {
			require.False(t, badGrammar.MatchString(lesson.Text), lesson.Text)
			require.Regexp(t, `^[A-Z0-9].*\.$`, lesson.Text)
			require.False(t, math.IsNaN(lesson.Minutes) || lesson.Minutes < 0)
		}
	})
}
