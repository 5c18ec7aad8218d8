//go:build linux || darwin || dragonfly || freebsd || netbsd || openbsd

package feed

import (
	"fmt"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// openDevice opens a device or a named pipe so that its reading can be ended. A terminal line is made raw and keeps its rate.
func openDevice(name string, info fs.FileInfo) (*os.File, error) {
	if info.Mode().Type() == fs.ModeNamedPipe { // opened for both, it never ends when a writer goes
		return os.OpenFile(name, os.O_RDWR|unix.O_NONBLOCK, 0)
	}
	return openSerial(name, 0)
}

// openSerial opens a terminal line, raw and without flow control, and sets its rate, 8 bits, no parity; 0 keeps them.
func openSerial(name string, baud int) (*os.File, error) {
	file, err := os.OpenFile(name, os.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	if err := setLine(file, baud); err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// setLine sets up a terminal line. Any other device is left as it is, unless a rate was asked for.
func setLine(file *os.File, baud int) error {
	connection, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var failed error
	err = connection.Control(func(descriptor uintptr) {
		line, err := unix.IoctlGetTermios(int(descriptor), ioctlGet)
		if err != nil {
			if baud != 0 {
				failed = fmt.Errorf("%s is not a serial line", file.Name())
			}
			return
		}
		line.Iflag &^= unix.IGNBRK | unix.BRKINT | unix.PARMRK | unix.ISTRIP | unix.INLCR | unix.IGNCR | unix.ICRNL | unix.IXON | unix.IXOFF
		line.Oflag &^= unix.OPOST
		line.Lflag &^= unix.ECHO | unix.ECHONL | unix.ICANON | unix.ISIG | unix.IEXTEN
		line.Cflag |= unix.CREAD | unix.CLOCAL
		line.Cc[unix.VMIN], line.Cc[unix.VTIME] = 1, 0
		if baud != 0 {
			line.Cflag &^= unix.CSIZE | unix.PARENB | unix.CSTOPB
			line.Cflag |= unix.CS8
			failed = setRate(line, baud)
		}
		if failed == nil {
			failed = unix.IoctlSetTermios(int(descriptor), ioctlSet, line)
		}
	})
	if err != nil {
		return err
	}
	return failed
}
