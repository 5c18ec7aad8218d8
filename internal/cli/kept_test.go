package cli_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cli"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/sheet"
)

// told is what programs of all releases say of a flight that happened: nothing that is estimated.
type told struct {
	Entries   int        `json:"entries"`
	OffBlocks *time.Time `json:"off_blocks"`
	Airborne  *time.Time `json:"airborne"`
	Landed    *time.Time `json:"landed"`
	OnBlocks  *time.Time `json:"on_blocks"`
	Diverted  bool       `json:"diverted"`
	Complete  bool       `json:"complete"`
	Legs      []struct {
		From    string   `json:"from"`
		To      string   `json:"to"`
		Minutes *float64 `json:"actual_minutes"`
	} `json:"legs"`
	Phase string    `json:"phase"`
	At    time.Time `json:"at"`
	Tank  string    `json:"tank"`
}

// tell runs the program and reads its JSON.
func tell(t *testing.T, into any, args ...string) {
	t.Helper()
	require.NoError(t, json.Unmarshal(said(t, args...), into))
}

// said is what the program wrote when it was called.
func said(t *testing.T, args ...string) []byte {
	t.Helper()
	env := cli.Process()
	var out, faults bytes.Buffer
	env.Args, env.Stdin, env.Stdout, env.Stderr = args, strings.NewReader(""), &out, &faults
	require.Zero(t, cli.Main(env), "%v: %s", args, faults.String())
	return out.Bytes()
}

// Journals of every release read, replay and debrief as the program that wrote them did.
func TestJournalsOfEveryReleaseAreReadAlike(t *testing.T) {
	kept, err := filepath.Glob("../../testdata/journals/*.jsonl")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(kept), 5)
	for _, path := range kept {
		t.Run(filepath.Base(path), func(t *testing.T) {
			contents, err := journal.Load(path)
			require.NoError(t, err)
			require.Empty(t, contents.Damages)
			require.Nil(t, contents.Torn)
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			lines := strings.Split(strings.TrimSpace(string(text)), "\n")
			require.Len(t, contents.Events, len(lines)-1)
			for i, event := range contents.Events {
				written, err := event.MarshalJSON()
				require.NoError(t, err)
				body, _, _ := strings.Cut(lines[i+1], `,"check":`)
				require.Equal(t, strings.TrimSuffix(body, "}"), strings.TrimSuffix(string(written), "}"), "an entry that is written again")
			}

			var want, got told
			facts, err := os.ReadFile(strings.TrimSuffix(path, "l"))
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(facts, &want))
			var said struct {
				Totals map[string]json.RawMessage
				Legs   json.RawMessage
			}
			tell(t, &said, "debrief", "--format", "json", path)
			for name, into := range map[string]any{"entries": &got.Entries, "diverted": &got.Diverted, "complete": &got.Complete} {
				require.NoError(t, json.Unmarshal(said.Totals[name], into))
			}
			for name, into := range map[string]**time.Time{"off_blocks": &got.OffBlocks, "airborne": &got.Airborne, "landed": &got.Landed, "on_blocks": &got.OnBlocks} {
				var moment struct{ Actual *time.Time }
				require.NoError(t, json.Unmarshal(said.Totals[name], &moment))
				*into = moment.Actual
			}
			require.NoError(t, json.Unmarshal(said.Legs, &got.Legs))
			var now struct {
				At    time.Time
				Phase string
				Tanks struct{ Selected string }
			}
			tell(t, &now, "status", "--json", path)
			got.At, got.Phase, got.Tank = now.At, now.Phase, now.Tanks.Selected
			require.Equal(t, want, got)

			s, problems := sheet.Compute(contents.Header.Plan)
			require.NotNil(t, s, "%v", problems)
			tape, err := replay.New(s, contents.Header.Mode, contents.Events)
			require.NoError(t, err)
			state, err := flight.Fold(s, contents.Header.Mode, contents.Events, nil)
			require.NoError(t, err)
			played, folded := tape.At(tape.To(), replay.Hindsight), state.Hindsight(tape.To()).At(tape.To())
			require.Equal(t, folded.Route, played.Route)
			require.Equal(t, folded.Tanks, played.Tanks)
		})
	}
}
