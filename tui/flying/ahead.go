package flying

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
)

// toGoWidth is what the time to an item takes: "59 min".
const toGoWidth = 6

// toGo is how long there is until an item: in seconds where they count, else in whole minutes, so that the list stands still. What is past is
// said in a word, and what goes with the place above it has no time of its own.
func (d *drawing) toGo(item *flight.AheadItem) string {
	p := item.Prompt
	switch {
	case p != nil && p.State == flight.Late:
		return "late"
	case p != nil && p.State == flight.Due:
		return "due"
	case item.With:
		return ""
	case d.At.Sub(item.At) >= time.Second:
		return "due"
	}
	return say.ToGo(d.At, item.At)
}

// itemRole is how an item stands as a colour; places that are only looked for are set back.
func (d *drawing) itemRole(item *flight.AheadItem) theme.Role {
	switch {
	case item.Prompt != nil:
		return d.stateRole(item.Prompt, d.theme.Value)
	case item.Kind == flight.AheadPoint:
		return d.theme.Title
	case item.Kind == flight.AheadCritical:
		return d.theme.Muted
	}
	return d.theme.Value
}

// itemText sets what is to be done over a place in below it.
func itemText(item *flight.AheadItem) string {
	text := frame.Clean(item.Text)
	if item.With {
		return "  " + text
	}
	return text
}

// gridAhead is what lies ahead in columns, each read downwards, without what stands in NEXT. What has no room is counted.
func (d *drawing) gridAhead(rows int) []string {
	items := d.beyondNext()
	columns := 3
	if d.width < figuresEnd {
		columns = max(1, d.width/columnStep)
	}
	cells := columns * rows
	more := 0
	if len(items) > cells {
		more = len(items) - cells + 1
		items = items[:cells-1]
	}
	strips := make([]*strip.Strip, rows)
	for i := range strips {
		strips[i] = strip.New(d.width)
	}
	place := func(n int) (s *strip.Strip, x, width int) {
		x, width = d.column(n / rows)
		if d.width < figuresEnd {
			step := (d.width - margin) / columns
			x, width = margin+n/rows*step, step-1
		}
		return strips[n%rows], x, width
	}
	for n := range items {
		item := &items[n]
		s, x, width := place(n)
		d.put(s, x, min(width, toGoWidth), phrase{d.theme.Label, frame.FitRight(d.toGo(item), toGoWidth)})
		d.put(s, x+toGoWidth+1, width-toGoWidth-1, phrase{d.itemRole(item), itemText(item)})
	}
	if more > 0 {
		s, x, width := place(cells - 1)
		d.put(s, x+toGoWidth+1, width-toGoWidth-1, phrase{d.theme.Muted, fmt.Sprintf("%d more", more)})
	}
	drawn := make([]string, rows)
	for i, s := range strips {
		drawn[i] = s.Row()
	}
	return drawn
}

// beyondNext is what lies ahead without what the figures show: the first prompt and the next point.
func (d *drawing) beyondNext() []flight.AheadItem {
	items := make([]flight.AheadItem, 0, len(d.Ahead))
	first := d.first()
	for _, item := range d.Ahead {
		switch {
		case first != nil && item.Prompt != nil && item.Prompt.ID == first.ID:
		case d.Next != nil && item.Place != nil && item.Place.Point == d.Next.Point && item.Place.Leg == d.Leg.Index:
		default:
			items = append(items, item)
		}
	}
	return items
}

// listed is an item of the list with its time as the list shows it.
type listedItem struct {
	*flight.AheadItem
	clock string
}

