package route

import (
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/frame"
)

// clocks sets the time at the next point and at the destination side by side in big digits.
func (d *drawing) clocks(rows int) []string {
	half := d.width / 2
	var blocks [][]string
	if n := d.Next; n != nil {
		blocks = append(blocks, d.clock("next  "+say.Named(frame.Clean(n.Point), frame.Clean(n.Name)), n.ETA, []string{
			say.PlusMinus(n.ETASigmaSeconds), say.Against(n.DifferenceSeconds), say.Miles(n.ToGoNM) + ", in " + d.left(n.ETA),
		}, half, rows))
	}
	if to := d.Destination; to != nil {
		blocks = append(blocks, d.clock("destination  "+say.Named(frame.Clean(to.Point), frame.Clean(to.Name)), to.ETA, []string{
			say.PlusMinus(to.ETASigmaSeconds), say.Against(to.ETA.Sub(to.Planned).Seconds()), say.Miles(to.ToGoNM) + ", in " + arrival.Until(&d.Snapshot, to.ETA),
		}, d.width-half, rows))
	}
	return frame.Block(frame.Beside(blocks...), d.width, rows)
}

// clock is a label, a time in big digits and what belongs to it beside it.
func (d *drawing) clock(label string, at time.Time, beside []string, width, rows int) []string {
	const before, gap = 1, 3
	text, room := at.UTC().Format(time.TimeOnly), width-before-gap
	for _, line := range beside {
		room = min(room, width-before-gap-frame.Width(line))
	}
	height := frame.BigSmall
	if rows >= clocksLarge && frame.BigWidth(text, frame.BigLarge) <= room {
		height = frame.BigLarge
	}
	digits := frame.Big(text, height, d.theme.Glyphs())
	block := []string{"", frame.Line(width, frame.Cell{Text: " " + label, Style: d.theme.Label})}
	for i, row := range digits {
		text := ""
		if i-(height-len(beside)) >= 0 {
			text = beside[i-(height-len(beside))]
		}
		block = append(block, frame.Line(width, frame.Cell{Text: " "}, frame.Cell{Text: row, Style: d.theme.Headline},
			frame.Cell{Text: "   " + text, Style: d.theme.Value}))
	}
	return frame.Block(block, width, rows)
}
