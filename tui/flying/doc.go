// Package flying is the screen that a flight is flown by: the one thing to do next, a ribbon of the coming minutes, what to steer, the
// clocks, and the leg.
//
// Time is its axis. The ribbon begins now, at the left edge, and runs a quarter of a minute to the cell; everything that will be
// due stands at its time in the sign of its kind (words.Mark), what is due already is piled at the left edge. Where signs
// crowd, labels are shortened, the most distant first, and at last only a letter is left on the axis.
//
// It computes nothing of the flight. Its arithmetic is that of cells: which column a time stands in, and what fits.
package flying
