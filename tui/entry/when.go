package entry

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"example.com/legclock/internal/say"
)

// longestAgo bounds "… ago": no flight of this kind is longer.
const longestAgo = 24 * time.Hour

// times is what a time in a line counts from: "ago" from now, a time of day on the day that puts it nearest to near.
type times struct{ now, near time.Time }

// When reads a line that is nothing but a time: "10:42", "10:42:30", "2 min ago", "90 s ago", "now".
func When(line string, now time.Time) (time.Time, error) {
	rest, at, err := times{now, now}.split(tokenise(line))
	switch {
	case err != nil:
		return time.Time{}, err
	case len(rest) > 0 || strings.TrimSpace(line) == "":
		return time.Time{}, fmt.Errorf(`%q is not a time: write "10:42", "10:42:30", "2 min ago" or "90 s ago"`, strings.TrimSpace(line))
	case at.IsZero():
		return now, nil
	default:
		return at, nil
	}
}

// split takes a time off the end of a line; without one the time is zero.
func (c times) split(tokens []token) (rest []token, at time.Time, err error) {
	if len(tokens) == 0 || tokens[len(tokens)-1].quoted {
		return tokens, time.Time{}, nil
	}
	rest, last := tokens[:len(tokens)-1], strings.ToLower(tokens[len(tokens)-1].text)
	switch {
	case last == "now":
		return rest, time.Time{}, nil
	case last == "ago":
		return c.ago(rest)
	case looksLikeTime(last):
		at, err = c.timeOfDay(last)
		if len(rest) > 0 && rest[len(rest)-1].is("at") {
			rest = rest[:len(rest)-1]
		}
		return rest, at, err
	default:
		return tokens, time.Time{}, nil
	}
}

// ago takes "2 min", "2min", "90 s" or "1:30" off the end.
func (c times) ago(tokens []token) (rest []token, at time.Time, err error) {
	for words := min(2, len(tokens)); words >= 1; words-- {
		cut := len(tokens) - words
		if span, ok := parseSpan(tokens[cut:]); ok {
			if span > longestAgo {
				return nil, time.Time{}, fmt.Errorf("%s ago is more than a day: give the time of day", join(tokens[cut:]))
			}
			return tokens[:cut], c.now.Add(-span), nil
		}
	}
	return nil, time.Time{}, fmt.Errorf(`"ago" needs a span before it: write "2 min ago", "90 s ago" or "1:30 ago"`)
}

// parseSpan reads a span that says its unit: bare figures before "ago" could be anything.
func parseSpan(tokens []token) (time.Duration, bool) {
	text := join(tokens)
	if !strings.ContainsFunc(text, func(r rune) bool { return r == ':' || unicode.IsLetter(r) }) {
		return 0, false
	}
	minutes, err := say.ParseSpan(text)
	return time.Duration(minutes * float64(time.Minute)).Round(time.Millisecond), err == nil
}

func looksLikeTime(text string) bool {
	hour, _, ok := strings.Cut(text, ":")
	return ok && hour != "" && strings.Trim(text, "0123456789:z") == ""
}

// timeOfDay reads "10:42", "10:42:30", each with or without Z, on the day that puts it nearest.
func (c times) timeOfDay(text string) (time.Time, error) {
	if at, err := say.ParseTimeOfDay(text); err == nil && at.HourSaid {
		return at.Near(c.near), nil
	}
	return time.Time{}, fmt.Errorf(`%q is not a time of day: write "10:42" or "10:42:30", UTC`, text)
}
