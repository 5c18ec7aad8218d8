package cli

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/remarks"
	"example.com/legclock/internal/replay"
	"example.com/legclock/tui"
	line "example.com/legclock/tui/replay"
)

type replayFlags struct {
	screenFlags
	rate float64
	from string
	by   string
	ask  bool
}

func newReplay(env Env) *cobra.Command {
	flags := replayFlags{}
	command := &cobra.Command{
		Use:   "replay LOG",
		Short: "Play a flight back on the flying screens",
		Long: "replay shows a log on the same screens as in flight, forwards and back: space plays and pauses, the arrows go from entry\n" +
			"to entry; tab has them step by passings, prompts, mistakes or remarks. c jumps to a time, h changes between what was known\n" +
			"then and hindsight. e keeps a remark in a file beside the journal, which itself is never changed. a, or --ask, stops it where\n" +
			"something was to be done and asks what, hiding it until a is pressed again.",
		Example: "  legclock replay flight.jsonl\n  legclock replay flight.jsonl --from 10:30 --rate 8\n  legclock replay flight.jsonl --ask --rate 8",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "replay needs one journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(command *cobra.Command, args []string) error {
			if change := (clock.Change{Rate: &flags.rate}); change.CheckUpTo(clock.ReplayMaxRate) != nil {
				return usage(fmt.Sprintf("give --rate %g to %g", clock.MinRate, clock.ReplayMaxRate), "--rate %g is out of range", flags.rate)
			}
			p, err := newPlayer(env, args[0], flags)
			if err != nil {
				return err
			}
			if err := flags.showable(env); err != nil {
				return err
			}
			footer := line.New(p, p.clock)
			if flags.ask {
				footer.Ask(p.At(p.clock.Now()))
			}
			options := tui.Options{
				Flight: p, Mode: tui.Replay(footer), Clock: p.clock, Silent: true,
				Notice: "space plays, arrows step, tab chooses by what, c jumps, e remark, h hindsight, a what now?",
			}
			if err := runScreens(command.Context(), env, options, flags.screenFlags, args[0], nil); err != nil {
				return err
			}
			return p.damaged
		},
	}
	flags.screenFlags.register(command)
	command.Flags().Float64Var(&flags.rate, "rate", 1, fmt.Sprintf("how fast it plays, %g to %g", clock.MinRate, clock.ReplayMaxRate))
	command.Flags().StringVar(&flags.from, "from", "", "flight time to begin at: 14:05, 14:05:30 or RFC 3339")
	command.Flags().BoolVar(&flags.ask, "ask", false, "for a class: stop where something was to be done, hide what, and ask: what now?")
	command.Flags().StringVar(&flags.by, "by", "", "who the remarks are by")
	return command
}

// player is a journal played back: what the screens and the time-line ask for.
type player struct {
	tape    *replay.Tape
	debrief *debrief.Flight
	clock   *clock.Clock
	view    replay.View
	remarks *remarks.File
	by      string
	moments []line.Moment
	asked   []line.Question
	covered bool
	damaged error // errFound if not all of the journal could be read
}

// errShown refuses what a replay can't do.
var errShown = errors.New("a replay records nothing")

// newPlayer reads a journal and holds its clock at its beginning, or at the time asked for.
func newPlayer(env Env, name string, flags replayFlags) (*player, error) {
	log, err := (&logs{env: env}).read(name)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	damaged := error(nil)
	for _, note := range log.Notes {
		tell(env, "error", ofFile(name, note))
		damaged = errFound
	}
	tape, err := replay.New(log.Sheet, log.Mode, log.Events)
	if err != nil {
		return nil, usage("", "%s: %v", name, err)
	}
	log.Tape = tape
	figures, err := debrief.Brief(log)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	p := &player{tape: tape, debrief: figures, view: replay.Known, by: flags.by, damaged: damaged}
	if name != "-" {
		if p.remarks, err = remarks.Open(name, env.Now); err != nil {
			return nil, usage("correct that file or move it away", "%v", err)
		}
	}
	start := tape.From()
	if flags.from != "" {
		if start, err = momentOfFlight(flags.from, tape.From(), tape.To()); err != nil {
			return nil, err
		}
		if start.Before(tape.From()) || start.After(tape.To()) {
			return nil, usage(fmt.Sprintf("it goes from %s to %s", tape.From().Format(time.RFC3339), tape.To().Format(time.RFC3339)), "--from %s lies outside the flight", flags.from)
		}
	}
	p.clock = clock.NewReplay(clock.Setting{Wall: env.Now(), Flight: start, Rate: flags.rate, Paused: true}, env.Now)
	p.findMoments()
	for _, q := range tape.Questions() {
		question := line.Question{At: q.At}
		for _, prompt := range q.Prompts {
			question.Answer = append(question.Answer, debrief.Became(prompt))
		}
		p.asked = append(p.asked, question)
	}
	return p, nil
}

// At is the flight at a moment, with the replay's own clock in place of the flight's.
func (p *player) At(t time.Time) flight.Snapshot {
	from, to := p.Ends()
	if t.Before(from) {
		t = from
	}
	if t.After(to) {
		t = to
	}
	s := p.tape.At(t, p.view)
	if p.covered {
		s = replay.Covered(s)
	}
	setting := p.clock.Setting()
	s.Clock.Rate, s.Clock.Paused = setting.Rate, setting.Paused
	return s
}

// Check refuses everything.
func (p *player) Check(flight.Event) error { return errShown }

// Apply refuses everything.
func (p *player) Apply(flight.Event) error { return errShown }

// Undoable is nothing.
func (p *player) Undoable() *flight.Event { return nil }

// Setting is the replay's clock.
func (p *player) Setting() clock.Setting { return p.clock.Setting() }

// Ends are the flight's first and last moment.
func (p *player) Ends() (from, to time.Time) { return p.tape.From(), p.tape.To() }

// Moments are those of the time-line.
func (p *player) Moments() []line.Moment { return p.moments }

// Hindsight reports which view is shown.
func (p *player) Hindsight() bool { return p.view == replay.Hindsight }

// ToggleHindsight changes the view.
func (p *player) ToggleHindsight() {
	if p.view == replay.Known {
		p.view = replay.Hindsight
		return
	}
	p.view = replay.Known
}

// Turned is what turned out of a moment.
func (p *player) Turned(s flight.Snapshot) []line.Words {
	var words []line.Words
	for _, said := range p.debrief.Turned(s).Words() {
		words = append(words, line.Words(said))
	}
	return words
}

// Questions are the moments at which something was to be done, with what became of it.
func (p *player) Questions() []line.Question { return p.asked }

// Cover hides what is to be done.
func (p *player) Cover(covered bool) { p.covered = covered }

// Remark keeps a remark beside the journal.
func (p *player) Remark(at time.Time, text string) error {
	if p.remarks == nil {
		return errors.New("a journal from standard input has no place for remarks")
	}
	if _, err := p.remarks.Add(at, p.by, text); err != nil {
		return err
	}
	p.findMoments()
	return nil
}

// findMoments makes the time-line anew.
func (p *player) findMoments() {
	if p.remarks != nil {
		p.debrief.Remarks = nil
		for _, remark := range p.remarks.Standing() {
			p.debrief.Remarks = append(p.debrief.Remarks, debrief.RemarkMade{At: remark.T, By: remark.By, Text: remark.Text})
		}
	}
	p.moments = nil
	for _, m := range p.debrief.Moments(p.tape.Records()) {
		p.moments = append(p.moments, line.Moment{At: m.At, Kind: line.Kind(m.Kind), Mark: m.Act.Mark(), Text: m.Text})
	}
}
