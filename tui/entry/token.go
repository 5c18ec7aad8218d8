package entry

import (
	"strings"
	"unicode"
)

// token is a word of a line, or what stood in double quotes.
type token struct {
	text   string
	quoted bool
}

func (t token) is(word string) bool { return !t.quoted && strings.EqualFold(t.text, word) }

// tokenise splits a line at blanks outside double quotes. A quote that is never closed runs to the end.
func tokenise(line string) []token {
	var tokens []token
	for {
		line = strings.TrimLeftFunc(line, unicode.IsSpace)
		if line == "" {
			return tokens
		}
		if line[0] == '"' {
			text, rest, _ := strings.Cut(line[1:], `"`)
			tokens = append(tokens, token{text, true})
			line = rest
			continue
		}
		end := strings.IndexFunc(line, func(r rune) bool { return unicode.IsSpace(r) || r == '"' })
		if end < 0 {
			end = len(line)
		}
		tokens = append(tokens, token{line[:end], false})
		line = line[end:]
	}
}

func join(tokens []token) string {
	texts := make([]string, len(tokens))
	for i, t := range tokens {
		texts[i] = t.text
	}
	return strings.Join(texts, " ")
}

// quote writes a name so that tokenise gives it back as one token.
func quote(name string) string {
	plain := name != "" && !strings.ContainsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '"' })
	if plain && !looksLikeTime(strings.ToLower(name)) {
		return name
	}
	return `"` + strings.ReplaceAll(name, `"`, "'") + `"`
}
