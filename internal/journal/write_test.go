package journal_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/journal"
)

// pointsIn are the points of the entries of a journal file, which must be whole.
func pointsIn(t require.TestingT, path string) []string {
	contents, err := journal.Load(path)
	require.NoError(t, err)
	require.Empty(t, contents.Damages)
	require.Nil(t, contents.Torn)
	return points(contents.Events)
}

// What an editor, a person or a program that keeps folders alike does to a file that is being written.
func TestAFileThatIsLostIsWrittenAnewBesideIt(t *testing.T) {
	for name, c := range map[string]struct {
		harm func(t *testing.T, path string)
		says string
	}{
		"deleted": {func(t *testing.T, path string) { require.NoError(t, os.Remove(path)) }, "was deleted or renamed"},
		"renamed": {func(t *testing.T, path string) { require.NoError(t, os.Rename(path, path+"~")) }, "was deleted or renamed"},
		"with its folder": {func(t *testing.T, path string) {
			require.NoError(t, os.Rename(filepath.Dir(path), filepath.Dir(path)+" gone"))
		}, "was deleted or renamed"},
		"truncated": {func(t *testing.T, path string) { require.NoError(t, os.Truncate(path, 0)) }, "was changed by another program"},
		"cut":       {func(t *testing.T, path string) { require.NoError(t, os.Truncate(path, 300)) }, "was changed by another program"},
		"longer":    {func(t *testing.T, path string) { extend(t, path, "more\n") }, "was changed by another program"},
		"replaced": {func(t *testing.T, path string) {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path+".new", text, 0o644))
			require.NoError(t, os.Rename(path+".new", path))
		}, "was replaced by another file"},
		"rewritten in place, of the same length": {func(t *testing.T, path string) {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), "GRN", "GRM", 1)), 0o644))
			require.NoError(t, os.Chtimes(path, time.Time{}, time.Now().Add(time.Second)))
		}, "was changed by another program"},
	} {
		for _, looked := range []bool{true, false} { // the next entry finds it, or a look before
			t.Run(name, func(t *testing.T) {
				path := filepath.Join(t.TempDir(), "logs", "flight.jsonl")
				w, err := journal.Create(path, journal.Header{Mode: "live"}, somePlan(), wall)
				require.NoError(t, err)
				defer w.Close()
				add(t, w, passing("KVN"), passing("GRN"))
				require.Empty(t, w.Storage().Moved)
				c.harm(t, path)
				if looked {
					w.Store()
					require.Contains(t, w.Storage().Moved, c.says)
				}
				add(t, w, passing("DUN"))
				now := w.Storage()
				require.NoError(t, now.Trouble)
				require.Zero(t, now.Unstored)
				anew := filepath.Join(filepath.Dir(path), "flight-2.jsonl")
				require.Equal(t, anew, now.Path)
				if !looked {
					require.Equal(t, path+" "+c.says+": the whole flight is now in "+anew, now.Moved)
				}
				add(t, w, passing("OBN"))
				require.Empty(t, w.Storage().Moved, "it is said once")
				require.Equal(t, []string{"KVN", "GRN", "DUN", "OBN"}, pointsIn(t, anew))
				_, _, _, err = journal.Resume(anew, nil, wall)
				var locked *journal.Locked
				require.ErrorAs(t, err, &locked, "the new file is taken as the first was")
			})
		}
	}
}

func TestAFileThatIsOnlyTouchedIsGoneOnWith(t *testing.T) {
	w, path := create(t)
	add(t, w, passing("KVN"))
	require.NoError(t, os.Chtimes(path, time.Time{}, time.Now().Add(time.Hour)))
	add(t, w, passing("GRN"))
	require.Equal(t, path, w.Path())
	require.Equal(t, []string{"KVN", "GRN"}, pointsIn(t, path))
}

// faultsOf fails the operations that are named, with the error of a full disk.
func faultsOf(operations ...string) *journal.Faults {
	f := &journal.Faults{}
	f.Fault = func(operation string) error {
		for _, bad := range operations {
			if bad == operation {
				return syscall.ENOSPC
			}
		}
		return nil
	}
	return f
}

