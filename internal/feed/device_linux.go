package feed

import (
	"fmt"
	"maps"
	"slices"

	"golang.org/x/sys/unix"
)

const (
	ioctlGet = unix.TCGETS
	ioctlSet = unix.TCSETS
)

// rates are the codes of the rates that receivers use.
var rates = map[int]uint32{
	1200: unix.B1200, 2400: unix.B2400, 4800: unix.B4800, 9600: unix.B9600, 19200: unix.B19200, 38400: unix.B38400,
	57600: unix.B57600, 115200: unix.B115200, 230400: unix.B230400,
}

func setRate(line *unix.Termios, baud int) error {
	code, known := rates[baud]
	if !known {
		return fmt.Errorf("%d baud: rates are %v", baud, slices.Sorted(maps.Keys(rates)))
	}
	line.Cflag = line.Cflag&^unix.CBAUD | code
	line.Ispeed, line.Ospeed = code, code
	return nil
}
