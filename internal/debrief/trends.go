package debrief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Trend is a figure of one pilot over the flights, earliest first.
type Trend struct {
	Pilot  string    `json:"pilot,omitempty"`
	Name   string    `json:"name"`
	Unit   string    `json:"unit"`
	Better string    `json:"better"` // "lower" or "higher"
	Values []float64 `json:"values"`
	// First and Last are the means of the first and the last third.
	First float64 `json:"first_third"`
	Last  float64 `json:"last_third"`
	// PerTen is the change in ten flights; nil: no two flights can be compared.
	PerTen *float64 `json:"change_in_ten_flights"`
	// Low and High are the interval that holds it with 95 %; nil: there are too few flights for any that does.
	Low  *float64 `json:"change_low"`
	High *float64 `json:"change_high"`
	// Chance is how often flights without a trend, put in any order, would show one as strong; 1 where nothing can be compared.
	Chance float64 `json:"chance"`
	Says   string  `json:"says"`

	plans  []string // of the flights
	starts []*time.Time
}

// What a trend says.
const (
	Better     = "better"
	Worse      = "worse"
	NoEvidence = "no evidence either way"
)

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

const (
	fewestForTrend = 3
	falseAlarms    = 0.05 // at most, of one pilot, over all figures together
)

// trends are those of every pilot, by name.
func trends(rows []Row) []Trend {
	list := []Trend{}
	for _, pilot := range pilotsOf(rows) {
		var own []Trend
		for _, figure := range followed {
			t := Trend{Pilot: pilot, Name: figure.name, Unit: figure.unit, Better: figure.better, Values: []float64{}}
			for _, row := range rows {
				if value := figure.of(row); value != nil && row.Problem == "" && row.Pilot == pilot {
					t.Values = append(t.Values, *value*figure.scale)
					t.plans, t.starts = append(t.plans, row.Title), append(t.starts, row.Start)
				}
			}
			if len(t.Values) >= fewestForTrend {
				t.compare()
				own = append(own, t)
			}
		}
		judge(own)
		list = append(list, own...)
	}
	return list
}

// compare measures a trend. Only flights of one plan are compared with each other: their legs, levels and beacons are the same. The change is
// the median of the slopes between all such pairs (Theil 1950; Sen 1968, with his interval from the variance of Kendall's S, whose ranks are counted from 1), and the chance is
// that of Kendall's S summed over the plans, as Hirsch, Slack and Smith (1982) sum it over seasons, over all orders of the flights of each plan: it
// supposes nothing of how the values are spread.
func (t *Trend) compare() {
	third := max(1, len(t.Values)/3)
	t.First, t.Last, t.Chance = meanOf(t.Values[:third]), meanOf(t.Values[len(t.Values)-third:]), 1
	var all slopes
	s, variance := 0, 0.0
	for _, places := range t.byPlan() {
		group := make([]placed, len(places))
		for i, place := range places {
			group[i] = placed{place: float64(place), value: t.Values[place]}
		}
		groupS, groupVariance := all.add(group)
		s, variance = s+groupS, variance+groupVariance
	}
	if all.pairs == 0 {
		return
	}
	const perTen, normal95 = 10, 1.959964
	reach := normal95 * math.Sqrt(variance)
	middle := median([]float64{all.at((all.pairs - 1) / 2), all.at(all.pairs / 2)})
	t.PerTen = ref(perTen * middle)
	if low := int(math.Round((float64(all.pairs)-reach)/2)) - 1; low >= 0 {
		t.Low, t.High = ref(perTen*all.at(low)), ref(perTen*all.at(all.pairs-1-low))
	}
	t.Chance = chanceOf(s, variance)
}

// byPlan are the places of the flights of each plan.
func (t *Trend) byPlan() [][]int {
	var groups [][]int
	at := map[string]int{}
	for place, plan := range t.plans {
		group, known := at[plan]
		if !known {
			group = len(groups)
			at[plan] = group
			groups = append(groups, nil)
		}
		groups[group] = append(groups[group], place)
	}
	return groups
}

// chanceOf is how often a trend as strong, in either direction, comes of putting the values of each group in any order: by the variance of the
// sum of Kendall's S over all such orders, as normal with a correction for continuity. It errs towards no evidence where there are few.
func chanceOf(s int, variance float64) float64 {
	if variance <= 0 || s == 0 {
		return 1
	}
	return math.Erfc((math.Abs(float64(s)) - 1) / math.Sqrt(2*variance))
}

// judge says which trends of one pilot are more than chance: by Holm's procedure (1979) the chance that any of them is called one without
// being one is at most falseAlarms.
func judge(trends []Trend) {
	order := make([]int, len(trends))
	for i := range order {
		order[i] = i
		trends[i].Says = NoEvidence
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(trends[a].Chance, trends[b].Chance) })
	for rank, i := range order {
		t := &trends[i]
		if t.Chance > falseAlarms/float64(len(trends)-rank) {
			return
		}
		t.Says = Worse
		if (*t.PerTen < 0) == (t.Better == "lower") {
			t.Says = Better
		}
	}
}

func meanOf(values []float64) float64 {
	var m mean
	for _, value := range values {
		m.add(value)
	}
	return *m.value()
}

// inTen is the change in ten flights with its interval, in words. Of few flights it may reach from none to far more than was ever seen.
func (t Trend) inTen() string {
	change := func(value float64) string {
		if math.Round(value) == 0 {
			return "0"
		}
		return fmt.Sprintf("%+.0f", value)
	}
	seen := slices.Max(t.Values) - slices.Min(t.Values)
	switch {
	case t.PerTen == nil:
		return none
	case seen == 0:
		return "no change"
	case t.Low == nil, *t.Low <= 0 && *t.High >= 0 && *t.High-*t.Low > 2*seen:
		return "not known, too few flights"
	}
	return fmt.Sprintf("%s (%s to %s) %s", change(*t.PerTen), change(*t.Low), change(*t.High), t.Unit)
}

// title names the figure, and the pilot where there is a name.
func (t Trend) title() string {
	if t.Pilot == "" {
		return t.Name
	}
	return t.Pilot + ": " + t.Name
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
