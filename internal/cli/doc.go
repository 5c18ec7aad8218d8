// Package cli is the commands, flags, exit codes and output formats of legclock, and the one place that knows both files and
// screens.
//
// Output follows two rules. What was asked for goes to standard output and nothing else does. Everything said to the person goes
// to standard error as "legclock: error: …" or "legclock: hint: …": no capital, no full stop, no Go type names; an error says
// what is wrong and where, a hint says what would be right.
//
// Exit codes are the same in all commands: ExitCodes lists them.
package cli
