package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"slices"

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
	known := len(f.parser.contents.Events)
	if known == 0 {
		f.parser.contents.Events = slices.Grow(f.parser.contents.Events, room(file)*9/8) // and for what will come, so that those there need not be copied for it
	}
	lines := intake.NewLines(io.LimitReader(file, MaxSize), MaxLine)
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

// Stream reads a journal as it comes through a pipe, from the program that follows the file at the other end. When that begins anew, because
// the connection or the writer broke down, what was read before is passed over.
type Stream struct {
	from   io.Reader
	parser parser
	header []byte // its line
	rest   []byte // of a line that has not ended
	again  int    // how many events have come again since the stream last began anew
	buffer []byte
}

// ReadStream begins to read a journal from a stream, and waits until its header has come; entries that came with it are in Contents. The
// name is used in errors.
func ReadStream(from io.Reader, name string) (*Stream, error) {
	s := &Stream{from: from, parser: parser{name: name}, buffer: make([]byte, 64<<10)}
	for s.header == nil {
		err := s.more()
		switch {
		case errors.Is(err, io.EOF) && s.header == nil:
			return nil, s.parser.damage("the stream ended before a header came: not a journal")
		case err != nil && !errors.Is(err, io.EOF):
			return nil, err
		}
	}
	return s, nil
}

// Contents is what has been read so far.
func (s *Stream) Contents() Contents { return s.parser.contents }

// Next waits for more entries and returns those that have come. At the end of the stream the error is io.EOF, on damage a *Damage.
func (s *Stream) Next() ([]flight.Event, error) {
	known := len(s.parser.contents.Events)
	for {
		err := s.more()
		if events := s.parser.contents.Events[known:]; len(events) > 0 || err != nil {
			return events, err
		}
	}
}

// more takes in what comes next.
func (s *Stream) more() error {
	n, failed := s.from.Read(s.buffer)
	s.rest = append(s.rest, s.buffer[:n]...)
	for {
		line, rest, ended := bytes.Cut(s.rest, []byte("\n"))
		if !ended {
			break
		}
		if err := s.line(line); err != nil {
			return err
		}
		s.rest = bytes.Clone(rest)
	}
	switch {
	case len(s.rest) > MaxLine:
		return s.parser.damage("a line of more than %d bytes: nothing in a journal is that long", MaxLine)
	case failed != nil && !errors.Is(failed, io.EOF):
		return fmt.Errorf("reading journal %s: %w", s.parser.name, failed)
	}
	return failed
}

func (s *Stream) line(line []byte) error {
	switch {
	case s.header != nil && bytes.HasSuffix(line, s.header): // also after a line that was broken off
		s.again = 0
		s.parser.broken = true
		return nil
	case s.again < len(s.parser.contents.Events):
		return s.repeated(line)
	}
	if err := s.parser.add(line, nil); err != nil {
		return err
	}
	if s.header == nil {
		if s.parser.contents.Header.Plan == nil {
			return s.parser.contents.Damages[0]
		}
		s.header = bytes.Clone(line)
		return nil
	}
	s.again = len(s.parser.contents.Events)
	return nil
}

// repeated passes over an event that came before, if it is the same. One of which only a stand-in came stays as it is.
func (s *Stream) repeated(line []byte) error {
	before := s.parser.contents.Events[s.again]
	if before.Act != flight.Damaged {
		var event flight.Event
		err := parseEvent(open(line, nil).body, &event)
		if err == nil && !reflect.DeepEqual(event, before) {
			err = fmt.Errorf("entry %d is not the one that came before: this is a different journal", s.again+1)
		}
		if err != nil {
			return s.parser.damage("%v", err)
		}
	}
	s.parser.sum, s.parser.broken = open(line, nil).sum, false
	s.again++
	return nil
}
