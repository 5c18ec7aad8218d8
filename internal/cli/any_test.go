package cli_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime/metrics"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/cli"
)

// anyValue is a value of JSON, of any kind and size that JSON can write.
func anyValue() *rapid.Generator[any] {
	return rapid.Custom(func(t *rapid.T) any {
		switch rapid.IntRange(0, 9).Draw(t, "kind") {
		case 0, 1, 2:
			return rapid.SampledFrom([]float64{
				0, 1, -1, 0.5, 359.999, 360, 1e300, -1e300, math.MaxFloat64, math.SmallestNonzeroFloat64, 1e-9, 1e6, -1e6, 4e9, 1 << 53, 99999,
			}).Draw(t, "extreme")
		case 3, 4:
			return rapid.Float64Range(-1000, 10000).Draw(t, "number")
		case 5:
			return rapid.SampledFrom([]string{
				"", "JNC", "LKM", "left", "right", "NAV1", "off", "on", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59.999Z", "2026-06-20T09:00:00Z",
				"1900-01-01T00:00:00+14:00", "\x1b[2J", "\u202e\u2028<script>", strings.Repeat("long ", 4000),
			}).Draw(t, "word")
		case 6:
			return rapid.String().Draw(t, "text")
		case 7:
			return rapid.SampledFrom([]any{nil, true, false, []any{}, map[string]any{}}).Draw(t, "constant")
		case 8:
			return []any{rapid.Float64Range(-200, 200).Draw(t, "first"), rapid.Float64Range(-200, 200).Draw(t, "second")}
		default:
			return map[string]any{"left": rapid.Float64Range(-1e9, 1e9).Draw(t, "left"), "t": "2026-06-20T08:50:00Z"}
		}
	})
}

// changeLeaf puts any value at one place of a value, and returns it.
func changeLeaf(t *rapid.T, value any) any {
	switch value := value.(type) {
	case map[string]any:
		if len(value) > 0 && rapid.IntRange(0, 30).Draw(t, "here") > 0 {
			keys := make([]string, 0, len(value))
			for key := range value {
				keys = append(keys, key)
			}
			slices.Sort(keys)
			key := rapid.SampledFrom(keys).Draw(t, "key")
			value[key] = changeLeaf(t, value[key])
			return value
		}
	case []any:
		if len(value) > 0 && rapid.IntRange(0, 30).Draw(t, "here") > 0 {
			i := rapid.IntRange(0, len(value)-1).Draw(t, "place")
			value[i] = changeLeaf(t, value[i])
			return value
		}
	}
	return anyValue().Draw(t, "value")
}

// withVariations gives a plan, in half of all cases, variations of its own, which the kept journals have none of, and another year.
func withVariations(t *rapid.T, value any) {
	plan, ok := value.(map[string]any)
	if !ok || rapid.Bool().Draw(t, "by the model") {
		return
	}
	year := rapid.SampledFrom([]string{"1900", "2026", "2099", "2100", "2199", "2200"}).Draw(t, "year")
	if day, ok := plan["off_blocks"].(string); ok && len(day) > len(year) {
		plan["off_blocks"] = year + day[len(year):]
	}
	plan["variation"] = rapid.Float64Range(-180, 180).Draw(t, "variation")
	if route, ok := plan["route"].(map[string]any); ok {
		if legs, ok := route["legs"].([]any); ok && len(legs) > 0 {
			if leg, ok := rapid.SampledFrom(legs).Draw(t, "leg").(map[string]any); ok {
				leg["variation"] = rapid.Float64Range(-200, 200).Draw(t, "its own")
			}
		}
	}
}

func decoded(t require.TestingT, line string) (object map[string]any) {
	require.NoError(t, json.Unmarshal([]byte(line), &object))
	return object
}

