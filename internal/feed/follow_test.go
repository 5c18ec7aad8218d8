package feed

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// follow follows a source until the test ends, and checks that the channel is closed then.
func follow(t *testing.T, text string, change func(*Following)) <-chan Reading {
	t.Helper()
	source, err := ParseSource(text)
	require.NoError(t, err)
	following := Following{Source: source, Now: time.Now, Start: func(work func()) { go work() }, retryFirst: time.Millisecond}
	if change != nil {
		change(&following)
	}
	ctx, cancel := context.WithCancel(context.Background())
	readings := following.Follow(ctx)
	t.Cleanup(func() {
		cancel()
		for {
			select {
			case _, open := <-readings:
				if !open {
					return
				}
			case <-time.After(5 * time.Second):
				t.Error("it goes on after its context has ended")
				return
			}
		}
	})
	return readings
}

// until reads up to the first reading of a state and returns the text of it, or the sample.
func until(t *testing.T, readings <-chan Reading, state State) Reading {
	t.Helper()
	for {
		select {
		case r, open := <-readings:
			require.True(t, open, "ended before it was %s", state)
			if r.State == state {
				return r
			}
		case <-time.After(10 * time.Second):
			require.Fail(t, "never "+string(state))
		}
	}
}

// How long something that must come is waited for, and how often it is looked for.
const (
	eventually = 10 * time.Second
	soon       = 2 * time.Millisecond
)

func second(n int) string { return fmt.Sprintf("1305%02d", n) }

func TestTCPIsConnectedAgain(t *testing.T) {
	server, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer server.Close()
	serve := make(chan net.Conn)
	go func() {
		for {
			connection, err := server.Accept()
			if err != nil {
				return
			}
			serve <- connection
		}
	}()
	readings := follow(t, "tcp://"+server.Addr().String(), nil)
	for round := range 3 {
		connection := <-serve
		for i := range 4 {
			_, err := io.WriteString(connection, sentence(rmc(second(10*round+i), float64(i), "150526")))
			require.NoError(t, err)
		}
		for i := range 4 {
			got := until(t, readings, Receiving)
			assert.Equal(t, 10*round+i, got.Sample.Time.Second())
			assert.InDelta(t, 52+float64(i)/60, got.Sample.At.Lat, 1e-9)
		}
		require.NoError(t, connection.Close())
		assert.Equal(t, "the other side ended it", until(t, readings, Lost).Text)
	}
}

func TestRefusedConnectionIsSaidAndTriedAgain(t *testing.T) {
	server, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	address := server.Addr().String()
	require.NoError(t, server.Close())
	readings := follow(t, "tcp://"+address, nil)
	assert.Equal(t, "connection refused", until(t, readings, Lost).Text)
	until(t, readings, Connecting)
	until(t, readings, Lost)
}

func freePort(t *testing.T) string {
	t.Helper()
	socket, err := net.ListenPacket("udp", "127.0.0.1:0")
	require.NoError(t, err)
	defer socket.Close()
	return socket.LocalAddr().String()
}

func TestUDP(t *testing.T) {
	address := freePort(t)
	readings := follow(t, "udp://"+address, nil)
	sender, err := net.Dial("udp", address)
	require.NoError(t, err)
	defer sender.Close()
	// Until the socket is open datagrams are refused, so they are sent again until one gets through. A datagram may have several
	// sentences, one of them very long, and needs no line end.
	text := sentence(rmc("130501", 6, "150526")) + strings.Repeat("x", 3000) + "\n" + strings.TrimSpace(sentence(gga("130501", 6, 300)))
	stop := make(chan struct{})
	defer close(stop)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			case <-time.After(5 * time.Millisecond):
				body := strings.ReplaceAll(text, "130501", second(i%60))
				_, _ = io.WriteString(sender, resummed(body))
			}
		}
	}()
	for range 5 {
		got := until(t, readings, Receiving)
		assert.InDelta(t, 52.1, got.Sample.At.Lat, 1e-9)
	}
	got := until(t, readings, Receiving)
	require.NotNil(t, got.Sample.AltitudeFt)
	assert.InDelta(t, 300/0.3048, *got.Sample.AltitudeFt, 1e-9)
}

// Of two that send to one port the first is heard, the other passed over, until the first has fallen silent.
func TestUDPHearsOneSender(t *testing.T) {
	socket, err := net.ListenPacket("udp", "127.0.0.1:0")
	require.NoError(t, err)
	heard := &packets{PacketConn: socket}
	defer heard.Close()
	send := func(from net.Conn, text string) {
		_, err := io.WriteString(from, text)
		require.NoError(t, err)
	}
	first, err := net.Dial("udp", socket.LocalAddr().String())
	require.NoError(t, err)
	defer first.Close()
	second, err := net.Dial("udp", socket.LocalAddr().String())
	require.NoError(t, err)
	defer second.Close()
	next := func() string {
		buffer := make([]byte, 100)
		n, err := heard.Read(buffer)
		require.NoError(t, err)
		return string(buffer[:n])
	}
	send(first, "first")
	require.Equal(t, "first\n", next())
	for range 10 {
		send(second, "second")
	}
	send(first, "first again")
	require.Equal(t, "first again\n", next())
	for range 30 {
		send(second, "second")
	}
	require.Equal(t, "second\n", next())
}

// resummed puts the right checksums to lines that were changed.
func resummed(text string) string {
	out := strings.Split(text, "\n")
	for i, line := range out {
		if body, _, found := strings.Cut(strings.TrimPrefix(line, "$"), "*"); found {
			out[i] = strings.TrimSpace(sentence(body))
		}
	}
	return strings.Join(out, "\n")
}

