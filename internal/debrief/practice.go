package debrief

import (
	"fmt"
	"math"
	"slices"

	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
)

// practiceTables are what a practice flight adds where the pilot flew or was asked for figures: the truth, the figures, the passings beside it.
func practiceTables(r *practice.Report) []table {
	if r == nil {
		return nil
	}
	return []table{lessonTable(r), truthTable(r), checksTable(r), figuresTable(r), accuracyTable(r), workedTable(r), truePassingsTable(r), levelsTable(r), happeningsTable(r)}
}

// lessonTable tells the one difficulty that the flight had.
func lessonTable(r *practice.Report) table {
	t := table{Left: 2, Heads: []string{"at", ""}}
	if r.Lesson == nil {
		return t
	}
	t.Title, t.Note = "The lesson", r.Lesson.Title+"."
	for _, h := range r.Lesson.Story {
		t.Rows = append(t.Rows, []string{say.Time(h.At), h.Text})
	}
	return t
}

// checksTable is how each quick check went.
func checksTable(r *practice.Report) table {
	t := table{Title: "Quick checks", Heads: []string{"check", "at", "right", "took"}, Note: "Ten figures of the moment each, marked by the truth."}
	for check := 1; ; check++ {
		figures := slices.DeleteFunc(slices.Clone(r.Figures), func(f practice.Figure) bool { return f.Check != check })
		if len(figures) == 0 {
			return t
		}
		right, seconds := 0, 0.0
		for _, f := range figures {
			seconds += f.Seconds
			if f.Points >= 2 {
				right++
			}
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(check), say.Time(figures[0].Asked), fmt.Sprintf("%d of %d", right, len(figures)), say.Span(seconds)})
	}
}

// Until how many seconds an answer belongs to a row of the table of accuracy; the last row has no end.
var secondsTaken = []float64{10, 18, 30, 60, math.Inf(1)}

// accuracyTable sets how far the answers were from the truth against the seconds that they took.
func accuracyTable(r *practice.Report) table {
	t := table{
		Title: "Accuracy against seconds taken", Left: 1, Heads: []string{"seconds", "figures", "right", "off, median"},
		Note: "Off is how far an answer was from the truth, of what was allowed: beyond 100 % it was wrong.",
	}
	from := 0.0
	for _, until := range secondsTaken {
		right := 0
		var off []float64
		for _, f := range answered(r) {
			if f.Seconds < from || f.Seconds >= until {
				continue
			}
			off = append(off, *f.OffTruth/f.Allowed)
			if f.Points >= 2 {
				right++
			}
		}
		name := fmt.Sprintf("%.0f to %.0f", from, until)
		if math.IsInf(until, 1) {
			name = fmt.Sprintf("%.0f and more", from)
		}
		from = until
		if len(off) > 0 {
			slices.Sort(off)
			t.Rows = append(t.Rows, []string{name, fmt.Sprint(len(off)), fmt.Sprint(right), say.Share(off[len(off)/2])})
		}
	}
	return t
}

// answered are the figures that were answered, of which the truth is known.
func answered(r *practice.Report) []practice.Figure {
	if r == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(r.Figures), func(f practice.Figure) bool { return f.OffTruth == nil || f.Allowed <= 0 })
}

// drawAccuracy plots how far the answers were from the truth against the seconds that they took.
func (f *Flight) drawAccuracy() string {
	figures := answered(f.Practice)
	if len(figures) < 3 {
		return ""
	}
	const most = 4.0 // times what was allowed; what is farther out stands at the edge
	longest, high := 20.0, 1.0
	for _, figure := range figures {
		longest, high = math.Max(longest, figure.Seconds), math.Max(high, math.Min(*figure.OffTruth/figure.Allowed, most))
	}
	a := newAxes("accuracy against seconds taken", halfWidth, 0, 100*high, "% of what is allowed")
	step := stepFor(longest, 6)
	longest = step * math.Ceil(longest/step)
	across := func(seconds float64) float64 { return a.left + seconds/longest*(a.right-a.left) }
	for seconds := 0.0; seconds <= longest; seconds += step {
		a.line("grid", across(seconds), a.top, across(seconds), a.bottom)
		a.text("tick", "middle", across(seconds), a.bottom+16, fmt.Sprintf("%.0f s", seconds))
	}
	a.rect("beyond", a.left, a.top, a.right-a.left, a.y(100)-a.top, "wrong")
	a.line("limit", a.left, a.y(100), a.right, a.y(100))
	for _, figure := range figures {
		class := "mark"
		if figure.Points < 2 {
			class = "dr"
		}
		off := 100 * *figure.OffTruth / figure.Allowed
		a.dot(class, across(figure.Seconds), a.y(off), 3.5, fmt.Sprintf("%s: %s, truth %s, in %s", figure.Name, figure.Answer, figure.Truth, say.Span(figure.Seconds)))
	}
	a.key("limit", "the edge of right")
	return a.end()
}

