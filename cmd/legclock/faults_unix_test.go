//go:build unix

package main_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/testkit"
)

// begin flies the starter plan and logs off-blocks.
func (w world) begin(log string) *testkit.Session {
	w.t.Helper()
	s := testkit.Start(w.t, w.command("fly", "round.yaml", "--start", "13:05", "--log", log), 120, 36)
	s.AwaitText("LEG")
	answer(s, "recorded off blocks")
	return s
}

// acts are the acts that a journal in the person's folder holds; it must be undamaged.
func (w world) acts(log string) (acts []flight.Act) {
	w.t.Helper()
	contents, err := journal.Load(filepath.Join(w.state, log))
	require.NoError(w.t, err)
	require.Empty(w.t, contents.Damages)
	for _, event := range contents.Events {
		acts = append(acts, event.Act)
	}
	return acts
}

// TestTheJournalIsTakenAwayUnderARunningFlight does what an editor or a program that keeps folders alike does to a file.
func TestTheJournalIsTakenAwayUnderARunningFlight(t *testing.T) {
	for name, harm := range map[string]func(string) error{
		"deleted":              os.Remove,
		"gone with its folder": func(path string) error { return os.RemoveAll(filepath.Dir(path)) },
		"a folder now":         func(path string) error { return errors.Join(os.Remove(path), os.Mkdir(path, 0o755)) },
		"a pipe now":           func(path string) error { return errors.Join(os.Remove(path), syscall.Mkfifo(path, 0o600)) },
		"a link to nowhere":    func(path string) error { return errors.Join(os.Remove(path), os.Symlink("nowhere", path)) },
		"a link to a copy": func(path string) error {
			text, err := os.ReadFile(path)
			return errors.Join(err, os.WriteFile(path+".copy", text, 0o644), os.Remove(path), os.Symlink(path+".copy", path))
		},
		"a link to /dev/zero": func(path string) error { return errors.Join(os.Remove(path), os.Symlink("/dev/zero", path)) },
		"added to": func(path string) error {
			file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
			if err == nil {
				_, err = file.WriteString("{}\n")
			}
			return errors.Join(err, file.Close())
		},
		"renamed":   func(path string) error { return os.Rename(path, path+"~") },
		"truncated": func(path string) error { return os.Truncate(path, 100) },
		"replaced": func(path string) error {
			if err := os.WriteFile(path+".tmp", []byte("other\n"), 0o644); err != nil {
				return err
			}
			return os.Rename(path+".tmp", path)
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(t)
			w.run("new", "round.yaml")
			s := w.begin("logs/a.jsonl")
			require.NoError(t, harm(filepath.Join(w.state, "logs/a.jsonl")))
			s.AwaitText("the whole flight is now in logs/a-2.jsonl")
			s.Type("enlate\r")
			s.AwaitText("recorded note: late")
			require.NoError(t, s.Command.Process.Kill())
			s.Wait()
			assert.Equal(t, []flight.Act{flight.Clock, flight.OffBlocks, flight.NoteText}, w.acts("logs/a-2.jsonl"))
		})
	}
}

// TestWhatNoDiskTakesIsWrittenOut flies with files that may grow no more: the pilot is asked before leaving, and told the lines that make the journal whole.
func TestWhatNoDiskTakesIsWrittenOut(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	const blocksOfHalfAKilobyte = "16" // a header and some entries
	limited := w.command("-c", "ulimit -f "+blocksOfHalfAKilobyte+` && exec "$0" fly round.yaml --start 13:05 --log a.jsonl`, w.command().Path)
	limited.Path, limited.Args[0] = "/bin/sh", "/bin/sh"
	s := testkit.Start(t, limited, 160, 40)
	s.AwaitText("LEG")
	notes := 0
	for !strings.Contains(s.Text(), "NOT ON DISK") {
		notes++
		s.Type(fmt.Sprintf("enote %d%s\r", notes, strings.Repeat(" and so on", 18)))
		s.AwaitText(fmt.Sprintf("note: %d", notes))
		require.Less(t, notes, 100)
	}
	s.Type("q")
	s.AwaitText("Quit while 1 entry is not on disk?")
	s.Type("y")
	require.Equal(t, 1, s.Wait())
	require.Contains(t, s.Raw(), "a.jsonl: file too large")
	line := regexp.MustCompile(`\{"n":\d+,.*"check":"[0-9a-f]+"\}`).FindString(strings.ReplaceAll(s.Raw(), "\r\n", "\n"))
	path := filepath.Join(w.state, "a.jsonl")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(string(text)+line+"\n"), 0o644))
	require.Len(t, w.acts("a.jsonl"), 1+notes, "with that line it is whole and undamaged")
}

