package markup_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/markup"
)

func TestWhatIsWritten(t *testing.T) {
	var p markup.Page
	p.Open("tr", markup.Class("leg"), markup.Attribute{Name: "title", Value: `5 "nm" < 6`}, markup.Class(""))
	p.Element("td", "A\x1b&\x00B")
	p.Raw("<td/>")
	p.Close("tr")
	require.Equal(t, `<tr class="leg" title="5 &#34;nm&#34; &lt; 6"><td>A&amp;B</td><td/></tr>`, p.String())
}

// Whatever a pilot typed comes out of a parser of the standard library as the text and the attribute that it was, in one element.
func TestTextStaysText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		letters := rapid.StringOf(rapid.RuneFrom([]rune(`<>&"'/=! -ab;#xé`)))
		text, value := letters.Draw(t, "text"), letters.Draw(t, "value")
		var p markup.Page
		p.Element("p", text, markup.Attribute{Name: "title", Value: value})
		parser := xml.NewDecoder(strings.NewReader(p.String()))
		var got, title string
		elements := 0
		for {
			token, err := parser.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, p.String())
			switch token := token.(type) {
			case xml.StartElement:
				elements++
				for _, a := range token.Attr {
					title = a.Value
				}
			case xml.CharData:
				got += string(token)
			}
		}
		require.Equal(t, 1, elements)
		require.Equal(t, text, got)
		require.Equal(t, value, title)
	})
}
