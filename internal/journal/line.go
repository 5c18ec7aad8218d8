package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
)

// Version is the version of the format that this package writes and reads.
const Version = 1

// Header is the first line of a journal.
type Header struct {
	Version    int         `json:"legclock"`
	Opened     time.Time   `json:"opened"`
	Mode       flight.Mode `json:"mode"`             // live, practice or import
	Seed       *uint64     `json:"seed,omitempty"`   // practice: what the hidden wind is drawn from
	Lesson     string      `json:"lesson,omitempty"` // practice: the one difficulty that the flight has
	Pilot      string      `json:"pilot,omitempty"`  // any text, or a code
	Instructor string      `json:"instructor,omitempty"`
	Plan       *plan.Plan  `json:"plan"`
	PlanSHA256 string      `json:"plan_sha256"` // of the bytes of the plan as they stand in the file
}

// The check is the last field of a line: sixteen hexadecimal digits. The first eight are the CRC-32C (Castagnoli; RFC 3720, appendix
// B.4) of the line before its check; it is right for a line that was not changed. The other eight go on from the checksum of the line
// before, so that a line that was put in, left out or exchanged shows too.
const (
	checkStart = `,"check":"`
	checkEnd   = `"}`
	checkLen   = len(checkStart) + 16 + len(checkEnd)
)

// castagnoli is the library's own table, which it makes when it is first asked for.
func castagnoli() *crc32.Table { return crc32.MakeTable(crc32.Castagnoli) }

// seal puts the check into a line and returns the line and its checksum, which the next line's check goes on from.
func seal(line []byte, before uint32) (sealed []byte, sum uint32) {
	body := bytes.TrimSuffix(line, []byte("}"))
	sum = crc32.Checksum(body, castagnoli())
	return fmt.Appendf(body[:len(body):len(body)], "%s%08x%08x%s", checkStart, sum, crc32.Update(before, castagnoli(), body), checkEnd), sum
}

// Warm makes what the first line of a process needs and all others share: how a header and an event are put into JSON, and the table of the check.
// That takes longer than the line itself. Whoever will create a journal, and has something else to do before, may let it run beside that.
func Warm() {
	_, _ = encode(Header{})
	_, _ = encode(flight.Event{})
	_ = castagnoli()
}

// opened is a line taken apart.
type opened struct {
	body    []byte // without the check
	sum     uint32
	checked bool   // it has a check
	check   []byte // and that is its digits
}

// open takes a line apart. The body is put into room that is given for it, which the next line may be given again.
func open(line, room []byte) opened {
	at := len(line) - checkLen
	if at < 0 || !bytes.HasPrefix(line[at:], []byte(checkStart)) || !bytes.HasSuffix(line, []byte(checkEnd)) {
		return opened{body: line, sum: crc32.Checksum(bytes.TrimSuffix(line, []byte("}")), castagnoli())}
	}
	return opened{
		body: append(append(room[:0], line[:at]...), '}'), sum: crc32.Checksum(line[:at], castagnoli()), checked: true,
		check: line[at+len(checkStart) : len(line)-len(checkEnd)],
	}
}

// whole reports whether the line agrees with its check.
func (o opened) whole() bool { return isSum(o.check[:8], o.sum) }

// follows reports whether the line stands where it was written: behind the line of that checksum.
func (o opened) follows(before uint32) bool {
	return isSum(o.check[8:], crc32.Update(before, castagnoli(), bytes.TrimSuffix(o.body, []byte("}"))))
}

// isSum reports whether a text is a checksum in eight hexadecimal digits.
func isSum(text []byte, sum uint32) bool {
	var value [4]byte
	binary.BigEndian.PutUint32(value[:], sum)
	var digits [8]byte
	hex.Encode(digits[:], value[:])
	return bytes.Equal(text, digits[:])
}

// parseHeader reads the first line. The plan is nil where it can't be trusted.
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
		return header, fmt.Errorf("%q is not a journal header: it must be an object that begins with {\"legclock\":%d", short(line), Version)
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

func parseEvent(line []byte, event *flight.Event) error {
	if err := event.UnmarshalJSON(line); err != nil { // without json.Unmarshal, which would look through all of it before
		return fmt.Errorf("%q is not an entry: %w", short(line), err)
	}
	return nil
}

// checkEvent says what keeps an event from being the n-th of a journal.
func checkEvent(event *flight.Event, n int) error {
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

// checkSense says what an entry holds that nothing can be.
func checkSense(event *flight.Event) error {
	if err := flight.CheckEntry(event); err != nil {
		return fmt.Errorf("entry %d, %s: %w", event.N, event.Act, err)
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
	return strings.ToValidUTF8(string(line[:longest]), "") + "…"
}

// encode writes a value as one line of JSON, without its end.
func encode(value any) ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
