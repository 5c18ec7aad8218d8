package debrief

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/say"
)

// Filter leaves the flights of one pilot, plan or aircraft; empty: of all.
type Filter struct{ Pilot, Plan, Aircraft string }

// ErrLeftOut is of a log that a Filter leaves out.
var ErrLeftOut = errors.New("not asked for")

// Takes reports whether a log is one of those asked for.
func (f Filter) Takes(log Log) bool {
	is := func(asked, has string) bool { return asked == "" || strings.EqualFold(asked, has) }
	p := log.Sheet.Plan
	return is(f.Pilot, log.Pilot) && is(f.Plan, p.Title) && (is(f.Aircraft, p.Aircraft.Registration) || is(f.Aircraft, p.Aircraft.Name))
}

// Links tell where the other pages of a class are. A nil function: there are none.
type Links struct {
	Report func(log string) (file string, ok bool)   // of a flight
	Pilot  func(pilot string) (file string, ok bool) // of all that a pilot flew
	Class  string                                    // from a pilot's page back
}

// relative is a link to a file in the same folder, whatever it is called: no name of a file is taken for an address.
func relative(file string) string {
	if file == "" {
		return ""
	}
	return "./" + url.PathEscape(path.Base(file))
}

// Pilots are those of the flights that could be debriefed, by name; a flight that does not say whose it is, is of the one without a name.
func (s Flights) Pilots() []string { return pilotsOf(s.Rows) }

// Of is what one pilot flew.
func (s Flights) Of(pilot string) Flights {
	own := Flights{Caution: s.Caution, Rows: []Row{}, Trends: []Trend{}}
	for _, row := range s.Rows {
		if row.Pilot == pilot && row.Problem == "" {
			own.Rows = append(own.Rows, row)
		}
	}
	for _, trend := range s.Trends {
		if trend.Pilot == pilot {
			own.Trends = append(own.Trends, trend)
		}
	}
	return own
}

// isClass reports whether the flights are of several pilots.
func (s Flights) isClass() bool { return len(s.Pilots()) > 1 }

// groupTable sums the flights up by a key; it has no rows where all have the same.
func (s Flights) groupTable(title, head string, key func(Row) string, link func(string) string) table {
	t := table{
		Title: title, Left: 1, Heads: []string{head, "flights", "first", "last", "late", "ETA", "in ±", "logged", "prompts", "answer", "imbalance", "came up most"},
		Note: "Means over the flights; the imbalance is the highest.",
	}
	groups := map[string][]Row{}
	for _, row := range s.Rows {
		if row.Problem == "" {
			groups[key(row)] = append(groups[key(row)], row)
		}
	}
	if len(groups) < 2 {
		return t
	}
	names := make([]string, 0, len(groups))
	for name := range groups {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		rows := groups[name]
		first, last := none, none
		for _, row := range rows { // by their start
			if row.Start != nil {
				last = row.Start.UTC().Format(time.DateOnly)
				if first == none {
					first = last
				}
			}
		}
		average := func(of func(Row) *float64) *float64 {
			var m mean
			for _, row := range rows {
				if value := of(row); value != nil {
					m.add(*value)
				}
			}
			return m.value()
		}
		highest := (*float64)(nil)
		for _, row := range rows {
			if h := row.HighestImbalance; h != nil && (highest == nil || *h > *highest) {
				highest = h
			}
		}
		most := none
		if often := lessonsOf(rows); len(often) > 0 {
			most = fmt.Sprintf("%s (%d)", often[0].title, often[0].flights)
		}
		if link != nil {
			t.link(len(t.Rows), 0, link(name))
		}
		t.Rows = append(t.Rows, []string{
			cmp.Or(name, none), fmt.Sprint(len(rows)), first, last, say.SignedOf(average(func(r Row) *float64 { return r.LateSeconds })),
			seconds(average(func(r Row) *float64 { return r.ETASeconds })), say.Or(average(func(r Row) *float64 { return r.WithinSigma }), say.Share),
			say.Or(average(func(r Row) *float64 { return r.PassingsLogged }), say.Share), say.Or(average(func(r Row) *float64 { return r.PromptsInTime }), say.Share),
			say.SignedOf(average(func(r Row) *float64 { return r.AnswerSeconds })), say.Or(highest, say.Share), most,
		})
	}
	return t
}

// cameUp is how often a lesson came up.
type cameUp struct {
	title           string
	danger          int
	flights, pilots int
}

