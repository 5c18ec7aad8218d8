package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"unicode/utf8"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
)

// What a journal may hold at most, far more than any flight needs: bytes in a line (the plan is in one), bytes in all, and entries.
const (
	MaxLine    = 4 << 20
	MaxSize    = 64 << 20
	MaxEntries = 100_000
)

// Damage is a place in a journal that can't be read, or that says what can't be.
type Damage struct {
	File string
	Line int    // from 1
	Text string // what is wrong
}

// Error gives file, line and what is wrong there.
func (d *Damage) Error() string {
	return fmt.Sprintf("%s:%d: %s", intake.Quote(d.File), d.Line, d.Text)
}

// Contents is what could be read of a journal.
type Contents struct {
	Header Header // without a plan where its line is too damaged
	Events []flight.Event
	// Damages are the places that could not be read. Where one hid an entry, an event of the act flight.Damaged stands.
	Damages []*Damage
	// Torn is a last line that was never finished, and so never acknowledged; nil when there is none.
	Torn []byte
	// Size is the length in bytes of the lines that were read: where a torn line begins.
	Size int64
	// endless says that the last line is whole but for its line end.
	endless bool
}

// Load reads a journal file. See Read.
func Load(path string) (Contents, error) {
	file, err := intake.Open(path)
	if err != nil {
		return Contents{}, notOpened(path, err)
	}
	defer file.Close()
	return Read(file, path)
}

// notOpened says why a journal's file could not be opened.
func notOpened(path string, err error) error {
	var failed *fs.PathError
	if errors.As(err, &failed) {
		return fmt.Errorf("opening journal %s: %w", intake.Quote(path), failed.Err)
	}
	return fmt.Errorf("opening journal: %w", err)
}

// Read reads a journal; the name is used in errors. Damaged lines are in Damages, and are no error. It is one, a *Damage, when there is no
// plan to be read: with what else could be.
func Read(r io.Reader, name string) (Contents, error) {
	p := &parser{name: name}
	p.contents.Events = slices.Grow(p.contents.Events, room(r))
	err := p.read(r)
	if left := cap(p.contents.Events) - len(p.contents.Events); left > len(p.contents.Events)/8 {
		p.contents.Events = slices.Clone(p.contents.Events) // without the room that they grew into
	}
	return p.contents, err
}

// room is how many entries what is to be read can hold, by its lines; 0 where it can't be read twice. An event is large: to have room for all
// before the first is read saves copying them, and memory.
func room(r io.Reader) int {
	const shortest = 64 // bytes of an entry
	file, ok := r.(io.ReadSeeker)
	if !ok {
		return 0
	}
	start, err := file.Seek(0, io.SeekCurrent)
	if err != nil {
		return 0
	}
	var buffer [32 << 10]byte
	lines, size := 0, 0
	for size < MaxSize {
		n, err := file.Read(buffer[:])
		lines, size = lines+bytes.Count(buffer[:n], []byte("\n")), size+n
		if err != nil {
			break
		}
	}
	if _, err := file.Seek(start, io.SeekStart); err != nil {
		return 0
	}
	return min(max(0, lines-1), size/shortest, MaxEntries) // the first has the header
}

// parser reads line by line and keeps what it has.
type parser struct {
	name     string
	contents Contents
	line     int          // the last line read, from 1
	event    flight.Event // of the line that is being read
	body     []byte       // room for it without its check

	sum     uint32 // of the line before
	broken  bool   // the line before is damaged: what follows can't be checked against it
	checked bool   // a line has had a check: from there on all have one
}

// read takes all whole lines, and a last one without an end if it is whole otherwise.
func (p *parser) read(r io.Reader) error {
	lines := intake.NewLines(intake.Limit(r, MaxSize), MaxLine)
	line, length, ended, err := lines.Next()
	var large *intake.TooLarge
	for {
		switch {
		case errors.Is(err, io.EOF):
			return p.headless()
		case errors.As(err, &large) && p.line == 0:
			return p.damage("not a journal: its first line has more than %d bytes", MaxLine)
		case errors.As(err, &large) && large.Most == MaxLine:
			p.spoil("a line of %d bytes: nothing in a journal is that long", length)
			p.contents.Size += length
			line, length, ended, err = lines.Next()
			continue
		case err != nil:
			return fmt.Errorf("reading journal %s: %w", intake.Quote(p.name), err)
		case len(p.contents.Events) > MaxEntries:
			return fmt.Errorf("reading journal %s: more than %d entries: no flight has as many", intake.Quote(p.name), MaxEntries)
		}
		next, nextLength, nextEnded, nextErr := lines.Next()
		last := errors.Is(nextErr, io.EOF)
		switch {
		case !ended && !p.good(line):
			p.contents.Torn = line
			return p.headless()
		case last && p.line > 0 && bytes.IndexByte(line, 0) >= 0 && !p.good(line): // zeros on disk where the line was to be
			p.contents.Torn = append(line, '\n')
			return p.headless()
		}
		if err := p.add(line, next); err != nil {
			return err
		}
		p.contents.Size += length
		p.contents.endless = !ended
		line, length, ended, err = next, nextLength, nextEnded, nextErr
	}
}

// headless is the error of a journal without a plan.
func (p *parser) headless() error {
	switch {
	case p.line == 0:
		return p.damage("no header: not a journal, or one that was cut off before its first line was written")
	case p.contents.Header.Plan == nil:
		return p.contents.Damages[0]
	}
	return nil
}

func (p *parser) damage(format string, arguments ...any) *Damage {
	return &Damage{File: p.name, Line: max(p.line, 1), Text: fmt.Sprintf(format, arguments...)}
}

