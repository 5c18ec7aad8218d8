package tui

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/charmbracelet/x/ansi"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
)

// readIn is how long what presses, or was said, is shown whole where that covers something, since it began to press, was asked for or was said.
const readIn = 20 * time.Second

// whole is what presses as of the last message, each of it whole; the same without its figures; and until when it is shown whole, by the machine's clock.
type whole struct {
	texts, of []string
	until     time.Time
}

// presses is what is late or over a limit, the worst first, each of it whole.
func (r *Root) presses() []string {
	var all []string
	for _, text := range []string{r.notOnDisk(), r.trouble} {
		if text != "" {
			all = append(all, frame.Clean(text))
		}
	}
	for _, p := range r.snapshot.Pressing {
		all = append(all, pressingText(p.Late, p.Text))
	}
	return all
}

// firstInBrief are the wordings of what presses first, at length and then ever shorter.
func (r *Root) firstInBrief(whole string) []string {
	wordings := []string{whole}
	if len(r.snapshot.Pressing) == 0 {
		return wordings
	}
	p := &r.snapshot.Pressing[0]
	if p.Late == nil || whole != pressingText(p.Late, p.Text) {
		return wordings
	}
	for _, wording := range p.Wording.Texts()[1:] {
		wordings = append(wordings, pressingText(p.Late, wording))
	}
	return wordings
}

// pressingText is a text that presses, with by how much it is late where it is.
func pressingText(late *time.Duration, text string) string {
	if text = frame.Clean(text); late != nil {
		return "LATE " + say.Duration(*late) + " " + text
	}
	return text
}

// pressing are the kept row, blank while all is well, and the rows that stand in place of the lowest of the screen in front: what presses, whole,
// where the kept row is too short for it. Where that covers anything but blanks it is done only while it is to be read.
func (r *Root) pressing(width int, front []string) (kept string, rest []string) {
	all := r.whole.texts
	if len(all) == 0 {
		if r.drawn.calm == "" {
			r.drawn.calm = frame.Fit("", width)
		}
		return r.drawn.calm, nil
	}
	room := max(1, width-1)
	withSay := all
	if state := r.snapshot.FuelState; state != nil {
		withSay = append(slices.Clone(all), "SAY "+frame.Clean(state.Say))
	}
	lines := pressingLines(withSay, room)
	if len(lines) > 1+len(front) {
		lines = pressingLines(all, room)
	}
	if len(lines) > 1+len(front) {
		lines = frame.Short(frame.Wrap(strings.Join(all, "; "), room), 1+len(front))
	}
	if covered := front[len(front)-len(lines)+1:]; !r.toBeRead() && !blank(covered) {
		lines = []string{inOneRow(withSay, r.firstInBrief(all[0]), room, keys.First(r.global.Whole))}
	}
	for i, line := range lines {
		lines[i] = r.theme.Late.Render(frame.Fit(" "+line, width))
	}
	return lines[0], lines[1:]
}

// pressingLines are texts in lines of a width, more than one beside each other where they fit; the first begins again where it takes two.
func pressingLines(all []string, room int) []string {
	var lines []string
	for i, text := range all {
		if n := len(lines); n > 0 && frame.Width(lines[n-1])+len(betweenTexts)+frame.Width(text) <= room {
			lines[n-1] += betweenTexts + text
			continue
		}
		broken := frame.Wrap(text, room)
		if i == 0 && len(broken) > 1 {
			lines = append(lines, frame.Shorten(text, room))
		}
		lines = append(lines, broken...)
	}
	return lines
}

const betweenTexts = "  "

// inOneRow is as much of texts as one row takes, the first in any case, in brief where need be, and the key that shows the rest.
func inOneRow(all, brief []string, room int, key string) string {
	rest := key + " whole"
	for n := len(all); n > 1; n-- {
		if text := strings.Join(all[:n], betweenTexts) + betweenTexts + rest; frame.Width(text) <= room {
			return text
		}
		rest = fmt.Sprintf("%s %d more", key, len(all)-n+1)
	}
	return frame.Fitting(max(1, room-len(betweenTexts)-frame.Width(rest)), brief...) + betweenTexts + rest
}

// blank reports whether nothing stands in rows.
func blank(rows []string) bool {
	return !slices.ContainsFunc(rows, func(row string) bool { return strings.TrimSpace(ansi.Strip(row)) != "" })
}

// toBeRead reports whether what presses is to be shown whole, whatever that covers.
func (r *Root) toBeRead() bool { return r.clock.Wall().Before(r.whole.until) }

// saying is what was said last, and until when it is shown whole where that covers something, by the machine's clock.
type saying struct {
	text  string
	until time.Time
}

// noticeSaid gives what was said its time to be read, and reports whether such a time has just ended.
func (r *Root) noticeSaid() (ended bool) {
	switch now := r.clock.Wall(); {
	case r.saying.text != r.said:
		r.saying = saying{r.said, now.Add(readIn)}
	case !r.saying.until.IsZero() && !now.Before(r.saying.until):
		r.saying.until, ended = time.Time{}, true
	}
	return ended
}

// noticePressing gives what has begun to press its time to be read, and reports whether such a time has just ended.
func (r *Root) noticePressing() (ended bool) {
	if !r.whole.until.IsZero() && !r.toBeRead() {
		r.whole.until, ended = time.Time{}, true
	}
	r.whole.texts = r.presses()
	var now []string
	for _, text := range r.whole.texts {
		now = append(now, strings.Map(func(c rune) rune {
			if unicode.IsDigit(c) {
				return -1
			}
			return c
		}, text))
	}
	if slices.ContainsFunc(now, func(text string) bool { return !slices.Contains(r.whole.of, text) }) {
		r.whole.until = r.clock.Wall().Add(readIn)
	}
	r.whole.of = now
	return ended
}

// readWhole shows what presses whole for a while, or puts it away.
func (r *Root) readWhole() {
	if r.toBeRead() {
		r.whole.until = time.Time{}
		r.said = "row 2 alone, but for rows that are blank"
		return
	}
	r.whole.until = r.clock.Wall().Add(readIn)
	r.said = fmt.Sprintf("row 2 whole for %.0f s", readIn.Seconds())
}
