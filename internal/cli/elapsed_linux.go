package cli

import (
	"time"

	"golang.org/x/sys/unix"

	"example.com/legclock/internal/clock"
)

// sleepCounted is the time since the machine was started, by clock_gettime(2): CLOCK_BOOTTIME goes on in its sleep, CLOCK_MONOTONIC does not.
func sleepCounted() (passed clock.Passed, ok bool) {
	var awake, all unix.Timespec
	if unix.ClockGettime(unix.CLOCK_MONOTONIC, &awake) != nil || unix.ClockGettime(unix.CLOCK_BOOTTIME, &all) != nil {
		return clock.Passed{}, false
	}
	return clock.Passed{Time: time.Duration(all.Nano()), Slept: time.Duration(all.Nano() - awake.Nano())}, true
}
