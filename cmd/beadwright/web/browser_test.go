package web

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// axe looks for what keeps somebody out of a page. MPL-2.0; used by this test alone.
//
//go:embed testdata/axe.min.js
var axe string

// patience is how long a condition in the browser may take to come true. It is a
// limit for failures, not a measure: what is waited for is looked at all the time.
const patience = 40 * time.Second

// browser is a tab, and the shop behind the pages that it shows.
type browser struct {
	t      *testing.T
	chrome context.Context // that the tab is one of
	ctx    context.Context
	at     string
	shop   shell
	door   *door
	taps   int
}

// door is a server that can be closed and opened again at the same address, and
// that can lose an answer on the way.
type door struct {
	t      *testing.T
	addr   string
	server *http.Server
	h      http.Handler
	lose   atomic.Int32 // so many answers of POST /log get lost
}

func (d *door) open() {
	d.t.Helper()
	var l net.Listener
	var err error
	for deadline := time.Now().Add(patience); ; { // the port of a server just closed may be busy for a moment
		if l, err = net.Listen("tcp", d.addr); err == nil || time.Now().After(deadline) {
			break
		}
	}
	if err != nil {
		d.t.Fatal(err)
	}
	d.addr = l.Addr().String()
	d.server = &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost && r.URL.Path == "/log" && d.lose.Add(-1) >= 0 {
			d.h.ServeHTTP(&deaf{header: http.Header{}}, r)
			panic(http.ErrAbortHandler) // what was done is done, and nobody hears of it
		}
		d.h.ServeHTTP(w, r)
	})}
	go d.server.Serve(l)
}

func (d *door) close() { d.server.Close() }

// deaf takes an answer that is lost.
type deaf struct{ header http.Header }

func (d *deaf) Header() http.Header         { return d.header }
func (d *deaf) Write(b []byte) (int, error) { return len(b), nil }
func (d *deaf) WriteHeader(int)             {}

// open opens a tab of 360 by 740, as of a phone, on a furnished shop.
func open(t *testing.T, chrome context.Context) *browser {
	t.Helper()
	b := tab(t, chrome)
	b.shop = furnished(t)
	b.door = &door{t: t, addr: "127.0.0.1:0", h: New(b.shop, Options{})}
	b.door.open()
	t.Cleanup(b.door.close)
	b.at = "http://" + b.door.addr
	return b
}

// tab opens a tab of a phone of its own: it shares no cookie with another.
func tab(t *testing.T, chrome context.Context) *browser {
	t.Helper()
	ctx, cancel := chromedp.NewContext(chrome, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	b := &browser{t: t, chrome: chrome, ctx: ctx}
	// The tab lives as long as the context of its first step, so this one has no limit.
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch)); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func run[T any](b *browser, a chromedp.Action[T]) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}

// ask evaluates an expression in the page.
func ask[T any](b *browser, js string) T {
	b.t.Helper()
	return run(b, chromedp.Evaluate[T](js))
}

// wait waits until an expression is true in the page, whichever page that is by
// then.
func (b *browser) wait(js string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	look := chromedp.Evaluate[bool]("new Promise(r => setTimeout(() => r(document.readyState === 'complete' && !!("+js+")), 20))", chromedp.EvalAwaitPromise)
	for {
		done, err := chromedp.Run(ctx, look)
		switch {
		case done:
			return
		case ctx.Err() != nil: // an error before that is a page that goes or is not there yet
			b.t.Fatalf("%s: %v; the page says: %s", js, err, ask[string](b, `location.href + " " + document.documentElement.innerText.slice(0, 1500)`))
		}
	}
}

func (b *browser) visit(path string) { b.t.Helper(); b.do(chromedp.Navigate(b.at + path)) }

// tap presses what a selector finds, in the middle and where it is seen.
func (b *browser) tap(css string) {
	b.t.Helper()
	b.taps++
	b.do(chromedp.Click(chromedp.CSS(css)))
}

// looks sets what the phone prefers: light, dark or contrast, which is light too.
// No motion, or a color would be looked at on its way to another.
func (b *browser) looks(scheme, media string) {
	b.t.Helper()
	contrast := "no-preference"
	if scheme == "contrast" {
		scheme, contrast = "light", "more"
	}
	run(b, func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media, Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-contrast", Value: contrast}, {Name: "prefers-reduced-motion", Value: "reduce"}}})
	})
}

