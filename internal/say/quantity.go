package say

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/pattern"
)

// Quantity is a kind of figure: its unit, other ways to write that, and the range in which it can lie.
type Quantity struct {
	Unit    string
	Also    []string // other ways to write the unit, in lower case
	Low     float64
	High    float64
	Example string
}

// The quantities of a flight.
var (
	Speed    = Quantity{"kt", []string{"kts", "knot", "knots"}, 0, 999, "write 98 or 98 kt"}
	Distance = Quantity{"nm", []string{"mile", "miles", "nautical miles"}, 0, 10800, "write 36.5 or 36.5 nm"}
	Height   = Quantity{"ft", []string{"feet", "foot"}, 0, 60000, "write 4500 or 4500 ft"}
	Rate     = Quantity{"ft/min", []string{"fpm", "ft/minute", "feet a minute", "ft"}, 0, 6000, "write 500 or 500 ft/min"}
	Angle    = Quantity{"°", []string{"deg", "degree", "degrees"}, 0, 180, "write 10 or 10 degrees"}
	Percent  = Quantity{"%", []string{"percent", "per cent"}, 0, 100, "write 5 or 5 %"}
)

var (
	numberComma = pattern.Of(`^[+-]?\d+(,\d+)+(\.\d*)?( ?[^\d].*)?$`)
	thousands   = pattern.Of(`^[+-]?[1-9]\d{0,2}(,\d{3})+(\D|$)`)
)

// split parts a number from what follows it; ok is false where no number stands first.
func split(text string) (value float64, rest string, ok bool) {
	sign, unsigned := "", text
	if strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") {
		sign, unsigned = text[:1], text[1:]
	}
	number, rest := cutNumber(strings.TrimPrefix(unsigned, " "))
	if number == "" || strings.Contains(rest, "\n") {
		return 0, "", false
	}
	value, err := strconv.ParseFloat(sign+number, 64)
	return value + 0, strings.TrimPrefix(rest, " "), err == nil // + 0: never minus nought
}

// cutNumber parts digits with at most one point before, among or behind them from what follows; number is empty where none stand first.
func cutNumber(text string) (number, rest string) {
	digits := func(from int) (end int) {
		for end = from; end < len(text) && text[end] >= '0' && text[end] <= '9'; end++ {
		}
		return end
	}
	end := digits(0)
	if end < len(text) && text[end] == '.' {
		if decimals := digits(end + 1); end > 0 || decimals > 1 {
			end = decimals
		}
	}
	return text[:end], text[end:]
}

// foreignUnits are units of lengths, speeds and times that some figure may stand in, but not every one.
var foreignUnits = []string{"km", "m", "metres", "meters", "mi", "sm", "mph", "kmh", "kph", "min", "mins", "minutes", "sec", "seconds", "hpa"}

// IsUnit reports whether a word by itself is a unit, so that it belongs to the figure before it.
func IsUnit(word string) bool {
	word = plain(word)
	for _, q := range []Quantity{Speed, Distance, Height, Rate, Angle} {
		if word == q.Unit || slices.Contains(q.Also, word) {
			return true
		}
	}
	return slices.Contains(foreignUnits, word)
}

// HasComma reports whether a text is a number with commas in it, alone or before a unit.
func HasComma(text string) bool { return numberComma().MatchString(text) }

// WithoutComma says how to write such a number: "write 8500" of "8,500", where the comma parts thousands, "write the decimal point: 29.92" of
// "29,92".
func WithoutComma(text string) string {
	if thousands().MatchString(text) {
		return "write " + strings.ReplaceAll(text, ",", "")
	}
	return "write the decimal point: " + strings.Replace(text, ",", ".", 1)
}

// Parse reads a figure with or without its unit.
func (q Quantity) Parse(text string) (float64, error) {
	value, unit, ok := split(plain(text))
	switch {
	case HasComma(plain(text)):
		return 0, misread(text, WithoutComma(plain(text)), "has a comma in it")
	case !ok:
		return 0, misread(text, q.Example, "is not a figure in %s", q.Unit)
	case unit != "" && unit != q.Unit && !slices.Contains(q.Also, unit):
		return 0, misread(text, q.Example, "is needed in %s, not in %q", q.Unit, unit)
	}
	return value, q.within(text, value)
}

