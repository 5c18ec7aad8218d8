package drill

import (
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func sunsetTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			e := drawEvening(d)
			return marginToSunset(e, e.sunset-d.from(8, 95, 1))
		}},
		{
			func(d *draw) Exercise {
				e := drawEvening(d)
				toGo := d.from(18, 95, 1)
				return marginOnArrival(e, e.sunset-toGo-d.from(8, 60, 1), toGo)
			},
			func(d *draw) Exercise {
				return latestOffBlocks(drawEvening(d), d.from(35, 140, 1), d.from(5, 12, 1), oneOf(d, 20.0, 30, 45))
			},
		},
		{
			func(d *draw) Exercise {
				e := drawEvening(d)
				return marginInLocalTime(e, e.sunset-d.from(8, 95, 1))
			},
			func(d *draw) Exercise {
				e := drawEvening(d)
				return latestTurn(e, e.sunset-d.from(90, 200, 5), oneOf(d, 20.0, 30), d.from(72, 98, 1), d.from(102, 130, 1))
			},
		},
	}
}

// evening is a sunset, to the minute, at an invented place. All times are in minutes from 0000 UTC of one day.
type evening struct {
	place         earth.Position
	date          time.Time
	sunset, dusk  float64
	offsetMinutes float64 // of local time from UTC
}

// drawEvening draws a place that is neither tropical twilight nor polar day, and a date.
func drawEvening(d *draw) evening {
	place := earth.Position{Lat: d.signed(20, 58, 0.5), Lon: d.from(-120, 150, 0.5)}
	return eveningAt(place, time.Date(2026, time.January, 1+d.below(365), 0, 0, 0, 0, time.UTC))
}

// eveningAt finds sunset and end of civil twilight at a place on a date of its local mean time.
func eveningAt(place earth.Position, date time.Time) evening {
	day := earth.Sun(place, date)
	if !day.Sunset.Occurs || !day.CivilDusk.Occurs {
		panic("drill: no sunset at " + place.String())
	}
	e := evening{
		place: place, date: date, sunset: minuteOfDay(day.Sunset.At), dusk: minuteOfDay(day.CivilDusk.At),
		offsetMinutes: 60 * math.Round(place.Lon/15),
	}
	if e.dusk < e.sunset { // 0000 UTC lies between them
		e.dusk += minutesPerDay
	}
	return e
}

// minuteOfDay is the minute of the UTC day, to the nearest.
func minuteOfDay(at time.Time) float64 {
	at = at.UTC().Round(time.Minute)
	return float64(60*at.Hour() + at.Minute())
}

// given are the place, the date and when the day ends there.
func (e evening) given() []Given {
	return []Given{
		{"destination", sayPosition(e.place)},
		{"local date", e.date.Format("2 January 2006")},
		atTime("sunset", e.sunset), atTime("end of civil twilight", e.dusk),
	}
}

// oneMinute is the tolerance of a time that is added to or taken from another.
func oneMinute() Tolerance { return Tolerance{By: 0.5, Why: "whole minutes, added and taken away"} }

// marginToSunset asks how long before sunset the flight ends.
func marginToSunset(e evening, eta float64) Exercise {
	margin := e.sunset - eta
	var w sums.Working
	w.Line("%s - %s = %s", say.SayTimeOfDay(e.sunset), say.SayTimeOfDay(eta), say.SayHours(margin))
	x := Exercise{
		Task: "margin", Tool: InTheHead, Given: append(e.given(), atTime("ETA", eta)),
		Question: "How long before sunset does the flight arrive?",
		Form:     Form{Kind: Hours}, Answers: only(margin), Tolerance: oneMinute(),
		Steps: w.Plain(),
	}
	x.slipMargin(e, eta, margin)
	return x
}

// slipMargin adds the mistakes of the time between an ETA and sunset.
func (e *Exercise) slipMargin(evening evening, eta, margin float64) {
	e.slip(WrongFigure, evening.dusk-eta, "that is to the end of civil twilight")
	if math.Floor(eta/60) < math.Floor(evening.sunset/60) {
		e.slip(MinutesAsDecimals, margin+40, "the hour taken to have 100 minutes")
		e.slip(MinutesAsDecimals, margin+60, "an hour too many")
	}
}

// marginOnArrival asks the same from the time still to go.
func marginOnArrival(e evening, now, toGoMinutes float64) Exercise {
	eta := now + toGoMinutes
	x := marginToSunset(e, eta)
	x.Task = "margin on arrival"
	x.Given = append(e.given(), atTime("now", now), lasting("still to go", toGoMinutes))
	x.Steps = append([]string{"ETA: " + say.SayTimeOfDay(now) + " + " + say.SayHours(toGoMinutes) + " = " + say.SayTimeOfDay(eta)}, x.Steps...)
	x.slip(StepLeftOut, e.sunset-now, "that is from now: the way still to go has to come off")
	return x
}

