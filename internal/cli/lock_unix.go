//go:build unix

package cli

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lockAlone waits until this open file is the only one of its path that is locked. Closing it unlocks.
func lockAlone(file *os.File) error {
	for {
		if err := unix.Flock(int(file.Fd()), unix.LOCK_EX); !errors.Is(err, unix.EINTR) {
			return err
		}
	}
}
