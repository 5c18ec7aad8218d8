package drill

import (
	"fmt"
	"math"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// needleStep is how often the needle is looked at: often enough to be seen moving, a quarter of a second.
const needleStep = 250 * time.Millisecond

// liveCheck is a check that is being flown.
type liveCheck struct {
	drill.Live
	chain   int           // of needle ticks: those of an older check are passed over
	flown   bool          // the questions that wait or were asked last belong to it
	began   time.Duration // when the needle was first seen
	started time.Duration // the stopwatch
	running bool
}

// needleTick wakes the screen while the needle moves.
type needleTick struct{ chain int }

func (m *Model) needleAfter() tea.Cmd {
	chain := m.live.chain
	return tea.Tick(needleStep, func(time.Time) tea.Msg { return needleTick{chain} })
}

// startLive begins a check.
func (m *Model) startLive() terminal.Effect {
	level := m.Wish.Level
	if level == 0 {
		level = drill.Round
		for _, higher := range []drill.Level{drill.Plain, drill.Several} {
			if m.Progress.Of(drill.Card{Topic: drill.BearingChange, Level: higher - 1}).IsFirm() {
				level = higher
			}
		}
	}
	m.live = liveCheck{Live: drill.NewLive(level, m.Seed), chain: m.live.chain + 1, flown: true, began: m.at}
	m.Seed++
	m.begin(timing)
	return terminal.Effect{Redraw: true, Command: m.needleAfter()}
}

// moved looks at the needle again, until the beacon is too far behind for a check.
func (m *Model) moved(msg needleTick) terminal.Effect {
	if msg.chain != m.live.chain || m.mode != timing {
		return terminal.Effect{}
	}
	if m.live.OffNose(m.since(m.live.began)) > 90+deadreckon.MostBearingDeg*3/2 {
		effect := m.startLive()
		m.said = "the beacon is too far behind for a check; here is another one"
		return effect
	}
	return terminal.Effect{Redraw: true, Command: m.needleAfter()}
}

// since is the seconds from a moment to when Update last looked.
func (m *Model) since(moment time.Duration) float64 { return (m.at - moment).Seconds() }

// stopwatch starts and stops; when it stops the questions come.
func (m *Model) stopwatch(msg tea.KeyMsg) terminal.Effect {
	if !key.Matches(msg, m.keys.watch) {
		return terminal.Effect{}
	}
	if !m.live.running {
		m.live.running, m.live.started = true, m.at
		return terminal.Effect{Redraw: true}
	}
	m.live.running = false
	minutes, distance, err := m.live.Questions((m.live.started - m.live.began).Seconds(), m.since(m.live.began))
	if err != nil {
		m.said = err.Error() + "; start again"
		return terminal.Effect{Redraw: true}
	}
	m.waiting = []drill.Exercise{distance}
	m.ask(minutes)
	return terminal.Effect{Redraw: true}
}

// liveRows is the needle, the bearing in big digits, and the stopwatch.
func (m *Model) liveRows(width, height int) []string {
	seconds := m.since(m.live.began)
	side := "left"
	if m.live.OnRight {
		side = "right"
	}
	above := newSheet(width, height > 16)
	above.space()
	above.text(fmt.Sprintf("A beacon passes on the %s. You hold your heading, true airspeed %s.", side, say.Knots(m.live.TASKt)), m.theme.Value, "")
	above.text(fmt.Sprintf("Start the stopwatch at the wing tip, %03.0f, and stop it about 10° later.", m.live.wingTip()), m.theme.Value, "")
	above.space()
	if len(above.rows) > height/2 {
		above = newSheet(width, false)
		above.text(fmt.Sprintf("Beacon on the %s, TAS %s. Start at %03.0f, stop about 10° later.", side, say.Knots(m.live.TASKt), m.live.wingTip()), m.theme.Value, "")
	}
	head := above.rows[:min(len(above.rows), height/2)]
	room := max(height-len(head), 0)
	const figures = 26
	arc := m.arcRows(max(width-figures-4, 0), room, seconds)
	return append(head, frame.Beside(frame.Block(nil, 2, room), frame.Block(m.figureRows(seconds, room), min(figures, max(width-2, 0)), room), arc)...)
}

// wingTip is the relative bearing abeam on the beacon's side.
func (l liveCheck) wingTip() float64 {
	if l.OnRight {
		return 90
	}
	return 270
}

// figureRows are the relative bearing and the stopwatch, in digits as large as so many rows have room for.
func (m *Model) figureRows(seconds float64, room int) []string {
	t := m.theme
	bearing := fmt.Sprintf("%03.0f", m.live.RelativeBearing(seconds))
	label, watch, role := "stopwatch: space starts it", "0:00", t.Muted
	if m.live.running {
		label, watch, role = "stopwatch: space stops it", say.Span(m.since(m.live.started)), t.Headline
	}
	var rows []string
	add := func(label, figure string, look theme.Role, digits int, gap bool) {
		if digits == 0 {
			rows = append(rows, t.Label.Render(label)+" "+look.Render(figure))
			return
		}
		rows = append(rows, t.Label.Render(label))
		if gap {
			rows = append(rows, "")
		}
		for _, row := range frame.Big(figure, digits, t.Glyphs()) {
			rows = append(rows, look.Render(row))
		}
	}
	const airy, tight = frame.BigLarge + frame.BigSmall + 5, frame.BigSmall + 2
	switch {
	case room >= airy:
		add("relative bearing", bearing, t.Headline, frame.BigLarge, true)
		rows = append(rows, "")
		add(label, watch, role, frame.BigSmall, true)
	case room >= tight:
		add("relative bearing", bearing, t.Headline, frame.BigSmall, false)
		add("stopwatch", watch, role, 0, false)
	default:
		add("relative bearing", bearing, t.Headline, 0, false)
		add("stopwatch", watch, role, 0, false)
	}
	return rows
}

// The part of the card that is drawn, in degrees off the nose, and how much wider than high a cell has to be counted.
const (
	arcFrom    = 50
	arcTo      = 130
	cellRatio  = 2.1
	labelRoom  = 5
	largestArc = 18 // rows
)

// arc is a piece of a card of relative bearings on the beacon's side, the nose upwards, with a needle.
type arc struct {
	rows    []*frame.Strip
	radius  float64 // rows
	centreX float64
	centreY float64
	right   bool
}

// newArc makes one that fits, or none.
func newArc(width, height int, right bool) (arc, bool) {
	radius := min(float64(height-1)/2/math.Cos(arcFrom*math.Pi/180), float64(width-labelRoom-3)/cellRatio, largestArc)
	if radius < 3 {
		return arc{}, false
	}
	a := arc{radius: radius, centreX: 2, centreY: float64(height-1) / 2, right: right}
	if !right {
		a.centreX = float64(width - 3)
	}
	for range height {
		a.rows = append(a.rows, frame.NewStrip(width))
	}
	return a, true
}

// put places a text at so many degrees off the nose and a part of the radius.
func (a arc) put(offNose, part float64, text string, role theme.Role) {
	across := a.radius * part * math.Sin(offNose*math.Pi/180) * cellRatio
	x := int(math.Round(a.centreX + across))
	if !a.right {
		x = int(math.Round(a.centreX-across)) - frame.Width(text) + 1
	}
	if y := int(math.Round(a.centreY - a.radius*part*math.Cos(offNose*math.Pi/180))); y >= 0 && y < len(a.rows) {
		a.rows[y].Put(x, text, role)
	}
}

// arcRows draws the needle of the live check.
func (m *Model) arcRows(width, height int, seconds float64) []string {
	t := m.theme
	a, ok := newArc(width, height, m.live.OnRight)
	if !ok {
		return frame.Block(nil, width, height)
	}
	a.put(0, 0, "^", t.Value)
	offNose := m.live.OffNose(seconds)
	a.put(offNose, 0.97, t.Glyphs().Pointer, t.Headline)
	for part := 0.9; part > 0.08; part -= 0.3 / a.radius {
		a.put(offNose, part, "*", t.Headline)
	}
	for degrees := float64(arcFrom); degrees <= arcTo; degrees += 5 {
		switch {
		case math.Mod(degrees, 10) != 0:
			a.put(degrees, 1, ".", t.Frame)
		case degrees == 90:
			a.put(degrees, 1, t.Glyphs().Horizontal+t.Glyphs().Horizontal, t.Value)
		default:
			a.put(degrees, 1, t.Glyphs().Horizontal, t.Frame)
		}
		if math.Mod(degrees, 20) == 10 {
			label := fmt.Sprintf(" %03.0f", degrees)
			if !a.right {
				label = fmt.Sprintf("%03.0f ", 360-degrees)
			}
			a.put(degrees, 1+2/(a.radius*cellRatio), label, t.Label)
		}
	}
	rows := make([]string, height)
	for i, row := range a.rows {
		rows[i] = row.Row()
	}
	return rows
}
