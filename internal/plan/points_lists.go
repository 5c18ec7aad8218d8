package plan

import (
	"fmt"
	"path/filepath"
	"strings"
)

// gazetteer is every point that the plan's own list and the shared lists hold, the plan's own first.
type gazetteer struct {
	entries []pointEntry
	index   map[string]int // by ident
}

func (g *gazetteer) find(ident string) (entry *pointEntry, ok bool) {
	i, ok := g.index[ident]
	if !ok {
		return nil, false
	}
	return &g.entries[i], true
}

// idents are the names of all points, or of those that a condition lets through.
func (g *gazetteer) idents(wanted func(Kind) bool) (idents []string) {
	for _, entry := range g.entries {
		if wanted == nil || wanted(entry.Kind) {
			idents = append(idents, entry.Ident)
		}
	}
	return idents
}

// add takes a list of points in. Within a list an ident stands for one point; between lists the earlier one wins.
func (g *gazetteer) add(items []value, ours bool) {
	first := len(g.entries)
	for _, item := range items {
		entry, ok := readPoint(item, ours)
		if !ok {
			continue
		}
		i, known := g.index[entry.Ident]
		switch {
		case !known:
			g.index[entry.Ident] = len(g.entries)
			g.entries = append(g.entries, entry)
		case i >= first:
			item.fail(fmt.Sprintf("there are two points %q in this list, the first on line %d", entry.Ident,
				g.entries[i].from.place().line), "a name of its own for each")
		case g.entries[i].shadowed == nil:
			g.entries[i].shadowed = &entry
		}
	}
}

// points reads the plan's own points and the shared lists that it names.
func (r *reader) points(plan *object) *gazetteer {
	g := &gazetteer{index: map[string]int{}}
	g.add(plan.list("points", 0, pointWanted), true)
	const wanted = "[beacons.yaml, points.csv]"
	for _, item := range plan.list("points_files", 0, wanted) {
		name := item.name(wanted)
		if name == "" {
			continue
		}
		g.add(r.sharedPoints(item, name), false)
	}
	return g
}

func (r *reader) sharedPoints(named value, name string) []value {
	name = beside(named.file, name)
	content, ok := r.fetch(name, named.fail)
	if !ok {
		return nil
	}
	if strings.EqualFold(filepath.Ext(name), ".csv") {
		return r.csvPoints(name, content)
	}
	root, ok := r.document(name, "", content)
	if !ok {
		return nil
	}
	o, ok := root.object("points: [" + pointWanted + "]")
	if !ok {
		return nil
	}
	defer o.finish()
	return o.list("points", 1, pointWanted)
}

// beside is the way to a file that another file names, relative to that one. Slashes serve every system and an fs.FS alike.
func beside(file, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.ToSlash(filepath.Join(filepath.Dir(file), filepath.FromSlash(name)))
}
