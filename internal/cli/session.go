package cli

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/tui"
)

// request is what a flight is to be opened with.
type request struct {
	loaded
	mode    flight.Mode
	hidden  practice.Hidden // practice only
	handsOn bool            // practice: the pilot flies from the start
	log     string          // the journal's file; empty: one in the log folder
	resume  bool            // go on with an unfinished journal without asking
	start   time.Time       // what the flight clock of a new flight reads
	setTo   time.Time       // what the flight clock of a resumed flight is set to; zero: it goes on
	rate    float64
	notice  string // said when the screen of a new flight opens
	resumed string // what is to be said of a resumed flight, of its plan or that it was finished; empty: that it goes on by this plan
	feed    *feed.Source
	// stdinTaken says that standard input is the feed: no question can be answered there.
	stdinTaken bool

	people
}

// people are whose flight it is: any text, or a code. They go into the journal, and the debrief tells flights apart by them.
type people struct{ pilot, instructor string }

func (p *people) register(command *cobra.Command) {
	command.Flags().StringVar(&p.pilot, "pilot", "", "whose flight it is: any text, or a code (default: the plan's)")
	command.Flags().StringVar(&p.instructor, "instructor", "", "whose pupil the pilot is (default: the plan's)")
}

// session is an open flight: the journal that it is recorded in and what has been recorded.
type session struct {
	env      Env
	writer   *journal.Writer
	header   journal.Header
	sheet    *sheet.Sheet
	state    tui.Flight // with its hidden world beside it in practice
	clock    *clock.Clock
	steady   *clock.Steady
	feed     *following // nil: none
	handsOff bool       // practice: the program logs for the pilot
	notice   string     // said when the screen opens
	damaged  error      // errFound if not all of the journal that was resumed could be read
}

// Record keeps an event and stores it if that can be done. Session is the recorder of the screens.
func (s *session) Record(event flight.Event) (flight.Event, error) { return s.writer.Append(event) }

// Look stores what is not on disk yet and says how the journal stands.
func (s *session) Look() tui.Storage {
	s.writer.Store()
	now := s.writer.Storage()
	storage := tui.Storage{Kept: now.Unstored, News: now.News, Moved: now.Moved}
	if now.Trouble != nil {
		storage.Trouble = now.Trouble.Error()
	}
	return storage
}

// Close frees the journal. What could not be stored until now is written where it can be, and that is said; what no disk takes is written out.
func (s *session) Close() error {
	err := s.writer.Close()
	if moved := s.writer.Storage().Moved; moved != "" {
		tell(s.env, "error", moved)
	}
	var lost *journal.Lost
	if errors.As(err, &lost) {
		fmt.Fprintf(s.env.Stderr, "%s\n", strings.Join(lost.Lines, "\n"))
		return unwritten("the lines above make the file whole: copy them to the end of "+intake.Quote(lost.Path), "%v", err)
	}
	return err
}

// openSession resumes an unfinished flight of the same plan, when the person wants that, or begins a new one.
func openSession(env Env, r request) (*session, error) {
	path, resumed, err := chooseLog(env, &r)
	if err != nil {
		return nil, err
	}
	if err := openFolder(path); err != nil {
		return nil, err
	}
	open := newSession
	if resumed {
		open = resumeSession
	}
	s, err := open(env, r, path)
	if err == nil {
		s.feed = newFollowing(env, r.feed, s.clock, s.sheet.Route)
	}
	return s, err
}