// picture writes what is seen into $BEADWRIGHT_PICTURES, where that is set, for a
// person to look at.
func (b *browser) picture(name string) {
	dir := os.Getenv("BEADWRIGHT_PICTURES")
	if dir == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), run(b, chromedp.FullScreenshot(100)), 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// racing is set where the race detector looks on.
var racing bool

// TestBrowser shows the pages in a browser: one process, a tab for each test.
func TestBrowser(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on: the pages are tried in a browser without it")
	}
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			program = p
			break
		}
	}
	if program == "" {
		t.Skip("no Chromium is installed here, so nothing was shown in a browser; on Debian: apt-get install chromium")
	}
	opts := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]), chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	alloc, cancel := chromedp.NewExecAllocator(context.Background(), opts...)
	defer cancel()
	chrome, quit := chromedp.NewContext(alloc)
	defer quit()
	if err := chromedp.Do(chrome, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		test func(*browser)
	}{
		{"ask, log, find, print", journey}, {"lost connection", lostConnection}, {"waits on the phone", keptOffline}, {"lost answer", lostAnswer}, {"undo", undo}, {"log under the thumb", underTheThumb}, {"thumb stays put", thumbStaysPut},
		{"nobody kept out", nobodyKeptOut}, {"narrow", narrow}, {"enlarged", enlarged}, {"long words", longWords}, {"between bars", betweenBars}, {"clock", clockRuns}, {"pressed alone", clockAlone}, {"search as you type", searchAsYouType}, {"keys alone", keysAlone}, {"pairing", letIn}, {"charts", charts}, {"write it down", writeItDown}, {"said rebuilt later", saidRebuilt}, {"knob run out", knobRunOut}, {"put right", putRight}, {"blind", blind}, {"pictures", pictures},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(open(t, chrome)) })
	}
}

// journey asks, logs, finds and prints.
func journey(b *browser) {
	b.visit("/")
	b.do(chromedp.SendKeys(chromedp.CSS("[name=q]"), "1/8 mild lap flat"))
	b.tap(".ask .key.main")
	b.wait(`document.querySelector("a.main[href^='/log']") !== null`)
	if h := ask[string](b, `document.querySelector("h1").innerText`); !strings.Contains(h, "lap joint") {
		b.t.Errorf("the answer is headed %q", h)
	}
	tile := ask[[]string](b, `[...document.querySelectorAll(".setting dt")].map(e => e.innerText)`)
	for _, want := range []string{"Tap", "Knob", "Wire speed", "Gun on the", "Stick-out", "Pace"} {
		if !slices.ContainsFunc(tile, func(s string) bool { return strings.HasPrefix(s, want) }) {
			b.t.Errorf("the setting %q has no %s", tile, want)
		}
	}
	b.tap("a.main[href^='/log']")
	b.wait(`document.getElementById("save") !== null`)
	knob := ask[string](b, `document.getElementById("knob").value`)
	b.taps = 0
	b.tap(".step[value=up]")
	b.tap(".rate label:has([value='4'])")
	b.tap("label:has([value=spatter])")
	b.tap("#save")
	if b.taps > 4 {
		b.t.Errorf("%d taps from opening to saved, wanted 4 at the most", b.taps)
	}
	b.wait(`document.querySelector(".saved .mark") !== null`)
	mark := ask[string](b, `document.querySelector(".saved .mark").innerText`)
	if mark != "A3" {
		b.t.Errorf("the mark shown is %q", mark)
	}
	if size := ask[float64](b, `parseFloat(getComputedStyle(document.querySelector(".saved .mark")).fontSize)`); size < 100 {
		b.t.Errorf("the mark is %g px large", size)
	}
	w := b.shop.welds(b.t)
	if len(w) != 3 || w[0].Outcome.Rating != 4 || w[0].Settings.Knob == nil || *w[0].Settings.Knob == 0 || !slices.Equal(w[0].Outcome.Symptoms, []string{"spatter"}) {
		b.t.Fatalf("recorded: %+v", w)
	}
	b.t.Logf("knob %q, recorded %g", knob, *w[0].Settings.Knob)

	b.visit("/find?q=lap")
	b.tap(".hits a[href='/weld/A3']")
	b.wait(`document.querySelector("h1").innerText.includes("A3")`)
	if shown := ask[bool](b, `getComputedStyle(document.querySelector("button.print")).display !== "none"`); !shown {
		b.t.Error("there is no button to print with")
	}
	b.looks("dark", "print")
	for _, css := range []string{".menu", ".foot", ".row"} {
		if ask[string](b, fmt.Sprintf(`getComputedStyle(document.querySelector(%q)).display`, css)) != "none" {
			b.t.Errorf("%s is on the printed sheet", css)
		}
	}
	if ask[string](b, `getComputedStyle(document.body).backgroundColor`) != "rgb(255, 255, 255)" {
		b.t.Error("the printed sheet is not white")
	}
	if large := ask[[]string](b, `[...document.querySelectorAll("main a.key, main .cite, main small")].filter(e => e.getClientRects().length && (parseFloat(getComputedStyle(e).fontSize) > 16 || parseFloat(getComputedStyle(e).borderTopWidth) > 0)).map(e => e.outerHTML.slice(0, 80))`); len(large) > 0 {
		b.t.Errorf("on paper these are keys, or larger than what is around them: %q", large)
	}
	if sheet := run(b, chromedp.PrintToPDF()); !bytes.HasPrefix(sheet, []byte("%PDF")) {
		b.t.Error("nothing was printed")
	}
}

