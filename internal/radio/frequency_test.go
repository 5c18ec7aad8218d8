package radio_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/radio"
)

// AIM 1-1-3, 1-1-9 and TBL 1-1-4 (cases 8.01, 8.02); European question bank and Instrument Flying Handbook chapter 7 (8.03).
func TestCheckVORFrequency(t *testing.T) {
	for _, mhz := range []float64{108.0, 108.05, 108.20, 108.4, 108.60, 108.65, 110.20, 111.85, 112.0, 112.20, 113.25, 115.30, 117.95} {
		assert.NoError(t, radio.CheckVORFrequency(mhz), "%v", mhz)
		assert.NoError(t, radio.CheckDMEFrequency(mhz), "%v", mhz)
	}
	for _, mhz := range []float64{108.10, 108.15, 108.30, 108.35, 108.50, 108.55, 109.5, 111.90, 111.95} {
		require.ErrorContains(t, radio.CheckVORFrequency(mhz), "localizer", "%v", mhz)
		assert.NoError(t, radio.CheckDMEFrequency(mhz), "a DME is paired with a localizer too: %v", mhz)
	}
}

// 160 VOR channels, 40 of them below 112 MHz, and 40 localizer channels: cases 8.02 and 8.03.
func TestNumberOfChannels(t *testing.T) {
	var vor, shared, paired int
	for khz := 107000; khz <= 119000; khz++ {
		mhz := float64(khz) / 1000
		if radio.CheckVORFrequency(mhz) == nil {
			vor++
			if mhz < 112 {
				shared++
			}
		}
		if radio.CheckDMEFrequency(mhz) == nil {
			paired++
		}
	}
	assert.Equal(t, 160, vor)
	assert.Equal(t, 40, shared)
	assert.Equal(t, 160+40, paired)
}

func TestFrequencyErrorsSayWhatWouldBeRight(t *testing.T) {
	for want, err := range map[string]error{
		"109.50 MHz is a localizer channel: below 112 MHz a VOR has an even tenth; the nearest are 109.45 and 109.60": radio.CheckVORFrequency(109.5),
		"111.95 MHz is a localizer channel: below 112 MHz a VOR has an even tenth; the nearest are 111.85 and 112.00": radio.CheckVORFrequency(111.95),
		"108.10 MHz is a localizer channel: below 112 MHz a VOR has an even tenth; the nearest are 108.05 and 108.20": radio.CheckVORFrequency(108.1),
		"114.33 MHz is not a VOR channel, their spacing is 50 kHz; the nearest are 114.30 and 114.35":                 radio.CheckVORFrequency(114.33),
		"109.51 MHz is not a VOR channel, their spacing is 50 kHz; the nearest are 109.45 and 109.60":                 radio.CheckVORFrequency(109.51),
		"114.3504 MHz is not a DME channel, their spacing is 50 kHz; the nearest are 114.35 and 114.40":               radio.CheckDMEFrequency(114.3504),
		"121.5 MHz is outside the VOR band, 108.00 to 117.95 MHz":                                                     radio.CheckVORFrequency(121.5),
		"117.975 MHz is outside the DME band, 108.00 to 117.95 MHz":                                                   radio.CheckDMEFrequency(117.975),
		"NaN MHz is outside the VOR band, 108.00 to 117.95 MHz":                                                       radio.CheckVORFrequency(math.NaN()),
		"114.35 kHz is outside the NDB band, 190 to 1750 kHz":                                                         radio.CheckNDBFrequency(114.35),
		"1751 kHz is outside the NDB band, 190 to 1750 kHz":                                                           radio.CheckNDBFrequency(1751),
		"NaN kHz is outside the NDB band, 190 to 1750 kHz":                                                            radio.CheckNDBFrequency(math.NaN()),
	} {
		assert.EqualError(t, err, want)
	}
}

// The channels that an error names are channels, and none lies nearer.
func TestNearestChannels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mhz := float64(rapid.IntRange(108001, 117949).Draw(t, "khz")) / 1000
		err := radio.CheckVORFrequency(mhz)
		if err == nil {
			t.Skip("a channel")
		}
		var below, above float64
		for khz := 108000; khz <= 117950; khz += 50 {
			channel := float64(khz) / 1000
			if radio.CheckVORFrequency(channel) != nil {
				continue
			}
			if channel < mhz {
				below = channel
			} else if above == 0 {
				above = channel
			}
		}
		assert.ErrorContains(t, err, formatted(below)+" and "+formatted(above))
	})
}

// AIM 1-1-2 (case 8.05): 190 to 535 kHz in the United States, to 1750 kHz in ICAO Annex 10.
func TestCheckNDBFrequency(t *testing.T) {
	for _, khz := range []float64{190, 404, 535, 316.5, 1750} {
		assert.NoError(t, radio.CheckNDBFrequency(khz), "%v", khz)
	}
	assert.Error(t, radio.CheckNDBFrequency(189.9))
}

// ICAO Annex 10 Volume V, table 4-1 (bis): of the names from 118.000 to 118.100.
func TestVoiceChannels(t *testing.T) {
	for _, mhz := range []float64{118, 118.005, 118.01, 118.015, 118.025, 118.03, 118.035, 118.04, 118.05, 118.075, 118.1, 122.12, 122.17, 136.99, 132.055} {
		assert.NoError(t, radio.CheckVoiceFrequency(mhz), "%v", mhz)
	}
	for _, mhz := range []float64{118.045, 118.095, 118.001, 118.06001, 117.975, 137, 0, -1, 118.195} {
		assert.Error(t, radio.CheckVoiceFrequency(mhz), "%v", mhz)
	}
	assert.EqualError(t, radio.CheckVoiceFrequency(118.045), "118.045 MHz is not a voice channel: the nearest are 118.040 and 118.050")
}
