package entry_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/atotto/clipboard"
	"github.com/stretchr/testify/require"
)

// TestNoProgramIsLookedForAtTheStart runs this test's own program with a PATH on which the clipboard's programs are: they are not found, and the PATH
// is what it was.
func TestNoProgramIsLookedForAtTheStart(t *testing.T) {
	const asked = "LEGCLOCK_PATH_AS_GIVEN"
	if path, again := os.LookupEnv(asked); again {
		require.True(t, clipboard.Unsupported, "the clipboard's programs were looked for")
		require.Equal(t, path, os.Getenv("PATH"))
		return
	}
	folder := t.TempDir()
	for _, name := range []string{"xclip", "xsel", "wl-copy", "wl-paste"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("#!/bin/sh\n"), 0o755))
	}
	program, err := os.Executable()
	require.NoError(t, err)
	again := exec.Command(program, "-test.run", "^"+t.Name()+"$")
	again.Env = append(os.Environ(), "PATH="+folder, asked+"="+folder)
	out, err := again.CombinedOutput()
	require.NoError(t, err, "%s", out)
}
