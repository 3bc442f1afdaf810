package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	browsernet "github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// terminal is the program itself, as it serves.
type terminal struct {
	t    *testing.T
	keys io.Writer
	said *bufio.Scanner
}

// serve starts beadwright serve. It ends with the test.
func serve(t *testing.T, shop shell, flags ...string) *terminal {
	t.Helper()
	cmd := exec.Command(shop.program, append([]string{"--notebook=" + shop.notebook, "serve"}, flags...)...)
	keys, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Signal(syscall.SIGTERM)
		_ = cmd.Wait()
	})
	return &terminal{t, keys, bufio.NewScanner(out)}
}

var link = regexp.MustCompile(`http://127\.0\.0\.\d:\d+/(pair\?code=\S+)?`)

// link reads on to the next address.
func (l *terminal) link() string {
	l.t.Helper()
	for l.said.Scan() {
		if link := link.FindString(l.said.Text()); link != "" {
			return link
		}
	}
	l.t.Fatal("the program showed no address: ", l.said.Err())
	return ""
}

// another presses Enter for another link.
func (l *terminal) another() string {
	l.t.Helper()
	if _, err := io.WriteString(l.keys, "\n"); err != nil {
		l.t.Fatal(err)
	}
	return l.link()
}

// open shows a whole address.
func (b *browser) open(address string) { b.t.Helper(); b.do(chromedp.Navigate(address)) }

// words is what the page says.
func (b *browser) words() string {
	b.t.Helper()
	return ask[string](b, `document.documentElement.innerText`)
}

// lookedOver tries the page that is shown in every look, at 320 px and on a desk.
func (b *browser) lookedOver(name string) {
	b.t.Helper()
	for _, width := range []int64{320, 1280} {
		b.do(chromedp.EmulateViewport(width, 740))
		for _, look := range []string{"light", "dark", "contrast"} {
			b.looks(look, "")
			b.axe(fmt.Sprintf("%s, %s, %d px", name, look, width))
			b.picture(fmt.Sprintf("%s_%s_%d", name, look, width))
		}
		if wide := ask[float64](b, `document.documentElement.scrollWidth`); wide > float64(width) {
			b.t.Errorf("%s is %g px wide on a screen of %d", name, wide, width)
		}
		for _, c := range ask[[]control](b, controls) {
			if !c.Hidden && (c.W < 63.9 || c.H < 63.9) {
				b.t.Errorf("%s: %q is %.0f by %.0f px, wanted 64 by 64", name, c.Name, c.W, c.H)
			}
		}
	}
}

// shut fails unless the page is the one for whoever is not let in, with nothing of
// the notebook on it and no way further in.
func (b *browser) shut(what string) {
	b.t.Helper()
	said := b.words()
	if !strings.Contains(said, "This device is not paired with the notebook") || !strings.Contains(said, "serve --lan") {
		b.t.Errorf("%s is told: %s", what, said)
	}
	if strings.Contains(said, "A1") || strings.Contains(said, "shed") || ask[bool](b, `document.querySelector("nav, footer, form, main a") !== null`) {
		b.t.Errorf("%s sees more than that: %s", what, said)
	}
}

// cookies are those that the browser has for the page.
func (b *browser) cookies() []*browsernet.Cookie {
	b.t.Helper()
	return run(b, func(ctx context.Context, t *chromedp.Target) ([]*browsernet.Cookie, error) {
		got, err := cdp.Call(ctx, t, browsernet.GetCookies, browsernet.GetCookiesParams{})
		return got.Cookies, err
	})
}

