package plan

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// fileMap is a folder of files in memory.
type fileMap map[string]string

func (m fileMap) read(name string) ([]byte, error) {
	content, ok := m[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return []byte(content), nil
}

// keyOfLine is a line that begins with a key of four letters or more: indent, key, the rest.
var keyOfLine = regexp.MustCompile(`^((?:  )*(?:- )?)([a-z_]{4,}):(.*)$`)

func planLines() []string { return strings.Split(goodPlan, "\n") }

// problemAt loads the lines as the plan and returns the one unknown key on a line.
func problemAt(t *testing.T, lines []string, line int) Problem {
	t.Helper()
	_, problems := Load("plan.yaml", fileMap{"plan.yaml": strings.Join(lines, "\n"), "aircraft.yaml": goodAircraft}.read)
	var found []Problem
	for _, problem := range problems {
		if problem.Line == line && strings.Contains(problem.Text, "not known here") {
			found = append(found, problem)
		}
	}
	require.Len(t, found, 1, "%v", problems)
	return found[0]
}
