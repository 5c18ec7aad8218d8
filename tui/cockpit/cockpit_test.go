package cockpit_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
	"example.com/legclock/tui/cockpit"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

// seat is a practice flight of the demo by hand.
type seat struct {
	*practice.Flight
	t     *testing.T
	count int
}

// look is the screen from the seat at a moment.
func look(v practice.View) *cockpit.Screen { return cockpit.New(&v.Seat) }

// moment is a practice flight as the screen is drawn of it.
type moment struct {
	name string
	practice.View
}

func (m moment) rows(size screen.Size, t theme.Theme) []string {
	return look(m.View).Rows(m.Snapshot, size, t)
}

func clock(text string) time.Time { return screentest.Clock(text).AddDate(0, 0, 6) } // the day of the demo plan

func newSeat(t *testing.T, fuel map[string]float64) *seat {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.False(t, plan.HasErrors(problems), "%v", problems)
	if fuel != nil {
		p.Fuel.OnBoard = fuel
	}
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	r := &seat{Flight: practice.NewFlight(s, practice.Hidden{Seed: 7}), t: t}
	start := p.OffBlocks
	r.does("08:25:00", flight.Event{Act: flight.Clock, Set: &start, Rate: new(4.0)})
	r.does("08:25:00", flight.Event{Act: flight.Hands, Hands: "on"})
	return r
}

func (r *seat) does(at string, e flight.Event) {
	r.t.Helper()
	r.count++
	e.N, e.T, e.Confirmed = r.count, clock(at), true
	e.Rec = clock("08:25:00").Add(e.T.Sub(clock("08:25:00")) / 4)
	require.NoError(r.t, r.Check(e))
	require.NoError(r.t, r.Apply(e))
}

func (r *seat) press(at string, key tea.KeyMsg) []screen.Intent {
	return look(r.View(clock(at))).Press(key, flight.Snapshot{})
}

// choose takes the choice that is called so in short.
func (r *seat) choose(at, short string) []screen.Intent {
	return screentest.Press(look(r.View(clock(at))), r.At(clock(at)), ":"+short)
}

func steer(heading float64) flight.Event {
	return flight.Event{Act: flight.Steering, Heading: &heading}
}

// takeOff flies to a minute after the level.
func (r *seat) takeOff() *seat {
	r.does("08:25:10", flight.Event{Act: flight.OffBlocks})
	r.does("08:30:00", flight.Event{Act: flight.Airborne})
	r.does("08:30:10", flight.Event{Act: flight.Tuned, Receiver: "DME", Beacon: "LKM"})
	r.does("08:30:12", flight.Event{Act: flight.Tuned, Receiver: "NAV1", Beacon: "LKM"})
	r.does("08:30:40", steer(55))
	return r
}

// cruise has been asked for a groundspeed.
func (r *seat) cruise() *seat {
	r.takeOff()
	r.does("08:34:40", flight.Event{Act: flight.Passing, Point: "JNC"})
	r.does("08:38:20", flight.Event{Act: flight.Tuned, Receiver: "ADF", Beacon: "FNW"})
	r.does("08:38:40", flight.Event{Act: flight.Passing, Point: "DAM", OffTrack: new(0.7)})
	require.NotNil(r.t, r.View(clock("08:38:50")).Seat.Question)
	return r
}

// moments are what the screen shows.
func moments(t *testing.T) []moment {
	asked := newSeat(t, nil).cruise()
	question := asked.View(clock("08:39:00"))
	asked.does("08:39:30", flight.Event{Act: flight.Answered, Prompt: question.Seat.Question.ID, Text: "9 left"})
	quick := newSeat(t, nil).takeOff()
	quick.does("08:40:00", flight.Event{Act: flight.QuickCheck})
	quick.does("08:40:20", flight.Event{Act: flight.Answered, Prompt: quick.View(clock("08:40:10")).Seat.Question.ID, Text: "150"})
	dry := newSeat(t, map[string]float64{"left": 43, "right": 10}).takeOff()
	ground := newSeat(t, nil)
	watching := newSeat(t, nil)
	watching.does("08:25:05", flight.Event{Act: flight.Hands, Hands: "off"})
	return []moment{
		{"before-start", ground.View(clock("08:25:05"))},
		{"climb", newSeat(t, nil).takeOff().View(clock("08:33:00"))},
		{"asked", question},
		{"marked", asked.View(clock("08:40:00"))},
		{"engine-stopped", dry.View(clock("08:48:50"))},
		{"hands-off", watching.View(clock("08:25:05"))},
		{"quick-check", quick.View(clock("08:40:25"))},
	}
}

