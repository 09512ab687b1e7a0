// Package plot draws a flight, height and speed over time with its events, as SVG
// or PNG. Lines are told apart by dashes and events by numbers, so that it reads
// in greyscale. It stands apart from package report since what it links is large.
package plot

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Sample is a moment of a flight: seconds from lift-off, metres, metres a second.
type Sample struct{ Time, Height, Speed float64 }

// Series is one way the flight can go.
type Series struct {
	Name    string
	Samples []Sample
}

// Event is a moment that is marked, with what happens then.
type Event struct {
	Time float64
	What string
}

// Flight is all that is drawn.
type Flight struct {
	Title  string
	Series []Series // the first is the flight as planned
	Events []Event  // in order of time
	Below  string   // small print
}

// Formats are the endings of files that can be written.
var Formats = []string{"svg", "png"}

const (
	width    = 18 * vg.Centimeter
	panel    = 8 * vg.Centimeter
	lineStep = 13 // points from one line of text to the next
	margin   = 10
)

// Write draws the flight in one of the Formats.
func Write(w io.Writer, format string, f Flight) error {
	height := 2*panel + vg.Length(textLines(f)+1)*lineStep + 2*margin
	switch format {
	case "svg":
		c := vgsvg.New(width, height)
		if err := paint(draw.New(c), f); err != nil {
			return err
		}
		_, err := c.WriteTo(w)
		return wrapped(err)
	case "png":
		c := vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(144))
		if err := paint(draw.New(c), f); err != nil {
			return err
		}
		_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
		return wrapped(err)
	}
	return fmt.Errorf("there is no plot format %q", format)
}

func wrapped(err error) error {
	if err != nil {
		return fmt.Errorf("writing the plot: %w", err)
	}
	return nil
}

// paint draws the two panels, one below the other, and the text under them.
func paint(c draw.Canvas, f Flight) error {
	c.SetColor(color.White)
	c.Fill(c.Rectangle.Path())
	text := vg.Length(textLines(f)+1)*lineStep + margin
	area := draw.Crop(c, margin, -margin, text, -margin)
	heights, err := panelOf(f, f.Title, "height, m", func(s Sample) float64 { return s.Height })
	if err != nil {
		return err
	}
	speeds, err := panelOf(f, "", "speed, m/s", func(s Sample) float64 { return s.Speed })
	if err != nil {
		return err
	}
	speeds.X.Label.Text = "time from lift-off, s"
	tiles := plot.Align([][]*plot.Plot{{heights}, {speeds}}, draw.Tiles{Rows: 2, Cols: 1, PadY: 8}, area)
	heights.Draw(tiles[0][0])
	speeds.Draw(tiles[1][0])
	caption(c, f)
	return nil
}

func panelOf(f Flight, title, label string, value func(Sample) float64) (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text, p.Y.Label.Text = title, label
	p.Title.Padding = 6
	p.Y.Tick.Marker = ticks{}
	p.X.Tick.Marker = ticks{}
	lo, hi := 0.0, 0.0
	for i, s := range f.Series {
		points := make(plotter.XYs, len(s.Samples))
		for j, sample := range s.Samples {
			points[j] = plotter.XY{X: sample.Time, Y: value(sample)}
			lo, hi = math.Min(lo, points[j].Y), math.Max(hi, points[j].Y)
		}
		line, err := plotter.NewLine(points)
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", s.Name, err)
		}
		line.LineStyle = style(i)
		p.Add(line)
	}
	room := (hi - lo) * 0.14
	p.Y.Min, p.Y.Max = lo, hi+room
	return p, marks(p, f.Events, lo, hi+room)
}

// style tells lines apart by dashes and width; all are dark.
func style(i int) draw.LineStyle {
	dashes := [][]vg.Length{nil, {vg.Points(6), vg.Points(3)}, {vg.Points(2), vg.Points(2)}, {vg.Points(8), vg.Points(2), vg.Points(2), vg.Points(2)}}
	s := draw.LineStyle{Color: color.Gray{Y: 0x20}, Width: vg.Points(1.6), Dashes: dashes[i%len(dashes)]}
	if i > 0 {
		s.Color, s.Width = color.Gray{Y: 0x50}, vg.Points(1.1)
	}
	return s
}

// marks draws a thin line at each event, with its number at the top; numbers of
// events that come close to each other stand on two levels.
func marks(p *plot.Plot, events []Event, lo, hi float64) error {
	labels := plotter.XYLabels{}
	end := p.X.Max
	last, level := math.Inf(-1), 0
	for i, e := range events {
		line, err := plotter.NewLine(plotter.XYs{{X: e.Time, Y: lo}, {X: e.Time, Y: hi}})
		if err != nil {
			return fmt.Errorf("marking %s: %w", e.What, err)
		}
		line.LineStyle = draw.LineStyle{Color: color.Gray{Y: 0xa0}, Width: vg.Points(0.5)}
		p.Add(line)
		level = (level + 1) % 2
		if e.Time-last > end/30 {
			level = 0
		}
		last = e.Time
		labels.XYs = append(labels.XYs, plotter.XY{X: e.Time, Y: hi - (hi-lo)*(0.05+0.05*float64(level))})
		labels.Labels = append(labels.Labels, fmt.Sprintf(" %d", i+1))
	}
	drawn, err := plotter.NewLabels(labels)
	if err != nil {
		return fmt.Errorf("numbering the events: %w", err)
	}
	p.Add(drawn)
	return nil
}

// ticks are the usual ones, labelled without needless decimals.
type ticks struct{}

// Ticks gives the ticks of an axis.
func (ticks) Ticks(lo, hi float64) []plot.Tick {
	list := plot.DefaultTicks{}.Ticks(lo, hi)
	for i := range list {
		if list[i].Label != "" {
			list[i].Label = strconv.FormatFloat(list[i].Value, 'g', 6, 64)
		}
	}
	return list
}

// textLines is how many lines of text stand under the panels.
func textLines(f Flight) int {
	return len(f.Series) + (len(f.Events)+1)/2 + len(wrap(smallPrint(), f.Below, width-4*margin))
}

func smallPrint() draw.TextStyle {
	return draw.TextStyle{Color: color.Black, Font: font.From(plot.DefaultFont, 9), Handler: plot.DefaultTextHandler, YAlign: draw.YTop}
}

// wrap breaks text between words into lines no wider than the room.
func wrap(style draw.TextStyle, text string, room vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && style.Width(longer) > room {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// caption writes what each line is, the events in two columns, and the small print.
func caption(c draw.Canvas, f Flight) {
	text := smallPrint()
	left := c.Min.X + 2*margin
	y := c.Min.Y + vg.Length(textLines(f)+1)*lineStep
	for i, s := range f.Series {
		c.StrokeLine2(style(i), left, y-lineStep/2, left+3*margin, y-lineStep/2)
		c.FillText(text, vg.Point{X: left + 4*margin, Y: y}, s.Name)
		y -= lineStep
	}
	rows := (len(f.Events) + 1) / 2
	for i, e := range f.Events {
		at := vg.Point{X: left + vg.Length(i/rows)*width/2, Y: y - vg.Length(i%rows)*lineStep}
		c.FillText(text, at, fmt.Sprintf("%d  %.2f s  %s", i+1, e.Time, e.What))
	}
	for i, line := range wrap(text, f.Below, width-4*margin) {
		c.FillText(text, vg.Point{X: left, Y: y - vg.Length(rows+i)*lineStep}, line)
	}
}
