package drill

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAnswersAreReadAsPilotsSayThem(t *testing.T) {
	side := Form{Kind: Choice, Choices: []string{"LEFT", "RIGHT"}}
	morning := timeForm(10*60 + 58)
	for _, c := range []struct {
		form  Form
		texts []string
		value float64
	}{
		{Form{Kind: Span}, []string{"7:20", "7m20s", "7 min 20", "7 min 20 s", "0:07:20", "440 s"}, 7 + 20.0/60},
		{Form{Kind: Span}, []string{"7.3 min", "7.3", " 7.3 MIN "}, 7.3},
		{Form{Kind: Span}, []string{"65", "65 min", "1 h 05", "1h05", "1:05:00"}, 65},
		{Form{Kind: Hours}, []string{"1:05", "1 h 05", "65 min", "1h5m", "1:05 h"}, 65},
		{Form{Kind: Hours}, []string{"4.75 h", "4 h 45", "285 min"}, 285},
		{morning, []string{"10:42", "10:42Z", "1042", "1042z", "42", "10:42:00", "10:42 UTC"}, 10*60 + 42},
		{morning, []string{"2", "02", "11:02"}, 11*60 + 2},
		{timeForm(0.5), []string{"58", "23:58"}, 23*60 + 58},
		{directionForm("magnetic"), []string{"094", "94", "94°", "094 M", "94 degrees magnetic"}, 94},
		{directionForm("true"), []string{"360", "0", "000", "360 T"}, 0},
		{Form{Kind: Turn}, []string{"9 right", "R 9", "9R", "right 9", "9° right", "9 degrees right"}, 9},
		{Form{Kind: Turn}, []string{"4.5 left", "L4.5", "4.5 L"}, -4.5},
		{numberForm("kt", 0), []string{"94", "94 kt", "94 knots", "94.0KT"}, 94},
		{numberForm("nm", 1), []string{"12.5", "12.5 nm", "12.5 miles"}, 12.5},
		{numberForm(litres, 1), []string{"14.4", "14.4 L", "14.4 litres"}, 14.4},
		{numberForm(gallons+anHour, 1), []string{"8.5", "8.5 US gal/h", "8.5 gph"}, 8.5},
		{numberForm("ft/min", 0), []string{"500", "500 ft/min", "500 fpm"}, 500},
		{Form{Kind: Turn}, []string{"-9", "−9", "- 9", "9,0 left"}, -9},
		{Form{Kind: Turn}, []string{"+9", "9,0 R"}, 9},
		{Form{Kind: Span}, []string{"7,3 min", "7,3"}, 7.3},
		{Form{Kind: Hours}, []string{"1,1 h", "1.1 h"}, 66},
		{numberForm("nm", 1), []string{"12,5", "12,5 nm"}, 12.5},
		{timeForm(9*60 + 30), []string{"9h20", "09h20", "9 h 20", "9H20Z"}, 9*60 + 20},
		{side, []string{"LEFT", "left", "l", " Le "}, 0},
		{side, []string{"RIGHT", "r"}, 1},
		{Form{Kind: Choice, Choices: []string{"left", "left wing", "aux"}}, []string{"left"}, 0},
	} {
		for _, text := range c.texts {
			reply, err := c.form.Parse(text)
			require.NoError(t, err, "%s: %q", c.form.Kind, text)
			assert.InDelta(t, c.value, reply.Value, 1e-9, "%s: %q", c.form.Kind, text)
		}
	}
	wind, err := Form{Kind: WindForm}.Parse("24015KT")
	require.NoError(t, err)
	assert.Equal(t, Reply{240, 15}, wind)
	for _, text := range []string{"220-10", "220 - 10", "220/10"} {
		wind, err = Form{Kind: WindForm}.Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, Reply{220, 10}, wind, text)
	}
}

