package words

import "time"

// Named is an ident with its name, once where they are the same: "KVN Kelvin".
func Named(ident, name string) string {
	if name == "" || name == ident {
		return ident
	}
	return ident + " " + name
}

// In is how long it is until a time, or how long it is past: "in 2:20", "3:15 ago".
func In(now, t time.Time) string {
	if t.Before(now) {
		return Between(t, now) + " ago"
	}
	return "in " + Between(now, t)
}
