package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"example.com/legclock/internal/intake"
)

// disk is what a Writer needs of the file system. Tests put one that fails in its place.
type disk interface {
	create(path string) (file, error) // a new file, for this process alone where the system has that
	open(path string) (file, error)
	stat(path string) (fs.FileInfo, error)
	remove(path string) error
	keepName(path string) // makes the name of a new file last, where the file system can do that
}

// file is an open journal. It writes at its end.
type file interface {
	io.Reader
	io.Closer
	append(data []byte, end int64) (int, error)
	Truncate(size int64) error
	Sync() error
	Stat() (fs.FileInfo, error)
	// lock takes the file for this process; caution says why that can't be done here.
	lock() (caution string, err error)
}

// systemDisk is the disk of the machine.
type systemDisk struct{}

func (systemDisk) create(path string) (file, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	f, err := createFile(path)
	if err != nil {
		return nil, err
	}
	return systemFile{f}, nil
}

func (systemDisk) open(path string) (file, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	return systemFile{f}, nil
}

func (systemDisk) stat(path string) (fs.FileInfo, error) { return os.Stat(path) }

func (systemDisk) remove(path string) error { return os.Remove(path) }

func (systemDisk) keepName(path string) { syncFolder(filepath.Dir(path)) }

// systemFile is a file of the machine's.
type systemFile struct{ *os.File }

func (f systemFile) append(data []byte, end int64) (int, error) { return appendTo(f.File, data, end) }

func (f systemFile) lock() (string, error) { return lockFile(f.File) }

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
