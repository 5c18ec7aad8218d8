package debrief_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
)

// amend is an amendment of an entry's time, made at a moment.
func (h *hand) amend(clock string, entry int, to time.Time) {
	with, _ := json.Marshal(map[string]time.Time{"t": to})
	h.log(clock, flight.Event{Act: flight.Amend, Event: entry, With: with})
}

// A passing entered 5 minutes wrong is amended within the minute: the ETA that the pilot had at it is that of the time as it was amended.
// Amended once the next point has been passed, it is the wrong one that he had, and the report says so.
func TestAnAmendedPassingHasTheETAsOfItsTime(t *testing.T) {
	debriefed := func(amended string) *debrief.Flight {
		h := straight(t, 18, 24, 15)
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		h.log("13:24:30", flight.Event{Act: flight.Passing, Point: "A"})
		a := &h.events[len(h.events)-1]
		a.T = h.at("13:18:00")
		if amended < "13:47:00" {
			h.amend(amended, a.N, h.at("13:23:00"))
		}
		h.log("13:47:00", flight.Event{Act: flight.Passing, Point: "B"})
		if amended >= "13:47:00" {
			h.amend(amended, 3, h.at("13:23:00"))
		}
		return h.debrief(t)
	}
	f := debriefed("13:24:40")
	b := f.Passings[1].Estimate
	require.NotNil(t, b)
	assert.Equal(t, "A", b.After)
	assert.False(t, b.CorrectedSince)
	assert.InDelta(t, 0, *b.CarriedErrorSeconds, 1, "A was passed as planned, and 24 minutes later B")
	assert.InDelta(t, 0, *b.RatioErrorSeconds, 1)
	assert.NotContains(t, textOf(t, f), "A *")

	f = debriefed("13:48:00")
	b = f.Passings[1].Estimate
	require.NotNil(t, b)
	assert.True(t, b.CorrectedSince)
	assert.InDelta(t, 300, *b.CarriedErrorSeconds, 1)
	assert.Contains(t, textOf(t, f), "A *")
	assert.Contains(t, strings.Join(strings.Fields(textOf(t, f)), " "), "From a point with * the ETAs are as known then: a time that they stand on was corrected later.")
}

// A passing that was voided and entered again leaves no ETA that stands on it.
func TestAVoidedPassingHasNoETAs(t *testing.T) {
	h := straight(t, 18, 24, 15)
	h.log("13:05:00", flight.Event{Act: flight.Airborne})
	h.log("13:15:00", flight.Event{Act: flight.Passing, Point: "A"})
	h.log("13:15:30", flight.Event{Act: flight.Void, Event: 3})
	h.log("13:47:00", flight.Event{Act: flight.Passing, Point: "B"})
	f := h.debrief(t)
	b := f.Passings[0].Estimate
	require.NotNil(t, b)
	assert.Equal(t, h.s.Route.Legs[0].From.Ident, b.After)
	assert.InDelta(t, 0, *b.CarriedErrorSeconds, 1)
}

// The errors beside the times of the passings are those that these very times give, or the report says that they are not.
func TestHandSumsFollowFromTheTimesBesideThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := straight(t, 18, 24, 15, 31)
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		now := h.at("13:05:00")
		var entries []int
		for i := range h.s.Legs {
			passed := h.s.Legs[i].ETA.Add(time.Duration(rapid.IntRange(-240, 240).Draw(t, "late")) * time.Second).Round(time.Second)
			entered := passed.Add(time.Duration(rapid.IntRange(0, 120).Draw(t, "entered after")) * time.Second)
			if entered.After(now) {
				now = entered
			}
			h.log(now.Format(time.TimeOnly), flight.Event{Act: flight.Passing, Point: h.s.Legs[i].To.Ident})
			h.events[len(h.events)-1].T = passed
			entries = append(entries, len(h.events))
			for range rapid.IntRange(0, 2).Draw(t, "amendments") {
				now = now.Add(time.Duration(rapid.IntRange(1, 60).Draw(t, "later")) * time.Second)
				entry := rapid.SampledFrom(entries).Draw(t, "entry")
				h.amend(now.Format(time.TimeOnly), entry, h.events[entry-1].T.Add(time.Duration(rapid.IntRange(-60, 60).Draw(t, "by"))*time.Second))
			}
		}
		f := h.debrief(t)
		passed := map[string]debrief.Passing{}
		for _, p := range f.Passings {
			passed[p.Point] = p
		}
		for _, p := range f.Passings {
			e := p.Estimate
			if e == nil || e.CorrectedSince || e.CarriedErrorSeconds == nil {
				continue
			}
			late := 0.0
			if from, ok := passed[e.After]; ok {
				late = from.PlanErrorSeconds
			}
			require.InDelta(t, p.PlanErrorSeconds-late, *e.CarriedErrorSeconds, 1, fmt.Sprintf("%s from %s", p.Point, e.After))
		}
	})
}

func textOf(t require.TestingT, f *debrief.Flight) string {
	var text bytes.Buffer
	require.NoError(t, f.Write(&text, "text"))
	return text.String()
}

// What the table of the log has no room for is counted: as many stretches as the figures have.
func TestEveryStretchWithoutAnEntryIsSpokenFor(t *testing.T) {
	for _, stretches := range []int{2, 3, 4, 6} {
		h := straight(t, 18, 24, 15, 31)
		at := h.at("13:05:00")
		h.log("13:05:00", flight.Event{Act: flight.Airborne})
		for i := range stretches {
			at = at.Add(time.Duration(10+i) * time.Minute)
			h.log(at.Format(time.TimeOnly), flight.Event{Act: flight.NoteText, Text: "here"})
		}
		f := h.debrief(t)
		require.Len(t, f.Discipline.Gaps, stretches)
		text := textOf(t, f)
		assert.Equal(t, min(stretches, 4), strings.Count(text, "\nnothing logged "), text)
		switch stretches {
		case 4:
			assert.Contains(t, text, "1 more stretch, of 10 minutes")
		case 6:
			assert.Contains(t, text, "3 more stretches, the longest of 12 minutes")
		default:
			assert.NotContains(t, text, "more stretch")
		}
	}
}

// What stands on a replay's time-line is explained.
func TestTheLegendHasEveryMark(t *testing.T) {
	docs, err := os.ReadFile("../../docs/debrief.md")
	require.NoError(t, err)
	_, legend, _ := strings.Cut(string(docs), "Below every screen:")
	legend, _, _ = strings.Cut(legend, "**What now?**")
	for _, act := range flight.Acts() {
		assert.Contains(t, legend, "`"+act.Mark()+"`", "%s", act)
	}
}
