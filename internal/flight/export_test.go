package flight

// SuggestedDiversion is for tests of its rule on its own.
var SuggestedDiversion = suggestedDiversion
