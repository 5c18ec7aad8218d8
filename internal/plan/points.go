package plan

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/radio"
)

const defaultCircuitFt = 1000 // height of a circuit above the aerodrome

// The quantities of a point.
var (
	direction   = quantity{unit: "degrees", low: 0, high: 360}
	elevation   = quantity{unit: "ft", low: -1500, high: 20000}
	circuit     = quantity{unit: "ft", low: 100, high: 5000, because: "a height above the elevation"}
	eastward    = quantity{unit: "degrees", low: -180, high: 180, because: "east positive"}
	beaconRange = quantity{unit: "nm", low: 0, high: 400, above: true}
	fixDistance = quantity{unit: "nm", low: 0, high: 300, above: true}
	frequency   = quantity{unit: "MHz, an NDB's in kHz", low: 100, high: 2000}
)

// pointEntry is a point as read, with what its Point alone does not tell.
type pointEntry struct {
	Point
	from           value // where it stands
	placed         bool  // its position is known
	elevationGiven bool
	circuitGiven   bool
	shadowed       *pointEntry // a point of the same ident in a later list, which this one replaces
}

// at is where one of the point's keys stands; the point itself where the key is not given.
func (e pointEntry) at(key string) value {
	o, _ := e.from.object("")
	if v, ok := o.find(key); ok {
		return v
	}
	return e.from
}

const pointWanted = `{ident: KVN, kind: vor-dme, at: [56.1234, -4.5678], frequency: 114.35}`

// readPoint reads one point. ok is false where it has no ident to be found by. ours says that it stands in the plan itself,
// where a key that its kind has no use for is worth a word; in a shared list of many kinds it is not.
func readPoint(item value, ours bool) (entry pointEntry, ok bool) {
	o, ok := item.object(pointWanted)
	if !ok {
		return entry, false
	}
	defer o.finish()
	entry.from = item
	entry.Ident = readIdent(o)
	entry.Name = o.textIfGiven("name", "what a pilot calls it")
	entry.Kind = Kind(o.choice("kind", kindNames...))
	entry.At, entry.placed = readAt(o, entry.Kind)
	if given := o.numberIfGiven("elevation", elevation); given != nil {
		entry.ElevationFt, entry.elevationGiven = *given, true
	}
	if given := o.numberIfGiven("circuit", circuit); given != nil {
		entry.CircuitFt, entry.circuitGiven = *given, true
	}
	entry.Frequency = readFrequency(o, entry.Kind)
	entry.Declination = o.eastIfGiven("declination")
	entry.RangeNM = orZero(o.numberIfGiven("range", beaconRange))
	readMeasured(o, &entry)
	entry.dropForeign(o, ours)
	return entry, entry.Ident != ""
}

func readIdent(o *object) string {
	const wanted = "one word of letters and figures, KVN"
	ident := o.text("ident", wanted)
	if strings.ContainsAny(ident, " \t,[]{}\"'") {
		v, _ := o.find("ident")
		v.fail(fmt.Sprintf("%q can't be an ident", ident), wanted)
		return ""
	}
	return ident
}

// readAt reads the position. Only a fix may go without: it can be measured from a beacon.
func readAt(o *object, kind Kind) (at earth.Position, placed bool) {
	o.tell("at", "position", "", "required, but for a measured fix")
	v, given := o.get("at")
	switch {
	case given:
		return v.position()
	case kind == Fix || kind == "": // an unknown kind has been reported, and may have been meant for a fix
	default:
		o.missing("at", positionHint)
	}
	return at, false
}

// readFrequency reads a beacon's frequency and checks it against the band and the channels of its kind.
func readFrequency(o *object, kind Kind) float64 {
	o.tell("frequency", "number", "a channel of its kind", "required for a beacon")
	v, given := o.get("frequency")
	switch {
	case !given && kind.IsBeacon():
		o.missing("frequency", map[bool]string{true: "kHz", false: "MHz"}[kind == NDB])
		return math.NaN()
	case !given:
		return 0
	}
	number := v.number(frequency)
	if math.IsNaN(number) {
		return number
	}
	if err := checkFrequency(kind, number); err != nil {
		v.fail(err.Error(), "")
		return math.NaN()
	}
	return number
}

