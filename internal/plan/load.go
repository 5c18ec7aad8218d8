package plan

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"example.com/legclock/internal/pattern"
)

// ReadFile hands over a file's content: os.ReadFile, or that of an fs.FS.
type ReadFile func(name string) ([]byte, error)

// Load reads a plan and every file that it names, relative to it, and fills in the defaults. All problems come in one run, in
// the order of the files and their lines. With an error among them the plan is nil: a plan that is returned is complete and
// holds everything that can be checked without reckoning.
func Load(name string, read ReadFile) (*Plan, []Problem) {
	r := newReader(read)
	return r.load(name), r.inOrder()
}

func (r *reader) load(name string) *Plan {
	content, ok := r.fetch(name, func(text, hint string) {
		r.add(Problem{Severity: Error, File: name, Text: text, Hint: hint})
	})
	if !ok {
		return nil
	}
	root, ok := r.document(name, "", content)
	if !ok {
		return nil
	}
	d, ok := r.plan(root)
	if !ok {
		return nil
	}
	d.verify()
	if r.errors > 0 {
		return nil
	}
	return d.Plan
}

const (
	largestFile = 1 << 20 // bytes: far beyond any plan or list of points, and still read in a blink
	deepestNode = 32      // the plan file's own depth is 7
)

// fetch reads a file and keeps its lines; ok is false when it can't be had, which is told to whoever named it.
func (r *reader) fetch(name string, fail func(text, hint string)) (content []byte, ok bool) {
	content, err := r.read(name)
	switch {
	case err != nil:
		fail(fmt.Sprintf("%q can't be read: %s", name, reason(err)), "")
		return nil, false
	case len(content) > largestFile:
		fail(fmt.Sprintf("%q is too large: %d bytes", name, len(content)), fmt.Sprintf("at most %d", largestFile))
		return nil, false
	}
	content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	r.files = append(r.files, name)
	r.sources[name] = newSource(name, content)
	return content, true
}

// reason is why a file can't be read, without the name and the act that the message has already.
func reason(err error) string {
	var pathError *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.As(err, &pathError):
		return pathError.Err.Error()
	}
	return err.Error()
}

// document reads a YAML file to its root value; ok is false when there is none to walk, which has been reported.
func (r *reader) document(name, path string, content []byte) (root value, ok bool) {
	var document yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(content))
	switch err := decode(decoder, &document); {
	case errors.Is(err, io.EOF):
		r.add(Problem{Severity: Error, File: name, Text: "the file is empty"})
		return value{}, false
	case err != nil:
		r.add(r.syntaxProblem(name, err))
		return value{}, false
	}
	root = value{reader: r, file: name, begin: path, node: document.Content[0]}
	var second yaml.Node
	switch err := decode(decoder, &second); {
	case errors.Is(err, io.EOF):
	case err != nil:
		r.add(r.syntaxProblem(name, err))
		return value{}, false
	default:
		at := place{name, second.Line, second.Column}
		r.add(at.problem(Error, "a second document begins here", "one file holds one document, without --- lines"))
		return value{}, false
	}
	return root, r.plain(name, root.node, 0)
}

// decode reads one document. A parser that gives up in a panic is a syntax error too: nothing that a file holds may end the
// program.
func decode(decoder *yaml.Decoder, document *yaml.Node) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("yaml: %v", fault)
		}
	}()
	err = decoder.Decode(document)
	if err == nil && len(document.Content) == 0 {
		err = io.EOF
	}
	return err
}

// plain refuses what would make a small file a large tree: aliases, and nesting without end; and tags, which would give a value another meaning.
func (r *reader) plain(name string, node *yaml.Node, depth int) bool {
	at := place{name, node.Line, node.Column}
	switch {
	case node.Kind == yaml.AliasNode:
		r.add(at.problem(Error, fmt.Sprintf("the alias *%s is not read here", node.Value), "write the value out"))
		return false
	case node.Style&yaml.TaggedStyle != 0:
		r.add(at.problem(Error, fmt.Sprintf("the tag %s is not read here", node.Tag), "write the value alone, in quotes if it begins with !"))
		return false
	case depth > deepestNode:
		r.add(at.problem(Error, "the values are nested too deeply", ""))
		return false
	}
	fine := true
	for _, child := range node.Content {
		fine = r.plain(name, child, depth+1) && fine
	}
	return fine
}

