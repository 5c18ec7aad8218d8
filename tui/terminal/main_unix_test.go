//go:build unix

package terminal

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// The test binary plays the programs that the tests start, by the role in the environment.
const (
	roleVariable  = "TERMINAL_TEST_ROLE"
	crashVariable = "TERMINAL_TEST_CRASHES"

	roleProgram = "program" // the echo screen below
	rolePrinter = "printer" // a command that only prints a line
	roleShell   = "shell"   // a small job-control shell with the program in front
)

func TestMain(m *testing.M) {
	switch os.Getenv(roleVariable) {
	case roleProgram:
		os.Exit(runProgram())
	case rolePrinter:
		fmt.Println("printed")
	case roleShell:
		runShell()
	default:
		os.Exit(m.Run())
	}
}

func runProgram() int {
	ctx, cancel := context.WithCancel(context.Background())
	screen := &echoScreen{cancel: cancel}
	program := New(screen, Options{
		Now:      time.Now,
		CrashDir: os.Getenv(crashVariable), JournalPath: "flight.log", Version: "test",
	})
	screen.program = program
	err := program.Run(ctx)
	fmt.Printf("after: %v\n", err)
	return ExitCode(err)
}

// fed is a message that another goroutine sends.
type fed string

// echoScreen shows what it was told, and panics where a key says so.
type echoScreen struct {
	width, height int
	keys          []string
	ticks         int
	typing        bool
	resumed       int
	panicInRows   bool
	program       *Program
	cancel        func()
}

func (s *echoScreen) Init() tea.Cmd { return nil }

func (s *echoScreen) Typing() bool { return s.typing }

func (s *echoScreen) Update(msg tea.Msg) Effect {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		s.width, s.height = msg.Width, msg.Height
	case Tick:
		s.ticks++
	case fed:
		s.keys = append(s.keys, string(msg))
	case Resumed:
		s.resumed++
	case tea.KeyMsg:
		return s.press(msg)
	}
	return Effect{Redraw: true}
}

func (s *echoScreen) press(key tea.KeyMsg) Effect {
	s.keys = append(s.keys, key.String())
	inCommand := func() tea.Msg { panic("in a command") }
	switch key.String() {
	case "q":
		return Effect{Command: tea.Quit}
	case "e":
		s.typing = !s.typing
	case "b":
		return Effect{Redraw: true, Ring: true}
	case "U":
		panic("in update")
	case "R":
		s.panicInRows = true
	case "C":
		return Effect{Command: inCommand}
	case "S":
		return Effect{Command: tea.Sequence(func() tea.Msg { return nil }, inCommand)}
	case "B":
		return Effect{Command: tea.Batch(func() tea.Msg { return nil }, inCommand)}
	case "G":
		s.program.Go(func() { panic("in a goroutine") })
	case "F":
		s.program.Go(func() { s.program.Send(fed("from a feed")) })
	case "X":
		s.cancel()
	}
	return Effect{Redraw: true}
}

func (s *echoScreen) Rows(width, height int) []string {
	if s.panicInRows {
		panic("in rows")
	}
	rows := make([]string, height)
	for i := range rows {
		rows[i] = strings.Repeat(" ", width)
	}
	put := func(row int, text string) {
		if row < height {
			rows[row] = (text + strings.Repeat(" ", width))[:width]
		}
	}
	put(0, fmt.Sprintf("size %dx%d.", width, height))
	put(1, fmt.Sprintf("keys %s.", strings.Join(s.keys, " ")))
	put(2, fmt.Sprintf("resumed %d.", s.resumed))
	put(3, fmt.Sprintf("ticks %d.", s.ticks))
	return rows
}
