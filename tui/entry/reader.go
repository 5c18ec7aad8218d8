package entry

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// reader walks through the words after a verb. Its first error stays and makes the rest read nothing, so that a form need
// ask only at its end.
type reader struct {
	tokens []token
	names  names
	err    error
}

func (r *reader) fail(format string, values ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, values...)
	}
}

func (r *reader) more() bool { return r.err == nil && len(r.tokens) > 0 }

// next takes the next word; what says what it should be.
func (r *reader) next(what string) token {
	if r.err != nil {
		return token{}
	}
	if len(r.tokens) == 0 {
		r.fail("%s is missing", what)
		return token{}
	}
	first := r.tokens[0]
	r.tokens = r.tokens[1:]
	return first
}

// word takes the next word if it is one of the given, and returns the one it is.
func (r *reader) word(words ...string) string {
	if !r.more() {
		return ""
	}
	for _, word := range words {
		if r.tokens[0].is(word) {
			r.tokens = r.tokens[1:]
			return word
		}
	}
	return ""
}

// rest takes all that is left as it was typed.
func (r *reader) rest() string {
	text := join(r.tokens)
	r.tokens = nil
	return text
}

// text is the rest where there must be some.
func (r *reader) text() string {
	text := r.rest()
	if text == "" {
		r.fail("the text is missing")
	}
	return text
}

// figure takes a number within the range that figures of a name have.
func (r *reader) figure(what, name string) *float64 {
	within := flight.RangeOf(name)
	return r.number(what, within.Low, within.High)
}

// within reads a number within the range that figures of a name have.
func (r *reader) within(what, text, name string) *float64 {
	within := flight.RangeOf(name)
	return r.bounded(what, text, within.Low, within.High)
}

// number takes a number from low to high.
func (r *reader) number(what string, low, high float64) *float64 {
	text := r.next(what).text
	if r.err != nil {
		return nil
	}
	return r.bounded(what, text, low, high)
}

func (r *reader) bounded(what, text string, low, high float64) *float64 {
	value, err := say.ParseNumber(text)
	switch {
	case err != nil:
		r.fail("%s: %w", what, err)
		return nil
	case value < low || value > high:
		r.fail("%s: %s is outside %s to %s", what, text, say.SayNumber(low, say.AllDecimals), say.SayNumber(high, say.AllDecimals))
		return nil
	}
	return &value
}

// side takes "left" or "right" and gives the number its sign: right positive.
func (r *reader) side(value *float64) *float64 {
	side := r.word("left", "right", "l", "r")
	switch {
	case r.err != nil || value == nil:
		return nil
	case side == "" && *value != 0:
		r.fail(`after %s must stand "left" or "right" of track`, say.SayNumber(*value, say.AllDecimals))
		return nil
	case strings.HasPrefix(side, "l"):
		return new(-*value + 0) // never minus nought
	default:
		return value
	}
}

// name takes a name of the kind: the longest run of words that is one, else the next word as it stands.
func (r *reader) name(what string, known []string) string {
	if !r.more() {
		return r.next(what).text
	}
	if r.tokens[0].quoted {
		return match(r.next(what).text, known, false)
	}
	for words := len(r.tokens); words >= 1; words-- {
		typed := join(r.tokens[:words])
		for _, candidate := range known {
			if strings.EqualFold(typed, candidate) {
				r.tokens = r.tokens[words:]
				return candidate
			}
		}
	}
	return match(r.next(what).text, known, true)
}

// match gives a typed name the capitals of the known one, or completes it where only one begins so.
func match(typed string, known []string, shortened bool) string {
	var found []string
	for _, candidate := range known {
		if strings.EqualFold(typed, candidate) {
			return candidate
		}
		if shortened && hasPrefixFold(candidate, typed) && !slices.Contains(found, candidate) {
			found = append(found, candidate)
		}
	}
	if len(found) == 1 {
		return found[0]
	}
	return typed
}

func hasPrefixFold(text, prefix string) bool {
	return len(text) >= len(prefix) && strings.EqualFold(text[:len(prefix)], prefix)
}

// position takes all that is left as a place.
func (r *reader) position() *earth.Position {
	text := join(r.tokens)
	if r.err != nil {
		return nil
	}
	r.tokens = nil
	at, err := earth.ParsePosition(text)
	if err != nil {
		r.fail("%w", err)
		return nil
	}
	return &at
}

// end is the error so far, or what is wrong with words left over.
func (r *reader) end() error {
	if r.more() {
		return fmt.Errorf("%q is one word too many", join(r.tokens))
	}
	return r.err
}

var errNothing = errors.New("nothing was typed")

// names are what a line may name.
type names struct {
	points, beacons, receivers, tanks []string
	ahead                             map[string]int // the legs of the plan that end at the points at which it can be taken up
	prompts                           []flight.Prompt
}

func namesOf(s flight.Snapshot) names {
	var n names
	add := func(list *[]string, name string) {
		if name != "" && !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	for _, point := range s.Route {
		if point.Actual == nil && point.Leg >= s.Leg.Index { // what lies ahead comes first
			add(&n.points, point.Point)
		}
	}
	for _, point := range s.Route {
		add(&n.points, point.Point)
	}
	for _, alternate := range s.Alternates {
		add(&n.points, alternate.Point)
	}
	n.ahead = map[string]int{}
	for _, way := range s.WaysOut {
		add(&n.points, way.Point)
		if way.Rejoin != nil {
			n.ahead[way.Point] = *way.Rejoin
		}
	}
	for _, receiver := range s.Radio {
		add(&n.receivers, receiver.Receiver)
		if receiver.Tuned != nil {
			add(&n.beacons, receiver.Tuned.Beacon)
		}
		if receiver.Next != nil {
			add(&n.beacons, receiver.Next.Beacon)
		}
	}
	for _, point := range n.points {
		add(&n.beacons, point)
	}
	for _, tank := range s.Tanks.Tanks {
		add(&n.tanks, tank.Name)
	}
	for _, p := range s.Prompts {
		if open(p) {
			n.prompts = append(n.prompts, p)
		}
	}
	return n
}

func open(p flight.Prompt) bool {
	return p.Open()
}