// listAhead is what lies ahead as a list. Where it is too long it says how much more there is, and the last place is always there.
func (d *drawing) listAhead(width, height int) []string {
	items := make([]listedItem, len(d.Ahead))
	before := time.Time{}
	for i := range d.Ahead {
		item := &d.Ahead[i]
		items[i].AheadItem = item
		if !item.With {
			items[i].clock = sinceTheHour(before, item.At)
			before = item.At
		}
	}
	fitted := table.Fit(d.aheadColumns(), width)
	rows := []string{fitted.Head(d.theme.Title, d.theme.Label)}
	room := height - len(rows)
	if len(items) == 0 {
		return append(rows, d.theme.Muted.Render("nothing"))
	}
	if len(items) <= room {
		for i := range items {
			rows = append(rows, fitted.Row(&items[i]))
		}
		return rows
	}
	last := len(items) - 1
	for last > 0 && items[last].Kind != flight.AheadPoint {
		last--
	}
	shown := max(0, min(last, room-2))
	for i := range shown {
		rows = append(rows, fitted.Row(&items[i]))
	}
	rows = append(rows, d.theme.Muted.Render(frame.Fit(frame.Fit("", toGoWidth+2)+fmt.Sprintf("%d more", len(items)-shown-1), width)))
	items[last].clock = sinceTheHour(time.Time{}, items[last].At)
	return append(rows, fitted.Row(&items[last]))
}

// sinceTheHour is a time in a column; the hour stands only where it is another than in the row above.
func sinceTheHour(above, t time.Time) string {
	text := say.UTC(t)
	if !above.IsZero() && above.UTC().Truncate(time.Hour).Equal(t.UTC().Truncate(time.Hour)) {
		return text[len("15:"):]
	}
	return text
}

func (d *drawing) aheadColumns() []table.Column[*listedItem] {
	of := func(role theme.Role, text func(*flight.RoutePoint) string) func(*listedItem) frame.Cell {
		return func(i *listedItem) frame.Cell {
			if i.Place == nil {
				return frame.Cell{}
			}
			return frame.Cell{Text: text(i.Place), Style: role}
		}
	}
	leg := func(text func(*flight.RoutePoint) string) func(*listedItem) frame.Cell {
		return of(d.theme.Value, func(p *flight.RoutePoint) string {
			if p.Checkpoint || p.Leg < 0 {
				return ""
			}
			return text(p)
		})
	}
	return []table.Column[*listedItem]{
		{Width: toGoWidth, Right: true, Cell: func(i *listedItem) frame.Cell {
			role := d.theme.Label
			if i.Prompt != nil {
				role = d.stateRole(i.Prompt, role)
			}
			return frame.Cell{Text: d.toGo(i.AheadItem), Style: role}
		}},
		{Head: "AHEAD", Width: 22, Grow: 12, Cell: func(i *listedItem) frame.Cell {
			return frame.Cell{Text: itemText(i.AheadItem), Style: d.itemRole(i.AheadItem)}
		}},
		{Head: "UTC", Width: 8, Right: true, Cell: func(i *listedItem) frame.Cell { return frame.Cell{Text: i.clock, Style: d.theme.Value} }},
		{Head: "±", Width: 7, Right: true, Rank: 4, Cell: of(d.theme.Estimate, func(p *flight.RoutePoint) string {
			if p.SigmaSeconds == nil {
				return ""
			}
			return say.PlusMinus(*p.SigmaSeconds)
		})},
		{Head: "late", Width: 10, Right: true, Rank: 5, Cell: of(d.theme.Value, func(p *flight.RoutePoint) string {
			if p.DifferenceSeconds == nil {
				return ""
			}
			return say.Against(*p.DifferenceSeconds)
		})},
		{Head: "HDG", Width: 3, Right: true, Rank: 1, Cell: leg(func(p *flight.RoutePoint) string { return say.DegreesOf(p.HeadingMagnetic) })},
		{Head: "nm", Width: 5, Right: true, Rank: 2, Cell: of(d.theme.Value, func(p *flight.RoutePoint) string {
			switch {
			case p.Leg < 0:
				return ""
			case p.Checkpoint:
				return say.Tenth(p.AfterNM)
			}
			return say.Tenth(p.LegDistanceNM)
		})},
		{Head: "feet", Width: 5, Right: true, Rank: 6, Cell: leg(func(p *flight.RoutePoint) string { return say.Whole(p.AltitudeFt) })},
	}
}
