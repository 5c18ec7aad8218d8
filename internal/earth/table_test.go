package earth_test

import (
	"bufio"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// table reads the rows of numbers in a file under testdata/tables; '#' starts a comment line.
func table(t *testing.T, name string, columns int) [][]float64 {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "testdata", "tables", name))
	require.NoError(t, err)
	defer file.Close()

	var rows [][]float64
	for lines := bufio.NewScanner(file); lines.Scan(); {
		line := lines.Text()
		if strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Fields(line)
		if len(fields) != columns {
			continue
		}
		row := make([]float64, columns)
		for i, field := range fields {
			row[i] = number(t, field)
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return value
}