// anyJournal is a journal in the shape of those that are kept, in which values of entries, and now and then of the plan, are any that JSON has;
// the checksum of the plan is right, and lines have no checks, as of old.
func anyJournal(t *rapid.T, kept [][]string) []byte {
	source := kept[rapid.IntRange(0, len(kept)-1).Draw(t, "journal")]
	header := decoded(t, source[0])
	delete(header, "check")
	if rapid.IntRange(0, 4).Draw(t, "plan too") == 0 {
		withVariations(t, header["plan"])
		for range rapid.IntRange(1, 3).Draw(t, "changes of the plan") {
			header["plan"] = changeLeaf(t, header["plan"])
		}
	}
	planJSON, err := json.Marshal(header["plan"])
	require.NoError(t, err)
	sum := sha256.Sum256(planJSON)
	var journal bytes.Buffer
	fmt.Fprintf(&journal, `{"legclock":1,"opened":"2026-06-20T08:23:00Z","mode":%q,"plan":%s,"plan_sha256":%q}`+"\n",
		rapid.SampledFrom([]string{"live", "import", "practice"}).Draw(t, "mode"), planJSON, hex.EncodeToString(sum[:]))
	first := rapid.IntRange(0, len(source)/2).Draw(t, "left out")
	count := rapid.IntRange(1, 40).Draw(t, "entries")
	for n := 1; n <= count; n++ {
		entry := decoded(t, source[1+(first+n-1)%(len(source)-1)])
		if rapid.IntRange(0, 3).Draw(t, "of another journal") == 0 {
			other := kept[rapid.IntRange(0, len(kept)-1).Draw(t, "other")]
			entry = decoded(t, other[rapid.IntRange(1, len(other)-1).Draw(t, "entry")])
		}
		delete(entry, "check")
		for range rapid.SampledFrom([]int{0, 0, 1, 2, 5}).Draw(t, "changes") {
			key := rapid.SampledFrom(fields).Draw(t, "field")
			entry[key] = anyValue().Draw(t, key)
		}
		if rapid.IntRange(0, 20).Draw(t, "another number") > 0 {
			entry["n"] = n
		}
		line, err := json.Marshal(entry)
		require.NoError(t, err)
		journal.Write(append(line, '\n'))
	}
	return journal.Bytes()
}

// fields are the fields of entries, and some that none has.
var fields = strings.Fields(`t rec do point offtrack after within heading ias tas altitude qnh from speed tank tanks flow power receiver beacon course
	dme radial relative at to rejoin prompt minutes rate paused set machine wanted alt gs track hands by text confirmed landings kind squawk frequency
	event with n extra`)

// Whatever values a journal holds, every command ends, in order and within bounds.
func TestAJournalOfAnyValuesIsReadWithinBounds(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/journals/*.jsonl")
	require.NoError(t, err)
	var kept [][]string
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		kept = append(kept, strings.Split(strings.TrimSpace(string(text)), "\n"))
	}
	path := filepath.Join(t.TempDir(), "any.jsonl")
	commands := [][]string{
		{"status"},
		{"status", "--json"},
		{"debrief"},
		{"debrief", "--format", "html"},
		{"debrief", "--format", "json"},
		{"logbook"},
		{"export", "--format", "gpx"},
		{"export", "--format", "csv"},
		{"export", "--format", "json"},
	}
	const mostMemory = 256 << 20 // bytes that this process has ever asked for
	// What a command does is counted in bytes that it allocates, which no other load of the machine changes: this is about a second's. How long it took is told and no assertion.
	const mostWork = 1 << 30
	// Read without stopping the world, as runtime.ReadMemStats does.
	usage := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/gc/heap/allocs:bytes"}}
	memory, allocated := func() uint64 { return usage[0].Value.Uint64() }, func() uint64 { return usage[1].Value.Uint64() }
	var longest time.Duration
	var most, highest uint64
	var slowest, hardest string
	ran := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		journal := anyJournal(t, kept)
		require.NoError(t, os.WriteFile(path, journal, 0o644))
		args := rapid.SampledFrom(commands).Draw(t, "command")
		env := cli.Process()
		var out, faults bytes.Buffer
		env.Args, env.Stdin, env.Stdout, env.Stderr = append(args[:len(args):len(args)], path), strings.NewReader(""), &out, &faults
		metrics.Read(usage)
		before, begin := allocated(), time.Now()
		code := cli.Main(env)
		took := time.Since(begin)
		metrics.Read(usage)
		work := allocated() - before
		if took > longest {
			longest, slowest = took, fmt.Sprintf("%v of\n%s", args, journal)
		}
		if work > most {
			most, hardest = work, fmt.Sprintf("%v of\n%s", args, journal)
		}
		highest = max(highest, memory())
		ran[strings.Join(args, " ")]++
		if !slices.Contains([]int{0, 1, 2}, code) || code != 0 && faults.Len() == 0 || work > mostWork || memory() > mostMemory ||
			strings.Contains(out.String(), "NaN") || infinite.MatchString(out.String()) {
			t.Fatalf("%v ended with %d after %v, %d MiB in all, %d MiB allocated\n%s\n%s\n%s", args, code, took, memory()>>20, work>>20, &faults, &out, journal)
		}
	})
	t.Logf("%v\nat most %d MiB; most allocated %d MiB; longest %v\nlongest: %s\nmost allocated: %s", ran, highest>>20, most>>20, longest, slowest, hardest)
}

var infinite = regexp.MustCompile(`[+-]Inf\b`)
