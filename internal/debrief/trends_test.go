package debrief_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
)

// Worked by hand: of the ten pairs of 2, 1, 4, 3, 5 eight rise and two fall, so S = 6; the slopes are -1, -1, 1/3, 1/2, 3/4, 1, 1, 4/3, 2 and 3, their
// median (3/4 + 1)/2. Of the 120 orders of five values 28 have |S| ≥ 6: 0.233 (Kendall's table, from memory: P(S ≥ 6) = 0.117 for n = 5).
func TestSlopeAndChanceByHand(t *testing.T) {
	rows := rowsOf("a plan", 2, 1, 4, 3, 5)
	trend := debrief.Trends(rows)[0]
	assert.InDelta(t, 10*(3.0/4+1)/2, *trend.PerTen, 1e-9)
	assert.InDelta(t, 0.233, trend.Chance, 0.02)
	assert.Equal(t, debrief.NoEvidence, trend.Says)
	assert.LessOrEqual(t, *trend.Low, *trend.PerTen)
	assert.GreaterOrEqual(t, *trend.High, *trend.PerTen)
}

// rowsOf are flights of a plan, with answers so many seconds after due.
func rowsOf(plan string, seconds ...float64) []debrief.Row {
	var rows []debrief.Row
	for i, value := range seconds {
		start := time.Date(2026, 6, 1+i, 9, 0, 0, 0, time.UTC)
		rows = append(rows, debrief.Row{Title: plan, Start: &start, AnswerSeconds: &value})
	}
	return rows
}

// Of flights without a trend, put in every order that there is, the interval holds no change in 95 of 100 orders at least; of three or four none would.
func TestTheIntervalHolds(t *testing.T) {
	for n := 3; n <= 7; n++ {
		held, orders := 0, 0
		var each func(order []float64, left []float64)
		each = func(order, left []float64) {
			if len(left) > 0 {
				for i := range left {
					each(append(slices.Clone(order), left[i]), slices.Concat(left[:i], left[i+1:]))
				}
				return
			}
			trend := debrief.Trends(rowsOf("one", order...))[0]
			orders++
			if n < 5 {
				require.Nil(t, trend.Low, "%d flights", n)
				require.Nil(t, trend.High)
				return
			}
			if *trend.Low <= 0 && *trend.High >= 0 {
				held++
			}
		}
		values := make([]float64, n)
		for i := range values {
			values[i] = float64(i*i + 1)
		}
		each(nil, values)
		if n >= 5 {
			require.GreaterOrEqual(t, float64(held)/float64(orders), 0.95, "%d flights", n)
		}
	}
}

// The change in ten flights is told where something is known of it.
func TestAChangeIsToldWhereItIsKnown(t *testing.T) {
	told := func(rows []debrief.Row) string {
		var page bytes.Buffer
		require.NoError(t, debrief.Flights{Rows: rows, Trends: debrief.Trends(rows)}.Write(&page, "text", debrief.Links{}))
		_, table, found := strings.Cut(page.String(), "TREND")
		require.True(t, found)
		for line := range strings.Lines(table) {
			if strings.Contains(line, "answer after due") {
				return line
			}
		}
		return ""
	}
	const tooFew = " not known, too few flights  no evidence either way"
	require.Contains(t, told(rowsOf("one", 10, 12, 9)), tooFew)
	require.Contains(t, told(rowsOf("one", 10, 60, 60, 60, 60)), tooFew, "from none to five times what was seen")
	require.Contains(t, told(rowsOf("one", 10, 10, 10, 10)), " no change  ")
	require.Contains(t, told(rowsOf("one", 90, 84, 80, 77, 70, 66, 61, 55)), " -49 (-55 to -45) s  better")
	require.Contains(t, told(append(rowsOf("one", 10), append(rowsOf("two", 11), rowsOf("three", 9)...)...)), " --  ")
}

// A pilot who goes from a hard plan to an easy one does not get better by it, nor do two pilots make one.
func TestOnlyLikeIsComparedWithLike(t *testing.T) {
	rows := append(rowsOf("hard", 90, 91, 89, 92, 90, 91, 89, 92), rowsOf("easy", 20, 21, 19, 22, 20, 21, 19, 22)...)
	require.Equal(t, debrief.NoEvidence, debrief.Trends(rows)[0].Says)
	for i := range rows {
		rows[i].Title, rows[i].Pilot = "one", rows[i].Title
	}
	all := debrief.Trends(rows)
	require.Len(t, all, 2)
	for _, trend := range all {
		require.Equal(t, debrief.NoEvidence, trend.Says, trend.Pilot)
	}
	steady := debrief.Trends(rowsOf("one", 90, 84, 80, 77, 70, 66, 61, 55))
	require.Equal(t, debrief.Better, steady[0].Says)
}