// fill presses a rating on the log page.
func (b *browser) rate(n int) {
	b.t.Helper()
	b.visit("/log")
	b.tap(fmt.Sprintf(".rate label:has([value='%d'])", n))
}

// lostConnection saves two welds while the server is down, and brings it back:
// two records, and no more.
func lostConnection(b *browser) {
	b.rate(3)
	b.door.close()
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=note]").value = "the plug got hot"`))
	b.tap("#save")
	b.wait(`!document.getElementById("queue").hidden`)
	if said := ask[string](b, `document.getElementById("say").innerText`); !strings.Contains(said, "Kept on this phone") {
		b.t.Errorf("without a connection it says %q", said)
	}
	b.tap(".rate label:has([value='5'])") // and the page takes the next one
	b.tap("#save")
	b.wait(`document.querySelectorAll("#queue li").length === 2`)
	if n := len(b.shop.welds(b.t)); n != 2 {
		b.t.Fatalf("%d welds while nothing could be sent, wanted the 2 from before", n)
	}
	b.door.open()
	b.wait(`document.getElementById("queue").hidden`)
	if said := ask[string](b, `document.getElementById("say").innerText`); !strings.HasPrefix(said, "STOP. ") || !strings.Contains(said, "Saved A3, A4") {
		b.t.Errorf("once both are saved, the first with a danger, it says %q", said)
	}
	b.visit("/log") // nothing of it is sent once more
	b.wait(`document.getElementById("queue").hidden`)
	w := b.shop.welds(b.t)
	if len(w) != 4 || w[1].Outcome.Rating != 3 || w[0].Outcome.Rating != 5 {
		b.t.Errorf("%d welds, wanted 4, the last two rated 3 and 5: %+v", len(w), w)
	}
}

// keptOffline is what waits on the phone: a danger is said without a connection too, a
// picture goes along, what was refused can be put right and is not thrown away by one
// press, and where the phone keeps nothing the form stays.
func keptOffline(b *browser) {
	b.rate(3)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=symptom][value=shock]").checked = true; { const d = new DataTransfer(); d.items.add(new File(["no picture"], "bead.jpg", {type: "image/jpeg"})); document.querySelector("[name=photo]").files = d.files }`))
	b.door.close()
	b.tap("#save")
	b.wait(`!document.getElementById("queue").hidden`)
	if said := ask[string](b, `document.getElementById("say").innerText`); !strings.HasPrefix(said, "STOP. Let go, plug out") || !strings.Contains(said, "picture goes along if this page stays open") {
		b.t.Errorf("a shock without a connection: %q", said)
	}
	b.door.open()
	b.wait(`document.getElementById("queue").hidden`)
	if said := ask[string](b, `document.getElementById("say").innerText`); !strings.Contains(said, "Saved A3") || strings.Contains(said, "was not kept") {
		b.t.Errorf("its picture was not sent along: %q", said)
	}

	b.rate(4)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=travel]").value = "fast"`))
	b.door.close()
	b.tap("#save")
	b.wait(`document.querySelectorAll("#queue li").length === 1`)
	b.door.open()
	b.wait(`document.getElementById("queue").innerText.includes("Not taken")`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.confirm = () => false; [...document.querySelectorAll("#queue button")].find(e => e.innerText === "Throw it away").click()`))
	if n := ask[int](b, `document.querySelectorAll("#queue li").length`); n != 1 {
		b.t.Fatal("one press threw it away")
	}
	b.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll("#queue button")].find(e => e.innerText === "Put it right").click()`))
	b.wait(`location.search.includes("travel=fast") && document.querySelector("[name=rating][value='4']:checked") !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=travel]").value = "4in in 27s"`))
	b.tap("#save")
	b.wait(`document.querySelector(".saved .mark") !== null`)
	if left := ask[string](b, `localStorage.getItem("beadwright-queue")`); left != "[]" {
		b.t.Errorf("put right and saved, and it still waits: %s", left)
	}
	if w := b.shop.welds(b.t); len(w) != 4 || w[0].Outcome.Rating != 4 {
		b.t.Errorf("%d welds, wanted 4: %+v", len(w), w[0])
	}

	b.rate(5)
	b.door.close()
	b.do(chromedp.Evaluate[chromedp.Void](`Storage.prototype.setItem = () => { throw new Error("full") }`))
	b.tap("#save")
	b.wait(`document.getElementById("say").innerText.includes("this phone keeps nothing")`)
	b.door.open()
	b.tap("#save")
	b.wait(`document.querySelector(".saved .mark") !== null`)
	if w := b.shop.welds(b.t); len(w) != 5 || w[0].Outcome.Rating != 5 {
		b.t.Errorf("with a full phone: %d welds, wanted 5", len(w))
	}
}

