// Package sums is the navigator's sums one at a time: what was given, the rule, the working, the answer, as text and as JSON.
//
// It knows nothing of plans, flights, commands or files, and has no formulas of its own: every figure comes from earth, air,
// deadreckon, radio or fuel. What it adds is how a sum is shown to a person who wants to follow it, and the same figures for
// programs.
//
// Each sum is a type of what is given with a method Sum. An error says that the figures do not belong together, or lie outside what a
// table covers: what is wrong and what would be right, a say.Misread. A sum that has no solution is a Sum with a Problem: its
// missing answers are null in JSON and absent from the text.
//
// Units and signs are those of the packages it asks: nautical miles, knots, feet, minutes, degrees, UTC; right and east positive.
// JSON names end in their unit and numbers are not rounded. In the working, a line with "=" can be reckoned through as it stands:
// degrees inside sin, cos, tan, asin, acos and atan, and "root" for the square root.
package sums

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// Sum is one sum, worked.
type Sum struct {
	Name    string // as the command names it
	Title   string
	Given   []Figure
	Rule    string
	Working []string
	Answers []Figure
	Notes   []string // where the answer is poor, and defaults that were taken
	Source  string   // of the rule, and its limits
	Problem string   // why there is no solution; empty where there is
}

// Figure is one figure of a sum: as it is said to a person, and by name for programs.
type Figure struct {
	Label  string
	Text   string // empty where there is nothing to say
	Values []Value
}

// Value is a named value. It is a float64 (NaN and infinities stand for nothing), a bool, a string, a time.Time, an earth.Position or nil.
type Value struct {
	Name  string
	Value any
}

// With is an optional figure.
func With(value float64) *float64 { return &value }

// unknown is the number of a figure that was not given or does not exist.
var unknown = math.NaN()

func valueOf(optional *float64) float64 {
	if optional == nil {
		return unknown
	}
	return *optional
}

func known(value float64) bool { return !math.IsNaN(value) && !math.IsInf(value, 0) }

// figure has a text only if its value is known.
func figure(label, name string, value float64, text func(float64) string) Figure {
	f := Figure{Label: label, Values: []Value{{name, value}}}
	if known(value) {
		f.Text = text(value)
	}
	return f
}

func quantity(q say.Quantity, decimals int) func(label, name string, value float64) Figure {
	return func(label, name string, value float64) Figure {
		return figure(label, name, value, func(value float64) string { return q.Say(value, decimals) })
	}
}

// The figures of answers, each to the places that a pilot uses.
var (
	speed    = quantity(say.Speed, 0)
	miles    = quantity(say.Distance, 1)
	feet     = quantity(say.Height, 0)
	rate     = quantity(say.Rate, 0)
	gradient = quantity(say.Quantity{Unit: "ft/nm"}, 0)
	slope    = quantity(say.Angle, 1)
)

// The figures that were given are said as finely as they were written, to two places.
var (
	speedGiven = quantity(say.Speed, 2)
	milesGiven = quantity(say.Distance, 2)
	feetGiven  = quantity(say.Height, 2)
	rateGiven  = quantity(say.Rate, 2)
	angleGiven = quantity(say.Angle, 2)
)

func side(label, name string, value float64) Figure {
	return figure(label, name, value, func(value float64) string { return say.Angle.SaySide(value, 1) })
}

func span(label, name string, minutes float64) Figure {
	return figure(label, name, minutes, sayMinutes)
}

// direction is a figure named for its north.
func direction(label, name string, d say.Direction) Figure {
	return figure(label, name+"_"+d.North.String(), d.Degrees, func(degrees float64) string {
		return say.Direction{Degrees: degrees, North: d.North}.String()
	})
}

// either is a direction from the north it was said with, with a name for each north.
func either(label, name string, d say.Direction) Figure {
	f := direction(label, name, d)
	other := name + "_" + say.True.String()
	if d.North == say.True {
		other = name + "_" + say.Magnetic.String()
	}
	f.Values = append(f.Values, Value{other, nil})
	return f
}

// eitherGiven is such a direction as it was given, with its decimals.
func eitherGiven(label, name string, d say.Direction) Figure {
	f := either(label, name, d)
	if known(d.Degrees) && d.Degrees != math.Round(d.Degrees) {
		f.Text = fineDegrees(d.Degrees) + " " + d.North.String()
	}
	return f
}

// fineTrack is a true track with its decimals, where a whole degree would hide how it changes along the way.
func fineTrack(label, name string, degreesTrue float64) Figure {
	return figure(label, name+"_true", degreesTrue, func(degrees float64) string { return fineDegrees(degrees) + " true" })
}

// fineDegrees writes a direction with three digits and two decimals.
func fineDegrees(degrees float64) string {
	hundredths := math.Mod(math.Round(100*degrees), 36000)
	if hundredths == 0 {
		hundredths = 36000
	}
	return fmt.Sprintf("%06.2f", hundredths/100)
}

func trueDirection(label, name string, degrees float64) Figure {
	return direction(label, name, say.Direction{Degrees: degrees, North: say.True})
}

func magneticDirection(label, name string, degrees float64) Figure {
	return direction(label, name, say.Direction{Degrees: degrees, North: say.Magnetic})
}

func variationFigure(value float64) Figure {
	return figure("variation", "variation", value, func(value float64) string { return say.SayEast(value, 2) })
}

func yes(label, name string, value bool) Figure {
	text := "no"
	if value {
		text = "yes"
	}
	return Figure{Label: label, Text: text, Values: []Value{{name, value}}}
}

