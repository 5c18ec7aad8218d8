package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// ErrClosed occurs when a Writer is used after Close.
var ErrClosed = errors.New("the journal is no longer open for writing")

// Writer appends to a journal. It belongs to one goroutine.
type Writer struct {
	disk disk
	path string
	wall func() time.Time

	text []byte // the whole journal as it is to stand in the file
	sum  uint32 // of its last line
	n    int    // the last entry's number

	file    file // nil while there is none that can be written
	stored  int  // bytes of text that are on disk
	entries int  // how many entries those hold
	touched time.Time
	closed  bool

	trouble error  // why not all is on disk
	left    error  // why the file that was written is not to be touched any more: a new one has to be made
	news    string // not said yet
	moved   string // likewise
	caution string // of what this file system can't do
}

// Storage is how much of a journal is on disk.
type Storage struct {
	Path     string
	Unstored int    // entries that are in memory alone
	Trouble  error  // what stands in the way; nil when all is on disk
	News     string // what came about since it was last asked; may be empty
	Moved    string // news too: where the flight is recorded now, and why
}

// Create starts a journal for a plan, with the events that it begins with, and locks it. It never overwrites a file. The wall source gives
// the time at which each further entry is recorded; header needs Mode and, for practice, Seed; the events need all that Append would give them.
func Create(path string, header Header, p *plan.Plan, wall func() time.Time, first ...flight.Event) (*Writer, error) {
	return createOn(systemDisk{}, path, header, p, wall, first...)
}

// Save writes a whole journal, of events that have happened: all of it or nothing. It never overwrites a file.
func Save(path string, header Header, p *plan.Plan, events []flight.Event, wall func() time.Time) error {
	w, err := prepare(systemDisk{}, path, header, p, wall, events)
	if err == nil {
		err = w.begin(path)
	}
	if err != nil {
		return fmt.Errorf("creating journal: %w", intake.Named(err))
	}
	return w.Close()
}

func createOn(disk disk, path string, header Header, p *plan.Plan, wall func() time.Time, first ...flight.Event) (*Writer, error) {
	w, err := prepare(disk, path, header, p, wall, first)
	if err != nil {
		return nil, err
	}
	if err := w.begin(path); err != nil {
		w.drop()
		return nil, fmt.Errorf("creating journal: %w", intake.Named(err))
	}
	return w, nil
}

// prepare is a journal of which nothing is on disk yet.
func prepare(disk disk, path string, header Header, p *plan.Plan, wall func() time.Time, events []flight.Event) (*Writer, error) {
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
	w := &Writer{disk: disk, path: path, wall: wall}
	w.add(line)
	for _, event := range events {
		if err := checkEvent(&event, w.n+1); err != nil {
			return nil, err
		}
		line, err := encode(event)
		if err != nil {
			return nil, err
		}
		w.n = event.N
		w.add(line)
	}
	return w, nil
}

// Resume opens a journal to go on with it and locks it. What is damaged in it is in the contents; where its header is, the plan given, if
// any, is in its place. The notice, if not empty, says what had to be mended at its end.
func Resume(path string, instead *plan.Plan, wall func() time.Time) (w *Writer, contents Contents, notice string, err error) {
	return resumeOn(systemDisk{}, path, instead, wall)
}

func resumeOn(disk disk, path string, instead *plan.Plan, wall func() time.Time) (w *Writer, contents Contents, notice string, err error) {
	w = &Writer{disk: disk, path: path, wall: wall}
	if w.file, err = disk.open(path); err == nil {
		err = w.take()
	}
	if err != nil {
		w.drop()
		return nil, contents, "", notOpened(path, err)
	}
	var text bytes.Buffer
	p := &parser{name: path}
	err = p.read(io.TeeReader(w.file, &text))
	contents = p.contents
	if err != nil && instead != nil && contents.Header.Version != 0 {
		contents.Header.Plan, err = instead, nil
	}
	if err == nil {
		w.text, w.sum, w.n = text.Bytes()[:contents.Size], p.sum, len(contents.Events)
		w.stored, w.entries = len(w.text), w.n
		notice, err = w.mend(&contents)
	}
	if err != nil {
		w.drop()
		return nil, contents, "", err
	}
	w.remember()
	return w, contents, notice, nil
}

// mend makes the file end with a whole line.
func (w *Writer) mend(contents *Contents) (notice string, err error) {
	switch {
	case contents.Torn != nil:
		if err := w.file.Truncate(int64(w.stored)); err != nil {
			return "", fmt.Errorf("cutting off the journal's unfinished line: %w", err)
		}
		if err := w.sync(); err != nil {
			return "", err
		}
		notice = fmt.Sprintf("%s: the last line was never finished and has been cut off: %q", intake.Quote(w.path), short(contents.Torn))
		contents.Torn = nil
	case contents.endless:
		w.text = append(w.text, '\n')
		if err := w.write(); err != nil {
			return "", err
		}
		notice = intake.Quote(w.path) + ": the last line had no line end; it is whole and was kept"
		contents.endless = false
		contents.Size = int64(w.stored)
	}
	return notice, nil
}