// lostAnswer loses the answer to a weld that was written down: the phone sends it
// again, and it stays one record.
func lostAnswer(b *browser) {
	b.rate(4)
	b.door.lose.Store(2)
	b.tap("#save")
	b.wait(`document.querySelector(".saved .mark") !== null || document.getElementById("say").innerText.includes("Saved A3")`)
	b.wait(`JSON.parse(localStorage.getItem("beadwright-queue") || "[]").length === 0`)
	if w := b.shop.welds(b.t); len(w) != 3 || w[0].Mark != "A3" || w[0].Outcome.Rating != 4 {
		b.t.Errorf("%d welds, wanted 3 with A3 rated 4", len(w))
	}
}

// undo takes a weld back at once.
func undo(b *browser) {
	b.rate(1)
	b.tap("#save")
	b.wait(`document.querySelector(".saved") !== null`)
	b.tap("form[action='/strike/A3'] button")
	b.wait(`document.body.innerText.includes("A3 is withdrawn")`)
	if w := b.shop.welds(b.t)[0]; w.Mark != "A3" || w.Struck == "" {
		b.t.Errorf("after undo: %+v", w)
	}
}

// control is something to press, where and how large.
type control struct {
	Name                   string
	X, Y, W, H             float64
	Hidden, Inline, Scroll bool
}

// controls measures all that can be pressed: a box or a button of a choice by its
// label.
const controls = `[...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")].map(e => {
	const box = (e.closest("label.pick") || e).getBoundingClientRect();
	const style = getComputedStyle(e);
	return {Name: (e.innerText || e.name || e.value || e.tagName).trim().slice(0, 40) + " " + (e.getAttribute("href") || e.value || ""), X: box.x, Y: box.y + scrollY, W: box.width, H: box.height,
		Hidden: box.width === 0 || box.right < 0 || style.visibility === "hidden", Scroll: !!e.closest("details:not([open])") && e.tagName !== "SUMMARY"};
})`

