package debrief

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

// Row is one flight among several: a few figures, and no more of it is kept. A log that could not be debriefed has a Problem, one that is
// damaged has Notes.
type Row struct {
	Name  string `json:"log"`
	Title string `json:"title"`

	Pilot      string     `json:"pilot,omitempty"`
	Instructor string     `json:"instructor,omitempty"`
	Aircraft   string     `json:"aircraft,omitempty"`
	Start      *time.Time `json:"off_blocks"`
	Problem    string     `json:"problem,omitempty"`
	Notes      []string   `json:"notes,omitempty"` // of a log that was read in part

	ActualMinutes    *float64 `json:"actual_minutes"`
	LateSeconds      *float64 `json:"late_seconds"` // airborne to overhead the destination, more than planned
	ETASeconds       *float64 `json:"eta_error_seconds"`
	HandSeconds      *float64 `json:"hand_error_seconds"`
	WithinSigma      *float64 `json:"within_1_sigma"`
	PassingsLogged   *float64 `json:"passings_logged_share"`
	PromptsInTime    *float64 `json:"prompts_in_time_share"`
	AnswerSeconds    *float64 `json:"median_answer_seconds"`
	HighestImbalance *float64 `json:"highest_imbalance_share"` // of the limit
	MinutesAbove     float64  `json:"minutes_above_limit"`
	ExtraMinutes     *float64 `json:"extra_minutes_on_landing"` // over the final reserve
	First            string   `json:"lesson"`

	Lessons []RowLesson `json:"lessons"`

	leftOut bool
}

// RowLesson is what is kept of a lesson.
type RowLesson struct {
	Rule   string `json:"rule"`
	Danger int    `json:"danger"`
}

// Row is what is kept of a flight among several.
func (f *Flight) Row() Row {
	r := Row{
		Name: f.Name, Title: f.Title, Pilot: f.Pilot, Instructor: f.Instructor, Aircraft: cmp.Or(f.Registration, f.Aircraft), Notes: f.Notes, Start: f.Totals.OffBlocks.Actual, ActualMinutes: f.Totals.ActualMinutes, ETASeconds: f.ETA.RevisedMean,
		HandSeconds: f.ETA.HandMean, WithinSigma: f.ETA.Within1Sigma, AnswerSeconds: f.Discipline.MedianSeconds, MinutesAbove: f.Tanks.MinutesAboveLimit,
	}
	if f.Totals.Complete {
		r.ExtraMinutes = f.Fuel.ExtraMinutes
	}
	if r.Start == nil {
		r.Start = f.Totals.OffBlocks.Planned
	}
	if r.Start != nil {
		r.Start = ref(*r.Start) // so that the entry that it stood in can go
	}
	if f.Totals.PlannedMinutes != nil && f.Totals.ActualMinutes != nil {
		r.LateSeconds = finite((*f.Totals.ActualMinutes - *f.Totals.PlannedMinutes) * 60)
	}
	r.PassingsLogged = share(f.Discipline.PassingsLogged, f.Discipline.PassingsDue)
	r.PromptsInTime = share(f.Discipline.PromptsInTime, f.Discipline.PromptsAsked)
	if limit := f.Tanks.Limit; limit != nil && *limit > 0 {
		r.HighestImbalance = finite(f.Tanks.HighestImbalance / *limit)
	}
	r.Lessons = []RowLesson{}
	for i, lesson := range f.Lessons {
		if i == 0 {
			r.First = strings.Clone(lesson.Text)
		}
		r.Lessons = append(r.Lessons, RowLesson{lesson.Rule, lesson.Danger})
	}
	return r
}

func share(part, whole int) *float64 {
	if whole == 0 {
		return nil
	}
	return ref(float64(part) / float64(whole))
}

// Flights is several flights and how their figures go.
type Flights struct {
	Rows    []Row   `json:"flights"` // by their start; those with a problem last
	Trends  []Trend `json:"trends"`
	Caution string  `json:"caution"`
}

// Several debriefs many logs, as many at a time as there are processors, and keeps one row of each. Load reads a log by its index; use,
// if not nil, is given each debrief before it is dropped, and done each row, both one at a time. A log that fails is a row with a problem, one
// whose error is ErrLeftOut none.
func Several(count int, load func(index int) (Log, error), use func(index int, f *Flight) error, done func(Row)) Flights {
	rows := make([]Row, count)
	next := make(chan int)
	var workers sync.WaitGroup
	var mutex sync.Mutex
	for range min(runtime.GOMAXPROCS(0), max(count, 1)) {
		workers.Go(func() {
			for i := range next {
				row := one(i, load, use, &mutex)
				mutex.Lock()
				rows[i] = row
				if done != nil {
					done(row)
				}
				mutex.Unlock()
			}
		})
	}
	for i := range count {
		next <- i
	}
	close(next)
	workers.Wait()
	rows = slices.DeleteFunc(rows, func(row Row) bool { return row.leftOut })
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(len(a.Problem), len(b.Problem))*problemsApart(a, b), compareStart(a, b), strings.Compare(a.Name, b.Name))
	})
	return Flights{Rows: rows, Trends: trends(rows), Caution: say.Caution}
}

