package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"
	"unicode/utf8"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
)

// Version is the version of the format that this package writes and reads.
const Version = 1

// MaxLine is the longest line that is read, in bytes: far more than any plan needs.
const MaxLine = 16 << 20

// Header is the first line of a journal.
type Header struct {
	Version    int        `json:"legclock"`
	Opened     time.Time  `json:"opened"`
	Mode       string     `json:"mode"`             // live, practice or import
	Seed       *uint64    `json:"seed,omitempty"`   // practice: what the hidden wind is drawn from
	Lesson     string     `json:"lesson,omitempty"` // practice: the one difficulty that the flight has
	Pilot      string     `json:"pilot,omitempty"`  // any text, may be a code
	Instructor string     `json:"instructor,omitempty"`
	Plan       *plan.Plan `json:"plan"`
	PlanSHA256 string     `json:"plan_sha256"` // of the bytes of the plan as they stand in the file
}

// Damage is a place in a journal that can't be read. What stands before it was read.
type Damage struct {
	File string
	Line int    // from 1
	Text string // what is wrong
}

// Error gives file, line and what is wrong there.
func (d *Damage) Error() string { return fmt.Sprintf("%s:%d: %s", d.File, d.Line, d.Text) }

// Contents is what could be read of a journal.
type Contents struct {
	Header Header
	Events []flight.Event
	// Torn is a last line that was never finished, and so never acknowledged; nil when there is none.
	Torn []byte
	// Size is the length in bytes of the lines that were read: where a torn line begins.
	Size int64
	// endless says that the last line is whole but for its line end.
	endless bool
}

// Load reads a journal file. On damage it returns a *Damage together with everything before it.
func Load(path string) (Contents, error) {
	file, err := os.Open(path)
	if err != nil {
		return Contents{}, fmt.Errorf("opening journal: %w", err)
	}
	defer file.Close()
	return Read(file, path)
}

// Read reads a journal; the name is used in errors. See Load.
func Read(r io.Reader, name string) (Contents, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return Contents{}, fmt.Errorf("reading journal %s: %w", name, err)
	}
	parser := parser{name: name}
	err = parser.read(data)
	return parser.contents, err
}

// parser reads line by line and keeps what it has.
type parser struct {
	name     string
	contents Contents
	line     int // the last line read, from 1
}

// read takes all whole lines of the data, and a last one without an end if it is whole otherwise.
func (p *parser) read(data []byte) error {
	rest, err := p.lines(data)
	if err != nil {
		return err
	}
	switch {
	case len(rest) == 0:
	case p.add(rest) == nil:
		p.contents.Size += int64(len(rest))
		p.contents.endless = true
	default:
		p.contents.Torn = rest
	}
	if p.contents.Header.Version == 0 {
		return p.damage("no header: not a journal, or one that was cut off before its first line was written")
	}
	return nil
}

// lines takes the lines that have their end and returns what follows the last.
func (p *parser) lines(data []byte) (rest []byte, err error) {
	for {
		line, after, ended := bytes.Cut(data, []byte("\n"))
		if !ended {
			return data, nil
		}
		if err := p.add(line); err != nil {
			if len(after) == 0 && bytes.IndexByte(line, 0) >= 0 { // zeros on disk where the line was to be
				return data, nil
			}
			p.line++
			return nil, p.damage(err.Error())
		}
		p.contents.Size += int64(len(line)) + 1
		data = after
	}
}

func (p *parser) damage(text string) error {
	return &Damage{File: p.name, Line: max(p.line, 1), Text: text}
}

// add reads one line without its end. On an error nothing has changed.
func (p *parser) add(line []byte) error {
	switch {
	case len(line) > MaxLine:
		return fmt.Errorf("a line of %d bytes: nothing in a journal is that long", len(line))
	case !utf8.Valid(line):
		return errors.New("not UTF-8 text")
	case p.line == 0:
		header, err := parseHeader(line)
		if err != nil {
			return err
		}
		p.contents.Header = header
	default:
		event, err := parseEvent(line, len(p.contents.Events)+1)
		if err != nil {
			return err
		}
		p.contents.Events = append(p.contents.Events, event)
	}
	p.line++
	return nil
}

func parseHeader(line []byte) (Header, error) {
	var raw struct {
		Header
		Version *int            `json:"legclock"`
		Plan    json.RawMessage `json:"plan"` // read once its checksum is known to be right
	}
	err := json.Unmarshal(line, &raw) // what is wrong is said last, for another version may have other fields
	header := raw.Header
	switch {
	case raw.Version == nil:
		return header, fmt.Errorf("%q is no journal header: it must be an object that begins with {\"legclock\":%d", short(line), Version)
	case *raw.Version != Version:
		return header, fmt.Errorf("journal version %d: this program reads version %d", *raw.Version, Version)
	case err != nil:
		return header, fmt.Errorf("the header can't be read: %w", err)
	}
	header.Version = Version
	if len(raw.Plan) == 0 || string(raw.Plan) == "null" {
		return header, errors.New("the header has no plan")
	}
	if sum := checksum(raw.Plan); sum != header.PlanSHA256 {
		return header, fmt.Errorf("the plan in the header has been changed: its SHA-256 is %s, not %q", sum, header.PlanSHA256)
	}
	if err := json.Unmarshal(raw.Plan, &header.Plan); err != nil {
		return header, fmt.Errorf("the header can't be read: %w", err)
	}
	header.Opened = header.Opened.UTC()
	return header, nil
}

func parseEvent(line []byte, n int) (flight.Event, error) {
	var event flight.Event
	if err := json.Unmarshal(line, &event); err != nil {
		return event, fmt.Errorf("%q is no entry: %w", short(line), err)
	}
	return event, checkEvent(event, n)
}

// checkEvent says what keeps an event from being the n-th of a journal.
func checkEvent(event flight.Event, n int) error {
	switch {
	case event.N != n:
		return fmt.Errorf("entry number %d where %d must follow", event.N, n)
	case event.Act == "":
		return fmt.Errorf("entry %d does not say what was done (\"do\")", n)
	case event.T.IsZero() || event.Rec.IsZero():
		return fmt.Errorf("entry %d needs both its times, \"t\" and \"rec\"", n)
	}
	return nil
}

func checksum(planJSON []byte) string {
	sum := sha256.Sum256(planJSON)
	return hex.EncodeToString(sum[:])
}

// short is the beginning of a line, for an error.
func short(line []byte) string {
	const longest = 60
	if len(line) <= longest {
		return string(line)
	}
	return string(line[:longest]) + "…"
}
