package cli

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/tui"
)

// Modes of a journal.
const (
	modeLive     = "live"
	modePractice = "practice"
)

// request is what a flight is to be opened with.
type request struct {
	loaded
	mode    string
	hidden  practice.Hidden // practice only
	handsOn bool            // practice: the pilot flies from the start
	log     string          // the journal's file; empty: one in the log folder
	resume  bool            // go on with an unfinished journal without asking
	start   time.Time       // what the flight clock of a new flight reads
	setTo   time.Time       // what the flight clock of a resumed flight is set to; zero: it goes on
	rate    float64
	notice  string // said when the screen of a new flight opens
	feed    *feed.Source
	// stdinTaken says that standard input is the feed: no question can be answered there.
	stdinTaken bool

	people
}

// people are whose flight it is: any text, may be a code. They go into the journal, and the debrief tells flights apart by them.
type people struct{ pilot, instructor string }

func (p *people) register(command *cobra.Command) {
	command.Flags().StringVar(&p.pilot, "pilot", "", "whose flight it is: any text, may be a code (default: the plan's)")
	command.Flags().StringVar(&p.instructor, "instructor", "", "whose pupil the pilot is (default: the plan's)")
}

// session is an open flight: the journal that it is recorded in and what has been recorded.
type session struct {
	writer   *journal.Writer
	header   journal.Header
	sheet    *sheet.Sheet
	state    tui.Flight // with its hidden world beside it in practice
	clock    *clock.Clock
	feed     *following // nil: none
	handsOff bool       // practice: the program logs for the pilot
	notice   string     // said when the screen opens
}

// Record appends and syncs an event. It is the recorder of the screens.
func (s *session) Record(event flight.Event) (flight.Event, error) { return s.writer.Append(event) }

// Close frees the journal.
func (s *session) Close() error { return s.writer.Close() }

