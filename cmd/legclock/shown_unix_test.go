//go:build unix

package main_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/testkit"
)

// TestAnothersFlightIsWatched flies in one terminal and watches in another: entries, the clock's rate and pauses, a crash and the resume.
func TestAnothersFlightIsWatched(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	fly := func(args ...string) *testkit.Session {
		s := testkit.Start(t, w.command(append([]string{"fly", "round.yaml", "--log", "shared.jsonl"}, args...)...), 100, 30)
		s.AwaitText("ARRIVAL")
		return s
	}
	journal := filepath.Join(w.state, "shared.jsonl")
	entries := func() int {
		data, err := os.ReadFile(journal)
		require.NoError(t, err)
		return bytes.Count(data, []byte("\n"))
	}

	writer := fly("--start", "13:05")
	watcher := testkit.Start(t, w.command("watch", "shared.jsonl"), 100, 30)
	watcher.AwaitText("WATCHING shared.jsonl")
	watcher.AwaitText("only shown")
	watcher.AwaitText("13:05:")

	answer(writer, "recorded off blocks")
	watcher.AwaitText("off blocks 13:05:")
	writer.Type("+")
	watcher.AwaitText("×2")
	writer.Type("0")
	watcher.AwaitText("PAUSED")
	writer.Type("c14:20\r") // the writer sets the clock on
	watcher.AwaitText(" 14:20:00Z")
	writer.Type("0")
	watcher.Await("that it runs again", func(screen string) bool { return strings.Contains(screen, "×2") })

	before := entries()
	watcher.Type("p to+0u?") // nothing that is pressed here is recorded
	watcher.AwaitText("? HELP")
	watcher.Type("?")
	watcher.AwaitText("1 FLYING")
	require.Equal(t, before, entries())

	require.NoError(t, writer.Command.Process.Kill())
	writer.Wait()
	watcher.AwaitText("NOBODY WRITES THIS JOURNAL")
	torn, err := os.OpenFile(journal, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = torn.WriteString(`{"n":99,"t":"2026-`) // what a lost machine may leave
	require.NoError(t, err)
	require.NoError(t, torn.Close())
	writer = fly("--resume")
	writer.AwaitText("never finished")
	answer(writer, "recorded airborne")
	watcher.AwaitText("ago: airborne") // what is said of it may give way to that the journal goes on
	watcher.Await("that it is written again", func(screen string) bool { return !strings.Contains(screen, "NOBODY WRITES") })
	watcher.AwaitText("last entry")
	watcher.Type("q")
	assert.Zero(t, watcher.Wait())
}

// TestAFlightIsWatchedThroughAPipe is what ssh and a program that follows the file make of it; the keys come from the terminal.
func TestAFlightIsWatchedThroughAPipe(t *testing.T) {
	w := newWorld(t)
	lines := whole(t, w)
	from, to, err := os.Pipe()
	require.NoError(t, err)
	command := w.command("watch", "-")
	command.Stdin = from
	write := func(lines ...string) {
		_, err := io.WriteString(to, strings.Join(lines, ""))
		require.NoError(t, err)
	}
	watcher := testkit.Start(t, command, 100, 30)
	require.NoError(t, from.Close())
	write(lines[:3]...)
	watcher.AwaitText("WATCHING standard input")
	watcher.AwaitText("off blocks")
	write(lines[3])
	watcher.AwaitText("airborne")
	write(lines[4][:30]) // the connection breaks down and is set up again
	write(lines[:6]...)
	watcher.AwaitText("last entry")
	watcher.Type("5")
	watcher.AwaitText("5 LOG")
	write(lines[6:]...)
	watcher.AwaitText("on blocks")
	require.NoError(t, to.Close())
	watcher.AwaitText("NOTHING MORE COMES")
	watcher.Type("q")
	assert.Zero(t, watcher.Wait())
}

// whole writes a journal of the demo, flown by the program's hands, and returns its lines.
func whole(t *testing.T, w world) []string {
	t.Helper()
	demo, err := testkit.DemoPlan()
	require.NoError(t, err)
	path := filepath.Join(w.state, "demo.jsonl")
	require.NoError(t, testkit.WriteJournal(path, demo, 7))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := strings.SplitAfter(string(data), "\n")
	return lines[:len(lines)-1]
}

// TestAFlightIsReplayed plays a journal back and keeps a remark beside it, which changes nothing of the journal.
func TestAFlightIsReplayed(t *testing.T) {
	w := newWorld(t)
	before := strings.Join(whole(t, w), "")
	s := testkit.Start(t, w.command("replay", "demo.jsonl", "--from", "08:35:00"), 120, 36)
	s.AwaitText("AS IT TURNED OUT")
	s.AwaitText("08:35:00Z")
	s.Type("\t") // by passing
	s.Type("\x1b[D")
	s.AwaitText("passing JNC")
	s.Type("\x1b[C")
	s.AwaitText("passing DAM")
	s.Type("c09:30\r")
	s.AwaitText("09:30:00Z")
	s.Type("h")
	s.AwaitText("HINDSIGHT")
	s.Type("ewell timed\r")
	s.AwaitText("kept: a remark at 09:30:00Z")
	s.AwaitText("* well timed")
	s.Type("+++++ ") // 60 times, and play
	s.Await("that time passes", func(screen string) bool {
		return strings.Contains(screen, "09:33:") || strings.Contains(screen, "09:34:")
	})
	s.Type("q")
	assert.Zero(t, s.Wait())

	after, err := os.ReadFile(filepath.Join(w.state, "demo.jsonl"))
	require.NoError(t, err)
	assert.Equal(t, before, string(after))
	kept, err := os.ReadFile(filepath.Join(w.state, "demo.jsonl.remarks"))
	require.NoError(t, err)
	assert.Contains(t, string(kept), "well timed")
	assert.Contains(t, w.run("debrief", "demo.jsonl"), "well timed")
}

// A journal that is damaged is a fault also where it was shown on the full screen: said before, and in the exit code afterwards.
func TestDamageIsInTheExitCodeOfAScreen(t *testing.T) {
	w := newWorld(t)
	journal, path := strings.Join(whole(t, w), ""), filepath.Join(w.state, "demo.jsonl")
	for _, c := range []struct {
		text string
		want int
	}{
		{journal, 0},
		{strings.Replace(journal, `"n":3,`, `"n":#,`, 1), 1},
	} {
		require.NoError(t, os.WriteFile(path, []byte(c.text), 0o644))
		for _, command := range []string{"replay", "watch"} {
			s := testkit.Start(t, w.command(command, path), 80, 24)
			s.Await("the screen", func(string) bool { return s.Alternate() })
			s.Type("q")
			require.Equal(t, c.want, s.Wait(), "%s of %d bytes", command, len(c.text))
		}
	}
}