func (q Quantity) within(text string, value float64) error {
	if value < q.Low || value > q.High {
		return misread(text, q.Example, "lies outside %s to %s", SayNumber(q.Low, 2)+unitAfter(q.Unit), SayNumber(q.High, 2)+unitAfter(q.Unit))
	}
	return nil
}

// ParseModelHeight reads a height that the magnetic model covers, in feet: "4500", "4500 ft", "850 km", from -1 to 850 km.
func ParseModelHeight(text string) (heightFt float64, err error) {
	const right, feetPerKM = "write 4500 ft or 850 km, from -1 to 850 km", 1000 / air.MetresPerFoot
	value, unit, ok := split(plain(text))
	if ok && (unit == "km" || unit == "kilometres") {
		value *= feetPerKM
	} else {
		heights := Quantity{Height.Unit, Height.Also, math.Inf(-1), math.Inf(1), right}
		if value, err = heights.Parse(text); err != nil {
			return 0, err
		}
	}
	if value < -1*feetPerKM || value > 850*feetPerKM {
		return 0, misread(text, right, "lies outside -1 to 850 km")
	}
	return value, nil
}

// Say writes a figure with its unit and at most so many decimals.
func (q Quantity) Say(value float64, decimals int) string {
	return q.Behind(SayNumber(value, decimals))
}

// Behind puts the unit behind a figure that is written already.
func (q Quantity) Behind(figure string) string { return figure + unitAfter(q.Unit) }

func unitAfter(unit string) string {
	if unit == "" || unit == "°" {
		return unit
	}
	return " " + unit
}

// AllDecimals asks SayNumber for as many decimals as a number has.
const AllDecimals = -1

// ParseNumber reads a decimal number without a unit: a sign, digits, a point. No exponent, no hexadecimal, no infinity.
func ParseNumber(text string) (float64, error) {
	if value, rest, ok := split(text); ok && rest == "" {
		return value, nil
	}
	if HasComma(text) {
		return 0, fmt.Errorf("%q has a comma in it: %s", text, WithoutComma(text))
	}
	return 0, fmt.Errorf("%q is not a number", text)
}

