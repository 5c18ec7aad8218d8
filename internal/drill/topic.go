package drill

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/legclock/internal/worked"
)

// Level is how hard an exercise is, from 1.
type Level int

// The levels: round figures for the head, figures as they come for the slide rule, several sums after one another.
const (
	Round   Level = 1
	Plain   Level = 2
	Several Level = 3
)

// Levels lists all of them, the easiest first.
func Levels() []Level { return []Level{Round, Plain, Several} }

// String says what a level asks.
func (l Level) String() string {
	switch l {
	case Round:
		return "round figures, in the head"
	case Plain:
		return "figures as they come"
	case Several:
		return "several sums in a row"
	}
	return fmt.Sprintf("Level(%d)", int(l))
}

// Topic is what an exercise is about, by the name used on the command line and in files.
type Topic string

// The topics.
const (
	TimeSpeedDistance Topic = "time-speed-distance"
	Groundspeed       Topic = "groundspeed"
	ETA               Topic = "eta"
	WindHeading       Topic = "wind-heading"
	WindFound         Topic = "wind-found"
	Drift             Topic = "drift"
	OneInSixty        Topic = "one-in-sixty"
	BearingChange     Topic = "bearing-change"
	Radial            Topic = "radial"
	RelativeBearing   Topic = "relative-bearing"
	SlantRange        Topic = "slant-range"
	TrueAirspeed      Topic = "true-airspeed"
	Endurance         Topic = "endurance"
	TankChanges       Topic = "tank-changes"
	EqualTime         Topic = "equal-time"
	TopOfDescent      Topic = "top-of-descent"
	SunsetMargin      Topic = "sunset"
	Diversion         Topic = "diversion"
)

// Part is a part of the course: topics that belong together. The parts and the topics stand in the order in which a first-timer is led.
type Part string

// The parts.
const (
	PartTime  Part = "time and speed"
	PartWind  Part = "wind"
	PartPlace Part = "where am I"
	PartFuel  Part = "air and fuel"
	PartHome  Part = "getting there"
)

// course is what there is to learn in a topic.
type course struct {
	part  Part
	topic Topic
	title string
	tasks [3][]task // by level; every one makes another kind of exercise
}

// task draws the figures of an exercise and makes it.
type task func(d *draw) Exercise

// courses are made once: every exercise asks for its own.
var courses = sync.OnceValue(func() []course {
	return []course{
		{PartTime, TimeSpeedDistance, "time, speed and distance", speedTasks()},
		{PartTime, Groundspeed, "groundspeed from a passing", passingTasks()},
		{PartTime, ETA, "ETA", etaTasks()},
		{PartWind, Drift, "drift, heading, variation and deviation", driftTasks()},
		{PartWind, WindHeading, "wind triangle: heading and groundspeed", headingTasks()},
		{PartWind, WindFound, "wind triangle: the wind found", windTasks()},
		{PartPlace, OneInSixty, "1 in 60", offTrackTasks()},
		{PartPlace, BearingChange, "bearing-change time and distance", bearingTasks()},
		{PartPlace, Radial, "radials and TO/FROM", radialTasks()},
		{PartPlace, RelativeBearing, "relative bearing, QDM and QDR", relativeTasks()},
		{PartPlace, SlantRange, "DME slant range", slantTasks()},
		{PartFuel, TrueAirspeed, "true airspeed", airspeedTasks()},
		{PartFuel, Endurance, "fuel and endurance", enduranceTasks()},
		{PartFuel, TankChanges, "tank changes", tankTasks()},
		{PartHome, EqualTime, "PET and PNR", equalTimeTasks()},
		{PartHome, TopOfDescent, "top of descent", descentTasks()},
		{PartHome, SunsetMargin, "sunset margin", sunsetTasks()},
		{PartHome, Diversion, "a whole diversion", diversionTasks()},
	}
})

