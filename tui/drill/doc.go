// Package drill is the full screen of the exercises: choose a topic and a level, answer, see the verdict and the worked answer, see how
// one stands; and the bearing-change check with a needle that moves.
//
// It marks nothing and keeps nothing itself: exercises, verdicts and the choice of what comes next are package internal/drill's, and an
// attempt goes to Options.Record before it is echoed. It reads no clock but those of its Options, and only in Update: Rows is a
// function of the model and the size.
package drill