func TestWhatIsNoAnswerIsRefusedInWords(t *testing.T) {
	for _, c := range []struct {
		form       Form
		text, says string
	}{
		{Form{Kind: Span}, "7:75", `"7:75" is not a time: two digits follow a colon, 00 to 59; write 7:20, 7.3 min, 7m20s or 75 s`},
		{Form{Kind: Hours}, "3", `"3" could be hours or minutes; write 4:20, 4.33 h, 4 h 20 or 260 min`},
		{timeForm(600), "10:67", `"10:67" is not a time of day: hours go to 23, minutes and seconds to 59; write 10:42, 1042 or 42`},
		{timeForm(600), "67", `"67" is not a time: minutes go to 59; write 10:42, 1042 or 42`},
		{timeForm(600), "24:10", `"24:10" is not a time of day: hours go to 23, minutes and seconds to 59; write 10:42, 1042 or 42`},
		{timeForm(600), "soon", `"soon" is not a time of day; write 10:42, 1042 or 42`},
		{directionForm("magnetic"), "405", `"405" lies outside 0 to 360; write a direction from 001 to 360, with M or T for its north: 045M`},
		{directionForm("magnetic"), "094 T", `"094 T" is needed magnetic, not true; write 094, magnetic`},
		{directionForm("compass"), "094M", `"094M" is needed compass, not magnetic; write 094, compass`},
		{numberForm("nm", 1), "12 km", `"12 km" is needed in nm, not in "km"; write 12.5 nm`},
		{Form{Kind: Choice, Choices: []string{"TO", "FROM"}}, "away", `"away" is none of the choices; write TO or FROM`},
	} {
		_, err := c.form.Parse(c.text)
		assert.EqualError(t, err, c.says)
	}
}

// What is said is read back, to the place it is rounded to.
func TestSayAndParse(t *testing.T) {
	place := map[Kind]float64{Span: 1.0 / 120, Hours: 0.5, TimeOfDay: 1.0 / 120, Direction: 0.5, Turn: 0.5, Number: 0.05, WindForm: 3}
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(0, 359).Draw(t, "value")
		for _, form := range []Form{
			{Kind: Span}, {Kind: Hours}, timeForm(value), directionForm("true"), numberForm("nm", 1), {Kind: WindForm},
		} {
			want := Reply{Value: value}
			if form.Kind == WindForm {
				want.SpeedKt = rapid.Float64Range(1, 80).Draw(t, "speed")
			}
			got, err := form.Parse(form.Say(want))
			require.NoError(t, err)
			require.LessOrEqual(t, form.Apart(want, got), place[form.Kind]+1e-9, "%v", form.Say(want))
		}
		turn := Reply{Value: value/2 - 90}
		got, err := Form{Kind: Turn}.Parse(Form{Kind: Turn}.Say(turn))
		require.NoError(t, err)
		require.LessOrEqual(t, math.Abs(got.Value-turn.Value), 0.5+1e-9)
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"7:20", "7.3 min", "7m20s", "1 h 05", "10:42Z", "1042", "42", "094", "94 T", "9 right", "L 4", "94 kt", "240/15", "TO", "left", "", "-", ":", "1:", "9e9", "½",
	} {
		f.Add(text)
	}
	all := []Form{
		{Kind: Span},
		{Kind: Hours},
		timeForm(600), directionForm("true"),
		{Kind: Turn},
		numberForm("kt", 0), numberForm(litres, 1),
		{Kind: WindForm},
		{Kind: Choice, Choices: []string{"TO", "FROM"}},
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, form := range all {
			reply, err := form.Parse(text)
			if err != nil {
				require.NotEmpty(t, err.Error())
				continue
			}
			require.False(t, math.IsNaN(reply.Value) || math.IsInf(reply.Value, 0), "%s: %q", form.Kind, text)
			again, err := form.Parse(form.Say(reply))
			require.NoError(t, err, "%s: %q is said %q", form.Kind, text, form.Say(reply))
			require.LessOrEqual(t, form.Apart(reply, again), 3.0, "%s: %q", form.Kind, text)
		}
		v := Make(ETA, Round, 1).Mark(text, 0)
		require.Equal(t, strings.TrimSpace(text) == "", v.Outcome == NotKnown)
	})
}
