// Package flying is the screen that a flight is flown by. Its six figures stand in the same cells at every size: above what to do, STEER now,
// NEXT and in how long; below the clocks of the leg, of the next point and of the tanks. A larger window only adds: what lies ahead as one list, the
// leg as a way, how fast, the arrival, tanks, receivers, what was cleared, alternates.
//
// It computes nothing of the flight. Its arithmetic is that of cells: what fits where.
package flying
