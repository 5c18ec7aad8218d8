// Package practice is the hidden world of a practice flight: the wind as it really blows, where the aircraft really is, what the
// window and the panel show of it, and the hands that log for a pilot who only looks.
//
// The world is a pure function of the sheet, a seed and the entries made so far: the same three give the same flight, so that it
// can be resumed, repeated and shared. It draws one true wind around the forecast, with the plan's own wind error, and one
// difference of airspeed; then it flies the legs through them with the reckoner that made the sheet. The aircraft holds its
// track; only time is uncertain here.
//
// It knows no clock, no files and no screen. What it tells is what a person in the seat could see; the true wind stays inside.
package practice