// lessonsOf are the lessons of flights that are no praise, those of most flights first, then the most dangerous.
func lessonsOf(rows []Row) []cameUp {
	var all []cameUp
	for _, rule := range rules {
		if rule.importance < 0.5 {
			continue
		}
		up := cameUp{title: rule.title}
		pilots := map[string]bool{}
		for _, row := range rows {
			if i := slices.IndexFunc(row.Lessons, func(l RowLesson) bool { return l.Rule == rule.name }); i >= 0 {
				up.flights++
				up.danger = max(up.danger, row.Lessons[i].Danger)
				pilots[row.Pilot] = true
			}
		}
		if up.pilots = len(pilots); up.flights > 0 {
			all = append(all, up)
		}
	}
	slices.SortStableFunc(all, func(a, b cameUp) int {
		return cmp.Or(cmp.Compare(b.flights, a.flights), cmp.Compare(b.danger, a.danger))
	})
	return all
}

// lessonsTable is what came up in all flights: what a class is worth an hour of.
func (s Flights) lessonsTable() table {
	t := table{
		Title: "What came up", Left: 1, Heads: []string{"", "flights", "pilots", "danger"},
		Note: "Among the lessons of so many flights and pilots. Danger, at its worst: 3 could have ended the flight badly, 2 led there, 1 cost time, 0 is about the log.",
	}
	for _, up := range lessonsOf(s.Rows) {
		t.Rows = append(t.Rows, []string{up.title, fmt.Sprint(up.flights), fmt.Sprint(up.pilots), fmt.Sprint(up.danger)})
	}
	return t
}

// pictures draw every trend of one pilot, or each figure of all flights of a class, over the days.
func (s Flights) pictures() []picture {
	var drawn []picture
	if !s.isClass() {
		for _, t := range s.Trends {
			says := fmt.Sprintf("Flight by flight, %s is better. Change in ten flights: %s; %s.", t.Better, t.inTen(), t.Says)
			drawn = append(drawn, picture{Title: t.title(), Says: says, SVG: drawOverDays(t.title(), t.Unit, t.Values, t.starts, nil, true)})
		}
		return drawn
	}
	for _, figure := range followed {
		var values []float64
		var starts []*time.Time
		var names []string
		for _, row := range s.Rows {
			if value := figure.of(row); value != nil && row.Problem == "" {
				values, starts, names = append(values, *value*figure.scale), append(starts, row.Start), append(names, cmp.Or(row.Pilot, "no name"))
			}
		}
		if len(values) >= fewestForTrend {
			says := fmt.Sprintf("A dot is a flight, %s is better; the line is the median of five flights one after the other.", figure.better)
			drawn = append(drawn, picture{Title: strings.ToUpper(figure.name[:1]) + figure.name[1:], Says: says, SVG: drawOverDays(figure.name, figure.unit, values, starts, names, false)})
		}
	}
	return drawn
}

// drawOverDays draws a figure of flights over the days on which they were flown, or in their order where those are not known or all one.
// The dots are joined, or a running median is drawn through them.
func drawOverDays(title, unit string, values []float64, starts []*time.Time, names []string, joined bool) string {
	a := newAxes(title, halfWidth, math.Min(0, slices.Min(values)), math.Max(1, slices.Max(values)), unit)
	dated := !slices.Contains(starts, nil) && starts[len(starts)-1].Sub(*starts[0]) > 12*time.Hour
	if dated {
		a.overDays(*starts[0], *starts[len(starts)-1])
	} else {
		a.text("tick", "middle", a.left, a.bottom+17, "1")
		a.text("tick", "end", a.right, a.bottom+17, fmt.Sprint(len(values)))
		a.text("tick", "middle", (a.left+a.right)/2, a.bottom+17, "flights, earliest first")
	}
	points := make([][2]float64, len(values))
	for i, value := range values {
		x := a.left + (a.right-a.left)*(float64(i)+0.5)/float64(len(values))
		if dated {
			x = a.x(*starts[i])
		}
		points[i] = [2]float64{x, a.y(value)}
	}
	line := points
	if !joined {
		const about = 2
		line = nil
		for i := about; i+about < len(points); i++ {
			near := slices.Clone(values[i-about : i+about+1])
			slices.Sort(near)
			line = append(line, [2]float64{points[i][0], a.y(near[about])})
		}
	}
	a.path("revised", line)
	const mostDots = 1000
	for i := 0; i < len(points); i += 1 + len(points)/mostDots {
		tip := fmt.Sprintf("flight %d: %s", i+1, amount(values[i], unit))
		if starts[i] != nil {
			tip = starts[i].UTC().Format("2 January 2006") + ": " + amount(values[i], unit)
		}
		if names != nil {
			tip = names[i] + ", " + tip
		}
		a.dot("mark", points[i][0], points[i][1], 3, tip)
	}
	return a.end()
}
