package say

// Caution stands on every printed sheet, report and export, on every exercise on paper, and in the guide.
const Caution = "For simulators, practice and as a back-up to your own log. Not certified: the aircraft's handbook, " +
	"the published charts, local rules and your instructor decide."

// ShortCaution is Caution in one row of a screen of 80 cells.
const ShortCaution = "For simulators, practice, back-up: handbook, charts, rules, instructor decide."
