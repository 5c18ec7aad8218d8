package cli

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/terminal"
)

type importFlags struct {
	plan     string
	log      string
	start    string
	flight   string
	list     bool
	withinNM float64
	people
}

func newImport(env Env) *cobra.Command {
	flags := importFlags{}
	command := &cobra.Command{
		Use:   "import TRACK --plan PLAN",
		Short: "Make a journal from a recorded track",
		Long: "import reads a recorded track (GPX, NMEA 0183 or IGC), finds take-off, landing and the passings of the plan's points in it\n" +
			"and writes them, with the positions that can't be interpolated, into a journal that status, replay and debrief read. Of a file with\n" +
			"several flights it lists them and takes the one that --flight names.",
		Example: "  legclock import flown.gpx --plan round.yaml\n  legclock import flown.nmea --plan round.yaml --log flown.jsonl --start 09:05\n  legclock import summer.gpx --list\n  legclock import summer.gpx --plan round.yaml --flight 2",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 || flags.plan == "" && !flags.list {
				return usage("for example:\n"+command.Example, "import needs one track, and its plan with --plan")
			}
			if args[0] == "-" && flags.plan == "-" {
				return usage("name the file of one of them", "track and plan can't both be standard input")
			}
			return nil
		},
		RunE: func(command *cobra.Command, args []string) error {
			if flags.list {
				return listTracks(env, args[0])
			}
			return importTrack(command.Context(), env, args[0], flags)
		},
	}
	command.Flags().StringVar(&flags.plan, "plan", "", "the plan that was flown")
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().StringVar(&flags.start, "start", "",
		"the time of the track's first position: 09:05, 09:05:30 or RFC 3339 (default: as recorded)")
	command.Flags().StringVar(&flags.flight, "flight", "", "which flight of a file with several: its number in the list, its day or its track's name")
	command.Flags().BoolVar(&flags.list, "list", false, "list the flights of the file and write nothing")
	command.Flags().Float64Var(&flags.withinNM, "within", feed.DefaultWithinNM, "how close, in nm, the track must come to a point to have passed it")
	flags.people.register(command)
	return command
}

// listTracks prints the flights of a file.
func listTracks(env Env, name string) error {
	t, err := loadTracks(env, name, env.Now())
	if err != nil {
		return err
	}
	_, err = io.WriteString(env.Stdout, t.list())
	return err
}

// importTrack makes a journal from a track. When it is interrupted there is none.
func importTrack(ctx context.Context, env Env, name string, flags importFlags) error {
	if !(flags.withinNM > 0 && flags.withinNM <= 50) {
		return usage("give --within above 0 and up to 50", "--within %g is out of range", flags.withinNM)
	}
	l, err := loadPlan(env, flags.plan)
	if err != nil {
		return err
	}
	if err := l.flyable(env, flags.plan); err != nil {
		return err
	}
	t, err := loadTracks(env, name, l.plan.OffBlocks)
	if err != nil {
		return err
	}
	track, err := t.choose("--flight", flags.flight)
	if err != nil {
		return err
	}
	if err := timeTrack(env, &track, flags.start, l.plan.OffBlocks); err != nil {
		return err
	}
	found := feed.Find(l.sheet.Route, track.Samples, flags.withinNM)
	if err := isFlight(found, flags.withinNM); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	path, recorded, err := writeImported(ctx, env, l, flags, feed.Events(track.Samples, found, feed.UsualThinning))
	if err != nil {
		return err
	}
	return writeFound(env.Stdout, found, path, recorded)
}

// timeTrack moves a track to the time that it is said to begin at, and says when it is far from its plan.
func timeTrack(env Env, track *feed.Track, start string, offBlocks time.Time) error {
	const far = 12 * time.Hour
	first := track.Samples[0].Time
	if start == "" && first.Sub(offBlocks).Abs() > far {
		tell(env, "note", fmt.Sprintf("the plan is for %s and the track begins %s; --start %s counts it as flown then",
			say.MomentMinute(offBlocks), say.MomentMinute(first), say.ColumnMinute(offBlocks)))
	}
	return startAt(track.Samples, start, offBlocks)
}

// isFlight refuses a track without a flight along the plan.
func isFlight(found feed.Found, withinNM float64) error {
	if found.Airborne.IsZero() && !found.BeginsInFlight {
		return &fault{exitFault, "there is no flight in the track: it never moves fast for long", ""}
	}
	if len(found.Passings) > 0 {
		return nil
	}
	nearest := slices.MinFunc(found.Missed, func(a, b feed.Missed) int {
		if a.ClosestNM < b.ClosestNM {
			return -1
		}
		return 1
	})
	return &fault{
		exitFault, fmt.Sprintf("the track comes within %g nm of no point of the plan: closest is %s, %s", withinNM, nearest.Point, say.Miles(nearest.ClosestNM)),
		"is it the track of this plan? --within NM looks further away",
	}
}