func TestGoldenFrames(t *testing.T) {
	for _, moment := range moments(t) {
		for _, size := range []screen.Size{{Width: 80, Height: 21}, {Width: 120, Height: 33}, {Width: 160, Height: 45}} {
			name := fmt.Sprintf("%s-%dx%d.txt", moment.name, size.Width, size.Height)
			t.Run(name, func(t *testing.T) {
				screentest.RequireFrame(t, "../../testdata/frames/cockpit/"+name, moment.rows(size, theme.Theme{Name: "none"}))
			})
		}
	}
	t.Run("colour", func(t *testing.T) {
		rows := moments(t)[2].rows(screen.Size{Width: 80, Height: 21}, theme.Dusk(termenv.ANSI))
		screentest.RequireFrame(t, "../../testdata/frames/cockpit/asked-80x21-dusk-16.txt", rows)
	})
	t.Run("ascii", func(t *testing.T) {
		look := theme.Theme{Name: "none", ASCII: true}
		screentest.RequireFrame(t, "../../testdata/frames/cockpit/marked-80x21-ascii.txt", moments(t)[3].rows(screen.Size{Width: 80, Height: 21}, look))
	})
}

func TestRowsFillEverySize(t *testing.T) {
	screentest.Exact(t, cockpit.New(&practice.Seat{}))
	all := moments(t)
	turn := 0
	for width := 1; width <= 200; width += 3 {
		for height := 1 + width%4; height <= 60; height += 4 {
			turn++
			size := screen.Size{Width: width, Height: height}
			screentest.RequireExact(t, all[turn%len(all)].rows(size, theme.Dusk(termenv.TrueColor)), size)
		}
	}
}

// In a small window too nothing of what is asked, of its figures or of the trouble is cut off, and neither are heading and altitude.
func TestWhatCantWaitIsWholeInASmallWindow(t *testing.T) {
	all := moments(t)
	require.NotEmpty(t, all[4].Seat.Trouble)
	for _, size := range []screen.Size{{Width: 80, Height: 21}, {Width: 60, Height: 13}, {Width: 40, Height: 7}} {
		shown := func(m moment) string {
			rows := m.rows(size, theme.Theme{})
			return strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
		}
		for _, m := range []moment{all[2], all[6]} {
			question := m.Seat.Question
			assert.Contains(t, shown(m), question.Text, "%v", size)
			for _, given := range question.Given {
				assert.Contains(t, shown(m), given[0]+" "+given[1], "%v", size)
			}
		}
		assert.Contains(t, shown(all[4]), all[4].Seat.Trouble, "%v", size)
		for _, m := range all {
			assert.Regexp(t, fmt.Sprintf(`COMPASS %03.0f .*ALTITUDE %.0f `, m.Seat.Panel.Compass, m.Seat.Panel.AltitudeFt), shown(m)+" ", "%s %v", m.name, size)
		}
	}
}

// How far away what is in view lies is not cut where rows are free.
func TestWhatIsInViewIsWhole(t *testing.T) {
	m := moments(t)[1]
	m.Seat.InView = []string{"reservoir dam, just left of the nose, 1.5 nm", "railway junction, behind, 6 nm"}
	for _, size := range []screen.Size{{Width: 80, Height: 21}, {Width: 100, Height: 30}} {
		rows := strings.Join(m.rows(size, theme.Theme{}), "\n")
		assert.Regexp(t, `(?s)reservoir dam, just left of the nose,.*1.5 nm.*railway junction, behind, 6 nm`, rows)
	}
}

// The screen tells what can be read, not what the log reckons.
func TestNothingThatTheLogReckonsIsShown(t *testing.T) {
	s := moments(t)[2]
	rows := strings.Join(s.rows(screen.Size{Width: 160, Height: 45}, theme.Theme{}), "\n")
	assert.NotContains(t, rows, s.Next.ETA.Format("15:04:05"))
	assert.NotContains(t, rows, fmt.Sprintf("heading %03.0f", *s.Steer.HeadingMagnetic))
}

