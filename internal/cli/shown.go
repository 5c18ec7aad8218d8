package cli

import (
	"context"
	"errors"

	"github.com/muesli/termenv"

	"example.com/legclock/tui"
	"example.com/legclock/tui/terminal"
)

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
