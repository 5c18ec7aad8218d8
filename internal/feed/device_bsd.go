//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package feed

import "golang.org/x/sys/unix"

const (
	ioctlGet = unix.TIOCGETA
	ioctlSet = unix.TIOCSETA
)

func setRate(line *unix.Termios, baud int) error {
	set(&line.Ispeed, baud)
	set(&line.Ospeed, baud)
	return nil
}

// set bridges the systems' different types of a rate.
func set[T int32 | uint32 | uint64](field *T, baud int) { *field = T(baud) }
