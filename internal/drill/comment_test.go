package drill

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestComment(t *testing.T) {
	check := stationMinutes(75, 10, SlideRule)
	for _, c := range []struct {
		e    Exercise
		text string
		says []string
	}{
		{check, "7.5", []string{"7:30 is right, by the rule; exactly it is 7:12"}},
		{check, "7:12", []string{"7:12 is right, exactly; by the rule it is 7:30"}},
		{check, "7:25", []string{"7:25 counts as right: by the rule it is 7:30; exactly it is 7:12"}},
		{check, "", []string{"it is 7:30 by the rule; exactly it is 7:12"}},
		{check, "9:00", []string{"9:00 is 1:30 too long: it is 7:30 by the rule; exactly it is 7:12"}},
		{bearingTo(120, 45), "345", []string{"345 is 180° off: it is 165", "looks like this: that is the QDR, the bearing FROM the beacon"}},
		{flag(90, 95), "TO", []string{
			"TO is wrong: it is FROM",
			"looks like this: the flag compares the course with the radial, not with the heading: within 90° of the radial it is FROM",
		}},
		{bearingTo(120, 45), "405", []string{`"405" lies outside 0 to 360; write a direction from 001 to 360, with M or T for its north: 045M`}},
	} {
		assert.Equal(t, c.says, c.e.Comment(c.e.Mark(c.text, 0)))
	}
	assert.Equal(t, "right within 0:09: 2 %, as a circular slide rule is set and read to about 1 in 100 each", check.Allowed())
	assert.Empty(t, flag(90, 95).Allowed())
}
