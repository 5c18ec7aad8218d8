package sums_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

// eachSum tries a property on many sums of every kind. What was refused is passed over, if the refusal says what would be right.
func eachSum(t *testing.T, property func(*rapid.T, sums.Sum)) {
	for _, name := range slices.Sorted(maps.Keys(draws)) {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				sum, err := draws[name](t).Sum()
				if err != nil {
					var misread *say.Misread
					require.True(t, errors.As(err, &misread), "%v", err)
					require.NotEmpty(t, misread.Right, "%v", err)
					t.Skip("refused")
				}
				require.Equal(t, name, sum.Name)
				property(t, sum)
			})
		})
	}
}

// Every line of a working can be reckoned through from the figures as they stand in it, to the last place of what it comes to.
func TestWorkingHolds(t *testing.T) {
	eachSum(t, func(t *rapid.T, sum sums.Sum) {
		for _, line := range sum.Working {
			if strings.Contains(line, " = ") {
				require.NoError(t, worked.Recompute(line))
			}
			require.NotContains(t, line, "NaN")
			require.NotContains(t, line, "Inf")
		}
	})
}

// What text and JSON say of given and answer is the same, within the places of the text; what is null has no text.
func TestTextAndJSONAgree(t *testing.T) {
	eachSum(t, func(t *rapid.T, sum sums.Sum) {
		text, object := sum.Text(), decoded(t, sum)
		given, answer := object["given"].(map[string]any), object["answer"].(map[string]any)
		agree(t, sum.Given, given, nil, lines(text, "given"))
		agree(t, sum.Answers, answer, given, lines(text, "answer"))
		require.Equal(t, sum.Problem == "", object["problem"] == nil)
		require.Equal(t, sum.Problem != "", strings.Contains(text, "\nproblem  "))
	})
}

func decoded(t *rapid.T, sum sums.Sum) map[string]any {
	var b bytes.Buffer
	require.NoError(t, json.NewEncoder(&b).Encode(sum))
	var object map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &object), b.String())
	return object
}

// lines are those of a section of the text, label and figure.
func lines(text, section string) [][2]string {
	var found [][2]string
	inside := false
	for _, line := range strings.Split(text, "\n") {
		if len(line) < 9 {
			continue
		}
		if heading := strings.TrimSpace(line[:9]); heading != "" {
			inside = heading == section
		}
		if inside {
			label, figure, _ := strings.Cut(strings.TrimLeft(line[9:], " "), "  ")
			found = append(found, [2]string{label, strings.TrimSpace(figure)})
		}
	}
	return found
}

// agree walks through figures and the lines of the text together.
func agree(t *rapid.T, figures []sums.Figure, values, given map[string]any, lines [][2]string) {
	names := 0
	for _, f := range figures {
		names += len(f.Values)
		shown := len(lines) > 0 && lines[0][0] == strings.TrimSpace(f.Label) && f.Text != "" && lines[0][1] == f.Text
		for _, v := range f.Values {
			value, there := values[v.Name]
			require.True(t, there, v.Name)
			switch {
			case v.Name == "fuel_unit":
			case value == nil && shown:
				require.True(t, len(f.Values) > 1 || strings.HasPrefix(f.Text, "none"), "%s is null but shown as %q", v.Name, f.Text)
			case value == nil:
			case shown:
				requireSame(t, v.Name, f.Text, value)
			case strings.Contains(v.Name, "exact"):
				rule := values[strings.Replace(v.Name, "_exact", "", 1)].(float64)
				require.Less(t, math.Abs(math.Remainder(rule-value.(float64), 360)), 1.0, "%s is a degree or more from the rule and not shown", v.Name)
			default:
				require.Equal(t, given[v.Name], value, "%s is not shown", v.Name)
			}
		}
		if shown {
			lines = lines[1:]
		}
	}
	require.Empty(t, lines, "lines without a value")
	require.Len(t, values, names, "a name is there twice")
}

var leading = regexp.MustCompile(`^-?[0-9.]+`)

