package cli

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/muesli/termenv"
	"github.com/spf13/cobra"

	"example.com/legclock/tui"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// screenFlags are the flags of every command that shows the full screen.
type screenFlags struct {
	theme      string
	ascii      bool
	silent     bool
	messageLog string
}

func (f *screenFlags) register(command *cobra.Command) {
	command.Flags().StringVar(&f.theme, "theme", theme.Names()[0], "how it looks: "+strings.Join(theme.Names(), ", "))
	command.Flags().BoolVar(&f.ascii, "ascii", false, "draw with ASCII only")
	command.Flags().BoolVar(&f.silent, "silent", false, "no bell")
	command.Flags().StringVar(&f.messageLog, "message-log", "", "write every message but ticks to a file, for debugging")
	if err := command.Flags().MarkHidden("message-log"); err != nil {
		panic(err) // the flag stands two lines above
	}
}

func (f screenFlags) check() error {
	if f.theme != "" && !slices.Contains(theme.Names(), f.theme) {
		return usage("themes are "+strings.Join(theme.Names(), ", "), "--theme %q is not known", f.theme)
	}
	return nil
}

// hasTerminal reports whether there is a terminal that can show a full screen.
func hasTerminal(env Env) bool { return screenless(env) == "" }

// screenless is why no full screen can be shown; empty where one can.
func screenless(env Env) string {
	switch out := terminalOf(env); {
	case out == nil:
		return "the full screen needs a terminal"
	case env.Getenv("TERM") == "dumb":
		return "the full screen needs a terminal that can place its cursor, and TERM=dumb says that this one can't"
	}
	return ""
}

// terminalOf is the terminal that is written to; nil if that is none.
func terminalOf(env Env) *os.File { return terminalOn(env.Stdout) }

// asciiOnly reports whether the locale names a character set other than UTF-8, by the order of POSIX (Base Definitions, 8.2): LC_ALL, LC_CTYPE,
// LANG. One that names none leaves it open, and nearly every terminal of today shows UTF-8.
func asciiOnly(env Env) bool {
	locale := cmp.Or(env.Getenv("LC_ALL"), env.Getenv("LC_CTYPE"), env.Getenv("LANG"))
	_, set, named := strings.Cut(locale, ".")
	set, _, _ = strings.Cut(set, "@")
	set = strings.ReplaceAll(strings.ToLower(set), "-", "")
	return named && set != "utf8" || locale == "C" || locale == "POSIX"
}

// isEnding reports whether an error says how a screen ended rather than what a command did wrong.
func isEnding(err error) bool {
	var crash *terminal.Crash
	return errors.As(err, &crash) || errors.Is(err, terminal.ErrInterrupted) || errors.Is(err, terminal.ErrTerminated) ||
		errors.Is(err, terminal.ErrHungUp) || errors.Is(err, terminal.ErrNoTerminal)
}

// show runs the screens over an open flight until they end.
func show(ctx context.Context, env Env, s *session, flags screenFlags) error {
	mode := tui.Live(s, s.steady)
	if pilot, ok := s.state.(tui.Pilot); ok {
		mode = tui.Practice(s, s.steady, pilot, s.handsOff)
	}
	options := tui.Options{Flight: s.state, Mode: mode, Clock: s.clock, Silent: flags.silent, Notice: s.notice}
	var start func(*terminal.Program)
	if s.feed != nil {
		following, end := context.WithCancel(ctx)
		defer end()
		start = func(program *terminal.Program) { s.feed.start(following, program) }
	}
	return runScreens(ctx, env, options, flags, s.writer.Path(), start)
}

// optionalFile is a file that may not have been asked for.
type optionalFile struct{ *os.File }

func messageLog(name string) (optionalFile, error) {
	if name == "" {
		return optionalFile{}, nil
	}
	file, err := os.Create(name)
	if err != nil {
		return optionalFile{}, unwritten("", "writing the message log: %v", err)
	}
	return optionalFile{file}, nil
}

func (f optionalFile) writer() io.Writer {
	if f.File == nil {
		return nil
	}
	return f.File
}

// Close closes the file if there is one.
func (f optionalFile) Close() error {
	if f.File == nil {
		return nil
	}
	return f.File.Close()
}

// runScreens runs the screens until they end, over a flight that is or will be in a log. Start, if not nil, is given the program before
// it runs.
func runScreens(ctx context.Context, env Env, options tui.Options, flags screenFlags, log string, start func(*terminal.Program)) error {
	options.Theme, options.Profile, options.ASCII = flags.theme, termenv.NewOutput(terminalOf(env)).EnvColorProfile(), flags.ascii || asciiOnly(env)
	if log != "-" {
		options.Log = log
	}
	root, err := tui.New(options)
	if err != nil {
		return err
	}
	err = runTerminal(ctx, env, root, flags, log, start)
	var crash *terminal.Crash
	if errors.As(err, &crash) {
		tell(env, "error", crash.Error())
	}
	return err
}

// showable refuses flags and outputs that no screen can be shown with.
func (f screenFlags) showable(env Env) error {
	if err := f.check(); err != nil {
		return err
	}
	if why := screenless(env); why != "" {
		return usage("run it in a terminal; `legclock status LOG` prints without one", "%s", why)
	}
	return nil
}

// runTerminal runs a screen in the terminal until it ends. Start, if not nil, is given the program before it runs.
func runTerminal(ctx context.Context, env Env, screen terminal.Screen, flags screenFlags, log string, start func(*terminal.Program)) error {
	messages, err := messageLog(flags.messageLog)
	if err != nil {
		return err
	}
	defer messages.Close()
	crashes, _ := logFolder(env) // without one they go to the system's folder for what is temporary
	program := terminal.New(screen, terminal.Options{
		Output: terminalOf(env), Now: env.Now,
		CrashDir: crashes, JournalPath: log, Version: Version, MessageLog: messages.writer(),
	})
	if start != nil {
		start(program)
	}
	return program.Run(ctx)
}
