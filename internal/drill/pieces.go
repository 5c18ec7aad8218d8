package drill

import (
	"errors"
	"strconv"
	"strings"
	"unicode"
)

// piece is a number, a word or a sign of an answer, in lower case.
type piece struct {
	text     string
	isNumber bool
}

// pieces are an answer taken apart: digits from letters, without blanks. A decimal comma has become a point.
type pieces []piece

// piecesOf takes an answer apart. A decimal point or a colon belongs to a number only between or before digits.
func piecesOf(text string) pieces {
	text = strings.ReplaceAll(strings.ToLower(text), "°", " deg ")
	var p pieces
	for runes := []rune(text); len(runes) > 0; {
		length := pieceLength(runes)
		word := string(runes[:length])
		if strings.TrimSpace(word) != "" {
			p = append(p, piece{strings.ReplaceAll(word, ",", "."), isNumeral(runes[0]) || length > 1 && isPoint(runes[0])})
		}
		runes = runes[length:]
	}
	return p
}

// pieceLength is how many runes, at least one, belong together from the first one on.
func pieceLength(runes []rune) int {
	belongs := func(i int) bool {
		return isNumeral(runes[i]) || (isPoint(runes[i]) || runes[i] == ':' && i > 0) && i+1 < len(runes) && isNumeral(runes[i+1])
	}
	if unicode.IsLetter(runes[0]) {
		belongs = func(i int) bool { return unicode.IsLetter(runes[i]) }
	}
	n := 0
	for n < len(runes) && belongs(n) {
		n++
	}
	return max(1, n)
}

func isNumeral(r rune) bool { return r >= '0' && r <= '9' }

func isPoint(r rune) bool { return r == '.' || r == ',' }

var errNoNumber = errors.New("not a number")

// number reads a piece as a figure without sign.
func (p piece) number() (float64, error) {
	if !p.isNumber {
		return 0, errNoNumber
	}
	value, err := strconv.ParseFloat(p.text, 64)
	if err != nil || value > largest {
		return 0, errNoNumber
	}
	return value, nil
}

// digits reports whether a piece is a whole number.
func (p piece) digits() bool { return p.isNumber && strings.Trim(p.text, "0123456789") == "" }

// without leaves out words.
func (p pieces) without(words ...string) pieces {
	var kept pieces
	for _, one := range p {
		if !contains(words, one.text) {
			kept = append(kept, one)
		}
	}
	return kept
}

// join writes pieces again, words parted by a blank and signs by nothing.
func (p pieces) join() string {
	var text strings.Builder
	for i, one := range p {
		sign := strings.Trim(one.text, "/-") == ""
		if i > 0 && !sign && strings.Trim(p[i-1].text, "/-") != "" {
			text.WriteByte(' ')
		}
		text.WriteString(one.text)
	}
	return text.String()
}