func checkFrequency(kind Kind, number float64) error {
	switch kind {
	case VOR, VORDME:
		return radio.CheckVORFrequency(number)
	case DME:
		return radio.CheckDMEFrequency(number)
	case NDB:
		return radio.CheckNDBFrequency(number)
	}
	return nil
}

// readMeasured reads the way to give a fix by beacon, radial and distance: all three and no position.
func readMeasured(o *object, entry *pointEntry) {
	const wanted = "{from: KVN, radial: 96, distance: 25}"
	entry.From = o.textIfGiven("from", "the beacon that the fix is measured from")
	entry.Radial = o.numberIfGiven("radial", direction)
	distance := o.numberIfGiven("distance", fixDistance)
	entry.DistanceNM = orZero(distance)
	if entry.Kind != Fix {
		return
	}
	_, at := o.find("at")
	_, from := o.find("from")
	measured := from || entry.Radial != nil || distance != nil
	switch {
	case at && measured:
		o.fail("the fix is given twice: by its position, and measured from a beacon", "one of the two")
	case !at && !measured:
		o.fail("the fix has no place", "at, or "+wanted)
	case measured && !(from && entry.Radial != nil && distance != nil):
		o.fail("the fix is not measured in full", wanted)
	}
}

// dropForeign forgets what the kind of the point has no use for.
func (e *pointEntry) dropForeign(o *object, ours bool) {
	foreign := func(key string, belongs bool, to string) bool {
		v, given := o.find(key)
		if !given || belongs || e.Kind == "" {
			return false
		}
		if ours {
			v.caution(fmt.Sprintf("%q is not used: the point is of kind %s", key, e.Kind), to)
		}
		return true
	}
	if foreign("circuit", e.Kind == Aerodrome, "it belongs to an aerodrome") {
		e.CircuitFt, e.circuitGiven = 0, false
	}
	if foreign("frequency", e.Kind.IsBeacon(), "it belongs to a beacon") {
		e.Frequency = 0
	}
	if foreign("declination", e.Kind.HasRadials(), "it belongs to a vor or vor-dme, whose radials count from it") {
		e.Declination = nil
	}
	if foreign("range", e.Kind.IsBeacon(), "it belongs to a beacon") {
		e.RangeNM = 0
	}
	from, radial := foreign("from", e.Kind == Fix, "it belongs to a fix"), foreign("radial", e.Kind == Fix, "it belongs to a fix")
	if distance := foreign("distance", e.Kind == Fix, "it belongs to a fix"); from || radial || distance {
		e.From, e.Radial, e.DistanceNM = "", nil, 0
	}
}

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
	g.entries = slices.Grow(g.entries, len(items))
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
			shadowed := entry // a copy of its own: few points have a namesake
			g.entries[i].shadowed = &shadowed
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

// pointKeys are the keys of a point, which are the columns of a CSV list; there, lat and lon may stand for at.
var pointKeys = []string{
	"ident", "name", "kind", "at", "elevation", "circuit", "frequency", "declination", "range", "from", "radial", "distance",
}

const csvWanted = "a header of key names: ident,name,kind,lat,lon,frequency,elevation,range"

// csvList reads a CSV list of points and turns it into the YAML that says the same, cell by cell at its own line and column, so
// that one reader serves both. Lines that begin with # are comments.
type csvList struct {
	*reader
	name   string
	rows   *csv.Reader
	header []string // the key of each column; empty for one that was refused
}

