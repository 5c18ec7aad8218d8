package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestLeadingZeros holds the reader to what a pilot means: YAML 1.1 would read 045 as an octal number, 37.
func TestLeadingZeros(t *testing.T) {
	for text, want := range map[string]float64{
		"045": 45, "010": 10, "0360": 360, "090": 90, "008": 8, "0": 0, "-0": 0, "000": 0,
		"114.30": 114.3, "-4.5678": -4.5678, "+2": 2, ".5": 0.5, "5.": 5, "007.50": 7.5,
	} {
		got, wrong := parseNumber(text)
		require.Nil(t, wrong, text)
		assert.Equal(t, want, got, text)
		assert.False(t, math.Signbit(got) && got == 0, text)
	}
}

func TestWhatIsNoNumber(t *testing.T) {
	for text, hint := range map[string]string{
		"0x10": "0 to 9", "0o17": "0 to 9", "0b11": "0 to 9", "1_000": "write 1000", "1_0.5": "write 10.5",
		"1e3": "in full", "1.5E-2": "in full", "2,5": "write the decimal point: 2.5", "3,500": "write 3500", "0,500": "write the decimal point: 0.500",
		"4000 ft": "write 4000 alone", "45min": "write 45 alone", "090°": "write 090 alone", "5%": "write 5 alone",
		"": "", "west": "", ".inf": "", ".nan": "", "NaN": "", "Inf": "", "--5": "", "1.2.3": "", "12:30": "", "٣": "",
		strings.Repeat("9", 400): "",
	} {
		number, wrong := parseNumber(text)
		require.NotNil(t, wrong, text)
		assert.True(t, math.IsNaN(number), text)
		assert.NotEmpty(t, wrong.text)
		assert.Contains(t, wrong.hint, hint, text)
		assert.Equal(t, hint == "", wrong.hint == "", text)
	}
}

func TestNumberRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(-1e12, 1e12).Draw(t, "number")
		zeros := strings.Repeat("0", rapid.IntRange(0, 5).Draw(t, "zeros"))
		text := formatNumber(math.Abs(want))
		if want < 0 {
			text = "-" + zeros + text
		} else {
			text = zeros + text
		}
		got, wrong := parseNumber(text)
		require.Nil(t, wrong, text)
		require.Equal(t, want+0, got, text)
	})
}

func TestParseClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seconds := rapid.IntRange(0, 24*60*60-1).Draw(t, "seconds")
		text := fmt.Sprintf("%02d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
		got, wrong := parseClock(text)
		require.Nil(t, wrong, text)
		require.Equal(t, time.Duration(seconds)*time.Second, got)
		got, wrong = parseClock(text[:5])
		require.Nil(t, wrong, text[:5])
		require.Equal(t, time.Duration(seconds/60)*time.Minute, got)
	})
	for text, hint := range map[string]string{
		"0910": `write "09:10"`, "24:00": "00:00 to 23:59:59", "09:60": "00:00 to 23:59:59", "09:10:60": "00:00 to 23:59:59",
		"9.10": `"09:10"`, "09:1": `"09:10"`, "noon": `"09:10"`, "": `"09:10"`, "-1:10": `"09:10"`,
	} {
		_, wrong := parseClock(text)
		require.NotNil(t, wrong, text)
		assert.Contains(t, wrong.hint, hint, text)
	}
	got, wrong := parseClock("9:10Z")
	assert.Nil(t, wrong)
	assert.Equal(t, 9*time.Hour+10*time.Minute, got)
}

func TestParseLevel(t *testing.T) {
	for text, want := range map[string]Level{
		"4000": {AltitudeFt: 4000}, "0500": {AltitudeFt: 500}, "FL065": {FlightLevel: 65}, "FL65": {FlightLevel: 65},
		"fl100": {FlightLevel: 100}, "FL 045": {FlightLevel: 45}, "0": {},
	} {
		got, wrong := parseLevel(text)
		require.Nil(t, wrong, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"FL6", "FL0065", "FL", "FL000", "A045", "4000 ft", "F065", "FL-65", ""} {
		got, wrong := parseLevel(text)
		require.NotNil(t, wrong, text)
		assert.NotEmpty(t, wrong.hint, text)
		assert.True(t, math.IsNaN(got.AltitudeFt), text)
	}
}

// Standard pressure makes a flight level an altitude; 1019 hPa puts it 158 ft higher, by the ISO 2533 standard atmosphere (27.3 ft
// a hectopascal near sea level).
func TestLevel(t *testing.T) {
	level, altitude := Level{FlightLevel: 65}, Level{AltitudeFt: 4000}
	assert.Equal(t, "FL065", level.String())
	assert.Equal(t, "4000 ft", altitude.String())
	assert.InDelta(t, 6500, level.AltitudeFtAt(1013.25), 1e-6)
	assert.InDelta(t, 6500+5.75*27.3, level.AltitudeFtAt(1019), 1)
	assert.Equal(t, 6500.0, level.PressureAltitudeFt(1019))
	assert.Equal(t, 4000.0, altitude.AltitudeFtAt(1019))
	assert.InDelta(t, 4000-5.75*27.3, altitude.PressureAltitudeFt(1019), 1)
	rapid.Check(t, func(t *rapid.T) {
		qnh := rapid.Float64Range(900, 1080).Draw(t, "qnh")
		hundreds := rapid.IntRange(1, 300).Draw(t, "flight level")
		level := Level{FlightLevel: hundreds}
		same := Level{AltitudeFt: level.AltitudeFtAt(qnh)}
		require.InDelta(t, level.PressureAltitudeFt(qnh), same.PressureAltitudeFt(qnh), 1e-6)
	})
}

// plainDistance is the edit distance by its definition: the least of all ways to make one word of the other.
func plainDistance(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	change := plainDistance(a[1:], b[1:])
	if a[0] != b[0] {
		change++
	}
	least := min(change, plainDistance(a[1:], b)+1, plainDistance(a, b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		least = min(least, plainDistance(a[2:], b[2:])+1)
	}
	return least
}

func TestEditDistanceIsTheLeastOfAllWays(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abé")), 0, 6, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		require.Equal(t, plainDistance([]rune(a), []rune(b)), editDistance(a, b))
	})
}

