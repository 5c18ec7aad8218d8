// Package tanks is the screen of the fuel: the tanks as they hang, filled to what is reckoned to be in them, which one feeds, how far
// they are apart against the limit, when to change and what was changed.
//
// All tanks are drawn to one scale from one floor, so that the difference of two levels is the imbalance. Below them lies a
// beam with its middle at no imbalance and the limit at both sides: a block stands where the imbalance is now, an "o" where it will be
// at the next change, and what lies beyond the limit is shaded.
//
// A mark (">") stands on one tank: on the one to be changed to next until the pilot moves it.
//
// It computes nothing of the flight. Where the other half of a wide screen beside the changes is empty, the quantities over time
// have their place.
package tanks
