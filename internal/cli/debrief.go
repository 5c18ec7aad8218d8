package cli

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/remarks"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// debriefFlags are what a debrief is asked for.
type debriefFlags struct {
	format, out                    string
	track, trackFlight, trackStart string
	only                           debrief.Filter
}

func newDebrief(env Env) *cobra.Command {
	flags := debriefFlags{}
	command := &cobra.Command{
		Use:   "debrief LOG…",
		Short: "Say what finished flights teach",
		Long: "debrief sets a flight's log beside its plan: leg by leg, passing by passing, tanks, fuel, prompts, and the few sentences that\n" +
			"matter most. Of several logs, or a folder of them, it gives a table and the trends. With --out it writes a report of each.\n" +
			"docs/debrief.md says what every figure and sentence means.",
		Example: "  legclock debrief flight.jsonl\n  legclock debrief flight.jsonl --track flown.gpx\n  legclock debrief flight.jsonl --format html > flight.html\n  legclock debrief logs --format html --out reports",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("for example:\n"+command.Example, "debrief needs a journal or a folder of them")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(debrief.Formats(), flags.format) {
				return usage("formats are "+strings.Join(debrief.Formats(), ", "), "--format %q is not known", flags.format)
			}
			names, folder, err := logsOf(args)
			if err != nil {
				return err
			}
			names = eachOnce(env, names)
			if len(names) == 1 && !folder {
				return debriefOne(env, names[0], flags)
			}
			if flags.track != "" {
				return usage("give the one journal of the flight that the track was recorded on", "--track is for one journal, not for %d", len(names))
			}
			return debriefSeveral(env, names, flags)
		},
	}
	command.Flags().StringVar(&flags.format, "format", debrief.Formats()[0], strings.Join(debrief.Formats(), ", "))
	command.Flags().StringVar(&flags.out, "out", "", "a folder to write the reports to, one file for each log")
	command.Flags().StringVar(&flags.track, "track", "", "a track recorded on the same flight (GPX, NMEA 0183 or IGC): what was logged beside what was flown")
	command.Flags().StringVar(&flags.trackFlight, "track-flight", "", "which flight of the track's file: its number, its day or its name (default: the one of the journal's time)")
	command.Flags().StringVar(&flags.trackStart, "track-start", "", "the time of the track's first position, where it was recorded by another clock: 09:05, 09:05:30 or RFC 3339")
	command.Flags().StringVar(&flags.only.Pilot, "pilot", "", "of several logs, only those of this pilot")
	command.Flags().StringVar(&flags.only.Plan, "plan", "", "of several logs, only those of the plan of this title")
	command.Flags().StringVar(&flags.only.Aircraft, "aircraft", "", "of several logs, only those of this registration, or of the aircraft of this name")
	return command
}

// logsOf lists the journals that arguments name: files, folders and standard input.
func logsOf(args []string) (names []string, folder bool, err error) {
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil || !info.IsDir() { // a file that can't be read is said when its turn comes
			names = append(names, arg)
			continue
		}
		folder = true
		inside := journalsIn(arg)
		if len(inside) == 0 {
			return nil, true, usage("journals are the files that end in .jsonl", "there is no journal in the folder %s", arg)
		}
		names = append(names, inside...)
	}
	return names, folder, nil
}

// eachOnce leaves out what is a file named before, or a copy of one, and says so: a flight counts once.
func eachOnce(env Env, names []string) []string {
	taken, kept := map[string]bool{}, make([]string, 0, len(names))
	for _, name := range names {
		file, err := filepath.EvalSymlinks(name)
		if err == nil {
			file, err = filepath.Abs(file)
		}
		if err != nil { // that it can't be read is said when its turn comes
			file = name
		}
		if taken[file] {
			tell(env, "caution", name+" is given more than once and counts once")
			continue
		}
		taken[file], kept = true, append(kept, name)
	}
	return withoutCopies(env, kept)
}

