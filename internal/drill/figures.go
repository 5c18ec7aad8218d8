package drill

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// draw draws the figures of an exercise. What it draws from a seed never changes: only the generator's own output is used.
type draw struct{ source *rand.PCG }

func newDraw(topic Topic, level Level, seed uint64) *draw {
	hash := fnv.New64a()
	fmt.Fprintf(hash, "%s %d", topic, level)
	return &draw{rand.NewPCG(seed, hash.Sum64())}
}

// below draws a whole number from 0 to n-1.
func (d *draw) below(n int) int { return int(d.source.Uint64() % uint64(n)) }

// from draws a figure from low to high in steps.
func (d *draw) from(low, high, step float64) float64 {
	steps := int(math.Round((high - low) / step))
	return tidy(low + step*float64(d.below(steps+1)))
}

// signed draws a figure as from does, and its sign.
func (d *draw) signed(low, high, step float64) float64 {
	value := d.from(low, high, step)
	if d.yes() {
		return -value
	}
	return value
}

func (d *draw) yes() bool { return d.below(2) == 1 }

// direction draws whole degrees from 1 to 360 in steps.
func (d *draw) direction(step float64) float64 { return d.from(step, 360, step) }

// timeOfDay draws whole minutes and a number of seconds that is a multiple of step, from 0600 to 1959.
func (d *draw) timeOfDay(stepSeconds int) float64 {
	minute := 6*60 + d.below(14*60)
	return float64(minute) + float64(stepSeconds*d.below(60/stepSeconds))/60
}

func oneOf[T any](d *draw, choices ...T) T { return choices[d.below(len(choices))] }

// tidy takes off what is left of a decimal fraction in binary, so that a figure is exactly the one that is printed.
func tidy(value float64) float64 { return math.Round(value*1e6) / 1e6 }

// twoDecimals are those that a figure of a working has where it needs them.
const twoDecimals = 2

// figure writes a number with as many decimals as it needs, two at most.
func figure(value float64) string { return say.SayNumber(value, twoDecimals) }

// The figures of a working, as the sums have them.
var num = worked.Number

func miles(name string, distanceNM float64) Given {
	return Given{name, say.Distance.Say(distanceNM, twoDecimals)}
}

func knots(name string, speedKt float64) Given {
	return Given{name, say.Speed.Say(speedKt, twoDecimals)}
}

func feet(name string, heightFt float64) Given {
	return Given{name, say.Height.Say(heightFt, twoDecimals)}
}

func degrees(name string, value float64) Given { return Given{name, say.Angle.Say(value, twoDecimals)} }

// toward is a direction with its north: true, magnetic or compass.
func toward(name string, direction float64, north string) Given {
	return Given{name, say.Degrees(direction) + " " + north}
}

func windGiven(w air.Wind) Given {
	return Given{"wind", sayWind(w.FromTrue, w.SpeedKt) + " true"}
}

// eastward is a variation or a deviation with its letter.
func eastward(name string, value float64) Given { return Given{name, say.SayEast(value, 2)} }

// sayWind is a wind as forecasts write it, its speed in two digits: "240/08".
func sayWind(fromTrue, speedKt float64) string {
	return fmt.Sprintf("%s/%02.0f", say.Degrees(fromTrue), speedKt)
}

func atTime(name string, minutesOfDay float64) Given {
	return Given{name, say.SayTimeOfDay(minutesOfDay)}
}

// lasting is a length of time.
func lasting(name string, minutes float64) Given { return Given{name, say.SayTaken(minutes)} }

func amount(name string, quantity float64, unit string) Given {
	return Given{name, say.Quantity{Unit: unit}.Say(quantity, twoDecimals)}
}

// aside is a distance off track with its side.
func aside(name string, offNM float64) Given {
	return Given{name, say.Distance.SaySide(offNM, twoDecimals) + " of track"}
}

func sayPosition(p earth.Position) string {
	return sayHalf(p.Lat, "N", "S") + " " + sayHalf(p.Lon, "E", "W")
}

func sayHalf(degrees float64, positive, negative string) string {
	if degrees < 0 {
		positive = negative
	}
	return positive + figure(math.Abs(degrees))
}

// numberForm is a form for a figure with a unit.
func numberForm(unit string, decimals int) Form {
	return Form{Kind: Number, Unit: unit, Decimals: decimals}
}

// spanForm is the form in which a time of that length is said.
func spanForm(minutes float64) Form {
	if minutes < 60 {
		return Form{Kind: Span}
	}
	return Form{Kind: Hours}
}

func directionForm(north string) Form { return Form{Kind: Direction, Unit: north} }

func timeForm(answer float64) Form { return Form{Kind: TimeOfDay, near: answer} }

// KnotsForm, MilesForm, MagneticForm and TimeForm are the forms of what is asked of a moment in flight: a speed, a distance to the tenth, a
// magnetic heading, a time of day near one in minutes from 0000 UTC.
func KnotsForm() Form { return numberForm("kt", 0) }

// MilesForm is that of a distance.
func MilesForm() Form { return numberForm("nm", 1) }

// MagneticForm is that of a magnetic heading.
func MagneticForm() Form { return directionForm("magnetic") }

// TimeForm is that of a time of day.
func TimeForm(nearMinutes float64) Form { return timeForm(nearMinutes) }

// choose is a form with choices and the answer to it.
func choose(right string, choices ...string) (Form, []Answer) {
	for i, choice := range choices {
		if choice == right {
			return Form{Kind: Choice, Choices: choices}, only(float64(i))
		}
	}
	panic("drill: " + right + " is none of " + strings.Join(choices, ", "))
}

// within is the tolerance of a sum that is a product: 2 % by slide rule, nothing in the head, where figures come out even; least is
// what a figure is rounded to when it is said.
func (t Tool) within(value, least float64) Tolerance {
	if t == InTheHead {
		return Tolerance{By: least / 2, Why: "the figures come out even"}
	}
	return Tolerance{By: max(0.02*math.Abs(value), least), Why: "2 %, as a circular slide rule is set and read to about 1 in 100 each"}
}

// adding is the tolerance of whole figures that are added and taken away.
func adding() Tolerance { return Tolerance{By: 0.5, Why: "adding and taking away comes out exactly"} }

// windSide is the tolerance, in degrees or knots, of what is read off the wind side of a slide rule.
func windSide() Tolerance {
	return Tolerance{By: 2, Why: "the wind side of a slide rule is read to 2° and 2 kt"}
}

// rule is the tolerance of a rule of thumb and of the figure it stands for.
func ruleOfThumb(by float64) Tolerance {
	return Tolerance{By: by, Why: "by the rule or exactly, rounded as stated"}
}

// exactly is the tolerance of a choice.
func exactly() Tolerance { return Tolerance{By: 0, Why: "there is nothing between the choices"} }