// writeImported writes the journal, whole or not at all, and returns its path and how many entries it has. An act that the flight can't have
// is said and left out.
func writeImported(ctx context.Context, env Env, l loaded, flags importFlags, events []flight.Event) (path string, recorded int, err error) {
	path = flags.log
	if path == "" {
		folder, err := logFolder(env)
		if err != nil {
			return "", 0, err
		}
		path = newLog(folder, events[0].T, l.plan)
	}
	if err := openFolder(path); err != nil {
		return path, 0, err
	}
	if _, err := os.Stat(path); err == nil {
		return path, 0, usage("name another file with --log, or leave it out", "%s exists already", intake.Quote(path))
	}
	var accepted []flight.Event
	bar := newProgress(env, len(events))
	defer bar.end()
	state := flight.New(l.sheet, flight.Import)
	for i, event := range events {
		if ctx.Err() != nil {
			return path, recorded, &fault{terminal.ExitCode(terminal.ErrInterrupted), "interrupted: nothing was written", ""}
		}
		if err := state.Check(event); err != nil {
			tell(env, "note", fmt.Sprintf("%s %s: %v", say.Time(event.T), flight.Describe(event), err))
			var refusal *flight.Refusal
			if errors.As(err, &refusal) {
				continue
			}
		}
		event.N = recorded + 1
		if err := state.Apply(event); err != nil {
			return path, 0, usage("", "%v", err)
		}
		accepted = append(accepted, event)
		recorded++
		bar.show(i+1, func() string { return fmt.Sprintf("%d of %d entries", recorded, len(events)) })
	}
	partly := path + ".part"
	header := journal.Header{Mode: flight.Import, Pilot: cmp.Or(flags.pilot, l.plan.Pilot), Instructor: cmp.Or(flags.instructor, l.plan.Instructor)}
	if err := journal.Save(partly, header, l.plan, accepted, env.Now); err != nil {
		return path, 0, journalFault(err)
	}
	if err := os.Rename(partly, path); err != nil {
		return path, 0, errors.Join(journalFault(err), os.Remove(partly))
	}
	return path, recorded, nil
}

// writeFound prints what was found, in order of time, and where it was written.
func writeFound(w io.Writer, found feed.Found, path string, recorded int) error {
	out := bufio.NewWriter(w)
	rows := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	row := func(at time.Time, what, where string) {
		if !at.IsZero() {
			fmt.Fprintln(rows, strings.TrimRight(say.Time(at)+"\t"+what+"\t"+where, "\t"))
		}
	}
	row(found.OffBlocks, "off blocks", "")
	row(found.Airborne, "airborne", "")
	for _, passing := range found.Passings {
		row(passing.Time, "passing "+passing.Point, besides(passing))
	}
	row(found.Landed, "landed", "")
	row(found.OnBlocks, "on blocks", "")
	rows.Flush()
	if found.BeginsInFlight {
		fmt.Fprintln(out, "the track begins in flight")
	}
	if found.EndsInFlight {
		fmt.Fprintln(out, "the track ends in flight")
	}
	for _, missed := range found.Missed {
		fmt.Fprintf(out, "not passed: %s, closest %s\n", missed.Point, say.Miles(missed.ClosestNM))
	}
	fmt.Fprintf(out, "%d entries in %s\n", recorded, path)
	return out.Flush()
}

// besides says how far off track a point was passed, and where the time is uncertain.
func besides(passing feed.Passing) string {
	const sparse = 30 * time.Second
	text := say.OffTrack(passing.OffTrackNM)
	if passing.Spacing > sparse {
		text += fmt.Sprintf(", between positions %.0f s apart", passing.Spacing.Seconds())
	}
	return text
}

// tracks are the flights of a recorded file.
type tracks struct {
	feed.Recorded
	shown string // the file, as a message is to call it
}