// erring is a flight flown as by a student: passings are timed some seconds out and some left out, acts come late and some not at all. Skill is
// 1 for a beginner and 0 for one who errs in nothing.
func erring(events []flight.Event, skill float64, source *rand.Rand) []flight.Event {
	var flown []flight.Event
	for _, e := range events {
		late := 0.0
		switch e.Act {
		case flight.Passing:
			if source.Float64() < 0.08*skill {
				continue
			}
			late = math.Abs(source.NormFloat64()) * 25 * skill
		case flight.Done, flight.TankChange, flight.Tuned, flight.Identified, flight.Altimeter:
			if source.Float64() < 0.1*skill {
				continue
			}
			late = source.ExpFloat64() * 60 * skill
		}
		by := time.Duration(late) * time.Second
		e.T, e.Rec = e.T.Add(by), e.Rec.Add(by)
		flown = append(flown, e)
	}
	slices.SortStableFunc(flown, func(a, b flight.Event) int { return a.Rec.Compare(b.Rec) })
	for i := range flown {
		flown[i].N = i + 1
	}
	return flown
}

// rowsBySkill are flights of students of a skill, each through a wind of its own.
func rowsBySkill(t *testing.T, skill float64, count int, source *rand.Rand) []debrief.Row {
	s := demo(t)
	flights := debrief.Several(count, func(i int) (debrief.Log, error) {
		seed := uint64(i)
		events, err := practice.Whole(s, seed)
		return debrief.Log{Name: fmt.Sprint(i), Mode: "practice", Sheet: s, Events: erring(events, skill, rand.New(rand.NewPCG(seed, uint64(1000*skill))))}, err
	}, nil, nil)
	source.Shuffle(len(flights.Rows), func(i, j int) { flights.Rows[i], flights.Rows[j] = flights.Rows[j], flights.Rows[i] })
	for _, row := range flights.Rows {
		require.Empty(t, row.Problem)
	}
	return flights.Rows
}

// The table of docs/debrief.md. Sets of flights are drawn from flights of students flown through winds that differ: without a trend all are of one
// skill; with one the errors go down by a third in ten flights.
func TestTrendTable(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	const steps = 7
	sets, flights := 240, 6
	if os.Getenv("LEGCLOCK_TABLE") != "" { // as the table has it
		sets, flights = 1000, 12
	}
	source := rand.New(rand.NewPCG(7, 7))
	var pools [][]debrief.Row // by skill: 1, 2/3, 4/9 and between
	for step := range steps {
		pools = append(pools, rowsBySkill(t, math.Pow(2.0/3, float64(step)/2), flights, source))
	}
	draw := func(count int, poolOf func(n int) int) []debrief.Row {
		var rows []debrief.Row
		for n := range count {
			pool := pools[min(poolOf(n), steps-1)]
			rows = append(rows, pool[source.IntN(len(pool))])
		}
		return rows
	}
	said := func(count, sets int, poolOf func(int) int) (any, better float64) {
		for range sets {
			found, good := false, false
			for _, trend := range debrief.Trends(draw(count, poolOf)) {
				found = found || trend.Says != debrief.NoEvidence
				good = good || trend.Says == debrief.Better
			}
			if found {
				any++
			}
			if good {
				better++
			}
		}
		return any / float64(sets), better / float64(sets)
	}
	for _, count := range []int{12, 30} {
		alarms, _ := said(count, sets, func(int) int { return 0 })
		t.Logf("| none | %d | %.1f %% | |", count, 100*alarms)
		// At a true rate of 5 % a thousand sets have 50 ± 6.9 alarms; three standard errors above it is the bound of the count, not of the rate.
		assert.LessOrEqual(t, alarms, 0.05+3*math.Sqrt(0.05*0.95/float64(sets)), "%d flights", count)
	}
	power := 0.0
	for _, count := range []int{10, 15, 20, 30} {
		_, better := said(count, sets/4, func(n int) int { return n / 5 })
		t.Logf("| a third in ten flights | %d | | %.0f %% |", count, 100*better)
		assert.GreaterOrEqual(t, better, power, "more flights show more")
		power = better
	}
	assert.Greater(t, power, 0.8)
}

// An answer given before it was due is not told as one as long after it.
func TestAnAnswerBeforeItWasDue(t *testing.T) {
	rows := append(rowsOf("one", -95), rowsOf("two", 12)...)
	var page bytes.Buffer
	require.NoError(t, debrief.Flights{Rows: rows}.Write(&page, "text", debrief.Links{}))
	require.Equal(t, 2, strings.Count(page.String(), " -1:35 "), "of its flight and of its plan")
	require.Equal(t, 2, strings.Count(page.String(), " +0:12 "))
}
