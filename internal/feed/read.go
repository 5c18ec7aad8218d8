package feed

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/legclock/internal/earth"
)

// What a recorded track may hold at most: 1,000,000 points are 11 days of one a second.
const (
	maxFile   = 256 << 20 // bytes
	maxPoints = 1_000_000
)

var (
	errTooLarge      = fmt.Errorf("a file of more than %d MiB", maxFile>>20)
	errTooManyPoints = fmt.Errorf("more than %d points", maxPoints)
)

// ReadTrack reads a recorded track: GPX, NMEA 0183 or IGC, told apart by the content. The day is the date of the first position of
// a recording that has times of day and no date.
//
// The samples are in order of time; one that is not later than the one before it is left out. Groundspeeds and tracks that are not in
// the file are computed from the positions. It is an error if there are no positions or they have no times.
func ReadTrack(r io.Reader, day time.Time) (Track, error) {
	input := bufio.NewReader(bounded(r))
	track, err := readBy(input, day)
	if err != nil {
		return Track{}, err
	}
	if len(track.Samples) == 0 {
		return Track{}, noPositions(track)
	}
	if track.Samples = inOrder(track.Samples); len(track.Samples) == 0 {
		return Track{}, errors.New("its positions have no times, so it can't be told when anything was passed")
	}
	fillMotion(track.Samples)
	return track, nil
}

// readBy chooses the format by the first bytes.
func readBy(input *bufio.Reader, day time.Time) (Track, error) {
	const enough = 512
	head, err := input.Peek(enough)
	if err != nil && !errors.Is(err, io.EOF) {
		return Track{}, err
	}
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	switch {
	case bytes.HasPrefix(head, []byte("<")):
		gpx, err := ReadGPX(input)
		return gpx.track(), err
	case bytes.HasPrefix(head, []byte("A")) && !bytes.Contains(head, []byte("$")):
		return readIGC(input, day)
	}
	return readNMEA(input, day)
}

func noPositions(track Track) error {
	if track.Faults.Count == 0 {
		return fmt.Errorf("there is no position in it, read as %s: tracks are GPX, NMEA 0183 or IGC", track.Format)
	}
	first := track.Faults.First[0]
	return fmt.Errorf("there is no position in it, read as %s; %d lines could not be used, line %d: %s", track.Format, track.Faults.Count,
		first.Line, first.Text)
}

// readNMEA reads a recording of sentences. Lines that can't be used are counted, not fatal.
func readNMEA(r io.Reader, day time.Time) (Track, error) {
	track := Track{Format: "NMEA 0183"}
	assembler := Assembler{Day: day}
	input := newLines(r)
	for {
		line, err := input.next()
		if err != nil && !errors.Is(err, errLongLine) {
			track.Samples = append(track.Samples, assembler.Flush()...)
			return track, unlessEnd(err)
		}
		var message Message
		if err == nil {
			message, err = ParseMessage(line)
		}
		switch {
		case errors.Is(err, errNoSentence): // other lines of a log
		case err != nil:
			track.Faults.add(input.number, err.Error())
		default:
			track.Samples = append(track.Samples, assembler.Add(message)...)
		}
		if len(track.Samples) > maxPoints {
			return track, errTooManyPoints
		}
	}
}

func unlessEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// inOrder sorts by time and leaves out samples without a time and those that are not later than the one before.
func inOrder(samples []Sample) []Sample {
	samples = slices.DeleteFunc(samples, func(s Sample) bool { return s.Time.IsZero() })
	slices.SortStableFunc(samples, func(a, b Sample) int { return a.Time.Compare(b.Time) })
	return slices.CompactFunc(samples, func(a, b Sample) bool { return a.Time.Equal(b.Time) })
}

// fillMotion computes groundspeeds and tracks that were not recorded, from the positions before and after.
func fillMotion(samples []Sample) {
	for i := range samples {
		s := &samples[i]
		if s.GroundspeedKt != nil && s.TrackTrue != nil {
			continue
		}
		from, to := i, i
		if i > 0 && !s.AfterGap {
			from--
		}
		if i+1 < len(samples) && !samples[i+1].AfterGap {
			to++
		}
		if from == to {
			continue
		}
		way := earth.Inverse(samples[from].At, samples[to].At)
		speed := way.DistanceNM / samples[to].Time.Sub(samples[from].Time).Hours()
		if s.GroundspeedKt == nil {
			s.GroundspeedKt = &speed
		}
		if s.TrackTrue == nil && way.DistanceNM > 0 {
			s.TrackTrue = &way.AzimuthStart
		}
	}
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
