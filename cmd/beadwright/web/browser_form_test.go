package web

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/chromedp/chromedp"

	"beadwright/procedures"
)

// typed types into a field.
func (b *browser) typed(name, text string) {
	b.t.Helper()
	b.do(chromedp.SendKeys(chromedp.CSS("main [name='"+name+"']"), text))
}

// writeItDown begins with nothing: the clock leads to the form, the form to the wire,
// and the wire to an answer of one's own machine.
func writeItDown(b *browser) {
	b.door.close()
	b.shop = newShop(b.t)
	b.door.h = New(b.shop, Options{})
	b.door.open()
	for _, at := range []string{"/duty", "/machines", "/wire", "/blind", "/procedures", "/machines/add"} {
		b.visit(at)
		b.lookedOver("empty" + strings.ReplaceAll(at, "/", "_"))
	}
	b.do(chromedp.EmulateViewport(360, 740))
	b.visit("/duty")
	b.tap("a[href='/machines/add']")
	b.wait(`location.pathname === "/machines/add"`)
	b.taps = 0
	b.typed("name", "shed")
	b.tap("label:has([value='low,high'])")
	b.tap("label:has([value=dcen])")
	b.typed("rated", "ninety")
	b.typed("duty", "20%")
	b.typed("breaker", "20A")
	b.tap("label:has([name=rebuilt][value=false])")
	b.tap("main .key.main")
	b.wait(`document.querySelector(".trouble") !== null`)
	if said := b.words(); !strings.Contains(said, "Plate amps: cannot be read") {
		b.t.Errorf("amps in words: %s", said)
	}
	if kept := ask[[]string](b, `[...document.querySelectorAll("main :checked")].map(e => e.value).concat([...document.querySelectorAll("main input:not([type])")].map(e => e.value)).filter(Boolean)`); !slices.Equal(kept, []string{"low,high", "dcen", "false", "shed", "ninety", "20%", "20A"}) {
		b.t.Errorf("kept of what was said: %q", kept)
	}
	b.lookedOver("machine_add_trouble")
	b.do(chromedp.EmulateViewport(360, 740), chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=rated]").value = ""`))
	b.typed("rated", "90A")
	b.tap("main .key.main")
	b.wait(`location.pathname === "/machine/shed" && document.body.innerText.includes("the one you weld with")`)
	if m := b.shop.machine(b.t, "shed"); m.RatedAmps != 90 || m.Duty != 20 || m.Breaker != 20 || m.Output != procedures.DCEN || m.Rebuilt {
		b.t.Errorf("written down as %+v", m)
	}
	b.lookedOver("machine_new")
	b.visit("/machine/shed/set")
	b.lookedOver("machine_set")
	b.visit("/machine/shed?new=1")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("a.main[href='/wire']")
	b.wait(`location.pathname === "/wire"`)
	b.tap("main .key.main")
	b.wait(`document.querySelector(".trouble") !== null`)
	b.lookedOver("wire_trouble")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("label:has([value='0.035in'])")
	b.tap("label:has([value='E71T-11'])")
	b.tap("main .key.main")
	b.wait(`document.querySelector(".card .of") !== null`)
	b.visit("/?q=1/8+mild+tee+flat")
	if said := b.words(); !strings.Contains(said, "On shed.") {
		b.t.Errorf("the answer is not for it: %s", said)
	}
}

// putRight corrects a weld with the thumb, withdraws it and puts it back, and looks a
// bead over by the one answer that decides.
func putRight(b *browser) {
	b.visit("/weld/A1")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => d.open = true)`))
	b.tap("label:has([name=not-symptom])")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("select[name=tap]").value = "low"; document.querySelector("select[name=position]").value = "horizontal"`))
	b.typed("wire-speed", "88ipm")
	b.tap("form[action='/weld/A1']:has([name=rating]) .key.main")
	b.wait(`document.body.innerText.includes("was high, now low")`)
	if w := named(b.t, b.shop, "A1"); w.Settings.Tap != "low" || w.Job.Position != "horizontal" || len(w.Outcome.Symptoms) != 0 {
		b.t.Errorf("corrected to %+v", w)
	}
	b.lookedOver("weld_corrected")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("form[action='/strike/A1'] .key")
	b.wait(`document.querySelector("button[value=back]") !== null`)
	b.lookedOver("weld_withdrawn")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("button[value=back]")
	b.wait(`document.body.innerText.includes("put back, and counts again")`)
	if w := named(b.t, b.shop, "A1"); w.Struck != "" {
		b.t.Errorf("put back, and struck: %q", w.Struck)
	}
	b.rate(5)
	b.tap("#save")
	b.wait(`document.querySelector(".saved") !== null`)
	b.tap("form[action='/strike/A3'] button")
	b.wait(`document.querySelector("[form=back]") !== null`)
	b.lookedOver("log_undone")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("[form=back]")
	b.wait(`document.querySelector(".saved") !== null`)
	if w := named(b.t, b.shop, "A3"); w.Struck != "" {
		b.t.Errorf("put back from the log page, and struck: %q", w.Struck)
	}
	b.visit("/weld/A2/look")
	b.tap("label:has([name=q_crack][value=yes])")
	b.tap("main .key.main")
	b.wait(`document.body.innerText.includes("no crack passes")`)
	b.shop.must(b.t, "followup", "A2", "failed", "cracked along the toe")
	for _, at := range []string{"/procedures", "/procedure/cart-tee", "/weld/A2"} {
		b.visit(at)
		b.lookedOver("failed" + strings.ReplaceAll(at, "/", "_"))
	}
}

// blind rates an old bead by its picture.
func blind(b *browser) {
	picture := filepath.Join(b.t.TempDir(), "bead.png")
	f, err := os.Create(picture)
	if err != nil {
		b.t.Fatal(err)
	}
	bead := image.NewGray(image.Rect(0, 0, 800, 300))
	for x := range 800 {
		for y := 120 + x%9; y < 180; y++ {
			bead.SetGray(x, y, color.Gray{Y: uint8(90 + x%90)})
		}
	}
	if err := png.Encode(f, bead); err != nil {
		b.t.Fatal(err)
	}
	f.Close()
	b.shop.must(b.t, "log", "--rating=4", "--photo="+picture, "--at=2026-03-01", "--", "1/8 mild tee flat")
	b.at = strings.TrimSuffix(serve(b.t, b.shop, "--listen=127.0.0.1:0").link(), "/")
	b.visit("/find")
	b.tap("a[href='/blind']")
	b.wait(`document.querySelector(".seen") !== null && document.querySelector(".seen").naturalWidth > 100`)
	b.lookedOver("blind")
	b.do(chromedp.EmulateViewport(360, 740))
	if said := b.words(); strings.Contains(said, "A3") || strings.Contains(said, "4 of 5") {
		b.t.Errorf("not blind: %s", said)
	}
	b.tap("button[name=rating][value='3']")
	b.wait(`document.body.innerText.includes("when it was fresh")`)
	if said := b.words(); !strings.Contains(said, "3 of 5: would do now; 4 of 5: good when it was fresh") {
		b.t.Errorf("afterwards: %s", said)
	}
	b.lookedOver("blind_done")
}
