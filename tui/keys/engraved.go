package keys

import "strings"

// Engraved names keys as a keyboard shows them: "space / enter".
func Engraved(names []string) string {
	shown := make([]string, len(names))
	for i, name := range names {
		shown[i] = engraved(name)
	}
	return strings.Join(shown, " / ")
}

func engraved(name string) string {
	switch name {
	case " ":
		return "space"
	case "pgup":
		return "page up"
	case "pgdown":
		return "page down"
	case "ctrl+c", "ctrl+u", "ctrl+z":
		return "ctrl-" + name[len("ctrl+"):]
	case "shift+tab":
		return "shift-tab"
	case "f1":
		return "F1"
	default:
		return name
	}
}
