package report

import (
	"fmt"
	"image/color"
	"io"
	"strings"

	"github.com/boombuler/barcode/qr"

	"rangebox/cmd/rangebox/answer"
)

// Labels writes a page of labels, a square code of the lot's id on each.
func Labels(w io.Writer, l Look, labels answer.Labels) error {
	shown := make([]label, len(labels.Labels))
	for i, of := range labels.Labels {
		code, err := squareCode(of.Lot)
		if err != nil {
			return err
		}
		shown[i] = label{of, code, strings.Split(of.Hazard, "\n")}
	}
	return page(w, l, "labels.html", shown, labels.Tails)
}

// label is a label as the page shows it.
type label struct {
	answer.LotLabel
	Code        code
	HazardLines []string
}

// code is a QR code as a drawing: Side modules wide, the quiet zone of both sides
// included, and Millimetres wide in print.
type code struct {
	Side        int
	Millimetres float64
	Path        string
}

const (
	// quietZone is the width, in modules, of what must stay white around a QR code
	// (ISO/IEC 18004, as commonly quoted; from memory).
	quietZone = 4
	// moduleMillimetres is the width of a module in print: wide enough for the
	// camera of a phone and a worn printer (ours).
	moduleMillimetres = 0.5
)

// squareCode draws text as a QR code of level M, which bears a loss of some 15 %.
func squareCode(text string) (code, error) {
	drawn, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return code{}, fmt.Errorf("drawing the code of %q: %w", text, err)
	}
	side := drawn.Bounds().Dx()
	var path strings.Builder
	for y := range side {
		for x := 0; x < side; x++ {
			from := x
			for x < side && drawn.At(x, y) == color.Black {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quietZone, y+quietZone, x-from, x-from)
			}
		}
	}
	whole := side + 2*quietZone
	return code{whole, float64(whole) * moduleMillimetres, path.String()}, nil
}

// LabelsWritten says what was written.
func LabelsWritten(w io.Writer, l Look, labels answer.Labels) error {
	l.Para(w, fmt.Sprintf("Wrote %s: %s.", Clean(labels.File), counted(len(labels.Labels), "label")))
	return nil
}

// counted is a number of things.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
