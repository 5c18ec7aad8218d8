//go:build unix

package terminal

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func startProgram(t *testing.T) *session {
	t.Helper()
	p := start(t, setting{role: roleProgram, width: 80, height: 24})
	p.AwaitText("size 80x24.")
	return p
}

// ends asserts that the terminal is as before and that what is said after the program can be read: it comes after the
// alternate screen was left.
func (p *session) ends(status int, saying string) {
	p.t.Helper()
	assert.Equal(p.t, status, p.Wait())
	p.expect(altScreenOff)
	p.expect(saying)
	p.restored()
}

func TestQuit(t *testing.T) {
	p := startProgram(t)
	p.Type("q")
	p.ends(0, "after: <nil>")
}

func TestSend(t *testing.T) {
	p := startProgram(t)
	p.Type("F")
	p.AwaitText("keys F from a feed.")
}

func TestEndOfContext(t *testing.T) {
	p := startProgram(t)
	p.Type("X")
	p.ends(1, "after: context canceled")
}

func TestOutputIsNoTerminal(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	defer file.Close()
	p := New(&echoScreen{}, Options{Output: file})
	require.ErrorIs(t, p.Run(t.Context()), ErrNoTerminal)
	p.Send(fed("too late")) // returns
}

func TestKeysOfOneReadAreSingleKeys(t *testing.T) {
	p := startProgram(t)
	p.Type("ptt")
	p.AwaitText("keys p t t.")
	p.Type("\x1bx \x1b[A\x1b[1;3A")
	p.AwaitText("keys p t t esc x   up.")
}

func TestPasteGoesToAnOpenEntryOnly(t *testing.T) {
	p := startProgram(t)
	p.Type("\x1b[200~pqp\x1b[201~x")
	p.AwaitText("keys x.")
	p.Type("e\x1b[200~a\rb\x1b[201~")
	p.AwaitText("keys x e [a b].")
}

func TestBell(t *testing.T) {
	p := startProgram(t)
	p.Type("b")
	p.AwaitText("keys b.")
	p.expect("\a")
}

func TestResize(t *testing.T) {
	p := startProgram(t)
	p.Resize(20, 5)
	p.AwaitText("size 20x5.")
	p.Type("p")
	p.AwaitText("keys p.")
	p.Resize(80, 24)
	p.AwaitText("size 80x24.")
}

func TestTerminalWithoutSize(t *testing.T) {
	p := start(t, setting{role: roleProgram})
	p.AwaitText("size 80x24.")
	p.Resize(100, 30)
	p.AwaitText("size 100x30.")
}

func TestTicks(t *testing.T) {
	p := startProgram(t)
	second := regexp.MustCompile(`ticks ([2-9]|\d\d+)\.`) // on a busy machine ticks are lost, or seen too late
	p.Await("a second tick", second.MatchString)
}

// A query would be answered into the typed keys, or would stall the start where nothing answers.
func TestTerminalIsAskedNothing(t *testing.T) {
	for _, role := range []string{roleProgram, rolePrinter} {
		t.Run(role, func(t *testing.T) {
			p := start(t, setting{role: role, width: 80, height: 24})
			before := p.expect(map[string]string{roleProgram: "size 80x24.", rolePrinter: "printed"}[role])
			for name, query := range map[string]string{
				"background or foreground colour": "\x1b]1", "device attributes": "c", "cursor position": "n", "keyboard": "u", "version": "q",
			} {
				if name == "background or foreground colour" {
					assert.NotContains(t, before, query, name)
					continue
				}
				for _, sequence := range strings.Split(before, "\x1b[")[1:] {
					end := strings.IndexFunc(sequence, func(r rune) bool { return r >= 0x40 && r <= 0x7e })
					require.GreaterOrEqual(t, end, 0, "unfinished sequence in %q", before)
					assert.NotEqual(t, query, sequence[end:end+1], name)
				}
			}
		})
	}
}

