package debrief_test

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The picture of a debrief in the documentation is two plots of a page, in the page's own colours, so it cannot show what the program no longer
// draws.
func TestPicture(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, of(t, flown(t, 7)).Write(&out, "html"))
	page := out.String()
	colours := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(page)
	require.NotNil(t, colours)
	colour := map[string]string{} // by its variable, in daylight: not every reader of SVG knows variables
	var rules strings.Builder
	for line := range strings.Lines(colours[1]) {
		if strings.HasPrefix(line, ":root") {
			for _, variable := range regexp.MustCompile(`(--\w+): ([^;]+);`).FindAllStringSubmatch(line, -1) {
				colour["var("+variable[1]+")"] = variable[2]
			}
		}
		if strings.HasPrefix(line, "svg ") {
			rules.WriteString(line)
		}
	}
	plain := func(text string) string {
		for variable, value := range colour {
			text = strings.ReplaceAll(text, variable, value)
		}
		return text
	}
	const width, height, gap, title = 560, 300, 20, 22
	var plots strings.Builder
	for i, name := range []string{"ETA at the destination", "Tanks"} {
		_, after, found := strings.Cut(page, "<h2>"+name+"</h2>")
		require.True(t, found, name)
		plot, _, _ := strings.Cut(after[strings.Index(after, "<svg "):], "</svg>")
		x := i * (width + gap)
		fmt.Fprintf(&plots, `<text class="name" x="%d" y="14">%s</text>`+"\n", x, name)
		fmt.Fprintf(&plots, `<svg x="%d" y="%d" width="%d" height="%d" %s</svg>`+"\n", x, title, width, height, strings.TrimPrefix(plot, "<svg "))
	}
	got := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %[1]d %[2]d" width="%[1]d" height="%[2]d">
<style>
%[3]s</style>
<rect width="100%%" height="100%%" fill="#ffffff"/>
%[4]s</svg>
`, 2*width+gap, height+title, plain(rules.String()), plots.String())
	const path = "../../docs/pictures/debrief.svg"
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run the test with -update to write it")
	require.True(t, got == string(want), "%s is no longer what a debrief looks like; run the test with -update and look at it", path)
}
