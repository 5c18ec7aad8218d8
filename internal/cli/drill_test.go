package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/drill"
)

// drillEnv is an environment whose data folder is a new one and whose clocks run a minute with every look.
func drillEnv(t interface{ TempDir() string }, answers string) (env Env, stdout, stderr *bytes.Buffer) {
	folder := t.TempDir()
	stdout, stderr = &bytes.Buffer{}, &bytes.Buffer{}
	looks := 0
	passed := func() clock.Passed {
		looks++
		return clock.Passed{Time: time.Duration(looks) * time.Minute}
	}
	return Env{
		Stdin: strings.NewReader(answers), Stdout: stdout, Stderr: stderr, Passed: passed,
		Now: func() time.Time { return time.Date(2026, 6, 15, 18, looks, 0, 0, time.UTC) },
		Getenv: func(name string) string {
			if name == "XDG_DATA_HOME" {
				return folder
			}
			return ""
		},
	}, stdout, stderr
}

// runDrillCommand runs the command as it is wired, and returns its exit code.
func runDrillCommand(env Env, args ...string) int {
	command := newDrill(env)
	command.SilenceErrors, command.SilenceUsage = true, true
	command.SetArgs(args)
	return report(env, command.Execute())
}

func answersTo(t testing.TB, topic drill.Topic, level drill.Level, seeds ...uint64) string {
	t.Helper()
	var lines []string
	for _, seed := range seeds {
		e := drill.Make(topic, level, seed)
		lines = append(lines, e.Say(e.Answers[0].Reply))
	}
	return strings.Join(lines, "\n") + "\n"
}

func TestDialogueOfRightAnswers(t *testing.T) {
	env, stdout, stderr := drillEnv(t, answersTo(t, drill.Drift, drill.Plain, 7, 8, 9))
	require.Zero(t, runDrillCommand(env, "drift", "--level", "2", "--seed", "7", "--count", "3"))
	assert.Contains(t, stdout.String(), "3 of 3: drift, heading, variation and deviation, level 2, in the head (seed 9)\n")
	assert.Equal(t, 3, strings.Count(stdout.String(), " is right\n"))
	assert.Contains(t, stdout.String(), "3 of 3 right; your progress is in ")
	assert.Empty(t, stderr.String())

	progress, err := attemptsOf(t, env).Load()
	require.NoError(t, err)
	s := progress.Of(drill.Card{Topic: drill.Drift, Level: drill.Plain})
	assert.Equal(t, 3, s.Tries)
	assert.Equal(t, 60.0, *s.MeanSeconds, "a minute each, by the clock that looks")
}

// The same seed and the same progress ask the same, so that a class can be given the same paper.
func TestDialogueIsTheSameBySeed(t *testing.T) {
	papers := map[string]bool{}
	for range 2 {
		env, stdout, _ := drillEnv(t, strings.Repeat("\n", 20))
		require.Equal(t, exitFault, runDrillCommand(env, "--seed", "5", "--count", "20"))
		paper, _, _ := strings.Cut(stdout.String(), "; your progress")
		papers[paper] = true
	}
	assert.Len(t, papers, 1)
}

// Nothing that is written can be an act of the program or end it in any other way than these.
func TestAnyAnswersEndInOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("0123456789:./ hminlrto?\n\x00é"))).Draw(rt, "answers")
		env, _, _ := drillEnv(t, text)
		code := runDrillCommand(env, "--seed", "1", "--count", "3")
		require.Contains(rt, []int{exitGood, exitFault, exitUsage}, code)
	})
}

func TestWithoutAFolderTheDrillGoesOn(t *testing.T) {
	env, stdout, stderr := drillEnv(t, answersTo(t, drill.ETA, drill.Round, 1, 2))
	blocked := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(blocked, nil, 0o600))
	env.Getenv = func(string) string { return blocked }
	code := runDrillCommand(env, "eta", "--level", "1", "--seed", "1", "--count", "2")
	if code == exitUsage { // the progress could not even be looked for
		assert.Contains(t, stderr.String(), "legclock: error: reading "+blocked)
		return
	}
	assert.Zero(t, code)
	assert.Contains(t, stdout.String(), "2 of 2 right")
	assert.Contains(t, stderr.String(), "progress is not kept")
}