// RemoveEmpty removes a journal of no bytes, which a program leaves that was ended between making the file and writing its first line. It
// reports whether it did.
func RemoveEmpty(path string) bool {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() > 0 {
		return false
	}
	w := &Writer{disk: systemDisk{}, path: path}
	if w.file, err = w.disk.open(path); err != nil {
		return false
	}
	defer w.drop()
	if _, err := w.file.lock(); err != nil {
		return false // somebody is about to write it
	}
	if info, err := w.file.Stat(); err != nil || info.Size() > 0 {
		return false
	}
	removeHolder(path)
	return os.Remove(path) == nil
}

// Append takes an event: it gives it its number and, where none is set, the time of recording, writes it in one piece and syncs it. An
// event that carries a number must carry the next one. The error is of an event that can't be part of a journal. Whether it is on disk is
// for Storage to say.
func (w *Writer) Append(event flight.Event) (flight.Event, error) {
	if w.closed {
		return event, ErrClosed
	}
	if event.N == 0 {
		event.N = w.n + 1
	}
	if event.Rec.IsZero() {
		event.Rec = w.wall()
	}
	if err := checkEvent(&event, w.n+1); err != nil {
		return event, fmt.Errorf("recording: %w", err)
	}
	line, err := encode(event)
	if err != nil {
		return event, fmt.Errorf("recording entry %d: %w", event.N, err)
	}
	w.n = event.N
	w.add(line)
	w.Store()
	return event, nil
}

// add seals a line and puts it at the end of the text.
func (w *Writer) add(line []byte) {
	line, w.sum = seal(line, w.sum)
	w.text = append(append(w.text, line...), '\n')
}

// Store looks whether the file is still the one that was written, and puts on disk what is not there yet.
func (w *Writer) Store() {
	if w.closed {
		return
	}
	before := w.n - w.entries
	if w.trouble == nil {
		before = 0
	}
	if w.trouble = w.save(); w.trouble == nil && before > 0 && w.moved == "" {
		w.news = "all is on disk again: " + say.Counted(before, "kept entry", "kept entries")
	}
}

// Storage is how things stand; what is new is said once.
func (w *Writer) Storage() Storage {
	s := Storage{Path: w.path, Unstored: w.n - w.entries, Trouble: w.trouble, News: w.news, Moved: w.moved}
	w.news, w.moved = "", ""
	return s
}

// Caution says what this journal's file system can't do; empty when it can do all that is needed.
func (w *Writer) Caution() string { return w.caution }

// Path is the file's name: another one from when the first was lost.
func (w *Writer) Path() string { return w.path }

// save brings the text to disk, into a new file where the old one has been lost.
func (w *Writer) save() error {
	if w.file != nil && w.left == nil {
		if err := w.inspect(); err != nil {
			return err
		}
	}
	if w.file == nil && w.left == nil {
		if err := w.reopen(); err != nil {
			return err
		}
	}
	if w.left == nil && w.stored < len(w.text) {
		if err := w.write(); err != nil {
			return err
		}
		if err := w.inspect(); err != nil {
			return err
		}
	}
	if w.left != nil {
		return w.writeAnew(filepath.Dir(w.path))
	}
	return nil
}

// write puts what is not on disk at the end of the file. After an error the file is closed: what it holds is known only when it is opened
// again, and what a failed sync left in memory may never reach the disk.
func (w *Writer) write() error {
	_, err := w.file.append(w.text[w.stored:], int64(w.stored))
	if err == nil {
		err = w.sync()
	}
	if err != nil {
		_ = w.file.Truncate(int64(w.stored))
		w.drop()
		return fmt.Errorf("writing journal: %w", intake.Named(err))
	}
	w.stored, w.entries = len(w.text), w.n
	w.remember()
	return nil
}

func (w *Writer) sync() error {
	err := w.file.Sync()
	if err != nil && unsyncable(err) {
		w.caution = "its folder can't be synced to the disk: the last entries may be lost if the machine stops"
		return nil
	}
	return err
}

// remember keeps the time at which the file was last changed, by this process.
func (w *Writer) remember() {
	if info, err := w.file.Stat(); err == nil {
		w.touched = info.ModTime()
	}
}

// inspect looks whether the path still is the file that was written. If not, left says why.
func (w *Writer) inspect() error {
	there, err := w.disk.stat(w.path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		w.drop()
		return fmt.Errorf("looking for the journal: %w", intake.Named(err))
	}
	ours, failed := w.file.Stat()
	if failed != nil {
		w.drop()
		return fmt.Errorf("looking at the journal: %w", intake.Named(failed))
	}
	switch {
	case err != nil:
		w.leave("was deleted or renamed")
	case !os.SameFile(there, ours):
		w.leave("was replaced by another file")
	case there.Size() != int64(w.stored):
		w.leave("was changed by another program")
	case !there.ModTime().Equal(w.touched):
		return w.compare()
	}
	return nil
}

