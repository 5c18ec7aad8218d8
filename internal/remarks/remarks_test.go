package remarks_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/remarks"
)

var noon = time.Date(2026, 6, 14, 12, 0, 0, 0, time.UTC)

func wall() time.Time { return noon }

func open(t require.TestingT, journal string) *remarks.File {
	f, err := remarks.Open(journal, wall)
	require.NoError(t, err)
	return f
}

func TestRemarksAreKeptBesideTheJournalAndReadBack(t *testing.T) {
	journal := filepath.Join(t.TempDir(), "flight.jsonl")
	require.NoError(t, os.WriteFile(journal, []byte("a journal"), 0o644))
	f := open(t, journal)
	assert.Empty(t, f.Standing())
	assert.NoFileExists(t, remarks.Path(journal), "looking makes no file")

	second, err := f.Add(noon.Add(time.Hour), "Kim", "  ask for the QNH here ")
	require.NoError(t, err)
	first, err := f.Add(noon, "", "good look-out")
	require.NoError(t, err)
	assert.Equal(t, remarks.Remark{N: 1, T: noon.Add(time.Hour), Rec: noon, By: "Kim", Text: "ask for the QNH here"}, second)
	assert.Equal(t, []remarks.Remark{first, second}, f.Standing(), "by flight time")
	assert.Equal(t, f.Standing(), open(t, journal).Standing())

	require.NoError(t, f.TakeBack(1))
	require.ErrorContains(t, f.TakeBack(1), "no remark 1")
	assert.Equal(t, []remarks.Remark{first}, open(t, journal).Standing())

	_, err = f.Add(noon, "", " \t")
	require.ErrorContains(t, err, "needs words")
	untouched, err := os.ReadFile(journal)
	require.NoError(t, err)
	assert.Equal(t, "a journal", string(untouched))
}

func TestTwoWritersDoNotLoseEachOthersRemarks(t *testing.T) {
	journal := filepath.Join(t.TempDir(), "flight.jsonl")
	one, other := open(t, journal), open(t, journal)
	_, err := one.Add(noon, "one", "first")
	require.NoError(t, err)
	_, err = other.Add(noon, "other", "second")
	require.NoError(t, err)
	_, err = one.Add(noon, "one", "third")
	require.NoError(t, err)
	var texts []string
	for _, remark := range open(t, journal).Standing() {
		texts = append(texts, remark.Text)
	}
	assert.Equal(t, []string{"first", "second", "third"}, texts)
}

func TestAnUnfinishedLineIsCutOffByTheNextRemark(t *testing.T) {
	journal := filepath.Join(t.TempDir(), "flight.jsonl")
	f := open(t, journal)
	_, err := f.Add(noon, "", "whole")
	require.NoError(t, err)
	data, err := os.ReadFile(f.Path())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(f.Path(), append(data, `{"n":2,"t":"2026`...), 0o644))
	f = open(t, journal)
	require.Len(t, f.Standing(), 1)
	_, err = f.Add(noon, "", "next")
	require.NoError(t, err)
	require.Len(t, open(t, journal).Standing(), 2)
}

func TestWhatIsNoFileOfRemarksIsNamedByItsLine(t *testing.T) {
	journal := filepath.Join(t.TempDir(), "flight.jsonl")
	for text, want := range map[string]string{
		"{\"legclock\":1}\n":                       ".remarks:1: not a file of remarks",
		"{\"remarks\":2}\n":                        "version 2: this program reads version 1",
		"{\"remarks\":1}\nnonsense\n":              ".remarks:2: ",
		"{\"remarks\":1}\n{\"n\":1}\n":             "either words or the number",
		"{\"remarks\":1}\n{\"n\":1,\"t\":\"x\"}\n": ".remarks:2: ",
	} {
		require.NoError(t, os.WriteFile(remarks.Path(journal), []byte(text), 0o644))
		_, err := remarks.Open(journal, wall)
		require.ErrorContains(t, err, want, "%q", text)
	}
}

func TestAnyWordsComeBack(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		journal := filepath.Join(folder, rapid.StringMatching(`[a-z]{12}`).Draw(t, "name"))
		defer os.Remove(remarks.Path(journal))
		text := rapid.String().Draw(t, "text")
		kept, err := open(t, journal).Add(noon, rapid.String().Draw(t, "by"), text)
		if strings.TrimSpace(text) == "" {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		require.Equal(t, strings.ToValidUTF8(kept.Text, "\ufffd"), open(t, journal).Standing()[0].Text)
	})
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("{\"remarks\":1}\n{\"n\":1,\"t\":\"2026-06-14T12:00:00Z\",\"text\":\"good\"}\n"))
	f.Add([]byte("{\"remarks\":1}\n{\"n\":1,\"void\":1}\n{"))
	f.Fuzz(func(t *testing.T, data []byte) {
		written, whole, err := remarks.Parse(data)
		if err != nil {
			require.Regexp(t, `^[0-9]+: `, err.Error())
			return
		}
		again, _, err := remarks.Parse(data[:whole])
		require.NoError(t, err)
		require.Equal(t, written, again, "what is unfinished counts for nothing")
		for i, remark := range written {
			require.Equal(t, i+1, remark.N)
		}
	})
}
