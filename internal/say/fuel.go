package say

import (
	"slices"
	"strings"
)

// Fuel is a quantity of fuel, or a flow an hour, in the unit that was said with it.
type Fuel struct {
	Amount float64
	Unit   string // "l", "gal", "imp gal", "kg", "lb"; empty where none was said
}

var fuelUnits = map[string][]string{
	"l":       {"l", "litre", "litres", "liter", "liters"},
	"gal":     {"gal", "us gal", "usgal", "usg", "gallon", "gallons", "us gallons"},
	"imp gal": {"imp gal", "impgal", "imperial gallons"},
	"kg":      {"kg", "kilograms"},
	"lb":      {"lb", "lbs", "pounds"},
}

var flowUnits = map[string]string{"lph": "l", "gph": "gal", "pph": "lb"}

const mostFuel = 9999

// ParseFuel reads a quantity of fuel: "30", "30 gal", "110 litres", "180 lb".
func ParseFuel(text string) (Fuel, error) {
	return parseFuel(text, plain(text), "write 30, 30 gal, 110 l or 180 lb")
}

// ParseFlow reads a flow of fuel an hour: "8", "8 gal/h", "30 lph".
func ParseFlow(text string) (Fuel, error) {
	const right = "write 8, 8 gal/h, 30 l/h or 48 lb/h"
	stated := plain(text)
	if value, unit, ok := split(stated); ok && flowUnits[unit] != "" {
		return parseFuel(text, SayNumber(value, 6)+" "+flowUnits[unit], right)
	}
	for _, hour := range []string{"/h", "/hr", "/hour", " an hour", " per hour"} {
		if amount, ok := strings.CutSuffix(stated, hour); ok {
			return parseFuel(text, amount, right)
		}
	}
	return parseFuel(text, stated, right)
}

func parseFuel(text, stated, right string) (Fuel, error) {
	value, said, ok := split(stated)
	switch {
	case !ok:
		return Fuel{}, misread(text, right, "is no amount of fuel")
	case value < 0 || value > mostFuel:
		return Fuel{}, misread(text, right, "lies outside 0 to %d", mostFuel)
	case said == "":
		return Fuel{Amount: value}, nil
	}
	for unit, words := range fuelUnits {
		if slices.Contains(words, said) {
			return Fuel{Amount: value, Unit: unit}, nil
		}
	}
	return Fuel{}, misread(text, right, "has %q for a unit", said)
}

// Say writes an amount in the unit.
func (f Fuel) Say(decimals int) string { return SayNumber(f.Amount, decimals) + unitAfter(f.Unit) }

// SayFlow writes a flow in the unit.
func (f Fuel) SayFlow(decimals int) string { return f.Say(decimals) + "/h" }
