package radio

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// The VHF navigation band and the NDB band (AIM 1-1-3; ICAO Annex 10 volume I, NDB).
const (
	lowestVHFkHz     = 108000
	highestVHFkHz    = 117950
	rasterVHFkHz     = 50
	sharedBelowkHz   = 112000 // below it VORs share the band with localizers
	lowestNDBkHz     = 190
	highestNDBkHz    = 1750
	frequencySlipkHz = 0.001 // what is left of a decimal fraction in binary
)

// CheckVORFrequency returns nil for a VOR channel: 108.00 to 117.95 MHz every 50 kHz, and below 112 MHz only with an even
// tenth, the odd ones being localizers (AIM 1-1-3 and 1-1-9). The error says what is wrong and names the nearest channels.
func CheckVORFrequency(mhz float64) error {
	return checkVHF(mhz, "VOR", isVORChannel)
}

// CheckDMEFrequency returns nil for a VHF channel with which a DME can be paired, that of a VOR or of a localizer:
// 108.00 to 117.95 MHz every 50 kHz. The error says what is wrong and names the nearest channels.
func CheckDMEFrequency(mhz float64) error {
	return checkVHF(mhz, "DME", isVHFChannel)
}

// CheckNDBFrequency returns nil for a frequency of the NDB band, 190 to 1750 kHz (ICAO Annex 10 volume I; the
// United States use 190 to 535).
func CheckNDBFrequency(khz float64) error {
	if khz >= lowestNDBkHz && khz <= highestNDBkHz {
		return nil
	}
	return fmt.Errorf("%g kHz is outside the NDB band, %d to %d kHz", khz, lowestNDBkHz, highestNDBkHz)
}

// CheckVoiceFrequency returns nil for the name of a channel of the aeronautical mobile service, 118.000 to 136.990 MHz: names of
// channels 25 kHz apart end in 00, 25, 50 and 75, of those 8.33 kHz apart in 05, 10 and 15 after each of these (ICAO Annex 10 Volume V,
// table 4-1 bis). Left out, the last digit is taken as said: 122.12 is 122.125. The error names the nearest channels.
func CheckVoiceFrequency(mhz float64) error {
	khz := int(math.Round(mhz * 1000))
	if math.Abs(mhz*1000-float64(khz)) < frequencySlipkHz && khz >= 118000 && khz <= 136990 && isVoiceChannel(khz) {
		return nil
	}
	if khz < 118000 || khz > 136990 {
		return fmt.Errorf("%g MHz is outside the voice band, 118.000 to 136.990 MHz", mhz)
	}
	below, above := khz, khz+1
	for !isVoiceChannel(below) {
		below--
	}
	for !isVoiceChannel(above) {
		above++
	}
	return fmt.Errorf("%g MHz is not a voice channel: the nearest are %.3f and %.3f", mhz, float64(below)/1000, float64(above)/1000)
}

// isVoiceChannel takes a name in kHz; 20 and 70 are 25 kHz channels without their last digit, as 122.12 for 122.125.
func isVoiceChannel(khz int) bool {
	return khz%5 == 0 && khz%25 != 20 || khz%50 == 20
}

func isVHFChannel(khz int) bool {
	return khz >= lowestVHFkHz && khz <= highestVHFkHz && khz%rasterVHFkHz == 0
}

func isVORChannel(khz int) bool {
	evenTenth := khz/100%2 == 0
	return isVHFChannel(khz) && (khz >= sharedBelowkHz || evenTenth)
}

func checkVHF(mhz float64, kind string, isChannel func(khz int) bool) error {
	khz := math.Round(mhz * 1000)
	onWholekHz := math.Abs(mhz*1000-khz) < frequencySlipkHz
	if !(mhz*1000 >= lowestVHFkHz-frequencySlipkHz && mhz*1000 <= highestVHFkHz+frequencySlipkHz) {
		return fmt.Errorf("%g MHz is outside the %s band, 108.00 to 117.95 MHz", mhz, kind)
	}
	if onWholekHz && isChannel(int(khz)) {
		return nil
	}
	if onWholekHz && isVHFChannel(int(khz)) {
		return fmt.Errorf("%.2f MHz is a localizer channel: below 112 MHz a %s has an even tenth; %s",
			mhz, kind, nearestChannels(mhz, isChannel))
	}
	return fmt.Errorf("%g MHz is not a %s channel, their spacing is 50 kHz; %s", mhz, kind, nearestChannels(mhz, isChannel))
}

