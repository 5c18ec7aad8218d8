package entry

import (
	"strings"

	"example.com/legclock/internal/flight"
)

// Suggestion is a way to go on with a half-typed line.
type Suggestion struct {
	Line string // what the line would become
	Show string // the word, or the verb with its usage
	Does string
}

// Suggest lists what a half-typed line may become: the acts that begin so, then the names that its act takes next, and always
// how the act is written.
func Suggest(line string, s flight.Snapshot) []Suggestion {
	verb, rest, begun := strings.Cut(strings.TrimLeft(line, " "), " ")
	if !begun {
		return suggestVerbs(verb)
	}
	form, err := formOf(verb)
	if err != nil {
		return nil
	}
	return append(form.suggestNames(verb+" "+rest, rest, namesOf(s)), Suggestion{Line: line, Show: form.usage(), Does: "as in: " + form.ExampleIn(s)})
}

func suggestVerbs(typed string) []Suggestion {
	var found []Suggestion
	for _, form := range Forms() {
		if !hasPrefixFold(form.Verb, typed) {
			continue
		}
		line := form.Verb
		if form.Usage != "" {
			line += " "
		}
		found = append(found, Suggestion{Line: line, Show: form.usage(), Does: form.Does})
	}
	return found
}

func (f Form) usage() string { return strings.TrimSpace(f.Verb + " " + f.Usage) }

// suggestNames completes the word that the line ends in.
func (f Form) suggestNames(line, rest string, n names) []Suggestion {
	begun := tokenise(rest)
	typed := ""
	if len(begun) > 0 && !strings.HasSuffix(rest, " ") && !strings.HasSuffix(rest, `"`) {
		typed = begun[len(begun)-1].text
		begun = begun[:len(begun)-1]
	}
	if len(begun) >= len(f.names) || f.names[len(begun)] == nil {
		return nil
	}
	before := strings.TrimSuffix(strings.TrimSuffix(line, typed), `"`)
	var found []Suggestion
	for _, name := range f.names[len(begun)](n) {
		if hasPrefixFold(name, typed) && !strings.EqualFold(name, typed) {
			found = append(found, Suggestion{Line: before + quote(name) + " ", Show: name})
		}
	}
	return found
}

// Complete finishes the word that a line ends in, as far as all suggestions agree.
func Complete(line string, s flight.Snapshot) string {
	common := ""
	for _, suggestion := range Suggest(line, s) {
		switch {
		case suggestion.Line == line:
		case common == "":
			common = suggestion.Line
		default:
			common = commonPrefix(common, suggestion.Line)
		}
	}
	unquoted := func(text string) string { return strings.ReplaceAll(text, `"`, "") }
	if !hasPrefixFold(unquoted(common), unquoted(strings.TrimLeft(line, " "))) {
		return line
	}
	return common
}

func commonPrefix(a, b string) string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return strings.ToValidUTF8(a[:n], "")
}

// ExampleIn is how the act is typed, with the names of the flight at hand: its next point, where it would divert to, its beacons, receivers and tanks.
func (f Form) ExampleIn(s flight.Snapshot) string {
	n, own := namesOf(s), map[string]string{}
	set := func(name string, samples ...string) {
		for _, sample := range samples {
			if name != "" {
				own[sample] = quote(name)
			}
		}
	}
	set(s.Leg.To, "KVN", "GRN")
	if s.Destination != nil {
		set(s.Destination.Point, "STR")
	}
	set(s.SuggestedDiversion, "STR")
	if f.Verb == "fix" || f.Verb == "bearing" || f.Verb == "tuned" || f.Verb == "identified" {
		set(first(n.beacons, 0), "KVN", "GRN", "OBN")
	}
	set(first(n.receivers, 0), "NAV1")
	if f.Verb == "tank" || f.Verb == "gauges" {
		set(first(n.tanks, 0), "left")
		set(first(n.tanks, 1), "right")
	}
	words := strings.Split(f.Example, " ")
	for i, word := range words {
		if name, known := own[word]; known {
			words[i] = name
		}
	}
	if f.Verb == "gauges" && len(n.tanks) == 1 {
		words = words[:3]
	}
	return strings.Join(words, " ")
}

func first(names []string, at int) string {
	if at < len(names) {
		return names[at]
	}
	return ""
}
