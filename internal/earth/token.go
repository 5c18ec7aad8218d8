package earth

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
)

// positionToken is one piece of a written position: a figure, one of the letters N S E W, or a comma.
type positionToken struct {
	kind   tokenKind
	figure figure
	letter byte
}

type tokenKind int

const (
	figureToken tokenKind = iota
	letterToken
	commaToken
)

// unitMarks are the marks for degrees, minutes and seconds as keyboards and typesetters give them.
var unitMarks = map[rune]rune{
	'°': '°', 'º': '°', '˚': '°',
	'\'': '\'', '′': '\'', '’': '\'', 'ʹ': '\'',
	'"': '"', '″': '"', '”': '"', 'ʺ': '"',
}

func positionTokens(text string) ([]positionToken, error) {
	const longest = 100
	if len(text) > longest {
		return nil, errors.New("too long")
	}
	text = strings.NewReplacer("−", "-", "''", `"`, "′′", "″", "’’", "”").Replace(text)
	runes := []rune(text)
	var tokens []positionToken
	for i := 0; i < len(runes); {
		r := runes[i]
		switch {
		case unicode.IsSpace(r):
			i++
		case r == ',':
			tokens = append(tokens, positionToken{kind: commaToken})
			i++
		case strings.ContainsRune("NSEWnsew", r):
			tokens = append(tokens, positionToken{kind: letterToken, letter: byte(unicode.ToUpper(r))})
			i++
		case unitMarks[r] != 0:
			if len(tokens) == 0 || tokens[len(tokens)-1].kind != figureToken || tokens[len(tokens)-1].figure.mark != 0 {
				return nil, fmt.Errorf("%q does not follow a figure", string(r))
			}
			tokens[len(tokens)-1].figure.mark = unitMarks[r]
			i++
		default:
			read, next, err := readFigure(runes, i)
			if err != nil {
				return nil, err
			}
			tokens = append(tokens, positionToken{kind: figureToken, figure: read})
			i = next
		}
	}
	if len(tokens) == 0 {
		return nil, errors.New("nothing is written")
	}
	return tokens, nil
}

// readFigure reads a number: a sign or none, digits, and a point with decimals or none.
func readFigure(runes []rune, begin int) (read figure, end int, err error) {
	i := begin
	if runes[i] == '-' || runes[i] == '+' {
		read.sign = string(runes[i])
		i++
	}
	digits := func() string {
		from := i
		for i < len(runes) && runes[i] >= '0' && runes[i] <= '9' {
			i++
		}
		return string(runes[from:i])
	}
	if read.whole = digits(); read.whole == "" {
		return figure{}, 0, fmt.Errorf("%q is not part of a position", string(runes[begin]))
	}
	if i < len(runes) && runes[i] == '.' {
		i++
		read.decimals = "." + digits()
	}
	return read, i, nil
}
