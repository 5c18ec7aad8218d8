package plan

// ReadFile hands over a file's content: os.ReadFile, or that of an fs.FS.
type ReadFile func(name string) ([]byte, error)

// Load reads a plan and every file that it names, relative to it, and fills in the defaults. All problems come in one run, in
// the order of the files and their lines. With an error among them the plan is nil: a plan that is returned is complete and
// holds everything that can be checked without reckoning.
func Load(name string, read ReadFile) (*Plan, []Problem) {
	r := &reader{read: read, sources: map[string]*source{}}
	return r.load(name), r.inOrder()
}

func (r *reader) load(name string) *Plan {
	content, ok := r.fetch(name, func(text, mend string) {
		r.add(Problem{Severity: Error, File: name, Text: text, Hint: mend})
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
