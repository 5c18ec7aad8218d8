package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// mostProblems is where a report ends: nobody reads on, and a file of rubbish must not fill the memory.
const mostProblems = 200

// reader walks the files and collects what is wrong with them.
type reader struct {
	read     ReadFile
	problems []Problem
	errors   int
	more     *Problem           // stands for those beyond the most that are listed
	sources  map[string]*source // by name
	files    []string           // in the order they were read, which is that of the report
	learn    func(fact)         // told of every key that is asked for; nil except where the documentation is checked
}

// place is where in the files something stands.
type place struct {
	file         string
	line, column int
}

func (p place) problem(severity Severity, text, hint string) Problem {
	return Problem{Severity: severity, File: p.file, Line: p.line, Column: p.column, Text: text, Hint: hint}
}

// brief is a text with its middle left out where it is long: what it quotes may be a whole file.
func brief(text string) string {
	const most, ending = 400, 100
	letters := []rune(text)
	if len(letters) <= most {
		return text
	}
	return string(letters[:most-ending]) + " … " + string(letters[len(letters)-ending:])
}

func (r *reader) add(problem Problem) {
	problem.Path, problem.Text, problem.Hint = brief(problem.Path), brief(problem.Text), brief(problem.Hint)
	if problem.Severity == Error {
		r.errors++
	}
	switch {
	case len(r.problems) < mostProblems:
		r.problems = append(r.problems, problem)
	case r.more == nil:
		r.more = &Problem{
			Severity: problem.Severity, File: problem.File,
			Text: fmt.Sprintf("there are more than %d problems; the rest is not listed", mostProblems),
		}
	case problem.Severity == Error:
		r.more.Severity = Error
	}
}

// inOrder is every problem in the order of the files and their lines, with the lines themselves.
func (r *reader) inOrder() []Problem {
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(slices.Index(r.files, a.File), slices.Index(r.files, b.File)),
			cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	for i, problem := range r.problems {
		r.problems[i].Excerpt = r.sources[problem.File].excerpt(problem.Line, problem.Column)
	}
	if r.more != nil {
		return append(r.problems, *r.more)
	}
	return r.problems
}

// value is one value of a file with the way that leads to it.
type value struct {
	*reader
	file string
	path string     // route.legs[1].to
	key  *yaml.Node // the key before it; nil for the root and for an item of a list
	node *yaml.Node
}

// place is where the value stands; a block that hangs under a key is found at its key.
func (v value) place() place {
	node := v.node
	if v.key != nil && node.Kind != yaml.ScalarNode && node.Style&yaml.FlowStyle == 0 {
		node = v.key
	}
	return place{v.file, node.Line, node.Column}
}

func (v value) report(severity Severity, text, hint string) {
	problem := v.place().problem(severity, text, hint)
	problem.Path = v.path
	v.add(problem)
}

func (v value) fail(text, hint string)    { v.report(Error, text, hint) }
func (v value) caution(text, hint string) { v.report(Caution, text, hint) }

// is says what stands there, for messages about something else that was wanted.
func (v value) is() string {
	switch {
	case v.node.Kind == yaml.MappingNode:
		return "a group of keys"
	case v.node.Kind == yaml.SequenceNode:
		return "a list"
	case v.isNull():
		return "nothing"
	}
	return fmt.Sprintf("%q", v.node.Value)
}

// isNull reports whether a key stands there without a value.
func (v value) isNull() bool { return v.node.Kind == yaml.ScalarNode && v.node.Tag == "!!null" }

// scalar is the text of a single value; ok is false where something else stands, which has been reported with what was wanted.
func (v value) scalar(wanted string) (text string, ok bool) {
	switch {
	case v.isNull():
		v.fail("there is no value", wanted+", or leave the key out")
	case v.node.Kind != yaml.ScalarNode:
		v.fail(fmt.Sprintf("there is %s where one value belongs", v.is()), wanted)
	default:
		return strings.TrimSpace(v.node.Value), true
	}
	return "", false
}

