// Package sheet is the job sheet of the example programs: plain data that says
// how a lot of panels is drilled and routed, a text for the terminal
// ([Sheet.WriteText]) and one self-contained page for the drill room
// ([Sheet.WriteHTML]).
//
// # Data
//
// A [Sheet] holds numbers and words only; whoever plans fills it in. Lengths are
// mm, feeds mm/min, spindle speeds rev/min, times seconds, money the lot's own
// unit. What counts per stack, per load and per lot is said at each field. Its
// JSON form has a schema number and is the machine-readable output of the
// programs: one source for text, page and JSON, so they cannot disagree.
//
// # Page
//
// The page carries its style, script and data; it loads nothing, so it works
// from a file and on a computer without a network. Without the script it is
// a plain document with a picture of each pass. With it the picture can be
// moved, enlarged and played in machine time. On paper it is black on white and
// runs are told apart by symbols.
//
// # Guarantees
//
// The same sheet and scene give the same bytes; there is no date and no
// measured wall time in them. Every text is escaped for where it stands.
package sheet