func moment(label, name string, at time.Time) Figure {
	if at.IsZero() {
		return Figure{Label: label, Values: []Value{{name, nil}}}
	}
	return Figure{Label: label, Text: say.Moment(at), Values: []Value{{name, at.UTC()}}}
}

func place(label, name string, at earth.Position) Figure {
	return Figure{Label: label, Text: at.String(), Values: []Value{{name, at}}}
}

// fuelFigure is an amount of fuel in the unit it was given in.
func fuelFigure(label, name string, fuel say.Fuel) Figure {
	return figure(label, name, fuel.Amount, func(float64) string { return fuel.Say(2) })
}

func flowFigure(label, name string, flow *say.Fuel) Figure {
	if flow == nil {
		return figure(label, name, unknown, nil)
	}
	return figure(label, name, flow.Amount, func(float64) string { return flow.SayFlow(2) })
}

// fuelUnit is the unit of all fuel of a sum, for programs; the amounts say it to a person.
func fuelUnit(amounts ...*say.Fuel) Figure {
	f := Figure{Values: []Value{{"fuel_unit", nil}}}
	for _, amount := range amounts {
		if amount != nil && amount.Unit != "" {
			f.Values[0].Value = amount.Unit
		}
	}
	return f
}

// unfit says that figures don't belong together, and what would be right.
func unfit(right, wrong string) error { return &say.Misread{Wrong: wrong, Right: right} }

// Text writes the sum for a person: given, rule, working line by line, answer, source and limits.
func (s Sum) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", s.Title)
	section(&b, "given", figureLines(s.Given))
	section(&b, "rule", []string{s.Rule})
	section(&b, "working", s.Working)
	section(&b, "answer", figureLines(s.found()))
	if s.Problem != "" {
		section(&b, "problem", []string{s.Problem})
	}
	section(&b, "note", s.Notes)
	section(&b, "source", []string{s.Source})
	return b.String()
}

// How fast and slow light singles fly, and in what wind, in knots; the warmest and coldest air against standard, in °C. Common practice, no source.
const (
	slowestTAS, fastestTAS, fastestGroundspeed, strongestWind = 40, 250, 350, 100
	farthestFromISA                                           = 50
)

// Noted is the sum with what is to be said of any sum by its figures: what no light single meets was read or written wrongly.
func (s Sum) Noted() Sum {
	for _, f := range append(slices.Clone(s.Given), s.Answers...) {
		for _, v := range f.Values {
			number, ok := v.Value.(float64)
			if !ok || !known(number) {
				continue
			}
			note := ""
			switch {
			case v.Name == "tas_kt" && (number < slowestTAS || number > fastestTAS):
				note = fmt.Sprintf("a true airspeed of %s kt is not that of a light single, %d to %d kt: was it read right?", num(number), slowestTAS, fastestTAS)
			case v.Name == "groundspeed_kt" && number > fastestGroundspeed:
				note = fmt.Sprintf("a groundspeed of %s kt is not that of a light single: were distance and time read right?", num(number))
			case v.Name == "wind_kt" && number > strongestWind:
				note = fmt.Sprintf("a wind of %s kt is rare where light singles fly: were the figures read right?", num(number))
			}
			if note != "" {
				s.Notes = append(slices.Clone(s.Notes), note)
				return s
			}
		}
	}
	return s
}

// found are the answers without those that only say again what was given.
func (s Sum) found() []Figure {
	given := map[Value]bool{}
	for _, f := range s.Given {
		for _, v := range f.Values {
			given[v] = true
		}
	}
	var found []Figure
	for _, f := range s.Answers {
		if slices.ContainsFunc(f.Values, func(v Value) bool { return !given[v] }) {
			found = append(found, f)
		}
	}
	return found
}

// section writes lines with what they are before the first.
func section(b *strings.Builder, heading string, lines []string) {
	for _, line := range lines {
		fmt.Fprintf(b, "%-9s%s\n", heading, line)
		heading = ""
	}
}

// figureLines are the figures that have something to say, one a line, in two columns.
func figureLines(figures []Figure) []string {
	widest := 0
	for _, f := range figures {
		if f.Text != "" {
			widest = max(widest, len([]rune(f.Label)))
		}
	}
	var lines []string
	for _, f := range figures {
		if f.Text != "" {
			lines = append(lines, fmt.Sprintf("%s%s  %s", f.Label, strings.Repeat(" ", widest-len([]rune(f.Label))), f.Text))
		}
	}
	return lines
}

// MarshalJSON writes the sum for programs. Given and answer are objects whose names keep their order; what was not given and
// what does not exist is null.
func (s Sum) MarshalJSON() ([]byte, error) {
	problem := &s.Problem
	if s.Problem == "" {
		problem = nil
	}
	return json.Marshal(struct {
		Sum     string   `json:"sum"`
		Given   object   `json:"given"`
		Rule    string   `json:"rule"`
		Working []string `json:"working"`
		Answer  object   `json:"answer"`
		Notes   []string `json:"notes"`
		Source  string   `json:"source"`
		Problem *string  `json:"problem"`
	}{s.Name, s.Given, s.Rule, list(s.Working), s.Answers, list(s.Notes), s.Source, problem})
}

// list is never null.
func list(lines []string) []string {
	if lines == nil {
		return []string{}
	}
	return lines
}

// object writes the values of figures as one JSON object.
type object []Figure

// MarshalJSON writes the names in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for _, f := range o {
		for _, v := range f.Values {
			if number, ok := v.Value.(float64); ok && !known(number) {
				v.Value = nil
			}
			value, err := json.Marshal(v.Value)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", v.Name, err)
			}
			if b.Len() > 1 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "%q:%s", v.Name, value)
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