// TestNoUnfinishedFlightPassesInSilence kills a flight, harms what is left, and flies again.
func TestNoUnfinishedFlightPassesInSilence(t *testing.T) {
	start := func(t *testing.T) (w world, log string) {
		w = newWorld(t)
		w.run("new", "round.yaml")
		s := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05"), 120, 36)
		s.AwaitText("LEG")
		answer(s, "recorded off blocks")
		require.NoError(t, s.Command.Process.Kill())
		s.Wait()
		return w, w.log()
	}
	edit := func(t *testing.T, path, before, after string) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, string(text), before)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), before, after, 1)), 0o644))
	}
	t.Run("a plan changed in one figure", func(t *testing.T) {
		w, _ := start(t)
		edit(t, filepath.Join(w.state, "round.yaml"), "taxi_minutes: ", "taxi_minutes: 1")
		s := testkit.Start(t, w.command("fly", "round.yaml"), 120, 36)
		s.AwaitText("An unfinished flight of another plan of this title")
		s.AwaitText("Go on with it by the plan in the journal?")
		s.Type("y\r")
		s.AwaitText("flown on by the plan in the journal")
	})
	t.Run("an entry is damaged", func(t *testing.T) {
		w, log := start(t)
		edit(t, log, "off-blocks", "off-blOcks")
		s := testkit.Start(t, w.command("fly", "round.yaml"), 120, 36)
		s.AwaitText("Line 3 is damaged and left out")
		s.AwaitText("Go on with it?")
		s.Type("y\r")
		s.AwaitText("1 place of the journal can't be read")
	})
	t.Run("its plan is damaged", func(t *testing.T) {
		w, log := start(t)
		edit(t, log, `"taxi_minutes":`, `"taxi_minutez":`)
		s := testkit.Start(t, w.command("fly", "round.yaml"), 120, 36)
		s.AwaitText("An unfinished flight whose plan can't be read")
		s.Type("y\r")
		s.AwaitText("LEG")
		s.Type("ennew\r")
		s.AwaitText("recorded note: new")
	})
	t.Run("in a journal that --log named", func(t *testing.T) {
		w := newWorld(t)
		w.run("new", "round.yaml")
		s := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05", "--log", "a.jsonl"), 120, 36)
		s.AwaitText("LEG")
		answer(s, "recorded off blocks")
		require.NoError(t, s.Command.Process.Kill())
		s.Wait()
		s = testkit.Start(t, w.command("fly", "round.yaml", "--resume"), 160, 36)
		s.AwaitText("legclock fly PLAN --resume LOG goes on with a journal that --log named")
		require.Equal(t, 2, s.Wait())
		s = testkit.Start(t, w.command("fly", "round.yaml", "--log", "a.jsonl"), 160, 36)
		s.AwaitText("Type y to go on or n to leave it as it is")
		s.Type("n\r")
		require.Equal(t, 2, s.Wait())
		require.Contains(t, s.Raw(), "a.jsonl exists and is not overwritten")
	})
	t.Run("from the journal alone", func(t *testing.T) {
		w, log := start(t)
		require.NoError(t, os.Remove(filepath.Join(w.state, "round.yaml")))
		s := testkit.Start(t, w.command("fly", "--resume", log), 120, 36)
		s.AwaitText("taken up again")
		s.Type("ennew\r")
		s.AwaitText("recorded note: new")
		require.Equal(t, 1, w.count(flight.OffBlocks))
	})
}
