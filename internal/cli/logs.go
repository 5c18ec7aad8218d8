package cli

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/adrg/xdg"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
)

// logFolder is where journals and crash files go when no file is named.
func logFolder(env Env) (string, error) {
	return ownFolder(env, "XDG_STATE_HOME", xdg.StateHome, "name the journal with --log")
}

// ownFolder is the program's folder in one of the XDG Base Directory Specification, by the variable that names it or its default below the home
// folder. A relative path there is invalid by the specification and passed over.
func ownFolder(env Env, variable, byDefault, instead string) (string, error) {
	if folder := env.Getenv(variable); filepath.IsAbs(folder) {
		return filepath.Join(folder, "legclock"), nil
	}
	if runtime.GOOS != "windows" && env.Getenv("HOME") == "" {
		return "", usage("set HOME, or "+instead, "there is no folder to write to: neither HOME nor %s is set", variable)
	}
	return filepath.Join(byDefault, "legclock"), nil
}

// journalsIn lists the journals in a folder by name.
func journalsIn(folder string) []string {
	entries, _ := os.ReadDir(folder) // a folder that can't be read holds none that can
	var names []string
	for _, entry := range entries {
		if filepath.Ext(entry.Name()) == ".jsonl" && !entry.IsDir() {
			names = append(names, filepath.Join(folder, entry.Name()))
		}
	}
	return names
}

// newLog is a file in a folder that does not exist yet: named for the moment and the plan's title, in plain letters.
func newLog(folder string, opened time.Time, p *plan.Plan) string {
	name := filepath.Join(folder, fmt.Sprintf("%s-%s", opened.Format("2006-01-02T150405Z"), plainTitle(p.Title)))
	for path, n := name+".jsonl", 2; ; path, n = fmt.Sprintf("%s-%d.jsonl", name, n), n+1 {
		if _, err := os.Stat(path); err != nil {
			return path
		}
	}
}

// plainTitle is a title that any file system takes.
func plainTitle(title string) string {
	title = strings.Map(func(r rune) rune {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			return unicode.ToLower(r)
		case unicode.IsSpace(r) || r == '-' || r == '_':
			return '-'
		}
		return -1
	}, title)
	const longest = 40
	if len(title) > longest {
		title = title[:longest]
	}
	return cmp.Or(strings.Trim(title, "-"), "flight")
}

// begun is a flight that was begun and not finished, as far as can be seen.
type begun struct {
	path     string
	contents journal.Contents
	another  bool // the plan in the journal is not the one that is to be flown
}

// recently is how long a flight whose plan was changed since, or whose journal is damaged, is asked for.
const recently = 48 * time.Hour

// unfinished finds the latest flight of a plan and mode in a folder that has no on-blocks yet: of the same plan; or, if it is of the last two
// days, of one of the same title, or one of which that can't be read any more. Empty files, of a program that was ended before it
// could write, are cleaned up.
func unfinished(env Env, folder string, p *plan.Plan, mode flight.Mode) (found begun, ok bool) {
	const newest = 40 // older flights are not worth asking for
	names := journalsIn(folder)
	slices.Reverse(names)
	for _, name := range names[:min(len(names), newest)] {
		info, err := os.Stat(name)
		if err != nil || journal.RemoveEmpty(name) {
			continue
		}
		contents, err := journal.Load(name)
		same := err == nil && samePlan(contents.Header.Plan, p)
		likely := env.Now().Sub(info.ModTime()) < recently &&
			(err == nil && contents.Header.Plan.Title == p.Title || err != nil && len(contents.Damages) > 0 && strings.Contains(name, plainTitle(p.Title)))
		switch {
		case finished(contents.Events) || err == nil && contents.Header.Mode != mode:
		case same || likely:
			return begun{name, contents, !same}, true
		}
	}
	return begun{}, false
}

// finished reports whether the flight of a journal came to an end.
func finished(events []flight.Event) bool {
	void := map[int]bool{}
	for _, event := range events {
		if event.Act == flight.Void {
			void[event.Event] = true
		}
	}
	return slices.ContainsFunc(events, func(event flight.Event) bool { return event.Act == flight.OnBlocks && !void[event.N] })
}

func samePlan(a, b *plan.Plan) bool {
	left, errLeft := json.Marshal(a)
	right, errRight := json.Marshal(b)
	return errLeft == nil && errRight == nil && bytes.Equal(left, right)
}

// openFolder makes the folder of a journal.
func openFolder(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return unwritten("name another file with --log", "making the folder of %s: %v", path, err)
	}
	return nil
}