func TestKeysOfTheHands(t *testing.T) {
	r := newSeat(t, nil)
	key := func(name tea.KeyType) tea.KeyMsg { return tea.KeyMsg{Type: name} }
	letter := func(letter string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(letter)} }
	recorded := func(at string, msg tea.KeyMsg) flight.Event {
		t.Helper()
		intents := r.press(at, msg)
		require.Len(t, intents, 1)
		record, ok := intents[0].(screen.Record)
		require.True(t, ok, "%#v", intents[0])
		return record.Event
	}
	assert.Equal(t, []screen.Intent{screen.Say{Text: "not airborne: there is nothing to steer yet"}}, r.press("08:25:30", key(tea.KeyLeft)))
	r.takeOff()
	assert.Equal(t, 50.0, *recorded("08:31:00", key(tea.KeyLeft)).Heading)
	assert.Equal(t, 60.0, *recorded("08:31:00", key(tea.KeyRight)).Heading)
	assert.Equal(t, 56.0, *recorded("08:31:00", letter(".")).Heading)
	assert.Equal(t, 54.0, *recorded("08:31:00", letter("<")).Heading)
	assert.Equal(t, 4000.0, *recorded("08:31:00", key(tea.KeyUp)).Altitude, "from the altitude that is climbed to")
	assert.Equal(t, 3000.0, *recorded("08:31:00", key(tea.KeyDown)).Altitude)

	typed := func(short, line string) ([]screen.Intent, error) {
		t.Helper()
		ask, ok := r.choose("08:31:00", short)[0].(screen.Ask)
		require.True(t, ok)
		return ask.Parse(line, r.At(clock("08:31:00")))
	}
	intents, err := typed("course", "nav1 96")
	require.NoError(t, err)
	event := intents[0].(screen.Record).Event
	assert.Equal(t, "NAV1", event.Receiver)
	assert.Equal(t, 96.0, *event.Course)
	_, err = typed("course", "96")
	assert.ErrorContains(t, err, "write the receiver and the course: NAV1 096")
	_, err = typed("altitude", "high")
	assert.ErrorContains(t, err, `"high"`)

	assert.Empty(t, r.choose("08:31:00", "answer"), "nothing is asked just now")
	r = newSeat(t, nil).cruise()
	answer, ok := r.choose("08:39:00", "answer")[0].(screen.Ask)
	require.True(t, ok)
	assert.Equal(t, "answer, as 9 right or L 4", answer.Label, "an example, which does not look typed")
	intents, err = answer.Parse(" 9 left ", flight.Snapshot{})
	require.NoError(t, err)
	assert.Equal(t, "9 left", intents[0].(screen.Record).Event.Text)
	_, err = answer.Parse("  ", flight.Snapshot{})
	assert.ErrorContains(t, err, "enter then shows it")
	assert.Empty(t, r.choose("08:39:00", "show me")[0].(screen.Record).Event.Text)

	r.does("08:39:10", flight.Event{Act: flight.Hands, Hands: "off"})
	assert.Equal(t, []screen.Intent{screen.Say{Text: "the program flies: h takes over"}}, r.press("08:39:20", key(tea.KeyLeft)))
	assert.Nil(t, r.press("08:39:20", letter("!")))
}

// How much is seen and what is to be done moves no instrument, and a question leaves the rows between them as they are.
func TestTheInstrumentsStandWhereTheyStand(t *testing.T) {
	m := moments(t)[1]
	m.Seat.InView, m.Seat.Passed = nil, nil
	panel := func(m moment, size screen.Size) (at []int) {
		for i, row := range m.rows(size, theme.Theme{}) {
			for _, name := range []string{" PANEL ", " NAV1 ", " NAV2 ", " DME ", " ADF "} {
				if strings.HasPrefix(row, name) {
					at = append(at, i)
				}
			}
		}
		return at
	}
	asked := m
	asked.Seat.Question = moments(t)[2].Seat.Question
	for _, width := range []int{60, 80, 120, 160} {
		for height := 21; height <= 60; height++ {
			size := screen.Size{Width: width, Height: height}
			bare := panel(m, size)
			require.Len(t, bare, 5, "%v", size)
			for seen := range 12 {
				full := m
				full.Seat.InView = slices.Repeat([]string{"long lake, ahead, 3 nm"}, seen)
				full.Seat.Passed = slices.Repeat([]practice.Passed{{At: m.At, Text: "long lake is below"}}, seen/2)
				full.Prompts = m.Prompts[:min(seen, len(m.Prompts))]
				require.Equal(t, bare, panel(full, size), "%v, %d seen", size, seen)
			}
			below := panel(asked, size)
			require.Len(t, below, 5)
			for i := range below {
				require.Equal(t, bare[i]-bare[0], below[i]-below[0], "%v", size)
			}
		}
	}
}

// At the end of the way there is nothing to turn to, and the plan's column says what the line below says.
func TestATurnIsToAHeading(t *testing.T) {
	m := moments(t)[2]
	shown := func(p flight.Prompt) string {
		m.Prompts = []flight.Prompt{p}
		return strings.Join(m.rows(screen.Size{Width: 120, Height: 33}, theme.Theme{}), "\n")
	}
	turn := flight.Prompt{Kind: flight.PromptTurn, State: flight.Due, Text: "overhead PLM"}
	turn.Answer.Point = "PLM"
	assert.Contains(t, shown(turn), "NOW  overhead PLM")
	turn.Text, turn.Number, turn.Answer.Point = "turn right over FNW onto 204", &flight.PromptNumber{Kind: flight.NumberHeading, Value: 204}, "FNW"
	assert.Contains(t, shown(turn), "NOW  turn at FNW", "of the point that is asked for, also of a leg ahead")
	assert.NotContains(t, shown(turn), "204")
}
