// Package pagetest looks at the pages that are printed, in a real browser. It is a
// package of its own so that it runs beside the long scripts of package command.
package pagetest

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// paper is a page to be printed: its size, and what its margins leave for text, in
// CSS pixels (96 to the inch).
type paper struct {
	name          string
	size          chromedp.PaperSize
	width, height float64
}

const pixelsPerMM = 96 / 25.4

// papers are the sheets that people print on, with margins of so many millimetres.
func papers(margin float64) []paper {
	list := []paper{{name: "A4", size: chromedp.PaperA4}, {name: "Letter", size: chromedp.PaperLetter}}
	for i := range list {
		p := &list[i]
		p.width, p.height = p.size.Width*96-2*margin*pixelsPerMM, p.size.Height*96-2*margin*pixelsPerMM
	}
	return list
}

// browser is a browser without a window, and the requests that it made.
type browser struct {
	t        *testing.T
	ctx      context.Context
	mu       sync.Mutex
	requests []string
}

// newBrowser starts a browser of its own for one test, which is skipped where none
// is installed.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds to start, and this is a short run")
	}
	at := slices.IndexFunc(browserNames, func(name string) bool { _, err := exec.LookPath(name); return err == nil })
	if at < 0 {
		t.Skipf("no browser is installed: none of %v is on the path", browserNames)
	}
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(browserNames[at]), chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(time.Minute),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, done := chromedp.NewContext(ctx)
	t.Cleanup(func() {
		_ = chromedp.Cancel(ctx) // ends the browser before its folder is taken away
		done()
		stop()
	})
	b := &browser{t: t, ctx: ctx}
	b.do("starting the browser")
	b.ctx, stop = context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(stop)
	if err := chromedp.Listen(b.ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	return b
}

var browserNames = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}

func (b *browser) hear(event any) {
	if e, ok := event.(*network.EventRequestWillBeSent); ok {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.requests = append(b.requests, e.Request.URL)
	}
}

// outside are the requests that went anywhere but to the page itself.
func (b *browser) outside(page string) []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.DeleteFunc(slices.Clone(b.requests), func(url string) bool { return url == page })
}

func (b *browser) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatalf("%s: %v", what, err)
	}
}

func inPage[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("asking the page: %v", err)
	}
	return v
}

// open shows a file so many pixels wide, for a medium: screen or print.
func (b *browser) open(file, medium string, width float64) string {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium}); err != nil {
		b.t.Fatal(err)
	}
	url := "file://" + file
	b.do("opening "+file, chromedp.EmulateViewport(int64(width), 900), chromedp.Navigate(url))
	return url
}

// pdf prints the page that is open, as the page asks for it, into a file.
func (b *browser) pdf(p paper) string {
	b.t.Helper()
	data, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(p.size), chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	if err != nil {
		b.t.Fatalf("printing on %s: %v", p.name, err)
	}
	file := filepath.Join(b.t.TempDir(), "page.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		b.t.Fatal(err)
	}
	return file
}

