package feed

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
)

// igcReader takes the fixes of an IGC flight recorder file: its B records, with the date of the H record before them.
type igcReader struct {
	date  time.Time
	clock time.Duration // of the last fix
	begun bool
	into  *collector
}

// readIGC reads a flight recorder's file. The day is the date if the file has none.
func readIGC(r io.Reader, day time.Time, c *collector) error {
	reader := igcReader{into: c}
	if !day.IsZero() {
		reader.date = midnight(day)
	}
	input := newLines(r)
	for {
		line, err := input.next()
		if err != nil && !errors.Is(err, errLongLine) {
			return unlessEnd(err)
		}
		if err == nil {
			err = reader.record(strings.TrimSpace(line))
		}
		switch {
		case errors.Is(err, errTooManyPoints):
			return err
		case err != nil:
			c.faults.add(input.number, err.Error())
		}
	}
}

func (i *igcReader) record(line string) error {
	switch {
	case strings.HasPrefix(line, "HFDTE"):
		return i.dated(strings.TrimPrefix(strings.TrimPrefix(line, "HFDTE"), "DATE:"))
	case strings.HasPrefix(line, "B"):
		sample, err := i.fix(line)
		if err != nil {
			return err
		}
		return i.into.add(sample)
	}
	return nil
}

// dated reads DDMMYY, which a number of the flight on that day may follow.
func (i *igcReader) dated(text string) error {
	text, _, _ = strings.Cut(text, ",")
	list := fields{list: []string{text}}
	if date := list.date(0); date != nil {
		i.date, i.begun = *date, false
	}
	return list.err
}

// fix reads HHMMSS DDMMmmmN DDDMMmmmE, A or V, and five digits each of pressure and satellite altitude in metres. V says that the
// satellite altitude is not known.
func (i *igcReader) fix(line string) (Sample, error) {
	const shortest = 35
	if len(line) < shortest {
		return Sample{}, fmt.Errorf("a fix of %d characters: it has %d", len(line), shortest)
	}
	list := fields{list: []string{
		line[1:7],
		line[7:11] + "." + line[11:14], line[14:15], line[15:20] + "." + line[20:23], line[23:24],
		line[24:25], line[25:30], line[30:35],
	}}
	clock, at := list.timeOfDay(0), list.position(1)
	validity := list.letter(5, "AV")
	pressureM, satelliteM := list.number(6, lowestM, highestM), list.number(7, lowestM, highestM)
	if list.err != nil {
		return Sample{}, list.err
	}
	if clock == nil || at == nil {
		return Sample{}, errors.New("a fix without time or place")
	}
	altitudeM := satelliteM
	if validity == 'V' || altitudeM == nil {
		altitudeM = pressureM
	}
	return i.sample(*clock, *at, altitudeM), nil
}

func (i *igcReader) sample(clock time.Duration, at earth.Position, altitudeM *float64) Sample {
	if i.begun && clock < i.clock-12*time.Hour {
		i.date = i.date.AddDate(0, 0, 1)
	}
	i.begun, i.clock = true, clock
	sample := Sample{At: at}
	if !i.date.IsZero() {
		sample.Time = i.date.Add(clock)
	}
	if altitudeM != nil {
		altitudeFt := *altitudeM / air.MetresPerFoot
		sample.AltitudeFt = &altitudeFt
	}
	return sample
}