func TestNearest(t *testing.T) {
	keys := []string{"frequency", "from", "range", "radial", "at", "kind", "safe_altitude"}
	for word, want := range map[string]string{
		"freqency": "frequency", "Frequency": "frequency", "form": "from", "rnage": "range", "radail": "radial",
		"safealtitude": "safe_altitude", "safe-altitude": "safe_altitude", "ta": "at", "colour": "", "x": "", "": "",
	} {
		assert.Equal(t, want, nearest(word, keys), word)
	}
	assert.Equal(t, "DAM", nearest("DMA", []string{"DME", "DAM"}), "shuffled letters are nearer than changed ones")
}

// TestOneSlipIsUnderstood makes one slip in a known key: the key is found again, or another that is just as near.
func TestOneSlipIsUnderstood(t *testing.T) {
	var keys []string
	for _, fact := range knownKeys(t) {
		keys = append(keys, fact.path)
	}
	rapid.Check(t, func(t *rapid.T) {
		key := []rune(rapid.SampledFrom(keys).Draw(t, "key"))
		letter := rapid.RuneFrom([]rune("abcdefghijklmnopqrstuvwxyz_")).Draw(t, "letter")
		at := rapid.IntRange(0, len(key)-1).Draw(t, "at")
		slip := append([]rune(nil), key...)
		switch rapid.IntRange(0, 2).Draw(t, "slip") {
		case 0:
			slip[at] = letter
		case 1:
			slip = append(slip[:at], slip[at+1:]...)
		case 2:
			slip = append(slip[:at], append([]rune{letter}, key[at:]...)...)
		}
		found := nearest(string(slip), keys)
		if found != string(key) {
			require.LessOrEqual(t, editDistance(string(slip), found), 1, "%q for %q", found, string(slip))
		}
	})
}

// TestUnknownKeyNamesTheNearestOne puts a slip into each key of the good plan in turn.
func TestUnknownKeyNamesTheNearestOne(t *testing.T) {
	lines := planLines()
	for i, line := range lines {
		parts := keyOfLine.FindStringSubmatch(line)
		if parts == nil {
			continue
		}
		key := parts[2]
		slip := key[:len(key)-1] + "x"
		broken := append([]string(nil), lines...)
		broken[i] = parts[1] + slip + ":" + parts[3]
		problem := problemAt(t, broken, i+1)
		assert.Contains(t, problem.Text, `"`+slip+`"`)
		assert.Equal(t, `did you mean "`+key+`"?`, problem.Hint)
		assert.Equal(t, len(parts[1])+1, problem.Column)
	}
}

// Quantities on board may be given in a unit of their own: 30 imp gal are 136.4 l and 40 US gal 151.4 l (PPL training page, cases 13.07
// and 13.08), converted by the exact definitions.
func TestFuelOnBoardInAnotherUnit(t *testing.T) {
	aircraft := strings.NewReplacer("capacity: 57", "capacity: 200").Replace(goodAircraft)
	text := strings.Replace(goodPlan, "{left: 48, right: 51}", "{left: 30 impgal, right: 40 usgal}", 1)
	p, problems := Load("plan.yaml", fileMap{"plan.yaml": text, "aircraft.yaml": aircraft}.read)
	require.NotNil(t, p, "%v", problems)
	assert.InDelta(t, 30*4.54609, p.Fuel.OnBoard["left"], 1e-9)
	assert.InDelta(t, 136.4, p.Fuel.OnBoard["left"], 0.1)
	assert.InDelta(t, 40*3.785411784, p.Fuel.OnBoard["right"], 1e-9)
	assert.InDelta(t, 151.4, p.Fuel.OnBoard["right"], 0.1)

	text = strings.Replace(goodPlan, "{left: 48, right: 51}", "{left: 48 litre, right: 51}", 1)
	p, _ = Load("plan.yaml", fileMap{"plan.yaml": text, "aircraft.yaml": goodAircraft}.read)
	assert.Equal(t, map[string]float64{"left": 48, "right": 51}, p.Fuel.OnBoard)
}
