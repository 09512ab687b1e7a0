// Package seed holds the invented demonstration box: an archive, as package
// importers/archive reads it, embedded in the program. The demonstration works
// with it, and tests of other packages may.
//
// It is the box of Tove Brackenrill, who flies on Ondermoor, a rewetted peat
// moor, to learn on which mornings the lid of cold air above it lets go: a
// thermometer string, a sower of cottongrass, a humidity sensor in two stages, a
// wind streamer and a camera. Flyer, moor, makers and products are all invented;
// the figures are such as could be, and are nobody's data sheet. The stories in
// the notes agree with the ledger, and some figures are missing or awkward on
// purpose, so that every verdict can be shown.
//
// The package imports the standard library only. What reads the archive is the
// importers' concern, so that they can be tested against it.
package seed

import (
	_ "embed" // for the archive
	"io"
	"strings"
)

//go:embed box.json
var box string

// Open gives the archive of the demonstration box, from its beginning.
func Open() io.Reader { return strings.NewReader(box) }
