// Package debrief is what a finished log teaches: figures, text, HTML with plots.
//
// [Of] goes through a flight's journal once by what was known at each moment and, where entries were corrected, once more by what stands
// in the end. Leg by leg it sets the plan beside what was flown; passing by passing it tells how good the ETAs were that the pilot had at
// the passing before: the plan's, the hand sum's and the revised one, against its own ±; it checks the log itself: what was logged and
// how late, which prompts were answered, which beacons were identified before they were used; it follows the tanks and the fuel. Lessons
// are sentences drawn from these figures by rules that stand in one list (lessons.go) and in docs/debrief.md. [Several] does the same
// for many logs, a few at a time, and keeps one row of each.
//
// It knows no files, no clock and no terminal: a [Log] and writers are handed in. It takes its figures from looks at internal/flight's State, which
// are parts of its Snapshots, and reckons none of the flight's own anew.
//
// Degrees, nautical miles, knots, feet, minutes unless a name says seconds; UTC; fuel in the aircraft's unit. An error of an ETA is the
// passing less the ETA: positive when the point was passed later than expected. Distances right of track are positive. What is not known
// is nil, null or empty, never 0.
package debrief
