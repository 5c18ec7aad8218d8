// Package tanks is the screen of the fuel: how long until the next change in the largest figure, the tanks lying flat below one another so
// that their ends compare, the imbalance now and at the change on a scale between the limits, what is on board and how long it
// lasts, the changes, and the quantities over time where there is room.
//
// All tanks are drawn to one scale. A mark (">") stands on one of them: on the one to be changed to next until the pilot moves it.
//
// It computes nothing of the flight.
package tanks