// problemsApart is 1 where one of two rows has a problem and the other has none.
func problemsApart(a, b Row) int {
	if (a.Problem == "") == (b.Problem == "") {
		return 0
	}
	return 1
}

func compareStart(a, b Row) int {
	if a.Start == nil || b.Start == nil {
		return 0
	}
	return a.Start.Compare(*b.Start)
}

// one debriefs one log. What goes wrong in it, even a fault of this program, is a row and no more.
func one(i int, load func(int) (Log, error), use func(int, *Flight) error, mutex *sync.Mutex) (row Row) {
	var name string
	defer func() {
		if fault := recover(); fault != nil {
			row = Row{Name: name, Problem: fmt.Sprintf("it could not be debriefed: %v", fault)}
		}
	}()
	log, err := load(i)
	name = log.Name
	if errors.Is(err, ErrLeftOut) {
		return Row{leftOut: true}
	}
	if err != nil {
		return Row{Name: name, Problem: err.Error()}
	}
	debriefed := Brief
	if use != nil {
		debriefed = Of
	}
	f, err := debriefed(log)
	if err != nil {
		return Row{Name: name, Problem: err.Error()}
	}
	row = f.Row()
	if use != nil {
		mutex.Lock()
		defer mutex.Unlock()
		if err := use(i, f); err != nil {
			row.Problem = err.Error()
		}
	}
	return row
}

// Write prints the flights in one of Formats.
func (s Flights) Write(w io.Writer, format string, links Links) error {
	var out bytes.Buffer
	var err error
	switch format {
	case "text":
		s.writeText(&out)
	case "json":
		err = writeJSON(&out, s)
	case "csv":
		err = s.writeCSV(&out)
	case "html":
		err = s.writeHTML(&out, links)
	default:
		return unknownFormat(format)
	}
	if err != nil {
		return fmt.Errorf("writing the flights as %s: %w", format, err)
	}
	_, err = w.Write(out.Bytes())
	return err
}

func (s Flights) heading() string {
	problems := 0
	for _, row := range s.Rows {
		if row.Problem != "" {
			problems++
		}
	}
	text := say.Counted(len(s.Rows)-problems, "flight", "flights")
	if pilots := len(s.Pilots()); pilots > 1 {
		text += " of " + say.Counted(pilots, "pilot", "pilots")
	}
	if problems > 0 {
		text += ", " + say.Counted(problems, "log", "logs") + " that could not be debriefed"
	}
	return text
}

func (s Flights) tables(links Links) []table {
	flights := table{
		Title: "Flights", Left: 5,
		Note: "Late: airborne to the destination against plan. ETA: mean error of the revised ETAs from point to point; hand: of the hand sum; " +
			"in ±: how many of them held within one standard error. Answer: the median, after due; -: before. Imbalance: the highest, of its limit.",
		Heads: []string{"off blocks", "pilot", "plan", "aircraft", "log", "minutes", "late", "ETA", "hand", "in ±", "logged", "prompts", "answer", "imbalance"},
	}
	damaged := table{Title: "Logs that could not be debriefed", Left: 2, Heads: []string{"log", "why"}}
	part := table{Title: "Logs that are damaged", Left: 2, Heads: []string{"log", "what of it counts"}}
	for _, row := range s.Rows {
		if len(row.Notes) > 0 {
			part.Rows = append(part.Rows, []string{row.Name, strings.Join(row.Notes, " ")})
		}
		if row.Problem != "" {
			damaged.Rows = append(damaged.Rows, []string{row.Name, row.Problem})
			continue
		}
		start := none
		if row.Start != nil {
			start = say.MomentMinute(*row.Start)
		}
		if links.Report != nil {
			if file, ok := links.Report(row.Name); ok {
				flights.link(len(flights.Rows), 4, relative(file))
			}
		}
		if links.Pilot != nil {
			if file, ok := links.Pilot(row.Pilot); ok {
				flights.link(len(flights.Rows), 1, relative(file))
			}
		}
		flights.Rows = append(flights.Rows, []string{
			start, cmp.Or(row.Pilot, none), row.Title, cmp.Or(row.Aircraft, none), row.Name, say.Or(row.ActualMinutes, say.Whole), say.SignedOf(row.LateSeconds),
			seconds(row.ETASeconds), seconds(row.HandSeconds), say.Or(row.WithinSigma, say.Share), say.Or(row.PassingsLogged, say.Share),
			say.Or(row.PromptsInTime, say.Share), say.SignedOf(row.AnswerSeconds), say.Or(row.HighestImbalance, say.Share),
		})
	}
	pilots := s.groupTable("By pilot", "pilot", func(r Row) string { return r.Pilot }, func(pilot string) string {
		if links.Pilot == nil {
			return ""
		}
		file, _ := links.Pilot(pilot)
		return relative(file)
	})
	plans := s.groupTable("By plan", "plan", func(r Row) string { return r.Title }, nil)
	aircraft := s.groupTable("By aircraft", "aircraft", func(r Row) string { return r.Aircraft }, nil)
	var filled []table
	for _, t := range []table{s.lessonsTable(), pilots, plans, aircraft, s.trendsTable(links.Pilot != nil), flights, part, damaged} {
		if len(t.Rows) > 0 {
			filled = append(filled, t)
		}
	}
	return filled
}

