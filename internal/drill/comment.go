package drill

import (
	"fmt"
	"strings"
)

// Comment says in words what a verdict means: what became of the answer, then, if it is known, which slip it was.
func (e Exercise) Comment(v Verdict) []string {
	others := ""
	for _, answer := range e.Answers {
		if answer.By != v.By && e.Say(answer.Reply) != v.Answer {
			others += fmt.Sprintf("; %s it is %s", answer.By, e.Say(answer.Reply))
		}
	}
	by := ""
	if v.By != "" {
		by = " " + v.By
	}
	switch v.Outcome {
	case Right:
		if v.Mistake != nil {
			return []string{
				fmt.Sprintf("%s is within the tolerance: %s", v.Read, strings.TrimSpace(v.By+" it is "+v.Answer)+others),
				"but that is just what this slip gives: " + v.Mistake.Text,
			}
		}
		switch {
		case v.Read != v.Answer:
			return []string{v.Read + " is right: " + strings.TrimSpace(v.By+" it is "+v.Answer) + others}
		case v.By != "":
			by = ", " + v.By
		}
		return []string{v.Read + " is right" + by + others}
	case NotKnown:
		return []string{"it is " + v.Answer + by + others}
	case Unreadable:
		return []string{v.Problem}
	}
	said := fmt.Sprintf("%s is %s: it is %s%s%s", v.Read, v.Off, v.Answer, by, others)
	if v.Off == "" {
		said = fmt.Sprintf("%s is wrong: it is %s", v.Read, v.Answer)
	}
	if v.Mistake == nil {
		return []string{said}
	}
	return []string{said, "looks like this: " + v.Mistake.Text}
}

// Allowed says how far from the answer is still right, and why.
func (e Exercise) Allowed() string {
	within := e.Within()
	if within == "" {
		return ""
	}
	return fmt.Sprintf("right within %s: %s", within, e.Tolerance.Why)
}
