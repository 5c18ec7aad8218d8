//go:build windows

package cli

import (
	"os"

	"golang.org/x/sys/windows"
)

// lockAlone waits until this open file is the only one of its path that is locked. Closing it unlocks. A byte far behind the end stands for
// the file, as nobody could read what is locked.
func lockAlone(file *os.File) error {
	beyond := &windows.Overlapped{OffsetHigh: 1 << 30}
	return windows.LockFileEx(windows.Handle(file.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK, 0, 1, 0, beyond)
}
