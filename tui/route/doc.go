// Package route is the screen of the whole flight: every point with its track, heading and times, what has been passed and what is
// to come, and below it the places to land at.
//
// The rows run down in the order of flight along a line that is solid for the leg being flown; a rule marked NOW parts what
// was from what will be. A mark (">") stands on one row: on the next point until the pilot moves it, and again when they move it
// back there. Where the rows are more than fit, those around the mark are in view.
//
// It computes nothing of the flight; the sums at the foot are of the columns above them.
package route