func TestSignals(t *testing.T) {
	for _, c := range []struct {
		signal syscall.Signal
		status int
		saying string
	}{
		{syscall.SIGTERM, 143, "after: terminated"},
		{syscall.SIGINT, 130, "after: interrupted"},
		{syscall.SIGHUP, 129, "after: the terminal is gone"},
	} {
		t.Run(c.saying, func(t *testing.T) {
			p := startProgram(t)
			require.NoError(t, p.Command.Process.Signal(c.signal))
			p.ends(c.status, c.saying)
		})
	}
}

func TestQuitSignalDumpsOnAnOrdinaryScreen(t *testing.T) {
	p := startProgram(t)
	require.NoError(t, p.Command.Process.Signal(syscall.SIGQUIT))
	p.ends(2, "SIGQUIT: quit")
}

func TestSecondCtrlCInterrupts(t *testing.T) {
	p := startProgram(t)
	p.Type("\x03p\x03")
	p.AwaitText("keys ctrl+c p ctrl+c.")
	p.Type("\x03")
	p.ends(130, "after: interrupted")
}

func TestHangUp(t *testing.T) {
	for name, s := range map[string]setting{
		"with SIGHUP":            {},
		"with SIGHUP ignored":    {through: []string{"sh", "-c", `trap "" HUP; exec "$0"`}},
		"without SIGHUP, by end": {noControl: true},
	} {
		t.Run(name, func(t *testing.T) {
			s.role, s.width, s.height = roleProgram, 80, 24
			p := start(t, s)
			p.AwaitText("size 80x24.")
			p.HangUp()
			assert.Equal(t, 129, p.Wait())
		})
	}
}

func TestPanics(t *testing.T) {
	for key, where := range map[string]string{
		"U": "in update", "R": "in rows", "C": "in a command", "S": "in a command", "B": "in a command", "G": "in a goroutine",
	} {
		t.Run(key+" "+where, func(t *testing.T) {
			p := startProgram(t)
			p.Type(key)
			p.ends(70, "after: stopped by a fault in the program: "+where)
			p.expect("what happened is written in " + p.crashes)
			p.expect("every entry that was acknowledged is in flight.log")

			files, err := filepath.Glob(filepath.Join(p.crashes, "crash-*.txt"))
			require.NoError(t, err)
			require.Len(t, files, 1)
			report, err := os.ReadFile(files[0])
			require.NoError(t, err)
			for _, text := range []string{"version  test", "journal  flight.log", "panic: " + where, "main_unix_test.go:"} {
				assert.Contains(t, string(report), text)
			}
		})
	}
}

func TestStopAndContinue(t *testing.T) {
	for name, stop := range map[string]func(p *session, job int){
		"Ctrl-Z":           func(p *session, _ int) { p.Type("\x1a") },
		"SIGTSTP":          func(p *session, job int) { require.NoError(p.t, syscall.Kill(job, syscall.SIGTSTP)) },
		"SIGSTOP, unasked": func(p *session, job int) { require.NoError(p.t, syscall.Kill(job, syscall.SIGSTOP)) },
	} {
		t.Run(name, func(t *testing.T) {
			p := start(t, setting{role: roleShell, width: 80, height: 24})
			p.expect("job ")
			job, err := strconv.Atoi(p.expect("."))
			require.NoError(t, err)
			p.AwaitText("size 80x24.")
			p.Type("a")
			p.AwaitText("keys a.")

			stop(p, job)
			while := p.expect("job stopped.")
			if name != "SIGSTOP, unasked" { // nothing can be done before that one
				assert.Contains(t, while, altScreenOff)
				p.restored()
			}
			p.Type("fg\n")
			p.expect(altScreenOn)
			p.AwaitText("size 80x24.")
			p.AwaitText("keys a.")
			p.AwaitText("resumed 1.")
			p.Type("b")
			p.AwaitText("keys a b.")
			p.Type("q")
			p.expect(altScreenOff)
			p.expect("job ended with 0.")
			assert.Equal(t, 0, p.Wait())
			p.restored()
		})
	}
}

// A terminal that runs the program itself has no shell that could continue it.
func TestCtrlZWithoutShellComesBack(t *testing.T) {
	p := startProgram(t)
	p.Type("\x1a")
	p.expect(altScreenOff)
	p.expect(altScreenOn)
	p.AwaitText("resumed 1.")
	p.Type("p")
	p.AwaitText("keys p.")
}
