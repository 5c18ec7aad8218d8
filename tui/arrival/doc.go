// Package arrival puts places to go to in words, a row each: how far, which way, when, with what fuel and in what light, and whether that
// is well. The screens of the route and of diversions show them.
//
// It computes nothing: figures are the Snapshot's.
package arrival
