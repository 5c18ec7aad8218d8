//go:build unix

package intake_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.com/legclock/internal/intake"
)

// Devices without an end are too large; a pipe that nobody writes to is empty, and not waited for.
func TestWhatIsNoFile(t *testing.T) {
	for _, device := range []string{"/dev/zero", "/dev/urandom"} {
		_, err := intake.File(device, 1<<20)
		var large *intake.TooLarge
		require.ErrorAs(t, err, &large)
		require.ErrorContains(t, err, device)
	}
	pipe := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, unix.Mkfifo(pipe, 0o600))
	data, err := intake.File(pipe, 10)
	require.NoError(t, err)
	require.Empty(t, data)
}