// openSession resumes an unfinished flight of the same plan, when the person wants that, or begins a new one.
func openSession(env Env, r request) (*session, error) {
	path, resumed, err := chooseLog(env, r)
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
func chooseLog(env Env, r request) (path string, resumed bool, err error) {
	if r.log == "" {
		folder, err := logFolder(env)
		if err != nil {
			return "", false, err
		}
		found, contents := unfinished(folder, r.plan, r.mode)
		if found == "" {
			if r.resume {
				return "", false, usage("leave out --resume to begin a new one", "there is no unfinished flight of this plan in %s", folder)
			}
			return newLog(folder, env.Now(), r.plan), false, nil
		}
		yes, err := r.wantsResume(env, found, contents)
		if !yes {
			found = newLog(folder, env.Now(), r.plan)
		}
		return found, yes, err
	}
	if _, err := os.Stat(r.log); errors.Is(err, fs.ErrNotExist) {
		if r.resume {
			return "", false, usage("leave out --resume to begin a new one", "there is no journal %s to go on with", r.log)
		}
		return r.log, false, nil
	}
	contents, err := journal.Load(r.log)
	switch {
	case err != nil:
		return "", false, usage("", "%v", err)
	case !samePlan(contents.Header.Plan, r.plan):
		return "", false, usage("name another file with --log", "%s holds a flight of another plan, %q", r.log, contents.Header.Plan.Title)
	case finished(contents.Events):
		return "", false, usage("name another file with --log", "%s holds a finished flight", r.log)
	}
	yes, err := r.wantsResume(env, r.log, contents)
	if err == nil && !yes {
		err = usage("name another file with --log", "%s exists and is not overwritten", r.log)
	}
	return r.log, yes, err
}

// wantsResume asks whether to go on with an unfinished flight.
func (r request) wantsResume(env Env, path string, contents journal.Contents) (bool, error) {
	if r.resume {
		return true, nil
	}
	if r.stdinTaken {
		return false, usage("--resume goes on with it, --log FILE begins a new one", "an unfinished flight of this plan is in %s, and standard input is the feed", path)
	}
	fmt.Fprintf(env.Stderr, "An unfinished flight of this plan, last entry %s, is in\n%s\nGo on with it? Type y to go on or n to begin a new one, then Enter: ",
		latest(contents).Format("2006-01-02 15:04:05Z"), path)
	answer, err := bufio.NewReader(env.Stdin).ReadString('\n')
	if err != nil && answer == "" {
		return false, usage("--resume goes on with it, --log FILE begins a new one", "an unfinished flight of this plan is in %s", path)
	}
	answer = strings.ToLower(strings.TrimSpace(answer))
	return answer == "" || strings.HasPrefix(answer, "y"), nil
}

func newSession(env Env, r request, path string) (*session, error) {
	header := journal.Header{Mode: r.mode, Pilot: cmp.Or(r.pilot, r.plan.Pilot), Instructor: cmp.Or(r.instructor, r.plan.Instructor)}
	if r.mode == modePractice {
		header.Seed, header.Lesson = &r.hidden.Seed, string(r.hidden.Lesson)
	}
	writer, err := journal.Create(path, header, r.plan, env.Now)
	if err != nil {
		return nil, journalFault(err)
	}
	s := &session{
		writer: writer, header: header, sheet: r.sheet, state: flight.New(r.sheet, r.mode),
		clock: clock.New(clock.Real(env.Now()), env.Now), handsOff: !r.handsOn, notice: r.notice,
	}
	if r.mode == modePractice {
		s.state = practice.NewFlight(r.sheet, r.hidden)
	}
	if err := s.setClock(flight.Event{T: r.start, Set: &r.start, Rate: &r.rate}); err != nil || !r.handsOn {
		return s, err
	}
	return s, s.begin(flight.Event{Act: flight.Hands, Hands: "on", T: r.start})
}

func resumeSession(env Env, r request, path string) (*session, error) {
	writer, contents, notice, err := journal.Resume(path, env.Now)
	if err != nil {
		return nil, journalFault(err)
	}
	state, err := foldSession(r, contents)
	if err != nil {
		return nil, errors.Join(usage("", "%s: %v", path, err), writer.Close())
	}
	s := &session{
		writer: writer, header: contents.Header, sheet: r.sheet, state: state,
		clock: clock.New(state.Setting(), env.Now), handsOff: true,
		notice: cmp.Or(notice, "taken up again after "+say.Time(latest(contents))),
	}
	for _, event := range contents.Events {
		if event.Act == flight.Hands {
			s.handsOff = event.Hands == "off"
		}
	}
	switch {
	case !r.setTo.IsZero():
		return s, s.setClock(flight.Event{T: r.setTo, Set: &r.setTo})
	case r.mode == modePractice: // the invented flight waited; a real one, and a simulator's, went on
		last := latest(contents)
		return s, s.setClock(flight.Event{T: last, Set: &last})
	}
	return s, nil
}

// hiddenOf is what a journal of a practice flight, which has a seed, was drawn from.
func hiddenOf(header journal.Header) practice.Hidden {
	return practice.Hidden{Seed: *header.Seed, Lesson: practice.Lesson(header.Lesson)}
}

// foldSession is the flight that a journal tells, with its hidden world in practice.
func foldSession(r request, contents journal.Contents) (tui.Flight, error) {
	if r.mode == modePractice && contents.Header.Seed != nil {
		return practice.Fold(r.sheet, hiddenOf(contents.Header), contents.Events)
	}
	return flight.Fold(r.sheet, r.mode, contents.Events, nil)
}

// latest is the latest flight time that a journal speaks of.
func latest(contents journal.Contents) time.Time {
	last := contents.Header.Plan.OffBlocks
	for i, event := range contents.Events {
		if i == 0 || event.T.After(last) {
			last = event.T
		}
	}
	return last
}

// setClock records a change of the clock and runs by it.
func (s *session) setClock(event flight.Event) error {
	event.Act = flight.Clock
	if err := s.begin(event); err != nil {
		return err
	}
	s.clock.Adopt(s.state.Setting())
	return nil
}

// begin records an event before there is a screen.
func (s *session) begin(event flight.Event) error {
	recorded, err := s.Record(event)
	if err == nil {
		err = s.state.Apply(recorded)
	}
	if err != nil {
		return errors.Join(journalFault(err), s.Close())
	}
	return nil
}

// journalFault turns an error of the journal into words for the person.
func journalFault(err error) error {
	var locked *journal.Locked
	if errors.As(err, &locked) {
		return usage("end that one, or name another file with --log", "%v", locked)
	}
	return usage("name another file with --log", "%v", err)
}
