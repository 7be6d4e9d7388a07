// Package nc reads and writes IPC-NC-349 drill and rout programs: text to
// blocks to operations, and back. It knows no holes and no boards.
//
// # Tutorial
//
// A file is read and tells how its numbers were understood:
//
//	file, err := nc.Parse([]byte(sensorDrill), nc.ReadOptions{File: "greenhouse-sensor.drl"})
//	fmt.Println(file.Units, file.Zeros, file.Digits, file.How())
//	for _, note := range file.Notes {
//		fmt.Printf("line %d, %s\n", note.Line, note.Rule)
//	}
//	made, err := file.Summary()
//	for _, tool := range made.Tools {
//		fmt.Printf("T%d %.4f mm: %d hits\n", tool.Tool, tool.Diameter, tool.Hits)
//	}
//
// Its operations are written again in the strict dialect, and both make the
// same:
//
//	var ops []nc.Op
//	for op, err := range file.Ops() {
//		ops = append(ops, op)
//	}
//	metric, err := nc.Build(slices.Values(ops), file.Tools, nc.WriteOptions{Units: nc.Millimetres})
//	differences, err := nc.Compare(file, metric, 0.001)
//	fmt.Println("in", metric.Units, "with", len(differences), "differences")
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Reading
//
// [Parse] keeps the text, so that [Program.WriteTo] gives back its bytes;
// [Scan] streams and keeps nothing but an open pattern. Both run the same
// interpreter and agree on every file. Operations come with every modal value
// filled in, repeats and patterns expanded, lengths in mm whatever the file's
// unit. A coordinate is snapped once, when read, to whole nanometres, so an
// inch file and a metric file of one board on their common grid agree.
//
// Reading is liberal: every word that is not understood is kept as an
// [OpUnknown], reported as a [Note] with its line, and tells whether it could
// make a hole or move the tool. It is never silent and never repairs: what
// contradicts itself, is cut off, or leaves the position in doubt is a
// [*SyntaxError] with line and column (from 1, in bytes). A file without M30 or
// M00 counts as cut off, for each of the 14 published boards we tried ends
// with one, unless its last full line puts the tool away (T0) or is a tape
// mark; see [ReadOptions].AllowMissingEnd.
//
// # Units, zeros and digits
//
// What the file says holds: INCH, METRIC, M71, M72, LZ, TZ, a form such as
// 000.000, or a comment (FILE_FORMAT=2:5, FORMAT={3:3/ .. suppress leading
// zeros}). The caller's word fills gaps, or rules with Force. What is still
// open is judged from the first MiB by points: usual form (inch 2:4, metric
// 3:3) 5, every number padded to the form 4, digits of the tool table 3,
// largest side of 8 to 500 mm 2, neighbours a usual pitch apart up to 2, points
// in most numbers 9, the unit of tool sizes told in comments 4; off
// for zeros kept that the rule drops 10 (4 for one or two), for overlapping
// holes up to 8, odd tools up to 10, odd sizes 3 or 6. Readings that leave the
// panel, the machine's 10 m or any sane tool size are dropped. The best is
// picked when it has 0 points or more and leads by 3 or stands alone, with a Note
// of rule "judged-form" that holds the evidence; otherwise the file is refused
// with an [*AmbiguousError] that lists the candidates. Texts of wider characters
// (UTF-16, UTF-32), marked or not, are refused with [ErrEncoding].
//
// # Notes
//
// Rules are short fixed names: contradiction, judged-form, odd-form, unknown-word,
// marking-contradiction, marking-ends, blind-span, rapid-down, idle-rapid, plunge-only, feed-move-up, change-down,
// end-down, down-in-drill, down-twice, zero-slot, stepped-slot, zero-set,
// unit-change, short-radius, uneven-arc, incremental, compensated, mirrored-copy, pattern-level, empty-pattern,
// open-header, open-comment, block-delete, tape-mark, after-end, no-end,
// end-word, stop-m00, stop-down, stray-word, format-1, tool-again, tool-changed, tool-index,
// tool-given, tool-comment, whole-diameter, odd-feed, long-number,
// byte-order-mark, null-bytes, decimal-comma, many-attributes, more; missing and extra from
// [Compare]; rounded and no-pattern from [Build].
//
// # Assumptions
//
// The paid standard was not opened; word meanings are what the trade's controls
// commonly document, from memory. Controls differ in the unit of F and B (here
// m/min in metric and inch/min in inch files unless a FEED_UNIT comment or the
// options say otherwise) and of Z (here: tip against the backup's upper face in
// the file's unit, negative into it). Mirrored copies turn about the program zero.
//
// # Writing
//
// [Build] writes one strict dialect and refuses what the reader would remark
// on. [Compare] tells whether two programs make the same things.
//
// Programs are safe for concurrent reading. Nothing here depends on the order
// of a map, on the clock or on the number of cores.
package nc
