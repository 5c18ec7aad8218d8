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

// aheadShown is an item of what lies ahead, how long there is until then, and how it stands in the list.
type aheadShown struct {
	item   *flight.AheadItem
	toGo   say.Countdown
	word   string // in place of how long
	clock  string // its time
	marked bool
}

// show is an item as it is shown: how long there is in seconds where they count, else in whole minutes, so that the list stands still. What is past
// is said in a word, and what goes with the place above it has no time of its own.
func (d *drawing) show(item *flight.AheadItem) aheadShown {
	shown, p := aheadShown{item: item, marked: d.isMarked(item)}, item.Prompt
	switch {
	case p != nil && p.State == flight.Late:
		shown.word = "late"
	case p != nil && p.State == flight.Due, !item.With && d.At.Sub(item.At) >= time.Second:
		shown.word = "due"
	case !item.With:
		shown.toGo = say.ToGo(d.At, item.At)
	}
	return shown
}

// toGoText is how long there is until an item, or a word.
func (s aheadShown) toGoText() string {
	if s.word != "" || s.item.With {
		return s.word
	}
	return s.toGo.String()
}

// itemRole is how an item stands as a colour; places that are only looked for are set back.
func (p *page) itemRole(item *flight.AheadItem) theme.Role {
	switch {
	case item.Prompt != nil:
		return p.stateRole(item.Prompt.State, p.theme.Value)
	case item.Kind == flight.AheadPoint:
		return p.theme.Title
	case item.Kind == flight.AheadCritical:
		return p.theme.Muted
	}
	return p.theme.Value
}

// itemText sets what is to be done over a place in below it.
func itemText(item *flight.AheadItem) string { return setIn(item, item.Text) }

func setIn(item *flight.AheadItem, text string) string {
	text = frame.Clean(text)
	if item.With {
		return "  " + text
	}
	return text
}

// itemWordings are what an item says, at length and then ever shorter; where even that has no room it is not set in.
func itemWordings(item *flight.AheadItem) []string {
	texts := item.Wording().Texts()
	for i, text := range texts {
		texts[i] = setIn(item, text)
	}
	return texts
}

// itemIn is what an item says in a width.
func itemIn(item *flight.AheadItem, width int) string {
	if text := itemText(item); frame.Width(text) <= width {
		return text
	}
	return frame.Fitting(width, itemWordings(item)...)
}

// gridShown is how many rows the grid of what lies ahead has, and how many items there are before and behind those in it.
type gridShown struct{ rows, before, more int }

// gridAhead is what lies ahead in columns, each read downwards, without what stands in NEXT. What has no room is counted.
func (d *drawing) gridAhead(rows int) []string {
	items, before, more := d.inView(d.beyondNext(), d.gridColumns()*rows)
	shown := d.shown[:0]
	for _, item := range items {
		shown = append(shown, d.show(item))
	}
	d.shown = shown
	return d.grid.Of(shown, gridShown{rows, before, more}, d.drawGrid)
}

func (p *page) gridColumns() int {
	if p.width < figuresEnd {
		const least = 2 * (toGoWidth + 12)
		return max(1, p.width/columnStep, min(p.width/least+1, 2))
	}
	return 3
}

