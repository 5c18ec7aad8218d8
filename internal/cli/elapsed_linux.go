package cli

import (
	"time"

	"golang.org/x/sys/unix"
)

// elapsed is the time since the machine was started, its sleep included.
func elapsed() (time.Duration, bool) {
	var now unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &now); err != nil {
		return 0, false
	}
	return time.Duration(now.Nano()), true
}
