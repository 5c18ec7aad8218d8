// Package arrival is what the flight was once it has arrived: block and airborne time, landings, fuel used, what mattered most, and where it can be
// looked at again.
//
// It also puts places to arrive at in words, a row each, for the screens of the route and of diversions: how far, which way, when, with what
// fuel and in what light, and whether that is well.
//
// It computes nothing of the flight: figures are the Snapshot's.
package arrival