// underTheThumb measures the log page: what is pressed is 64 px large, 12 px apart
// and in the lower two thirds; letters and the setting are large.
func underTheThumb(b *browser) {
	b.visit("/log")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
	var seen []control
	for _, c := range ask[[]control](b, controls) {
		if !c.Hidden {
			seen = append(seen, c)
		}
	}
	if len(seen) < 30 {
		b.t.Fatalf("only %d things to press", len(seen))
	}
	for i, c := range seen {
		if c.W < 63.9 || c.H < 63.9 {
			b.t.Errorf("%q is %.0f by %.0f px, wanted 64 by 64", c.Name, c.W, c.H)
		}
		if c.Y < 740.0/3 {
			b.t.Errorf("%q begins at %.0f px, in the upper third of 740", c.Name, c.Y)
		}
		for _, o := range seen[:i] {
			dx, dy := max(c.X-o.X-o.W, o.X-c.X-c.W), max(c.Y-o.Y-o.H, o.Y-c.Y-c.H)
			sticky := strings.HasPrefix(c.Name, "Save") || strings.HasPrefix(o.Name, "Save") // it lies over what is scrolled below it
			if !sticky && max(dx, dy) < 11.9 {
				b.t.Errorf("%q and %q are %.1f px apart, wanted 12", o.Name, c.Name, max(dx, dy))
			}
		}
	}
	for _, css := range []string{"#save", ".step[value=up]", ".step[value=down]", ".rate label:has([value='1'])", ".rate label:has([value='5'])"} {
		if !ask[bool](b, fmt.Sprintf(`(() => { document.querySelectorAll("details").forEach(d => d.open = false); scrollTo(0, 0); const r = document.querySelector(%q).getBoundingClientRect(); return r.top >= innerHeight / 3 && r.bottom <= innerHeight })()`, css)) {
			b.t.Errorf("%s is not in the lower two thirds of the first screen", css)
		}
	}
	if size := ask[float64](b, `Math.min(...[...document.querySelectorAll("body *")].filter(e => e.innerText && e.getClientRects().length).map(e => parseFloat(getComputedStyle(e).fontSize)))`); size < 18 {
		b.t.Errorf("the smallest letters are %g px, wanted 18", size)
	}
	if size := ask[float64](b, `parseFloat(getComputedStyle(document.getElementById("bigline")).fontSize)`); size < 40 {
		b.t.Errorf("the setting is written in %g px, wanted 40", size)
	}
	if kind := ask[string](b, `document.querySelector("[type=file]").getAttribute("capture")`); kind != "environment" {
		b.t.Errorf("the picture is taken by %q, wanted the camera on the back", kind)
	}
}

// thumbStaysPut steps the knob: nothing moves from under the thumb, it is heard all the
// same, and the wire speed of the mark before is shown no more.
func thumbStaysPut(b *browser) {
	b.visit("/log")
	const where = `["#knob", ".step[value=up]", ".rate label:has([value='4'])"].map(c => document.querySelector(c).getBoundingClientRect().top).join()`
	const speed = `document.getElementById("speed") !== null && getComputedStyle(document.getElementById("speed")).visibility === "visible"`
	if !ask[bool](b, speed) {
		b.t.Fatalf("no wire speed is carried over: %s", b.words())
	}
	before := ask[string](b, where)
	b.tap(".step[value=up]")
	b.wait(`document.getElementById("heard").textContent.startsWith("Knob ")`)
	if after := ask[string](b, where); after != before {
		b.t.Errorf("knob, + and 4 stand at %s px, and after + was pressed at %s", before, after)
	}
	if ask[bool](b, speed) {
		b.t.Error("the wire speed of another mark is still shown")
	}
	b.tap(".step[value=down]")
	if !ask[bool](b, speed) {
		b.t.Error("back at its mark the wire speed holds again, and is not shown")
	}
}

// violation is what axe found.
type violation struct {
	ID, Help string
	Nodes    []struct{ HTML, FailureSummary string }
}

// axe runs axe over the page that is shown, with all that is folded opened: all
// rules of WCAG 2.2 A and AA, its good habits, and contrast of 7:1.
func (b *browser) axe(name string) {
	b.t.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
	b.do(chromedp.Evaluate[chromedp.Void](axe + "; undefined"))
	found := run(b, chromedp.Evaluate[[]violation](`axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
		rules: {"color-contrast-enhanced": {enabled: true}, "target-size": {enabled: true}}}).then(r => r.violations.map(v => ({ID: v.id, Help: v.help, Nodes: v.nodes.map(n => ({HTML: n.html, FailureSummary: n.failureSummary}))})))`,
		chromedp.EvalAwaitPromise))
	for _, v := range found {
		for _, n := range v.Nodes {
			b.t.Errorf("%s: %s (%s): %.200s: %.300s", name, v.ID, v.Help, n.HTML, n.FailureSummary)
		}
	}
}

// nobodyKeptOut runs axe over every page, light, dark and in high contrast.
func nobodyKeptOut(b *browser) {
	for _, look := range []string{"light", "dark", "contrast"} {
		if look != "contrast" {
			b.looks(look, "")
		} else {
			b.visit("/")
			b.tap("button[value=contrast]")
			b.wait(`document.documentElement.dataset.theme === "contrast"`)
		}
		for _, at := range everyPage {
			b.visit(at)
			b.axe(at + ", " + look)
		}
	}
}

