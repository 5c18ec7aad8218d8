package flight

import (
	"maps"
	"slices"
	"sync"
)

// found is something that is looked for when it is first read, and then kept. What is looked for must follow from what holds it and
// nothing else, so that it may be shared by all copies.
type found[T any] struct {
	once  sync.Once
	value T
}

func (f *found[T]) get(find func() T) T {
	f.once.Do(func() { f.value = find() })
	return f.value
}

// Clone is the same flight a second time: what is applied to one does not show in the other. What is never changed once it is made, the
// way ahead and the texts of entries among it, is shared.
func (s *State) Clone() *State {
	clone := *s
	clone.records, clone.entries = slices.Clip(s.records), slices.Clip(s.entries)
	clone.progress = s.progress.clone()
	return &clone
}

func (p *progress) clone() *progress {
	c := *p
	c.legs = make([]*leg, len(p.legs))
	for i, l := range p.legs {
		copied := *l
		copied.checkpointsActual = slices.Clone(l.checkpointsActual)
		c.legs[i] = &copied
	}
	c.worded = nil // by the legs that were copied
	c.marks, c.steers = slices.Clip(p.marks), slices.Clip(p.steers)
	c.receivers = make(map[string]*receiver, len(p.receivers))
	for name, set := range p.receivers {
		copied := *set
		c.receivers[name] = &copied
	}
	c.tanks = p.tanks.clone()
	c.prompts = p.prompts.clone()
	return &c
}

func (t tanks) clone() tanks {
	t.quantities, t.flows, t.made = slices.Clone(t.quantities), maps.Clone(t.flows), slices.Clip(t.made)
	t.history.points, t.ahead = slices.Clip(t.history.points), slices.Clip(t.ahead)
	t.evidence = t.evidence.clone()
	return t
}

func (v tankEvidence) clone() tankEvidence {
	v.fed, v.fedFor, v.corrected, v.selected = slices.Clone(v.fed), slices.Clone(v.fedFor), slices.Clone(v.corrected), slices.Clone(v.selected)
	v.readings, v.told, v.last = slices.Clip(v.readings), slices.Clip(v.told), slices.Clone(v.last)
	return v
}

func (q prompts) clone() prompts {
	q.made, q.answered = slices.Clone(q.made), slices.Clip(q.answered)
	q.closed, q.snoozed, q.opened = maps.Clone(q.closed), maps.Clone(q.snoozed), maps.Clone(q.opened)
	q.rounds, q.passedAt = maps.Clone(q.rounds), maps.Clone(q.passedAt)
	return q
}