// nearestChannels names the channels on either side of a frequency within the band.
func nearestChannels(mhz float64, isChannel func(khz int) bool) string {
	below := int(math.Floor(mhz*1000/rasterVHFkHz)) * rasterVHFkHz
	above := below + rasterVHFkHz
	for below >= lowestVHFkHz && !isChannel(below) {
		below -= rasterVHFkHz
	}
	for above <= highestVHFkHz && !isChannel(above) {
		above += rasterVHFkHz
	}
	return fmt.Sprintf("the nearest are %.2f and %.2f", float64(below)/1000, float64(above)/1000)
}

// IdentWordsPerMinute is the usual speed of a beacon's ident (ICAO Annex 10 volume I 3.3.6 for VOR, 3.4.5 for NDB: about 7).
const IdentWordsPerMinute = 7

// Lengths in dots (Rec. ITU-R M.1677-1, spacing and length of the signals).
const (
	dashUnits      = 3
	gapInLetter    = 1
	gapInWord      = 3
	secondsPerWord = 1.2 // of one dot at one word a minute: the word PARIS is 50 dots long
)

// Letters and figures of Rec. ITU-R M.1677-1. An ident has no others.
var (
	morseLetters = [26]string{
		".-", "-...", "-.-.", "-..", ".", "..-.", "--.", "....", "..", ".---", "-.-", ".-..", "--",
		"-.", "---", ".--.", "--.-", ".-.", "...", "-", "..-", "...-", ".--", "-..-", "-.--", "--..",
	}
	morseFigures = [10]string{
		"-----", ".----", "..---", "...--", "....-", ".....", "-....", "--...", "---..", "----.",
	}
)

// Morse writes an ident as its signals, letters separated by one blank: LIM is ".-.. .. --" (Rec. ITU-R M.1677-1). Capital
// and small letters are the same. The error names the character that has no signal, or says that there is none.
func Morse(ident string) (string, error) {
	if ident == "" {
		return "", errors.New("an empty ident has no Morse signals")
	}
	letters := make([]string, 0, len(ident))
	for _, character := range ident {
		switch {
		case character >= 'A' && character <= 'Z':
			letters = append(letters, morseLetters[character-'A'])
		case character >= 'a' && character <= 'z':
			letters = append(letters, morseLetters[character-'a'])
		case character >= '0' && character <= '9':
			letters = append(letters, morseFigures[character-'0'])
		default:
			return "", fmt.Errorf("ident %q: %q has no Morse signal; an ident is of letters A to Z and figures", ident, character)
		}
	}
	return strings.Join(letters, " "), nil
}

// MorseUnits returns the length of an ident in dots, gaps between its signals included, as is no gap after the last.
// The errors are those of Morse.
func MorseUnits(ident string) (int, error) {
	signals, err := Morse(ident)
	if err != nil {
		return 0, err
	}
	units := 0
	for i, signal := range signals {
		if signal == ' ' {
			units += gapInWord
			continue
		}
		if i > 0 && signals[i-1] != ' ' {
			units += gapInLetter
		}
		if signal == '-' {
			units += dashUnits
		} else {
			units++
		}
	}
	return units, nil
}

// MorseSeconds returns how long an ident sounds at a speed in words a minute, which must be positive. A dot lasts 1.2 s
// divided by the speed. The other errors are those of Morse.
func MorseSeconds(ident string, wordsPerMinute float64) (float64, error) {
	if !(wordsPerMinute > 0) {
		return 0, fmt.Errorf("a Morse speed of %g words a minute; it must be more than 0", wordsPerMinute)
	}
	units, err := MorseUnits(ident)
	return float64(units) * secondsPerWord / wordsPerMinute, err
}
