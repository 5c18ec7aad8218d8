package markup_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/markup"
)

// What a spreadsheet takes for a formula (CWE-1236, improper neutralisation of formula elements in a CSV file) is text; numbers stay numbers.
func TestNoCellIsAFormula(t *testing.T) {
	var out bytes.Buffer
	table := markup.NewTable(&out)
	table.Row("=1+2", "+x", "-x", "@x", "\tx", "-4.5", "+3", "", "x=1", "--")
	require.NoError(t, table.End())
	assert.Equal(t, "'=1+2,'+x,'-x,'@x,'\tx,-4.5,+3,,x=1,'--\n", out.String())
}
