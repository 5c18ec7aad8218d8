package help

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// column is everything, one below the other.
func (s *Screen) column(snapshot flight.Snapshot, t theme.Theme) []string {
	return append(append(s.keyLines(snapshot, t), formLines(t)...), signLines(t)...)
}

func (s *Screen) keyLines(snapshot flight.Snapshot, t theme.Theme) []string {
	var lines []string
	for _, section := range s.sections(snapshot) {
		section = section.Live()
		if len(section.Keys) == 0 {
			continue
		}
		lines = append(lines, " "+t.Title.Render(section.Title))
		for _, binding := range section.Keys {
			lines = append(lines, pair(binding.Help().Key, binding.Help().Desc, 15, t))
		}
		lines = append(lines, "")
	}
	return lines
}

func formLines(t theme.Theme) []string {
	lines := []string{" " + t.Title.Render("What can be typed, as in these examples")}
	for _, form := range entry.Forms() {
		lines = append(lines, pair(form.Example, form.Does, 34, t))
	}
	return append(lines, "", " "+t.Title.Render("When it was, at the end of the line"),
		pair("10:42  10:42:30  2 min ago  90 s ago", "", 40, t), "")
}

// signLines explain the ribbon.
func signLines(t theme.Theme) []string {
	lines := []string{" " + t.Title.Render("Signs on the ribbon")}
	for _, sign := range []struct {
		kind  flight.PromptKind
		means string
	}{
		{flight.PromptAct, "the flight itself: off blocks, airborne, landed"},
		{flight.PromptTurn, "turn"},
		{flight.PromptTune, "tune a receiver"},
		{flight.PromptIdentify, "hear the ident"},
		{flight.PromptTank, "change the tank"},
		{flight.PromptConfirm, "pressures after a change"},
		{flight.PromptCheck, "a check of the plan"},
		{flight.PromptGyro, "gyro to the compass"},
		{flight.PromptQNH, "altimeter setting"},
		{flight.PromptReport, "position report"},
		{flight.PromptLevel, "level off"},
		{flight.PromptDescent, "start down"},
	} {
		lines = append(lines, pair(words.Mark(sign.kind), sign.means, 5, t))
	}
	return append(lines, pair(words.CheckpointMark, "a checkpoint to look out for", 5, t),
		pair(words.EqualTimeMark, "as long back as on: point of equal time", 5, t),
		pair(words.NoReturnMark, "too far back from here: point of no return", 5, t),
		pair("~~~", "as uncertain as this", 5, t))
}

func pair(name, does string, width int, t theme.Theme) string {
	return "   " + t.Key.Render(frame.Fit(name, width)) + " " + t.Value.Render(does)
}

func place(first, last, of int) string {
	if first == 0 && last == of {
		return ""
	}
	return fmt.Sprintf("   lines %d to %d of %d", first+1, last, of)
}
