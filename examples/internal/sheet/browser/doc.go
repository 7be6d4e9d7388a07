// Package browser holds the test of the job sheet in a real browser. It is a
// module of its own so that the library's users never load its driver. It needs
// Chromium (Debian: apt-get install chromium) and fails without it:
//
//	go test .
//
// The page kept as a golden file is always opened. With PINSTACK_SHEETS set to
// a directory, every page DIR/NAME/sheet.html is opened too; at least one must be
// there. Every figure in the words, tables and plots of a page is held to the JSON
// of the same job, DIR/NAME.json; another test makes each figure of the golden page
// false in turn and demands that the comparison notices. Screenshots and prints are kept as
// artefacts in the directory that PINSTACK_SHOTS names, else where go test
// -artifacts -outputdir DIR says.
package browser