func TestOccupiedPortIsSaid(t *testing.T) {
	socket, err := net.ListenPacket("udp", "127.0.0.1:0")
	require.NoError(t, err)
	defer socket.Close()
	readings := follow(t, "udp://"+socket.LocalAddr().String(), nil)
	assert.Equal(t, "address already in use", until(t, readings, Lost).Text)
}

func TestSilenceIsSaidOnceAndEnds(t *testing.T) {
	server, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer server.Close()
	readings := follow(t, "tcp://"+server.Addr().String(), func(f *Following) { f.silentAfter = 10 * time.Millisecond })
	connection, err := server.Accept()
	require.NoError(t, err)
	defer connection.Close()
	until(t, readings, Silent)
	select {
	case r := <-readings:
		t.Errorf("%v while nothing comes", r)
	case <-time.After(100 * time.Millisecond):
	}
	for i := range 2 {
		_, err = io.WriteString(connection, sentence(rmc(second(i), 6, "150526")))
		require.NoError(t, err)
	}
	until(t, readings, Receiving)
	until(t, readings, Silent)
}

func TestReceiverWithoutPosition(t *testing.T) {
	readings := follow(t, "-", func(f *Following) {
		f.Stdin = strings.NewReader(sentence("GPRMC,131000.00,V,,,,,,,150526,,") + sentence(rmc("131001", 6, "150526")))
	})
	until(t, readings, NoPosition)
	got := until(t, readings, Receiving)
	assert.True(t, got.Sample.AfterGap)
	until(t, readings, Ended)
	_, open := <-readings
	assert.False(t, open)
}

func TestNonsenseIsSaid(t *testing.T) {
	readings := follow(t, "-", func(f *Following) { f.Stdin = strings.NewReader(strings.Repeat("\x8f\xff\x00\n", 30)) })
	assert.Contains(t, until(t, readings, NoPosition).Text, `not a sentence: it begins with "$"`)
}

func TestFileIsDeliveredAtItsPace(t *testing.T) {
	name := filepath.Join(t.TempDir(), "track.nmea")
	text := ""
	for _, clock := range []string{"130500.00", "130500.10", "130500.20", "130500.40"} {
		text += sentence(rmc(clock, 6, "150526"))
	}
	require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	began := time.Now()
	readings := follow(t, name, nil)
	for range 4 {
		until(t, readings, Receiving)
	}
	until(t, readings, Ended)
	assert.GreaterOrEqual(t, time.Since(began), 400*time.Millisecond)
}

func TestMissingFileIsSaid(t *testing.T) {
	readings := follow(t, filepath.Join(t.TempDir(), "nothing"), nil)
	assert.Equal(t, "no such file or directory", until(t, readings, Lost).Text)
}

func TestStarterIsGivenTheWork(t *testing.T) {
	started := 0
	source, err := ParseSource("-")
	require.NoError(t, err)
	readings := Following{
		Source: source, Stdin: strings.NewReader(""), Now: time.Now, Start: func(work func()) { started++; work() },
	}.Follow(context.Background())
	assert.Equal(t, Connecting, (<-readings).State)
	assert.Equal(t, Ended, (<-readings).State)
	assert.Equal(t, 1, started)
}

func TestSources(t *testing.T) {
	for _, c := range []struct {
		text string
		want Source
		name string
	}{
		{"tcp://simulator:2000", Source{kind: kindTCP, name: "simulator:2000"}, "tcp://simulator:2000"},
		{"tcp://[::1]:2000/", Source{kind: kindTCP, name: "[::1]:2000"}, "tcp://[::1]:2000"},
		{"udp://:10110", Source{kind: kindUDP, name: "127.0.0.1:10110"}, "udp://127.0.0.1:10110"},
		{"udp://127.0.0.1:10110", Source{kind: kindUDP, name: "127.0.0.1:10110"}, "udp://127.0.0.1:10110"},
		{"serial:///dev/ttyUSB0", Source{kind: kindSerial, name: "/dev/ttyUSB0", baud: 4800}, "/dev/ttyUSB0 at 4800 baud"},
		{"serial:///dev/ttyUSB0?baud=38400", Source{kind: kindSerial, name: "/dev/ttyUSB0", baud: 38400}, "/dev/ttyUSB0 at 38400 baud"},
		{"track.nmea", Source{kind: kindFile, name: "track.nmea"}, "track.nmea"},
		{"file:///home/me/track.nmea", Source{kind: kindFile, name: "/home/me/track.nmea"}, "/home/me/track.nmea"},
		{"-", Source{kind: kindStdin, name: "standard input"}, "standard input"},
	} {
		got, err := ParseSource(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got)
		assert.Equal(t, c.name, got.String())
	}
	for _, c := range []struct{ text, want string }{
		{"", "not a feed"},
		{"http://host:80", `"http" is not known`},
		{"tcp://host", `port "": it is 1 to 65535`},
		{"tcp://host:0", `port "0": it is 1 to 65535`},
		{"tcp://:2000", "no host to connect to"},
		{"udp://:10110?x=1", "nothing follows the port"},
		{"udp://:99999", `port "99999": it is 1 to 65535`},
		{"serial://dev/ttyUSB0", "three slashes before the device"},
		{"serial:///dev/ttyUSB0?baud=fast", `baud "fast": it is a number`},
		{"serial:///dev/ttyUSB0?rate=4800", `"rate" is not known`},
		{"serial://", "no device or file is named"},
		{"://", "a feed is tcp://HOST:PORT"},
	} {
		_, err := ParseSource(c.text)
		require.Error(t, err, c.text)
		assert.Contains(t, err.Error(), c.want)
		assert.Contains(t, err.Error(), "a feed is tcp://HOST:PORT", c.text)
	}
}
