package journal

import (
	"errors"
	"fmt"
	"io"
	"os"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
)

// Follower reads a journal that another process is writing, as it grows. It holds no file open and no lock.
type Follower struct {
	path   string
	parser parser
}

// Follow begins to follow a journal; its header must have been written.
func Follow(path string) (*Follower, error) {
	f := &Follower{path: path, parser: parser{name: path}}
	if _, err := f.Next(); err != nil {
		return nil, err
	}
	switch {
	case f.parser.line == 0:
		return nil, f.parser.damage("no header yet: not a journal, or one that is just being created")
	case f.parser.contents.Header.Plan == nil:
		return nil, f.parser.contents.Damages[0]
	}
	return f, nil
}

// Contents is what has been read so far.
func (f *Follower) Contents() Contents { return f.parser.contents }

// Next returns the entries that have been completed since the last call. A line without its end is still being written, and waits. Damaged
// lines are in Contents.
func (f *Follower) Next() ([]flight.Event, error) {
	file, err := os.Open(f.path)
	if err != nil {
		return nil, fmt.Errorf("following journal: %w", err)
	}
	defer file.Close()
	if _, err := file.Seek(f.parser.contents.Size, io.SeekStart); err != nil {
		return nil, fmt.Errorf("following journal: %w", err)
	}
	lines := intake.NewLines(io.LimitReader(file, MaxSize), MaxLine)
	known := len(f.parser.contents.Events)
	for {
		line, length, ended, err := lines.Next()
		switch {
		case errors.Is(err, io.EOF) || err == nil && !ended:
			return f.parser.contents.Events[known:], nil
		case err != nil:
			return nil, fmt.Errorf("following journal: %w", err)
		}
		if err := f.parser.add(line, nil); err != nil {
			return nil, err
		}
		f.parser.contents.Size += length
		known = min(known, len(f.parser.contents.Events))
	}
}
