package terminal

import "unicode/utf8"

const escape = 0x1b

// unambiguous appends what was read from a terminal, each ESC that stands for the key twice. Bubble Tea reads such a pair as Alt with Esc
// whatever comes behind it, where a single one would make Alt with the next key of it. An ESC that begins a control sequence stays as it is.
func unambiguous(to, read []byte) []byte {
	for i := 0; i < len(read); {
		length := sequenceLength(read[i:])
		if length == 0 {
			to, i = append(to, read[i]), i+1
			continue
		}
		if length == 1 {
			to = append(to, escape)
		}
		to, i = append(to, read[i:i+length]...), i+length
	}
	return to
}

// sequenceLength is how many bytes the sequence at the start of text takes: a control sequence (ECMA-48, 5.4), or a key of a keypad after ESC O
// (SS3) as terminals send them. It is 1 for an ESC alone and 0 where there is none.
func sequenceLength(text []byte) int {
	if len(text) == 0 || text[0] != escape {
		return 0
	}
	if len(text) < 3 {
		return 1
	}
	switch text[1] {
	case 'O':
		switch b := text[2]; {
		case b >= 'A' && b <= 'D', b >= 'P' && b <= 'S', b >= 'a' && b <= 'd', b == 'F', b == 'H':
			return 3
		}
	case '[':
		i := 2
		for i < len(text) && text[i] >= 0x30 && text[i] <= 0x3f {
			i++
		}
		for i < len(text) && text[i] >= 0x20 && text[i] <= 0x2f {
			i++
		}
		if i < len(text) && text[i] >= 0x40 && text[i] <= 0x7e {
			return i + 1
		}
	}
	return 1
}

// whole is how much of what was read ends with a key; the rest is a character or a sequence of which the end has yet to be read.
func whole(read []byte) int {
	const longest = 16
	for i := len(read) - 1; i >= max(0, len(read)-longest); i-- {
		if read[i] == escape && sequenceLength(read[i:]) == 1 {
			return i
		}
		if utf8.RuneStart(read[i]) && i > len(read)-utf8.UTFMax && !utf8.FullRune(read[i:]) {
			return i
		}
	}
	return len(read)
}
