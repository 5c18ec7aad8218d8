package flight

import (
	"fmt"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// Checks that are prompted when the plan lists none: common practice, no source. Light singles are flown with a cruise check every
// 10 to 15 minutes, and a gyro drifts from its compass by some degrees in a quarter of an hour.
const (
	defaultCruiseCheck = "cruise check"
	defaultGyro        = "gyro to compass"
	defaultEvery       = 15 // minutes
	gyroOffset         = 5 * time.Minute
	altimeterAfter     = 2 * time.Minute // after the passing of a route point
	reportAfter        = time.Minute     // the same
	repeatsShown       = 4
)

// promptChecks asks for the plan's checks or, where it lists none, the usual ones.
func (p *progress) promptChecks(t time.Time) {
	if !p.landed.IsZero() {
		return
	}
	if len(p.sheet.Plan.Checks) == 0 {
		p.promptUsualChecks(t)
		return
	}
	seen := map[string]int{}
	for _, check := range p.sheet.Plan.Checks {
		key := check.Name
		if seen[key]++; seen[key] > 1 {
			key = fmt.Sprintf("%s #%d", key, seen[key])
		}
		p.promptCheck(key, check, t)
	}
}

func (p *progress) promptUsualChecks(t time.Time) {
	every := float64(defaultEvery)
	cruise := plan.Check{Name: defaultCruiseCheck, Text: "fuel, radio, engine, altimeter", EveryMinutes: &every}
	gyro := plan.Check{Name: defaultGyro, Text: "steady and level", EveryMinutes: &every}
	p.repeat(PromptCheck, cruise.Name, cruise, 0, t)
	p.repeat(PromptGyro, gyro.Name, gyro, -gyroOffset, t)
	if r := p.prompts.report; r.next && !p.complete {
		p.add(pending{Prompt: Prompt{
			ID: "altimeter-" + r.point, Kind: PromptQNH, Text: "altimeter", Due: r.at.Add(altimeterAfter),
			Detail: []string{fmt.Sprintf("QNH %.0f set: ask for the one here", p.forecast.QNH)},
		}})
	}
}

// promptCheck asks for one check; the key tells it from others of its name.
func (p *progress) promptCheck(key string, check plan.Check, t time.Time) {
	switch {
	case check.EveryMinutes != nil:
		p.repeat(PromptCheck, key, check, 0, t)
	case check.ClimbingThroughFt != nil:
		p.promptThrough("check-"+key, check, *check.ClimbingThroughFt, sheet.Climb)
	case check.DescendingThroughFt != nil:
		p.promptThrough("check-"+key, check, *check.DescendingThroughFt, sheet.Descent)
	case check.Passing != "":
		p.promptPassing("check-"+key, check)
	case check.Before != "":
		p.promptBefore("check-"+key, check)
	}
}

func (p *progress) checkPrompt(id string, check plan.Check, due time.Time, at *place) {
	prompt := Prompt{ID: id, Kind: PromptCheck, Text: check.Name, Due: due}
	if check.Text != "" {
		prompt.Detail = []string{check.Text}
	}
	p.add(pending{Prompt: prompt, at: at})
}

// repeat asks for a check again and again in cruise: so many minutes after the top of the climb, and after each answer.
func (p *progress) repeat(kind PromptKind, key string, check plan.Check, offset time.Duration, t time.Time) {
	if p.complete || !p.descended.IsZero() {
		return
	}
	if n, ok := p.here(t); ok && n.descending {
		return
	}
	start, at := p.cruiseStart()
	if start.IsZero() {
		return
	}
	every := minutes(*check.EveryMinutes)
	state := p.prompts.rounds.at(key)
	due := start.Add(every).Add(offset)
	if state.count > 0 {
		due, at = state.last.Add(every), nil
	}
	until := p.cruiseEnd()
	for k := range repeatsShown {
		if !until.IsZero() && due.After(until) {
			return
		}
		prompt := Prompt{ID: fmt.Sprintf("check-%s-%d", key, state.count+1+k), Kind: kind, Text: check.Name, Due: due}
		if check.Text != "" {
			prompt.Detail = []string{check.Text}
		}
		p.add(pending{Prompt: prompt, at: at, again: k > 0, round: key})
		due = due.Add(every)
	}
}

// cruiseStart is the top of the climb: as it was, or as it is reckoned, which then moves with the times ahead.
func (p *progress) cruiseStart() (start time.Time, at *place) {
	if !p.cruiseFrom.IsZero() {
		return p.cruiseFrom, nil
	}
	top, ok := p.ahead.topOfClimb()
	if !ok {
		return p.airborne, nil
	}
	start, _ = p.ahead.eta(top)
	return start, &top
}

// cruiseEnd is the top of the descent or, where there is none, the arrival.
func (p *progress) cruiseEnd() time.Time {
	end, ok := p.ahead.topOfDescent()
	if !ok {
		end = p.destination()
	}
	at, _ := p.ahead.eta(end)
	return at
}

// noteCruise remembers when the first climb ended, before the way ahead is reckoned from a later place.
func (p *progress) noteCruise(t time.Time) {
	if !p.cruiseFrom.IsZero() || !p.flying() {
		return
	}
	if top, ok := p.ahead.topOfClimb(); ok {
		if at, ok := p.ahead.eta(top); ok && !at.After(t) {
			p.cruiseFrom = at
		}
	}
}

func (p *progress) promptThrough(id string, check plan.Check, altitudeFt float64, phase sheet.Phase) {
	here := place{leg: p.leg, afterNM: p.legs[p.leg].line().DistanceNM}
	if due, kept := p.prompts.opened.find(id); kept {
		p.checkPrompt(id, check, due, nil)
		return
	}
	if due, ok := p.ahead.timeThrough(altitudeFt, phase); ok {
		p.checkPrompt(id, check, due, &here)
	}
}

func (p *progress) promptPassing(id string, check plan.Check) {
	if at, passed := p.prompts.passedAt.find(check.Passing); passed {
		p.checkPrompt(id, check, at, nil)
		return
	}
	if at, due, ok := p.nameAhead(check.Passing); ok {
		p.checkPrompt(id, check, due, &at)
	}
}

func (p *progress) promptBefore(id string, check plan.Check) {
	if _, passed := p.prompts.passedAt.find(check.Before); passed {
		return
	}
	if at, due, ok := p.nameAhead(check.Before); ok {
		p.checkPrompt(id, check, due.Add(-minutes(check.Minutes)), &at)
	}
}

// nameAhead is where and when a named point ahead is passed.
func (p *progress) nameAhead(name string) (at place, due time.Time, ok bool) {
	if p.complete {
		return at, due, false
	}
	found, behind, ok := p.find(name)
	if !ok || behind {
		return at, due, false
	}
	due, ok = p.ahead.eta(found.place)
	return found.place, due, ok
}

// promptReport asks for a position report after the passing of a route point, the destination apart.
func (p *progress) promptReport() {
	r := p.prompts.report
	if !r.next || p.complete || !p.landed.IsZero() {
		return
	}
	p.add(pending{Prompt: Prompt{
		ID: "report-" + r.point, Kind: PromptReport, Text: "report " + r.point, Due: r.at.Add(reportAfter),
		Detail: p.reportLines(r.at.Add(reportAfter)),
	}})
}