// partedNumbers lists the mixed numbers that stand on two lines: "knob 4" above "1/2" is
// read as another mark.
const partedNumbers = `{ const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
	for (let n; (n = walk.nextNode()); ) for (const m of n.data.matchAll(/\d+\s\d+\/\d+/g)) {
		range.setStart(n, m.index); range.setEnd(n, m.index + m[0].length);
		if (new Set([...range.getClientRects()].map(r => Math.round(r.top))).size > 1) found.push(m[0]);
	}
	found }`

// narrow: nothing is to be scrolled sideways at 320 px, nor on a desk.
func narrow(b *browser) {
	for _, width := range []int64{320, 360, 1280} {
		b.do(chromedp.EmulateViewport(width, 700))
		for _, at := range everyPage {
			b.visit(at)
			b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
			if wide := ask[float64](b, `document.documentElement.scrollWidth`); wide > float64(width) {
				b.t.Errorf("%s is %g px wide on a screen of %d", at, wide, width)
			}
			if parted := ask[[]string](b, partedNumbers); len(parted) > 0 {
				b.t.Errorf("%s: lines of a screen of %d px end within %q", at, width, parted)
			}
		}
	}
}

// betweenBars is a phone held upright whose browser has its own bars above and below:
// what is pressed on the log page and the clock is on the first screen all the same.
func betweenBars(b *browser) {
	for _, size := range [][2]int64{{390, 664}, {360, 560}, {320, 480}} {
		b.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateMobile, chromedp.EmulateTouch))
		seen := map[string]string{"/duty": `["#order", "#seconds", "#toggle"]`, "/log": `["#bigline", ".step[value=up]", ".rate label:has([value='1'])", ".rate label:has([value='5'])", "#save"]`}
		if size[1] < 500 {
			seen["/log"] = `["#bigline", ".step[value=up]", ".rate label:has([value='1'])", "#save"]`
		}
		for at, what := range seen {
			b.visit(at)
			off := ask[[]string](b, `{ scrollTo(0, 0); const floor = Math.min(innerHeight, ...["menu", "save"].map(id => document.getElementById(id)).filter(e => e && (e.id === "save" || getComputedStyle(e).position === "fixed")).map(e => e.getBoundingClientRect().top));
				`+what+`.filter(c => { const r = document.querySelector(c).getBoundingClientRect(); return r.top < 0 || r.bottom > (c === "#save" ? innerHeight : floor) + 0.5 }).map(c => c + " " + document.querySelector(c).getBoundingClientRect().bottom + " of " + floor) }`)
			if len(off) > 0 {
				b.t.Errorf("%s on %d by %d px: off the first screen: %q", at, size[0], size[1], off)
			}
		}
	}
}

// longWords writes down names and notes without one space, and right to left: they are
// broken, and widen no page.
func longWords(b *browser) {
	long := strings.Repeat("x", 58)
	b.shop.must(b.t, "machine", "add", long, "--taps=low,high", "--output=dcen", "--note="+long+long)
	b.shop.must(b.t, "machine", "use", long)
	b.shop.must(b.t, "wire", "add", "0.035", "E71T-11", "--name="+long)
	b.shop.must(b.t, "wire", "use", long)
	b.shop.must(b.t, "log", "--rating=4", "--test=break=tore parent", "--note="+long+long+long, "--for="+long, "--tap=high", "--wire-speed=100ipm", "--", "1/8", "mild", "tee", "flat")
	b.shop.must(b.t, "procedure", "write", long, "--from=A3")
	b.shop.must(b.t, "followup", "A3", "failed", long+long)
	b.shop.must(b.t, "log", "--rating=4", "--note=\u0645\u0631\u062d\u0628\u0627 <b>\"'&", "--from=A3")
	b.do(chromedp.EmulateViewport(320, 640))
	for _, at := range []string{"/", "/?q=1/8+mild+tee+flat", "/?q=" + long, "/?q=hitch&for=" + long, "/log", "/log?saved=A3", "/duty", "/find", "/weld/A3", "/weld/A4", "/weld/A3/look", "/weld/A3/test?kind=bend", "/machines", "/machine/" + long, "/machine/" + long + "/set",
		"/machine/" + long + "/change", "/machine/" + long + "/measure", "/machine/" + long + "/knob", "/wire", "/procedures", "/procedure/" + long, "/remedy?from=A3", "/remedy?q=" + long} {
		b.visit(at)
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
		if wide := ask[float64](b, `document.documentElement.scrollWidth`); wide > 320 {
			b.t.Errorf("%.30s is %g px wide on a screen of 320: %.300s", at, wide, ask[string](b, `[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > 321).map(e => e.outerHTML.slice(0, 60)).join(" ")`))
		}
	}
}

