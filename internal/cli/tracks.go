package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// tracks are the flights of a recorded file.
type tracks struct {
	feed.Recorded
	shown string // the file, as a message is to call it
}

// loadTracks reads a file of recorded tracks; "-" is standard input. What of it could not be used is said, and how far it has got where
// that takes a while.
func loadTracks(env Env, name string, day time.Time) (tracks, error) {
	t, input, size := tracks{shown: "standard input"}, env.Stdin, int64(0)
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return t, usage("", "reading %s: %v", plainName(name), errors.Unwrap(err))
		}
		defer file.Close()
		if info, err := file.Stat(); err == nil {
			size = info.Size()
		}
		input, t.shown = file, plainName(name)
	}
	bar := newProgress(env, int(size>>10))
	recorded, err := feed.ReadTracks(&measured{Reader: input, bar: bar, name: name}, day)
	bar.end()
	if err != nil {
		return t, usage("", "reading %s: %v", t.shown, err)
	}
	t.Recorded = recorded
	if recorded.Faults.Count > 0 {
		first := recorded.Faults.First[0]
		tell(env, "note", fmt.Sprintf("%s: %s could not be used, the first: line %d: %s", t.shown, say.Counted(recorded.Faults.Count, "line", "lines"), first.Line, first.Text))
	}
	if words := recorded.Dropped.Words(); words != "" {
		tell(env, "note", fmt.Sprintf("%s: positions left out: %s", t.shown, words))
	}
	if recorded.Torn != "" {
		tell(env, "note", fmt.Sprintf("%s: it can be read no further than %s; what stands before that is used", t.shown, recorded.Torn))
	}
	return t, nil
}

// plainName is a file's name that takes one line of a message, whatever is in it.
func plainName(name string) string {
	if quoted := strconv.Quote(name); quoted != `"`+name+`"` {
		return quoted
	}
	return name
}

// measured is a reader whose way through a file a bar shows.
type measured struct {
	io.Reader
	bar  *progress
	name string
	read int64
}

func (m *measured) Read(buffer []byte) (int, error) {
	n, err := m.Reader.Read(buffer)
	m.read += int64(n)
	m.bar.show(int(m.read>>10), func() string { return fmt.Sprintf("%d MiB of %s", m.read>>20, m.name) })
	return n, err
}

// choose is the flight asked for: by its number in the list, its day or its track's name; the only one where nothing is asked for.
func (t tracks) choose(flag, asked string) (feed.Track, error) {
	flights := t.Flights()
	var fit []int
	for i, f := range flights {
		switch {
		case asked == "" && (f.Flies || len(flights) == 1), asked == strconv.Itoa(i+1), asked != "" && asked == f.From.Format(time.DateOnly),
			asked != "" && strings.EqualFold(asked, f.Name):
			fit = append(fit, i)
		}
	}
	if len(fit) == 0 && asked == "" {
		return feed.Track{}, &fault{exitFault, "there is no flight in the track: it is never fast for long", ""}
	}
	hint := fmt.Sprintf("take one with %s: its number, its day or its name\n%s", flag, strings.TrimRight(t.list(), "\n"))
	switch {
	case len(fit) == 0:
		return feed.Track{}, usage(hint, "%s has no flight %q", t.shown, asked)
	case len(fit) > 1:
		return feed.Track{}, usage(hint, "%s holds %s", t.shown, say.Counted(len(fit), "flight", "flights"))
	}
	return t.Track(fit[0]), nil
}

// list is a row for each flight of the file.
func (t tracks) list() string {
	var b strings.Builder
	rows := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(rows, "  \tday\tfrom\tto\tpositions\tname")
	for i, f := range t.Flights() {
		name := cmp.Or(f.Name, "-")
		if !f.Flies {
			name += " (never flies)"
		}
		fmt.Fprintf(rows, "  %d\t%s\t%s\t%s\t%d\t%s\n", i+1, f.From.Format(time.DateOnly), say.Time(f.From), say.Time(f.To), f.Points, frame.Clean(name))
	}
	rows.Flush()
	return b.String()
}

// trackBeside is the flight of a recorded file that was made beside a journal: the one that was flown at the same time, unless another is asked
// for. With a start it is moved to that time.
func (t tracks) trackBeside(from, to time.Time, asked, start string) ([]feed.Sample, error) {
	if asked == "" && start == "" {
		flights := t.Flights()
		at := slices.IndexFunc(flights, func(f feed.Summary) bool { return f.From.Before(to) && f.To.After(from) })
		if at < 0 {
			return nil, usage("if it is the same flight by another clock, give the time of its first position with --track-start\n"+strings.TrimRight(t.list(), "\n"),
				"%s has nothing of the time of the flight, %s to %s", t.shown, say.MomentMinute(from), say.Minute(to))
		}
		return t.Track(at).Samples, nil
	}
	track, err := t.choose("--track-flight", asked)
	if err != nil {
		return nil, err
	}
	return track.Samples, startAt(track.Samples, start, from)
}

// startAt moves samples so that they begin at a time, given by a person and counted near a day; without one it leaves them.
func startAt(samples []feed.Sample, start string, day time.Time) error {
	if start == "" {
		return nil
	}
	begin, err := parseMoment(start, day)
	if err != nil {
		return err
	}
	first := samples[0].Time
	for i := range samples {
		samples[i].Time = begin.Add(samples[i].Time.Sub(first))
	}
	return nil
}