func truthTable(r *practice.Report) table {
	t := table{
		Title: "The truth that was hidden", Left: 2, Heads: []string{"", ""},
		Note: fmt.Sprintf("Seed %d: the same seed gives the same flight.", r.Seed),
	}
	add := func(name, format string, values ...any) {
		t.Rows = append(t.Rows, []string{name, fmt.Sprintf(format, values...)})
	}
	add("wind", "%s, forecast %s; and gusts", r.Wind, r.Forecast)
	add("true airspeed", "%+.1f kt on the book", r.TASBiasKt)
	add("fuel flow", "%+.1f %% on the book", r.FlowPercent)
	if r.FarthestOffAt != nil {
		add("farthest off track", "%s at %s", say.Or(&r.FarthestOffNM, say.MilesAside), say.Time(*r.FarthestOffAt))
	}
	if r.HandsOn {
		add("fuel left", "%s", say.Amount(r.FuelLeft))
	}
	if r.MostPoints > 0 {
		add("figures", "%d of %d points", r.Points, r.MostPoints)
	}
	return t
}

func figuresTable(r *practice.Report) table {
	t := table{
		Title: "Figures asked for", Left: 3, Heads: []string{"at", "figure", "yours", "best then", "truth", "took", "pts"},
		Note: "Best is what the log gave then, by the wind found where there was one; truth is what was hidden or came about. " +
			"3 points: right within the time of a practised navigator; 2: right; 1: within three times the tolerance.",
	}
	for _, f := range r.Figures {
		yours, took := f.Answer, say.Span(f.Seconds)
		if yours == "" {
			yours, took = string(f.Outcome), none
		}
		truth := f.Truth
		if truth == "" {
			truth = none
		}
		t.Rows = append(t.Rows, []string{say.Time(f.Asked), f.Name, yours, f.Best, truth, took, fmt.Sprint(f.Points)})
	}
	return t
}

// workedTable is the working of the figures that were not right.
func workedTable(r *practice.Report) table {
	t := table{Title: "Worked", Left: 2, Heads: []string{"", ""}}
	for _, f := range r.Figures {
		if f.Points >= 2 {
			continue
		}
		for i, line := range append(append([]string{}, f.Comment...), f.Steps...) {
			at := ""
			if i == 0 {
				at = say.Time(f.Asked)
			}
			t.Rows = append(t.Rows, []string{at, line})
		}
	}
	return t
}

func truePassingsTable(r *practice.Report) table {
	t := table{
		Title: "Passings beside the truth", Left: 1, Heads: []string{"point", "logged", "nearest", "late", "aircraft"},
		Note: "Nearest is when the aircraft really was, and on which side of the point it then flew.",
	}
	for _, p := range r.Passings {
		t.Rows = append(t.Rows, []string{p.Point, say.Time(p.Logged), say.Time(p.True), say.SignedOf(&p.LateSeconds), say.Or(&p.DistanceNM, say.MilesAside)})
	}
	return t
}

// levelsTable is how each leg's level was held.
func levelsTable(r *practice.Report) table {
	t := table{
		Title: "Level held by hand", Left: 2, Heads: []string{"from", "to", "planned", "held", "farthest off"},
		Note: fmt.Sprintf("Held is the part of the level flight by hand within %d ft of the level planned; climbs, descents and what the program flew are left out.", practice.LevelWithinFt),
	}
	for _, l := range r.Levels {
		t.Rows = append(t.Rows, []string{l.From, l.To, say.Feet(l.PlannedFt), say.Share(l.Share), fmt.Sprintf("%+.0f ft", math.Round(l.FarthestFt)+0)})
	}
	return t
}

func happeningsTable(r *practice.Report) table {
	t := table{Title: "What happened", Left: 2, Heads: []string{"at", ""}}
	for _, h := range r.Happenings {
		t.Rows = append(t.Rows, []string{say.Time(h.At), h.Text})
	}
	return t
}