func attempt(topic drill.Topic, right bool, minute int) drill.Attempt {
	return drill.Attempt{At: time.Date(2026, 6, 15, 18, minute, 0, 0, time.UTC), Topic: topic, Level: drill.Round, Right: right, Seconds: 20}
}

func TestTheFileFoldsToWhatWasAdded(t *testing.T) {
	env, _, _ := drillEnv(t, "")
	store := attemptsOf(t, env)
	var want drill.Progress
	for i, topic := range drill.Topics() {
		a := attempt(topic, i%2 == 0, i)
		require.NoError(t, store.Record(a))
		want.Add(a)
		got, err := store.Load()
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}

// Two drills at once lose nothing of each other.
func TestTwoAtOnce(t *testing.T) {
	env, _, _ := drillEnv(t, "")
	store := attemptsOf(t, env)
	require.NoError(t, store.Record(attempt(drill.ETA, true, 0)))
	var both sync.WaitGroup
	for range 2 {
		both.Go(func() {
			for i := range 50 {
				assert.NoError(t, store.Record(attempt(drill.ETA, true, i)))
			}
		})
	}
	both.Wait()
	progress, err := store.Load()
	require.NoError(t, err)
	assert.Equal(t, 101, progress.Of(drill.Card{Topic: drill.ETA, Level: drill.Round}).Tries)
}

// Wherever a last line is torn, what stands before it is kept, and the next answer is written whole.
func TestATornLine(t *testing.T) {
	env, _, _ := drillEnv(t, "")
	store := attemptsOf(t, env)
	require.NoError(t, store.Record(attempt(drill.ETA, true, 0)))
	before, err := os.ReadFile(store.path)
	require.NoError(t, err)
	require.NoError(t, store.Record(attempt(drill.ETA, true, 1)))
	whole, err := os.ReadFile(store.path)
	require.NoError(t, err)
	for cut := len(before); cut < len(whole); cut++ {
		require.NoError(t, os.WriteFile(store.path, whole[:cut], 0o600))
		progress, err := store.Load()
		require.NoError(t, err)
		require.Equal(t, 1, progress.Of(drill.Card{Topic: drill.ETA, Level: drill.Round}).Tries)
		require.NoError(t, store.Record(attempt(drill.ETA, true, 1)))
		after, err := os.ReadFile(store.path)
		require.NoError(t, err)
		require.Equal(t, string(whole), string(after))
	}
}

func TestDamageIsNamedWithItsLine(t *testing.T) {
	env, _, _ := drillEnv(t, "")
	store := attemptsOf(t, env)
	require.NoError(t, os.MkdirAll(filepath.Dir(store.path), 0o700))
	good := `{"at":"2026-06-15T18:00:00Z","topic":"eta","level":1,"seed":1,"task":"ETA","right":true,"seconds":20}` + "\n"
	for content, says := range map[string]string{
		"{\"drill\":2}\n":                                                 ":1: version 2 of the drill's progress is not known, only 1",
		"{\"drill\":1,\"x\":1}\n":                                         `:1: "{\"drill\":1,\"x\":1}" is not a line of this file: json: unknown field "x"`,
		"{\"drill\":1}\n" + good + "nonsense\n":                           `:3: "nonsense" is not a line of this file`,
		"{\"drill\":1}\n" + strings.Replace(good, "eta", "knitting", 1):   `:2: there is no topic "knitting"`,
		"{\"drill\":1}\n" + strings.Replace(good, `l":1`, `l":9`, 1):      ":2: there is no level 9",
		"{\"drill\":1}\n" + strings.Replace(good, "seconds", "second", 1): `unknown field "second"`,
	} {
		require.NoError(t, os.WriteFile(store.path, []byte(content), 0o600))
		_, err := store.Load()
		assert.ErrorContains(t, err, says, content)
	}
	require.NoError(t, os.WriteFile(store.path, nil, 0o600))
	_, err := store.Load()
	assert.NoError(t, err, "an empty file is one without attempts")
}

func attemptsOf(t *testing.T, env Env) attempts {
	store, err := newAttempts(env)
	require.NoError(t, err)
	return store
}