// withoutCopies leaves out what is the same as a file named before, to the byte. Only files of one size are read for it.
func withoutCopies(env Env, names []string) []string {
	ofSize, sizes := map[int64]int{}, map[string]int64{}
	for _, name := range names {
		if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() {
			sizes[name] = info.Size()
			ofSize[info.Size()]++
		}
	}
	originals, kept := map[[sha256.Size]byte]string{}, make([]string, 0, len(names))
	for _, name := range names {
		if size, regular := sizes[name]; !regular || ofSize[size] == 1 {
			kept = append(kept, name)
			continue
		}
		text, err := intake.File(name, journal.MaxSize)
		if err != nil { // that it can't be read is said when its turn comes
			kept = append(kept, name)
			continue
		}
		sum := sha256.Sum256(text)
		if original, copied := originals[sum]; copied {
			tell(env, "caution", name+" is a copy of "+original+" and does not count again")
			continue
		}
		originals[sum], kept = name, append(kept, name)
	}
	return kept
}

// logs reads journals for the debrief. It may be used from many goroutines at once.
type logs struct {
	env    Env
	sheets sheets
	bare   bool // what was logged and no more: nothing of what a practice flight hid
}

// read reads a journal, its remarks and, for a practice flight, the truth. Damage is noted, and the rest is used.
func (l *logs) read(name string) (debrief.Log, error) {
	env := l.env
	log := debrief.Log{Name: filepath.Base(name)}
	var contents journal.Contents
	var err error
	if name == "-" {
		log.Name = "standard input"
		contents, err = journal.Read(env.Stdin, log.Name)
	} else {
		contents, err = journal.Load(name)
	}
	if err != nil {
		return log, notJournal(name, err)
	}
	log.Notes = append(log.Notes, damageNotes(contents)...)
	return log, l.fill(&log, name, contents)
}

// fill puts the contents of a journal into a log.
func (l *logs) fill(log *debrief.Log, name string, contents journal.Contents) error {
	begins, err := l.sheets.of(contents.Header)
	if err != nil {
		return err
	}
	s := begins.sheet
	log.Sheet, log.Start, log.Mode, log.Events = s, begins.start, contents.Header.Mode, contents.Events
	log.Pilot, log.Instructor = contents.Header.Pilot, contents.Header.Instructor
	if contents.Header.Mode == flight.Practice && contents.Header.Seed != nil {
		truth := practice.New(s, hiddenOf(contents.Header)).Air()
		log.Truth = &truth
		if !l.bare {
			unhide(log, hiddenOf(contents.Header), latest(contents))
		}
	}
	return fillRemarks(log, l.env, name)
}

// unhide puts what a practice flight hid into its log, where the pilot flew by hand, was asked for figures or had a lesson.
func unhide(log *debrief.Log, hidden practice.Hidden, end time.Time) {
	if !practice.HidesMore(hidden, log.Events) {
		return
	}
	flown, err := practice.Fold(log.Sheet, hidden, log.Events)
	if err != nil {
		log.Notes = append(log.Notes, fmt.Sprintf("The hidden flight can't be flown again: %v.", err))
		return
	}
	if told := flown.Report(end); told.HandsOn || told.Lesson != nil || len(told.Figures) > 0 {
		log.Hidden = &told
	}
}

// fillRemarks puts the remarks that are kept beside a journal into a log.
func fillRemarks(log *debrief.Log, env Env, name string) error {
	if name == "-" {
		return nil
	}
	kept, err := remarks.Open(name, env.Now)
	if err != nil {
		log.Notes = append(log.Notes, fmt.Sprintf("The remarks can't be read: %v.", err))
		return nil
	}
	log.Remarks = kept.Standing()
	return nil
}

