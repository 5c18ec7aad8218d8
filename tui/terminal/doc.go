// Package terminal starts, runs and stops a full-screen program, so that no keypress and no terminal is lost.
//
// It knows nothing of flights, keys' meanings or what rows say. It holds all that Bubble Tea v1 needs to serve an
// always-on program, so that a Screen can be a plain model: messages in, rows out.
//
// # Painting
//
// Bubble Tea's renderer wakes as often as it may draw, sixty times a second or once, whether there is anything to draw or not, and with it the runtime's
// own watchman. So there is none: raw mode, the alternate screen and the size are taken care of here. The
// frame is painted by package paint at the end of Update, at once and only when the Screen says that something changed; the first one before Bubble
// Tea's loop begins. The loop, commands and the decoding of keys stay Bubble Tea's. On Windows, whose console has modes of its own, the renderer stays
// too; it may draw once a second and is given nothing to draw (an escape sequence that shows nothing), and sizes are kept from it, so that it never
// clears or cuts a line.
//
// # Keys
//
// Characters that arrive in one read are one message in Bubble Tea and would match no binding: they are taken apart into
// single keys. Esc followed by another key in one read cannot be told from Alt with it, so it counts as Esc and then that
// key, which a busy machine or a slow line may well deliver together; other combinations with Alt are dropped. Hence no
// binding may need Alt, and Esc must only ever close. Pasted text goes to an open text entry or nowhere.
//
// # Time
//
// Ticks follow the wall second, in one chain: a tick of an older chain is ignored.
//
// # Stopping and ending
//
// Ctrl-Z gives the terminal back and stops the process group, a SIGTSTP from outside this process alone; after the return
// everything is painted again. Where nobody could continue it (the terminal runs the program itself, without a shell), the
// system does not stop it and it comes straight back. A SIGCONT without a stop of ours takes the terminal anew.
//
// SIGINT, SIGTERM and SIGHUP end it in order, even where SIGHUP was ignored at the start; so do the end of input and a
// failed write, as a program without a terminal must not go on holding its journal. A Screen gets no last Update: what
// must be closed is closed after Run returned. For five seconds after such a signal further ones are ignored, so that the
// closing is not cut short; after that they kill.
//
// A panic in the Screen, in a command or in a goroutine started by Program.Go is written to a crash file, the terminal is
// restored and Run returns a Crash. Goroutines must be started by Program.Go: no other can be caught. Nor can faults of the
// Go runtime itself (concurrent map writes, no memory): after those the terminal needs `reset`.
//
// # Windows
//
// There is no signal on resizing, so the size is asked for with every tick. There is no stopping; Ctrl-Z does nothing.
package terminal
