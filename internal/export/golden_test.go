package export

import (
	"bytes"
	"testing"

	"github.com/charmbracelet/x/exp/golden"
	"github.com/stretchr/testify/require"
)

func written(t testing.TB, d Document, format string) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, d.Write(&out, format))
	return out.Bytes()
}

// TestGolden shows the demo plan in every format.
func TestGolden(t *testing.T) {
	for _, format := range Formats() {
		t.Run(format, func(t *testing.T) { golden.RequireEqual(t, written(t, planned(t), format)) })
	}
}
