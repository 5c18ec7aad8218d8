package debrief

import (
	"fmt"

	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
)

// practiceTables are what a practice flight that was flown by hand adds: the truth, the figures asked for, the passings beside it.
func practiceTables(r *practice.Report) []table {
	if r == nil || !r.HandsOn {
		return nil
	}
	return []table{truthTable(r), figuresTable(r), workedTable(r), truePassingsTable(r), happeningsTable(r)}
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
	add("fuel left", "%.1f", r.FuelLeft)
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
			yours, took = f.Outcome, none
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

func happeningsTable(r *practice.Report) table {
	t := table{Title: "What happened", Left: 2, Heads: []string{"at", ""}}
	for _, h := range r.Happenings {
		t.Rows = append(t.Rows, []string{say.Time(h.At), h.Text})
	}
	return t
}
