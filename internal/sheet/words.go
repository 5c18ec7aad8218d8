package sheet

import "time"

// zulu is a time to the minute, "09:41Z".
func zulu(t time.Time) string { return t.UTC().Format("15:04Z") }