func (r *reader) csvPoints(name string, content []byte) (items []value) {
	points := &value{reader: r, file: name, begin: "points"}
	list := csvList{reader: r, name: name, rows: csv.NewReader(bytes.NewReader(content))}
	list.rows.FieldsPerRecord, list.rows.Comment, list.rows.TrimLeadingSpace = -1, '#', true
	for {
		cells, err := list.rows.Read()
		switch {
		case errors.Is(err, io.EOF) && list.header == nil:
			r.add(Problem{Severity: Error, File: name, Text: "the file is empty", Hint: csvWanted})
			return nil
		case errors.Is(err, io.EOF):
			return items
		case err != nil:
			r.add(csvProblem(name, err))
			return items
		case list.header == nil:
			if !list.readHeader(cells) {
				return nil
			}
		default:
			if node := list.row(cells); len(node.Content) > 0 {
				items = append(items, points.item(len(items), node))
			}
		}
	}
}

func csvProblem(name string, err error) Problem {
	problem := Problem{Severity: Error, File: name, Text: err.Error(), Hint: "cells separated by commas, quotes doubled"}
	if parse := new(csv.ParseError); errors.As(err, &parse) {
		problem.Line, problem.Text = parse.Line, parse.Err.Error()
	}
	return problem
}

// readHeader reads the names of the columns; ok is false where they are no header to read rows by.
func (l *csvList) readHeader(cells []string) (ok bool) {
	if len(cells) == 1 && strings.ContainsAny(cells[0], ";\t") {
		l.fail(0, "the columns are not separated by commas", csvWanted)
		return false
	}
	known := append([]string{"lat", "lon"}, pointKeys...)
	l.header = make([]string, len(cells))
	for i, cell := range cells {
		switch key := strings.TrimSpace(cell); {
		case !slices.Contains(known, key):
			l.fail(i, fmt.Sprintf("the column %q is not known", key), meant(key, known))
		case slices.Contains(l.header, key):
			l.fail(i, fmt.Sprintf("there are two columns %q", key), "one column for each key")
		default:
			l.header[i] = key
		}
	}
	lat, lon := slices.Contains(l.header, "lat"), slices.Contains(l.header, "lon")
	if lat != lon {
		l.fail(0, "lat and lon go together", csvWanted)
	}
	return lat == lon
}

// row is the mapping that a row of cells stands for; an empty cell is a key that is not given.
func (l *csvList) row(cells []string) *yaml.Node {
	row := l.node(yaml.MappingNode, 0, "")
	at := map[string]*yaml.Node{}
	for i, cell := range cells {
		cell = strings.TrimSpace(cell)
		switch {
		case cell == "":
		case i >= len(l.header):
			l.fail(i, fmt.Sprintf("%q is in a column without a name", cell), csvWanted)
		case l.header[i] == "":
		case l.header[i] == "lat" || l.header[i] == "lon":
			at[l.header[i]] = l.node(yaml.ScalarNode, i, cell)
		default:
			row.Content = append(row.Content, l.node(yaml.ScalarNode, i, l.header[i]), l.node(yaml.ScalarNode, i, cell))
		}
	}
	lat, lon := at["lat"], at["lon"]
	switch {
	case lat != nil && lon != nil:
		pair := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle, Line: lat.Line, Column: lat.Column}
		pair.Content = []*yaml.Node{lat, lon}
		row.Content = append(row.Content, l.node(yaml.ScalarNode, 0, "at"), pair)
	case lat != nil || lon != nil:
		l.fail(0, "lat and lon go together", "both, or neither for a fix that is measured")
	}
	return row
}

func (l *csvList) node(kind yaml.Kind, cell int, text string) *yaml.Node {
	at := l.place(cell)
	return &yaml.Node{Kind: kind, Tag: "!!str", Style: yaml.FlowStyle, Value: text, Line: at.line, Column: at.column}
}

// place is where a cell of the row just read begins; the column counts characters, as YAML's do.
func (l *csvList) place(cell int) place {
	line, bytesColumn := l.rows.FieldPos(cell)
	text := l.sources[l.name].lines()[line-1]
	return place{l.name, line, 1 + utf8.RuneCountInString(text[:min(bytesColumn-1, len(text))])}
}

func (l *csvList) fail(cell int, text, hint string) { l.add(l.place(cell).problem(Error, text, hint)) }