func debriefOne(env Env, name string, flags debriefFlags) error {
	log, err := (&logs{env: env}).read(name)
	if err != nil {
		return usage("", "%v", err)
	}
	if flags.track != "" {
		if log.Track, err = trackOf(env, log, flags); err != nil {
			return err
		}
	}
	format, out := flags.format, flags.out
	f, err := debrief.Of(log)
	if err != nil {
		return usage("", "%v", err)
	}
	damaged := error(nil)
	for _, note := range log.Notes {
		tell(env, "error", ofFile(name, note))
		damaged = errFound
	}
	if out == "" {
		return errors.Join(f.Write(env.Stdout, format), damaged)
	}
	path, err := writeReport(out, reportNames([]string{name}, format)[name], func(w io.Writer) error { return f.Write(w, format) })
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, path)
	return damaged
}

// trackOf is the track that was recorded beside a log.
func trackOf(env Env, log debrief.Log, flags debriefFlags) ([]feed.Sample, error) {
	if flags.track == "-" {
		return nil, usage("name its file", "the track can't be standard input")
	}
	t, err := loadTracks(env, flags.track, log.Sheet.Plan.OffBlocks)
	if err != nil {
		return nil, err
	}
	from := log.Sheet.Plan.OffBlocks
	to := from
	for _, event := range log.Events {
		if event.T.After(to) {
			to = event.T
		}
	}
	return t.trackBeside(from, to, flags.trackFlight, flags.trackStart)
}

// reportNames gives every log's report a file name of its own.
func reportNames(names []string, format string) map[string]string {
	extension := map[string]string{"text": "txt"}[format]
	if extension == "" {
		extension = format
	}
	taken, files := map[string]bool{"flights." + extension: true}, map[string]string{}
	for _, name := range names {
		base := strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
		if name == "-" {
			base = "flight"
		}
		file := base + "." + extension
		for n := 2; taken[file]; n++ {
			file = fmt.Sprintf("%s-%d.%s", base, n, extension)
		}
		taken[file], files[name] = true, file
	}
	return files
}

// writeReport writes a file whole or not at all.
func writeReport(folder, file string, write func(io.Writer) error) (path string, err error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", unwritten("name another folder with --out", "making %s: %v", folder, err)
	}
	path = filepath.Join(folder, file)
	temporary, err := os.CreateTemp(folder, "."+file+"-*")
	if err != nil {
		return "", unwritten("name another folder with --out", "writing %s: %v", path, err)
	}
	err = errors.Join(write(temporary), temporary.Chmod(0o644), temporary.Close())
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		_ = os.Remove(temporary.Name())
		return "", unwritten("name another folder with --out", "writing %s: %v", path, err)
	}
	return path, nil
}

// collectWithin lets garbage be collected only when so much memory is taken that logs can just as well be debriefed in it, however many there are. It
// returns what puts the collector back. A log of some hours takes a megabyte, soon dropped; a large one takes some times what its file does, and as
// many are in hand as there are processors. A row is kept of each, and there is to be as much room again beside the rows.
func collectWithin(names []string) (restore func()) {
	const enough, timesFile, timesRow = 28 << 20, 16, 2 << 10
	largest := int64(0)
	for _, name := range names {
		if info, err := os.Stat(name); err == nil {
			largest = max(largest, info.Size())
		}
	}
	limit := enough + timesFile*largest*int64(runtime.GOMAXPROCS(0)) + timesRow*int64(len(names))
	limit = min(limit, debug.SetMemoryLimit(-1))
	before, percent := debug.SetMemoryLimit(limit), debug.SetGCPercent(-1)
	return func() {
		debug.SetMemoryLimit(before)
		debug.SetGCPercent(percent)
	}
}

