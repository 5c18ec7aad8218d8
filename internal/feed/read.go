package feed

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// What a recorded track may hold at most: 1,000,000 points are 11 days of one a second, and no more than one a second is kept.
const (
	maxFile   = 256 << 20 // bytes
	maxPoints = 1_000_000
)

var (
	errTooLarge      = fmt.Errorf("a file of more than %d MiB", maxFile>>20)
	errTooManyPoints = fmt.Errorf("more than %d points", maxPoints)
)

// Recorded is what a file holds: its flights, in order of time, and what of it could not be used.
type Recorded struct {
	Format  string // "NMEA 0183", "GPX" or "IGC"
	Faults  Faults
	Dropped Dropped
	Torn    string // why it could be read no further; empty: it was read to its end

	flights []*stretch
}

// Summary is one flight of a file, before it is looked at more closely.
type Summary struct {
	Name     string // of the track, where it has one
	From, To time.Time
	Points   int
	Flies    bool // it is fast enough for a while
}

// ReadTracks reads recorded tracks: GPX, NMEA 0183 or IGC, told apart by the content. The day is the date of the first position of a
// recording that has times of day and no date.
//
// What can't be used is dropped, counted and said; at most a position a second is kept. Two flights never become one: each track is one of
// its own, unless the aircraft flies at both sides of a short gap, and a track that stands between two flights is cut there. Speeds
// and tracks that are not in the file are computed from the positions. It is an error if there are no positions or they have no times.
func ReadTracks(r io.Reader, day time.Time) (Recorded, error) {
	c := &collector{}
	format, err := readBy(bufio.NewReader(bounded(r)), day, c)
	recorded := Recorded{Format: format, Faults: c.faults}
	if err != nil {
		var torn *tornError
		if !errors.As(err, &torn) || c.kept == 0 {
			return Recorded{}, err
		}
		recorded.Torn = torn.Error()
	}
	recorded.flights = c.flights()
	recorded.Dropped = c.dropped
	switch {
	case c.seen == 0:
		return Recorded{}, noPositions(format, c)
	case len(recorded.flights) == 0:
		return Recorded{}, errors.New("its positions have no times, so it can't be told when anything was passed")
	}
	return recorded, nil
}

// tornError is of a file that could be read no further.
type tornError struct{ error }

// Flights are those of the file.
func (r Recorded) Flights() []Summary {
	summaries := make([]Summary, len(r.flights))
	for i, f := range r.flights {
		summaries[i] = Summary{Name: f.name, From: f.points[0].time(), To: f.points[len(f.points)-1].time(), Points: len(f.points), Flies: f.flies()}
	}
	return summaries
}

// flies reports whether a recording is fast for long enough.
func (r *stretch) flies() bool {
	var since int64
	for i, p := range r.points {
		switch {
		case p.speedKt < flyingKt:
			since = 0
		case since == 0 && i > 0:
			since = r.points[i-1].nanoseconds
		case since == 0:
			since = p.nanoseconds
		}
		if since != 0 && time.Duration(p.nanoseconds-since) >= fastFor {
			return true
		}
	}
	return false
}

// Track is one of the flights, by its place among them.
func (r Recorded) Track(place int) Track {
	f := r.flights[place]
	track := Track{Name: f.name, Format: r.Format, Samples: make([]Sample, len(f.points))}
	for i, p := range f.points {
		track.Samples[i] = p.sample()
	}
	return track
}

// readBy chooses the format by the first bytes.
func readBy(input *bufio.Reader, day time.Time, c *collector) (format string, err error) {
	const enough = 512
	head, err := input.Peek(enough)
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	switch {
	case bytes.HasPrefix(head, []byte("<")):
		return "GPX", readGPXTracks(input, c)
	case bytes.HasPrefix(head, []byte("A")) && !bytes.Contains(head, []byte("$")):
		return "IGC", readIGC(input, day, c)
	}
	return "NMEA 0183", readNMEA(input, day, c)
}

func noPositions(format string, c *collector) error {
	if c.invalid > 0 {
		return fmt.Errorf("no valid fix in %s (status V or quality 0): the receiver had no position yet, or lost it", say.Counted(c.invalid, "sentence", "sentences"))
	}
	if c.faults.Count == 0 {
		return fmt.Errorf("there is no position in it, read as %s: tracks are GPX, NMEA 0183 or IGC", format)
	}
	first := c.faults.First[0]
	return fmt.Errorf("there is no position in it, read as %s; %s could not be used, line %d: %s", format, say.Counted(c.faults.Count, "line", "lines"),
		first.Line, first.Text)
}

// readNMEA reads a recording of sentences. Lines that can't be used are counted, not fatal.
func readNMEA(r io.Reader, day time.Time, c *collector) error {
	assembler := Assembler{Day: day}
	input := newLines(r)
	add := func(samples []Sample) error {
		for _, s := range samples {
			if err := c.add(s); err != nil {
				return err
			}
		}
		return nil
	}
	for {
		line, err := input.next()
		if err != nil && !errors.Is(err, errLongLine) {
			return errors.Join(add(assembler.Flush()), unlessEnd(err))
		}
		var message Message
		if err == nil {
			message, err = ParseMessage(line)
		}
		switch {
		case errors.Is(err, errNoSentence): // other lines of a log
		case err != nil:
			c.faults.add(input.number, err.Error())
		default:
			if message.Lost {
				c.invalid++
			}
			if err := add(assembler.Add(message)); err != nil {
				return err
			}
		}
	}
}

func unlessEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

func midnight(day time.Time) time.Time {
	year, month, date := day.UTC().Date()
	return time.Date(year, month, date, 0, 0, 0, 0, time.UTC)
}

// bounded is a reader that fails at a file's largest size.
func bounded(r io.Reader) io.Reader { return &limited{r, maxFile} }

type limited struct {
	reader io.Reader
	left   int
}

func (l *limited) Read(buffer []byte) (int, error) {
	if l.left == 0 {
		return 0, errTooLarge
	}
	n, err := l.reader.Read(buffer[:min(len(buffer), l.left)])
	l.left -= n
	return n, err
}

// Sample is where an aircraft was at one moment, as a receiver or recorder gave it. A nil figure was not given.
type Sample struct {
	Time            time.Time // UTC; zero: not given
	At              earth.Position
	AltitudeFt      *float64 // above sea level
	GroundspeedKt   *float64
	TrackTrue       *float64 // of the way over the ground
	HeadingTrue     *float64
	HeadingMagnetic *float64
	AfterGap        bool // reception was lost before it, or the recording interrupted
}

// Track is a recorded way, in order of time where it has times.
type Track struct {
	Name    string
	Format  string // "NMEA 0183", "GPX" or "IGC"
	Samples []Sample
}

// Fault is a place in the input that said nothing that could be used.
type Fault struct {
	Line int // from 1
	Text string
}

// faultsKept is how many faults are kept to be shown.
const faultsKept = 5

// Faults are the places that could not be used: how many, and the first few.
type Faults struct {
	Count int
	First []Fault
}

func (f *Faults) add(line int, text string) {
	f.Count++
	if len(f.First) < faultsKept {
		f.First = append(f.First, Fault{line, text})
	}
}
