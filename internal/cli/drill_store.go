package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/adrg/xdg"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/intake"
)

// attempts is the file of everything that was answered: a line of JSON for each, behind a line with the version. An answer is one
// write at the end of the file, synced before it is spoken of, so that nothing that stands there can be lost and two drills at once
// don't overwrite each other.
type attempts struct{ path string }

// mostAttempts is how large the file may be, in bytes: some 100,000 answers.
const mostAttempts = 16 << 20

// attemptsVersion is the version of the file.
const attemptsVersion = 1

// newAttempts is the file in the data folder of the XDG Base Directory Specification.
func newAttempts(env Env) (attempts, error) {
	folder, err := ownFolder(env, "XDG_DATA_HOME", xdg.DataHome, "XDG_DATA_HOME")
	return attempts{filepath.Join(folder, "drill.jsonl")}, err
}

// Load folds the file. A file that is not there is one without attempts; a last line that was torn off is passed over.
func (a attempts) Load() (drill.Progress, error) {
	var progress drill.Progress
	content, err := intake.File(a.path, mostAttempts)
	if errors.Is(err, fs.ErrNotExist) {
		return progress, nil
	}
	if err != nil {
		return progress, unreadable(a.path, err)
	}
	content = content[:bytes.LastIndexByte(content, '\n')+1]
	for i, line := range bytes.Split(bytes.TrimSuffix(content, []byte{'\n'}), []byte{'\n'}) {
		if len(content) == 0 {
			break
		}
		if i == 0 {
			err = checkAttemptsVersion(line)
		} else {
			err = addAttempt(&progress, line)
		}
		if err != nil {
			return progress, usage("move the file away to start afresh, or correct the line", "%s:%d: %v", a.path, i+1, err)
		}
	}
	return progress, nil
}

func checkAttemptsVersion(line []byte) error {
	var header struct {
		Drill int `json:"drill"`
	}
	if err := strictly(line, &header); err != nil {
		return err
	}
	if header.Drill != attemptsVersion {
		return fmt.Errorf("version %d of the drill's progress is not known, only %d", header.Drill, attemptsVersion)
	}
	return nil
}

func addAttempt(progress *drill.Progress, line []byte) error {
	var attempt drill.Attempt
	if err := strictly(line, &attempt); err != nil {
		return err
	}
	if !slices.Contains(drill.Topics(), attempt.Topic) {
		return fmt.Errorf("there is no topic %q", attempt.Topic)
	}
	if !slices.Contains(drill.Levels(), attempt.Level) {
		return fmt.Errorf("there is no level %d", attempt.Level)
	}
	progress.Add(attempt)
	return nil
}

// strictly reads one JSON value and refuses keys that are not known.
func strictly(line []byte, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(line))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		return fmt.Errorf("%q is not a line of this file: %w", line, err)
	}
	return nil
}

// Record appends an attempt and syncs.
func (a attempts) Record(attempt drill.Attempt) (err error) {
	if err := os.MkdirAll(filepath.Dir(a.path), 0o755); err != nil {
		return unreadable(filepath.Dir(a.path), err)
	}
	file, err := os.OpenFile(a.path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return unreadable(a.path, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if err := lockAlone(file); err != nil { // half a line of another drill's would be taken for a torn one
		return unreadable(a.path, err)
	}
	size, err := wholeLines(file)
	if err != nil {
		return unreadable(a.path, err)
	}
	line, err := json.Marshal(attempt)
	if err != nil {
		return err
	}
	if size == 0 {
		line = append(fmt.Appendf(nil, "{\"drill\":%d}\n", attemptsVersion), line...)
	}
	if _, err := file.Write(append(line, '\n')); err != nil {
		return unreadable(a.path, err)
	}
	return file.Sync()
}

// wholeLines cuts off a last line that was torn, and returns how long the file is then.
func wholeLines(file *os.File) (size int64, err error) {
	content, err := intake.All(file, mostAttempts)
	if err != nil {
		return 0, err
	}
	size = int64(bytes.LastIndexByte(content, '\n') + 1)
	if size < int64(len(content)) {
		err = file.Truncate(size)
	}
	return size, err
}
