package feed

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"strconv"
	"strings"
)

// sourceForms shows, in an error, what ParseSource reads.
const sourceForms = "a feed is tcp://HOST:PORT, udp://:PORT, serial:///dev/ttyUSB0?baud=4800, the name of a file or device, or - for standard input"

// defaultBaud is the rate of NMEA 0183.
const defaultBaud = 4800

// Kinds of source.
const (
	kindTCP    = "tcp"
	kindUDP    = "udp"
	kindSerial = "serial"
	kindFile   = "file"
	kindStdin  = "-"
)

// Source is where sentences come from while flying. ParseSource makes one.
type Source struct {
	kind string
	name string // host:port, or a path
	baud int    // serial lines
}

// ParseSource reads what a person gives as a feed:
//
//	tcp://HOST:PORT                        connects, and again whenever the connection is lost
//	udp://:PORT  udp://ADDRESS:PORT        listens on this machine alone, or on an address; udp://0.0.0.0:PORT is all
//	serial:///dev/ttyUSB0?baud=4800        a serial line; 4800 baud is the default
//	a path                                 a device or named pipe, as it is set up; a file, at the pace of its times
//	-                                      standard input
func ParseSource(text string) (Source, error) {
	switch {
	case text == "":
		return Source{}, fmt.Errorf("not a feed: %s", sourceForms)
	case text == kindStdin:
		return Source{kind: kindStdin, name: "standard input"}, nil
	case !strings.Contains(text, "://"):
		return Source{kind: kindFile, name: text}, nil
	}
	address, err := url.Parse(text)
	if err != nil {
		return Source{}, fmt.Errorf("%q: %s", text, sourceForms)
	}
	source := Source{kind: address.Scheme}
	switch address.Scheme {
	case kindTCP, kindUDP:
		source.name, err = hostPort(address)
	case kindSerial:
		source.name = address.Path
		source.baud, err = baudOf(address)
	case kindFile:
		source.name = address.Path
	default:
		err = fmt.Errorf("%q is not known", address.Scheme)
	}
	if err == nil && source.name == "" {
		err = errors.New("no device or file is named")
	}
	if err != nil {
		return Source{}, fmt.Errorf("%q: %w; %s", text, err, sourceForms)
	}
	return source, nil
}

func hostPort(address *url.URL) (string, error) {
	port, err := strconv.Atoi(address.Port())
	const highest = 65535
	switch {
	case err != nil || port < 1 || port > highest:
		return "", fmt.Errorf("port %q: it is 1 to %d", address.Port(), highest)
	case address.Scheme == kindTCP && address.Hostname() == "":
		return "", errors.New("no host to connect to")
	case address.Path != "" && address.Path != "/", address.RawQuery != "":
		return "", errors.New("nothing follows the port")
	}
	host := address.Hostname()
	if host == "" {
		host = "127.0.0.1" // who wants to be heard by other machines says so
	}
	return net.JoinHostPort(host, address.Port()), nil
}

func baudOf(address *url.URL) (int, error) {
	if address.Host != "" {
		return 0, errors.New("three slashes before the device")
	}
	values := address.Query()
	for key := range values {
		if key != "baud" {
			return 0, fmt.Errorf("%q is not known", key)
		}
	}
	if !values.Has("baud") {
		return defaultBaud, nil
	}
	baud, err := strconv.Atoi(values.Get("baud"))
	if err != nil || baud <= 0 {
		return 0, fmt.Errorf("baud %q: it is a number", values.Get("baud"))
	}
	return baud, nil
}

// String names the source for a person.
func (s Source) String() string {
	switch s.kind {
	case kindTCP, kindUDP:
		return s.kind + "://" + s.name
	case kindSerial:
		return fmt.Sprintf("%s at %d baud", s.name, s.baud)
	}
	return s.name
}

// Listens says where the source listens for others to send to; empty for one that does not.
func (s Source) Listens() string {
	if s.kind != kindUDP {
		return ""
	}
	return s.String()
}

// stream is an open source.
type stream struct {
	io.ReadCloser
	once  bool // it ends; opening it again would begin it again
	paced bool // a recording: it is delivered at the pace of its times
}

// open opens the source; stdin is what "-" reads.
func (s Source) open(ctx context.Context, stdin io.Reader) (stream, error) {
	switch s.kind {
	case kindTCP:
		var dialer net.Dialer
		connection, err := dialer.DialContext(ctx, "tcp", s.name)
		return stream{ReadCloser: connection}, err
	case kindUDP:
		var listener net.ListenConfig
		socket, err := listener.ListenPacket(ctx, "udp", s.name)
		return stream{ReadCloser: &packets{PacketConn: socket}}, err
	case kindSerial:
		line, err := openSerial(s.name, s.baud)
		return stream{ReadCloser: line}, err
	case kindStdin:
		return stream{ReadCloser: io.NopCloser(stdin), once: true}, nil
	}
	info, err := os.Stat(s.name)
	if err != nil {
		return stream{}, err
	}
	if info.Mode().IsRegular() {
		file, err := os.Open(s.name)
		return stream{ReadCloser: file, once: true, paced: true}, err
	}
	device, err := openDevice(s.name, info)
	return stream{ReadCloser: device}, err
}

// packets reads datagrams as lines: the end of a datagram is the end of a line. It hears one sender. Others are passed over until so many of
// their datagrams have come without one of the first.
type packets struct {
	net.PacketConn
	sender string
	others int
	buffer [1 << 16]byte
	rest   []byte // of the datagram received last
}

func (p *packets) Read(buffer []byte) (int, error) {
	if len(p.rest) == 0 {
		n, err := p.receive()
		if err != nil {
			return 0, err
		}
		p.buffer[n] = '\n'
		p.rest = p.buffer[:n+1]
	}
	n := copy(buffer, p.rest)
	p.rest = p.rest[n:]
	return n, nil
}

// receive waits for a datagram of the sender that is heard.
func (p *packets) receive() (int, error) {
	const patience = 20
	for {
		n, from, err := p.ReadFrom(p.buffer[:len(p.buffer)-1])
		if err != nil {
			return 0, err
		}
		if p.sender == "" || from.String() == p.sender || p.others >= patience {
			p.sender, p.others = from.String(), 0
			return n, nil
		}
		p.others++
	}
}
