package journal

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"
	"unicode"

	"example.com/legclock/internal/intake"
)

// errLocked is what an operating system says of a file that another process has taken.
var errLocked = errors.New("another process writes it")

// Locked is the error of a journal that another process is writing.
type Locked struct {
	Path   string
	Holder string // who it is, as far as it said
}

// Error names the file and its holder.
func (l *Locked) Error() string {
	return fmt.Sprintf("%s is being written by %s: watch it, or end that one first", intake.Quote(l.Path), l.Holder)
}

// holderPath is a small file beside the journal in which its writer says who it is. It is information only: the lock is on
// the journal itself and goes with the process, so a holder file that was left behind harms nothing.
func holderPath(path string) string { return path + ".holder" }

func writeHolder(path string, now time.Time) {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	text := fmt.Sprintf("process %d on %s, since %s\n", os.Getpid(), host, now.Format(time.RFC3339))
	_ = os.WriteFile(holderPath(path), []byte(text), 0o644) // a journal in a folder that takes no second file still works
}

// readHolder is what a holder says of itself, in characters that can be shown.
func readHolder(path string) string {
	const longest = 200
	text, err := intake.File(holderPath(path), longest)
	holder := strings.TrimSpace(string(text))
	if err != nil || holder == "" || strings.ContainsFunc(holder, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return "another process"
	}
	return holder
}

func removeHolder(path string) { _ = os.Remove(holderPath(path)) }