// latestOffBlocks asks for the latest time to leave.
func latestOffBlocks(e evening, flightMinutes, taxiMinutes, marginMinutes float64) Exercise {
	latest := e.sunset - marginMinutes - flightMinutes - taxiMinutes
	arrival := say.SayTimeOfDay(e.sunset - marginMinutes)
	var w sums.Working
	w.Line("arrival: %s - %s = %s", say.SayTimeOfDay(e.sunset), say.SayHours(marginMinutes), arrival)
	w.Line("off blocks: %s - %s - %s = %s", arrival, say.SayHours(flightMinutes), say.SayHours(taxiMinutes), say.SayTimeOfDay(latest))
	x := Exercise{
		Task: "latest off blocks", Tool: InTheHead,
		Given: append(e.given(), lasting("flight time", flightMinutes), lasting("taxi before take-off", taxiMinutes),
			lasting("to arrive before sunset by", marginMinutes)),
		Question: "When is the flight off blocks at the latest?",
		Form:     timeForm(latest), Answers: only(latest), Tolerance: oneMinute(),
		Steps: w.Plain(),
	}
	x.latest(latest)
	x.slip(StepLeftOut, latest+taxiMinutes, "that is the time of take-off: taxiing comes before")
	x.slip(StepLeftOut, latest+marginMinutes, "the margin before sunset is left out")
	x.slip(WrongFigure, latest+e.dusk-e.sunset, "counted from the end of civil twilight")
	x.slip(MinutesAsDecimals, latest-40, "the hour taken to have 100 minutes")
	x.slip(MinutesAsDecimals, latest+40, "the hour taken to have 100 minutes")
	x.slip(MinutesAsDecimals, latest+60, "an hour too late")
	return x
}

// marginInLocalTime asks for the margin when the almanac is in local time.
func marginInLocalTime(e evening, eta float64) Exercise {
	x := marginToSunset(e, eta)
	x.Task = "margin in local time"
	local := e
	local.sunset += e.offsetMinutes
	local.dusk += e.offsetMinutes
	zone := worked.Plus(e.offsetMinutes/60).String() + " h"
	x.Given = []Given{
		{"destination", sayPosition(e.place)},
		{"local date", e.date.Format("2 January 2006")},
		{"local time is", "UTC " + zone},
		{"sunset", sayLocal(local.sunset)},
		{"end of civil twilight", sayLocal(local.dusk)},
		atTime("ETA", eta),
	}
	x.Steps = append([]string{"sunset: " + sayLocal(local.sunset) + " local, less (" + zone + ") is " + say.SayTimeOfDay(e.sunset)}, x.Steps...)
	x.slip(StepLeftOut, math.Abs(math.Remainder(local.sunset-eta, minutesPerDay)), "local time and UTC mixed up: bring both to UTC first")
	x.slip(WrongWay, math.Abs(math.Remainder(local.sunset+e.offsetMinutes-eta, minutesPerDay)), "the zone counted the wrong way: from local time to UTC it is taken away")
	return x
}

func sayLocal(minutes float64) string {
	text := say.SayTimeOfDay(minutes)
	return text[:len(text)-1]
}

// latestTurn asks when an out-and-home flight has to turn round.
func latestTurn(e evening, airborne, marginMinutes, outKt, homeKt float64) Exercise {
	available := e.sunset - marginMinutes - airborne
	_, out := deadreckon.NoReturn(available, outKt, homeKt)
	turn := airborne + out
	x := Exercise{
		Task: "latest turn", Tool: SlideRule,
		Given: append(e.given(), atTime("airborne", airborne), lasting("to be home before sunset by", marginMinutes),
			knots("groundspeed out", outKt), knots("groundspeed home", homeKt)),
		Question: "When does the flight turn round for home at the latest?",
		Form:     timeForm(turn), Answers: only(turn), Tolerance: Tolerance{By: max(0.02*out, 1), Why: "the slide rule's 2 %, and at least a minute"},
	}
	var w sums.Working
	w.Line("time there is: %s - %s - %s = %s", say.SayTimeOfDay(e.sunset), say.SayHours(marginMinutes), say.SayTimeOfDay(airborne), say.SayHours(available))
	w.NoReturn(available, outKt, homeKt, out, spanOf(out))
	x.Steps = x.at(&w, "the turn", airborne, out).Plain()
	x.Given[0].Name = "home"
	x.latest(turn)
	x.slip(StepLeftOut, airborne+available/2, "half the time: that holds without wind only")
	_, swapped := deadreckon.NoReturn(available, homeKt, outKt)
	x.slip(UpsideDown, airborne+swapped, "out and home swapped: the slow way takes the longer part")
	_, whole := deadreckon.NoReturn(available+marginMinutes, outKt, homeKt)
	x.slip(StepLeftOut, airborne+whole, "the margin before sunset is left out")
	return x
}
