package sums

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

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

// Noted is the sum with what is to be said of any sum by its figures: a speed that no light single has was read or written wrongly. How
// fast and slow they fly is common practice, no source.
func (s Sum) Noted() Sum {
	const slowestTAS, fastestTAS, fastestGroundspeed = 40, 250, 400 // kt
	for _, f := range append(slices.Clone(s.Given), s.Answers...) {
		for _, v := range f.Values {
			note, speedKt := "", 0.0
			if number, ok := v.Value.(float64); ok && known(number) {
				speedKt = number
			}
			switch {
			case v.Name == "tas_kt" && speedKt != 0 && (speedKt < slowestTAS || speedKt > fastestTAS):
				note = fmt.Sprintf("a true airspeed of %s kt is not that of a light single, %d to %d kt: was it read right?", num(speedKt), slowestTAS, fastestTAS)
			case v.Name == "groundspeed_kt" && speedKt > fastestGroundspeed:
				note = fmt.Sprintf("a groundspeed of %s kt is not that of a light single: were distance and time read right?", num(speedKt))
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