// requireSame reads a figure of the text back, by the form that its name says.
func requireSame(t *rapid.T, name, text string, value any) {
	var read, within float64
	var err error
	switch value := value.(type) {
	case bool:
		require.Equal(t, map[bool]string{true: "yes", false: "no"}[value], text)
		return
	case []any:
		place, err := earth.ParsePosition(text)
		require.NoError(t, err)
		require.InDelta(t, value[0], place.Lat, 0.0051/60)
		require.InDelta(t, 0, math.Remainder(value[1].(float64)-place.Lon, 360), 0.0051/60)
		return
	case string:
		if text == value {
			return
		}
		shown, err := time.Parse("2006-01-02 15:04:05Z", text)
		require.NoError(t, err)
		at, err := time.Parse(time.RFC3339, value)
		require.NoError(t, err)
		require.Equal(t, at.Truncate(time.Second), shown)
		return
	}
	switch {
	case strings.HasSuffix(name, "wind_kt") && strings.Contains(text, "/"):
		_, after, _ := strings.Cut(text, "/")
		read, err = strconv.ParseFloat(leading.FindString(after), 64)
		within = 0.5
	case strings.HasSuffix(name, "_true"), strings.HasSuffix(name, "_magnetic"), strings.HasSuffix(name, "_compass"), strings.HasPrefix(name, "relative"), name == "wind_from":
		var degrees float64
		degrees, err = strconv.ParseFloat(leading.FindString(text), 64)
		require.True(t, degrees > 0 && degrees <= 360, text)
		read, within = value.(float64)+math.Remainder(degrees-value.(float64), 360), 0.5
		if strings.Contains(text, ".") {
			within = 0.005
		}
	case strings.HasSuffix(name, "minutes") || name == "minutes_rule":
		read, within, err = readSpan(text)
	case strings.HasPrefix(name, "variation"), name == "variation", name == "deviation":
		read, err = say.ParseEast(text)
		within = 0.005
	case name == "off_track_nm":
		read, err = say.Distance.ParseSide(text)
		within = 0.005
	case slices.Contains(sided, name):
		read, err = say.Angle.ParseSide(text)
		within = 0.05
	case strings.HasPrefix(text, "FL"):
		read, err = strconv.ParseFloat(text[2:], 64)
	case strings.HasPrefix(text, "ISA"):
		read, err = strconv.ParseFloat("0"+text[3:], 64)
		if len(text) > 3 {
			read, err = strconv.ParseFloat(text[3:], 64)
		}
	default:
		read, err = strconv.ParseFloat(leading.FindString(text), 64)
		within = places(name)
	}
	require.NoError(t, err, "%s: %q", name, text)
	require.InDelta(t, value, read, within+1e-9, "%s: %q", name, text)
}

// sided are the angles that have a side.
var sided = []string{
	"wind_correction_deg", "drift_deg", "track_error_deg", "track_error_exact_deg", "closing_angle_deg", "closing_angle_exact_deg", "turn_deg", "turn_exact_deg",
	"first_turn_deg", "first_turn_exact_deg", "then_turn_deg", "then_turn_exact_deg",
}

// places is half a unit of the last place that a figure is shown to.
func places(name string) float64 {
	for _, known := range []struct {
		suffix string
		half   float64
	}{{"_per_nm", 0.5}, {"_per_min", 0.5}, {"_kt", 0.5}, {"_nm", 0.05}, {"_ft", 0.5}, {"_deg", 0.05}, {"patterns", 0.05}} {
		if strings.HasSuffix(name, known.suffix) {
			return known.half
		}
	}
	return 0.005
}

// readSpan reads m:ss, and h h mm of any length, to ten hours with m:ss behind it where the minutes
// are not full ones.
func readSpan(text string) (minutes, within float64, err error) {
	text, negative := strings.CutPrefix(text, "-")
	sign := 1.0
	if negative {
		sign = -1
	}
	if _, exactly, ok := strings.Cut(strings.TrimSuffix(text, ")"), " ("); ok {
		minutes, err = say.ParseSpan(exactly)
		return sign * minutes, 0.5 / 60, err
	}
	if hours, rest, ok := strings.Cut(text, " h "); ok {
		whole, err := strconv.Atoi(hours)
		if err != nil {
			return 0, 0, err
		}
		past, err := strconv.Atoi(rest)
		if whole >= 10 {
			return sign * (float64(60*whole+past) + 0.5), 0.51, err
		}
		return sign * float64(60*whole+past), 0.5 / 60, err
	}
	minutes, err = say.ParseSpan(text)
	return sign * minutes, 0.5 / 60, err
}
