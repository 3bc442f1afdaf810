// Comfort for the pages. Every page works without it: forms are plain forms.
(() => {
  "use strict";
  const $ = (id) => document.getElementById(id);
  const dangers = []; // of what was saved on this page: whatever is said after, they stay said
  const say = (text) => { const p = $("say"); if (p) p.textContent = [...dangers.map((d) => "STOP. " + d.replace(/^stop\. /i, "")), text].join(" "); };

  // Heard and not seen: a line that came up above what is pressed would move it from
  // under the thumb.
  const hear = (text) => { $("heard").textContent = text; };

  for (const b of document.querySelectorAll("button.print")) {
    b.hidden = false;
    b.addEventListener("click", () => window.print());
  }

  // The queue: records that found no connection wait on this phone, each with the
  // token that makes it one record however often it is sent.
  const KEY = "beadwright-queue";
  const waiting = () => { try { return JSON.parse(localStorage.getItem(KEY)) || []; } catch { return []; } };
  const keep = (list) => { try { localStorage.setItem(KEY, JSON.stringify(list)); return true; } catch { return false; } };
  const put = (r) => keep(waiting().map((x) => x.token === r.token ? r : x));
  const pictures = new Map(); // by token: a picture waits as long as this page stays open
  const drop = (token) => keep(waiting().filter((r) => r.token !== token));

  const post = async (fields, body) => {
    const stop = new AbortController();
    const late = setTimeout(() => stop.abort(), body ? 55000 : 10000); // a picture takes its time over a bad line
    try {
      const res = await fetch("/log", { method: "POST", body: body || new URLSearchParams(fields), headers: { Accept: "application/json" }, signal: stop.signal });
      const said = await res.json().catch(() => ({}));
      return { ok: res.ok && !!said.mark, mark: said.mark, next: said.next, status: res.status, danger: said.danger || "", field: said.error ? said.error.field : "", why: said.error ? [said.error.message, ...(said.error.hint ? said.error.hint.split("; ") : [])].join(". ") : "" };
    } finally { clearTimeout(late); }
  };

  // What the server understood and did not take: sending it again changes nothing.
  const refused = (status) => status >= 400 && status < 500 && ![401, 403, 408, 421, 429].includes(status);

  const listQueue = () => {
    const box = $("queue");
    if (!box) return;
    const list = waiting();
    box.hidden = list.length === 0;
    const ul = box.querySelector("ul");
    ul.textContent = "";
    for (const r of list) {
      const li = document.createElement("li");
      const p = document.createElement("p");
      p.textContent = "Rated " + (r.rating || "nothing") + ", " + (r.job || "the joint as said") + ". " + (r.why || (r.late ? "Not yet: " + r.late : "Waits for the connection."));
      li.append(p);
      if (r.why) {
        const right = () => { location.href = "/log?" + new URLSearchParams(r.fields); }; // the form as it was sent, under the same token
        const away = () => { if (confirm("Throw this bead away? It is written down nowhere else.")) { drop(r.token); listQueue(); } };
        for (const [label, act] of [["Put it right", right], ["Send it again", () => { r.why = ""; put(r); flush(); }], ["Throw it away", away]]) {
          const b = document.createElement("button");
          b.type = "button"; b.className = "key"; b.textContent = label;
          b.addEventListener("click", act);
          li.append(b, " ");
        }
      }
      ul.append(li);
    }
  };

  let sending = false;
  const flush = async () => {
    if (sending) return;
    sending = true;
    const saved = [], bare = [];
    try {
      for (const r of waiting()) {
        if (r.why) continue;
        const age = Math.max(0, (Date.now() - r.at) / 1000);
        const fields = [...r.fields, ["age_seconds", String(age)]], photo = pictures.get(r.token);
        let body = null;
        if (photo) {
          body = new FormData();
          for (const [k, v] of fields) body.append(k, v);
          body.append("photo", photo);
        }
        const out = await post(fields, body);
        if (out.ok) {
          drop(r.token);
          saved.push(out.mark);
          if (r.photo && !pictures.delete(r.token)) bare.push(out.mark);
          if (out.danger && !dangers.includes(out.danger)) dangers.push(out.danger);
          say("Saved " + saved.join(", ") + (saved.length > 1 ? ": paint each on its coupon." : ": paint it on the coupon.") + (bare.length ? " The picture of " + bare.join(", ") + " was not kept: add it on its page." : ""));
        } else if (refused(out.status)) {
          r.why = "Not taken: " + out.why;
          put(r);
        } else if (out.status === 403 || out.status === 401) {
          say("This phone has to be paired again before what waits can be saved.");
          return;
        } else if (r.late !== out.why) {
          r.late = out.why;
          put(r);
        }
        listQueue();
      }
    } catch { /* no connection yet: it stays in the queue */ } finally { sending = false; listQueue(); }
  };
  if (waiting().length) {
    if (!$("queue")) say((waiting().length > 1 ? waiting().length + " beads wait" : "A bead waits") + " on this phone: see Log.");
    flush();
  }
  window.addEventListener("online", flush);
  setInterval(() => { if (waiting().length) flush(); }, 3000);
  listQueue();

  // A token as the server makes them; on a plain http page there is no randomUUID.
  const token = () => {
    const b = crypto.getRandomValues(new Uint8Array(16));
    let t = Date.now();
    for (let i = 5; i >= 0; i--) { b[i] = t % 256; t = Math.floor(t / 256); }
    b[6] = 0x70 | (b[6] & 15);
    b[8] = 0x80 | (b[8] & 63);
    const h = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
    return [h.slice(0, 8), h.slice(8, 12), h.slice(12, 16), h.slice(16, 20), h.slice(20)].join("-");
  };

  const log = $("log");
  if (log) {
    const knob = $("knob");
    const thirds = ["lower third", "middle third", "upper third"];
    const parse = (s) => {
      const m = /^\s*(?:(\d+(?:\.\d+)?)(?:\s+(\d)\/(\d))?|(\d)\/(\d))\s*$/.exec(s);
      if (!m) return null;
      return m[4] ? m[4] / m[5] : Number(m[1]) + (m[2] ? m[2] / m[3] : 0);
    };
    const format = (v) => {
      const whole = Math.floor(v), part = ["", "1/4", "1/2", "3/4"][Math.round((v - whole) * 4)];
      return part && whole === 0 ? part : part ? whole + " " + part : String(whole);
    };
    const big = () => {
      const line = $("bigline");
      if (!line) return;
      const tap = log.querySelector("[name=tap]:checked");
      const mark = knob.value.trim();
      const was = log.elements;
      if ($("speed")) $("speed").className = mark !== was.was_knob.value || tap && tap.value !== was.was_tap.value || was["wire-speed"].value ? "gone" : "";
      line.textContent = [tap ? tap.value.toUpperCase() : "", mark && !mark.endsWith("third") ? "knob " + mark.replace(" ", "\u00a0") : mark].filter(Boolean).join(", ");
    };
    const low = Number(knob.dataset.min || 0), high = Number(knob.dataset.max || 0), step = Number(knob.dataset.step || 0.5);
    for (const b of log.querySelectorAll(".step")) {
      b.addEventListener("click", (e) => {
        e.preventDefault();
        const by = b.value === "up" ? 1 : -1;
        const now = parse(knob.value);
        if (now !== null) {
          let v = Math.max(0, Math.round((now + by * step) * 4) / 4);
          if (high > low) v = Math.min(high, Math.max(low, v));
          knob.value = format(v);
        } else if (knob.value.trim() === "" && high > low) {
          knob.value = format(Math.round((low + high) * 2) / 4);
        } else {
          const i = thirds.indexOf(knob.value.trim());
          knob.value = i < 0 ? thirds[1] : thirds[Math.min(2, Math.max(0, i + by))];
        }
        big();
        hear("Knob " + knob.value);
      });
    }
    log.addEventListener("change", big);

    // An Enter in the knob's field saves, it does not step.
    knob.addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); log.requestSubmit($("save")); } });

    log.addEventListener("invalid", (e) => { if (e.target.name === "rating") say("Not saved yet: how did it turn out? Press a number from 1 to 5."); }, true);

    let busy = false;
    log.addEventListener("submit", async (e) => {
      if (e.submitter && e.submitter.name === "step") return;
      e.preventDefault();
      if (busy) return;
      busy = true;
      const data = new FormData(log);
      const photo = data.get("photo");
      const has = photo instanceof File && photo.size > 0;
      if (!has) data.delete("photo");
      const fields = [...data].filter(([, v]) => typeof v === "string");
      const get = (n) => (fields.find(([k]) => k === n) || [])[1];
      const save = $("save");
      save.textContent = has ? "Saving, with the picture" : "Saving";
      const out = await post(fields, has ? data : null).catch(() => ({ status: 0 }));
      if (out.ok) {
        drop(get("token"));
        location.replace(out.next); // Back does not lead to a form that is spent
        return;
      }
      busy = false;
      save.textContent = "Save";
      if (refused(out.status)) {
        for (const e of log.elements) if (e.name) e.toggleAttribute("aria-invalid", e.name === out.field);
        say("Not saved: " + (out.why || "that was not taken"));
      } else {
        const why = out.why || "No connection", record = { token: get("token"), at: Date.now(), fields, rating: get("rating"), job: get("job"), why: "", late: out.why || "", photo: has };
        if (keep([...waiting().filter((r) => r.token !== record.token), record])) {
          const stop = log.querySelector("[data-danger]:checked");
          if (stop && !dangers.includes(stop.dataset.danger)) dangers.push(stop.dataset.danger);
          if (has) pictures.set(record.token, photo);
          log.reset();
          log.elements.token.value = token();
          big();
          say(why + ". Kept on this phone; it is saved as soon as the notebook can be reached." + (has ? " The picture goes along if this page stays open." : ""));
          listQueue();
        } else {
          say(why + ", and this phone keeps nothing. Leave this page open, and press Save again.");
        }
      }
      $("say").scrollIntoView();
    });
  }

  // Search as you type: the form's own page is fetched, and its results put in.
  const find = $("find");
  if (find) {
    let last = "", timer = 0, turn = 0;
    const look = async () => {
      const query = new URLSearchParams(new FormData(find)).toString();
      if (query === last) return;
      last = query;
      const mine = ++turn;
      try {
        const res = await fetch("/find?" + query, { headers: { Accept: "text/html" } });
        const doc = new DOMParser().parseFromString(await res.text(), "text/html");
        const found = doc.getElementById("results");
        if (mine === turn && found) {
          $("results").replaceChildren(...found.childNodes);
          const count = $("count");
          say("");
          hear(count ? count.textContent : "");
          history.replaceState(null, "", "/find?" + query);
        }
      } catch { say("No connection, so this is what was found before."); }
    };
    last = new URLSearchParams(new FormData(find)).toString();
    find.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(look, 180); });
  }

  // Presses of the clock wait with their time where they find no connection; whichever
  // page is open sends them.
  const PRESSES = "beadwright-clock";
  let presses = [], going = false, refusal = "";
  try { presses = JSON.parse(localStorage.getItem(PRESSES)) || []; } catch { /* none is kept */ }
  const lost = (text) => { if ($("lost")) $("lost").textContent = text; }; // below what is pressed, so that it moves nothing
  const remember = () => { try { localStorage.setItem(PRESSES, JSON.stringify(presses)); } catch { lost("This phone keeps nothing: stay on this page until the connection is back."); } };
  const send = async () => {
    if (going) return;
    going = true;
    let next = "";
    try {
      while (presses.length) {
        const stop = new AbortController(), late = setTimeout(() => stop.abort(), 8000);
        const body = new URLSearchParams({ do: presses[0].do, age_seconds: String((Date.now() - presses[0].at) / 1000) });
        const res = await fetch("/duty", { method: "POST", body, headers: { Accept: "application/json" }, keepalive: true, signal: stop.signal }).finally(() => clearTimeout(late));
        if (!res.ok && !refused(res.status)) throw new Error();
        presses.shift();
        remember();
        if (res.ok) next = res.url;
        else lost(refusal = ((await res.json()).error || {}).message || "That press was not taken.");
      }
      if (next && $("clock")) location.replace(next);
    } catch { lost("No connection: the count goes on by this phone, and what was pressed is kept with its time."); } finally { going = false; }
  };
  if (presses.length) send();

  // The clock: the server keeps it; here it only runs between two looks.
  const clock = $("clock");
  if (clock) {
    const toggle = $("toggle");
    toggle.focus({ preventScroll: true });
    let kind = clock.dataset.do, base = Number(clock.dataset.seconds), from = performance.now();
    const draw = () => {
      const runs = kind === "arc on" || kind === "rest" || kind === "wait";
      const v = runs ? base - (performance.now() - from) / 1000 : base;
      const text = String(Math.max(0, Math.round(v)));
      $("seconds").textContent = text;
      for (const n of [3, 4]) $("seconds").classList.toggle("digits-" + n, text.length === n);
    };
    const set = (c) => {
      clock.dataset.do = c.do;
      kind = c.do; base = c.seconds; from = performance.now();
      if ($("order").textContent !== c.order) $("order").textContent = c.order;
      $("meaning").textContent = c.meaning.charAt(0).toUpperCase() + c.meaning.slice(1);
      const go = c.burning ? "stop" : "start";
      if (toggle.value !== go) {
        toggle.value = go;
        toggle.textContent = c.burning ? "Arc is out: stop" : "Strike the arc: start";
        toggle.classList.toggle("on", c.burning);
      }
      draw();
    };
    $("duty").addEventListener("submit", (e) => {
      e.preventDefault();
      const now = Date.now(); // a glove bounces: a second press within a second is none
      if (now - Number(sessionStorage.getItem(PRESSES)) < 1000) return;
      sessionStorage.setItem(PRESSES, now);
      const start = toggle.value === "start";
      presses.push({ do: toggle.value, at: now });
      refusal = "";
      remember();
      set({ do: start ? "arc on" : "rest", order: start ? "ARC ON" : "REST", burning: start, seconds: start && kind === "go" ? Number($("seconds").textContent) : 0, meaning: start ? "seconds of arc left, by this phone" : "how long, the notebook says" });
      send();
    });
    const look = async () => {
      if (presses.length) return send();
      try {
        const res = await fetch("/duty", { headers: { Accept: "application/json" } });
        if (res.ok && !presses.length) { set(await res.json()); lost(refusal); }
      } catch { lost("No connection: the count goes on by this phone."); }
    };
    setInterval(draw, 250);
    setInterval(look, 3000);
    document.addEventListener("visibilitychange", () => { if (!document.hidden) look(); });
    document.addEventListener("keydown", (e) => {
      if (e.key !== " " && e.key !== "Enter") return;
      if (e.target !== document.body && e.target !== $("main") && e.target !== toggle) return;
      e.preventDefault();
      if (!e.repeat) toggle.click();
    });
  }

  // The stopwatch of a run-out: what it stops at goes into the form.
  const watch = $("stopwatch");
  if (watch) {
    const field = document.querySelector("[name=seconds]"), shown = $("timed"), least = 1, most = 300;
    let from = 0, tick = 0;
    const gone = () => (performance.now() - from) / 1000;
    $("timer").hidden = false;
    watch.addEventListener("click", () => {
      if (!tick) {
        from = performance.now();
        watch.textContent = "Let go of the trigger: stop";
        watch.classList.add("on");
        tick = setInterval(() => {
          shown.textContent = gone().toFixed(1);
          if (gone() >= 10) watch.textContent = "10 seconds: let go, and stop";
        }, 100);
        return;
      }
      const took = gone();
      clearInterval(tick);
      tick = 0;
      shown.textContent = took.toFixed(1);
      watch.textContent = "Once more: start";
      watch.classList.remove("on");
      if (took < least || took > most) { say("That is no run: hold it for about 10 seconds."); return; }
      field.value = took.toFixed(1);
      say(field.value + " seconds. Make the wire dead, cut it at the tip, and measure what you cut.");
    });
  }
})();