// Topics lists all topics, the first things first.
func Topics() []Topic {
	all := courses()
	topics := make([]Topic, len(all))
	for i, c := range all {
		topics[i] = c.topic
	}
	return topics
}

// Title says what a topic is about.
func (t Topic) Title() string { return courseOf(t).title }

// Part is the part of the course that a topic belongs to.
func (t Topic) Part() Part { return courseOf(t).part }

// TopicNamed finds a topic by its name or by as much of the beginning as no other shares. The error lists the names.
func TopicNamed(name string) (Topic, error) {
	name = strings.ToLower(strings.TrimSpace(name))
	var found []Topic
	for _, topic := range Topics() {
		if string(topic) == name {
			return topic, nil
		}
		if name != "" && strings.HasPrefix(string(topic), name) {
			found = append(found, topic)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", fmt.Errorf("there is no topic %q; there are %s", name, listed(Topics()))
	}
	return "", fmt.Errorf("%q may be %s", name, listed(found))
}

func listed(topics []Topic) string {
	names := make([]string, len(topics))
	for i, topic := range topics {
		names[i] = string(topic)
	}
	return strings.Join(names, ", ")
}

func courseOf(topic Topic) course {
	all := courses()
	i := slices.IndexFunc(all, func(c course) bool { return c.topic == topic })
	if i < 0 {
		panic(fmt.Sprintf("drill: %q is not a topic", topic))
	}
	return all[i]
}

// Make makes the exercise of a topic, a level and a seed. The topic is one of Topics and the level one of Levels; anything else
// panics.
func Make(topic Topic, level Level, seed uint64) Exercise {
	if level < Round || level > Several {
		panic(fmt.Sprintf("drill: there is no level %d", level))
	}
	tasks := courseOf(topic).tasks[level-1]
	d := newDraw(topic, level, seed)
	draw := tasks[d.below(len(tasks))]
	var best Exercise
	least := math.MaxInt
	for n := range mostRedraws {
		e := draw(d)
		e.sortMistakes()
		faults := len(e.Hidden)
		if !comeOut(e.Steps) {
			faults += workingFault
		}
		if faults < least {
			best, least = e, faults
		}
		if least == 0 || n >= redraws && least < workingFault {
			break
		}
	}
	best.Topic, best.Level, best.Seed = topic, level, seed
	return best
}

// comeOut reports whether every line of a working comes out from the figures that stand in it.
func comeOut(steps []string) bool {
	return !slices.ContainsFunc(steps, func(step string) bool { return worked.Recompute(step) != nil })
}

// TasksOf names the tasks of a topic at a level.
func TasksOf(card Card) []string { return taskNames()[card] }

// taskNames are those that the tasks' makers give their exercises: one maker may make two tasks by turns.
var taskNames = sync.OnceValue(func() map[Card][]string {
	const enough = 24 // draws that show every name
	names := map[Card][]string{}
	for _, c := range courses() {
		for _, level := range Levels() {
			card := Card{c.topic, level}
			for _, make := range c.tasks[level-1] {
				for seed := range uint64(enough) {
					if name := make(newDraw(c.topic, level, seed)).Task; !slices.Contains(names[card], name) {
						names[card] = append(names[card], name)
					}
				}
			}
		}
	}
	return names
})

// MakeTask makes an exercise of one task, of the first seed from a seed on that makes one.
func MakeTask(item Item, seed uint64) Exercise {
	const most = 1000 // far more than there are tasks
	for range most {
		if e := Make(item.Topic, item.Level, seed); e.Task == item.Task {
			return e
		}
		seed++
	}
	return Make(item.Topic, item.Level, seed)
}

// Figures are drawn anew while a line of the working does not come out from the figures that are printed, as those were rounded on the
// way, or while a known slip leads to a figure within the tolerance, where it could not be told from a right answer. For the slip that is not
// tried for ever: with some figures it can't be otherwise.
const (
	redraws      = 30
	mostRedraws  = 500
	workingFault = 100
)
