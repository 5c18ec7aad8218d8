package flying

import (
	"fmt"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
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
	items, before, more := d.inView(items, cells)
	strips := make([]*frame.Strip, rows)
	for i := range strips {
		strips[i] = frame.NewStrip(d.width)
	}
	place := func(n int) (s *frame.Strip, x, width int) {
		x, width = d.column(n / rows)
		if d.width < figuresEnd {
			step := (d.width - margin) / columns
			x, width = margin+n/rows*step, step-1
		}
		return strips[n%rows], x, width
	}
	shift := 0
	if before > 0 {
		shift = 1
		s, x, width := place(0)
		d.put(s, x+toGoWidth+1, width-toGoWidth-1, phrase{d.theme.Muted, fmt.Sprintf("%d before", before)})
	}
	for n := range items {
		item := &items[n]
		s, x, width := place(n + shift)
		d.put(s, x, min(width, toGoWidth), phrase{d.theme.Label, frame.FitRight(d.toGo(item), toGoWidth)})
		role := d.itemRole(item)
		if d.isMarked(item) {
			role = d.theme.Selected
			d.put(s, x+toGoWidth, 1, phrase{role, ">"})
		}
		d.put(s, x+toGoWidth+1, width-toGoWidth-1, phrase{role, itemText(item)})
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

// isMarked reports whether an item is the marked one.
func (d *drawing) isMarked(item *flight.AheadItem) bool {
	return d.mark != itemID{} && idOf(item) == d.mark
}

// inView is as many items as there are places for, the marked one among them; where there are more, a place before and one behind are left for
// how many.
func (d *drawing) inView(items []flight.AheadItem, places int) (in []flight.AheadItem, before, behind int) {
	if len(items) <= places {
		return items, 0, 0
	}
	room := max(0, places-1)
	marked := slices.IndexFunc(items, func(item flight.AheadItem) bool { return d.isMarked(&item) })
	if marked < room {
		return items[:room], 0, len(items) - room
	}
	room = max(0, places-2)
	first := min(marked-room/2, len(items)-room)
	if first+room == len(items) { // the last is in view, and nothing is behind it
		return items[first-1:], first - 1, 0
	}
	return items[first : first+room], first, len(items) - first - room
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
	fitted := frame.FitTable(d.aheadColumns(), width)
	rows := []string{fitted.Head(d.theme.Title, d.theme.Label)}
	room := height - len(rows)
	if len(items) == 0 {
		return append(rows, d.theme.Muted.Render("nothing"))
	}
	add := func(item *listedItem) {
		if !d.isMarked(item.AheadItem) {
			rows = append(rows, fitted.Row(item))
			return
		}
		d.at = len(rows)
		rows = append(rows, d.theme.Selected.Render(fitted.Marked(item, frame.Style{})))
	}
	if len(items) <= room {
		for i := range items {
			add(&items[i])
		}
		return rows
	}
	last := len(items) - 1
	for last > 0 && items[last].Kind != flight.AheadPoint {
		last--
	}
	count := func(n int, where string) {
		rows = append(rows, d.theme.Muted.Render(frame.Fit(frame.Fit("", toGoWidth+2)+fmt.Sprintf("%d %s", n, where), width)))
	}
	first, shown := 0, max(0, min(last, room-2))
	if marked := slices.IndexFunc(items, func(i listedItem) bool { return d.isMarked(i.AheadItem) }); marked >= shown && marked != last && shown > 1 {
		shown--
		first = min(marked-shown/2, len(items)-shown)
		count(first, "before")
		items[first].clock = sinceTheHour(time.Time{}, items[first].At)
	}
	for i := range shown {
		add(&items[first+i])
	}
	if behind := len(items) - first - shown - 1; first+shown <= last {
		count(behind, "more")
		items[last].clock = sinceTheHour(time.Time{}, items[last].At)
		add(&items[last])
	}
	return rows
}

// sinceTheHour is a time in a column; the hour stands only where it is another than in the row above.
func sinceTheHour(above, t time.Time) string {
	text := say.UTC(t)
	if !above.IsZero() && above.UTC().Truncate(time.Hour).Equal(t.UTC().Truncate(time.Hour)) {
		return text[len("15:"):]
	}
	return text
}

func (d *drawing) aheadColumns() []frame.Column[*listedItem] {
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
	return []frame.Column[*listedItem]{
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
