package entry

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
)

// Parse reads one line: an act, its values and its time. In the event a zero T means now; N, Rec and By are not set. The
// Snapshot gives the names that may be shortened, the first prompt, and now.
func Parse(line string, s flight.Snapshot) (flight.Event, error) {
	return parse(line, s, times{s.At, s.At})
}

func parse(line string, s flight.Snapshot, c times) (flight.Event, error) {
	tokens := mergeVerb(tokenise(line))
	if len(tokens) == 0 {
		return flight.Event{}, errNothing
	}
	form, err := formOf(tokens[0].text)
	if err != nil {
		return flight.Event{}, err
	}
	event, err := form.parse(tokens[1:], s, c)
	if err != nil {
		return flight.Event{}, fmt.Errorf("%s: %w; write %q", form.Verb, err, form.Example)
	}
	return event, nil
}

func (f Form) parse(tokens []token, s flight.Snapshot, c times) (flight.Event, error) {
	switch f.Verb {
	case "amend":
		return parseAmend(tokens, s)
	case "set":
		_, at, err := c.split(tokens)
		if err != nil {
			return flight.Event{}, err
		}
		if len(tokens) != 1 || at.IsZero() {
			return flight.Event{}, fmt.Errorf("one time of day is needed")
		}
		return flight.Event{Act: flight.Clock, Set: &at}, nil
	case "cross": // its time is what is wanted
		rest, at, err := c.split(tokens)
		if err != nil {
			return flight.Event{}, err
		}
		event, err := f.fill(rest, s, time.Time{})
		if !at.IsZero() {
			event.Wanted = &at
		}
		return event, err
	case "note", "atis", "cleared", "contact": // their text may end like a time
		return f.fill(tokens, s, time.Time{})
	}
	rest, at, err := c.split(tokens)
	if err != nil {
		return flight.Event{}, err
	}
	return f.fill(rest, s, at)
}

func (f Form) fill(tokens []token, s flight.Snapshot, at time.Time) (flight.Event, error) {
	var event flight.Event
	r := &reader{tokens: tokens, names: namesOf(s)}
	f.read(r, &event)
	if err := r.end(); err != nil {
		return flight.Event{}, err
	}
	event.T = at
	return event, nil
}

// mergeVerb makes "off blocks", "on blocks", "off track" and "leave hold" one word.
func mergeVerb(tokens []token) []token {
	if len(tokens) < 2 || tokens[0].quoted || tokens[1].quoted {
		return tokens
	}
	pair := strings.ToLower(tokens[0].text + "-" + tokens[1].text)
	switch pair {
	case "off-blocks", "on-blocks", "off-track", "leave-hold":
		return append([]token{{text: pair}}, tokens[2:]...)
	default:
		return tokens
	}
}

// formOf finds the form of a verb, or of the beginning of one that fits no other.
func formOf(verb string) (Form, error) {
	var begins []Form
	for _, form := range Forms() {
		all := append([]string{form.Verb}, form.also...)
		if slices.ContainsFunc(all, func(v string) bool { return strings.EqualFold(v, verb) }) {
			return form, nil
		}
		if slices.ContainsFunc(all, func(v string) bool { return hasPrefixFold(v, verb) }) {
			begins = append(begins, form)
		}
	}
	switch len(begins) {
	case 1:
		return begins[0], nil
	case 0:
		return Form{}, fmt.Errorf("%q is no entry; the nearest is %q", verb, nearest(verb))
	default:
		return Form{}, fmt.Errorf("%q could be %s", verb, listOr(begins))
	}
}

func listOr(forms []Form) string {
	verbs := make([]string, len(forms))
	for i, form := range forms {
		verbs[i] = form.Verb
	}
	last := len(verbs) - 1
	return strings.Join(verbs[:last], ", ") + " or " + verbs[last]
}

// nearest is the verb that takes the fewest changes of letters.
func nearest(typed string) string {
	best, fewest := "", -1
	for _, form := range Forms() {
		for _, verb := range append([]string{form.Verb}, form.also...) {
			if d := distance([]rune(strings.ToLower(typed)), []rune(verb)); fewest < 0 || d < fewest {
				best, fewest = form.Verb, d
			}
		}
	}
	return best
}

// distance is the number of letters to change, insert or leave out to get from a to b.
func distance(a, b []rune) int {
	const enough = 64 // nobody mistypes a verb at that length
	a = a[:min(len(a), enough)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j := range b {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
