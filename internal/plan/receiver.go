package plan

import (
	"slices"
	"strings"
)

// receivers is what each sort of receiver tunes, by the beginning of its name.
var receivers = []struct {
	prefix string
	tunes  []Kind
}{
	{"NAV", []Kind{VOR, VORDME}},
	{"DME", []Kind{VORDME, DME}},
	{"ADF", []Kind{NDB}},
}

// Receives reports whether a receiver, by the beginning of its name, tunes a kind of beacon: NAV1 a VOR, DME a DME, ADF an NDB.
func Receives(receiver string, kind Kind) bool { return slices.Contains(tunedBy(receiver), kind) }

// SelectsCourse reports whether a receiver has a course to select: NAV1 has one, a DME and an ADF have not.
func SelectsCourse(receiver string) bool { return Receives(receiver, VOR) }

// tunedBy is what a receiver tunes; nil for a name that tells of no receiver.
func tunedBy(receiver string) []Kind {
	for _, sort := range receivers {
		if strings.HasPrefix(strings.ToUpper(receiver), sort.prefix) {
			return sort.tunes
		}
	}
	return nil
}
