package feed

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
)

// Message is what one NMEA 0183 sentence says; a nil figure was not given.
type Message struct {
	Talker, Type string
	Known        bool // one of the sentences that are read here
	Lost         bool // the receiver itself says that it has no position

	TimeOfDay       *time.Duration // since midnight, UTC
	Date            *time.Time     // its midnight, UTC
	At              *earth.Position
	AltitudeFt      *float64 // above sea level
	GroundspeedKt   *float64
	TrackTrue       *float64
	TrackMagnetic   *float64
	HeadingSensor   *float64 // what a compass reads, before its deviation
	HeadingMagnetic *float64
	HeadingTrue     *float64
	Deviation       *float64 // east positive
	Variation       *float64 // east positive
}

// The bounds of figures: beyond them a sentence is wrong, whatever its checksum says.
const (
	fastestKt   = 2000
	lowestM     = -1000
	highestM    = 100000
	variationTo = 180
)

// decoder reads a sentence that matters to a hand-flown aircraft; nil for any other.
func decoder(kind string) func(*fields, *Message) {
	switch kind {
	case "RMC":
		return decodeRMC
	case "GGA":
		return decodeGGA
	case "GLL":
		return decodeGLL
	case "VTG":
		return decodeVTG
	case "ZDA":
		return decodeZDA
	case "HDT":
		return decodeHDT
	case "HDG":
		return decodeHDG
	}
	return nil
}

// ParseMessage reads one line of NMEA 0183. A sentence of another kind is no error: its Message is not Known.
func ParseMessage(line string) (Message, error) {
	sentence, err := ParseSentence(line)
	if err != nil {
		return Message{}, err
	}
	message := Message{Talker: sentence.Talker, Type: sentence.Type}
	decode := decoder(sentence.Type)
	if decode == nil || sentence.Talker == "" {
		return message, nil
	}
	message.Known = true
	list := fields{list: sentence.Fields}
	decode(&list, &message)
	return message, list.err
}

// The modes of a receiver: autonomous, differential, precise, real time kinematic (fixed and float), manual and simulated positions
// count; estimated ones and none do not. By status, a simulated position is a warning, but a simulator has no other.
const (
	modes       = "ADEFMNPRS"
	modesUsable = "ADFMPRS"
)

// lost judges a receiver's status and mode letters.
func lost(status, mode byte) bool {
	if mode == 'S' {
		return false
	}
	usable := mode == 0
	for i := range len(modesUsable) {
		usable = usable || mode == modesUsable[i]
	}
	return status != 'A' || !usable
}

// decodeRMC: time, status, latitude, N/S, longitude, E/W, groundspeed, track, date, variation, E/W, mode, navigational status.
func decodeRMC(f *fields, m *Message) {
	m.TimeOfDay, m.Date = f.timeOfDay(0), f.date(8)
	m.Variation = f.signed(9, variationTo, "EW")
	if m.Lost = lost(f.letter(1, "AV"), f.letter(11, modes)); m.Lost {
		return
	}
	m.At = f.position(2)
	m.GroundspeedKt, m.TrackTrue = f.number(6, 0, fastestKt), f.direction(7)
}

// The qualities of a GGA that are no position: none, and estimated.
const (
	qualityNone      = 0
	qualityEstimated = 6
)

// decodeGGA: time, latitude, N/S, longitude, E/W, quality, satellites, dilution, altitude above the geoid, M, …
func decodeGGA(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(0)
	quality := f.number(5, 0, 9)
	if m.Lost = quality == nil || *quality == qualityNone || *quality == qualityEstimated; m.Lost {
		return
	}
	m.At = f.position(1)
	if altitudeM := f.number(8, lowestM, highestM); altitudeM != nil && f.letter(9, "M") == 'M' {
		altitudeFt := *altitudeM / air.MetresPerFoot
		m.AltitudeFt = &altitudeFt
	}
}

// decodeGLL: latitude, N/S, longitude, E/W, time, status, mode.
func decodeGLL(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(4)
	if m.Lost = lost(f.letter(5, "AV"), f.letter(6, modes)); !m.Lost {
		m.At = f.position(0)
	}
}

// decodeVTG: true track, T, magnetic track, M, knots, N, km/h, K, mode.
func decodeVTG(f *fields, m *Message) {
	if mode := f.letter(8, modes); mode != 0 && lost('A', mode) {
		return // it says nothing of a position, so none is lost
	}
	m.TrackTrue, m.TrackMagnetic = f.direction(0), f.direction(2)
	m.GroundspeedKt = f.number(4, 0, fastestKt)
	if kmh := f.number(6, 0, 2*fastestKt); m.GroundspeedKt == nil && kmh != nil {
		knots := *kmh * 1000 / air.MetresPerNM
		m.GroundspeedKt = &knots
	}
}

// decodeZDA: time, day, month, year, zone.
func decodeZDA(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(0)
	day, month, year := f.number(1, 1, 31), f.number(2, 1, 12), f.number(3, 1980, 9999)
	if day != nil && month != nil && year != nil {
		m.Date = f.day(1, int(*year), int(*month), int(*day))
	}
}