// chooseLog decides which file to write and whether to go on with what it holds.
func chooseLog(env Env, r *request) (path string, resumed bool, err error) {
	if r.log == "" {
		folder, err := logFolder(env)
		if err != nil {
			return "", false, err
		}
		found, ok := unfinished(env, folder, r.plan, r.mode)
		if !ok {
			if r.resume {
				return "", false, usage("legclock fly PLAN --resume LOG goes on with a journal that --log named; without --resume a new one begins",
					"there is no unfinished flight of this plan in %s", folder)
			}
			return newLog(folder, env.Now(), r.plan), false, nil
		}
		yes, err := r.wantsResume(env, found)
		if !yes {
			found.path = newLog(folder, env.Now(), r.plan)
		}
		return found.path, yes, err
	}
	journal.RemoveEmpty(r.log)
	if _, err := os.Stat(r.log); errors.Is(err, fs.ErrNotExist) {
		if r.resume {
			return "", false, usage("leave out --resume to begin a new one", "there is no journal %s to go on with", intake.Quote(r.log))
		}
		return r.log, false, nil
	}
	contents, err := journal.Load(r.log)
	found := begun{r.log, contents, true}
	switch {
	case err != nil && (contents.Header.Version == 0 || r.plan == nil):
		return "", false, usage("", "%v", err)
	case err == nil:
		found.another = r.plan != nil && !samePlan(contents.Header.Plan, r.plan)
	}
	switch {
	case found.another && err == nil && !r.resume && contents.Header.Plan.Title != r.plan.Title:
		return "", false, usage("name another file with --log", "%s holds a flight of another plan, %q", intake.Quote(r.log), contents.Header.Plan.Title)
	case err == nil && contents.Header.Mode != r.mode:
		return "", false, usage("name another file with --log", "%s holds a flight of another kind, %s", intake.Quote(r.log), contents.Header.Mode)
	case finished(contents.Events) && r.mode != flight.Live:
		return "", false, usage("name another file with --log", "%s holds a finished flight", intake.Quote(r.log))
	case finished(contents.Events) && !r.resume:
		return "", false, usage("name another file with --log; --resume opens it again, where an entry was wrong", "%s holds a finished flight", intake.Quote(r.log))
	case finished(contents.Events):
		r.resumed = "a finished flight: u undoes its last entry, the log screen (5) any"
	}
	yes, err := r.wantsResume(env, found)
	if err == nil && !yes {
		err = usage("name another file with --log", "%s exists and is not overwritten", intake.Quote(r.log))
	}
	return r.log, yes, err
}

// wantsResume asks whether to go on with an unfinished flight, and says by which plan and what of it is lost.
func (r *request) wantsResume(env Env, found begun) (bool, error) {
	which := "an unfinished flight of this plan"
	byPlan := ""
	switch readable := found.contents.Header.Plan != nil; {
	case readable && found.another:
		which, byPlan = "an unfinished flight of another plan of this title", " by the plan in the journal"
	case !readable:
		which, byPlan = "an unfinished flight whose plan can't be read", " by the plan that you gave"
	}
	for _, note := range damageNotes(found.contents) {
		tell(env, "error", note)
	}
	if byPlan != "" {
		r.resumed = which + ": flown on" + byPlan
	}
	if r.resume {
		return true, nil
	}
	hint, no := "--resume goes on with it, --log FILE begins a new one", "begin a new one"
	if r.log != "" { // which is not overwritten
		hint, no = "--resume goes on with it, another --log FILE begins a new one", "leave it as it is"
	}
	if r.stdinTaken {
		return false, usage(hint, "%s is in %s, and standard input is the feed", which, intake.Quote(found.path))
	}
	last := ""
	if len(found.contents.Events) > 0 {
		last = ", last entry " + say.Moment(latest(found.contents))
	}
	fmt.Fprintf(env.Stderr, "%s%s, is in\n%s\nGo on with it%s? Type y to go on or n to %s, then Enter: ",
		strings.ToUpper(which[:1])+which[1:], last, intake.Quote(found.path), byPlan, no)
	answer, err := bufio.NewReader(io.LimitReader(env.Stdin, longestAnswer)).ReadString('\n')
	if err != nil && answer == "" {
		return false, usage(hint, "%s is in %s", which, intake.Quote(found.path))
	}
	answer = strings.ToLower(strings.TrimSpace(answer))
	return answer == "" || strings.HasPrefix(answer, "y"), nil
}

// longestAnswer is how many bytes of an answer are read.
const longestAnswer = 1 << 10

func newSession(env Env, r request, path string) (*session, error) {
	steady := clock.NewSteady(env.Now, env.Passed, 0)
	now := steady.Now()
	header := journal.Header{
		Mode: r.mode, Opened: now, Pilot: cmp.Or(r.pilot, r.plan.Pilot), Instructor: cmp.Or(r.instructor, r.plan.Instructor),
	}
	if r.mode == flight.Practice {
		header.Seed, header.Lesson = &r.hidden.Seed, string(r.hidden.Lesson)
	}
	s := &session{env: env, header: header, sheet: r.sheet, steady: steady, handsOff: !r.handsOn}
	first := []flight.Event{{N: 1, Rec: now, Act: flight.Clock, T: r.start, Set: &r.start, Rate: &r.rate}}
	if r.handsOn {
		first = append(first, flight.Event{N: 2, Rec: now, Act: flight.Hands, Hands: "on", T: r.start})
	}
	var failed error
	written := make(chan struct{})
	go func() { // a disk takes its time, in which the flight is made
		defer close(written)
		s.writer, failed = journal.Create(path, header, r.plan, steady.Now, first...)
	}()
	if r.mode == flight.Practice {
		s.state = practice.NewFlight(r.sheet, r.hidden)
	} else {
		s.state = flight.New(r.sheet, r.mode)
	}
	var err error
	for _, event := range first {
		err = cmp.Or(err, s.state.Apply(event))
	}
	s.clock = clock.New(s.state.Setting(), steady.Now)
	s.state.At(s.clock.Now()) // the first look finds what is kept for those that follow
	<-written
	switch {
	case failed != nil:
		return nil, journalFault(failed)
	case err != nil:
		return nil, errors.Join(journalFault(err), s.Close())
	}
	s.notice = cmp.Or(s.writer.Caution(), r.notice)
	return s, nil
}