var (
	syntaxMessage = pattern.Of(`(?s)^yaml: (?:line (\d+): )?(.*)$`)
	unknownAnchor = pattern.Of(`^unknown anchor '(.+)' referenced$`)
)

// syntaxProblem tells of text that is no YAML. The parser's line is only near the fault, so no column is given.
func (r *reader) syntaxProblem(name string, err error) Problem {
	problem := Problem{Severity: Error, File: name, Text: err.Error()}
	if parts := syntaxMessage().FindStringSubmatch(err.Error()); parts != nil {
		problem.Line, _ = strconv.Atoi(parts[1]) // empty where the parser gives no line
		problem.Text = parts[2]
	}
	if strings.HasPrefix(problem.Text, "did not find expected") && problem.Line > 0 {
		problem.Line++ // for these messages yaml.v3 counts lines from 0
	}
	if problem.Line == 0 { // of a character that no line of a text has
		problem.Line = 1 + slices.IndexFunc(r.sources[name].lines(), func(line string) bool { return strings.ContainsFunc(line, foreignRune) })
	}
	if parts := unknownAnchor().FindStringSubmatch(problem.Text); parts != nil {
		alias := "*" + parts[1]
		problem.Line = 1 + slices.IndexFunc(r.sources[name].lines(), func(line string) bool { return strings.Contains(line, alias) })
	}
	for _, hint := range syntaxHints {
		if strings.Contains(problem.Text, hint.message) {
			problem.Hint = hint.hint
			break
		}
	}
	where := "the file is not YAML"
	if problem.Line > 0 {
		where = fmt.Sprintf("the file can't be understood near line %d", problem.Line)
	}
	problem.Text = where + ": " + problem.Text
	return problem
}

// foreignRune reports what YAML has in no text: control characters, and bytes that are no UTF-8.
func foreignRune(c rune) bool {
	return c == utf8.RuneError || unicode.IsControl(c) && c != '\t' && c != '\u0085'
}

// syntaxHints is what a pilot most likely did where the parser says so.
var syntaxHints = []struct{ message, hint string }{
	{"found character that cannot start any token", "indent with blanks, not tabs; a value that begins with @ % ` or a tab needs quotes"},
	{"mapping values are not allowed", "a value with a colon in it needs quotes; keys of one block begin in one column"},
	{"did not find expected key", "keys of one block begin in one column; a closing } or quote may be missing above"},
	{"did not find expected '-' indicator", "the items of one list begin in one column, each with \"- \""},
	{"did not find expected ',' or", "a closing ] or } or a comma may be missing"},
	{"found unexpected end of stream", "a quote that was opened is not closed"},
	{"could not find expected ':'", "a key is followed by a colon and a blank"},
	{"found unknown escape character", "a backslash in double quotes begins an escape; use single quotes"},
	{"UTF-8", "save the file as UTF-8"},
	{"control characters are not allowed", "plain text, saved as UTF-8"},
	{"unknown anchor", "aliases are not read; a value that begins with * needs quotes"},
}

var (
	//go:embed starter/plan.yaml
	starterPlan []byte
	//go:embed starter/aircraft.yaml
	starterAircraft []byte
)

// StarterAircraftFile is the name by which the starter plan refers to its aircraft.
const StarterAircraftFile = "aircraft.yaml"

// Starter is a commented plan and the aircraft that it refers to, which Load accepts as they stand.
func Starter() (planYAML, aircraftYAML []byte) {
	return append([]byte(nil), starterPlan...), append([]byte(nil), starterAircraft...)
}