// good reports whether a line could be the next one.
func (p *parser) good(line []byte) bool {
	if p.line == 0 {
		_, err := parseHeader(p.open(line).body)
		return err == nil
	}
	o := p.open(line)
	if o.checked && !o.whole() || p.checked && !o.checked {
		return false
	}
	return parseEvent(o.body, &p.event) == nil && checkEvent(&p.event, len(p.contents.Events)+1) == nil
}

func (p *parser) open(line []byte) opened {
	o := open(line, p.body)
	if o.checked {
		p.body = o.body
	}
	return o
}

// add reads a line without its end; next is the line after it where that has come already. The error is of what is no journal at all.
func (p *parser) add(line, next []byte) error {
	p.line++
	o := p.open(line)
	follows := !o.checked || o.follows(p.sum)
	broken := p.broken
	p.sum, p.broken = o.sum, false
	missing := p.checked && !o.checked
	p.checked = p.checked || o.checked
	if p.line == 1 {
		return p.header(line, o)
	}
	event := &p.event
	var fault error
	if utf8.Valid(line) {
		fault = parseEvent(o.body, event)
	} else {
		fault = errors.New("not UTF-8 text")
	}
	switch {
	case o.checked && !o.whole():
		p.spoil("the line has been changed: it does not agree with its check")
	case missing && fault == nil:
		p.spoil("the line has been changed: its check is missing")
	case fault != nil:
		p.spoil("%v", fault)
	case !follows && !broken && p.line == 2 && event.N == 1: // the header had no check of its own
		p.contents.Damages = append(p.contents.Damages, &Damage{File: p.name, Line: 1, Text: "the header has been changed"})
		p.place(event, o, next)
	case !follows && !broken && event.N == len(p.contents.Events)+1:
		p.spoil("the line does not follow the one before it: one of them was inserted, swapped or changed")
	default:
		p.place(event, o, next)
	}
	return nil
}

// spoil notes a damaged line and lets something stand in the place of its entry.
func (p *parser) spoil(format string, arguments ...any) {
	d := p.damage(format, arguments...)
	p.contents.Damages = append(p.contents.Damages, d)
	p.broken = true
	p.standIn(fmt.Sprintf("line %d can't be read", d.Line))
}

func (p *parser) standIn(text string) {
	at, rec := p.contents.Header.Opened, p.contents.Header.Opened
	if p.contents.Header.Plan != nil && !p.contents.Header.Plan.OffBlocks.IsZero() {
		at = p.contents.Header.Plan.OffBlocks
	}
	if n := len(p.contents.Events); n > 0 {
		at, rec = p.contents.Events[n-1].T, p.contents.Events[n-1].Rec
	}
	p.contents.Events = append(p.contents.Events, flight.Event{N: len(p.contents.Events) + 1, T: at, Rec: rec, Act: flight.Damaged, Text: text})
}

// place puts an entry where it belongs. A damaged line end makes two lines of one, or one of two: what stands in for them is added or taken
// away, so that numbers agree again.
func (p *parser) place(event *flight.Event, o opened, next []byte) {
	expected := len(p.contents.Events) + 1
	standIns := 0
	for i := len(p.contents.Events) - 1; i >= 0 && p.contents.Events[i].Act == flight.Damaged; i-- {
		standIns++
	}
	const mostMissing = 1000
	certain := func() bool { return o.checked || numberOf(next) == event.N+1 }
	switch gap := event.N - expected; {
	case gap > 0 && gap <= mostMissing && certain():
		p.contents.Damages = append(p.contents.Damages, p.damage("entry number %d where %d must follow: %d missing", event.N, expected, gap))
		for range gap {
			p.standIn(fmt.Sprintf("missing before line %d", p.line))
		}
	case gap < 0 && -gap <= standIns && certain():
		p.contents.Events = p.contents.Events[:event.N-1]
	}
	if err := checkEvent(event, len(p.contents.Events)+1); err != nil {
		p.spoil("%v", err)
		return
	}
	if err := checkSense(event); err != nil {
		p.spoil("%v", err)
		p.broken = false
		return
	}
	if n := len(p.contents.Events); n == cap(p.contents.Events) {
		p.contents.Events = slices.Grow(p.contents.Events, n/4+64)
	}
	p.contents.Events = append(p.contents.Events, *event)
}

// numberOf is the number of an entry's line, 0 of none.
func numberOf(line []byte) int {
	var event flight.Event
	if parseEvent(open(line, nil).body, &event) != nil {
		return 0
	}
	return event.N
}

// header reads the first line.
func (p *parser) header(line []byte, o opened) error {
	header, err := parseHeader(o.body)
	if end := bytes.Index(line, []byte(checkStart)) + checkLen; err != nil && end >= checkLen && end < len(line) {
		if o := open(line[:end], nil); o.checked && o.whole() { // its line end is damaged, and what follows is on the same line
			header, err = parseHeader(o.body)
		}
		if err == nil {
			p.contents.Damages = append(p.contents.Damages, p.damage("the line end of the header is damaged: the entry after it can't be read"))
			p.contents.Header, p.broken = header, true
			return nil
		}
	}
	changed := o.checked && !(o.whole() && o.follows(0))
	if err != nil && !changed && !bytes.HasPrefix(bytes.TrimSpace(line), []byte(`{"legclock":1,`)) {
		return p.damage("%v", err)
	}
	if err != nil || changed {
		if err == nil {
			err = errors.New("the header has been changed: it does not agree with its check; its plan is whole")
		}
		p.contents.Damages = append(p.contents.Damages, p.damage("%v", err))
		p.broken = true
	}
	if !slices.Contains([]flight.Mode{flight.Live, flight.Practice, flight.Import}, header.Mode) && err != nil {
		header.Mode = flight.Live
	}
	header.Version = Version
	p.contents.Header = header
	return nil
}
