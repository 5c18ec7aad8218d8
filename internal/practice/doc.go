// Package practice is the hidden world of a practice flight: the air as it really is, where the aircraft really is, what the window
// and the instruments show of it, the hands that fly and log for a pilot who only looks, and the questions that a pilot who flies is
// asked.
//
// The world is a pure function of the sheet, a seed and the events recorded so far: the same three give the same flight, so that it
// can be resumed, repeated, shared and gone through afterwards. It draws one true wind around the forecast, with the plan's own wind
// error, gusts, a difference of airspeed and of fuel flow, and the errors of compass, gauges, needles and counters.
//
// With the hands off the legs are flown by the reckoner that made the sheet, through the true air, on their tracks: only time is
// uncertain. With the hands on nothing holds a track but the pilot's heading: the aircraft goes, second by second, where its heading,
// its true airspeed and the wind of that second take it, at the rates of its tables; the engine burns from the tank that is selected
// and stands when that is empty. What the pilot does acts at the flight time at which it was recorded, whatever time it was entered
// for, and taking an entry back takes the hand back: what was flown stays flown. A clock that is set back takes the flight back.
//
// [Flight] puts the two beside each other: the state that the log tells, and the world. It knows no clock, no files and no screen.
// What it tells in flight is what a person in the seat could see; the truth is for [Report], when it is over.
//
// Degrees, nautical miles, knots, feet, UTC, fuel in the aircraft's unit. Headings, radials and courses are magnetic, tracks and winds
// true; right is positive. The sizes of the errors are common practice, without a source.
//
// Limits: the ground is as high as the departure; there are no clouds, no traffic and no circuit: the flight ends over an aerodrome.
package practice
