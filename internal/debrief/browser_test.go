package debrief_test

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/remarks"
)

// browserOf finds a browser that can be run without a screen, or skips the test.
func browserOf(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no browser: what the page shows is not looked at; Debian's chromium serves")
	return ""
}

//go:embed testdata/measure.js
var measure string

// measured is what measure.js found. Boxes are left, top, right, bottom in pixels, colours red, green, blue.
type measured struct {
	Fetched  []string  `json:"fetched"`
	Scrolls  float64   `json:"scrolls"`
	Texts    []inked   `json:"texts"`
	Pictures []drawing `json:"pictures"`
}

type inked struct {
	Text string     `json:"text"`
	Ink  [3]float64 `json:"ink"`
	Page [3]float64 `json:"page"`
	Box  [4]float64 `json:"box"`
}

type drawing struct {
	Title string     `json:"title"`
	Box   [4]float64 `json:"box"`
	Size  float64    `json:"size"` // of its writing, pixels
	Texts []inked    `json:"texts"`
	Lines []struct {
		inked
		Kind   string       `json:"kind"`
		Points [][2]float64 `json:"points"`
	} `json:"lines"`
}

// shownIn opens a page in a browser of a width and measures it.
func shownIn(t *testing.T, browser string, page []byte, flags ...string) measured {
	t.Helper()
	folder := t.TempDir()
	file := filepath.Join(folder, "page.html")
	script := []byte("<script>" + measure + "</script></body>")
	require.NoError(t, os.WriteFile(file, bytes.Replace(page, []byte("</body>"), script, 1), 0o600))
	const patience = 2 * time.Minute
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	flags = append(flags, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--user-data-dir="+folder, "--dump-dom", "file://"+file)
	command := exec.CommandContext(ctx, browser, flags...)
	command.WaitDelay = 10 * time.Second
	dom, err := command.Output()
	require.NoError(t, err)
	found := regexp.MustCompile(`(?s)id="measured">(.*?)</script>`).FindSubmatch(dom)
	require.NotNil(t, found, "the page did not load:\n%.2000s", dom)
	var m measured
	require.NoError(t, json.Unmarshal([]byte(html.UnescapeString(string(found[1]))), &m))
	return m
}

// reported is a flight with everything that a report can show: a tank changed far too late, a point never logged, a feed, a remark.
func reported(t *testing.T) *debrief.Flight {
	log := flown(t, 7)
	var events []flight.Event
	add := func(e flight.Event) { e.N = len(events) + 1; events = append(events, e) }
	changes := 0
	for _, e := range log.Events {
		if e.Act == flight.TankChange {
			if changes++; changes == 1 {
				continue
			}
		}
		if e.Act == flight.Passing && e.Point == "viaduct" {
			continue
		}
		add(e)
		if e.Act == flight.Passing {
			at := log.Sheet.Route.PositionAt(0, 5)
			add(flight.Event{Act: flight.Position, By: "feed", T: e.T.Add(time.Second), Rec: e.T.Add(time.Second), At: &at})
		}
	}
	log.Events = events
	log.Remarks = []remarks.Remark{{N: 1, T: log.Sheet.Airborne.Add(10 * time.Minute), By: "Kim", Text: "ask <here> & read it back"}}
	return of(t, log)
}

// The page in a real browser, light and dark, wide and narrow: what it shows, and that it can be read.
func TestThePageInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	browser := browserOf(t)
	f := reported(t)
	var page bytes.Buffer
	require.NoError(t, f.Write(&page, "html"))
	for name, flags := range map[string][]string{
		"light":  {"--window-size=1200,900"},
		"dark":   {"--window-size=1200,900", "--blink-settings=preferredColorScheme=0"},
		"narrow": {"--window-size=500,900"},
	} {
		t.Run(name, func(t *testing.T) {
			m := shownIn(t, browser, page.Bytes(), flags...)
			assert.Empty(t, m.Fetched, "it needs nothing else")
			assert.LessOrEqual(t, m.Scrolls, 0.0, "it does not scroll sideways")
			requireWords(t, m, f)
			for _, p := range m.Pictures {
				requireDrawn(t, p)
			}
			isDark := m.Texts[0].Page[0] < 128
			assert.Equal(t, name == "dark", isDark)
			requireContrast(t, m)
			requireImbalance(t, m, f)
		})
	}
}

// The page of a class in a window as narrow as a telephone: nothing but its tables is wider, and dates stand in one piece.
func TestTheClassPageInANarrowWindow(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	m := shownIn(t, browserOf(t), classPage(t, "", "Kim"), "--window-size=500,900")
	assert.Empty(t, m.Fetched)
	assert.LessOrEqual(t, m.Scrolls, 0.0)
	requireContrast(t, m)
	dates := 0
	for _, text := range m.Texts {
		if strings.HasPrefix(text.Text, "2026-06-20 ") {
			dates++
			assert.Less(t, text.Box[3]-text.Box[1], 40.0, "%s takes one line", text.Text)
		}
	}
	assert.Equal(t, 8, dates)
}

