//go:build windows

package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// Held reports whether a process has a journal open for writing. Where that can't be told, it is taken to be so.
func Held(path string) bool {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return errors.Is(err, windows.ERROR_SHARING_VIOLATION) || !errors.Is(err, os.ErrPermission)
	}
	return file.Close() != nil
}
