package replay_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demo(t require.TestingT) *sheet.Sheet {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.NotNil(t, p, "%v", problems)
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	return s
}

// flown is the demo flown through the wind of a seed, with corrections: a passing entered three minutes late, one voided and entered
// anew, a gauge reading amended.
func flown(t require.TestingT, s *sheet.Sheet) []flight.Event {
	events, err := practice.Whole(s, 7)
	require.NoError(t, err)
	var corrected []flight.Event
	add := func(e flight.Event) { e.N = len(corrected) + 1; corrected = append(corrected, e) }
	passings := 0
	var late *flight.Event
	for _, e := range events {
		if late != nil && e.Rec.Sub(late.Rec) > 3*time.Minute {
			entry := *late
			entry.Rec = entry.Rec.Add(3 * time.Minute)
			add(entry)
			late = nil
		}
		if e.Act == flight.Passing {
			passings++
			switch passings {
			case 2:
				late = &e
				continue
			case 4:
				wrong := e
				wrong.T = wrong.T.Add(-2 * time.Minute)
				wrong.Rec = wrong.T
				add(wrong)
				add(flight.Event{Act: flight.Void, Event: len(corrected), T: e.T, Rec: e.T})
			case 6:
				add(e)
				add(flight.Event{Act: flight.Gauges, T: e.T, Rec: e.T, Tanks: map[string]float64{"left": 30, "right": 10}})
				add(flight.Event{Act: flight.Amend, Event: len(corrected), T: e.T, Rec: e.T.Add(time.Minute), With: json.RawMessage(`{"tanks":{"left":30,"right":30}}`)})
				continue
			}
		}
		add(e)
	}
	return corrected
}

// The oracle folds from the start for every moment; the tape winds.
func TestTapeAgreesWithFoldingFromTheStart(t *testing.T) {
	s := demo(t)
	agrees(t, s, flown(t, s))
}

// A long log is marked more sparsely, and folded at once where that is quicker than entry by entry.
func TestALongTapeAgreesToo(t *testing.T) {
	s := demo(t)
	agrees(t, s, fed(t, s)[:600])
}

func agrees(t *testing.T, s *sheet.Sheet, events []flight.Event) {
	tape, err := replay.New(s, "practice", events)
	require.NoError(t, err)
	require.False(t, flight.InOrder(tape.Records()))
	whole, err := flight.Fold(s, "practice", events, nil)
	require.NoError(t, err)
	length := int(tape.To().Sub(tape.From()).Seconds())
	rapid.Check(t, func(t *rapid.T) {
		at := tape.From().Add(time.Duration(rapid.IntRange(0, length).Draw(t, "seconds")) * time.Second)
		if rapid.Bool().Draw(t, "hindsight") {
			require.Equal(t, figures(whole.Hindsight(at).At(at)), figures(tape.At(at, replay.Hindsight)))
			return
		}
		require.Equal(t, figures(whole.Until(at).At(at)), figures(tape.At(at, replay.Known)))
	})
}

// figures are a Snapshot without its list of entries, which the views number and cut differently.
func figures(s flight.Snapshot) string {
	s.Entries = nil
	text, err := json.Marshal(s)
	if err != nil {
		return fmt.Sprint(err)
	}
	return string(text)
}

func TestWhatWasKnownAndWhatTurnedOutDiffer(t *testing.T) {
	s := demo(t)
	tape, err := replay.New(s, "practice", flown(t, s))
	require.NoError(t, err)
	differs := 0
	for at := tape.From(); at.Before(tape.To()); at = at.Add(time.Minute) {
		known, turnedOut := tape.At(at, replay.Known), tape.At(at, replay.Hindsight)
		assert.Equal(t, at, known.At)
		if known.Leg.Index != turnedOut.Leg.Index || known.Groundspeed.Sum != turnedOut.Groundspeed.Sum {
			differs++
		}
	}
	assert.Greater(t, differs, 3, "a late and a wrong entry show for some minutes")
	assert.Less(t, differs, 20)
}

func TestRecordsHaveTheFlightTimeOfTheirEntry(t *testing.T) {
	s := demo(t)
	start := s.Plan.OffBlocks
	wall := time.Date(2027, 1, 1, 20, 0, 0, 0, time.UTC)
	four, one := 4.0, 1.0
	set := start.Add(30 * time.Minute)
	back := start.Add(20 * time.Minute)
	records, err := flight.Records([]flight.Event{
		{N: 1, Act: flight.Clock, T: start, Rec: wall, Set: &start, Rate: &four},
		{N: 2, Act: flight.OffBlocks, T: start, Rec: wall.Add(time.Minute)}, // 4 minutes after
		{N: 3, Act: flight.Clock, T: set, Rec: wall.Add(2 * time.Minute), Set: &set, Rate: &one},
		{N: 4, Act: flight.Airborne, T: set, Rec: wall.Add(3 * time.Minute)},
		{N: 5, Act: flight.Clock, T: back, Rec: wall.Add(4 * time.Minute), Set: &back},
	})
	require.NoError(t, err)
	want := []time.Duration{0, 4 * time.Minute, 30 * time.Minute, 31 * time.Minute, 20 * time.Minute}
	for i, r := range records {
		assert.Equal(t, start.Add(want[i]), r.RecordedAt, "entry %d", r.N)
	}
	assert.Equal(t, 4*time.Minute, records[1].After())
}

func TestAnEmptyJournalStandsAtOffBlocks(t *testing.T) {
	s := demo(t)
	tape, err := replay.New(s, "live", nil)
	require.NoError(t, err)
	assert.Equal(t, s.Plan.OffBlocks, tape.From())
	assert.Equal(t, s.Plan.OffBlocks, tape.To())
	assert.Equal(t, flight.BeforeStart, tape.At(tape.From(), replay.Known).Phase)
}

func TestAJournalThatDoesNotHoldIsAnError(t *testing.T) {
	_, err := replay.New(demo(t), "live", []flight.Event{{N: 2, Act: flight.OffBlocks}})
	require.ErrorContains(t, err, "entry 2 where 1 must follow")
}

// A question holds what was due about its moment, each prompt stands in one of them, and a covered Snapshot tells none of it.
func TestQuestionsAskForWhatWasDueAndCoveredScreensDoNotTell(t *testing.T) {
	s := demo(t)
	tape, err := replay.New(s, "practice", flown(t, s))
	require.NoError(t, err)
	questions := tape.Questions()
	require.Greater(t, len(questions), 15, "a flight of some seventy minutes")
	seen := map[string]bool{}
	for i, q := range questions {
		require.NotEmpty(t, q.Prompts)
		require.False(t, q.At.Before(tape.From()) || q.At.After(tape.To()))
		if i > 0 {
			require.True(t, questions[i-1].At.Before(q.At))
		}
		covered := replay.Covered(tape.At(q.At, replay.Known))
		covered.Entries = nil // what was entered by then may be seen
		text, err := json.Marshal(covered)
		require.NoError(t, err)
		for _, prompt := range q.Prompts {
			require.False(t, seen[prompt.ID], prompt.ID)
			seen[prompt.ID] = true
			require.WithinDuration(t, q.At, prompt.Due, 15*time.Second)
			require.False(t, strings.Contains(string(text), `"`+prompt.Text+`"`), "%s at %s", prompt.Text, q.At)
		}
	}
	for _, prompt := range tape.At(tape.To(), replay.Known).Prompts {
		require.True(t, prompt.State == flight.Coming || prompt.State == flight.Due || prompt.Due.After(tape.To()) || seen[prompt.ID], "%s: %s", prompt.ID, prompt.State)
	}
}
