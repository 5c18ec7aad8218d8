package radio

import (
	"errors"
	"fmt"
	"strings"
)

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
