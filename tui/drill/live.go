package drill

import (
	"fmt"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/terminal"
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
		m.said = err.Error() + "; start it anew"
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
	head := above.rows[:min(len(above.rows), height/2)]
	room := max(height-len(head), 0)
	const figures = 26
	arc := m.arcRows(max(width-figures-4, 0), room, seconds)
	return append(head, frame.Beside(frame.Block(nil, 2, room), frame.Block(m.figureRows(seconds), min(figures, max(width-2, 0)), room), arc)...)
}

// wingTip is the relative bearing abeam on the beacon's side.
func (l liveCheck) wingTip() float64 {
	if l.OnRight {
		return 90
	}
	return 270
}

// figureRows are the relative bearing and the stopwatch.
func (m *Model) figureRows(seconds float64) []string {
	t := m.theme
	rows := []string{t.Label.Render("relative bearing"), ""}
	for _, row := range frame.Big(fmt.Sprintf("%03.0f", m.live.RelativeBearing(seconds)), frame.BigLarge, t.Glyphs()) {
		rows = append(rows, t.Headline.Render(row))
	}
	label, watch, role := "stopwatch: space starts it", "0:00", t.Muted
	if m.live.running {
		label, watch, role = "stopwatch: space stops it", say.Span(m.since(m.live.started)), t.Headline
	}
	rows = append(rows, "", t.Label.Render(label), "")
	for _, row := range frame.Big(watch, frame.BigSmall, t.Glyphs()) {
		rows = append(rows, role.Render(row))
	}
	return rows
}