// decodeHDT: true heading, T.
func decodeHDT(f *fields, m *Message) { m.HeadingTrue = f.direction(0) }

// decodeHDG: sensor heading, deviation, E/W, variation, E/W. Both are added when they are east; a deviation that is left out is 0.
func decodeHDG(f *fields, m *Message) {
	m.HeadingSensor = f.direction(0)
	m.Deviation, m.Variation = f.signed(1, variationTo, "EW"), f.signed(3, variationTo, "EW")
	if m.HeadingSensor == nil {
		return
	}
	magnetic := *m.HeadingSensor
	if m.Deviation != nil {
		magnetic = angle.Wrap360(magnetic + *m.Deviation)
	}
	m.HeadingMagnetic = &magnetic
	if m.Variation != nil {
		headingTrue := deadreckon.TrueFromMagnetic(magnetic, *m.Variation)
		m.HeadingTrue = &headingTrue
	}
}

// MaxSentence is the longest sentence that is read, in bytes. The standard allows 82; receivers with many decimals exceed it.
const MaxSentence = 256

// Sentence is one line of NMEA 0183, its checksum found right.
type Sentence struct {
	Talker string // two letters: GP, GN, HE…; empty for a proprietary sentence
	Type   string // three letters: RMC, GGA…; a proprietary sentence's whole address
	Fields []string
}

// errNoSentence is the error of a line that has no sentence in it.
var errNoSentence = errors.New(`not a sentence: it begins with "$"`)

// Checksum is the exclusive or of the bytes between "$" and "*".
func Checksum(body string) byte {
	var sum byte
	for i := range len(body) {
		sum ^= body[i]
	}
	return sum
}

// ParseSentence reads one line. What stands before "$" (a logger's time, a tag block) is passed over. The error says what keeps the
// line from being used.
func ParseSentence(line string) (Sentence, error) {
	start := strings.LastIndexByte(line, '$')
	if start < 0 {
		return Sentence{}, errNoSentence
	}
	text := strings.TrimRight(line[start+1:], " \t\r\n")
	if len(text) > MaxSentence {
		return Sentence{}, fmt.Errorf("a sentence of %d bytes: none is longer than %d", len(text), MaxSentence)
	}
	body, given, found := strings.Cut(text, "*")
	if !found {
		return Sentence{}, fmt.Errorf("no checksum: the sentence should end in *%02X", Checksum(body))
	}
	if err := checkSum(body, given); err != nil {
		return Sentence{}, err
	}
	return split(body)
}

func checkSum(body, given string) error {
	sum, err := strconv.ParseUint(given, 16, 8)
	if err != nil || len(given) != 2 {
		return fmt.Errorf("checksum %q: it is two hexadecimal digits", given)
	}
	if computed := Checksum(body); byte(sum) != computed {
		return fmt.Errorf("checksum %s, computed %02X: the line was damaged on its way", strings.ToUpper(given), computed)
	}
	return nil
}

// split takes address and fields apart.
func split(body string) (Sentence, error) {
	for i := range len(body) {
		if body[i] < ' ' || body[i] > '~' {
			return Sentence{}, fmt.Errorf("byte %#02x: sentences are plain ASCII", body[i])
		}
	}
	address, rest, hasFields := strings.Cut(body, ",")
	address = strings.ToUpper(address)
	sentence := Sentence{Type: address}
	switch {
	case address == "":
		return Sentence{}, errors.New("a sentence without its address")
	case address[0] == 'P': // proprietary: a manufacturer's own
	case len(address) != 5:
		return Sentence{}, fmt.Errorf("address %q: it is two letters for the talker and three for the sentence", address)
	default:
		sentence.Talker, sentence.Type = address[:2], address[2:]
	}
	if hasFields {
		sentence.Fields = strings.Split(rest, ",")
	}
	return sentence, nil
}

// fields reads a sentence's fields by number and keeps the first thing that was wrong. A field that is empty or not there is nil:
// receivers leave out what they do not know, and older ones know fewer fields.
type fields struct {
	list []string
	err  error
}

func (f *fields) text(i int) string {
	if i >= len(f.list) {
		return ""
	}
	return strings.TrimSpace(f.list[i])
}

// letter is a field of one letter, in upper case; 0 if it is empty.
func (f *fields) letter(i int, allowed string) byte {
	text := strings.ToUpper(f.text(i))
	if text == "" {
		return 0
	}
	if len(text) != 1 || !strings.Contains(allowed, text) {
		f.wrong(i, "one of the letters "+allowed)
		return 0
	}
	return text[0]
}

func (f *fields) wrong(i int, right string) {
	if f.err == nil {
		f.err = fmt.Errorf("field %d, %q: it is %s", i+1, f.text(i), right)
	}
}

// number is a decimal number within bounds.
func (f *fields) number(i int, low, high float64) *float64 {
	text := f.text(i)
	if text == "" {
		return nil
	}
	value, ok := decimal(text)
	if !ok || value < low || value > high {
		f.wrong(i, fmt.Sprintf("a number from %g to %g", low, high))
		return nil
	}
	return &value
}