// loadTracks reads a file of recorded tracks; "-" is standard input. What of it could not be used is said, and how far it has got where
// that takes a while.
func loadTracks(env Env, name string, day time.Time) (tracks, error) {
	t, input, size := tracks{shown: "standard input"}, env.Stdin, int64(0)
	if name != "-" {
		file, err := intake.Open(name)
		if err != nil {
			return t, unreadable(name, err)
		}
		defer file.Close()
		if info, err := file.Stat(); err == nil {
			size = info.Size()
		}
		input, t.shown = file, intake.Quote(name)
	}
	const tight = 30 // per cent: the positions are few large slices that grow, of which only the last is of use
	defer debug.SetGCPercent(debug.SetGCPercent(tight))
	bar := newProgress(env, int(size>>10))
	recorded, err := feed.ReadTracks(&measured{Reader: input, bar: bar, name: name}, day)
	bar.end()
	if err != nil {
		return t, usage("", "reading %s: %v", t.shown, err)
	}
	t.Recorded = recorded
	if recorded.Faults.Count > 0 {
		first := recorded.Faults.First[0]
		tell(env, "note", fmt.Sprintf("%s: %s could not be used, the first: line %d: %s", t.shown, say.Counted(recorded.Faults.Count, "line", "lines"), first.Line, first.Text))
	}
	if words := recorded.Dropped.Words(); words != "" {
		tell(env, "note", fmt.Sprintf("%s: positions left out: %s", t.shown, words))
	}
	if recorded.Torn != "" {
		tell(env, "note", fmt.Sprintf("%s: it can be read no further than %s; what stands before that is used", t.shown, recorded.Torn))
	}
	return t, nil
}

// measured is a reader whose way through a file a bar shows.
type measured struct {
	io.Reader
	bar  *progress
	name string
	read int64
}

func (m *measured) Read(buffer []byte) (int, error) {
	n, err := m.Reader.Read(buffer)
	m.read += int64(n)
	m.bar.show(int(m.read>>10), func() string { return fmt.Sprintf("%d MiB of %s", m.read>>20, m.name) })
	return n, err
}

// choose is the flight asked for: by its number in the list, its day or its track's name; the only one where nothing is asked for.
func (t tracks) choose(flag, asked string) (feed.Track, error) {
	flights := t.Flights()
	var fit []int
	for i, f := range flights {
		switch {
		case asked == "" && (f.Flies || len(flights) == 1), asked == strconv.Itoa(i+1), asked != "" && asked == f.From.Format(time.DateOnly),
			asked != "" && strings.EqualFold(asked, f.Name):
			fit = append(fit, i)
		}
	}
	if len(fit) == 0 && asked == "" {
		return feed.Track{}, &fault{exitFault, "there is no flight in the track: it never moves fast for long", ""}
	}
	hint := fmt.Sprintf("take one with %s: its number, its day or its name\n%s", flag, strings.TrimRight(t.list(), "\n"))
	switch {
	case len(fit) == 0:
		return feed.Track{}, usage(hint, "%s has no flight %q", t.shown, asked)
	case len(fit) > 1:
		return feed.Track{}, usage(hint, "%s holds %s", t.shown, say.Counted(len(fit), "flight", "flights"))
	}
	const longest = 24 * time.Hour
	if f := flights[fit[0]]; f.To.Sub(f.From) > longest { // before it is copied: it may have a million positions
		return feed.Track{}, usage("save one flight to a file of its own", "the track goes on from %s to %s", say.MomentMinute(f.From), say.MomentMinute(f.To))
	}
	return t.Track(fit[0]), nil
}

// list is a row for each flight of the file.
func (t tracks) list() string {
	var b strings.Builder
	rows := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(rows, "  \tday\tfrom\tto\tpositions\tname")
	for i, f := range t.Flights() {
		name := cmp.Or(f.Name, "-")
		if !f.Flies {
			name += " (never flies)"
		}
		fmt.Fprintf(rows, "  %d\t%s\t%s\t%s\t%d\t%s\n", i+1, f.From.Format(time.DateOnly), say.Time(f.From), say.Time(f.To), f.Points, frame.Clean(name))
	}
	rows.Flush()
	return b.String()
}

// trackBeside is the flight of a recorded file that was made beside a journal: the one that was flown at the same time, unless another is asked
// for. With a start it is moved to that time.
func (t tracks) trackBeside(from, to time.Time, asked, start string) ([]feed.Sample, error) {
	if asked == "" && start == "" {
		flights := t.Flights()
		at := slices.IndexFunc(flights, func(f feed.Summary) bool { return f.From.Before(to) && f.To.After(from) })
		if at < 0 {
			return nil, usage("if it is the same flight by another clock, give the time of its first position with --track-start\n"+strings.TrimRight(t.list(), "\n"),
				"%s has nothing of the time of the flight, %s to %s", t.shown, say.MomentMinute(from), say.Minute(to))
		}
		return t.Track(at).Samples, nil
	}
	track, err := t.choose("--track-flight", asked)
	if err != nil {
		return nil, err
	}
	return track.Samples, startAt(track.Samples, start, from)
}

// startAt moves samples so that they begin at a time, given by a person and counted near a day; without one it leaves them.
func startAt(samples []feed.Sample, start string, day time.Time) error {
	if start == "" {
		return nil
	}
	begin, err := parseMoment(start, day)
	if err != nil {
		return err
	}
	first := samples[0].Time
	for i := range samples {
		samples[i].Time = begin.Add(samples[i].Time.Sub(first))
	}
	return nil
}
