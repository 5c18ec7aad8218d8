// Package trial measures how good the revised times of a flight are: its tests fly seeded flights through winds that wander around the
// forecast, log them as a pilot would, and set the times that internal/flight gives beside the sums done by hand and beside the best that
// the same entries allow. docs/estimator.md has the table and the command that makes it.
//
// The flights are flown step by step in an air and with an aircraft and a pilot of their own (air_test.go, pilot_test.go), none of it by the
// reckoner or the estimator that are on trial. The package has nothing but tests, and knows no files. Degrees, nautical miles, knots, feet;
// minutes from take-off unless the name says otherwise; right of track positive.
package trial
