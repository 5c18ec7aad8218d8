package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// longestPlan is how large a plan, an aircraft or a list of points may be: 16 MiB are 100,000 points.
const longestPlan = 16 << 20

// readFile reads a file named on the command line; "-" is standard input.
func readFile(env Env) plan.ReadFile {
	return func(name string) ([]byte, error) {
		if name == "-" {
			return intake.All(env.Stdin, longestPlan)
		}
		return intake.File(name, longestPlan)
	}
}

// loaded is a plan with its sheet and everything that was found wrong with either.
type loaded struct {
	plan     *plan.Plan
	sheet    *sheet.Sheet
	problems []plan.Problem
}

// loadPlan reads a plan and computes its sheet. It fails only when the file itself can't be read; what is wrong inside is in
// the problems.
func loadPlan(env Env, name string) (loaded, error) {
	var failed error
	result := computed(plan.Load(name, func(asked string) ([]byte, error) {
		text, err := readFile(env)(asked)
		switch {
		case asked != name:
		case errors.Is(err, fs.ErrNotExist):
			failed = usage(fmt.Sprintf("`legclock new %s` writes a plan to start from", filepath.Base(name)), "reading %s: no such file or directory", intake.Quote(name))
		case err != nil:
			failed = unreadable(name, err)
		case beginsJournal(bufio.NewReader(bytes.NewReader(text))):
			failed = usage("a plan is what `legclock new` writes; a journal is for status, debrief, replay, logbook and export", "%s is a journal, not a plan", intake.Quote(name))
		}
		return text, err
	}))
	return result, failed
}

// loadDemo reads the embedded plan.
func loadDemo() loaded {
	return computed(plan.Load(plans.DemoFile, func(name string) ([]byte, error) { return fs.ReadFile(plans.FS, name) }))
}

func computed(p *plan.Plan, problems []plan.Problem) loaded {
	result := loaded{plan: p, problems: problems}
	if p == nil {
		return result
	}
	s, found := sheet.Compute(p)
	if s != nil { // what is the pilot's to judge stands on the sheet, whoever found it
		cautions := slices.DeleteFunc(slices.Clone(problems), func(p plan.Problem) bool { return p.Severity != plan.Caution })
		s.Problems = plan.InOrder(append(cautions, found...))
	}
	result.sheet, result.problems = s, append(result.problems, found...)
	return result
}

// flyable refuses a plan with errors and says all of them.
func (l loaded) flyable(env Env, name string) error {
	if l.sheet != nil && !plan.HasErrors(l.problems) {
		return nil
	}
	for _, problem := range l.problems {
		if problem.Severity == plan.Error {
			fmt.Fprintln(env.Stderr, problem)
		}
	}
	tell(env, "hint", fmt.Sprintf("correct the plan; `legclock check %s` shows its cautions and notes too", name))
	return errFound
}

// ofFile is what is wrong with a file, with its name, once.
func ofFile(name, text string) string {
	if name = intake.Quote(name); strings.Contains(text, name) {
		return text
	}
	return name + ": " + text
}

// unreadable says why a file can't be used.
func unreadable(name string, err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	if name == "-" {
		return usage("", "reading standard input: %v", err)
	}
	return usage("", "reading %s: %v", intake.Quote(name), err)
}

const timeForms = "times are 14:05, 14:05:30, 1405 or 2026-06-14T14:05:00Z, all UTC"

// parseMoment reads a time of the command line: 14:05, 14:05:30, 1405 (on the given day) or RFC 3339.
func parseMoment(text string, day time.Time) (time.Time, error) {
	for _, layout := range []string{"15:04:05", "15:04", "15:04:05Z", "15:04Z", "1504", "1504Z"} {
		if clock, err := time.Parse(layout, text); err == nil {
			return time.Date(day.Year(), day.Month(), day.Day(), clock.Hour(), clock.Minute(), clock.Second(), 0, time.UTC), nil
		}
	}
	if moment, err := time.Parse(time.RFC3339, text); err == nil {
		return moment.UTC(), nil
	}
	return time.Time{}, usage(timeForms, "%q is not a time", text)
}

// momentOfFlight is a time as it is typed, of a flight from its first moment to its last: without a date that day's which lies in the flight, or
// nearest to it.
func momentOfFlight(text string, first, last time.Time) (time.Time, error) {
	moment, err := parseMoment(text, last)
	if err != nil || strings.Contains(text, "T") { // it has a date
		return moment, err
	}
	outside := func(at time.Time) time.Duration { return max(first.Sub(at), at.Sub(last), 0) }
	nearest := moment
	for _, days := range []int{-1, 1} {
		if other := moment.AddDate(0, 0, days); outside(other) < outside(nearest) {
			nearest = other
		}
	}
	return nearest, nil
}
