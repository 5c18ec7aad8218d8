package feed

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// MaxSentence is the longest sentence that is read, in bytes. The standard allows 82; receivers with many decimals exceed it.
const MaxSentence = 256

// Sentence is one line of NMEA 0183, its checksum found right.
type Sentence struct {
	Talker string // two letters: GP, GN, HE…; empty for a proprietary sentence
	Type   string // three letters: RMC, GGA…; a proprietary sentence's whole address
	Fields []string
}

// errNoSentence is the error of a line that has no sentence in it.
var errNoSentence = errors.New(`no sentence: it begins with "$"`)

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