// The page on paper: a few sheets, and nothing of the screen's width is lost beside them.
func TestThePageOnPaper(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing runs beside it")
	}
	browser := browserOf(t)
	folder := t.TempDir()
	file, printed := filepath.Join(folder, "page.html"), filepath.Join(folder, "page.pdf")
	var page bytes.Buffer
	require.NoError(t, reported(t).Write(&page, "html"))
	require.NoError(t, os.WriteFile(file, page.Bytes(), 0o600))
	command := exec.Command(browser, "--headless=new", "--no-sandbox", "--disable-gpu", "--user-data-dir="+folder, "--no-pdf-header-footer",
		"--print-to-pdf="+printed, "file://"+file)
	require.NoError(t, command.Run())
	pdf, err := os.ReadFile(printed)
	require.NoError(t, err)
	count := regexp.MustCompile(`/Count (\d+)`).FindSubmatch(pdf)
	require.NotNil(t, count)
	sheets, err := strconv.Atoi(string(count[1]))
	require.NoError(t, err)
	assert.LessOrEqual(t, sheets, 2)
	words, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext: the words on paper are not looked at; Debian's poppler-utils serves")
	}
	text, err := exec.Command(words, "-layout", printed, "-").Output()
	require.NoError(t, err)
	for _, wanted := range []string{"What mattered most", "ETA at the destination", "TRH24", "limit 8", "Passings", "ask <here> & read it back", "Not certified"} {
		assert.Contains(t, string(text), wanted)
	}
}

// requireWords wants the title, the lessons and the remark, as they were written.
func requireWords(t *testing.T, m measured, f *debrief.Flight) {
	t.Helper()
	var all []string
	for _, text := range m.Texts {
		all = append(all, text.Text)
	}
	assert.Contains(t, all, f.Title)
	assert.Contains(t, all, "ask <here> & read it back")
	for _, lesson := range f.Lessons {
		assert.Contains(t, all, string([]rune(lesson.Text)[:min(40, len([]rune(lesson.Text)))]))
	}
	var titles []string
	for _, p := range m.Pictures {
		titles = append(titles, p.Title)
	}
	assert.Equal(t, []string{
		"ETA at the destination", "Error at each passing", "Tanks", "Imbalance against the limit", "Track", "Wind", "Groundspeed by leg",
	}, titles)
}

// requireDrawn wants a picture that is there, with its words within it, legible and none on another.
func requireDrawn(t *testing.T, p drawing) {
	t.Helper()
	assert.Greater(t, p.Box[2]-p.Box[0], 300.0, "%s: width", p.Title)
	assert.Greater(t, p.Box[3]-p.Box[1], 120.0, "%s: height", p.Title)
	assert.GreaterOrEqual(t, p.Size, 8.0, "%s: its words are %.1f pixels high", p.Title, p.Size)
	const slack = 1.5
	for i, text := range p.Texts {
		assert.True(t, text.Box[0] >= p.Box[0]-slack && text.Box[2] <= p.Box[2]+slack && text.Box[1] >= p.Box[1]-slack && text.Box[3] <= p.Box[3]+slack,
			"%s: %q is cut off", p.Title, text.Text)
		for _, other := range p.Texts[:i] {
			wide := math.Min(text.Box[2], other.Box[2]) - math.Max(text.Box[0], other.Box[0])
			high := math.Min(text.Box[3], other.Box[3]) - math.Max(text.Box[1], other.Box[1])
			assert.False(t, wide > slack && high > 0.4*p.Size, "%s: %q stands on %q", p.Title, text.Text, other.Text)
		}
	}
}

// requireContrast wants what the Web Content Accessibility Guidelines 2.1 ask for: 4.5 to 1 for words (1.4.3), 3 to 1 for what graphics
// are understood by (1.4.11).
func requireContrast(t *testing.T, m measured) {
	t.Helper()
	for _, text := range m.Texts {
		assert.GreaterOrEqual(t, contrast(text.Ink, text.Page), 4.5, "%q", text.Text)
	}
	for _, p := range m.Pictures {
		for _, text := range p.Texts {
			assert.GreaterOrEqual(t, contrast(text.Ink, text.Page), 4.5, "%s: %q", p.Title, text.Text)
		}
		for _, line := range p.Lines {
			assert.GreaterOrEqual(t, contrast(line.Ink, line.Page), 3.0, "%s: the line %s", p.Title, line.Kind)
		}
	}
}

// contrast is that of two colours by WCAG 2.1, "contrast ratio" and "relative luminance".
func contrast(a, b [3]float64) float64 {
	luminance := func(colour [3]float64) float64 {
		var linear [3]float64
		for i, value := range colour {
			value /= 255
			linear[i] = math.Pow((value+0.055)/1.055, 2.4)
			if value <= 0.03928 {
				linear[i] = value / 12.92
			}
		}
		return 0.2126*linear[0] + 0.7152*linear[1] + 0.0722*linear[2]
	}
	high, low := luminance(a), luminance(b)
	if high < low {
		high, low = low, high
	}
	return (high + 0.05) / (low + 0.05)
}

// requireImbalance reads the highest imbalance off the picture, by the numbers on its axis.
func requireImbalance(t *testing.T, m measured, f *debrief.Flight) {
	t.Helper()
	for _, p := range m.Pictures {
		if p.Title != "Imbalance against the limit" {
			continue
		}
		var values, heights []float64
		for _, text := range p.Texts {
			if value, err := strconv.ParseFloat(strings.TrimSpace(text.Text), 64); err == nil {
				values, heights = append(values, value), append(heights, (text.Box[1]+text.Box[3])/2)
			}
		}
		require.GreaterOrEqual(t, len(values), 3)
		last := len(values) - 1
		top := math.Inf(1)
		for _, point := range p.Lines[0].Points {
			top = math.Min(top, point[1])
		}
		read := values[0] + (top-heights[0])/(heights[last]-heights[0])*(values[last]-values[0])
		onePixel := math.Abs((values[last] - values[0]) / (heights[last] - heights[0]))
		assert.InDelta(t, f.Tanks.HighestImbalance, read, 2*onePixel)
		assert.Greater(t, f.Tanks.HighestImbalance, *f.Tanks.Limit)
		return
	}
	t.Error("no picture of the imbalance")
}
