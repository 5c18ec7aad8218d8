// Package deadreckon is the navigator's sums: wind triangle, 1-in-60, time to station, equal time, no return.
//
// It knows nothing of places, charts, beacons, aircraft or plans: tracks and distances come in as numbers.
//
// Units and signs: distances in nautical miles, speeds in knots, times in minutes, heights in feet, angles in degrees. A
// wind correction is positive to the right of track, drift positive to the right of heading, an offset positive to the right
// of track, a turn positive to the right. Variation and compass deviation are positive east.
//
// Where a rule of thumb is taught, the result carries both: the figure of the rule, that a pilot can check in the head, and
// the exact one.
//
// Sources: plane vector geometry; the rules are those of the FAA's Pilot's Handbook of Aeronautical Knowledge and Instrument
// Flying Handbook and the European private pilot's syllabus. Each function names its own.
//
// Limits: the earth is flat over one sum; what spans more than about 120 nm is for the caller to cut into pieces.
package deadreckon