// enlarged is a phone whose page is drawn at twice its size: nothing is to be scrolled
// sideways, the whole menu can be reached, and what is to be read covers nothing else.
func enlarged(b *browser) {
	b.do(chromedp.EmulateViewport(180, 370))
	for _, at := range everyPage {
		b.visit(at)
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
		if wide := ask[float64](b, `document.documentElement.scrollWidth`); wide > 180 {
			b.t.Errorf("%s is %g px wide on a screen of 180", at, wide)
		}
		if off := ask[[]string](b, `[...document.querySelectorAll("#menu a, #knob, #save, .step")].filter(e => { const r = e.getBoundingClientRect(); return r.left < 0 || r.right > 180 || r.width < 60 || r.height < 60 || getComputedStyle(e.closest("#menu, .save") || e).position === "fixed" }).map(e => e.outerHTML.slice(0, 80))`); len(off) > 0 {
			b.t.Errorf("%s: not to be pressed: %q", at, off)
		}
	}
	if size := ask[string](b, `[...document.styleSheets[0].cssRules].find(r => r.selectorText === "html").style.fontSize`); !strings.HasSuffix(size, "%") {
		b.t.Errorf("letters are %s: who has set larger ones gets none", size)
	}
}

// calm is when a press of the clock is no bounce of the last any more.
const calm = `Date.now() - Number(sessionStorage.getItem("beadwright-clock")) >= 1000`

