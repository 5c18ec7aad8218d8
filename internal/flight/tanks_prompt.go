package flight

import (
	"fmt"
	"strings"
	"time"
)

// confirmAfter is how long after a tank change engine and fuel pressure are to be confirmed: common practice, no source.
const confirmAfter = time.Minute

// promptTanks asks for the tank changes to come, and for the check after the last one.
func (p *progress) promptTanks() {
	k := &p.tanks
	for i, change := range k.schedule.Changes {
		due := plus(k.plannedAt, change.AtMinutes)
		to := p.system().Tanks[change.To].Name
		prompt := Prompt{
			ID: fmt.Sprintf("tank-%d", len(k.made)+1+i), Kind: PromptTank, Text: "tank to " + to, Due: due,
			Detail: append(p.tankLines(change.Quantities, change.ImbalanceBefore), p.system().ChangeSteps...),
			Answer: Answer{Act: TankChange, Tank: to},
		}
		if i == 0 {
			prompt.LateAt = ref(p.tankLateAt(due))
		}
		p.add(pending{Prompt: prompt, at: p.beforeTakeOff(), again: i > 0})
	}
	if c := p.prompts.confirm; c.number > 0 && p.onBlocks.IsZero() {
		p.add(pending{Prompt: Prompt{
			ID: fmt.Sprintf("confirm-%d", c.number), Kind: PromptConfirm, Text: "engine and fuel pressure on " + c.tank, Due: c.at.Add(confirmAfter),
			Detail: []string{"as steady as before the change, pressure where it belongs", "if not: back to " + c.from},
		}})
	}
}

// beforeTakeOff is the place that times move with until take-off; nil once it is past, when they stand.
func (p *progress) beforeTakeOff() *place {
	if p.airborne.IsZero() {
		return &place{}
	}
	return nil
}

// tankLines say what will be in the tanks.
func (p *progress) tankLines(quantities []float64, imbalance float64) []string {
	parts := make([]string, len(quantities))
	for i, tank := range p.system().Tanks {
		parts[i] = fmt.Sprintf("%s %.1f", tank.Name, quantities[i])
	}
	line := strings.Join(parts, " · ")
	if limit := p.system().MaxImbalance; limit != nil {
		line += fmt.Sprintf(", imbalance %.1f of %g", imbalance, *limit)
	}
	return []string{line}
}
