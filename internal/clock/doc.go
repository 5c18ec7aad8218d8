// Package clock is the only clock: wall, offset, rate, pause; fixed in tests.
//
// Two times are kept apart. Wall time is the machine's. Flight time is what the flight is flown by: a simulator may run
// at another rate, on another day, or be paused. A [Setting] maps the one to the other and is pure, so that a journal that
// carries every change of setting can be replayed exactly: [Setting.After] gives the setting after a change, and a
// [Clock] that adopts what it returns reads the same as a replay does.
//
// The machine's clock may be set, and stands for nothing while the machine sleeps: a [Steady] is wall time that neither moves, and says what
// became of the machine's. The monotonic reading that Go adds to a time is taken off: it stands still in sleep on most systems, and can't be
// written to a file. Times are UTC, to the millisecond.
package clock