// clockAlone presses with a glove that bounces, and with no connection: one start, one
// stop, each at the time it was pressed.
func clockAlone(b *browser) {
	b.visit("/duty")
	b.door.close()
	b.do(chromedp.Evaluate[chromedp.Void](`{ const press = document.getElementById("toggle"); press.click(); press.click() }`))
	b.wait(`document.getElementById("order").innerText === "ARC ON" && document.getElementById("lost").innerText.includes("kept with its time")`)
	from := ask[int64](b, `JSON.parse(localStorage.getItem("beadwright-clock"))[0].at`)
	b.wait(calm)
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("toggle").click()`))
	b.wait(`document.getElementById("order").innerText === "REST"`)
	presses := ask[[]struct {
		Do string
		At int64
	}](b, `JSON.parse(localStorage.getItem("beadwright-clock"))`)
	if len(presses) != 2 || presses[0].Do != "start" || presses[0].At != from || presses[1].Do != "stop" {
		b.t.Fatalf("what waits is %+v, pressed first at %d", presses, from)
	}
	b.door.open()
	b.wait(`location.search.startsWith("?arcs=") && localStorage.getItem("beadwright-clock") === "[]"`)
	var arcs struct {
		Recorded []struct {
			Start, Stop time.Time
		}
	}
	if err := json.Unmarshal(b.shop.must(b.t, "duty", "arcs"), &arcs); err != nil {
		b.t.Fatal(err)
	}
	if len(arcs.Recorded) != 1 {
		b.t.Fatalf("%d arcs are written down, wanted one", len(arcs.Recorded))
	}
	for i, at := range []time.Time{arcs.Recorded[0].Start, arcs.Recorded[0].Stop} {
		if off := at.Sub(time.UnixMilli(presses[i].At)).Abs(); off > 2*time.Second {
			b.t.Errorf("%s was pressed at %d and is written down %v off", presses[i].Do, presses[i].At, off)
		}
	}
	if said := b.words(); !strings.Contains(said, "Undo") || !strings.Contains(said, "of the answer last asked for") {
		b.t.Errorf("afterwards: %s", said)
	}
}

// clockRuns starts and stops the arc by key, and looks at it again after a reload.
func clockRuns(b *browser) {
	b.visit("/duty")
	b.do(chromedp.Evaluate[chromedp.Void](`window.before = true`))
	b.do(chromedp.KeyEvent(" "))
	b.wait(`!window.before && document.getElementById("order").innerText === "ARC ON"`)
	b.visit("/duty")
	b.wait(`document.getElementById("order").innerText === "ARC ON" && document.getElementById("toggle").value === "stop"`)
	left := ask[string](b, `document.getElementById("seconds").innerText`)
	b.wait(fmt.Sprintf(`document.getElementById("seconds").innerText !== %q`, left)) // it counts
	b.wait(calm)
	b.do(chromedp.KeyEvent("\r"))
	b.wait(`location.search.startsWith("?arcs=") && document.getElementById("toggle").value === "start"`)
	b.visit("/duty")
	if size := ask[float64](b, `parseFloat(getComputedStyle(document.getElementById("seconds")).fontSize)`); size < 140 {
		b.t.Errorf("the seconds are %g px large on a phone", size)
	}
	for _, n := range []string{"600", "1200"} { // in one line, from edge to edge
		b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`{ const shown = document.getElementById("seconds"), s = document.createElement("span"); shown.hidden = true; s.id = "long"; s.textContent = "%s"; s.className = "digits-%d"; shown.parentElement.replaceChildren(shown, s) }`, n, len(n))))
		if !ask[bool](b, `{ const s = document.getElementById("long"), r = s.getBoundingClientRect(); s.getClientRects().length === 1 && r.left >= 0 && r.right <= innerWidth }`) {
			b.t.Errorf("%s seconds do not fit in one line", n)
		}
	}
	b.do(chromedp.EmulateViewport(740, 360))
	b.visit("/duty")
	b.wait(`document.activeElement.id === "toggle"`)
	if !ask[bool](b, `scrollY === 0 && ["seconds", "toggle"].every(id => { const r = document.getElementById(id).getBoundingClientRect(); return r.top >= 0 && r.bottom <= document.getElementById("menu").getBoundingClientRect().top })`) {
		b.t.Error("with the phone laid sideways the number or the key is off the screen")
	}
	b.shop.must(b.t, "duty", "start") // and at the command line beside it
	b.wait(`document.getElementById("order").innerText === "ARC ON"`)
}

func searchAsYouType(b *browser) {
	b.visit("/find")
	b.wait(`document.querySelectorAll(".hits li").length === 2`)
	b.do(chromedp.SendKeys(chromedp.CSS("[name=q]"), "first try"))
	b.wait(`document.querySelectorAll(".hits li").length === 1 && document.getElementById("heard").textContent === "1 weld"`)
	if at := run(b, chromedp.Location()); !strings.Contains(at, "q=first") {
		b.t.Errorf("the address %s would not find it again", at)
	}
}

// keysAlone logs a weld with the keyboard: tab through the page in the order of
// reading, and see where one is.
func keysAlone(b *browser) {
	b.visit("/log")
	var order []string
	for range 60 {
		b.do(chromedp.KeyEvent("\t"))
		at := ask[string](b, `(() => { const e = document.activeElement; const s = getComputedStyle(e.closest(".pick") || e); if (s.outlineStyle === "none" || parseFloat(s.outlineWidth) < 2) return "unseen " + e.outerHTML.slice(0, 80); return e.id || e.name || e.getAttribute("href") || e.tagName.toLowerCase() })()`)
		if strings.HasPrefix(at, "unseen") {
			b.t.Errorf("where the keyboard is cannot be seen: %s", at)
		}
		order = append(order, at)
		switch at {
		case "rating":
			b.do(chromedp.KeyEvent(" "))
		case "save":
			b.do(chromedp.KeyEvent("\r"))
			b.wait(`document.querySelector(".saved") !== null`)
			want := []string{"#main", "#menu", "step", "knob", "step", "rating", "symptom", "photo", "save"}
			for _, w := range want {
				i := slices.Index(order, w)
				if i < 0 {
					b.t.Fatalf("the keyboard goes through %q, wanted %q in this order", order, want)
				}
				order = order[i+1:]
			}
			return
		}
	}
	b.t.Fatalf("the keyboard never came to Save: %q", order)
}

// pictures shows every page to whoever asked for pictures.
func pictures(b *browser) {
	if os.Getenv("BEADWRIGHT_PICTURES") == "" {
		b.t.Skip("set BEADWRIGHT_PICTURES to a folder to have every page drawn there")
	}
	name := strings.NewReplacer("/", "_", "?", "-", "=", "", "%2F", "", "+", "")
	for _, look := range []string{"light", "dark"} {
		b.looks(look, "")
		for _, at := range everyPage {
			b.visit(at)
			b.picture(look + name.Replace(at))
		}
	}
	b.looks("light", "")
	b.do(chromedp.EmulateViewport(1200, 900))
	for _, at := range everyPage {
		b.visit(at)
		b.picture("desk" + name.Replace(at))
	}
}
