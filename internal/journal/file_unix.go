//go:build unix

package journal

import (
	"errors"
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

func createFile(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE|os.O_EXCL, 0o644)
}

// openFile does not wait for a pipe that nobody writes to, nor for anything else that is no file.
func openFile(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_RDWR|os.O_APPEND|unix.O_NONBLOCK, 0)
}

// appendTo writes at the end of the file, which the file's own mode sees to.
func appendTo(file *os.File, data []byte, _ int64) (int, error) { return file.Write(data) }

// lockFile takes the journal for this process. The kernel releases it when the process ends, however it ends. Some file systems have no
// locks, of those that are shared between machines above all.
func lockFile(file *os.File) (caution string, err error) {
	for {
		switch err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB); {
		case err == nil:
			return "", nil
		case errors.Is(err, unix.EINTR):
		case errors.Is(err, unix.EWOULDBLOCK):
			return "", errLocked
		case errors.Is(err, unix.ENOTSUP), errors.Is(err, unix.EOPNOTSUPP), errors.Is(err, unix.ENOLCK), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.EINVAL):
			return "its folder has no locks: let no other program write this journal", nil
		default:
			return "", fmt.Errorf("locking: %w", err)
		}
	}
}

// unsyncable is the error of a file system that can't be told to write now.
func unsyncable(err error) bool {
	return errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) || errors.Is(err, unix.EOPNOTSUPP) || errors.Is(err, unix.ENOSYS)
}

// syncFolder makes a new file's name last. Some file systems can't; the file itself is synced anyway.
func syncFolder(folder string) {
	if dir, err := os.Open(folder); err == nil {
		_ = dir.Sync()
		_ = dir.Close()
	}
}

// Held reports whether a process has a journal open for writing. Where that can't be told, it is taken to be so.
func Held(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return true
	}
	defer file.Close() // which gives the lock back
	return errors.Is(unix.Flock(int(file.Fd()), unix.LOCK_SH|unix.LOCK_NB), unix.EWOULDBLOCK)
}
