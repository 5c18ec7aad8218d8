package fuel

// stretch is a part of the flight with one flow, placed in time and in planned burn.
type stretch struct {
	start, end    float64 // minutes
	startBurn     float64 // planned quantity burned before it
	flowPerMinute float64
	changeAllowed bool
	phase         string
}

// burnAt is the planned quantity burned up to a time within the stretch.
func (s stretch) burnAt(minutes float64) float64 {
	return s.startBurn + s.flowPerMinute*(minutes-s.start)
}

// timeline is the flight to come: stretches without gaps from minute 0.
type timeline struct {
	stretches []stretch
	end       float64 // minutes
	burn      float64 // planned quantity burned from minute 0 to the end
}

func newTimeline(burns []Burn) timeline {
	var line timeline
	for _, burn := range burns {
		line.add(burn.Minutes, burn.FlowPerHour/minutesPerHour, burn.ChangeAllowed, burn.Phase)
	}
	return line
}

func (l *timeline) add(minutes, flowPerMinute float64, changeAllowed bool, phase string) {
	if minutes <= 0 {
		return
	}
	l.stretches = append(l.stretches, stretch{l.end, l.end + minutes, l.burn, flowPerMinute, changeAllowed, phase})
	l.end += minutes
	l.burn += minutes * flowPerMinute
}

// merged joins neighbours that differ in nothing but their phase.
func (l timeline) merged() timeline {
	var out timeline
	for _, s := range l.stretches {
		if last := len(out.stretches) - 1; last >= 0 &&
			out.stretches[last].flowPerMinute == s.flowPerMinute && out.stretches[last].changeAllowed == s.changeAllowed {
			out.stretches[last].end = s.end
			continue
		}
		out.stretches = append(out.stretches, s)
	}
	out.end, out.burn = l.end, l.burn
	return out
}

// burnAt is the planned quantity burned up to a time; before minute 0 none, after the end all.
func (l timeline) burnAt(minutes float64) float64 {
	if minutes <= 0 {
		return 0
	}
	for _, s := range l.stretches {
		if minutes <= s.end {
			return s.burnAt(minutes)
		}
	}
	return l.burn
}

// timeAtBurn is the latest time at which no more than a planned quantity has been burned.
func (l timeline) timeAtBurn(burn float64) float64 {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		s := l.stretches[i]
		if burn < s.startBurn {
			continue
		}
		if s.flowPerMinute == 0 {
			return s.end
		}
		return min(s.end, s.start+(burn-s.startBurn)/s.flowPerMinute)
	}
	return 0
}

// until cuts the flight off at a time.
func (l timeline) until(minutes float64) timeline {
	var out timeline
	for _, s := range l.stretches {
		out.add(min(s.end, minutes)-s.start, s.flowPerMinute, s.changeAllowed, s.phase)
	}
	return out
}

// firstChange is the earliest time that a change is allowed; the end if none is.
func (l timeline) firstChange() float64 {
	for _, s := range l.stretches {
		if s.changeAllowed {
			return s.start
		}
	}
	return l.end
}

// lastChange is the latest time that a change is allowed; the start if none is.
func (l timeline) lastChange() float64 {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		if l.stretches[i].changeAllowed {
			return l.stretches[i].end
		}
	}
	return 0
}

// allowsChange reports whether a change may be made at a time, give or take a tolerance.
func (l timeline) allowsChange(minutes float64) bool {
	for _, s := range l.stretches {
		if s.changeAllowed && minutes >= s.start-tolerance && minutes <= s.end+tolerance {
			return true
		}
	}
	return false
}

// phaseAt names what goes on at a time; of two that meet, the later.
func (l timeline) phaseAt(minutes float64) string {
	for i := len(l.stretches) - 1; i >= 0; i-- {
		if minutes >= l.stretches[i].start {
			return l.stretches[i].phase
		}
	}
	return ""
}

// opened allows changes in a share (0 to 1) of the time in which they are not allowed, keeping as far from the ground as
// that goes: the last part of what comes before the first allowed time, the first part of what comes after the last, and
// both ends of what lies between.
func (l timeline) opened(share float64) timeline {
	var out timeline
	for first := 0; first < len(l.stretches); {
		s := l.stretches[first]
		if s.changeAllowed {
			out.add(s.end-s.start, s.flowPerMinute, true, s.phase)
			first++
			continue
		}
		next := first
		for next < len(l.stretches) && !l.stretches[next].changeAllowed {
			next++
		}
		closedFrom, closedTo := stillClosed(s.start, l.stretches[next-1].end, l.end, share)
		for _, quiet := range l.stretches[first:next] {
			out.addPartlyClosed(quiet, closedFrom, closedTo)
		}
		first = next
	}
	return out
}

// stillClosed is what remains of the closed time from start to end when a share of it is opened.
func stillClosed(start, end, flightEnd, share float64) (from, to float64) {
	opened := share * (end - start)
	switch {
	case end >= flightEnd:
		return start + opened, end
	case start <= 0:
		return start, end - opened
	default:
		return start + opened/2, end - opened/2
	}
}

func (l *timeline) addPartlyClosed(s stretch, closedFrom, closedTo float64) {
	from, to := max(s.start, closedFrom), min(s.end, closedTo)
	if from >= to {
		l.add(s.end-s.start, s.flowPerMinute, true, s.phase)
		return
	}
	l.add(from-s.start, s.flowPerMinute, true, s.phase)
	l.add(to-from, s.flowPerMinute, false, s.phase)
	l.add(s.end-to, s.flowPerMinute, true, s.phase)
}
