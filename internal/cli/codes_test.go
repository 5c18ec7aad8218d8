package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/testkit"
	"example.com/legclock/plans"
)

// Every exit code stands in the manual page and in the documents, in the same words.
func TestExitCodesAreDocumented(t *testing.T) {
	document, err := os.ReadFile("../../docs/import-export.md")
	require.NoError(t, err)
	for _, code := range ExitCodes() {
		require.Contains(t, string(document), fmt.Sprintf("| %s | %s |\n", code[0], code[1]))
	}
}

// Every test that the page of promises tells to run is there: each alternative of a -run names one at least, in the packages named with it.
func TestPromisesNameTestsThatAreThere(t *testing.T) {
	document, err := os.ReadFile("../../docs/promises.md")
	require.NoError(t, err)
	commands := regexp.MustCompile("go test ((?:\\./\\S+ )+)-run '?([^' `]+)").FindAllStringSubmatch(string(document), -1)
	require.Greater(t, len(commands), 20)
	for _, command := range commands {
		var tests strings.Builder
		for _, folder := range strings.Fields(command[1]) {
			files, err := filepath.Glob(filepath.Join("../..", folder, "*_test.go"))
			require.NoError(t, err)
			require.NotEmpty(t, files, command[0])
			for _, file := range files {
				text, err := os.ReadFile(file)
				require.NoError(t, err)
				tests.Write(text)
			}
		}
		for name := range strings.SplitSeq(strings.ReplaceAll(command[2], `\|`, "|"), "|") {
			name, _, _ = strings.Cut(name, "/")
			require.Regexp(t, `(?m)^func Test\w*`+strings.Trim(name, "^$"), tests.String(), command[0])
		}
	}
}

// fails is a stream that can't be written to.
type fails struct{ with error }

func (f fails) Write([]byte) (int, error) { return 0, f.with }

