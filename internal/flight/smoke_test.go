package flight_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func TestSmoke(t *testing.T) {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	for _, pr := range problems {
		fmt.Println(pr)
	}
	require.NotNil(t, p)
	s, problems := sheet.Compute(p)
	for _, pr := range problems {
		fmt.Println(pr)
	}
	require.NotNil(t, s)
	for _, l := range s.Legs {
		fmt.Println(l.From.Ident, l.To.Ident, l.DistanceNM, l.Minutes, l.ETA, l.Checkpoints)
	}
	st := flight.New(s, "live")
	n := 0
	add := func(e flight.Event) {
		n++
		e.N = n
		if e.Rec.IsZero() {
			e.Rec = e.T
		}
		if err := st.Check(e); err != nil {
			fmt.Println("CHECK", err)
		}
		require.NoError(t, st.Apply(e))
	}
	show := func(at time.Time) {
		b, err := json.MarshalIndent(st.At(at), "", " ")
		require.NoError(t, err)
		fmt.Println(string(b))
	}
	set := p.OffBlocks.Add(-5 * time.Minute)
	one := 1.0
	add(flight.Event{T: set, Do: flight.Clock, Set: &set, Rate: &one})
	add(flight.Event{T: p.OffBlocks, Do: flight.OffBlocks})
	add(flight.Event{T: s.Airborne, Do: flight.Airborne})
	for i, c := range s.Legs[0].Checkpoints {
		add(flight.Event{T: s.Legs[0].CheckpointETAs[i].Add(30 * time.Second), Do: flight.Passing, Point: c.Name})
	}
	add(flight.Event{T: s.Legs[0].ETA.Add(60 * time.Second), Do: flight.Passing, Point: s.Legs[0].To.Ident})
	show(s.Legs[0].ETA.Add(300 * time.Second))
}

func BenchmarkAt(b *testing.B) {
	p, _ := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	s, _ := sheet.Compute(p)
	st := flight.New(s, "live")
	_ = st.Apply(flight.Event{N: 1, T: s.Airborne, Rec: s.Airborne, Do: flight.Airborne})
	at := s.Airborne.Add(10 * time.Minute)
	b.ReportAllocs()
	for b.Loop() {
		st.At(at)
	}
}

func BenchmarkRevise(b *testing.B) {
	p, _ := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	s, _ := sheet.Compute(p)
	b.ReportAllocs()
	for b.Loop() {
		st := flight.New(s, "live")
		_ = st.Apply(flight.Event{N: 1, T: s.Airborne, Rec: s.Airborne, Do: flight.Airborne})
	}
}
