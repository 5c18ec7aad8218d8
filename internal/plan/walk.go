package plan

import (
	"cmp"
	"fmt"
	"iter"
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

func newReader(read ReadFile) *reader {
	return &reader{read: read, sources: map[string]*source{}}
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
	file  string
	begin string     // the path of the root, "aircraft" where it is another file's
	in    *value     // the group or list that it stands in; nil for the root
	key   *yaml.Node // the key before it; nil for the root and for an item of a list
	index int        // of an item in its list
	node  *yaml.Node
	// needed says that it can't be left out: a required key's value, or an item of a list.
	needed bool
}

// path is the way to the value, route.legs[1].to. It is put into words only where something is said of the value.
func (v value) path() string {
	switch {
	case v.in == nil:
		return v.begin
	case v.key != nil:
		return v.in.join(v.key.Value)
	}
	return fmt.Sprintf("%s[%d]", v.in.path(), v.index)
}

// join is the path of a key of the group.
func (v value) join(key string) string {
	path := v.path()
	if path == "" {
		return key
	}
	return path + "." + key
}

func (v *value) entry(key, node *yaml.Node) value {
	return value{reader: v.reader, file: v.file, in: v, key: key, node: node}
}

// find finds a key's value, the first where it is given twice.
func (v *value) find(key string) (found value, ok bool) {
	if v.node.Kind != yaml.MappingNode {
		return value{}, false
	}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		if name := v.node.Content[i]; name.Value == key {
			return v.entry(name, v.node.Content[i+1]), true
		}
	}
	return value{}, false
}

func (v *value) item(index int, node *yaml.Node) value {
	return value{reader: v.reader, file: v.file, in: v, index: index, node: node, needed: true}
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
	problem.Path = v.path()
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
	case v.isNull() && v.needed:
		v.fail("there is no value", wanted)
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
	items = make([]value, len(v.node.Content))
	for i, node := range v.node.Content {
		items[i] = v.item(i, node)
	}
	return items, true
}

// object is a group of keys. Every key that is asked for is remembered, so that finish finds those nobody asked for.
type object struct {
	value
	asked  []string
	refuse map[*yaml.Node]bool // keys that are none, or given before
	absent map[string]Problem  // by key: what is to be said if it was not just misspelt
}

// mostKeys is how many keys most groups are asked for.
const mostKeys = 14

// object opens a group of keys; ok is false where there is none, which has been reported. A key given twice is reported, and the
// first one counts.
func (v value) object(wanted string) (o *object, ok bool) {
	if v.node.Kind != yaml.MappingNode {
		v.fail(fmt.Sprintf("there is %s where a group of keys belongs", v.is()), wanted)
		return &object{value: v}, false
	}
	o = &object{value: v, asked: make([]string, 0, mostKeys)}
	lines := make(map[string]int, len(v.node.Content)/2)
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key := v.node.Content[i]
		switch first, twice := lines[key.Value]; {
		case key.Kind != yaml.ScalarNode:
			value{reader: v.reader, file: v.file, begin: v.path(), node: key}.fail("a key must be one word", "")
			o.refused(key)
		case twice:
			problem := place{v.file, key.Line, key.Column}.problem(Error,
				fmt.Sprintf("the key %q is given twice, first on line %d", key.Value, first), "leave one of them out")
			problem.Path = v.join(key.Value)
			v.add(problem)
			o.refused(key)
		default:
			lines[key.Value] = key.Line
		}
	}
	return o, true
}

func (o *object) refused(key *yaml.Node) {
	if o.refuse == nil {
		o.refuse = map[*yaml.Node]bool{}
	}
	o.refuse[key] = true
}

// pairs are the values of the group in the order of the file, each key once.
func (o *object) pairs() iter.Seq[value] {
	return func(yield func(value) bool) {
		for i := 0; i+1 < len(o.node.Content); i += 2 {
			if key := o.node.Content[i]; !o.refuse[key] && !yield(o.entry(key, o.node.Content[i+1])) {
				return
			}
		}
	}
}

// get finds a key's value and remembers that the key is known.
func (o *object) get(key string) (v value, ok bool) {
	o.asked = append(o.asked, key)
	return o.find(key)
}

// need is get for a required key: where it is not there, that is reported with what is wanted.
func (o *object) need(key, wanted string) (v value, ok bool) {
	if v, ok = o.get(key); !ok {
		o.missing(key, wanted)
	}
	v.needed = true
	return v, ok
}

// finish reports every key that was not asked for, with the nearest one that was, and every key that is absent, unless one of the
// former must have been meant for it.
func (o *object) finish() {
	for pair := range o.pairs() {
		name := pair.key.Value
		if slices.Contains(o.asked, name) {
			continue
		}
		problem := place{o.file, pair.key.Line, pair.key.Column}.problem(Error,
			fmt.Sprintf("the key %q is not known here", name), meant(name, o.asked))
		problem.Path = pair.path()
		o.add(problem)
		delete(o.absent, nearest(name, o.asked))
	}
	if len(o.absent) == 0 {
		return
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
