package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"
)

// rise is an invented flight: up for four seconds and down again.
func rise(name string, speed float64) Series {
	s := Series{Name: name}
	for t := 0.0; t <= 8; t += 0.1 {
		s.Samples = append(s.Samples, Sample{t, speed*t - 5*t*t, speed - 10*t})
	}
	return s
}

var invented = Flight{
	Title:  "plover & <kite>",
	Series: []Series{rise("as planned", 80), rise("upper motor unlit, in one piece", 50)},
	Events: []Event{{0, "lift-off"}, {0.2, "off the rail"}, {1.1, "booster burnout"}, {1.2, "upper thrust"}, {6, "apogee"}},
	Below:  "Left out: wind; weathercocking; tilt; wobble; " + strings.Repeat("one more thing that the model of the flight does not hold; ", 4) + "the last.",
}

func TestSVGIsWellFormedAndTellsEverything(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, "svg", invented); err != nil {
		t.Fatal(err)
	}
	dec := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	for {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
	}
	for _, want := range []string{"plover", "lift-off", "upper thrust", "unlit", "weathercocking", "height, m", "speed, m/s"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the plot does not say %q", want)
		}
	}
}

func TestPNGIsDrawnInGreyOnly(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, "png", invented); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	dark := 0
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			r, g, bl, _ := img.At(x, y).RGBA()
			if r != g || g != bl {
				t.Fatalf("a coloured point at %d, %d", x, y)
			}
			if r < 0x4000 {
				dark++
			}
			if edge := x == 0 || y == 0 || x == img.Bounds().Max.X-1 || y == img.Bounds().Max.Y-1; edge && r < 0xf000 {
				t.Fatalf("something is clipped at the edge, at %d, %d", x, y)
			}
		}
	}
	if dark < 1000 {
		t.Errorf("hardly anything is drawn: %d dark points", dark)
	}
}

// TestSmallPrintFits: every word of it, on lines within the drawing.
func TestSmallPrintFits(t *testing.T) {
	const room = width - 4*margin
	lines := wrap(smallPrint(), invented.Below, room)
	if got := strings.Join(lines, " "); got != strings.TrimSpace(invented.Below) || len(lines) < 3 {
		t.Errorf("%d lines: %s", len(lines), got)
	}
	for _, line := range lines {
		if w := smallPrint().Width(line); w > room {
			t.Errorf("%g points of %g: %s", w.Points(), room.Points(), line)
		}
	}
}

func TestRefusals(t *testing.T) {
	if err := Write(io.Discard, "bmp", invented); err == nil {
		t.Error("an unknown format was taken")
	}
	broken := Flight{Series: []Series{{"x", []Sample{{0, math.NaN(), 0}}}}}
	if err := Write(io.Discard, "svg", broken); err == nil {
		t.Error("a figure that is no number was drawn")
	}
}