func resumeSession(env Env, r request, path string) (*session, error) {
	var steady *clock.Steady
	writer, contents, notice, err := journal.Resume(path, r.plan, func() time.Time {
		if steady == nil {
			return env.Now()
		}
		return steady.Now()
	})
	if err != nil {
		return nil, journalFault(err)
	}
	steady = clock.NewSteady(env.Now, env.Passed, machineAhead(contents.Events))
	route, err := sheetOf(contents.Header)
	var state tui.Flight
	if err == nil {
		state, err = foldSession(route, contents)
	}
	if err != nil {
		return nil, errors.Join(usage("", "%s: %v", intake.Quote(path), err), writer.Close())
	}
	if len(contents.Damages) > 0 {
		notice = say.Counted(len(contents.Damages), "place", "places") + " of the journal can't be read and are left out"
	}
	goesOn := r.setTo.IsZero() && r.mode != flight.Practice
	s := &session{
		env: env, writer: writer, header: contents.Header, sheet: route, state: state,
		clock: clock.New(state.Setting(), steady.Now), steady: steady, handsOff: true, damaged: damaged(contents),
		notice: cmp.Or(writer.Caution(), notice, r.resumed, takenUp(latest(contents), state.Setting(), goesOn, steady.Now())),
	}
	for _, event := range contents.Events {
		if event.Act == flight.Hands {
			s.handsOff = event.Hands == "off"
		}
	}
	switch {
	case !r.setTo.IsZero():
		return s, s.setClock(flight.Event{T: r.setTo, Set: &r.setTo})
	case r.mode == flight.Practice: // the invented flight waited; a real one, and a simulator's, went on
		last := latest(contents)
		return s, s.setClock(flight.Event{T: last, Set: &last})
	}
	return s, nil
}

// takenUp says after which time a flight is taken up again, and how far its clock has run since, where it goes on.
func takenUp(last time.Time, setting clock.Setting, goesOn bool, wall time.Time) string {
	text := "taken up again after " + say.Time(last)
	const worthSaying = 5 * time.Second
	switch ran := setting.At(wall).Sub(last); {
	case !goesOn:
	case setting.Paused:
		text += ", paused"
	case ran >= worthSaying:
		text += ", the flight clock ran on " + say.Duration(ran)
	}
	return text
}

// machineAhead is how far the machine's clock was last known to be ahead of the time by which a flight is recorded.
func machineAhead(events []flight.Event) time.Duration {
	for _, event := range slices.Backward(events) {
		if event.Machine != nil {
			return event.Machine.Sub(event.Rec)
		}
	}
	return 0
}

// hiddenOf is what a journal of a practice flight, which has a seed, was drawn from.
func hiddenOf(header journal.Header) practice.Hidden {
	return practice.Hidden{Seed: *header.Seed, Lesson: practice.Lesson(header.Lesson)}
}

// foldSession is the flight that a journal tells, with its hidden world in practice.
func foldSession(route *sheet.Sheet, contents journal.Contents) (tui.Flight, error) {
	if contents.Header.Mode == flight.Practice && contents.Header.Seed != nil {
		return practice.Fold(route, hiddenOf(contents.Header), contents.Events)
	}
	return flight.Fold(route, contents.Header.Mode, contents.Events, nil)
}

// latest is the latest flight time that a journal speaks of.
func latest(contents journal.Contents) time.Time {
	last := contents.Header.Opened
	if contents.Header.Plan != nil {
		last = contents.Header.Plan.OffBlocks
	}
	for i, event := range contents.Events {
		if i == 0 || event.T.After(last) {
			last = event.T
		}
	}
	return last
}

// setClock records a change of the clock and runs by it, before there is a screen.
func (s *session) setClock(event flight.Event) error {
	event.Act = flight.Clock
	recorded, err := s.Record(event)
	if err == nil {
		err = s.state.Apply(recorded)
	}
	if err != nil {
		return errors.Join(journalFault(err), s.Close())
	}
	s.clock.Adopt(s.state.Setting())
	return nil
}

// journalFault turns an error of the journal into words for the person.
func journalFault(err error) error {
	var locked *journal.Locked
	if errors.As(err, &locked) {
		return usage("end that one, or name another file with --log", "%v", locked)
	}
	return unwritten("name another file with --log", "%v", err)
}
