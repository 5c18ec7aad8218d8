package feed

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// assemble feeds bodies, checksums put to them, and returns what each delivered.
func assemble(t *testing.T, a *Assembler, bodies ...string) [][]Sample {
	t.Helper()
	var out [][]Sample
	for _, body := range bodies {
		m, err := ParseMessage(sentence(body))
		require.NoError(t, err, body)
		out = append(out, a.Add(m))
	}
	return out
}

func rmc(clock string, minute float64, date string) string {
	return fmt.Sprintf("GPRMC,%s,A,52%07.4f,N,00130.0,W,95,295,%s,,", clock, minute, date)
}

func gga(clock string, minute, altitudeM float64) string {
	return fmt.Sprintf("GPGGA,%s,52%07.4f,N,00130.0,W,1,08,0.9,%.1f,M,48,M,,", clock, minute, altitudeM)
}

func counts(samples [][]Sample) []int {
	var n []int
	for _, s := range samples {
		n = append(n, len(s))
	}
	return n
}

func TestSentencesOfOneMomentAreOneSample(t *testing.T) {
	var a Assembler
	out := assemble(t, &a,
		rmc("130512", 6, "150526"), gga("130512", 6, 300), "GPVTG,296,T,,M,96,N,,K", "HCHDG,298,,,1,E",
		rmc("130513", 7, "150526"), gga("130513", 7, 310), "GPVTG,297,T,,M,97,N,,K", "HCHDG,299,,,1,E",
		rmc("130514", 8, "150526"), gga("130514", 8, 320), "GPVTG,298,T,,M,98,N,,K",
		rmc("130515", 9, "150526"))
	// The first moment is complete when the second begins; from then on a moment is complete with its last sentence; one that lacks it,
	// when the next begins.
	assert.Equal(t, []int{0, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0, 1}, counts(out))
	second := out[7][0]
	assert.Equal(t, time.Date(2026, 5, 15, 13, 5, 13, 0, time.UTC), second.Time)
	assert.InDelta(t, 52+7.0/60, second.At.Lat, 1e-9)
	assert.InDelta(t, 310/0.3048, *second.AltitudeFt, 1e-9)
	assert.Equal(t, []float64{97, 297, 299, 300}, []float64{*second.GroundspeedKt, *second.TrackTrue, *second.HeadingMagnetic, *second.HeadingTrue})
	assert.Nil(t, out[11][0].HeadingMagnetic, "what one moment said does not go on to the next")
	require.Len(t, a.Flush(), 1)
	assert.Empty(t, a.Flush())
}

func TestOneSentenceIsAMoment(t *testing.T) {
	var a Assembler
	out := assemble(t, &a, rmc("130512", 6, "150526"), rmc("130513", 7, "150526"), rmc("130514", 8, "150526"))
	assert.Equal(t, []int{0, 2, 1}, counts(out), "the second sentence tells that each is a moment")
}

func TestPositionsWithoutTimeAreMomentsOfTheirOwn(t *testing.T) {
	var a Assembler
	out := assemble(t, &a, "GPGLL,5206.0,N,00130.0,W,,A", "GPGLL,5207.0,N,00130.0,W,,A")
	require.Equal(t, []int{1, 1}, counts(out))
	assert.True(t, out[1][0].Time.IsZero())
	assert.InDelta(t, 52+7.0/60, out[1][0].At.Lat, 1e-9)
}

func TestMidnight(t *testing.T) {
	a := Assembler{Day: time.Date(2026, 12, 31, 22, 0, 0, 0, time.UTC)}
	var times []string
	for _, out := range append(assemble(t, &a,
		gga("235958", 1, 300), gga("235959", 2, 300), gga("000000", 3, 300), gga("235959.9", 2.9, 300), gga("000001", 4, 300)), a.Flush()) {
		for _, s := range out {
			times = append(times, s.Time.Format("2006-01-02 15:04:05.0"))
		}
	}
	assert.Equal(t, []string{
		"2026-12-31 23:59:58.0", "2026-12-31 23:59:59.0", "2027-01-01 00:00:00.0", "2026-12-31 23:59:59.9", "2027-01-01 00:00:01.0",
	}, times)
}

func TestGGAAndRMCAroundMidnight(t *testing.T) {
	var a Assembler
	out := assemble(t, &a, rmc("235959", 1, "311226"), gga("235959", 1, 300), gga("000000", 2, 300), rmc("000000", 2, "010127"), gga("000001", 3, 300))
	require.Equal(t, []int{0, 0, 2, 0, 0}, counts(out), "GGA ended the moment before, so it ends this one")
	assert.Equal(t, time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC), out[2][1].Time, "the new day, before RMC said so")
}

func TestLostReception(t *testing.T) {
	var a Assembler
	out := assemble(t, &a, rmc("130512", 6, "150526"), rmc("130513", 7, "150526"), "GPRMC,130514,V,,,,,,,150526,,", "GPRMC,130515,V,,,,,,,150526,,",
		rmc("130516", 8, "150526"), rmc("130517", 9, "150526"))
	require.Equal(t, []int{0, 2, 0, 0, 1, 1}, counts(out))
	assert.False(t, out[1][1].AfterGap)
	assert.True(t, out[4][0].AfterGap)
	assert.False(t, out[5][0].AfterGap)
}

// TestEveryMomentIsDeliveredOnce: whatever the order and the losses, no moment that had a position is missing or there twice.
func TestEveryMomentIsDeliveredOnce(t *testing.T) {
	orders := [][]string{{"RMC", "GGA"}, {"GGA", "RMC"}, {"GGA"}, {"RMC", "VTG"}, {"VTG", "RMC", "GGA"}}
	var a Assembler
	var times []time.Time
	take := func(samples []Sample) {
		for _, s := range samples {
			times = append(times, s.Time)
		}
	}
	const moments = 60
	for i := range moments {
		for _, kind := range orders[i*7%len(orders)] {
			clock := fmt.Sprintf("1305%02d", i)
			body := map[string]string{"RMC": rmc(clock, 6, "150526"), "GGA": gga(clock, 6, 300), "VTG": "GPVTG,296,T,,M,96,N,,K"}[kind]
			for _, out := range assemble(t, &a, body) {
				take(out)
			}
		}
	}
	take(a.Flush())
	require.Len(t, times, moments)
	for i, at := range times[1:] {
		if i > 2 { // the date comes with the first RMC
			assert.Equal(t, time.Second, at.Sub(times[i]), "moment %d", i)
		}
	}
}
