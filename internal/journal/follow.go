package journal

import (
	"fmt"
	"io"
	"os"

	"example.com/legclock/internal/flight"
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
	if f.parser.contents.Header.Version == 0 {
		return nil, f.parser.damage("no header yet: not a journal, or one that is just being created")
	}
	return f, nil
}

// Contents is what has been read so far.
func (f *Follower) Contents() Contents { return f.parser.contents }

// Next returns the entries that have been completed since the last call. A line without its end is still being written, and waits. On
// damage the error is a *Damage.
func (f *Follower) Next() ([]flight.Event, error) {
	file, err := os.Open(f.path)
	if err != nil {
		return nil, fmt.Errorf("following journal: %w", err)
	}
	defer file.Close()
	if _, err := file.Seek(f.parser.contents.Size, io.SeekStart); err != nil {
		return nil, fmt.Errorf("following journal: %w", err)
	}
	data, err := io.ReadAll(file)
	if err != nil {
		return nil, fmt.Errorf("following journal: %w", err)
	}
	known := len(f.parser.contents.Events)
	_, err = f.parser.lines(data)
	return f.parser.contents.Events[known:], err
}
