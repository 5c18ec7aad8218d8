//go:build unix

package main_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/testkit"
)

// TestPracticeByHand flies the demo by hand in a terminal: take-off, a heading, a course, a crash and the resume, handing over, and the
// debrief that tells the truth.
func TestPracticeByHand(t *testing.T) {
	w := newWorld(t)
	fly := func(args ...string) *testkit.Session {
		s := testkit.Start(t, w.command(append([]string{"practice", "--log", "byhand.jsonl"}, args...)...), 80, 24)
		s.AwaitText("YOU FLY")
		return s
	}
	s := fly("--seed", "7", "--rate", "16")
	s.AwaitText("COCKPIT")
	answer(s, "recorded off blocks")
	answer(s, "LKM 114.35 course 057")
	answer(s, "DME  LKM 114.35")
	answer(s, "recorded identified NAV1 LKM")
	answer(s, "recorded identified DME LKM")
	answer(s, "climbing to 3500")
	s.Type("es100\r")
	s.AwaitText("steering 100")
	s.Type("\r\x1b[B\x1b[B\r") // the third of what enter opens
	s.AwaitText("course >")
	s.Type("\x15NAV1 040\r")
	s.AwaitText("course 040")
	s.Type("\x1b[D") // left
	s.AwaitText("steering 095")
	s.Type("\r\x1b[B\r")
	s.AwaitText("in feet >")
	s.Type("12\r")
	s.AwaitText("too low")
	s.Type("\x1b")
	s.AwaitText("YOU FLY")

	require.NoError(t, s.Command.Process.Kill())
	s.Wait()
	s = fly("--resume")
	s.AwaitText("steering 095")
	s.AwaitText("course 040")
	s.Type("h")
	s.AwaitText("1 FLYING")
	s.AwaitText("hands off")
	s.Type("q")
	s.AwaitText("y / n")
	s.Type("y")
	s.Wait()

	data, err := os.ReadFile(filepath.Join(w.state, "byhand.jsonl"))
	require.NoError(t, err)
	require.Contains(t, string(data), `"do":"controls","receiver":"NAV1","course":40`)
	require.Equal(t, 2, strings.Count(string(data), `"do":"hands"`))
	require.Contains(t, w.run("debrief", "byhand.jsonl"), "THE TRUTH THAT WAS HIDDEN")
}
