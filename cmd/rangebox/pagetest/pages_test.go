package pagetest

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/command"
)

// The margins that the pages ask for, in millimetres.
const (
	sheetMargin = 12
	labelMargin = 10
)

// rangebox runs a command, on the day that the demo's box was written for, and
// gives what it said.
func rangebox(t *testing.T, args ...string) []byte {
	t.Helper()
	var out, errors bytes.Buffer
	code := command.Run(&command.Env{
		In: strings.NewReader(""), Out: &out, Err: &errors, Width: 80,
		Now:    func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) },
		Getenv: func(string) string { return "" },
	}, args)
	if code != 0 {
		t.Fatalf("%v: exit status %d: %s", args, code, errors.String())
	}
	return out.Bytes()
}

// writePage runs a command that writes a page, and gives the page's path and the
// command's answer.
func writePage(t *testing.T, box string, answered any, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	out := rangebox(t, append([]string{"--db", box, "--output", "json", "-o", file}, args...)...)
	if err := json.Unmarshal(out, answered); err != nil {
		t.Fatal(err)
	}
	return file
}

// demoBox is the demo's box, its coming day packed.
func demoBox(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "demo.box")
	rangebox(t, "demo", "--keep", path)
	rangebox(t, "--db", path, "day", "pack", "2026-12-12")
	return path
}

// hostileBox is a box of which every free text is an attack on a page.
func hostileBox(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "hostile.box")
	rangebox(t, "--db", path, "import", "testdata/hostile.json")
	rangebox(t, "--db", path, "day", "pack", "2027-04-17")
	return path
}

func TestTheSheetLooksRight(t *testing.T) {
	var sheet answer.Sheet
	looksRight(t, writePage(t, demoBox(t), &sheet, "day", "sheet", "2026-12-12"), sheetMargin)
}

func TestTheLabelsLookRight(t *testing.T) {
	var labels answer.Labels
	looksRight(t, writePage(t, demoBox(t), &labels, "stock", "labels"), labelMargin)
}

// TestHostileTextIsShownAsText sees that names which are code, turn the reading
// direction or are hundreds of letters long are shown, run nothing and break no
// page.
func TestHostileTextIsShownAsText(t *testing.T) {
	box := hostileBox(t)
	for _, row := range []struct {
		name   string
		args   []string
		margin float64
	}{{"sheet", []string{"day", "sheet", "2027-04-17"}, sheetMargin}, {"labels", []string{"stock", "labels"}, labelMargin}} {
		t.Run(row.name, func(t *testing.T) {
			var answered any
			file := writePage(t, box, &answered, row.args...)
			looksRight(t, file, row.margin)
			b := newBrowser(t)
			b.open(file, "screen", 390)
			text := inPage[string](b, "document.body.innerText")
			for _, want := range []string{"<script>document.title='place'</script>", strings.Repeat("w", 200), "?gnp.exe", "&lt;i&gt;"} {
				if !strings.Contains(strings.ReplaceAll(text, "\n", ""), want) {
					t.Errorf("%q cannot be read on the page", want)
				}
			}
			if title := inPage[string](b, "document.title"); strings.Contains(title, "place") {
				t.Errorf("a script ran: the title is %q", title)
			}
			if n := inPage[int](b, `document.querySelectorAll("script, img, iframe, a, link, object, style ~ style, [onclick], [onerror]").length`); n != 0 {
				t.Errorf("%d elements came out of text", n)
			}
		})
	}
}

// flightHead is the head of a flight's card, and its end the words below it.
var flightHead = regexp.MustCompile(`(?m)^\s*Flight ([0-9.]+): `)

const cardEnd = "The ascent leaves out"

