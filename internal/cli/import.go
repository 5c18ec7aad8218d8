package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/say"
)

// modeImport is the mode of a journal that was made from a track.
const modeImport = "import"

type importFlags struct {
	plan              string
	log               string
	start             string
	withinNM          float64
	pilot, instructor string
}

func newImport(env Env) *cobra.Command {
	flags := importFlags{}
	command := &cobra.Command{
		Use:   "import TRACK --plan PLAN",
		Short: "Make a journal from a recorded track",
		Long: "import reads a recorded track (GPX, NMEA 0183 or IGC), finds take-off, landing and the passings of the plan's points in it\n" +
			"and writes them, with the positions that can't be interpolated, into a journal that status, replay and debrief read.",
		Example: "  legclock import flown.gpx --plan round.yaml\n  legclock import flown.nmea --plan round.yaml --log flown.jsonl --start 09:05",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 || flags.plan == "" {
				return usage("for example:\n"+command.Example, "import needs one track, and its plan with --plan")
			}
			if args[0] == "-" && flags.plan == "-" {
				return usage("name the file of one of them", "track and plan can't both be standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return importTrack(env, args[0], flags) },
	}
	command.Flags().StringVar(&flags.plan, "plan", "", "the plan that was flown")
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().StringVar(&flags.start, "start", "",
		"the time of the track's first position: 09:05, 09:05:30 or RFC 3339 (default: as recorded)")
	command.Flags().Float64Var(&flags.withinNM, "within", feed.DefaultWithinNM, "how close, in nm, the track must come to a point to have passed it")
	command.Flags().StringVar(&flags.pilot, "pilot", "", "whose flight it is: any text, may be a code")
	command.Flags().StringVar(&flags.instructor, "instructor", "", "whose pupil the pilot is")
	return command
}

// importTrack makes a journal from a track.
func importTrack(env Env, name string, flags importFlags) error {
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
	track, err := loadTrack(env, name, l.plan.OffBlocks)
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
	path, recorded, err := writeImported(env, l, flags, feed.Events(track.Samples, found, feed.UsualThinning))
	if err != nil {
		return err
	}
	return writeFound(env.Stdout, found, path, recorded)
}

// loadTrack reads a recorded track; "-" is standard input. What could not be used is said.
func loadTrack(env Env, name string, day time.Time) (feed.Track, error) {
	var input io.Reader = env.Stdin
	shown := "standard input"
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return feed.Track{}, usage("", "reading %s: %v", name, errors.Unwrap(err))
		}
		defer file.Close()
		input, shown = file, name
	}
	track, err := feed.ReadTrack(input, day)
	if err != nil {
		return track, usage("", "reading %s: %v", shown, err)
	}
	if track.Faults.Count > 0 {
		first := track.Faults.First[0]
		tell(env, "note", fmt.Sprintf("%s: %s could not be used, the first: line %d: %s", shown, counted(track.Faults.Count, "line"), first.Line, first.Text))
	}
	return track, nil
}

// timeTrack moves a track to the time that it is said to begin at, and says when it is far from its plan.
func timeTrack(env Env, track *feed.Track, start string, offBlocks time.Time) error {
	const longest, far = 24 * time.Hour, 12 * time.Hour
	first, last := track.Samples[0].Time, track.Samples[len(track.Samples)-1].Time
	if last.Sub(first) > longest {
		return usage("save one flight to a file of its own", "the track goes on from %s to %s", first.Format("2006-01-02 15:04Z"), last.Format("2006-01-02 15:04Z"))
	}
	if start == "" {
		if first.Sub(offBlocks).Abs() > far {
			tell(env, "note", fmt.Sprintf("the plan is for %s and the track begins %s; --start %s counts it as flown then",
				offBlocks.Format("2006-01-02 15:04Z"), first.Format("2006-01-02 15:04Z"), offBlocks.Format("15:04")))
		}
		return nil
	}
	begin, err := parseMoment(start, offBlocks)
	if err != nil {
		return err
	}
	for i := range track.Samples {
		track.Samples[i].Time = begin.Add(track.Samples[i].Time.Sub(first))
	}
	return nil
}

// isFlight refuses a track without a flight along the plan.
func isFlight(found feed.Found, withinNM float64) error {
	if found.Airborne.IsZero() && !found.BeginsInFlight {
		return &fault{exitFault, "there is no flight in the track: it is never fast for long", ""}
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
		exitFault, fmt.Sprintf("the track comes within %g nm of no point of the plan: closest is %s, %.1f nm", withinNM, nearest.Point, nearest.ClosestNM),
		"is it the track of this plan? --within NM looks further away",
	}
}

// writeImported writes the journal and returns its path and how many entries it has. An act that the flight can't have is said and
// left out.
func writeImported(env Env, l loaded, flags importFlags, events []flight.Event) (string, int, error) {
	path := flags.log
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
	writer, err := journal.Create(path, journal.Header{Mode: modeImport, Pilot: flags.pilot, Instructor: flags.instructor}, l.plan, env.Now)
	if err != nil {
		return path, 0, journalFault(err)
	}
	recorded := 0
	state := flight.New(l.sheet, modeImport)
	for _, event := range events {
		if err := state.Check(event); err != nil {
			tell(env, "note", fmt.Sprintf("%s %s: %v", say.Time(event.T), flight.Describe(event), err))
			var refusal *flight.Refusal
			if errors.As(err, &refusal) {
				continue
			}
		}
		event, err := writer.Append(event)
		if err == nil {
			err = state.Apply(event)
		}
		if err != nil {
			return path, recorded, errors.Join(journalFault(err), writer.Close())
		}
		recorded++
	}
	return path, recorded, writer.Close()
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
		fmt.Fprintf(out, "not passed: %s, closest %.1f nm\n", missed.Point, missed.ClosestNM)
	}
	fmt.Fprintf(out, "%d entries in %s\n", recorded, path)
	return out.Flush()
}

// besides says how far off track a point was passed, and where the time is uncertain.
func besides(passing feed.Passing) string {
	const onTrackNM, sparse = 0.05, 30 * time.Second
	text := "on track"
	switch right := passing.OffTrackNM; {
	case right >= onTrackNM:
		text = fmt.Sprintf("%.1f nm right of track", right)
	case right <= -onTrackNM:
		text = fmt.Sprintf("%.1f nm left of track", -right)
	}
	if passing.Spacing > sparse {
		text += fmt.Sprintf(", between positions with %.0f s between them", passing.Spacing.Seconds())
	}
	return text
}
