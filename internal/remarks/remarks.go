// Package remarks is an instructor's remarks on a flight, kept in a file of their own beside the journal, which they never touch.
//
// The file is named after the journal with ".remarks" added. It is JSON Lines in UTF-8: a first line {"remarks":1}, then one remark a line,
// numbered from 1: {"n":1,"t":flight time,"rec":machine's time,"by":who,"text":words}. A remark that is taken back is followed by
// {"n":2,"void":1,…}; nothing is rewritten. Only what is complete is read: a last line without its end is cut off by the next remark.
//
// Several people may write into one file: each remark is one append, and its number is only a name for taking it back.
package remarks

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/intake"
)

// mostBytes is how large a file of remarks may be.
const mostBytes = 8 << 20

// Version is the version of the file that this package writes and reads.
const Version = 1

// Remark is what somebody has to say about a moment of a flight.
type Remark struct {
	N    int       `json:"n"`
	T    time.Time `json:"t"`            // flight time of the moment
	Rec  time.Time `json:"rec"`          // when it was written, by the machine's clock
	By   string    `json:"by,omitempty"` // who
	Text string    `json:"text,omitempty"`
	Void int       `json:"void,omitempty"` // the remark that this one takes back
}

// Path is where the remarks on a journal are kept.
func Path(journal string) string { return journal + ".remarks" }

// File is the remarks on one journal. It belongs to one goroutine.
type File struct {
	path    string
	wall    func() time.Time
	written []Remark
	whole   int64 // bytes of complete lines
}

// Open reads the remarks on a journal; where there are none yet, the first one makes the file. The wall source gives the time of writing.
// The error names the line that can't be read.
func Open(journal string, wall func() time.Time) (*File, error) {
	f := &File{path: Path(journal), wall: wall}
	return f, f.read()
}

// Path is the file's name.
func (f *File) Path() string { return f.path }

// Standing are the remarks that were not taken back, by flight time.
func (f *File) Standing() []Remark {
	void := map[int]bool{}
	for _, remark := range f.written {
		if remark.Void != 0 && remark.Void < remark.N {
			void[remark.Void] = true
		}
	}
	standing := []Remark{}
	for _, remark := range f.written {
		if remark.Void == 0 && !void[remark.N] {
			standing = append(standing, remark)
		}
	}
	slices.SortStableFunc(standing, func(a, b Remark) int { return cmp.Or(a.T.Compare(b.T), cmp.Compare(a.N, b.N)) })
	return standing
}

// Add writes a remark about a moment. It is on disk when Add returns.
func (f *File) Add(at time.Time, by, text string) (Remark, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return Remark{}, errors.New("a remark needs words")
	}
	return f.append(Remark{T: at.UTC(), By: by, Text: text})
}

// TakeBack voids a remark.
func (f *File) TakeBack(n int) error {
	for _, remark := range f.Standing() {
		if remark.N == n {
			_, err := f.append(Remark{T: remark.T, By: remark.By, Void: n})
			return err
		}
	}
	return fmt.Errorf("there is no remark %d to take back", n)
}

func (f *File) append(remark Remark) (Remark, error) {
	if err := f.read(); err != nil { // others may have written
		return remark, err
	}
	remark.N, remark.Rec = len(f.written)+1, f.wall().UTC()
	var line bytes.Buffer
	if f.whole == 0 {
		fmt.Fprintf(&line, "{\"remarks\":%d}\n", Version)
	}
	encoder := json.NewEncoder(&line)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(remark); err != nil {
		return remark, fmt.Errorf("writing the remark: %w", err)
	}
	if err := f.write(line.Bytes()); err != nil {
		return remark, fmt.Errorf("writing the remark: %w", err)
	}
	f.written = append(f.written, remark)
	return remark, nil
}

// write puts lines behind the last complete one and syncs.
func (f *File) write(lines []byte) error {
	file, err := os.OpenFile(f.path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	if info, err := file.Stat(); err == nil && info.Size() > f.whole { // a line that was never finished
		if err := file.Truncate(f.whole); err != nil {
			return errors.Join(err, file.Close())
		}
	}
	if _, err := file.Write(lines); err != nil {
		return errors.Join(err, file.Close())
	}
	if err := file.Sync(); err != nil {
		return errors.Join(err, file.Close())
	}
	f.whole += int64(len(lines))
	return file.Close()
}

// read takes in the file as it is now.
func (f *File) read() error {
	data, err := intake.File(f.path, mostBytes)
	if errors.Is(err, fs.ErrNotExist) {
		f.written, f.whole = nil, 0
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading the remarks: %w", err)
	}
	f.written, f.whole, err = parse(data)
	if err != nil {
		return fmt.Errorf("reading the remarks: %s:%w", f.path, err)
	}
	return nil
}

// parse reads all complete lines. Its error begins with the line's number.
func parse(data []byte) (written []Remark, whole int64, err error) {
	for number := 1; ; number++ {
		line, after, ended := bytes.Cut(data, []byte("\n"))
		if !ended {
			return written, whole, nil
		}
		if number == 1 {
			err = parseHeader(line)
		} else {
			var remark Remark
			if err = json.Unmarshal(line, &remark); err == nil && (remark.Text == "") == (remark.Void == 0) {
				err = errors.New("a remark has either words or the number that it takes back")
			}
			remark.N = number - 1 // by its place, should two have written at the same moment
			written = append(written, remark)
		}
		if err != nil {
			return nil, 0, fmt.Errorf("%d: %w", number, err)
		}
		whole += int64(len(line)) + 1
		data = after
	}
}

func parseHeader(line []byte) error {
	var header struct {
		Version int `json:"remarks"`
	}
	if err := json.Unmarshal(line, &header); err != nil || header.Version == 0 {
		return fmt.Errorf("not a file of remarks: it must begin with {\"remarks\":%d}", Version)
	}
	if header.Version != Version {
		return fmt.Errorf("remarks of version %d: this program reads version %d", header.Version, Version)
	}
	return nil
}
