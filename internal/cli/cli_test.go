package cli

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/practice"
	"example.com/legclock/plans"
)

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// A command whose output could not be written has not done what it was asked for.
func TestOutputThatCannotBeWrittenIsNoSuccess(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"sum", "--help"}, {"--version"}, {"sum", "station", "--help"}, {"man"}} {
		var said bytes.Buffer
		env := Env{Args: args, Stdin: bytes.NewReader(nil), Stdout: io.Discard, Stderr: &said, Getenv: os.Getenv, Now: Process().Now, Passed: Process().Passed}
		require.Equal(t, exitGood, Main(env), "%v: %s", args, &said)
		env.Stdout = fullDisk{}
		require.Equal(t, exitFault, Main(env), "%v", args)
		require.Contains(t, said.String(), "no space left on device", "%v", args)
	}
}

// POSIX.1-2017, Base Definitions, 8.2: which variable decides, and that a locale may name its character set.
func TestASCIIWhereTheLocaleHasNoMore(t *testing.T) {
	for _, c := range []struct {
		all, characters, lang string
		want                  bool
	}{
		{"", "", "", false},
		{"", "", "en_GB.UTF-8", false},
		{"", "", "de_AT.utf8@euro", false},
		{"", "", "en_GB.ISO-8859-1", true},
		{"", "", "C", true},
		{"POSIX", "en_GB.UTF-8", "en_GB.UTF-8", true},
		{"", "C.UTF-8", "C", false},
		{"", "", "en_GB", false},
	} {
		values := map[string]string{"LC_ALL": c.all, "LC_CTYPE": c.characters, "LANG": c.lang}
		require.Equal(t, c.want, asciiOnly(Env{Getenv: func(name string) string { return values[name] }}), "%+v", c)
	}
}

// A lesson that was watched, without a key pressed, is told afterwards like one that was flown.
func TestALessonThatWasWatchedIsTold(t *testing.T) {
	demo, err := flighttest.Sheet(plans.DemoFile, plans.FS.ReadFile)
	require.NoError(t, err)
	events, err := practice.Whole(demo, 5)
	require.NoError(t, err)
	end := events[len(events)-1].T
	told := debrief.Log{Sheet: demo, Mode: flight.Practice, Events: events}
	unhide(&told, practice.Hidden{Seed: 5, Lesson: practice.StuckGauge}, end)
	require.NotNil(t, told.Hidden)
	require.Equal(t, practice.StuckGauge, told.Hidden.Lesson.Name)
	plain := debrief.Log{Sheet: demo, Mode: flight.Practice, Events: events}
	unhide(&plain, practice.Hidden{Seed: 5}, end)
	require.Nil(t, plain.Hidden)
}
