package remarks

// Parse is for the fuzzer.
var Parse = parse
