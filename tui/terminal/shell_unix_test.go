//go:build unix

package terminal

import (
	"bufio"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

// runShell runs the program as the job in front of a session, as an interactive shell does. Whenever the job stops, the
// shell takes the terminal back with its own modes, says so and waits for a line to continue the job.
func runShell() {
	signal.Ignore(syscall.SIGTTOU) // so that it can take the terminal back from behind
	modes, err := term.GetState(0)
	must(err)
	must(os.Setenv(roleVariable, roleProgram))
	child := must1(os.StartProcess(os.Args[0], os.Args[:1], &os.ProcAttr{
		Files: []*os.File{os.Stdin, os.Stdout, os.Stderr},
		Sys:   &syscall.SysProcAttr{Setpgid: true, Foreground: true},
	}))
	fmt.Printf("job %d.\r\n", child.Pid)
	input := bufio.NewReader(os.Stdin)
	for {
		var status syscall.WaitStatus
		_ = must1(syscall.Wait4(child.Pid, &status, syscall.WUNTRACED, nil))
		must(unix.IoctlSetPointerInt(0, unix.TIOCSPGRP, os.Getpid()))
		if !status.Stopped() {
			fmt.Printf("job ended with %d.\n", status.ExitStatus())
			os.Exit(status.ExitStatus())
		}
		must(term.Restore(0, modes))
		fmt.Printf("job stopped.\n")
		_ = must1(input.ReadString('\n'))
		must(unix.IoctlSetPointerInt(0, unix.TIOCSPGRP, child.Pid))
		must(syscall.Kill(-child.Pid, syscall.SIGCONT))
	}
}

func must(err error) {
	if err != nil {
		fmt.Printf("shell: %v\n", err)
		os.Exit(99)
	}
}

func must1[T any](value T, err error) T {
	must(err)
	return value
}
