// Package cards holds the pre-departure list and the cards for what one hopes not to need: lost, radio failure, low fuel, night or weather
// closing in. They are short and general, in the order to be done, the owner's own steps from the aircraft file first, and each closes with
// who decides. The steps are common practice, no source, unless one is named beside them.
package cards

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Closing ends every card.
const Closing = "handbook, charts, local rules and your instructor decide"

// Card is one list of steps.
type Card struct {
	Key   string // lost, radio-failure, low-fuel, weather, pre-departure
	Title string
	Own   []string // the owner's steps, first
	Steps []string
}

// Lines are the card as it is read, from its title to its closing.
func (c Card) Lines() []string {
	lines := []string{c.Title}
	for _, steps := range [][]string{c.Own, c.Steps} {
		lines = append(lines, steps...)
	}
	return append(lines, Closing)
}

// String is the card on a page.
func (c Card) String() string { return strings.Join(c.Lines(), "\n") + "\n" }

// All are the cards for the air, with an aircraft's own steps.
func All(own plan.Cards) []Card {
	return []Card{
		{
			Key: "lost", Title: "LOST", Own: own.Lost,
			Steps: []string{
				"fly the aeroplane; note the time, hold a heading",
				"do compass and gyro agree? from the last passing, by heading and time since: where must you be?",
				"climb for sight, radio and radar, if cloud and airspace allow it",
				"tune two beacons, identify, take bearings; log them here as fixes",
				"find a line feature, follow it to something certain; read from ground to map",
				"call early on the frequency in use; no answer: 121.5, transponder 7700 if in distress",
				"fuel and daylight: how long is there?",
				"position not found in time: choose a place to land while there is power, fuel and light",
			},
		},
		{
			// Transponder code 7600 and the light signals: ICAO Annex 2, appendix 1, and Doc 8168 volume III.
			Key: "radio-failure", Title: "RADIO FAILURE", Own: own.RadioFailure,
			Steps: []string{
				"check volume, squelch, headset plugs, the other set, the previous frequency, circuit breakers",
				"transponder 7600",
				"transmit blind: position, level, intention",
				"stay in visual conditions; land at the nearest suitable aerodrome, report by the quickest means",
				"at an aerodrome with a tower look for light signals: green steady, land; red steady, give way and circle; " +
					"red flashes, unsafe, do not land; green flashes, return for landing; white flashes, land here and taxi to the apron",
			},
		},
		{
			// MINIMUM FUEL and MAYDAY FUEL: ICAO Annex 6 part I 4.3.7, Doc 4444 section 15.5.4.
			Key: "low-fuel", Title: "LOW FUEL", Own: own.LowFuel,
			Steps: []string{
				"fullest tank, pump as the handbook says, mixture leaned; is one tank leaking or the selector between two?",
				"power and airspeed for range or endurance",
				"nearest aerodrome with final reserve: divert now, early",
				"committed to an aerodrome, and any delay may mean landing below final reserve: say MINIMUM FUEL",
				"landing below final reserve is predicted at the nearest aerodrome where a safe landing can be made: say MAYDAY MAYDAY MAYDAY FUEL",
				"land while there is power to choose where",
			},
		},
		{
			Key: "weather", Title: "NIGHT OR WEATHER CLOSING IN", Own: own.Weather,
			Steps: []string{
				"turn back or divert while the way is clear: the first doubt is the time",
				"slow down, gyro to compass, lights on, carburettor heat as the handbook says",
				"below the MSA or in cloud: heading for clear air, climb to the MSA, call",
				"latest divert time and end of civil twilight: which aerodrome has both?",
				"no aerodrome in reach: a precautionary landing while there is power, light and choice",
			},
		},
	}
}

// PreDeparture is the list before departure, with the plan's own figures to check against.
func PreDeparture(s *sheet.Sheet) Card {
	p := s.Plan
	card := Card{Key: "pre-departure", Title: "BEFORE DEPARTURE", Own: p.Aircraft.PreDeparture}
	add := func(format string, arguments ...any) {
		card.Steps = append(card.Steps, fmt.Sprintf(format, arguments...))
	}
	for _, pair := range s.Tanks.AboveLimitAtStart {
		add("%s; %s", pair.Text, pair.Hint)
	}
	add("clock checked against a reference, UTC")
	add("QNH set, altimeter shows the elevation: planned %s", say.QNHInBoth(p.Conditions.QNH))
	for _, tank := range p.Aircraft.Fuel.Tanks {
		add("fuel dipped, %s: planned %s", tank.Name, say.AmountIn(p.Fuel.OnBoard[tank.Name], string(p.Aircraft.Fuel.Unit)))
	}
	add("selector on %s", p.Fuel.StartOn)
	add("gyro to compass on a known heading")
	for _, step := range s.Radio {
		if step.Leg == 0 && step.AfterNM == 0 {
			add("%s %s tuned and identified, if it is heard on the ground", step.Receiver, step.Beacon.Ident)
		}
	}
	if hasVOR(p) {
		// 14 CFR 91.171 (b): ±4° at a ground checkpoint, ±6° at an airborne one; two receivers within 4° of each other.
		add("VOR check noted: within 4° on the ground, 6° in the air, two receivers within 4° of each other (14 CFR 91.171)")
	}
	for _, remark := range p.Remarks {
		add("remark: %s", remark)
	}
	return card
}

func hasVOR(p *plan.Plan) bool {
	for _, receiver := range p.Aircraft.Receivers {
		if plan.SelectsCourse(receiver) {
			return true
		}
	}
	return false
}
