package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// nearest returns the known word that a misspelt one most likely means, by the number of letters put in, left out, changed or
// swapped, capitals and small letters being the same; empty when none is near enough to be meant.
func nearest(word string, known []string) string {
	word = strings.ToLower(word)
	farthest := max(1, len([]rune(word))/3)
	best, bestDistance := "", math.Inf(1)
	for _, candidate := range known {
		letters := strings.ToLower(candidate)
		distance := float64(editDistance(word, letters))
		if distance > float64(farthest) {
			continue
		}
		if sameLetters(word, letters) { // of two as near, the one with its letters only shuffled
			distance -= 0.5
		}
		if distance < bestDistance {
			best, bestDistance = candidate, distance
		}
	}
	return best
}

func sameLetters(a, b string) bool {
	return slices.Equal(slices.Sorted(slices.Values([]rune(a))), slices.Sorted(slices.Values([]rune(b))))
}

// editDistance counts the letters to put in, leave out, change or swap with a neighbour that make one word of another
// (optimal string alignment).
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	beforeLast, last, row := make([]int, len(to)+1), make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range last {
		last[j] = j
	}
	for i := range from {
		row[0] = i + 1
		for j := range to {
			change := last[j]
			if from[i] != to[j] {
				change++
			}
			row[j+1] = min(change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && from[i] == to[j-1] && from[i-1] == to[j] {
				row[j+1] = min(row[j+1], beforeLast[j-1]+1)
			}
		}
		beforeLast, last, row = last, row, beforeLast
	}
	return last[len(to)]
}

const mostNames = 16 // as many as can be read in one line

// meant is the advice on a name that is not known: the nearest one, else the names there are.
func meant(word string, known []string) string {
	if candidate := nearest(word, known); candidate != "" {
		return fmt.Sprintf("did you mean %q?", candidate)
	}
	return oneOf(known)
}

// oneOf lists what would be right.
func oneOf(known []string) string {
	switch {
	case len(known) == 0:
		return ""
	case len(known) == 1:
		return fmt.Sprintf("only %q", known[0])
	case len(known) > mostNames:
		return fmt.Sprintf("there are %s and %d more", strings.Join(known[:mostNames], ", "), len(known)-mostNames)
	}
	return "one of " + strings.Join(known, ", ")
}