func (p *page) drawGrid(items []aheadShown, s gridShown) []string {
	columns := p.gridColumns()
	strips := make([]*frame.Strip, s.rows)
	for i := range strips {
		strips[i] = frame.NewStrip(p.width)
	}
	place := func(n int) (strip *frame.Strip, x, width int) {
		x, width = p.column(n / s.rows)
		if p.width < figuresEnd {
			step := (p.width - margin) / columns
			x, width = margin+n/s.rows*step, step-1
		}
		return strips[n%s.rows], x, width
	}
	shift := 0
	if s.before > 0 {
		shift = 1
		strip, x, width := place(0)
		put(strip, x+toGoWidth+1, width-toGoWidth-1, phrase{p.theme.Muted, fmt.Sprintf("%d before", s.before)})
	}
	for n, item := range items {
		strip, x, width := place(n + shift)
		put(strip, x, min(width, toGoWidth), phrase{p.theme.Label, frame.FitRight(item.toGoText(), toGoWidth)})
		role := p.itemRole(item.item)
		if item.marked {
			role = p.theme.Selected
			put(strip, x+toGoWidth, 1, phrase{role, ">"})
		}
		put(strip, x+toGoWidth+1, width-toGoWidth-1, phrase{role, itemIn(item.item, width-toGoWidth-1)})
	}
	if s.more > 0 {
		strip, x, width := place(columns*s.rows - 1)
		put(strip, x+toGoWidth+1, width-toGoWidth-1, phrase{p.theme.Muted, fmt.Sprintf("%d more", s.more)})
	}
	drawn := make([]string, s.rows)
	for i, strip := range strips {
		drawn[i] = strip.Row()
	}
	return drawn
}

// isMarked reports whether an item is the marked one.
func (d *drawing) isMarked(item *flight.AheadItem) bool {
	return d.mark != itemID{} && idOf(item) == d.mark
}

