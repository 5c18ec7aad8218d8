package plan

import (
	"strconv"

	"gopkg.in/yaml.v3"

	"example.com/legclock/internal/pattern"
)

// origin is what a plan was read from, kept to tell where in the files something was given.
type origin struct {
	sources  map[string]*source
	plan     value
	aircraft *value           // nil where the aircraft's keys stand in the plan
	points   map[string]value // by ident, in whatever file they stand
}

// Locate tells where in the files a path such as "route.legs[1].altitude" was given; where it was not given itself, where the
// part that should hold it begins. Points are named by their index in Points or by their ident, points[KVN].frequency; the
// aircraft's keys begin with "aircraft", whatever file they are in. The file is empty when the plan was not read by Load.
// line and column count from 1, and are 0 where there is no file.
func (p *Plan) Locate(path string) (file string, line, column int) {
	if p.origin == nil {
		return "", 0, 0
	}
	at := p.locate(path).place()
	return at.file, at.line, at.column
}

// Placed is a problem with the file, line, column and excerpt that belong to its Path.
func (p *Plan) Placed(problem Problem) Problem {
	if p.origin == nil {
		return problem
	}
	problem.File, problem.Line, problem.Column = p.Locate(problem.Path)
	problem.Excerpt = p.origin.sources[problem.File].excerpt(problem.Line, problem.Column)
	return problem
}

// pathStep is one step of a path: a key, or an index or ident in brackets.
var pathStep = pattern.Of(`\[([^\]]+)\]|([^.\[]+)`)

func (p *Plan) locate(path string) value {
	at := p.origin.plan
	for i, step := range pathStep().FindAllStringSubmatch(path, -1) {
		item, key := step[1], step[2]
		if i == 1 && at.path == "points" && item != "" {
			if point, ok := p.pointOrigin(item); ok {
				at = point
				continue
			}
		}
		if i == 1 && at.path == "aircraft" && p.origin.aircraft != nil {
			at = *p.origin.aircraft
		}
		next, ok := at.step(item, key)
		if !ok {
			if i == 0 && key == "points" { // the points may all stand in shared lists
				at.path = "points"
				continue
			}
			break
		}
		at = next
	}
	return at
}

func (p *Plan) pointOrigin(item string) (point value, ok bool) {
	if index, err := strconv.Atoi(item); err == nil && index >= 0 && index < len(p.Points) {
		item = p.Points[index].Ident
	}
	point, ok = p.origin.points[item]
	return point, ok
}

// step goes to an item of a list or to a key of a group.
func (v value) step(item, key string) (next value, ok bool) {
	if item != "" {
		index, err := strconv.Atoi(item)
		if err != nil || index < 0 || v.node.Kind != yaml.SequenceNode || index >= len(v.node.Content) {
			return value{}, false
		}
		return value{v.reader, v.file, v.path + "[" + item + "]", nil, v.node.Content[index]}, true
	}
	if v.node.Kind != yaml.MappingNode {
		return value{}, false
	}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		if v.node.Content[i].Value == key {
			return value{v.reader, v.file, v.join(key), v.node.Content[i], v.node.Content[i+1]}, true
		}
	}
	return value{}, false
}
