// Package worked reads the lines of a working as a student does, and says where one does not come out.
//
// It knows nothing of what a sum is about. A line is "label: 60 × 11.5 / 7.33 = 94.09 kt"; whatever stands between two "=" is
// reckoned and has to agree with the next, within what the rounding of every figure shown allows and no more. Degrees stand in sin,
// cos, tan, asin, acos and atan, "root" is the square root, 7:20 is minutes and seconds, 10:42:30Z a time of day; words and units are
// passed over, and what ends in ° counts round the circle.
//
// Tests check with it; the drill draws figures whose workings come out as they are printed.
package worked
