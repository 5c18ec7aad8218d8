package flight

import "strings"

// Wording is something in one line that can be said shorter where there is little room.
type Wording struct {
	Text                    string
	kind                    PromptKind
	numbered                bool
	point, receiver, beacon string
}

// Wording is what a prompt asks for.
func (p *Prompt) Wording() Wording { return p.worded(p.Text) }

// Wording is the text of an item.
func (i *AheadItem) Wording() Wording {
	if i.Prompt == nil {
		return Wording{Text: i.Text}
	}
	return i.Prompt.worded(i.Text)
}

func (p *Prompt) worded(text string) Wording {
	return Wording{text, p.Kind, p.Number != nil, p.Answer.Point, p.Answer.Receiver, p.Answer.Beacon}
}

// Texts are the same at length and then ever shorter. All of them have the number, and of a turn the side; a name goes first, or stands where it may
// be cut, and a change of level goes last.
func (w Wording) Texts() []string {
	text := w.Text
	texts := []string{text}
	brief := func(shorter string) {
		if last := texts[len(texts)-1]; shorter != last {
			texts, text = append(texts, shorter), shorter
		}
	}
	without := func(word string) { brief(strings.Replace(text, word, "", 1)) }
	switch w.kind {
	case PromptTurn:
		if !w.numbered {
			break
		}
		over := "over " + w.point
		brief(strings.Replace(strings.TrimPrefix(text, over+" "), " "+over, "", 1))
		brief(strings.TrimPrefix(text, "turn "))
		whole := text
		without(" onto")
		if turn, _, changes := strings.Cut(whole, beforeLevel); changes {
			brief(turn)
			without(" onto")
		}
	case PromptTune:
		brief(strings.TrimPrefix(strings.TrimPrefix(text, "tune "), "set "))
		without(" course")
		without(" " + w.beacon)
	case PromptIdentify:
		without(" on " + w.receiver)
	case PromptContact:
		if at := strings.LastIndex(text, " "); at > len("call ") {
			brief("call" + text[at:] + text[len("call"):at])
		}
	case PromptDescent:
		brief(strings.Replace(text, "top of descent, to", "descent to", 1))
	}
	return texts
}