// A fault has one exit code, whichever command meets it.
func TestAFaultHasOneExitCodeInAllCommands(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	write := func(name, text string) { require.NoError(t, os.WriteFile(name, []byte(text), 0o644)) }
	require.NoError(t, os.CopyFS(".", plans.FS))
	demo, err := testkit.DemoPlan()
	require.NoError(t, err)
	require.NoError(t, testkit.WriteJournal("flight.jsonl", demo, 7))
	journal, err := os.ReadFile("flight.jsonl")
	require.NoError(t, err)
	lines := strings.Split(string(journal), "\n")
	lines[3] = strings.Replace(lines[3], `"`, `#`, 1)
	write("damaged.jsonl", strings.Join(lines, "\n"))
	write("torn.jsonl", string(journal[:len(journal)-40]))
	write("other.jsonl", "a shopping list\n")
	write("empty.jsonl", "")
	write("endless.jsonl", strings.Repeat("x", 17<<20))
	require.NoError(t, os.Mkdir("folder", 0o755))
	export := new(bytes.Buffer)

	run := func(out io.Writer, args ...string) (code int, said string) {
		var faults bytes.Buffer
		env := Process()
		env.Args, env.Stdin, env.Stdout, env.Stderr = args, strings.NewReader(""), out, &faults
		return Main(env), faults.String()
	}
	code, said := run(export, "export", "flight.jsonl", "--format", "gpx")
	require.Zero(t, code, said)
	write("track.gpx", export.String())
	write("damaged.gpx", export.String()[:export.Len()*3/4])

	const good, fault, refused = exitGood, exitFault, exitUsage
	type codes map[string]int
	// What is read is a journal, a plan or a track. A plan that is none does not hold, as one with a wrong figure does not: it is text that a person writes.
	ofJournals := codes{"flight.jsonl": good, "damaged.jsonl": fault, "torn.jsonl": fault, "other.jsonl": refused, "empty.jsonl": refused, "endless.jsonl": refused, "missing": refused, "demo.yaml": refused}
	ofPlans := codes{"demo.yaml": good, "other.jsonl": fault, "empty.jsonl": fault, "endless.jsonl": refused, "missing": refused, "folder": refused, "flight.jsonl": refused}
	ofTracks := codes{"track.gpx": good, "damaged.gpx": good, "other.jsonl": refused, "empty.jsonl": refused, "missing": refused, "folder": refused}
	for _, c := range []struct {
		command string // %s is the file
		ends    codes
	}{
		{"status %s", ofJournals},
		{"status %s --json", ofJournals},
		{"status %s --hindsight --at 09:00", ofJournals},
		{"debrief %s", ofJournals},
		{"debrief %s --format html", ofJournals},
		{"debrief %s --out reports", ofJournals},
		{"logbook %s", ofJournals},
		{"logbook %s --format csv", ofJournals},
		{"debrief %s other.jsonl", codes{"flight.jsonl": fault, "damaged.jsonl": fault, "missing": refused}}, // one of two can't be read; neither can
		{"logbook %s other.jsonl", codes{"flight.jsonl": fault, "damaged.jsonl": fault, "missing": refused}},
		{"status %s", codes{"folder": refused}},
		{"debrief %s", codes{"folder": refused}}, // no journal is in it
		{"logbook %s", codes{"folder": refused}},
		{"export %s --format gpx", codes{"flight.jsonl": good, "damaged.jsonl": fault, "demo.yaml": good, "other.jsonl": fault, "endless.jsonl": refused, "missing": refused, "folder": refused}},
		{"check %s", ofPlans},
		{"check %s --json", ofPlans},
		{"sheet %s", ofPlans},
		{"sheet %s --format csv", ofPlans},
		{"import %s --list", ofTracks},
		{"import track.gpx --log imported.jsonl --plan %s", codes{"other.jsonl": fault, "endless.jsonl": refused, "missing": refused, "folder": refused, "flight.jsonl": refused}},
		{"import %s --log imported.jsonl --plan demo.yaml", codes{"other.jsonl": refused, "empty.jsonl": refused, "missing": refused, "folder": refused}},
		{"debrief flight.jsonl --track %s", codes{"other.jsonl": refused, "empty.jsonl": refused, "missing": refused, "folder": refused}},
		{"new %s", codes{"demo.yaml": refused, "nowhere/plan.yaml": fault}},
		// Those with a full screen have no terminal here; what they are given is looked at before that or not, with one end.
		{"fly %s", codes{"demo.yaml": refused, "other.jsonl": fault, "endless.jsonl": refused, "missing": refused, "folder": refused, "flight.jsonl": refused}},
		{"practice %s", codes{"demo.yaml": refused, "other.jsonl": fault, "endless.jsonl": refused, "missing": refused, "folder": refused, "flight.jsonl": refused}},
		{"replay %s", codes{"flight.jsonl": refused, "other.jsonl": refused, "missing": refused, "folder": refused}},
		{"watch %s", codes{"flight.jsonl": refused, "other.jsonl": refused, "missing": refused, "folder": refused}},
	} {
		for file, want := range c.ends {
			args := strings.Fields(fmt.Sprintf(c.command, file))
			code, said := run(io.Discard, args...)
			require.Equal(t, want, code, "%v: %s", args, said)
			if code != good && args[0] != "check" { // what check finds is what it was asked for
				require.NotEmpty(t, said, "%v", args)
			}
		}
	}

	// Output that is lost is a fault of each: on a full disk, and where nobody reads any more and the signal of that is ignored.
	for _, command := range []string{
		"--help", "--version", "man", "check demo.yaml", "check demo.yaml --json", "sheet demo.yaml", "sheet demo.yaml --format html", "status flight.jsonl", "status flight.jsonl --json",
		"debrief flight.jsonl", "debrief flight.jsonl flight.jsonl --format csv", "logbook flight.jsonl", "logbook flight.jsonl --format csv", "export demo.yaml --format kml",
		"export flight.jsonl --format csv", "import track.gpx --list", "sum heading 090 tas 90 wind 000/10", "drill --progress", "drill eta --paper", "completion bash",
	} {
		for _, lost := range []error{syscall.ENOSPC, syscall.EPIPE} {
			code, said := run(fails{lost}, strings.Fields(command)...)
			require.Equal(t, fault, code, "%s: %s", command, said)
			require.Contains(t, said, "writing the output: "+lost.Error(), command)
		}
	}
	for _, args := range [][]string{{"debrief", "flight.jsonl", "--out", filepath.Join("demo.yaml", "reports")}} {
		code, said := run(io.Discard, args...)
		require.Equal(t, fault, code, "%v: %s", args, said)
	}

	// Wrong usage.
	for _, command := range Commands() {
		code, said := run(io.Discard, command.Name(), "--no-such-flag")
		require.Equal(t, refused, code, "%s: %s", command.Name(), said)
		code, said = run(io.Discard, command.Name(), "one", "two", "three", "four")
		require.Equal(t, refused, code, "%s: %s", command.Name(), said)
	}
	code, said = run(io.Discard, "no-such-command")
	require.Equal(t, refused, code, said)
}
