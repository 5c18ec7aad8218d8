// Package plans holds the embedded demo plans and aircraft. Every place, beacon and registration in them is invented.
package plans
