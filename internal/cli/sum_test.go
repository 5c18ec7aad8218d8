package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// summing runs `legclock sum …` as a shell would.
func summing(args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	env := Env{
		Stdout: &out, Stderr: &errs, Stdin: strings.NewReader(""), Getenv: func(string) string { return "" },
		Now: func() time.Time { return time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC) },
	}
	root := &cobra.Command{Use: "legclock", SilenceErrors: true, SilenceUsage: true}
	root.AddCommand(newSum(env))
	root.SetArgs(append([]string{"sum"}, args...))
	root.SetOut(&out)
	root.SetErr(&errs)
	code = report(env, root.Execute())
	return code, out.String(), errs.String()
}

func allSums() []sumCommand {
	env := Env{Now: time.Now}
	var all []sumCommand
	for _, some := range [][]sumCommand{windSums(), speedSums(env), bearingSums(), criticalSums(), placeSums(env), arrivalSums(env)} {
		all = append(all, some...)
	}
	return all
}

// Every example of a help text works as it stands.
func TestSumExamplesWork(t *testing.T) {
	for _, sum := range allSums() {
		require.NotEmpty(t, sum.short, sum.name)
		require.NotEmpty(t, sum.long, sum.name)
		require.NotEmpty(t, sum.examples, sum.name)
		for _, example := range sum.examples {
			code, stdout, stderr := summing(append([]string{sum.name}, strings.Fields(example)...)...)
			require.Equal(t, exitGood, code, "%s %s: %s", sum.name, example, stderr)
			require.Empty(t, stderr, example)
			if strings.Contains(example, "--json") {
				require.True(t, json.Valid([]byte(stdout)), example)
				continue
			}
			for _, section := range []string{"\ngiven    ", "\nrule     ", "\nworking  ", "\nanswer   ", "\nsource   "} {
				require.Contains(t, stdout, section, "%s %s", sum.name, example)
			}
		}
	}
}

// A name means one thing in a sum, has a help text, and can be given alone without being taken for another's value.
func TestSumParameters(t *testing.T) {
	for _, sum := range allSums() {
		seen := map[string]bool{"json": true, "help": true}
		lastPlaced := -1
		for i, p := range sum.takes {
			require.NotEmpty(t, p.help, "%s %s", sum.name, p.name)
			for _, name := range append([]string{p.name}, p.also...) {
				require.False(t, seen[name], "%s: %s is there twice", sum.name, name)
				seen[name] = true
			}
			if p.placed {
				require.Equal(t, lastPlaced+1, i, "%s: %s has its place after one that has none", sum.name, p.name)
				lastPlaced = i
			}
		}
		for i := range lastPlaced {
			// A span takes a last figure without a unit, and would take the figure of the next place.
			require.Error(t, sum.takes[i].read("5 min 50"), "%s: a time stands before %s", sum.name, sum.takes[i+1].name)
		}
	}
}

// The page shows what the program prints, and has every sum.
func TestDocumentedSums(t *testing.T) {
	page, err := os.ReadFile("../../docs/sums.md")
	require.NoError(t, err)
	shown := 0
	for _, block := range strings.Split(string(page), "\n    $ legclock sum ")[1:] {
		line, rest, _ := strings.Cut(block, "\n")
		var want strings.Builder
		for _, text := range strings.SplitAfter(rest, "\n") {
			text, inBlock := strings.CutPrefix(text, "    ")
			if !inBlock {
				break
			}
			want.WriteString(text)
		}
		_, stdout, stderr := summing(strings.Fields(line)...)
		assert.Equal(t, want.String(), stdout+stderr, line)
		shown++
	}
	require.Greater(t, shown, 4)
	for _, sum := range allSums() {
		assert.Contains(t, string(page), "| `"+sum.name+"` |", "the table")
		for _, p := range sum.takes {
			assert.Contains(t, string(page), "`"+p.name, "%s of %s", p.name, sum.name)
		}
	}
}

// Whatever is typed, a sum ends with 0, 1 or 2: with 2 it prints nothing but what is wrong; else it prints a whole sum.
func FuzzSum(f *testing.F) {
	for _, sum := range allSums() {
		for _, example := range sum.examples {
			f.Add(sum.name + " " + example)
		}
	}
	f.Add("heading --=x --track= 090 - -5 -x --")
	f.Add("heading 090 0 000/00 distance 0 flow 0")
	f.Add("offtrack 0 0 to go --json")
	f.Add("hold eta 10:42 arrive 2026-06-14T10:50:00Z --İ=3")
	f.Fuzz(func(t *testing.T, line string) {
		args := strings.Fields(line)
		if len(args) == 0 || strings.HasPrefix(args[0], "-") || args[0] == "help" {
			return
		}
		code, stdout, stderr := summing(args...)
		switch code {
		case exitGood, exitFault:
			require.Empty(t, stderr, line)
			require.NotContains(t, stdout, "NaN", line)
			if strings.HasPrefix(stdout, "{") {
				require.True(t, json.Valid([]byte(stdout)), line)
			}
		case exitUsage:
			require.Empty(t, stdout, line)
			require.True(t, strings.HasPrefix(stderr, "legclock: error: "), "%s: %s", line, stderr)
		default:
			t.Fatalf("%q ends with %d", line, code)
		}
	})
}
