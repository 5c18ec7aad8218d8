package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
)

// ErrClosed occurs when a Writer is used after Close, or after a failure that left the file in doubt.
var ErrClosed = errors.New("the journal is no longer open for writing")

// Writer appends to a journal. It belongs to one goroutine.
type Writer struct {
	file *os.File
	path string
	wall func() time.Time
	n    int   // the last entry's number
	size int64 // where the next line begins
}

// Create starts a journal for a plan and locks it. It never overwrites a file. The wall source gives the time at which each
// entry is recorded; header needs Mode and, for practice, Seed.
func Create(path string, header Header, p *plan.Plan, wall func() time.Time) (*Writer, error) {
	header.Version, header.Plan = Version, p
	if header.Opened.IsZero() {
		header.Opened = wall()
	}
	planJSON, err := encode(p)
	if err != nil {
		return nil, fmt.Errorf("writing the plan into the journal: %w", err)
	}
	header.PlanSHA256 = checksum(planJSON)
	line, err := encode(header)
	if err != nil {
		return nil, fmt.Errorf("writing the journal's header: %w", err)
	}
	file, err := openNew(path)
	if err != nil {
		return nil, fmt.Errorf("creating journal: %w", err)
	}
	w := &Writer{file: file, path: path, wall: wall}
	if err := w.lock(); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	if err := w.write(line); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	syncFolder(filepath.Dir(path))
	return w, nil
}

// Resume opens a journal to go on with it and locks it. The notice, if not empty, says what had to be mended at its end. On
// damage it returns the *Damage and what could be read, and no Writer.
func Resume(path string, wall func() time.Time) (w *Writer, contents Contents, notice string, err error) {
	file, err := openOld(path)
	if err != nil {
		return nil, contents, "", fmt.Errorf("opening journal: %w", err)
	}
	w = &Writer{file: file, path: path, wall: wall}
	if err := w.lock(); err != nil {
		return nil, contents, "", errors.Join(err, file.Close())
	}
	contents, err = Read(file, path)
	if err == nil {
		w.n, w.size = len(contents.Events), contents.Size
		notice, err = w.mend(&contents)
	}
	if err != nil {
		return nil, contents, "", errors.Join(err, w.Close())
	}
	return w, contents, notice, nil
}

// mend makes the file end with a whole line.
func (w *Writer) mend(contents *Contents) (notice string, err error) {
	switch {
	case contents.Torn != nil:
		if err := w.cut(); err != nil {
			return "", err
		}
		notice = fmt.Sprintf("%s: the last line was never finished and has been cut off: %q", w.path, short(contents.Torn))
		contents.Torn = nil
	case contents.endless:
		if err := w.write(nil); err != nil {
			return "", err
		}
		notice = w.path + ": the last line had no line end; it is whole and was kept"
		contents.endless = false
		contents.Size = w.size
	}
	return notice, nil
}

// Append records an event: it gives it its number and, where none is set, the time of recording, writes it in one piece and
// returns it once it is on disk. An event that carries a number must carry the next one. After an error nothing was recorded.
func (w *Writer) Append(event flight.Event) (flight.Event, error) {
	if w.file == nil {
		return event, ErrClosed
	}
	if event.N == 0 {
		event.N = w.n + 1
	}
	if event.Rec.IsZero() {
		event.Rec = w.wall()
	}
	if err := checkEvent(event, w.n+1); err != nil {
		return event, fmt.Errorf("recording: %w", err)
	}
	line, err := encode(event)
	if err != nil {
		return event, fmt.Errorf("recording entry %d: %w", event.N, err)
	}
	if err := w.write(line); err != nil {
		return event, err
	}
	w.n = event.N
	return event, nil
}

// Path is the file's name.
func (w *Writer) Path() string { return w.path }

// Close releases the lock and closes the file. Everything is already on disk.
func (w *Writer) Close() error {
	if w.file == nil {
		return nil
	}
	file := w.file
	w.file = nil
	removeHolder(w.path)
	return file.Close()
}

// write puts a line at the end of the file, all of it or nothing.
func (w *Writer) write(line []byte) error {
	_, err := appendTo(w.file, append(line[:len(line):len(line)], '\n'), w.size)
	if err == nil {
		err = w.file.Sync()
	}
	if err != nil {
		err = fmt.Errorf("writing journal: %w", err)
		if cutting := w.cut(); cutting != nil {
			return errors.Join(err, cutting, w.Close())
		}
		return err
	}
	w.size += int64(len(line)) + 1
	return nil
}

// cut takes off what stands behind the last whole line.
func (w *Writer) cut() error {
	if err := w.file.Truncate(w.size); err != nil {
		return fmt.Errorf("cutting off the journal's unfinished line: %w", err)
	}
	return w.file.Sync()
}

// encode writes a value as one line of JSON, without its end.
func encode(value any) ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