// inView is as many items as there are places for, the marked one among them; where there are more, a place before and one behind are left for
// how many.
func (d *drawing) inView(items []*flight.AheadItem, places int) (in []*flight.AheadItem, before, behind int) {
	if len(items) <= places {
		return items, 0, 0
	}
	room := max(0, places-1)
	marked := slices.IndexFunc(items, d.isMarked)
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
func (d *drawing) beyondNext() []*flight.AheadItem {
	items := make([]*flight.AheadItem, 0, len(d.Ahead))
	first := d.first()
	for i := range d.Ahead {
		switch item := &d.Ahead[i]; {
		case first != nil && item.Prompt != nil && item.Prompt.ID == first.ID:
		case d.Next != nil && item.Place != nil && item.Place.Point == d.Next.Point && item.Place.Leg == d.Leg.Index:
		default:
			items = append(items, item)
		}
	}
	return items
}

// countShown is how many items have no room, and where they are.
type countShown struct {
	many  int
	where string
}

// listAhead is what lies ahead as a list. Where it is too long it says how much more there is, and the last place is always there.
func (d *drawing) listAhead(width, height int) []string {
	if d.page.ahead == nil {
		fitted := frame.FitTable(d.aheadColumns(), width)
		d.page.ahead = &fitted
		d.aheadHead = d.page.ahead.Head(d.theme.Title, d.theme.Label)
	}
	rows := append(d.aheadRows[:0], d.aheadHead)
	room := height - len(rows)
	if len(d.Ahead) == 0 {
		return append(rows, d.theme.Muted.Render("nothing"))
	}
	items, before := d.shown[:0], time.Time{}
	for i := range d.Ahead {
		item := d.show(&d.Ahead[i])
		if !item.item.With {
			item.clock = d.clockOf(i, &item, !sameHour(before, item.item.At))
			before = item.item.At
		}
		items = append(items, item)
	}
	d.shown = items
	add := func(item aheadShown) {
		if item.marked {
			d.at = len(rows)
		}
		rows = append(rows, d.listed.Of(len(rows), item, d.drawAhead))
	}
	count := func(n int, where string) {
		rows = append(rows, d.counted.Of(len(rows), countShown{n, where}, d.drawCount))
	}
	if len(items) <= room {
		for i := range items {
			add(items[i])
		}
		d.aheadRows = rows
		return rows
	}
	last := len(items) - 1
	for last > 0 && items[last].item.Kind != flight.AheadPoint {
		last--
	}
	first, shown := 0, max(0, min(last, room-2))
	if marked := slices.IndexFunc(items, func(i aheadShown) bool { return i.marked }); marked >= shown && marked != last && shown > 1 {
		shown--
		first = min(marked-shown/2, len(items)-shown)
		count(first, "before")
		items[first].clock = d.clockOf(first, &items[first], true)
	}
	for i := range shown {
		add(items[first+i])
	}
	if behind := len(items) - first - shown - 1; first+shown <= last {
		count(behind, "more")
		items[last].clock = d.clockOf(last, &items[last], true)
		add(items[last])
	}
	d.aheadRows = rows
	return rows
}

func (p *page) drawCount(s countShown) string {
	width, _ := p.rest()
	return p.theme.Muted.Render(frame.Fit(frame.Fit("", toGoWidth+2)+fmt.Sprintf("%d %s", s.many, s.where), width-gutter))
}

func (p *page) drawAhead(item aheadShown) string {
	if !item.marked {
		return p.ahead.Row(item)
	}
	return p.theme.Selected.Render(p.ahead.Marked(item, frame.Style{}))
}

// sameHour reports whether two times are of one hour; no time is of any.
func sameHour(above, t time.Time) bool {
	return !above.IsZero() && above.UTC().Truncate(time.Hour).Equal(t.UTC().Truncate(time.Hour))
}

// clockShown is the time of an item; the hour stands only where it is another than in the row above.
type clockShown struct {
	at   time.Time
	hour bool
}

func drawClock(s clockShown) string {
	text := say.UTC(s.at)
	if !s.hour {
		return text[len("15:"):]
	}
	return text
}

func (d *drawing) clockOf(at int, item *aheadShown, hour bool) string {
	return d.times.Of(at, clockShown{item.item.At, hour}, drawClock)
}

func (p *page) aheadColumns() []frame.Column[aheadShown] {
	of := func(role theme.Role, text func(*flight.RoutePoint) string) func(aheadShown) frame.Cell {
		return func(s aheadShown) frame.Cell {
			if s.item.Place == nil {
				return frame.Cell{}
			}
			return frame.Cell{Text: text(s.item.Place), Style: role}
		}
	}
	leg := func(text func(*flight.RoutePoint) string) func(aheadShown) frame.Cell {
		return of(p.theme.Value, func(p *flight.RoutePoint) string {
			if p.Checkpoint || p.Leg < 0 {
				return ""
			}
			return text(p)
		})
	}
	return []frame.Column[aheadShown]{
		{Width: toGoWidth, Right: true, Cell: func(s aheadShown) frame.Cell {
			role := p.theme.Label
			if s.item.Prompt != nil {
				role = p.stateRole(s.item.Prompt.State, role)
			}
			return frame.Cell{Text: s.toGoText(), Style: role}
		}},
		{Head: "AHEAD", Width: 22, Grow: 12, Spill: true, Cell: func(s aheadShown) frame.Cell {
			return frame.Cell{Text: itemText(s.item), Style: p.itemRole(s.item)}
		}, Wordings: func(s aheadShown) []string { return itemWordings(s.item) }},
		{Head: "UTC", Width: 8, Right: true, Cell: func(s aheadShown) frame.Cell { return frame.Cell{Text: s.clock, Style: p.theme.Value} }},
		{Head: "±", Width: 7, Right: true, Rank: 4, Cell: of(p.theme.Estimate, func(p *flight.RoutePoint) string {
			if p.SigmaSeconds == nil {
				return ""
			}
			return say.PlusMinus(*p.SigmaSeconds)
		})},
		{Head: "late", Width: 10, Right: true, Rank: 5, Cell: of(p.theme.Value, func(p *flight.RoutePoint) string {
			if p.DifferenceSeconds == nil {
				return ""
			}
			return say.Against(*p.DifferenceSeconds)
		})},
		{Head: "HDG", Width: 3, Right: true, Rank: 1, Cell: leg(func(p *flight.RoutePoint) string { return say.DegreesOf(p.HeadingMagnetic) })},
		{Head: "nm", Width: 5, Right: true, Rank: 2, Cell: of(p.theme.Value, func(p *flight.RoutePoint) string {
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