// compare reads the file again after something touched it.
func (w *Writer) compare() error {
	again, err := w.disk.open(w.path) // a second handle: the lock stays with the first
	if errors.Is(err, errLocked) {
		w.remember()
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading the journal again: %w", intake.Named(err))
	}
	defer again.Close()
	data, err := intake.All(again, int64(len(w.text))+1)
	switch {
	case err != nil:
		return fmt.Errorf("reading the journal again: %w", err)
	case !bytes.Equal(data, w.text[:w.stored]):
		w.leave("was changed by another program")
	default:
		w.remember()
	}
	return nil
}

// leave gives the file up.
func (w *Writer) leave(why string) {
	w.left = fmt.Errorf("%s %s", intake.Quote(w.path), why)
	w.drop()
}

// drop closes the file.
func (w *Writer) drop() {
	if w.file != nil {
		_ = w.file.Close()
		w.file = nil
	}
}

// take locks the file that is open.
func (w *Writer) take() error {
	caution, err := w.file.lock()
	switch {
	case errors.Is(err, errLocked):
		return &Locked{Path: w.path, Holder: readHolder(w.path)}
	case err != nil:
		return err
	}
	w.caution = caution
	writeHolder(w.path, w.wall())
	return nil
}

// reopen goes on with the file after an error of the disk: it must hold what was on disk, and at most a part of what followed.
func (w *Writer) reopen() error {
	opened, err := w.disk.open(w.path)
	if errors.Is(err, fs.ErrNotExist) {
		w.leave("was deleted or renamed")
		return nil
	}
	if err != nil {
		return fmt.Errorf("opening the journal again: %w", intake.Named(err))
	}
	w.file = opened
	if err := w.take(); err != nil {
		w.drop()
		return err
	}
	data, err := intake.All(w.file, int64(len(w.text))+1)
	var large *intake.TooLarge
	switch {
	case errors.As(err, &large) || err == nil && (len(data) < w.stored || !bytes.HasPrefix(w.text, data)):
		w.leave("was changed by another program")
		return nil
	case err == nil:
		err = w.file.Truncate(int64(w.stored))
	}
	if err != nil {
		w.drop()
		return fmt.Errorf("opening the journal again: %w", intake.Named(err))
	}
	w.remember()
	return nil
}

// begin makes a file and writes all of the text into it. When it returns, text and name are on disk.
func (w *Writer) begin(path string) error {
	made, err := w.disk.create(path)
	if err != nil {
		if errors.Is(err, errLocked) {
			err = &Locked{Path: path, Holder: readHolder(path)}
		}
		return err
	}
	w.file, w.path, w.stored, w.entries = made, path, 0, 0
	if err := w.take(); err != nil {
		return err
	}
	if err := w.write(); err != nil { // nothing is left of a file that could not be written
		_ = w.disk.remove(path)
		removeHolder(path)
		return err
	}
	w.disk.keepName(path) // after the file, with which most file systems have written its folder: that way it costs little
	return nil
}

// writeAnew puts the whole journal into a new file of a folder.
func (w *Writer) writeAnew(folder string) error {
	const most = 100
	lost, stored, entries := w.path, w.stored, w.entries
	base := strings.TrimSuffix(filepath.Base(lost), filepath.Ext(lost))
	for n := 2; n <= most; n++ {
		path := filepath.Join(folder, fmt.Sprintf("%s-%d%s", base, n, filepath.Ext(lost)))
		err := w.begin(path)
		switch {
		case err == nil:
			removeHolder(lost)
			w.moved = fmt.Sprintf("%v: the whole flight is now in %s", w.left, intake.Quote(path))
			w.left = nil
			return nil
		case errors.Is(err, fs.ErrExist):
			continue
		}
		w.drop()
		w.path, w.stored, w.entries = lost, stored, entries
		return fmt.Errorf("%w; writing it again: %w", w.left, err)
	}
	return fmt.Errorf("%w; there is no free name beside it", w.left)
}

// Lost is what Close could put on no disk: the lines, as they would stand at the end of the file.
type Lost struct {
	Path  string
	Lines []string
	Err   error
}

func (l *Lost) Error() string {
	return fmt.Sprintf("not on disk: %s: %v", say.Counted(len(l.Lines), "entry", "entries"), l.Err)
}

func (l *Lost) Unwrap() error { return l.Err }

// Close stores what is not on disk yet, in the folder for temporary files if need be, releases the lock and closes the file. Where nothing
// could be stored the error is Lost.
func (w *Writer) Close() error {
	if w.closed {
		return nil
	}
	w.Store()
	if w.trouble != nil {
		w.left = fmt.Errorf("%w (%s)", w.trouble, intake.Quote(w.path))
		w.drop()
		if w.writeAnew(os.TempDir()) == nil {
			w.trouble = nil
		}
	}
	w.closed = true
	removeHolder(w.path)
	var err error
	if w.file != nil {
		err = w.file.Close()
		w.file = nil
	}
	if w.trouble != nil {
		lines := strings.Split(strings.TrimSuffix(string(w.text[w.stored:]), "\n"), "\n")
		return &Lost{Path: w.path, Lines: lines, Err: w.trouble}
	}
	return err
}
