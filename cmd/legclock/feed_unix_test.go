//go:build unix

package main_test

import (
	"fmt"
	"math"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/testkit"
	"example.com/legclock/plans"
)

// rmc is a sentence of NMEA 0183: recommended minimum data of a receiver, with its checksum.
func rmc(at time.Time, lat, lon float64) string {
	minutes := func(value float64, digits int) string {
		whole := math.Floor(math.Abs(value))
		return fmt.Sprintf("%0*.0f%07.4f", digits, whole, 60*(math.Abs(value)-whole))
	}
	body := fmt.Sprintf("GPRMC,%s,A,%s,N,%s,E,112.0,056.0,%s,,,A", at.Format("150405.00"), minutes(lat, 2), minutes(lon, 3), at.Format("020106"))
	sum := byte(0)
	for i := range len(body) {
		sum ^= body[i]
	}
	return fmt.Sprintf("$%s*%02X\r\n", body, sum)
}

// TestAFeedShowsAPassingAndMayBeLost flies the demo with positions from a TCP source: a passing is offered and taken with one key, the feed
// breaks off and comes back, and the journal holds the positions thinned.
func TestAFeedShowsAPassingAndMayBeLost(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer listener.Close()
	s, err := flighttest.Sheet(plans.DemoFile, plans.FS.ReadFile)
	require.NoError(t, err)
	w := newWorld(t)
	require.NoError(t, os.CopyFS(w.state, plans.FS))
	log := filepath.Join(w.state, "fed.jsonl")

	screen := testkit.Start(t, w.command("fly", plans.DemoFile, "--log", log, "--start", "08:25", "--rate", "16", "--feed", "tcp://"+listener.Addr().String()), 100, 30)
	connection, err := listener.Accept()
	require.NoError(t, err)
	screen.AwaitText("ARRIVAL")
	answer(screen, "recorded off blocks")
	screen.Type("c08:30\r")
	screen.AwaitText("recorded clock set 08:30:00Z")
	screen.Type("eairborne\r")
	screen.AwaitText("recorded airborne")
	screen.Type("c08:34\r")
	screen.AwaitText("recorded clock set 08:34:00Z")

	// 0.05 nm each tenth of a second are 112 kt at 16 times the clock; the railway junction is abeam after 7.2 nm.
	const stepNM, step = 0.05, 100 * time.Millisecond
	clock := time.Date(2026, 6, 20, 10, 0, 0, 0, time.UTC) // the receiver's own, which does not matter
	alongNM, sent := 6.5, 0
	send := func() {
		at := s.Route.PositionAt(0, alongNM)
		_, err := fmt.Fprint(connection, rmc(clock, at.Lat, at.Lon))
		require.NoError(t, err)
		alongNM, clock, sent = alongNM+stepNM, clock.Add(2*time.Second), sent+1
		time.Sleep(step)
	}
	for alongNM < 8 {
		send()
	}
	screen.AwaitText("the feed passed JNC")
	require.Zero(t, countIn(t, log, flight.Passing), "offered, not taken")
	screen.Type("y")
	screen.AwaitText("recorded passing JNC")
	require.Equal(t, 1, countIn(t, log, flight.Passing))

	require.NoError(t, connection.Close())
	screen.AwaitText("the feed is lost")
	connection, err = listener.Accept()
	require.NoError(t, err)
	for range 10 {
		send()
	}
	screen.AwaitText("the feed is back")
	positions := countIn(t, log, flight.Position)
	assert.GreaterOrEqual(t, positions, 2)
	assert.Less(t, positions, sent/3, "thinned")

	screen.Type("q")
	screen.AwaitText("Quit during the flight?")
	screen.Type("y")
	assert.Zero(t, screen.Wait())
	contents, err := journal.Load(log)
	require.NoError(t, err)
	for _, event := range contents.Events {
		if event.Act == flight.Position {
			assert.Equal(t, "feed", event.By)
		}
		if event.Act == flight.Passing {
			assert.Empty(t, event.By, "the pilot took it")
			require.NotNil(t, event.OffTrack)
			assert.InDelta(t, 0, *event.OffTrack, 0.1)
			assert.WithinDuration(t, time.Date(2026, 6, 20, 8, 34, 22, 0, time.UTC), event.T, 40*time.Second)
		}
	}
}

// countIn is how many entries of a kind a journal holds.
func countIn(t *testing.T, log string, do flight.Act) int {
	t.Helper()
	contents, err := journal.Load(log)
	require.NoError(t, err)
	n := 0
	for _, event := range contents.Events {
		if event.Act == do {
			n++
		}
	}
	return n
}

// TestAFeedThatCannotBeReadIsRefused says what a feed may be.
func TestAFeedThatCannotBeReadIsRefused(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	for _, feed := range []string{"tcp://localhost", "http://localhost:80", "serial:///dev/ttyUSB0?speed=9600"} {
		out, err := w.command("fly", "round.yaml", "--feed", feed).CombinedOutput()
		require.Error(t, err)
		require.Contains(t, string(out), "legclock: error: --feed:")
		require.Contains(t, string(out), "a feed is tcp://HOST:PORT, udp://:PORT")
	}
	out, err := w.command("fly", "round.yaml", "--feed", "udp://:10110", "--feed", "udp://:10111").CombinedOutput()
	require.Error(t, err)
	require.Contains(t, string(out), "there can be one only")
}

// A feed that is sent to says where it listens: at this machine alone, unless an address is given.
func TestAFeedThatListensSaysWhere(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	s := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05", "--feed", "udp://:10110"), 120, 36)
	s.AwaitText("listening for the feed on udp://127.0.0.1:10110")
}
