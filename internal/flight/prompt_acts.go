package flight

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/sheet"
)

// promptActs asks for the next acts of the flight itself.
func (p *progress) promptActs(t time.Time) {
	act := func(id, text string, do Act, due time.Time, at *place) {
		p.add(pending{Prompt: Prompt{ID: id, Kind: PromptAct, Text: text, Due: due, Answer: Answer{Act: do}}, at: at})
	}
	switch {
	case !p.onBlocks.IsZero():
	case !p.landed.IsZero():
		act("on-blocks", "on blocks", OnBlocks, p.landed.Add(p.taxi()), nil)
	case p.airborne.IsZero():
		if p.offBlocks.IsZero() {
			act("off-blocks", "off blocks", OffBlocks, p.sheet.Plan.OffBlocks, nil)
		}
		p.promptAirborne()
		p.promptLevel()
	default:
		p.promptLevel()
		p.promptDescent()
		if p.complete {
			act("landed", "landed", Landed, p.lastPassed.at.Add(circuitTime), nil)
		} else if due, ok := p.ahead.eta(p.destination()); ok && p.legs[p.leg].last() {
			act("landed", "landed", Landed, due.Add(circuitTime), ref(p.destination()))
		}
	}
}

// promptAirborne asks for the take-off: due when the taxi is over, and late after a while. Before off-blocks it moves with that.
func (p *progress) promptAirborne() {
	open := pending{Prompt: Prompt{ID: "airborne", Kind: PromptAct, Text: "airborne", Due: p.anchor.at, Answer: Answer{Act: Airborne}}}
	if p.offBlocks.IsZero() {
		open.at = &place{leg: p.leg}
	} else {
		open.LateAt = ref(open.Due.Add(patient))
	}
	p.add(open)
}

// circuitTime is from overhead the destination to touch-down: common practice, no source.
const circuitTime = 5 * time.Minute

// destination is the end of the way being flown.
func (p *progress) destination() place {
	w := p.legs[p.leg].way
	last := w.first + len(w.route.Legs) - 1
	return place{last, p.legs[last].line().DistanceNM}
}

func ref[T any](value T) *T { return &value }

// promptLevel asks for the top of the climb.
func (p *progress) promptLevel() {
	top, ok := p.ahead.topOfClimb()
	if !ok {
		return
	}
	due, _ := p.ahead.eta(top)
	var detail []string
	if piece, ok := p.ahead.cruisePiece(top.leg); ok && piece.Phase == sheet.Cruise {
		detail = []string{fmt.Sprintf("IAS %.0f for TAS %.0f, %.1f %s an hour", p.iasFor(piece.TASKt, piece.FromFt), piece.TASKt, piece.FlowPerHour, p.system().Unit)}
	}
	altitudeFt := p.levelFt(top.leg)
	p.add(pending{at: &top, Prompt: Prompt{
		ID: fmt.Sprintf("level-%d", top.leg), Kind: PromptLevel, Text: fmt.Sprintf("level at %s", p.legs[top.leg].line().Level),
		Detail: detail, Due: due, Answer: Answer{Act: LevelOff, Altitude: ref(math.Round(altitudeFt))},
	}})
}

// promptDescent asks for the top of the last descent.
func (p *progress) promptDescent() {
	if !p.descended.IsZero() || p.complete {
		return
	}
	arrivalFt, descends := p.legs[p.leg].way.route.ArrivalFt()
	id := p.descentID()
	opened, late := p.prompts.opened.find(id)
	top, ok := p.ahead.topOfDescent()
	if !descends || !ok && !late {
		return
	}
	due, _ := p.ahead.eta(top)
	if late {
		due = opened
	}
	descent := p.sheet.Plan.Aircraft.Descent
	p.add(pending{at: &top, Prompt: Prompt{
		ID: id, Kind: PromptDescent, Text: "start down", Due: due, Answer: Answer{Act: Descend},
		Detail: []string{
			fmt.Sprintf("%.0f ft/min, IAS %.0f, to %.0f ft", descent.RateFtMin, descent.IASKt, arrivalFt),
			fmt.Sprintf("altimeter: QNH of %s, now %.0f", p.legs[p.leg].way.route.Destination().Title(), p.forecast.QNH),
		},
	}})
}

// descentID names the descent of the way being flown: on a diversion there may have been one before.
func (p *progress) descentID() string {
	if w := p.legs[p.leg].way; !w.from.IsZero() {
		return fmt.Sprintf("descent-%d", w.first)
	}
	return "descent"
}
