//go:build !linux && !darwin && !dragonfly && !freebsd && !netbsd && !openbsd

package feed

import (
	"errors"
	"io/fs"
	"os"
)

// openDevice opens a device as it is set up.
func openDevice(name string, _ fs.FileInfo) (*os.File, error) { return os.Open(name) }

// openSerial can't set up a serial line on this system.
func openSerial(string, int) (*os.File, error) {
	return nil, errors.New("serial lines can't be set up on this system: set the rate with its own tools and name the device, or use tcp or udp")
}