// A file whose name is not on disk is lost with the power, whatever is in it.
func TestANewFileIsSyncedAndThenItsName(t *testing.T) {
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	var done []string
	faults := &journal.Faults{Fault: func(operation string) error {
		done = append(done, operation)
		return nil
	}}
	made := []string{"create", "lock", "write", "sync", "name"}
	w, err := journal.CreateOn(faults, path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	defer w.Close()
	require.Equal(t, made, done)
	require.NoError(t, os.Remove(path))
	w.Store()
	require.NotEmpty(t, w.Storage().Moved)
	require.Equal(t, made, done[len(done)-len(made):], "the one that is made in its place too")
}

func TestADiskErrorThatPassesEndsByItself(t *testing.T) {
	for _, bad := range [][]string{{"write"}, {"sync"}, {"stat", "write"}, {"write", "truncate"}, {"sync", "truncate"}, {"write", "open"}, {"sync", "open", "truncate"}} {
		for _, short := range []bool{false, true} {
			t.Run(strings.Join(bad, " and "), func(t *testing.T) {
				faults := faultsOf()
				path := filepath.Join(t.TempDir(), "flight.jsonl")
				w, err := journal.CreateOn(faults, path, journal.Header{Mode: "live"}, somePlan(), wall)
				require.NoError(t, err)
				add(t, w, passing("KVN"))
				faults.Fault, faults.Short = faultsOf(bad...).Fault, short
				add(t, w, passing("GRN"), passing("DUN")) // none is refused
				now := w.Storage()
				require.ErrorIs(t, now.Trouble, syscall.ENOSPC)
				require.Equal(t, 2, now.Unstored)
				w.Store()
				require.Equal(t, 2, w.Storage().Unstored)
				faults.Fault = faultsOf().Fault
				w.Store()
				now = w.Storage()
				require.NoError(t, now.Trouble)
				require.Zero(t, now.Unstored)
				require.Equal(t, "all is on disk again: 2 kept entries", now.News)
				require.Equal(t, path, w.Path())
				add(t, w, passing("OBN"))
				require.NoError(t, w.Close())
				require.Equal(t, []string{"KVN", "GRN", "DUN", "OBN"}, pointsIn(t, path))
			})
		}
	}
}

// A flight that ends while its disk is full goes where there is room.
func TestWhatCantBeStoredAtTheEndGoesElsewhere(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	faults := faultsOf()
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	w, err := journal.CreateOn(faults, path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	full := true
	faults.Fault = func(operation string) error {
		if full && operation == "write" {
			return syscall.ENOSPC
		}
		full = full && operation != "create" // the other folder's disk
		return nil
	}
	add(t, w, passing("KVN"))
	require.Equal(t, 1, w.Storage().Unstored)
	require.NoError(t, w.Close())
	require.Contains(t, w.Storage().Moved, "no space left on device")
	require.Equal(t, []string{"KVN"}, pointsIn(t, filepath.Join(os.Getenv("TMPDIR"), "flight-2.jsonl")))
}

// A flight that ends while no disk takes anything hands back the lines that make its file whole.
func TestWhatNoDiskTakesIsHandedBack(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	faults := faultsOf()
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	w, err := journal.CreateOn(faults, path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	add(t, w, passing("KVN"))
	faults.Fault = func(operation string) error {
		if operation == "write" {
			return syscall.ENOSPC
		}
		return nil
	}
	add(t, w, passing("GRN"))
	add(t, w, passing("OBN"))
	var lost *journal.Lost
	require.ErrorAs(t, w.Close(), &lost)
	require.ErrorIs(t, lost, syscall.ENOSPC)
	require.Equal(t, path, lost.Path)
	require.Len(t, lost.Lines, 2)
	require.Equal(t, []string{"KVN"}, pointsIn(t, path))

	text, err := os.ReadFile(path)
	require.NoError(t, err)
	whole := string(text) + strings.Join(lost.Lines, "\n") + "\n"
	require.NoError(t, os.WriteFile(path, []byte(whole), 0o644))
	require.Equal(t, []string{"KVN", "GRN", "OBN"}, pointsIn(t, path), "without a damage: the checks go on")
}

func TestCreateLeavesNothingOfAFileThatCouldNotBeWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	_, err := journal.CreateOn(faultsOf("write"), path, journal.Header{Mode: "live"}, somePlan(), wall)
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NoFileExists(t, path)
	require.NoFileExists(t, path+".holder")
}

func TestAFolderWithoutLocksIsACautionAndNoRefusal(t *testing.T) {
	w, err := journal.CreateOn(faultsOf("lock"), filepath.Join(t.TempDir(), "flight.jsonl"), journal.Header{Mode: "live"}, somePlan(), wall)
	require.NoError(t, err)
	require.Equal(t, "no locks here", w.Caution())
	require.NoError(t, w.Close())
}

func TestEmptyFilesAreRemovedUnlessSomebodyIsAboutToWriteThem(t *testing.T) {
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o644))
	require.True(t, journal.RemoveEmpty(path))
	require.NoFileExists(t, path)
	require.False(t, journal.RemoveEmpty(path))
	w, path := create(t)
	require.False(t, journal.RemoveEmpty(path))
	require.NoError(t, w.Close())
	require.False(t, journal.RemoveEmpty(path))
	require.FileExists(t, path)
}

