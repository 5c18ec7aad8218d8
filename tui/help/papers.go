package help

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// NewPapers returns the screen of what a pilot has on paper: what was written down of ATIS and clearance, the plan's remarks, the list before
// departure, and the cards.
func NewPapers() *Screen {
	return &Screen{name: screen.Papers, blocks: paperBlocks, column: 58, list: keys.NewList()}
}

// paperBlocks are the papers in lines of a width: in want of fuel its card, what was written down, on the ground the list before departure, then
// the rest.
func paperBlocks(s flight.Snapshot, width int, t theme.Theme) (blocks []block) {
	first := ""
	switch {
	case s.Phase == flight.BeforeStart || s.Phase == flight.Taxi:
		first = "pre-departure"
	case s.FuelState != nil:
		first = "low-fuel"
	}
	add := func(wanted func(key string) bool) {
		for _, card := range s.Lists {
			if wanted(card.Key) {
				blocks = append(blocks, cardBlock(card, width, t))
			}
		}
	}
	add(func(key string) bool { return key == first && key == "low-fuel" })
	var written []string
	if len(s.Cleared) == 0 && len(s.VORChecks) == 0 {
		written = stepLines(written, "nothing yet: e, then atis, cleared, squawk or contact and what was said", width)
	}
	for i := range s.Cleared {
		written = stepLines(written, say.Time(s.Cleared[i].At)+" "+s.Cleared[i].Line, width)
	}
	for i := range s.VORChecks {
		written = stepLines(written, checkText(&s.VORChecks[i]), width)
	}
	blocks = append(blocks, titled("WRITTEN DOWN", width, t, written...))
	add(func(key string) bool { return key == first && key == "pre-departure" })
	if len(s.Remarks) > 0 {
		var remarks []string
		for _, remark := range s.Remarks {
			remarks = stepLines(remarks, remark, width)
		}
		blocks = append(blocks, titled("REMARKS OF THE PLAN", width, t, remarks...))
	}
	add(func(key string) bool { return key != first && key != "pre-departure" })
	return blocks
}

// checkText is a check of a VOR receiver: "09:02:11Z VOR check NAV1 KVN: 121 for 118, limit 4° on the ground".
func checkText(c *flight.VORCheckNow) string {
	where, verdict := "on the ground", ""
	if c.Airborne {
		where = "in the air"
	}
	if !c.Within() {
		verdict = ": OVER THE LIMIT"
	}
	of := strings.TrimSpace(c.Receiver + " " + c.Beacon)
	return fmt.Sprintf("%s VOR check %s: %s for %s, limit %.0f° %s%s", say.Time(c.At), of, say.Degrees(c.Reading), say.Degrees(c.Expected),
		c.LimitDeg, where, verdict)
}

func cardBlock(card cards.Card, width int, t theme.Theme) block {
	var lines []string
	for _, step := range append(append([]string{}, card.Own...), card.Steps...) {
		lines = stepLines(lines, step, width)
	}
	for _, line := range frame.Wrap(cards.Closing, max(1, width-3)) {
		lines = append(lines, "   "+t.Muted.Render(line))
	}
	return titled(card.Title, width, t, lines...)
}

// stepLines adds one step, whose further lines are set in.
func stepLines(lines []string, step string, width int) []string {
	for i, line := range frame.Wrap(frame.Clean(step), max(1, width-3)) {
		lead := "   "
		if i == 0 {
			lead = " - "
		}
		lines = append(lines, lead+line)
	}
	return lines
}
