package web

import (
	"strconv"
	"strings"

	"github.com/chromedp/chromedp"

	"beadwright/procedures"
)

// saidRebuilt says on the phone that a machine was rebuilt by hand before it was
// written down, which nobody had said: the warning stands on the next page, on top.
func saidRebuilt(b *browser) {
	b.door.close()
	b.shop = newShop(b.t)
	b.shop.must(b.t, "machine", "add", "shed", "--taps=low,high", "--output=ac", "--rated=90A", "--duty=20%")
	b.door.h = New(b.shop, Options{})
	b.door.open()
	b.visit("/machine/shed")
	b.tap("a[href='/machine/shed/change']")
	b.wait(`location.pathname === "/machine/shed/change"`)
	b.lookedOver("change")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("label:has([name=rebuilt][value=before])")
	b.tap("main .key.main")
	b.wait(`document.querySelector(".trouble") !== null`)
	if said := b.words(); !strings.Contains(said, "direct current") || !strings.Contains(said, "measure below 5 V before you touch it") || !ask[bool](b, `document.querySelector("fieldset.bad [name=output]") !== null && document.querySelector("[name=rebuilt][value=before]").checked`) {
		b.t.Errorf("rebuilt, and AC: %s", said)
	}
	b.lookedOver("change_trouble")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("label:has([name=output][value=dcen])")
	b.tap("main .key.main")
	b.wait(`location.pathname === "/machine/shed" && document.querySelector(".charge.short") !== null`)
	if top := ask[float64](b, `document.querySelector(".charge.short").getBoundingClientRect().bottom`); top > 740.0/2 {
		b.t.Errorf("the warning ends at %.0f px of 740", top)
	}
	if m := b.shop.machine(b.t, "shed"); !m.Rebuilt || m.Output != procedures.DCEN || m.State.Number != 2 {
		b.t.Errorf("written down as %+v", m)
	}
	b.lookedOver("changed")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("a.main[href='/machine/shed/rebuilt']")
	b.wait(`location.pathname === "/machine/shed/rebuilt"`)
	b.typed("bleeder", "100ohm")
	b.typed("capacitors", "much")
	b.tap("label:has([name=fan][value=yes])")
	b.tap("main .key.main")
	b.wait(`document.querySelector("[name=capacitors][aria-invalid]") !== null && document.querySelector("[name=bleeder]").value === "100ohm"`)
	b.lookedOver("fitted_trouble")
	b.do(chromedp.EmulateViewport(360, 740), chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=capacitors]").value = ""`))
	b.typed("capacitors", "6x10000uF")
	b.tap("main .key.main")
	b.wait(`location.pathname === "/machine/shed"`)
	b.tap("a[href='/machine/shed/measure']")
	b.wait(`location.pathname === "/machine/shed/measure"`)
	b.tap("label:has([name=tap][value=high])")
	b.typed("open", "24V")
	b.tap("main .key.main")
	b.wait(`document.body.innerText.includes("HIGH, no arc: 24 V")`)
	b.lookedOver("measured")
	b.do(chromedp.EmulateViewport(360, 740))
	b.tap("button[value=undo]")
	b.wait(`location.search === "" && !document.body.innerText.includes("no arc: 24 V")`)
}

// knobRunOut times runs of the knob on the phone, sees the curve grow, and takes a slip
// back.
func knobRunOut(b *browser) {
	b.shop = newShop(b.t)
	b.shop.must(b.t, "machine", "add", "shed", "--taps=low,high", "--output=dcen", "--knob=1..10", "--rebuilt")
	b.at = strings.TrimSuffix(serve(b.t, b.shop, "--listen=127.0.0.1:0").link(), "/")
	b.visit("/machine/shed")
	b.tap("a[href='/machine/shed/knob']")
	b.wait(`location.pathname === "/machine/shed/knob" && !document.getElementById("timer").hidden`)
	for i, run := range []struct{ mark, length string }{{"3", "24"}, {"7", "50"}} {
		b.tap("#stopwatch")
		b.wait(`Number(document.getElementById("timed").innerText) >= 1.1`)
		b.tap("#stopwatch")
		b.wait(`document.querySelector("[name=seconds]").value === document.getElementById("timed").innerText`)
		if took, err := strconv.ParseFloat(ask[string](b, `document.querySelector("[name=seconds]").value`), 64); err != nil || took < 1.1 {
			b.t.Errorf("timed as %g s: %v", took, err)
		}
		if said := ask[string](b, `document.getElementById("say").innerText`); !strings.Contains(said, "Make the wire dead, cut it at the tip") {
			b.t.Errorf("after the run it says %q", said)
		}
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=mark]").value = ""; document.querySelector("[name=seconds]").value = "10"`)) // as if it had run for ten
		b.typed("mark", run.mark)
		b.typed("length", run.length)
		b.tap("label:has([name=tap][value=high])")
		b.tap("main .key.main")
		b.wait(`document.querySelectorAll("tbody tr").length === ` + strconv.Itoa(i+1) + ` && document.body.innerText.includes("Written down: mark ` + run.mark + ` on HIGH runs")`)
	}
	b.wait(`document.querySelector("svg.drawn[role=img]") !== null && document.querySelector("svg.drawn").getBoundingClientRect().width > 200`)
	b.lookedOver("knob")
	b.shop.must(b.t, "units", "metric")
	for _, at := range []string{"knob", "measure", "change", "rebuilt", "set"} {
		b.visit("/machine/shed/" + at)
		b.lookedOver(at + "_metric")
	}
	b.do(chromedp.EmulateViewport(360, 740))
	b.visit("/machine/shed/knob?wrote=2")
	if said := b.words(); !strings.Contains(said, "Wire you cut off, centimeters") || !strings.Contains(said, "mark 7 on HIGH runs 7.6 m/min") {
		b.t.Errorf("in metric units: %s", said)
	}
	b.tap("button[value=undo]")
	b.wait(`location.search === "" && document.querySelectorAll("tbody tr").length === 1`)
}
