package flighttest

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// LoadSheet makes the sheet of a plan by the name that a script gives it.
type LoadSheet func(name string) (*sheet.Sheet, error)

const indent = "    "

// Run runs a script and returns it with the lines that its steps give now. The error is of a script that can't be run, with its line.
func Run(script string, load LoadSheet) (string, error) {
	var out strings.Builder
	err := (&Runner{load: load}).run(script, &out)
	return out.String(), err
}

// Fly runs a script and returns the flight as it stands after the last step. The error is of a script that can't be run, with its line.
func Fly(script string, load LoadSheet) (*Runner, error) {
	r := &Runner{load: load}
	return r, r.run(script, io.Discard)
}

func (r *Runner) run(script string, out io.Writer) error {
	for number, line := range strings.Split(strings.TrimSuffix(script, "\n"), "\n") {
		if strings.HasPrefix(line, indent) {
			continue
		}
		fmt.Fprintln(out, line)
		step, _, _ := strings.Cut(line, "#")
		if step = strings.TrimSpace(step); step == "" {
			continue
		}
		given, err := r.step(step)
		if err != nil {
			return fmt.Errorf("line %d: %q: %w", number+1, line, err)
		}
		for _, text := range given {
			fmt.Fprintln(out, strings.TrimRight(indent+text, " "))
		}
	}
	return nil
}

// Runner is a flight as a script goes on.
type Runner struct {
	State  *flight.State
	Sheet  *sheet.Sheet
	Events []flight.Event

	load LoadSheet
	wall time.Time
}

func (r *Runner) step(step string) ([]string, error) {
	words := strings.Fields(step)
	switch words[0] {
	case "fly":
		return nil, r.fly(words[1:])
	case "wait":
		return nil, r.wait(words[1:])
	}
	if r.State == nil {
		return nil, errors.New("no flight yet: begin with fly")
	}
	switch words[0] {
	case "at", "known", "hindsight":
		return r.show(words)
	}
	return r.enter(words)
}

// before off-blocks is when the clock of a script's flight is set.
const before = 10 * time.Minute

func (r *Runner) fly(words []string) error {
	if len(words) != 1 || r.State != nil {
		return errors.New("fly needs the plan's name, once")
	}
	var err error
	if r.Sheet, err = r.load(words[0]); err != nil {
		return err
	}
	r.State = flight.New(r.Sheet, flight.Live)
	set := r.Sheet.Plan.OffBlocks.Add(-before)
	r.wall = set
	rate := 1.0
	return r.Record(flight.Event{T: set, Rec: set, Act: flight.Clock, Set: &set, Rate: &rate})
}

func (r *Runner) wait(words []string) error {
	if len(words) != 1 {
		return errors.New("wait needs a length of time, such as 2:00")
	}
	length, err := parseSpan(words[0])
	r.wall = r.wall.Add(length)
	return err
}

// Record gives an event its number and folds it.
func (r *Runner) Record(e flight.Event) error {
	e.N = len(r.Events) + 1
	if err := r.State.Apply(e); err != nil {
		return err
	}
	r.Events = append(r.Events, e)
	return nil
}

// enter records an entry made at a flight time.
func (r *Runner) enter(words []string) ([]string, error) {
	at, err := r.time(words[0])
	if err != nil {
		return nil, err
	}
	if len(words) < 2 {
		return nil, errors.New("no entry")
	}
	if err := r.moveTo(at); err != nil {
		return nil, err
	}
	e := flight.Event{T: at, Rec: r.wall}
	words = words[1:]
	for len(words) > 1 {
		last := words[len(words)-1]
		if last == "confirmed" {
			e.Confirmed = true
		} else if strings.HasPrefix(last, "@") {
			if e.T, err = r.time(last[1:]); err != nil {
				return nil, err
			}
		} else {
			break
		}
		words = words[:len(words)-1]
	}
	if err := r.parse(&e, words); err != nil {
		return nil, err
	}
	return r.checked(e)
}

// checked records an event if it may be.
func (r *Runner) checked(e flight.Event) ([]string, error) {
	err := r.State.Check(e)
	var refusal *flight.Refusal
	var doubt *flight.Doubt
	switch {
	case errors.As(err, &refusal):
		return []string{"refused: " + refusal.Error()}, nil
	case errors.As(err, &doubt):
		return []string{"doubtful: " + doubt.Error()}, nil
	}
	return nil, r.Record(e)
}

// moveTo lets wall time go on until the flight clock reads a time.
func (r *Runner) moveTo(at time.Time) error {
	setting := r.State.Setting()
	ahead := at.Sub(setting.At(r.wall))
	if setting.Paused && ahead != 0 {
		return fmt.Errorf("the clock is paused at %s", setting.At(r.wall).Format(time.TimeOnly))
	}
	if ahead < 0 {
		return fmt.Errorf("it is %s already", setting.At(r.wall).Format(time.TimeOnly))
	}
	r.wall = r.wall.Add(time.Duration(float64(ahead) / rateOf(setting)))
	return nil
}

func rateOf(setting clock.Setting) float64 {
	if setting.Rate == 0 {
		return 1
	}
	return setting.Rate
}

// show gives a view of a time.
func (r *Runner) show(words []string) ([]string, error) {
	if len(words) < 3 {
		return nil, errors.New("give a time and a view")
	}
	at, err := r.time(words[1])
	if err != nil {
		return nil, err
	}
	state := r.State
	switch words[0] {
	case "known":
		state = state.Until(at)
	case "hindsight":
		state = state.Hindsight(at)
	}
	view, known := Views[words[2]]
	if !known {
		return nil, fmt.Errorf("there is no view %q", words[2])
	}
	return view(state.At(at), words[3:]), nil
}

// time reads a time of the flight's day.
func (r *Runner) time(text string) (time.Time, error) {
	day := r.Sheet.Plan.OffBlocks
	for _, layout := range []string{time.TimeOnly, "15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			return time.Date(day.Year(), day.Month(), day.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC), nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is not a time: give it as 09:42 or 09:42:30", text)
}

func parseSpan(text string) (time.Duration, error) {
	var m, s int
	if n, err := fmt.Sscanf(text, "%d:%d", &m, &s); n != 2 || err != nil {
		return 0, fmt.Errorf("%q is not a length of time: give it as 2:00", text)
	}
	return time.Duration(m)*time.Minute + time.Duration(s)*time.Second, nil
}

// SheetsIn loads plans from a folder.
func SheetsIn(folder string) LoadSheet {
	return func(name string) (*sheet.Sheet, error) { return Sheet(filepath.Join(folder, name), os.ReadFile) }
}

// Sheet loads a plan and computes its nav log. The error has every problem that makes it impossible.
func Sheet(name string, read plan.ReadFile) (*sheet.Sheet, error) {
	p, problems := plan.Load(name, read)
	if p == nil {
		return nil, said(problems)
	}
	s, problems := sheet.Compute(p)
	if s == nil {
		return nil, said(problems)
	}
	return s, nil
}

func said(problems []plan.Problem) error {
	var all []error
	for _, problem := range problems {
		if problem.Severity == plan.Error {
			all = append(all, errors.New(problem.String()))
		}
	}
	return fmt.Errorf("the plan can't be flown: %w", errors.Join(all...))
}
