//go:build unix

package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// Held reports whether a process has a journal open for writing. Where that can't be told, it is taken to be so.
func Held(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return true
	}
	defer file.Close() // which gives the lock back
	return errors.Is(unix.Flock(int(file.Fd()), unix.LOCK_SH|unix.LOCK_NB), unix.EWOULDBLOCK)
}
