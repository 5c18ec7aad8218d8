//go:build unix

package journal

import (
	"errors"
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

func openNew(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE|os.O_EXCL, 0o644)
}

func openOld(path string) (*os.File, error) { return os.OpenFile(path, os.O_RDWR|os.O_APPEND, 0) }

// appendTo writes at the end of the file, which the file's own mode sees to.
func appendTo(file *os.File, data []byte, _ int64) (int, error) { return file.Write(data) }

// lock takes the journal for this process. The kernel releases it when the process ends, however it ends.
func (w *Writer) lock() error {
	switch err := unix.Flock(int(w.file.Fd()), unix.LOCK_EX|unix.LOCK_NB); {
	case err == nil:
		writeHolder(w.path, w.wall())
		return nil
	case errors.Is(err, unix.EWOULDBLOCK):
		return &Locked{Path: w.path, Holder: readHolder(w.path)}
	default:
		return fmt.Errorf("locking journal %s: %w", w.path, err)
	}
}

// syncFolder makes a new file's name last. Some file systems can't; the file itself is synced anyway.
func syncFolder(folder string) {
	if dir, err := os.Open(folder); err == nil {
		_ = dir.Sync()
		_ = dir.Close()
	}
}
