package flying

import (
	"slices"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/words"
)

// placed is an item with its lane and the text that it is shown by.
type placed struct {
	item
	lane int
	text string
}

// place gives every item a lane so that texts don't collide and the line from an item's sign up to the axis crosses no
// text: an item lies below all that begin within its text. All begin with their signs alone; then each, the nearest first,
// gets a word where the lanes allow it, and then as much of its text as they allow. What has no lane even by its sign is
// returned for the axis, the most distant first.
func place(items []item, lanes, width int) (shown []placed, onAxis []item) {
	p := newPlacer(items, width)
	for p.assign() >= lanes {
		onAxis = append(onAxis, p.drop())
	}
	const word = levels - 2
	for _, target := range []int{word, 0} {
		for i := range p.items {
			p.lengthen(i, target, lanes)
		}
	}
	p.assign()
	shown = make([]placed, 0, len(p.items))
	for i, it := range p.items {
		shown = append(shown, placed{it, p.lane[i], words.Cut(it.texts[p.level[i]], width-it.x)})
	}
	return shown, onAxis
}

type placer struct {
	items   []item        // by column
	end     [][levels]int // the column behind an item's text at each level
	level   []int
	lane    []int
	blocker []int // the item that keeps it from a higher lane; -1: none
	deepest int   // the item in the deepest lane
}

func newPlacer(items []item, width int) *placer {
	n := len(items)
	p := &placer{items: items, end: make([][levels]int, n), level: make([]int, n), lane: make([]int, n), blocker: make([]int, n)}
	for i, it := range items {
		for level, text := range it.texts {
			p.end[i][level] = min(it.x+frame.Width(text), width)
		}
		p.level[i] = levels - 1
	}
	return p
}

// assign gives the lanes from the most distant item to the nearest and returns the deepest lane; -1 without items.
func (p *placer) assign() int {
	deepest := -1
	for i := len(p.items) - 1; i >= 0; i-- {
		end := p.end[i][p.level[i]]
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

// drop takes out the most distant of those that push the deepest item down.
func (p *placer) drop() item {
	last := p.deepest
	for p.blocker[last] >= 0 {
		last = p.blocker[last]
	}
	dropped := p.items[last]
	p.items = slices.Delete(slices.Clone(p.items), last, last+1)
	p.end = slices.Delete(p.end, last, last+1)
	p.level = slices.Delete(p.level, last, last+1)
	return dropped
}

// lengthen shows as much of an item as the lanes allow, up to a level.
func (p *placer) lengthen(i, target, lanes int) {
	now := p.level[i]
	for level := target; level < now; level++ {
		p.level[i] = level
		if p.assign() < lanes {
			return
		}
	}
	p.level[i] = now
}
