package debrief

import (
	"fmt"
	"math"
	"slices"
)

// Trend is a figure over the flights, earliest first. The logs are taken for those of one pilot.
type Trend struct {
	Name   string    `json:"name"`
	Unit   string    `json:"unit"`
	Better string    `json:"better"` // "lower" or "higher"
	Values []float64 `json:"values"`
	// First and Last are the means of the first and the last third; Says is how they compare.
	First float64 `json:"first_third"`
	Last  float64 `json:"last_third"`
	Says  string  `json:"says"`
}

// followed are the figures whose trend is told.
var followed = []struct {
	name, unit, better string
	of                 func(Row) *float64
	scale              float64
}{
	{"ETA error to the next point", "s", "lower", func(r Row) *float64 { return r.ETASeconds }, 1},
	{"hand sum's error", "s", "lower", func(r Row) *float64 { return r.HandSeconds }, 1},
	{"passings logged", "%", "higher", func(r Row) *float64 { return r.PassingsLogged }, 100},
	{"prompts answered in time", "%", "higher", func(r Row) *float64 { return r.PromptsInTime }, 100},
	{"answer after due", "s", "lower", func(r Row) *float64 { return r.AnswerSeconds }, 1},
	{"highest imbalance of its limit", "%", "lower", func(r Row) *float64 { return r.HighestImbalance }, 100},
}

// fewestForTrend are the flights from which on a trend is told.
const fewestForTrend = 3

func trends(rows []Row) []Trend {
	list := []Trend{}
	for _, figure := range followed {
		t := Trend{Name: figure.name, Unit: figure.unit, Better: figure.better, Values: []float64{}}
		for _, row := range rows {
			if value := figure.of(row); value != nil && row.Problem == "" {
				t.Values = append(t.Values, *value*figure.scale)
			}
		}
		if len(t.Values) < fewestForTrend {
			continue
		}
		third := max(1, len(t.Values)/3)
		t.First, t.Last = meanOf(t.Values[:third]), meanOf(t.Values[len(t.Values)-third:])
		t.Says = compared(t)
		list = append(list, t)
	}
	return list
}

func meanOf(values []float64) float64 {
	var m mean
	for _, value := range values {
		m.add(value)
	}
	return *m.value()
}

// compared says how the last third stands to the first: the same within a tenth.
func compared(t Trend) string {
	const same = 0.1
	change := t.Last - t.First
	switch {
	case math.Abs(change) <= same*math.Max(math.Abs(t.First), math.Abs(t.Last)):
		return "much the same"
	case (change < 0) == (t.Better == "lower"):
		return "better"
	}
	return "worse"
}

// spark is values as a row of bars, at most thirty: each the mean of its part.
func spark(values []float64) string {
	const most = 30
	bars := []rune("▁▂▃▄▅▆▇█")
	parts := min(len(values), most)
	means := make([]float64, parts)
	for i := range parts {
		from, to := i*len(values)/parts, (i+1)*len(values)/parts
		means[i] = meanOf(values[from:to])
	}
	low, high := slices.Min(means), slices.Max(means)
	line := make([]rune, parts)
	for i, value := range means {
		level := 3
		if high > low {
			level = int((value - low) / (high - low) * float64(len(bars)-1))
		}
		line[i] = bars[level]
	}
	return string(line)
}

// pictures draw every trend.
func (s Flights) pictures() []picture {
	var drawn []picture
	for _, t := range s.Trends {
		a := newAxes(t.Name, halfWidth, math.Min(0, slices.Min(t.Values)), math.Max(1, slices.Max(t.Values)), t.Unit)
		var points [][2]float64
		for i, value := range t.Values {
			x := a.left + (a.right-a.left)*(float64(i)+0.5)/float64(len(t.Values))
			points = append(points, [2]float64{x, a.y(value)})
		}
		a.path("revised", points)
		a.text("tick", "middle", points[0][0], a.bottom+17, "1")
		a.text("tick", "middle", points[len(points)-1][0], a.bottom+17, fmt.Sprint(len(points)))
		a.text("tick", "middle", (a.left+a.right)/2, a.bottom+17, "flights, earliest first")
		if len(points) <= 60 {
			for i, p := range points {
				a.dot("mark", p[0], p[1], 3, fmt.Sprintf("flight %d: %s", i+1, amount(t.Values[i], t.Unit)))
			}
		}
		drawn = append(drawn, picture{Title: t.Name, Says: fmt.Sprintf("Flight by flight, %s is better: %s in the first third, %s in the last, %s.", t.Better, amount(t.First, t.Unit), amount(t.Last, t.Unit), t.Says), SVG: a.end()})
	}
	return drawn
}