// trendsTable tells the trends; of a class whose pilots have pages of their own only those that are more than chance.
func (s Flights) trendsTable(onlyTold bool) table {
	t := table{
		Title: "Trend", Left: 2, Heads: []string{"pilot", "", "first third", "last third", "change in ten flights", "", "earliest to latest"},
		Note: "The means of the first and of the last third; the change in ten flights and the interval that holds it with 95 %. Only flights of one plan are " +
			"compared. Better or worse is said where chance alone would show it, over all figures of a pilot, in at most 5 of 100 cases.",
	}
	if onlyTold {
		t.Note += " The figures without evidence are on the pilots' pages."
	}
	class := s.isClass()
	if !class { // whose they are stands above all
		t.Left, t.Heads = 1, t.Heads[1:]
	}
	for _, trend := range s.Trends {
		if onlyTold && trend.Says == NoEvidence {
			continue
		}
		row := []string{trend.Name, amount(trend.First, trend.Unit), amount(trend.Last, trend.Unit), trend.inTen(), trend.Says, spark(trend.Values)}
		if class {
			row = append([]string{cmp.Or(trend.Pilot, none)}, row...)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func seconds(value *float64) string {
	if value == nil {
		return none
	}
	return say.Span(*value)
}

func amount(value float64, unit string) string { return fmt.Sprintf("%.0f %s", value, unit) }

func (s Flights) writeText(out *bytes.Buffer) {
	var b strings.Builder
	b.WriteString(s.heading() + "\n")
	for _, t := range s.tables(Links{}) {
		t.writeText(&b)
	}
	b.WriteByte('\n')
	wrap(&b, "", s.Caution)
	out.WriteString(b.String())
}

func (s Flights) writeCSV(w io.Writer) error {
	out := markup.NewTable(w)
	out.Row([]string{
		"log", "title", "off_blocks", "actual_minutes", "late_seconds", "eta_error_seconds", "hand_error_seconds", "within_1_sigma",
		"passings_logged_share", "prompts_in_time_share", "median_answer_seconds", "highest_imbalance_share", "minutes_above_limit",
		"extra_minutes_on_landing", "problem", "notes", "pilot", "instructor", "aircraft",
	}...)
	for _, r := range s.Rows {
		start := ""
		if r.Start != nil {
			start = stamp(*r.Start)
		}
		out.Row([]string{
			r.Name, r.Title, start, number(r.ActualMinutes), number(r.LateSeconds), number(r.ETASeconds), number(r.HandSeconds), number(r.WithinSigma),
			number(r.PassingsLogged), number(r.PromptsInTime), number(r.AnswerSeconds), number(r.HighestImbalance),
			strconv.FormatFloat(r.MinutesAbove, 'f', -1, 64), number(r.ExtraMinutes), r.Problem, strings.Join(r.Notes, " "), r.Pilot, r.Instructor, r.Aircraft,
		}...)
	}
	return out.End()
}

func (s Flights) writeHTML(w io.Writer, links Links) error {
	p := page{Title: "Flights", Heading: s.heading(), Tables: s.tables(links), Caution: s.Caution, Pictures: s.pictures()}
	if pilots := s.Pilots(); len(pilots) == 1 && pilots[0] != "" {
		p.Title = pilots[0]
	}
	if links.Class != "" {
		p.Links = append(p.Links, link{"all pilots", relative(links.Class)})
	}
	return p.write(w)
}

// pilotsOf are the pilots of the flights that could be debriefed, by name; a flight that says nothing of its pilot is of the one without a name.
func pilotsOf(rows []Row) []string {
	var pilots []string
	for _, row := range rows {
		if row.Problem == "" {
			pilots = append(pilots, row.Pilot)
		}
	}
	slices.Sort(pilots)
	return slices.Compact(pilots)
}