// plainScalar is the text of a single value, without a word where something else stands.
func (v value) plainScalar() (text string, ok bool) {
	if v.isNull() || v.node.Kind != yaml.ScalarNode {
		return "", false
	}
	return strings.TrimSpace(v.node.Value), true
}

// items are the values of a list; ok is false where there is no list, which has been reported.
func (v value) items(wanted string) (items []value, ok bool) {
	if v.node.Kind != yaml.SequenceNode {
		v.fail(fmt.Sprintf("there is %s where a list belongs", v.is()), wanted)
		return nil, false
	}
	for i, node := range v.node.Content {
		items = append(items, value{v.reader, v.file, fmt.Sprintf("%s[%d]", v.path, i), nil, node})
	}
	return items, true
}

// object is a group of keys. Every key that is asked for is remembered, so that finish finds those nobody asked for.
type object struct {
	value
	pairs  []value // in the order of the file, each key once
	asked  []string
	absent map[string]Problem // by key: what is to be said if it was not just misspelt
}

// object opens a group of keys; ok is false where there is none, which has been reported. A key given twice is reported, and the
// first one counts.
func (v value) object(wanted string) (o *object, ok bool) {
	if v.node.Kind != yaml.MappingNode {
		v.fail(fmt.Sprintf("there is %s where a group of keys belongs", v.is()), wanted)
		return &object{value: v}, false
	}
	o = &object{value: v}
	lines := map[string]int{}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key, node := v.node.Content[i], v.node.Content[i+1]
		entry := value{v.reader, v.file, v.join(key.Value), key, node}
		switch first, twice := lines[key.Value]; {
		case key.Kind != yaml.ScalarNode:
			value{v.reader, v.file, v.path, nil, key}.fail("a key must be one word", "")
		case twice:
			problem := place{v.file, key.Line, key.Column}.problem(Error,
				fmt.Sprintf("the key %q is given twice, first on line %d", key.Value, first), "leave one of them out")
			problem.Path = entry.path
			v.add(problem)
		default:
			lines[key.Value] = key.Line
			o.pairs = append(o.pairs, entry)
		}
	}
	return o, true
}

func (v value) join(key string) string {
	if v.path == "" {
		return key
	}
	return v.path + "." + key
}

// get finds a key's value and remembers that the key is known.
func (o *object) get(key string) (v value, ok bool) {
	o.asked = append(o.asked, key)
	return o.find(key)
}

func (o *object) find(key string) (v value, ok bool) {
	for _, pair := range o.pairs {
		if pair.key.Value == key {
			return pair, true
		}
	}
	return value{}, false
}

// finish reports every key that was not asked for, with the nearest one that was, and every key that is absent, unless one of the
// former must have been meant for it.
func (o *object) finish() {
	for _, pair := range o.pairs {
		name := pair.key.Value
		if slices.Contains(o.asked, name) {
			continue
		}
		problem := place{o.file, pair.key.Line, pair.key.Column}.problem(Error,
			fmt.Sprintf("the key %q is not known here", name), meant(name, o.asked))
		problem.Path = pair.path
		o.add(problem)
		delete(o.absent, nearest(name, o.asked))
	}
	for _, key := range slices.Sorted(maps.Keys(o.absent)) {
		o.add(o.absent[key])
	}
}

// missing tells of a key that is not there, at the group that should hold it.
func (o *object) missing(key, wanted string) {
	o.lacks(key, o.place().problem(Error, fmt.Sprintf("the key %q is missing", key), wanted))
}

// assumed notes a default that was taken, at the group that doesn't hold the key.
func (o *object) assumed(key, what string) {
	o.lacks(key, o.place().problem(Note, "not given: "+what, ""))
}

func (o *object) lacks(key string, problem Problem) {
	problem.Path = o.join(key)
	if o.absent == nil {
		o.absent = map[string]Problem{}
	}
	o.absent[key] = problem
}
