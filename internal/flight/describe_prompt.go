package flight

import (
	"regexp"
	"strings"

	"example.com/legclock/internal/pattern"
)

// What the name of a prompt is made of; see the Prompts that are added.
var (
	promptOfBeacon = pattern.Of(`^(tune|identify)-\d+-(.+)-([^-]+)$`)
	promptOfPoint  = pattern.Of(`^(report|altimeter)-(.+)$`)
	promptNumbered = pattern.Of(`^(turn|tank|confirm|level)-\d+$`)
	promptOfCheck  = pattern.Of(`^check-(.+?)(?:-\d+)?$`)
)

// numberedPrompts are the words for prompts that are told apart by number.
var numberedPrompts = map[string]string{
	"turn": "the turn", "tank": "the change of tank", "confirm": "engine and fuel pressure", "level": "levelling off",
}

// promptWords says in a pilot's words which prompt has a name: "cruise check" for "check-cruise check-2".
func promptWords(id string) string {
	match := func(p func() *regexp.Regexp) []string { return p().FindStringSubmatch(id) }
	if m := match(promptOfBeacon); m != nil {
		return m[1] + " " + m[2] + " " + m[3]
	}
	if m := match(promptOfPoint); m != nil {
		return m[1] + " " + m[2]
	}
	if m := match(promptNumbered); m != nil {
		return numberedPrompts[m[1]]
	}
	if m := match(promptOfCheck); m != nil {
		return m[1]
	}
	if strings.HasPrefix(id, "descent") {
		return "start down"
	}
	return id
}
