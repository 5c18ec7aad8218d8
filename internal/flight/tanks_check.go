package flight

import (
	"fmt"
	"strings"
)

// checkTank refuses a tank that the aircraft does not have.
func (s *State) checkTank(e Event) error {
	system := s.progress.system()
	if system.TankIndex(e.Tank) >= 0 {
		return nil
	}
	names := make([]string, len(system.Tanks))
	for i, tank := range system.Tanks {
		names[i] = tank.Name
	}
	return refuse("the aircraft has "+strings.Join(names, ", "), "there is no tank %q", e.Tank)
}

// checkGauges refuses readings that no tank can have.
func (s *State) checkGauges(e Event) error {
	system := s.progress.system()
	for _, name := range sortedNames(e.Tanks) {
		if err := s.checkTank(Event{Tank: name}); err != nil {
			return err
		}
		capacity := system.Tanks[system.TankIndex(name)].Capacity
		switch reading := e.Tanks[name]; {
		case reading > capacity:
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.progress.unit()), "%s can't hold %g", name, reading)
		case !(reading >= 0):
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.progress.unit()), "%s can't read %g", name, reading)
		}
	}
	return nil
}

// A reading or a flow looks wrong if it lies further from what is reckoned than anything but a leak, an error or a slip would take it.
const (
	oddGauges = 3.0 // times what a gauge may be out, below what is reckoned
	oddFlow   = 1.6 // times the flow of the table, or that part of it
)

// doubtGauges doubts readings above what was there at the last reading or at off-blocks, for fuel is not gained in flight, and those
// far below what is reckoned.
func (s *State) doubtGauges(e Event) error {
	p := &s.progress
	quantities := p.quantitiesAt(e.T)
	for i, tank := range p.system().Tanks {
		reading, read := e.Tanks[tank.Name]
		if !read {
			continue
		}
		before, what := p.sheet.Plan.Fuel.OnBoard[tank.Name], "at off-blocks"
		if last := p.tanks.evidence.last[i]; last != nil {
			before, what = last.read, "at the last reading"
		}
		slack := gaugeErrorFraction * tank.Capacity
		switch {
		case reading > before+slack:
			return doubt("%s had %g %s: %g would be more", tank.Name, before, what, reading)
		case reading < quantities[i]-oddGauges*slack:
			return doubt("%s reads %g where %.0f are reckoned", tank.Name, reading, quantities[i])
		}
	}
	return nil
}

// doubtFlow doubts a flow that is far from the table's.
func (s *State) doubtFlow(e Event) error {
	p := &s.progress
	n, flying := p.here(e.T)
	if e.Flow == nil || !flying {
		return nil
	}
	if table := p.ahead.tableFlow(n.point.Piece); *e.Flow > oddFlow*table || *e.Flow < table/oddFlow {
		return doubt("a flow of %g where the table has %.1f %s/h", *e.Flow, table, p.unit())
	}
	return nil
}

// doubtTank doubts a change to a tank that can't feed the engine.
func (s *State) doubtTank(e Event) error {
	p := &s.progress
	i := p.system().TankIndex(e.Tank)
	if quantity := p.quantitiesAt(e.T)[i]; quantity <= p.system().Tanks[i].Unusable {
		return doubt("%s has no usable fuel: %.1f %s, %g of it unusable", e.Tank, quantity, p.unit(), p.system().Tanks[i].Unusable)
	}
	return nil
}
