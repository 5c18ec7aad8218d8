package tanks

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

// beyond is how much of the limit is drawn past it.
const beyond = 0.25

// beam is the imbalance against its limit: a head, the beam, and two rows of what its marks mean. Without a limit it is one
// row, of a single tank none.
func (d *drawing) beam(width int) []string {
	if len(d.hung) < 2 {
		return nil
	}
	if d.Tanks.MaxImbalance == nil || *d.Tanks.MaxImbalance <= 0 {
		return []string{frame.Line(width, frame.Cell{Text: " " + d.apart() + ", no limit is set", Style: d.theme.Label})}
	}
	b := balance{limit: *d.Tanks.MaxImbalance, width: width}
	text, role := d.judged(b.limit)
	head := strip.New(width)
	if frame.Width(text) > width {
		text = frame.Fit(text, width)
	}
	head.Centre(b.column(0), text, role)
	left, right := d.ends()
	head.Put(1, left, d.theme.Label)
	head.Put(width-1-frame.Width(right), right, d.theme.Label)
	return append([]string{head.Row()}, d.balance(b)...)
}

// balance puts amounts on columns: negative ones left of the middle.
type balance struct {
	limit float64
	width int
}

func (b balance) arm() int { return max(0, (b.width-3)/2) }

func (b balance) column(amount float64) int {
	share := amount / (b.limit * (1 + beyond))
	if math.IsNaN(share) {
		share = 0
	}
	return 1 + b.arm() + int(math.Round(math.Max(-1, math.Min(share, 1))*float64(b.arm())))
}

// balance draws the beam, and below it what its marks mean.
func (d *drawing) balance(b balance) []string {
	g := d.theme.Glyphs()
	beam, labels, more := strip.New(b.width), strip.New(b.width), strip.New(b.width)
	low, high := b.column(-b.limit), b.column(b.limit)
	beam.Fill(1, b.width-1, g.Empty, d.theme.Warning)
	beam.Fill(low, high+1, g.Horizontal, d.theme.Frame)
	for x, glyph := range map[int]string{low: g.TeeRight, b.column(0): g.Crossing, high: g.TeeLeft} {
		beam.Fill(x, x+1, glyph, d.theme.Frame)
	}
	label := func(x int, text string, role theme.Role) {
		const apart = 2 // from other labels, so that they can be told apart
		width := frame.Width(text)
		from := max(0, min(x-width/2, b.width-width))
		left := max(0, from-apart)
		if right := min(b.width, from+width+apart); !labels.Free(left, right-left) || !labels.Put(from, text, role) {
			more.Centre(x, text, role)
		}
	}
	now := d.signed(d.Tanks.Imbalance, d.Tanks.HeavySide)
	beam.Put(b.column(now), g.Pointer, d.theme.Headline)
	label(b.column(now), "now "+say.Amount(d.Tanks.Imbalance), d.theme.Headline)
	if change := d.Tanks.NextChange; change != nil {
		then := d.signed(change.ImbalanceThen, change.HeavyThen)
		beam.Put(b.column(then), "o", d.theme.Coming)
		label(b.column(then), "o at the change "+say.Amount(change.ImbalanceThen), d.theme.Coming)
	}
	limit := "limit " + short(b.limit)
	label(low, limit, d.theme.Muted)
	label(high, limit, d.theme.Muted)
	return []string{beam.Row(), labels.Row(), more.Row()}
}

// signed is an imbalance with a sign: negative, the tank at the left is the heavy one. With more than two tanks the beam's
// right is whichever tank is heavy.
func (d *drawing) signed(imbalance float64, heavy string) float64 {
	if len(d.hung) == 2 && heavy == d.hung[0].Name {
		return -imbalance
	}
	return imbalance
}

// ends name the two sides of the beam.
func (d *drawing) ends() (left, right string) {
	if len(d.hung) == 2 {
		return strings.ToUpper(frame.Clean(d.hung[0].Name)) + " HEAVY", strings.ToUpper(frame.Clean(d.hung[1].Name)) + " HEAVY"
	}
	return "", strings.ToUpper(frame.Clean(d.Tanks.HeavySide)) + " HEAVY"
}

func (d *drawing) apart() string {
	if d.Tanks.HeavySide == "" {
		return "level"
	}
	return frame.Clean(d.Tanks.HeavySide) + " heavy by " + say.Amount(d.Tanks.Imbalance) + " " + say.Unit(d.Tanks.Unit)
}

// judged says how far the tanks are apart against the limit.
func (d *drawing) judged(limit float64) (string, theme.Role) {
	switch {
	case d.Tanks.Imbalance > limit:
		return " OVER THE LIMIT: " + d.apart() + " ", d.theme.Warning
	case d.Tanks.NextChange != nil && d.Tanks.NextChange.ImbalanceThen > limit:
		return fmt.Sprintf(" %s; OVER THE LIMIT AT THE CHANGE ", d.apart()), d.theme.Caution
	default:
		return " " + d.apart() + ", within the limit ", d.theme.Good
	}
}
