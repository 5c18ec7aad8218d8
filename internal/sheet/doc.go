// Package sheet turns a plan into a computed nav log: climb, cruise, descent, legs, fuel, radio and tank schedule.
//
// NewRoute is the geometry, which no wind changes. Route.Reckon is the one reckoner: it takes a route from any place on it,
// through any air, to overhead the destination. The sheet before the flight, the revised times in flight, a diversion and the
// true flight of a practice are all made by it. Compute puts the nav log together and says what does not hold; Sheet.Write
// prints it.
//
// The package knows nothing of what happens in flight, of files or of terminals, and has no clock.
//
// Units and signs: nautical miles, knots, feet above sea level, minutes, degrees, the aircraft's own fuel unit; variation and
// right-of-track offsets positive; winds true, where they blow from; times UTC. Distances on a leg count from its start, legs
// from 0. A level is an altitude by the QNH of the air that is reckoned through.
//
// Limits: the air changes with height, not with place or time. A climb and a descent hold their indicated airspeed. Turns take
// no time. An altitude by QNH is taken for the height above sea level.
package sheet