// SayNumber writes a number with at most so many decimals, none that are nought at the end, and no minus nought.
func SayNumber(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// ParseQNH reads an altimeter setting in hectopascals or in inches of mercury, which are told apart by their size: "1019", "29.92". It
// says which of them was meant.
func ParseQNH(text string) (hPa float64, inches bool, err error) {
	const right = "write 1019, 1019 hPa or 29.92 in"
	value, unit, ok := split(plain(text))
	if !ok {
		return 0, false, misread(text, right, "is not an altimeter setting")
	}
	inches = slices.Contains([]string{"in", "inhg", "in hg", "inches"}, unit)
	switch {
	case unit != "" && !inches && !slices.Contains([]string{"hpa", "mb", "millibars"}, unit):
		return 0, false, misread(text, right, "has a unit that altimeters do not have")
	case value >= air.LowestQNHInHg && value <= air.HighestQNHInHg && (inches || unit == ""):
		return air.QNHFromInHg(value), true, nil
	case value >= air.LowestQNH && value <= air.HighestQNH && !inches:
		return value, false, nil
	}
	outside := fmt.Sprintf("lies outside %d to %d hPa and %g to %g in", air.LowestQNH, air.HighestQNH, air.LowestQNHInHg, air.HighestQNHInHg)
	if value >= 100*air.LowestQNHInHg && value <= 100*air.HighestQNHInHg {
		return 0, false, misread(text, "write the point of the inches: "+strconv.FormatFloat(value/100, 'f', 2, 64), "%s", outside)
	}
	return 0, false, misread(text, right, "%s", outside)
}

// QNH is an altimeter setting in whole hectopascals; for a pilot whose altimeter has inches of mercury in these too: "1016",
// "1015 / 29.97 inHg".
func QNH(hPa float64, inches bool) string {
	if inches {
		return Whole(hPa) + " / " + inchesOf(hPa)
	}
	return Whole(hPa)
}

// QNHInBoth is an altimeter setting where nobody has said which altimeter it is for: "1019 hPa, 30.09 inHg".
func QNHInBoth(hPa float64) string { return SayNumber(hPa, 2) + " hPa, " + inchesOf(hPa) }

func inchesOf(hPa float64) string {
	return strconv.FormatFloat(air.InHgFromHPa(hPa), 'f', 2, 64) + " inHg"
}

// Misread says why a text is not what was asked for.
type Misread struct {
	Text  string // as it was written
	Wrong string // what is wrong with it, to stand behind the text
	Right string // what would be right, to stand by itself
}

// Error writes the three parts in one line.
func (m *Misread) Error() string {
	if m.Right == "" {
		return m.Fault()
	}
	return m.Fault() + "; " + m.Right
}

// Fault is the error without what would be right.
func (m *Misread) Fault() string {
	if m.Text == "" {
		return m.Wrong
	}
	return fmt.Sprintf("%q %s", m.Text, m.Wrong)
}

func misread(text, right, wrong string, values ...any) *Misread {
	return &Misread{Text: strings.TrimSpace(text), Wrong: fmt.Sprintf(wrong, values...), Right: right}
}

// plain makes a text lower case with single blanks and the minus sign of keyboards.
func plain(text string) string {
	text = strings.NewReplacer("−", "-", "º", "°", "˚", "°").Replace(strings.ToLower(text))
	return strings.Join(strings.Fields(text), " ")
}

// Fuel is a quantity of fuel, or a flow an hour, in the unit that was said with it.
type Fuel struct {
	Amount float64
	Unit   string // "l", "gal", "imp gal", "kg", "lb"; empty where none was said
}

// fuelUnit is the unit that a word stands for, empty where it is none.
func fuelUnit(word string) string {
	switch word {
	case "l", "litre", "litres", "liter", "liters":
		return "l"
	case "gal", "us gal", "usgal", "usg", "gallon", "gallons", "us gallons":
		return "gal"
	case "imp gal", "impgal", "imperial gallons":
		return "imp gal"
	case "kg", "kilograms":
		return "kg"
	case "lb", "lbs", "pounds":
		return "lb"
	}
	return ""
}

// flowUnit is the unit an hour of which a word stands for, empty where it stands for none.
func flowUnit(word string) string {
	switch word {
	case "lph":
		return "l"
	case "gph":
		return "gal"
	case "pph":
		return "lb"
	}
	return ""
}

const mostFuel = 9999

// ParseFuel reads a quantity of fuel: "30", "30 gal", "110 litres", "180 lb".
func ParseFuel(text string) (Fuel, error) {
	return parseFuel(text, plain(text), "write 30, 30 gal, 110 l or 180 lb")
}

// ParseFlow reads a flow of fuel an hour: "8", "8 gal/h", "30 lph".
func ParseFlow(text string) (Fuel, error) {
	const right = "write 8, 8 gal/h, 30 l/h or 48 lb/h"
	stated := plain(text)
	if value, said, ok := split(stated); ok && flowUnit(said) != "" {
		return parseFuel(text, SayNumber(value, 6)+" "+flowUnit(said), right)
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
		return Fuel{}, misread(text, right, "is not an amount of fuel")
	case value < 0 || value > mostFuel:
		return Fuel{}, misread(text, right, "lies outside 0 to %d", mostFuel)
	case said == "":
		return Fuel{Amount: value}, nil
	}
	if unit := fuelUnit(said); unit != "" {
		return Fuel{Amount: value, Unit: unit}, nil
	}
	return Fuel{}, misread(text, right, "has %q for a unit", said)
}

// Say writes an amount in the unit.
func (f Fuel) Say(decimals int) string { return SayNumber(f.Amount, decimals) + unitAfter(f.Unit) }

// SayFlow writes a flow in the unit.
func (f Fuel) SayFlow(decimals int) string { return f.Say(decimals) + "/h" }
