package entry

import (
	"fmt"
	"strconv"
	"strings"
	"time"
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

func parseSpan(tokens []token) (time.Duration, bool) {
	text := strings.ToLower(join(tokens))
	if minutes, seconds, ok := strings.Cut(text, ":"); ok {
		m, err1 := strconv.ParseUint(minutes, 10, 16)
		s, err2 := strconv.ParseUint(seconds, 10, 8)
		return time.Duration(m)*time.Minute + time.Duration(s)*time.Second, err1 == nil && err2 == nil && s < 60
	}
	digits := strings.TrimLeft(text, "0123456789.")
	unit, ok := spanUnits[strings.TrimSpace(digits)]
	if !ok {
		return 0, false
	}
	amount, err := number(text[:len(text)-len(digits)])
	if err != nil || amount > 1e6 {
		return 0, false
	}
	return time.Duration(amount * float64(unit)), true
}

var spanUnits = map[string]time.Duration{
	"s": time.Second, "sec": time.Second, "secs": time.Second, "second": time.Second, "seconds": time.Second,
	"m": time.Minute, "min": time.Minute, "mins": time.Minute, "minute": time.Minute, "minutes": time.Minute,
	"h": time.Hour, "hour": time.Hour, "hours": time.Hour,
}

func looksLikeTime(text string) bool {
	hour, _, ok := strings.Cut(text, ":")
	return ok && hour != "" && strings.Trim(text, "0123456789:z") == ""
}

// timeOfDay reads "10:42", "10:42:30", each with or without Z, on the day that puts it nearest.
func (c times) timeOfDay(text string) (time.Time, error) {
	plain := strings.TrimSuffix(text, "z")
	for _, layout := range []string{"15:04:05", "15:04"} {
		clock, err := time.Parse(layout, plain)
		if err != nil {
			continue
		}
		near := c.near.UTC()
		at := time.Date(near.Year(), near.Month(), near.Day(), clock.Hour(), clock.Minute(), clock.Second(), 0, time.UTC)
		if gap := at.Sub(near); gap > 12*time.Hour {
			at = at.AddDate(0, 0, -1)
		} else if gap <= -12*time.Hour {
			at = at.AddDate(0, 0, 1)
		}
		return at, nil
	}
	return time.Time{}, fmt.Errorf(`%q is not a time of day: write "10:42" or "10:42:30", UTC`, text)
}
