// Package cockpit is the seat of a practice flight: what window and instruments show in words, figures and plain bars, what the plan
// says of this leg, and the figure that is asked for.
//
// It shows what a pilot could read, not what the log reckons: no revised time, no heading by the wind found. Its keys steer.
package cockpit
