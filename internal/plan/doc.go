// Package plan reads and checks the plan and aircraft files: it says what is wrong, on which line, and what would be right.
//
// A plan file is YAML, and so is an aircraft file; shared lists of points are YAML or CSV. Load reads them, fills in the
// defaults and collects every problem in one run. It checks all that needs no wind: values and their ranges, names that must be
// known, levels against the aircraft's tables and the ground, the semicircular rule. What follows from the reckoning (range and
// line of sight where a beacon is used, an unflyable wind, fuel, tanks, daylight) is the sheet's to find; Locate tells it where
// in the files to point.
//
// Numbers, times and positions are read from the text as it was typed: 045 is 45, not an octal number.
//
// Degrees, nautical miles, knots, feet above sea level, minutes; declination east positive; winds are true and say where they
// blow from; times are UTC. Fuel is in the aircraft's own unit.
//
// The package knows nothing of file systems: whoever calls Load hands in how to read a file.
package plan