// direction is a number of degrees; 360 counts as 0.
func (f *fields) direction(i int) *float64 {
	value := f.number(i, 0, 360)
	if value != nil && *value == 360 {
		*value = 0
	}
	return value
}

// signed is a number with the letter that gives its sign in the field after it: positive for the first letter. Without a letter the
// number says nothing.
func (f *fields) signed(i int, high float64, letters string) *float64 {
	value, side := f.number(i, 0, high), f.letter(i+1, letters)
	if value == nil || side == 0 {
		return nil
	}
	if side == letters[1] {
		*value = -*value
	}
	return value
}

// position is latitude, N or S, longitude, E or W from field i on; nil if any of them is missing.
func (f *fields) position(i int) *earth.Position {
	latitude, longitude := f.degrees(i, "NS", 90), f.degrees(i+2, "EW", 180)
	if latitude == nil || longitude == nil {
		return nil
	}
	return &earth.Position{Lat: *latitude, Lon: *longitude}
}

// degrees is one half of a position, ddmm.mmm or dddmm.mmm and its letter.
func (f *fields) degrees(i int, letters string, limit float64) *float64 {
	packed := f.signed(i, limit*100, letters)
	if packed == nil {
		return nil
	}
	degrees := math.Trunc(*packed / 100)
	minutes := *packed - degrees*100
	value := degrees + minutes/60
	if math.Abs(minutes) >= 60 || math.Abs(value) > limit {
		f.wrong(i, fmt.Sprintf("degrees up to %g and minutes below 60, as ddmm.mmm", limit))
		return nil
	}
	return &value
}

// timeOfDay is hhmmss.ss, kept to the millisecond; a leap second counts as the one before it.
func (f *fields) timeOfDay(i int) *time.Duration {
	text := f.text(i)
	if text == "" {
		return nil
	}
	digits, decimals, _ := strings.Cut(text, ".")
	hour, minute, second, ok := pairs(digits)
	fraction, fractionOK := 0.0, true
	if decimals != "" {
		fraction, fractionOK = decimal("0." + decimals)
	}
	if !ok || !fractionOK || hour > 23 || minute > 59 || second > 60 {
		f.wrong(i, "a time, hhmmss")
		return nil
	}
	const lastSecond, lastMillisecond = 59, 999
	total := time.Duration(hour*3600+minute*60+min(second, lastSecond)) * time.Second
	total += time.Duration(min(math.Round(fraction*1e3), lastMillisecond)) * time.Millisecond
	return &total
}

// date is ddmmyy. Years below 80 are of this century: no receiver is older than the system that it receives.
func (f *fields) date(i int) *time.Time {
	text := f.text(i)
	if text == "" {
		return nil
	}
	day, month, year, ok := pairs(text)
	if !ok {
		f.wrong(i, "a date, ddmmyy")
		return nil
	}
	year += 1900
	if year < 1980 {
		year += 100
	}
	return f.day(i, year, month, day)
}

// day is a date that exists.
func (f *fields) day(i, year, month, day int) *time.Time {
	date := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if date.Year() != year || date.Month() != time.Month(month) || date.Day() != day {
		f.wrong(i, "a date of the calendar")
		return nil
	}
	return &date
}

// pairs takes six digits apart.
func pairs(text string) (first, second, third int, ok bool) {
	if len(text) != 6 {
		return 0, 0, 0, false
	}
	packed, ok := decimal(text)
	if !ok || strings.ContainsAny(text, "+-.") {
		return 0, 0, 0, false
	}
	whole := int(packed)
	return whole / 10000, whole / 100 % 100, whole % 100, true
}

// decimal reads digits with at most one point and one sign: none of the other forms that strconv knows.
func decimal(text string) (float64, bool) {
	const longest = 40
	digits := strings.TrimLeft(text, "+-")
	if len(text)-len(digits) > 1 || len(text) > longest || strings.Trim(digits, "0123456789.") != "" || strings.Trim(digits, ".") == "" {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}

// maxLine is the longest line that is read, in bytes: a sentence with whatever a logger puts before it.
const maxLine = 4 * MaxSentence

// errLongLine is the error of one line that is too long; the next can be read.
var errLongLine = fmt.Errorf("a line of more than %d bytes", maxLine)

// lines reads lines of bounded length.
type lines struct {
	reader *bufio.Reader
	number int // of the line read last, from 1
}

func newLines(r io.Reader) *lines { return &lines{reader: bufio.NewReaderSize(r, maxLine)} }

// next is the next line with its end. Any error but errLongLine is the reader's, and nothing follows; a last line without its end
// comes before it.
func (l *lines) next() (string, error) {
	line, err := l.reader.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		for errors.Is(err, bufio.ErrBufferFull) {
			_, err = l.reader.ReadSlice('\n')
		}
		l.number++
		return "", errLongLine
	}
	if len(line) == 0 {
		return "", err
	}
	l.number++
	return string(line), nil
}
