package drill

import (
	"fmt"
	"math"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

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
	rows    []*strip.Strip
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
		a.rows = append(a.rows, strip.New(width))
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