// printed is the text of each page of a PDF.
func (b *browser) printed(pdf string) []string {
	b.t.Helper()
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		b.t.Fatalf("pdftotext: %v", err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

// badLayout looks at every line of text that can be seen: whether it leaves the
// window or the block it stands in, is cut off, or lies on another.
const badLayout = `(() => {
  const bad = [], lines = [], root = document.documentElement;
  const say = (what, node) => bad.push(what + ": " + node.textContent.trim().slice(0, 60));
  if (root.scrollWidth > root.clientWidth) bad.push("the page scrolls sideways: " + root.scrollWidth + " in " + root.clientWidth);
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; node = walker.nextNode();) {
    if (!node.textContent.trim() || getComputedStyle(node.parentElement).visibility !== "visible") continue;
    if (node.parentElement.closest("thead") && getComputedStyle(node.parentElement.closest("thead")).position === "absolute") continue; // spoken only
    let block = node.parentElement;
    while (getComputedStyle(block).display === "inline" && block !== document.body) block = block.parentElement;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = block.getBoundingClientRect();
    for (const r of range.getClientRects()) {
      if (r.width < 1 || r.height < 1) continue;
      if (r.left < -0.5 || r.right > root.clientWidth + 0.5) say("outside the window", node);
      if (r.left < box.left - 1 || r.right > box.right + 1) say("outside its block", node);
      for (let e = node.parentElement; e !== root; e = e.parentElement) {
        const o = getComputedStyle(e), c = e.getBoundingClientRect();
        if ((o.overflowX !== "visible" || o.overflowY !== "visible") && (r.right > c.right + 1 || r.bottom > c.bottom + 1)) say("cut off", node);
      }
      lines.push({r, node});
    }
  }
  lines.sort((a, b) => a.r.top - b.r.top);
  for (let i = 0; i < lines.length; i++)
    for (let j = i + 1; j < lines.length && lines[j].r.top < lines[i].r.bottom; j++) {
      const a = lines[i].r, b = lines[j].r;
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left), high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > 1 && high > 0.4 * Math.min(a.height, b.height)) say("lies on '" + lines[j].node.textContent.trim().slice(0, 30) + "'", lines[i].node);
    }
  if (lines.length < 5) bad.push("there is hardly any text: " + lines.length + " lines");
  return bad;
})()`

// colours are the colours of a page that are no grey.
const coloured = `(() => {
  const found = new Set();
  for (const e of document.querySelectorAll("*")) {
    const s = getComputedStyle(e);
    for (const c of [s.color, s.backgroundColor, s.borderTopColor, s.fill, s.stroke]) {
      const m = /^rgba?\((\d+), (\d+), (\d+)/.exec(c);
      if (m && (m[1] !== m[2] || m[2] !== m[3])) found.add(e.tagName + " " + c);
    }
  }
  return [...found];
})()`

// pale are the texts that are not black on white.
const pale = `(() => {
  const found = new Set();
  for (const e of document.querySelectorAll("body, body *")) {
    const s = getComputedStyle(e);
    if (s.color !== "rgb(0, 0, 0)") found.add(e.tagName + " " + s.color);
    if (!["rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"].includes(s.backgroundColor)) found.add(e.tagName + " on " + s.backgroundColor);
  }
  return [...found];
})()`

// looksRight sees that a page holds together on a phone and on paper, in grey, and
// asks for nothing from outside.
func looksRight(t *testing.T, file string, margin float64) {
	b := newBrowser(t)
	type view struct {
		name, medium string
		width        float64
	}
	views := []view{{"phone", "screen", 390}, {"narrow phone", "screen", 320}, {"desk", "screen", 1200}}
	for _, p := range papers(margin) {
		views = append(views, view{p.name, "print", p.width})
	}
	for _, v := range views {
		url := b.open(file, v.medium, v.width)
		for _, bad := range inPage[[]string](b, badLayout) {
			t.Errorf("%s: %s", v.name, bad)
		}
		for _, list := range [][]string{inPage[[]string](b, coloured), inPage[[]string](b, pale)} {
			for _, bad := range list {
				t.Errorf("%s: in sunlight or without colour this is hard to read: %s", v.name, bad)
			}
		}
		for _, bad := range b.outside(url) {
			t.Errorf("%s: asked for %s", v.name, bad)
		}
	}
}

// TestTheBrowserSeesWhatIsWrong sees that what the other tests ask would find
// text that is cut off, overlaps, is too wide or coloured, and a request.
func TestTheBrowserSeesWhatIsWrong(t *testing.T) {
	b := newBrowser(t)
	server := httptest.NewServer(http.NotFoundHandler())
	defer server.Close()
	file := filepath.Join(t.TempDir(), "bad.html")
	page := fmt.Sprintf(`<body><p style="width:3em">%s</p><div style="overflow:hidden;height:1em;width:20em">one two three<br>four five</div>
<div style="height:1em"><p>above</p></div><p style="margin-top:-1.2em;color:#a00">below</p><p>more<p>text<img src="%s/x.png">`, strings.Repeat("x", 200), server.URL)
	if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
	url := b.open(file, "screen", 390)
	found := strings.Join(inPage[[]string](b, badLayout), "\n")
	for _, want := range []string{"scrolls sideways", "outside the window: xx", "outside its block: xx", "cut off: four five", "lies on"} {
		if !strings.Contains(found, want) {
			t.Errorf("%q is not found among:\n%s", want, found)
		}
	}
	if got := inPage[[]string](b, coloured); len(got) != 1 || !strings.Contains(got[0], "170, 0, 0") {
		t.Errorf("coloured: %v", got)
	}
	if got := inPage[[]string](b, pale); len(got) != 1 {
		t.Errorf("pale: %v", got)
	}
	if got := b.outside(url); len(got) != 1 || got[0] != server.URL+"/x.png" {
		t.Errorf("requests to the outside: %v", got)
	}
}
