package debrief_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/practice"
)

// What a practice flight asked is told by the check that it belonged to, by the seconds that it took and beside the truth, and plotted where
// there are three answers or more.
func TestAnswersAreSetAgainstTheSecondsTaken(t *testing.T) {
	log := flown(t, 3)
	at := log.Events[20].T
	figure := func(check int, seconds, off float64, points int) practice.Figure {
		return practice.Figure{
			Name: "groundspeed now", Asked: at.Add(time.Duration(seconds) * time.Second), Check: check, Seconds: seconds, OffTruth: &off, Allowed: 5,
			Points: points, Answer: "94 kt", Truth: "96 kt", Best: "95 kt",
		}
	}
	log.Hidden = &practice.Report{Figures: []practice.Figure{
		figure(1, 6, 10, 0), figure(1, 8, 1, 3), figure(1, 9, 2, 3), figure(2, 25, 3, 2), figure(0, 70, 40, 0), {Name: "ETA LKM", Asked: at, Outcome: "not answered"},
	}}
	report := func(format string) string {
		f, err := debrief.Of(log)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, f.Write(&b, format))
		return b.String()
	}
	rows := func(title string) []string {
		_, after, found := strings.Cut(report("text"), title)
		require.True(t, found)
		var rows []string
		for _, line := range strings.Split(strings.SplitN(after, "\n\n", 2)[0], "\n") {
			rows = append(rows, strings.Join(strings.Fields(line), " "))
		}
		return rows
	}
	checks := rows("QUICK CHECKS")
	assert.Contains(t, checks[len(checks)-2], "2 of 3 0:23")
	assert.Contains(t, checks[len(checks)-1], "1 of 1 0:25")
	accuracy := rows("ACCURACY AGAINST SECONDS TAKEN")
	assert.Equal(t, []string{"0 to 10 3 2 40 %", "18 to 30 1 1 60 %", "60 and more 1 0 800 %"}, accuracy[len(accuracy)-3:])
	page := report("html")
	_, plot, found := strings.Cut(page, `aria-label="accuracy against seconds taken"`)
	require.True(t, found)
	plot, _, _ = strings.Cut(plot, "</svg>")
	assert.Equal(t, 5, strings.Count(plot, "<circle"))
	log.Hidden.Figures = log.Hidden.Figures[:2]
	assert.NotContains(t, report("html"), `aria-label="accuracy`)
}

// The difficulty of a lesson comes first.
func TestALessonIsToldFirst(t *testing.T) {
	log := flown(t, 3)
	log.Hidden = &practice.Report{HandsOn: true, Lesson: &practice.LessonTold{
		Name: practice.StuckGauge, Title: practice.StuckGauge.Title(), Story: []practice.Happening{{At: log.Events[9].T, Text: "the left gauge stood still, at 40"}},
	}}
	f, err := debrief.Of(log)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, "text"))
	_, after, found := strings.Cut(b.String(), "THE LESSON\na fuel gauge sticks: keep your own calculation beside what it shows.\n")
	require.True(t, found)
	assert.Contains(t, strings.SplitN(after, "\n\n", 2)[0], "the left gauge stood still, at 40")
	assert.Contains(t, after, "THE TRUTH THAT WAS HIDDEN")
}
