package drill

import (
	flags "flag"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// figures reads the given figures of an exercise back from the text that a student sees, in a way of its own.
type figures struct {
	t require.TestingT
	e Exercise
}

func (f figures) text(name string) string {
	for _, g := range f.e.Given {
		if g.Name == name {
			return g.Text
		}
	}
	require.FailNow(f.t, "not given", "%s of %s, %s: %v", name, f.e.Topic, f.e.Task, f.e.Given)
	return ""
}

var numeral = regexp.MustCompile(`-?\d+(\.\d+)?`)

func (f figures) numbers(name string) (numbers []float64) {
	for _, text := range numeral.FindAllString(f.text(name), -1) {
		value, err := strconv.ParseFloat(text, 64)
		require.NoError(f.t, err)
		numbers = append(numbers, value)
	}
	return numbers
}

func (f figures) number(name string) float64 {
	numbers := f.numbers(name)
	require.NotEmpty(f.t, numbers, name)
	return numbers[0]
}

// wind is where it blows from and its speed.
func (f figures) wind() (from, speed float64) {
	numbers := f.numbers("wind")
	require.Len(f.t, numbers, 2)
	return numbers[0], numbers[1]
}

// east is a variation or deviation, east positive.
func (f figures) east(name string) float64 {
	if strings.HasSuffix(f.text(name), "W") {
		return -f.number(name)
	}
	return f.number(name)
}

// sided is a figure with a side, right positive.
func (f figures) sided(name string) float64 {
	if strings.Contains(f.text(name), "left") {
		return -f.number(name)
	}
	return f.number(name)
}

// minutes is a length of time: "24 min", "7:20", "1 h 05 min", "75 s".
func (f figures) minutes(name string) float64 {
	text, numbers := f.text(name), f.numbers(name)
	switch {
	case strings.Contains(text, " h "):
		return 60*numbers[0] + numbers[1]
	case strings.Count(text, ":") == 2:
		return 60*numbers[0] + numbers[1] + numbers[2]/60
	case strings.Contains(text, ":"):
		return numbers[0] + numbers[1]/60
	case strings.HasSuffix(text, " s"):
		return numbers[0] / 60
	}
	return numbers[0]
}

// clock is a time of day in minutes.
func (f figures) clock(name string) float64 { return clockIn(f.text(name)) }

var clockText = regexp.MustCompile(`(\d\d):(\d\d)(?::(\d\d))?`)

func clockIn(text string) float64 {
	match := clockText.FindStringSubmatch(text)
	hours, _ := strconv.ParseFloat(match[1], 64)
	minutes, _ := strconv.ParseFloat(match[2], 64)
	seconds, _ := strconv.ParseFloat("0"+match[3], 64)
	return 60*hours + minutes + seconds/60
}

// names lists the names of the given figures that begin so.
func (f figures) names(prefix string) (names []string) {
	for _, g := range f.e.Given {
		if strings.HasPrefix(g.Name, prefix) {
			names = append(names, g.Name)
		}
	}
	return names
}

// exercises is how many exercises each property is held to. A million, in some twenty minutes a property:
//
//	go test ./internal/drill -exercises 1000000 -timeout 12h
var exercises = flags.Int("exercises", 10_000, "how many exercises each property is held to")

// firstSeed is that of this run's exercises; a failure names the exercise with its own.
var firstSeed = rand.Uint64() >> 1

// exerciseNumber is one of them: the topics, the levels and those of a flight take turns.
func exerciseNumber(n int) Exercise {
	topics, levels := Topics(), Levels()
	cards := len(topics) * len(levels)
	turn, seed := n%(cards+1), firstSeed+uint64(n/(cards+1))
	if turn == cards {
		return inFlight.Example(int(seed))
	}
	return Make(topics[turn/len(levels)], levels[turn%len(levels)], seed)
}

var inFlight = rapid.Custom(drawnInFlight)

// made are the exercises of a run as small as the ordinary one, which all properties share.
var made = sync.OnceValue(func() []Exercise {
	all := make([]Exercise, *exercises)
	for n := range all {
		all[n] = exerciseNumber(n)
	}
	return all
})

// eachExercise checks something of every exercise.
func eachExercise(t *testing.T, check func(t *testing.T, e Exercise)) {
	const mostKept = 100_000
	for n := range *exercises {
		if *exercises > mostKept {
			check(t, exerciseNumber(n))
			continue
		}
		check(t, made()[n])
	}
}

// drawnInFlight is an exercise as a practice flight makes it.
func drawnInFlight(t *rapid.T) Exercise {
	first := time.Date(2026, 6, 20, 6, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 12*3600).Draw(t, "first")) * time.Second)
	s := Stretch{
		From: "JNC", To: "DAM", DistanceNM: rapid.Float64Range(3, 25).Draw(t, "nm"), First: first,
		Second: first.Add(time.Duration(rapid.IntRange(180, 1500).Draw(t, "seconds")) * time.Second),
	}
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return GroundspeedInFlight(s)
	case 1:
		return ETAInFlight(s, "at LKM", rapid.Float64Range(4, 30).Draw(t, "to go"), Best{})
	case 2:
		off := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side") * rapid.Float64Range(0.3, 3).Draw(t, "off")
		return TurnInFlight(off, rapid.Float64Range(8, 30).Draw(t, "flown"), rapid.Float64Range(8, 30).Draw(t, "to go"), "LKM")
	}
	e, ok := LatestChangeInFlight(TankPair{
		Names:       [2]string{"left", "right"},
		Quantities:  [2]float64{rapid.Float64Range(20, 50).Draw(t, "left"), rapid.Float64Range(40, 44).Draw(t, "right")},
		SecondFeeds: rapid.Bool().Draw(t, "feeds"), Unit: litres, FlowPerHour: rapid.Float64Range(18, 30).Draw(t, "flow"), Limit: 30,
	}, first)
	require.True(t, ok)
	return e
}

// Plain trigonometry in degrees, on purpose without the packages that the answers come from.
func sinOf(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }

func cosOf(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }

func arc(value float64) float64 { return value * 180 / math.Pi }

// around brings a direction into [0, 360).
func around(direction float64) float64 {
	for direction < 0 {
		direction += 360
	}
	for direction >= 360 {
		direction -= 360
	}
	return direction
}

// shortest is the shortest way from one direction to another, right positive.
func shortest(from, to float64) float64 {
	difference := around(to - from)
	if difference > 180 {
		difference -= 360
	}
	return difference
}

// afterAnHour is how far east and north an aircraft gets.
func afterAnHour(heading, tas, from, speed float64) (east, north float64) {
	return tas*sinOf(heading) - speed*sinOf(from), tas*cosOf(heading) - speed*cosOf(from)
}

// tryHeadings finds by trying the heading that holds a track, and the groundspeed: first every degree, then ever closer.
func tryHeadings(track, tas, from, speed float64) (heading, groundspeed float64) {
	across := func(heading float64) float64 {
		east, north := afterAnHour(heading, tas, from, speed)
		return math.Abs(east*cosOf(track) - north*sinOf(track))
	}
	best := track
	for step := 1.0; step > 1e-8; step /= 10 {
		middle := best
		for i := -80; i <= 80; i++ {
			if tried := middle + float64(i)*step; across(tried) < across(best) {
				best = tried
			}
		}
	}
	east, north := afterAnHour(best, tas, from, speed)
	return around(best), math.Hypot(east, north)
}

// halve finds where a rising function is zero.
func halve(low, high float64, rising func(float64) float64) float64 {
	for range 200 {
		if middle := (low + high) / 2; rising(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