// TestCardsStayWhole prints the sheet: a card that is no longer than a page is not
// broken, and a flight does not take more pages than it must.
func TestCardsStayWhole(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed, and without it nobody reads what a printed page holds")
	}
	var sheet answer.Sheet
	file := writePage(t, demoBox(t), &sheet, "day", "sheet", "2026-12-12")
	b := newBrowser(t)
	for _, p := range papers(sheetMargin) {
		b.open(file, "print", p.width)
		heights := inPage[[]float64](b, `[...document.querySelectorAll(".card")].map(e => e.getBoundingClientRect().height)`)
		pages := b.printed(b.pdf(p))
		var begins, ends []int
		for i, text := range pages {
			for range flightHead.FindAllString(text, -1) {
				begins = append(begins, i)
			}
			for range strings.Count(text, cardEnd) {
				ends = append(ends, i)
			}
		}
		if len(begins) != len(sheet.Flights) || len(ends) != len(begins) || len(heights) != len(begins) {
			t.Fatalf("%s: %d cards of %d heads and %d ends, of %d flights", p.name, len(heights), len(begins), len(ends), len(sheet.Flights))
		}
		whole := 0
		for i, height := range heights {
			taken := ends[i] - begins[i] + 1
			if height <= p.height {
				whole++
			}
			if least := int(height/p.height) + 1; taken > least {
				t.Errorf("%s: the card of flight %s is %.0f high, a page %.0f, and it is spread over %d pages", p.name, sheet.Flights[i].Number, height, p.height, taken)
			}
		}
		if whole == 0 {
			t.Errorf("%s: no card fits a page, and nothing was looked at", p.name)
		}
	}
}

// TestCodesAreRead has an independent reader read the codes off the labels as they
// are printed: each lot's id, whole. Each label gets a page of its own for that,
// because the reader passes over some where a picture holds dozens.
func TestCodesAreRead(t *testing.T) {
	for _, program := range []string{"zbarimg", "pdftoppm"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("%s is not installed, and without it no printed QR code is read", program)
		}
	}
	var labels answer.Labels
	file := writePage(t, demoBox(t), &labels, "stock", "labels")
	b := newBrowser(t)
	b.open(file, "print", papers(labelMargin)[0].width)
	inPage[int](b, `document.querySelector("main").style.display = "block", [...document.querySelectorAll(".label")].map(e => e.style.breakAfter = "page").length`)
	prefix := filepath.Join(t.TempDir(), "page")
	cut := []string{"-r", "200", "-x", "0", "-y", "0", "-W", "800", "-H", "500", "-png", b.pdf(papers(labelMargin)[0]), prefix}
	if out, err := exec.Command("pdftoppm", cut...).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	pages, _ := filepath.Glob(prefix + "*.png")
	read, err := exec.Command("zbarimg", append([]string{"--quiet", "--raw", "-S*.disable", "-Sqrcode.enable"}, pages...)...).Output()
	if err != nil {
		t.Fatalf("zbarimg: %v", err)
	}
	got, want := strings.Fields(string(read)), []string{}
	for _, l := range labels.Labels {
		want = append(want, l.Lot)
	}
	if len(want) < 40 || !slices.Equal(got, want) {
		t.Errorf("read %d codes:\n%v\nwant %d:\n%v", len(got), got, len(want), want)
	}
}

// TestCodesCanBePrinted measures the codes as they are printed: the width of a
// module, and the white around (ISO/IEC 18004: four modules).
func TestCodesCanBePrinted(t *testing.T) {
	var labels answer.Labels
	file := writePage(t, demoBox(t), &labels, "stock", "labels")
	b := newBrowser(t)
	for _, p := range papers(labelMargin) {
		b.open(file, "print", p.width)
		codes := inPage[[][5]float64](b, `[...document.querySelectorAll("svg")].map(e => {
			const drawn = e.querySelector("path").getBBox(), side = e.viewBox.baseVal.width;
			return [e.getBoundingClientRect().width / side, drawn.x, drawn.y, side - drawn.x - drawn.width, side - drawn.y - drawn.height];
		})`)
		if len(codes) != len(labels.Labels) {
			t.Fatalf("%s: %d codes on %d labels", p.name, len(codes), len(labels.Labels))
		}
		for i, c := range codes {
			if mm := c[0] / pixelsPerMM; mm < 0.4 {
				t.Errorf("%s: a module of label %d is %.2f mm wide", p.name, i, mm)
			}
			if white := slices.Min(c[1:]); white < 4 {
				t.Errorf("%s: label %d has %g modules of white around its code", p.name, i, white)
			}
		}
		if across := inPage[int](b, `new Set([...document.querySelectorAll(".label")].map(e => Math.round(e.getBoundingClientRect().left))).size`); across != 3 {
			t.Errorf("%s: %d labels in a row", p.name, across)
		}
	}
}
