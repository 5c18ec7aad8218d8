package flight

import (
	"bytes"
	"strconv"
	"time"
	"unicode/utf8"

	"example.com/legclock/internal/earth"
)

// scan reads an event from a line as this program writes most of them: no space, no escape in a text, times in UTC, no value that is an object.
// It reports false for all else, which the general decoder reads; where it reports true, both read the same.
func (e *Event) scan(line []byte) bool {
	*e = Event{}
	if len(line) < 2 || line[0] != '{' || line[len(line)-1] != '}' {
		return false
	}
	for rest := line[1:]; ; {
		name, after, ok := plainText(rest)
		if !ok || len(after) < 2 || after[0] != ':' {
			return false
		}
		if rest = e.scanValue(name, after[1:]); len(rest) == 0 {
			return false
		}
		if rest[0] == '}' {
			return len(rest) == 1
		}
		if rest[0] != ',' {
			return false
		}
		rest = rest[1:]
	}
}

// scanValue reads the value of a field and returns what follows it; nothing where it is not plain.
func (e *Event) scanValue(name, rest []byte) []byte {
	switch string(name) {
	case "n":
		return scanCount(&e.N, rest)
	case "event":
		return scanCount(&e.Event, rest)
	case "at":
		e.At = &earth.Position{}
		return scanPosition(e.At, rest)
	case "confirmed":
		return scanTruth(&e.Confirmed, rest)
	case "inches":
		return scanTruth(&e.Inches, rest)
	case "paused":
		e.Paused = new(bool)
		return scanTruth(e.Paused, rest)
	}
	text, after, isText := plainText(rest)
	if at, isTime := e.timeField(string(name)); isTime {
		if !bytes.HasSuffix(text, []byte("Z")) || at.UnmarshalText(text) != nil { // by RFC 3339
			return nil
		}
		return after
	}
	if field := e.textField(string(name)); field != nil {
		if !isText {
			return nil
		}
		*field = interned(text)
		return after
	}
	figure := parameterOf(string(name))
	if figure == nil {
		return nil
	}
	value, after, ok := scanFigure(rest)
	if !ok {
		return nil
	}
	*figure.of(e) = &value
	return after
}

// interned is a text; that of an act, or of the feed that logged it, is not made anew.
func interned(text []byte) string {
	if string(text) == string(ByFeed) {
		return string(ByFeed)
	}
	if known, is := rowOf[Act(text)]; is {
		return string(known.act)
	}
	return string(text)
}

// scanFigure reads a number.
func scanFigure(from []byte) (value float64, after []byte, ok bool) {
	text, after := plainNumber(from)
	value, err := strconv.ParseFloat(string(text), 64)
	return value, after, err == nil
}

// scanPosition reads a valid position: [latitude, longitude].
func scanPosition(into *earth.Position, from []byte) []byte {
	from, is := bytes.CutPrefix(from, []byte("["))
	latitude, from, isLatitude := scanFigure(from)
	from, isPair := bytes.CutPrefix(from, []byte(","))
	longitude, from, isLongitude := scanFigure(from)
	from, ends := bytes.CutPrefix(from, []byte("]"))
	*into = earth.Position{Lat: latitude, Lon: longitude}
	if !is || !isLatitude || !isPair || !isLongitude || !ends || !into.Valid() {
		return nil
	}
	return from
}

// textField is the field of a text, nil of anything else.
func (e *Event) textField(name string) *string {
	switch name {
	case "do":
		return (*string)(&e.Act)
	case "point":
		return &e.Point
	case "tank":
		return &e.Tank
	case "receiver":
		return &e.Receiver
	case "beacon":
		return &e.Beacon
	case "to":
		return &e.To
	case "prompt":
		return &e.Prompt
	case "hands":
		return &e.Hands
	case "by":
		return &e.By
	case "text":
		return &e.Text
	case "kind":
		return &e.Kind
	case "squawk":
		return &e.Squawk
	}
	return nil
}

// timeField is the field of a time.
func (e *Event) timeField(name string) (field *time.Time, isTime bool) {
	optional := func(field **time.Time) (*time.Time, bool) {
		*field = new(time.Time)
		return *field, true
	}
	switch name {
	case "t":
		return &e.T, true
	case "rec":
		return &e.Rec, true
	case "set":
		return optional(&e.Set)
	case "wanted":
		return optional(&e.Wanted)
	case "machine":
		return optional(&e.Machine)
	}
	return nil, false
}

// plainText reads a text in quotes that has no escapes.
func plainText(from []byte) (text, after []byte, ok bool) {
	if len(from) == 0 || from[0] != '"' {
		return nil, nil, false
	}
	ascii := true
	for i, c := range from[1:] {
		switch {
		case c == '"':
			text = from[1 : i+1]
			return text, from[i+2:], ascii || utf8.Valid(text)
		case c == '\\' || c < ' ':
			return nil, nil, false
		case c >= utf8.RuneSelf:
			ascii = false
		}
	}
	return nil, nil, false
}

// plainNumber cuts off a number by the grammar of RFC 8259, section 6; nothing where there is none.
func plainNumber(from []byte) (text, after []byte) {
	i := 0
	is := func(c byte) bool { return i < len(from) && from[i] == c }
	digits := func() (some bool) {
		for i < len(from) && from[i] >= '0' && from[i] <= '9' {
			i, some = i+1, true
		}
		return some
	}
	if is('-') {
		i++
	}
	if is('0') {
		i++
	} else if !digits() {
		return nil, nil
	}
	if is('.') {
		if i++; !digits() {
			return nil, nil
		}
	}
	if is('e') || is('E') {
		if i++; is('+') || is('-') {
			i++
		}
		if !digits() {
			return nil, nil
		}
	}
	return from[:i], from[i:]
}

// scanCount reads a number of an entry.
func scanCount(into *int, from []byte) []byte {
	const longest = 9 // digits, which any int holds
	text, after := plainNumber(from)
	n, err := strconv.Atoi(string(text))
	if err != nil || len(text) > longest {
		return nil
	}
	*into = n
	return after
}

func scanTruth(into *bool, from []byte) []byte {
	after, is := bytes.CutPrefix(from, []byte("true"))
	if !is {
		after, _ = bytes.CutPrefix(from, []byte("false"))
	}
	if len(after) == len(from) {
		return nil
	}
	*into = is
	return after
}