// Whatever fails, and whatever is done to the file, in whatever order: an entry that is said to be stored is in the file that the writer
// names, and when all is well again all entries are there, in order and none twice.
func TestNoFaultLosesAnEntry(t *testing.T) {
	operations := []string{"create", "open", "stat", "write", "sync", "truncate"}
	rapid.Check(t, func(t *rapid.T) {
		folder, err := os.MkdirTemp("", "journal")
		require.NoError(t, err)
		defer os.RemoveAll(folder)
		faults := faultsOf()
		w, err := journal.CreateOn(faults, filepath.Join(folder, "flight.jsonl"), journal.Header{Mode: "live"}, somePlan(), wall)
		require.NoError(t, err)
		var all []string
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"entry", "entry", "entry", "fault", "well", "look", "harm", "resume"}).Draw(t, "step") {
			case "entry":
				name := rapid.StringMatching(`[A-Z]{3}`).Draw(t, "point")
				_, err := w.Append(passing(name))
				require.NoError(t, err, "no entry is refused")
				all = append(all, name)
			case "fault":
				faults.Fault = faultsOf(rapid.SliceOfN(rapid.SampledFrom(operations), 1, 3).Draw(t, "operations")...).Fault
				faults.Short = rapid.Bool().Draw(t, "short")
			case "well":
				faults.Fault = faultsOf().Fault
			case "look":
				w.Store()
			case "harm":
				switch rapid.IntRange(0, 2).Draw(t, "harm") {
				case 0:
					_ = os.Remove(w.Path())
				case 1:
					_ = os.Truncate(w.Path(), int64(rapid.IntRange(0, 2000).Draw(t, "to")))
				case 2:
					_ = os.WriteFile(w.Path(), []byte("rubbish\n"), 0o644)
				}
				w.Store()
			case "resume":
				faults.Fault = faultsOf().Fault
				w.Store()
				path := w.Path()
				require.NoError(t, w.Close())
				w, _, _, err = journal.ResumeOn(faults, path, wall)
				require.NoError(t, err)
			}
			if now := w.Storage(); now.Trouble == nil {
				require.Equal(t, all, pointsIn(t, now.Path))
				info, err := os.Stat(now.Path)
				require.NoError(t, err)
				require.Equal(t, info.Size(), faults.Synced(now.Path), "what is said to be stored outlives the loss of power")
			}
		}
		faults.Fault = faultsOf().Fault
		w.Store()
		require.NoError(t, w.Storage().Trouble)
		require.NoError(t, w.Close())
		require.Equal(t, all, pointsIn(t, w.Path()))
	})
}