// letIn serves the notebook to a network. A phone opens the link of the terminal
// and is let in; the link lets nobody else in; who is taken off the list, at the
// command line or from another phone, is out at once.
func letIn(b *browser) {
	if l, err := net.Listen("tcp", "127.0.0.2:0"); err != nil {
		b.t.Skip("this system has one loopback address alone: ", err)
	} else {
		l.Close()
	}
	terminal := serve(b.t, b.shop, "--lan", "--yes", "--listen=127.0.0.2:0") // an address that is nobody's own to it
	link := terminal.link()
	b.at = link[:strings.Index(link, "/pair")]

	b.open(link)
	if said := b.words(); !strings.Contains(said, "Pair this device") {
		b.t.Fatalf("the link shows: %s", said)
	}
	if len(b.cookies()) > 0 {
		b.t.Error("the link alone gave a cookie: a preview would have used it up")
	}
	b.lookedOver("pair")
	b.do(chromedp.EmulateViewport(360, 740))
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=name]").value = "garage"`))
	b.tap("form[action='/pair'] .key.main")
	b.wait(`location.pathname === "/" && document.querySelector(".ask") !== null`)
	got := b.cookies()
	if len(got) != 1 || !got[0].HTTPOnly || got[0].SameSite != browsernet.CookieSameSiteStrict || len(got[0].Value) < 40 || got[0].Path != "/" {
		b.t.Errorf("the cookie is %+v", got)
	}
	if seen := ask[string](b, `document.cookie`); seen != "" {
		b.t.Errorf("script sees the cookie: %q", seen)
	}
	b.visit("/find")
	if marks := ask[[]string](b, `[...document.querySelectorAll(".hits .mark")].map(e => e.innerText)`); !slices.Equal(marks, []string{"A2", "A1"}) {
		b.t.Errorf("the paired phone finds %q", marks)
	}

	second := tab(b.t, b.chrome)
	second.at = b.at
	for _, at := range []string{"/", "/find", "/weld/A1", "/phones", "/nowhere"} {
		second.visit(at)
		second.shut("a phone that is not paired, at " + at)
	}
	second.lookedOver("unpaired")
	second.do(chromedp.EmulateViewport(360, 740))
	second.open(link)
	if said := second.words(); !strings.Contains(said, "This link is used up") || !strings.Contains(said, "press Enter in the terminal") || len(second.cookies()) > 0 {
		b.t.Errorf("a link used twice: %v, and says: %s", second.cookies(), said)
	}
	second.lookedOver("usedup")

	second.open(terminal.another())
	second.do(chromedp.EmulateViewport(360, 740), chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=name]").value = "tablet"`))
	second.tap("form[action='/pair'] .key.main")
	second.wait(`location.pathname === "/" && document.querySelector(".ask") !== null`)
	second.tap("a[href='/phones']")
	second.wait(`document.querySelectorAll(".card").length === 2`)
	if here := ask[string](second, `[...document.querySelectorAll(".card")].find(c => c.innerText.includes("this one")).querySelector("h2").innerText`); !strings.Contains(here, "tablet") {
		b.t.Errorf("the tablet takes itself for %q", here)
	}
	second.lookedOver("phones")
	second.do(chromedp.EmulateViewport(360, 740))
	second.tap("form:has([value=garage]) button")
	second.wait(`document.querySelectorAll(".card").length === 1`)
	b.visit("/find")
	b.shut("a phone that another took off the list")

	b.shop.must(b.t, "serve", "--revoke=tablet")
	second.visit("/find")
	second.shut("a phone that the command line took off the list")
}

// charts looks the page of a machine over with its charts drawn, each with its
// words, and widened by none of them.
func charts(b *browser) {
	b.at = strings.TrimSuffix(serve(b.t, b.shop, "--listen=127.0.0.1:0").link(), "/")
	b.visit("/machine/shed")
	if n := ask[int](b, `[...document.querySelectorAll("svg.drawn[role=img][aria-label]")].filter(e => e.getBoundingClientRect().width > 200 && e.querySelectorAll("path").length > 10).length`); n != 3 {
		b.t.Errorf("%d charts are drawn, wanted knob, thickness and history", n)
	}
	b.lookedOver("machine")
}
