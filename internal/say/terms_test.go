package say_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// term is a word that is not used, and the trade's word that is. A use that unless finds is another word's, or a name that stays.
type term struct {
	not, use, unless string
}

// The terms of the trade: one word for each thing on screens, sheet, debrief, in sums, docs, commands and JSON keys.
var terms = []term{
	{`(?i)declination`, "variation; station declination for what a VOR's radials count from", `(?i)(published|station('?s own)?) declinations?|points\[\]\.declination|\.declination$|^declination(,omitempty)?$|json:"declination,omitempty"|\bdeclination: |sum declination`},
	{`(?i)\bsure to\b`, "±1σ (68 %) once, then ±", ``},
	{`\bSAFE\b|\b[Ll]owest safe`, "MSA, minimum safe altitude", ``},
	{`\b(track|TRK)\s+(steer|STEER)\b|\b(steer|STEER)\s+(nm|kt|°)`, "HDG in a table's head", ``},
	{`\bSPEED\b`, "GS", ``},
	{`(?i)\b(leave the level|start down|starts down)\b`, "top of climb, top of descent", ``},
	{`(?i)\breserve of (\d|%)`, "final reserve", `(?i)final reserve of`},
	{`(?i)\b(fuel required|required fuel|[.,] required \d|on board \d)`, "minimum block fuel, block fuel, extra fuel", `(?i)fuel on board \d`},
	{`(?i)\bspare\b`, "extra fuel", `^\s*"spare": |json:"spare"`},
	{`(?i)\b(it |fuel )lasts\b|\blasts (for )?(\d|%)`, "endurance", ``},
	{`(?i)\bleft (there|overhead)\b`, "fuel on arrival, remaining overhead", ``},
	{`(?i)\bapart (then|now|%|\d)|^\s*apart$|\btanks (are |were )?apart\b`, "imbalance", ``},
	{`(?i)\bshut\b`, "not selected, feeds", ``},
	{`(?i)\bquiet times?\b`, "no-change period", ``},
	{`(?i)\bfuller\b`, "fullest tank", ``},
	{`\b[Ss]omewhere else\b|\bgo to ([A-Z]{3}|if need be)\b|\bGO TO\b|\b[Ww]ays out\b|\bWAYS OUT\b`, "diversion, alternates, nearest", ``},
	{`(?i)\bturn now for\b`, "if diverting, divert to", ``},
	{`(?i)\b(can|can't|cannot) be reached\b|\bverdict`, "reachable with final reserve, below it, not reachable", ``},
	{`(?i)\bbingo\b|\bleave (\S+ )?for \S+ by\b`, "latest divert time", ``},
	{`(?i)\bequal time\b`, "PET, equal time point", `(?i)points? of equal time|equal time point`},
	{`(?i)\bno return\b`, "PNR, point of no return", `(?i)points? of (equal time and of )?no return|^no return( by fuel)?$`},
	{`(?i)\bwanted at\b|what is wanted of|at a time or a height`, "cross X at, at a time or level", ``},
	{`\b[A-Z]{2,5} wanted\b`, "cross X at", `wanted=`},
	{`(?i)\bsafe altitude of\b`, "MSA", ``},
	{`(?i)\bleave by\b|\bunhold`, "latest departure from the hold, leave hold", `^unhold$|^\d\d:\d\d(:\d\d)? unhold`},
	{`(?i)\bdark\b`, "end of civil twilight, night", `color-scheme.*dark`},
	{`\b(NAV\d|DME|ADF) to [A-Z%]`, "tune, identify, set course", ``},
	{`(?i)\bswings? round\b`, "needle reverses", ``},
	{`(?i)\boffsets?\b`, "off track, left or right", `^offset$`},
	{`(?i)what a heading makes good`, "track made good", ``},
	{`\b[Aa]cts?\b`, "entry, log", ``},
	{`(?i)\bknown then\b`, "as known then", `(?i)as known then`},
	{`(?i)\bturned out\b`, "as it turned out", `(?i)as it turned out`},
	{`(?i)\bin the middle\b|\breckoned\b|\blowest line\b`, "median, calculated, lowest row", ``},
	{`(?i)\bplan holds\b|\bmend(ed|s)?\b`, "plan is complete, correct", ``},
	{`(?i)\bto be known\b`, "remarks", ``},
	{`(?i)\bfrom block to block\b`, "block time, airborne time", ``},
	{`\bat [A-Z0-9]{2,5} turn \d`, "turn right onto 120", ``},
	{`(?i)\binstructor rules?\b`, "handbook, charts, local rules and your instructor decide", ``},
}

// dropped finds the uses of dropped words in a text, each with the line it stands in.
func dropped(t *testing.T, place, text string) {
	t.Helper()
	for _, term := range compiled {
		for _, line := range strings.Split(text, "\n") {
			rest := line
			if term.unless != nil {
				rest = term.unless.ReplaceAllString(line, "")
			}
			if found := term.not.FindString(rest); found != "" {
				assert.Fail(t, "a dropped word", "%s: %q; use %s: %s", place, found, term.use, strings.TrimSpace(line))
			}
		}
	}
}

type compiledTerm struct {
	not, unless *regexp.Regexp
	use         string
}

var compiled = func() []compiledTerm {
	var all []compiledTerm
	for _, term := range terms {
		one := compiledTerm{not: regexp.MustCompile(term.not), use: term.use}
		if term.unless != "" {
			one.unless = regexp.MustCompile(term.unless)
		}
		all = append(all, one)
	}
	return all
}()

// No dropped word stands in a text of the program, in what tests have recorded of screens and documents, or in the docs.
func TestDroppedWords(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		place := strings.TrimPrefix(path, root+string(filepath.Separator))
		if entry.IsDir() {
			if strings.HasPrefix(entry.Name(), ".") && path != root {
				return fs.SkipDir
			}
			return nil
		}
		switch {
		case strings.HasSuffix(path, "_test.go"):
		case strings.HasSuffix(path, ".go"):
			seen++
			literals(t, place, path)
		case strings.HasSuffix(path, ".md") && place != "DEVELOPERS.md" && place != filepath.Join("docs", "architecture.md"),
			strings.Contains(place, "testdata") && !given(place), strings.HasSuffix(path, ".svg"), strings.HasPrefix(place, "plans"), strings.HasSuffix(path, ".yaml"):
			seen++
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			dropped(t, place, string(text))
		}
		return nil
	}))
	require.Greater(t, seen, 400)
}

// given are files that the program reads, not writes: published tables, journals of before, plans with keys of before.
func given(place string) bool {
	for _, part := range []string{"tables", "journal", "schemas", "fuzz", "measure.js", "reference", "rapid"} {
		if strings.Contains(place, part) {
			return true
		}
	}
	return false
}

// literals looks through the texts of a Go file.
func literals(t *testing.T, place, path string) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	ast.Inspect(file, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.BasicLit:
			if node.Kind == token.STRING {
				text, err := strconv.Unquote(node.Value)
				require.NoError(t, err)
				dropped(t, place+":"+strconv.Itoa(set.Position(node.Pos()).Line), text)
			}
		}
		return true
	})
}
