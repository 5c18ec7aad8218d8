//go:build linux || darwin || freebsd

package feed

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// TestSerialLine: a pseudo-terminal stands for the line.
func TestSerialLine(t *testing.T) {
	receiver, line, err := pty.Open()
	require.NoError(t, err)
	defer receiver.Close()
	defer line.Close()
	readings := follow(t, "serial://"+line.Name()+"?baud=9600", nil)
	until(t, readings, Connecting)
	waitForRaw(t, line)
	settings, err := unix.IoctlGetTermios(int(line.Fd()), ioctlGet)
	require.NoError(t, err)
	assert.Zero(t, settings.Lflag&(unix.ECHO|unix.ICANON|unix.ISIG), "nothing is sent back, nothing is edited")
	assert.NotZero(t, settings.Cflag&unix.CS8)
	for i := range 3 {
		_, err := io.WriteString(receiver, sentence(rmc(second(i), 6, "150526")))
		require.NoError(t, err)
	}
	for i := range 3 {
		assert.Equal(t, i, until(t, readings, Receiving).Sample.Time.Second())
	}
}

// waitForRaw returns when the line has been opened and set up.
func waitForRaw(t *testing.T, line *os.File) {
	t.Helper()
	require.Eventually(t, func() bool {
		settings, err := unix.IoctlGetTermios(int(line.Fd()), ioctlGet)
		return err == nil && settings.Lflag&unix.ICANON == 0
	}, eventually, soon)
}

func TestUnpluggedLineIsTriedAgain(t *testing.T) {
	receiver, line, err := pty.Open()
	require.NoError(t, err)
	readings := follow(t, "serial://"+line.Name(), nil)
	until(t, readings, Connecting)
	waitForRaw(t, line)
	require.NoError(t, line.Close())
	require.NoError(t, receiver.Close())
	assert.NotEmpty(t, until(t, readings, Lost).Text)
	until(t, readings, Connecting)
}

func TestWhatIsNoSerialLineIsSaid(t *testing.T) {
	readings := follow(t, "serial:///dev/null", nil)
	assert.Equal(t, "/dev/null is not a serial line", until(t, readings, Lost).Text)
}

func TestNamedPipeOutlivesItsWriters(t *testing.T) {
	name := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, unix.Mkfifo(name, 0o600))
	readings := follow(t, name, nil)
	for round := range 2 {
		writer, err := os.OpenFile(name, os.O_WRONLY, 0)
		require.NoError(t, err)
		for i := range 2 {
			_, err = io.WriteString(writer, sentence(rmc(second(2*round+i), 6, "150526")))
			require.NoError(t, err)
		}
		require.NoError(t, writer.Close())
		for i := range 2 {
			assert.Equal(t, 2*round+i, until(t, readings, Receiving).Sample.Time.Second())
		}
	}
}
