// Package replay plays a journal: what was known at any flight time, forwards and back, and what it looks like with hindsight.
//
// It knows no clock, no files and no screen. [Play] goes through a journal once, entry by entry; [Tape] answers for any moment in any
// order, and keeps marks on the way so that going back is as quick as going on. Both are made of the same fold and Snapshot as a live flight, so that a replay shows what the pilot saw.
//
// Flight times are UTC. A Tape belongs to one goroutine.
package replay