func debriefSeveral(env Env, names []string, flags debriefFlags) error {
	out, format := flags.out, flags.format
	files := reportNames(names, format)
	defer collectWithin(names)()
	bar := newProgress(env, len(names))
	reader := &logs{env: env}
	load := func(i int) (debrief.Log, error) {
		log, err := reader.read(names[i])
		log.Name = names[i]
		if err == nil && !flags.only.Takes(log) {
			err = debrief.ErrLeftOut
		}
		return log, err
	}
	var use func(int, *debrief.Flight) error
	if out != "" {
		use = func(i int, f *debrief.Flight) error {
			_, err := writeReport(out, files[names[i]], func(w io.Writer) error { return f.Write(w, format) })
			return err
		}
	}
	flights := debrief.Several(len(names), load, use, func(row debrief.Row) { bar.step(row.Name) })
	bar.end()
	if len(flights.Rows) == 0 {
		return usage("leave one of --pilot, --plan and --aircraft out to see what there is", "of %s none is of what was asked for", say.Counted(len(names), "log", "logs"))
	}
	if out == "" {
		if err := flights.Write(env.Stdout, format, debrief.Links{}); err != nil {
			return err
		}
		return sayProblems(env, flights)
	}
	path, err := writePages(flights, files, out, format)
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, path)
	return sayProblems(env, flights)
}

// writePages writes the page of all flights and, as HTML, one of each pilot, linked with each other and with the reports. It returns the file of
// the first.
func writePages(flights debrief.Flights, files map[string]string, out, format string) (string, error) {
	links := debrief.Links{Report: func(name string) (string, bool) { file, ok := files[name]; return file, ok }}
	class := "flights" + filepath.Ext(files[flights.Rows[0].Name])
	if pilots := flights.Pilots(); format == "html" && len(pilots) > 1 {
		taken, pages := map[string]bool{class: true}, map[string]string{}
		for _, file := range files {
			taken[file] = true
		}
		for _, pilot := range pilots {
			name := "pilot-" + plainTitle(cmp.Or(pilot, "without a name"))
			file := name + ".html"
			for n := 2; taken[file]; n++ {
				file = fmt.Sprintf("%s-%d.html", name, n)
			}
			taken[file], pages[pilot] = true, file
		}
		for _, pilot := range pilots {
			own := debrief.Links{Report: links.Report, Class: class}
			if _, err := writeReport(out, pages[pilot], func(w io.Writer) error { return flights.Of(pilot).Write(w, format, own) }); err != nil {
				return "", err
			}
		}
		links.Pilot = func(pilot string) (string, bool) { file, ok := pages[pilot]; return file, ok }
	}
	return writeReport(out, class, func(w io.Writer) error { return flights.Write(w, format, links) })
}

// sayProblems names the logs that are damaged and those that could not be debriefed. Where none could be, nothing was read.
func sayProblems(env Env, flights debrief.Flights) error {
	var found error
	for _, row := range flights.Rows {
		for _, text := range append(slices.Clone(row.Notes), row.Problem) {
			if text == "" {
				continue
			}
			found = errFound
			tell(env, "error", ofFile(row.Name, text))
		}
	}
	if !slices.ContainsFunc(flights.Rows, func(row debrief.Row) bool { return row.Problem == "" }) {
		return errNothingRead
	}
	return found
}

// progress is a bar on a terminal at standard error; elsewhere nothing is shown.
type progress struct {
	to          *os.File
	count, done int
	drawn       int // tenths of a per cent
}

func newProgress(env Env, count int) *progress {
	file := terminalOn(env.Stderr)
	if file == nil {
		return &progress{}
	}
	return &progress{to: file, count: count, drawn: -1}
}

// step is one more of what is counted.
func (p *progress) step(name string) {
	p.done++
	p.show(p.done, func() string { return fmt.Sprintf("%d of %d  %s", p.done, p.count, filepath.Base(name)) })
}

// show draws the bar for so many done, with words beside it, where it differs from what stands there.
func (p *progress) show(done int, words func() string) {
	const steps = 1000
	if p.to == nil || p.count == 0 || done*steps/p.count == p.drawn {
		return
	}
	p.drawn = done * steps / p.count
	const width = 30
	bar := frame.Bar(width, math.Min(1, float64(done)/float64(p.count)), frame.Drawn(), frame.Style{}, frame.Style{})
	fmt.Fprintf(p.to, "\r%s %s\x1b[K", bar, frame.Clean(frame.Fit(words(), width+12)))
}

// end takes the bar away.
func (p *progress) end() {
	if p.to != nil {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}
