// Package sums is the navigator's sums one at a time: what was given, the rule, the working, the answer, as text and as JSON.
//
// It knows nothing of plans, flights, commands or files, and has no formulas of its own: every figure comes from earth, air,
// deadreckon, radio or fuel. What it adds is how a sum is shown to a person who wants to follow it, and the same figures for
// programs.
//
// Each sum is a type of what is given with a method Sum. An error says that the figures do not belong together, or lie outside what a
// table covers: what is wrong and what would be right, a say.Misread. A sum that has no solution is a Sum with a Problem: its
// missing answers are null in JSON and absent from the text.
//
// Units and signs are those of the packages it asks: nautical miles, knots, feet, minutes, degrees, UTC; right and east positive.
// JSON names end in their unit and numbers are not rounded. In the working, a line with "=" can be reckoned through as it stands:
// degrees inside sin, cos, tan, asin, acos and atan, and "root" for the square root.
package sums
