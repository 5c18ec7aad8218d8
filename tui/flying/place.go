package flying

import "example.com/legclock/tui/frame"

// placed is an item with its lane and the text that it is shown by.
type placed struct {
	item
	lane int
	text string
}

// place gives every item a lane so that texts don't collide and the line from an item's sign up to the axis crosses no
// text: an item lies below all that begin within its text. Where the lanes don't suffice, texts are shortened, those farthest in
// time first; what has no lane even by its sign alone is returned for the axis.
func place(items []item, lanes, width int) (shown []placed, onAxis []item) {
	p := placer{items: items, width: width, level: make([]int, len(items)), lane: make([]int, len(items)), blocker: make([]int, len(items))}
	for p.assign() >= lanes {
		if dropped, ok := p.shorten(); ok {
			onAxis = append(onAxis, dropped)
		}
	}
	p.lengthen(lanes)
	for i, it := range p.items {
		shown = append(shown, placed{it, p.lane[i], p.text(i)})
	}
	return shown, onAxis
}

type placer struct {
	items   []item // by column
	width   int
	level   []int
	lane    []int
	blocker []int // the item that keeps it from a higher lane; -1: none
	deepest int   // the item in the deepest lane
}

// text is an item's text at its level, cut at the right edge.
func (p *placer) text(i int) string {
	it := p.items[i]
	return cut(it.texts[p.level[i]], p.width-it.x)
}

// assign gives the lanes from the most distant item to the nearest and returns the deepest lane; -1 without items.
func (p *placer) assign() int {
	deepest := -1
	for i := len(p.items) - 1; i >= 0; i-- {
		end := p.items[i].x + frame.Width(p.text(i))
		p.lane[i], p.blocker[i] = 0, -1
		for j := i + 1; j < len(p.items) && p.items[j].x <= end; j++ {
			if p.lane[j] >= p.lane[i] {
				p.lane[i], p.blocker[i] = p.lane[j]+1, j
			}
		}
		if p.lane[i] > deepest {
			deepest, p.deepest = p.lane[i], i
		}
	}
	return deepest
}

// shorten takes a level off the least urgent of those that push the deepest item down; the one in the highest lane pushes
// by its sign alone. When all the others stand by their signs alone too, it leaves the lanes.
func (p *placer) shorten() (dropped item, ok bool) {
	victim, last := -1, p.deepest
	for i := p.deepest; i >= 0; i = p.blocker[i] {
		last = i
		if p.blocker[i] >= 0 && p.level[i] < levels-1 && (victim < 0 || p.level[i] <= p.level[victim]) {
			victim = i
		}
	}
	if victim >= 0 {
		p.level[victim]++
		return item{}, false
	}
	dropped = p.items[last]
	p.items = append(p.items[:last:last], p.items[last+1:]...)
	p.level = append(p.level[:last:last], p.level[last+1:]...)
	return dropped, true
}

// lengthen gives back, to the most urgent first, what shortening took in vain.
func (p *placer) lengthen(lanes int) {
	for i := range p.items {
		for p.level[i] > 0 {
			p.level[i]--
			if p.assign() >= lanes {
				p.level[i]++
				break
			}
		}
	}
	p.assign()
}
