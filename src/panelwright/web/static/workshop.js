/* What the page of a panel does by itself while it is changed; all that is shown comes from the
   server. What was typed is kept in this browser until it is kept on the shelf. */
"use strict";
(() => {
  const find = (selector, within = document) => within.querySelector(selector);
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const editor = find("#editor");
  if (!editor) return;
  const page = document.documentElement;
  const at = (name) => editor.elements.namedItem(name);
  const text = () => find("#text").value;
  const saved = text();
  const drafts = "panelwright panel " + (at("number").value || "new");
  const mine = drafts + " " + (sessionStorage["panelwright window"] ??= Date.now().toString(36) + Math.random().toString(36).slice(2));

  /* --- How wide, and which way ------------------------------------------------------------- */
  const wide = () =>
    matchMedia("(max-width: 699px)").matches ? "phone"
      : matchMedia("(max-width: 1199px)").matches ? "tablet" : "desk";
  at("wide").value = wide();

  /* --- Undo: every text that could be told apart by a pause or another place ---------------- */
  const past = [], future = [];
  let now = saved, place = "", since = 0, settled = false;
  const buttons = () => {
    find("[data-undo]").disabled = !past.length;
    find("[data-redo]").disabled = !future.length;
  };
  const step = (to, where) => {
    if (to === now) return;
    const same = where === place && where.startsWith("set") && Date.now() - since < 700 && !settled;
    if (!same) past.push(now);
    future.length = 0;
    now = to;
    settled = false;
    place = where;
    since = Date.now();
    buttons();
  };
  const go = (from, to) => {
    if (!from.length) return;
    to.push(now);
    now = from.pop();
    place = "";
    show(now);
    buttons();
  };
  const show = (whole) => {
    find("#text").value = whole;
    ask("look");
  };

  /* --- Asking ------------------------------------------------------------------------------- */
  const ask = (what) =>
    htmx.ajax("POST", "/live", { source: "#editor", swap: "none", values: { do: what } });
  const latest = new WeakMap();
  let typing = null; /* the field that is being typed into, and the text before that */
  let typed = null; /* a field that was typed into and not answered yet */
  document.addEventListener("input", (event) => {
    latest.set(event.target, event);
    if (event.target.name?.startsWith("at.")) typed = { name: event.target.name, value: event.target.value };
  }, true);

  let timer = 0, resting = 0;
  const soon = () => {
    clearTimeout(timer);
    clearTimeout(resting);
    timer = setTimeout(() => ranges(false), 40);
  };
  let going = null;
  const ranges = (whole) => {
    going?.abort();
    going = new AbortController();
    const began = performance.now(), mine = going;
    const body = new URLSearchParams(new FormData(editor));
    if (page.hasAttribute("data-refused")) body.set("text", body.get("stands"));
    if (!body.get("text").trim()) return;
    if (whole) body.set("all", "yes");
    const slow = setTimeout(() => working(true), 300);
    fetch("/live/ranges", { method: "POST", body, signal: mine.signal, headers: { "HX-Request": "true" } })
      .then(async (answer) => {
        if (answer.status !== 200 || mine !== going) return;
        const made = await answer.text();
        if (mine !== going) return;
        await htmx.swap({ sourceElement: editor, target: editor, swap: "none", text: made });
        settled = true;
        page.dataset.ranged = String(Math.round(performance.now() - began));
        tell();
        if (/\[\[\s*duty/.test(body.get("text")) || !find("#duty-body .empty")) await duties(body, mine);
        if (!whole) resting = setTimeout(() => ranges(true), 700);
      })
      .catch((wrong) => { if (wrong.name !== "AbortError") gone(); })
      .finally(() => { clearTimeout(slow); if (mine === going) working(false); });
  };

  const duties = async (body, mine) => {
    const answer = await fetch("/live/duties", { method: "POST", body, signal: mine.signal, headers: { "HX-Request": "true" } });
    if (answer.status === 204 || mine !== going) return;
    if (answer.status !== 200) {
      find("#duty-body").insertAdjacentText("afterbegin", "The duties were not judged anew: the workshop has met a fault of its own; its window says what. What stands here is older.");
      return;
    }
    const made = await answer.text();
    if (mine === going) await htmx.swap({ sourceElement: editor, target: editor, swap: "none", text: made });
    marks();
  };

  /* --- Long work ---------------------------------------------------------------------------- */
  let counting = 0;
  const working = (is) => {
    page.toggleAttribute("data-working", is);
    clearInterval(counting);
    const bar = find("#working");
    if (!is) { bar.hidden = true; return; }
    const began = Date.now();
    counting = setInterval(async () => {
      if (Date.now() - began < 700) return;
      bar.hidden = false;
      const parts = await fetch("/live/progress/" + encodeURIComponent(at("desk").value))
        .then((answer) => answer.text()).catch(() => "");
      if (parts) find("#working-parts").textContent = parts;
    }, 250);
  };
  find("#working button").addEventListener("click", () => {
    going?.abort();
    going = null;
    working(false);
    fetch("/live/stop", { method: "POST", body: new URLSearchParams(new FormData(editor)) });
  });

  /* --- The server is there, or is not -------------------------------------------------------- */
  let unanswered = "look"; /* what was asked last before it went: asked again when it is back */
  const gone = (what) => {
    if (what) unanswered = what;
    if (page.hasAttribute("data-gone")) return;
    page.setAttribute("data-gone", "");
    find("#gone-since").textContent = new Date().toTimeString().slice(0, 5);
    find("#gone").hidden = false;
    const again = setInterval(async () => {
      try { await fetch("/static/workshop.css", { cache: "no-store" }); } catch { return; }
      clearInterval(again);
      page.removeAttribute("data-gone");
      find("#gone").hidden = true;
      ask(unanswered);
      unanswered = "look";
    }, 1500);
  };

  document.addEventListener("htmx:before:request", (event) => {
    const { ctx } = event.detail;
    if (!ctx.request.action.endsWith("/live")) return;
    const source = ctx.sourceElement, newest = latest.get(source);
    if (ctx.sourceEvent?.type === "input" && newest && newest !== ctx.sourceEvent) {
      event.preventDefault(); /* a later keystroke of the same field stands in the queue */
      return;
    }
    const body = new URLSearchParams(new FormData(editor));
    body.set("do", ctx.request.body.get("do") ?? "");
    const what = body.get("do");
    if (page.hasAttribute("data-refused")) body.set("refused", "yes");
    if (what.startsWith("set ")) { /* a field emptied and typed anew keeps its place and its comment */
      if (typing?.what !== what || typing.after !== text()) typing = { what, base: text(), after: text() };
      body.set("text", typing.base);
    } else if (!what.startsWith("open")) typing = null;
    if (body.get("do") === "add" && openLayer()?.dataset.number)
      body.set("do", "add " + openLayer().dataset.number);
    ctx.request.body = body;
    ctx.asked = body.get("do");
    ctx.sent = body;
    going?.abort();
    clearTimeout(timer);
    clearTimeout(resting);
  });
  document.addEventListener("htmx:error", (event) => {
    if (event.detail.ctx?.request?.action?.startsWith("/live")) gone(event.detail.ctx.asked);
  });
  document.addEventListener("htmx:after:request", (event) => {
    const { ctx } = event.detail;
    if (!ctx.request.action.endsWith("/live")) return;
    if (ctx.response.status === 200) return;
    if (ctx.response.status === 403) return stale(ctx.asked);
    gone(ctx.asked);
  });
  document.addEventListener("htmx:after:swap", (event) => {
    const { ctx } = event.detail;
    if (!ctx.request?.action?.endsWith("/live") || ctx.response?.status !== 200) return;
    marks();
    if (typing) typing.after = text();
    if (typed && ctx.sent?.get(typed.name) === typed.value) typed = null;
    step(text(), ctx.asked ?? "");
    if ((ctx.asked ?? "").startsWith("add") && text() !== ctx.sent.get("text")) at("layer_words").value = "";
    const state = find("#state span");
    page.toggleAttribute("data-refused", state?.dataset.refused === "true");
    if (state && !["open", "set"].includes((ctx.asked ?? "").split(" ")[0])) at("open").value = state.dataset.opened;
    keep();
    soon();
  });

  /* --- The visit is over, or the workshop was started anew: a fresh mark, and the same again -- */
  const stale = async (what) => {
    const fresh = await fetch(location.href).then((answer) => answer.text()).catch(() => "");
    const mark = new DOMParser().parseFromString(fresh, "text/html").querySelector("#editor input[name=mark]");
    if (!mark) return gone(what);
    all("input[name=mark]").forEach((one) => { one.value = mark.value; });
    ask(what || "look");
  };

  /* --- Fields that are refused ---------------------------------------------------------------- */
  const marks = () => {
    const names = new Set(all("[data-marks]").flatMap((one) => one.dataset.marks.split(" ")));
    for (const field of all("#layers input, #layers select, #duty-rows input, #duty-rows select")) {
      const is = names.has(field.name.replace(/^at\./, ""));
      if (is) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
    }
  };

  /* --- What is not kept on the shelf yet ------------------------------------------------------- */
  const lines = (whole) => whole.split("\n");
  const differing = (before, after) => {
    const rest = lines(before);
    let count = 0;
    for (const line of lines(after)) {
      const found = rest.indexOf(line);
      if (found < 0) count += 1; else rest.splice(found, 1);
    }
    return Math.max(count, rest.length);
  };
  const store = () => localStorage.setItem(mine,
    JSON.stringify({ text: text(), typed, after: at("after").value, when: Date.now() }));
  addEventListener("pagehide", () => { if (typed) store(); });
  const keep = () => {
    const whole = text(), box = find("#keep");
    if (whole === saved) {
      localStorage.removeItem(mine);
      box.hidden = !!at("number").value;
      return;
    }
    store();
    const count = differing(saved, whole);
    const changed = find("#changed");
    if (changed) changed.textContent = !saved ? "Not kept yet." : count === 0 ? "Not kept yet: layers in another order."
      : "Not kept yet: " + count + (count === 1 ? " line differs." : " lines differ.");
    box.hidden = false;
  };
  const drafted = (name) => {
    try {
      const draft = JSON.parse(localStorage.getItem(name));
      return typeof draft?.text === "string" ? draft : null;
    } catch { return null; }
  };
  const kept = (of) => Object.keys(localStorage).filter((name) => name === of || name.startsWith(of + " "));
  /* each window has a draft of its own; the newest that any of them left is offered first */
  const offer = () => {
    const fresh = kept("panelwright panel new"); /* a new panel that has been kept is no draft any more */
    if (at("number").value) for (const name of fresh) if (drafted(name)?.text === saved) localStorage.removeItem(name);
    const found = kept(drafts).map((name) => [name, drafted(name)]).filter(([name, draft]) => {
      if (draft && (draft.text !== saved || draft.typed)) return true;
      localStorage.removeItem(name);
      return false;
    });
    if (!found.length) return;
    const [name, draft] = found.sort(([, one], [, other]) => other.when - one.when)[0];
    const box = find("#draft"), when = new Date(draft.when);
    find("#draft-when").textContent = when.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
    box.hidden = false;
    find("[data-take]", box).onclick = () => {
      box.hidden = true;
      localStorage.setItem(mine, JSON.stringify(draft));
      if (name !== mine) localStorage.removeItem(name);
      if (draft.after) at("after").value = draft.after;
      if (draft.typed) document.addEventListener("htmx:finally:request", () => {
        const field = at(draft.typed.name);
        if (!field) return;
        field.value = draft.typed.value;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }, { once: true });
      show(draft.text);
    };
    find("[data-leave]", box).onclick = () => {
      box.hidden = true;
      localStorage.removeItem(name);
      offer();
    };
  };
  find("[data-undo]").addEventListener("click", () => go(past, future));
  find("[data-redo]").addEventListener("click", () => go(future, past));
  find("[data-drop]")?.addEventListener("click", () => { step(saved, "drop"); show(saved); });

  /* --- Section and rows belong together -------------------------------------------------------- */
  const openLayer = () => find("#layers details.layer[open]");
  document.addEventListener("toggle", (event) => {
    const layer = event.target;
    if (!layer.matches?.("details.layer")) return;
    if (layer.open) for (const other of all("#layers details.layer[open]")) if (other !== layer) other.open = false;
    const opened = openLayer()?.dataset.layerName ?? "";
    if (at("open").value === opened) return;
    at("open").value = opened;
    if (!quietly) ask("open " + opened);
  }, true);
  let quietly = false;
  const holds = (numbers, one) => numbers.split(", ").some((run) => {
    const [first, last = first] = run.split("–").map(Number);
    return first <= one && one <= last;
  });
  find("#section-body")?.addEventListener("click", (event) => {
    const layer = event.target.closest("[data-layer]");
    if (!layer) return;
    const row = all("#layers details.layer").find((one) => holds(one.dataset.numbers, Number(layer.dataset.layer)));
    if (!row) return;
    row.open = true;
    find("summary", row).focus({ preventScroll: false });
  });

  /* --- Keys ------------------------------------------------------------------------------------ */
  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches("input, textarea, select");
    if ((event.ctrlKey || event.metaKey) && !event.altKey && !typing) {
      if (event.key === "z" && !event.shiftKey) { event.preventDefault(); go(past, future); }
      if (event.key === "y" || (event.key === "Z" && event.shiftKey)) { event.preventDefault(); go(future, past); }
      return;
    }
    if (event.key === "Enter" && event.target.matches("#layers input, #head input, #duty-rows input")) {
      event.preventDefault();
      const fields = all("input, select", event.target.closest(".fields"));
      fields[fields.indexOf(event.target) + 1]?.focus();
      return;
    }
    if (event.key === "Enter" && event.target === at("layer_words")) {
      event.preventDefault();
      find("#add").click();
      return;
    }
    if (event.key === "Enter" && event.target.matches("#editor input, #said-fields input")) event.preventDefault();
    const row = event.target.closest?.("#layers summary")?.parentElement;
    if (!row) return;
    const rows = all("#layers details.layer"), here = rows.indexOf(row);
    const number = Number(row.dataset.number);
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      const by = event.key === "ArrowDown" ? 1 : -1;
      if (event.altKey && number) { refocus = number + by; return move(number, number + by); }
      find("summary", rows[here + by] ?? row).focus();
    }
    if (event.key === "Delete" && number) { event.preventDefault(); ask("remove " + number); }
    if (event.key === "Insert") { event.preventDefault(); at("layer_words").focus(); }
  });

  /* --- Moving a layer: by its grip, with a finger or a mouse -------------------------------------- */
  const own = () => all("#layers details.layer[data-number]");
  const move = (from, to) => {
    if (to < 1 || to > own().length || to === from) return;
    ask("move " + from + " " + to);
  };
  let refocus = 0;
  document.addEventListener("htmx:finally:request", () => {
    if (!refocus) return;
    const row = find(`#layers details.layer[data-number="${refocus}"] summary`);
    refocus = 0;
    row?.focus();
  });
  let held = null;
  const over = (y) => {
    const rows = own();
    let to = rows.length;
    for (const row of rows) {
      const box = row.getBoundingClientRect();
      if (y < box.top + box.height / 2) { to = Number(row.dataset.number); break; }
      to = Number(row.dataset.number) + 1;
    }
    return to;
  };
  const line = (to) => {
    for (const row of own()) {
      row.toggleAttribute("data-before", Number(row.dataset.number) === to);
      row.toggleAttribute("data-after", to === own().length + 1 && Number(row.dataset.number) === to - 1);
    }
  };
  find("#layers").addEventListener("pointerdown", (event) => {
    const grip = event.target.closest(".grip"), row = event.target.closest("details.layer[data-number]");
    if (!grip || !row) return;
    event.preventDefault();
    held = { row, grip, to: Number(row.dataset.number), moved: false };
    grip.setPointerCapture(event.pointerId);
    row.setAttribute("data-held", "");
  });
  find("#layers").addEventListener("pointermove", (event) => {
    if (!held) return;
    held.moved = true;
    held.to = over(event.clientY);
    line(held.to);
  });
  find("#layers").addEventListener("touchstart", (event) => {
    if (event.target.closest(".grip")) event.preventDefault(); /* no scroll, and no tap swallowed after it */
  }, { passive: false });
  const drop = (event) => {
    if (!held) return;
    const { row, to, moved } = held, from = Number(row.dataset.number);
    held = null;
    row.removeAttribute("data-held");
    line(0);
    if (event.type === "pointerup" && moved) move(from, to > from ? to - 1 : to);
  };
  find("#layers").addEventListener("pointerup", drop);
  find("#layers").addEventListener("pointercancel", drop);
  find("#layers").addEventListener("click", (event) => {
    if (event.target.closest(".grip")) event.preventDefault(); /* a grip does not open its row */
  });

  /* --- Told to who listens, once in a pause ----------------------------------------------------- */
  let telling = 0;
  const tell = () => {
    clearTimeout(telling);
    telling = setTimeout(() => {
      const said = all("#figures > div").filter((one) => find(".just", one)).map((one) =>
        find(".cap", one).textContent + " " + find("a, .plain", one).textContent.replace(find(".cap", one).textContent, "").trim());
      if (said.length) find("#told").textContent = said.join(", ");
    }, 1000);
  };

  /* --- Another width ----------------------------------------------------------------------------- */
  addEventListener("resize", () => {
    if (at("wide").value === wide()) return;
    at("wide").value = wide();
    if (text() !== saved) ask("look");
  });

  offer();
  if (!at("number").value && text()) keep();
  if (text() && !find("#figures > div")) ask("look");
  page.setAttribute("data-live", "");
})();
