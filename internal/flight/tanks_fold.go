package flight

import (
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
)

func (p *progress) foldTank(e Event) bool {
	to := p.system().TankIndex(e.Tank)
	if to < 0 {
		return false
	}
	p.burnUntil(e.T)
	if to != p.tanks.selected && p.tanks.running {
		p.tanks.made = added(p.tanks.made, TankChangeMade{At: e.T, To: e.Tank, ImbalanceBefore: p.imbalance(p.tanks.quantities)})
		p.prompts.confirm = confirmation{
			number: len(p.tanks.made), at: e.T, tank: e.Tank, from: p.system().Tanks[p.tanks.selected].Name,
		}
	}
	if to != p.tanks.selected {
		p.tanks.evidence.selected = replaced(p.tanks.evidence.selected, to, p.tanks.evidence.selected[to]+1)
		p.tanks.history.mark(e.T, p.tanks.quantities)
	}
	p.tanks.selected, p.tanks.since = to, e.T
	return true
}

// foldGauges sets the reckoned quantities by what was read. Where a reading and the reckoning differ by more than a gauge may be
// out, the lower counts and it is said; where they agree the reckoning stays, for it is the finer of the two.
func (p *progress) foldGauges(e Event) bool {
	p.burnUntil(e.T)
	k := &p.tanks
	k.history.mark(e.T, k.quantities)
	k.quantities = slices.Clone(k.quantities)
	var disagreements []string
	for i, tank := range p.system().Tanks {
		reading, read := e.Tanks[tank.Name]
		if !read {
			continue
		}
		k.evidence.read(e.T, i, tank.Name, reading, k.running && i == k.selected)
		check := fuel.CheckGauge(k.quantities[i], reading, gaugeErrorFraction*tank.Capacity)
		if !check.Disagrees {
			continue
		}
		counts := "the reading counts"
		if check.Difference > 0 {
			counts = "the reckoning counts"
		}
		disagreements = append(disagreements, fmt.Sprintf("%s gauge reads %.0f, reckoned %.0f: %s", tank.Name, reading, k.quantities[i], counts))
		k.quantities[i] = check.Counts
		if check.Difference < 0 {
			k.evidence.corrected = replaced(k.evidence.corrected, i, k.evidence.fedFor[i])
		}
	}
	k.evidence.disagreed = strings.Join(disagreements, "; ")
	k.history.mark(e.T, k.quantities)
	k.evidence.judge(p.system(), p.flowNow(e.T))
	return true
}

func (p *progress) foldFlow(e Event) bool {
	if e.Flow == nil || *e.Flow < leastFlow {
		return false
	}
	p.burnUntil(e.T)
	phase := sheet.Cruise
	if n, ok := p.here(e.T); ok {
		phase = n.point.Phase
	}
	flows := map[sheet.Phase]float64{phase: *e.Flow}
	for other, flow := range p.tanks.flows {
		if other != phase {
			flows[other] = flow
		}
	}
	p.tanks.flows = flows
	return true
}
