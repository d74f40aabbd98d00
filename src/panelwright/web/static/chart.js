/* A chart that is drawn where it is looked at. All its numbers come from the workshop; here they are
   only placed. What stands in the fields is asked for again, drawn, and told in the address. */
"use strict";
(() => {
  const find = (selector, within = document) => within.querySelector(selector);
  const form = find("#chart-form"), seen = find("#chart-seen"), tip = find("#chart-tip"), box = find("#chart-box");
  const part = form.elements.part;
  let view = null, rows = [], units = "si", going = null, boxed = [], ends = null, read = "";

  /* --- Ink: that of the page, film or blueprint -------------------------------------------------- */
  const NAMES = { ink: "--ink", ink_2: "--ink-2", rule_2: "--rule-2", sheet: "--sheet", pencil: "--pencil" };
  const inks = () => {
    const style = getComputedStyle(document.documentElement);
    return Object.fromEntries(Object.entries(NAMES).map(([name, own]) => [name, style.getPropertyValue(own).trim()]));
  };
  const inked = (spec) => {
    const now = inks();
    for (const one of spec.params) if (one.name in now) one.value = now[one.name];
    for (const layer of spec.layer) for (const one of layer.params ?? []) {
      one.select.mark.fill = one.select.mark.stroke = now.pencil;
    }
    return spec;
  };

  /* --- Drawing ------------------------------------------------------------------------------------ */
  const data = ["points", "lines", "names"];
  /* charts of one form are drawn into one view; those of other forms are kept, to come back at once */
  const views = new Map(), MOST_VIEWS = 6;
  const anew = async (made) => {
    const compiled = vegaLite.compile(inked(made.spec)).spec;
    /* a box is told in words, and lets what lies in it be pointed at */
    for (const mark of compiled.marks) if (mark.name.startsWith("box_brush")) mark.aria = mark.interactive = false;
    const holder = document.createElement("div");
    seen.replaceChildren(holder);
    seen.hidden = false;
    document.documentElement.setAttribute("data-charted", "");
    const options = { mode: "vega", ast: true, actions: false, defaultStyle: false, tooltip: told, renderer: made.renderer };
    view = (await vegaEmbed(holder, compiled, options)).view;
    views.set(made.form, { view, holder, size: seen.clientWidth + " " + seen.clientHeight });
    for (const [form, old] of [...views].slice(0, -MOST_VIEWS)) { old.view.finalize(); views.delete(form); }
    view.addEventListener("click", (event, item) => {
      const row = item?.datum;
      if (!row?.href) return;
      /* a finger reads first, and goes there with the second touch */
      if (event.pointerType === "touch" && read !== row.id) { told(null, event, item); read = row.id; return; }
      location.assign(row.href);
    });
    view.addSignalListener("box", (_, value) => marked(value));
  };
  const back = (kept) => { /* the window or its ink may have changed meanwhile */
    seen.replaceChildren(kept.holder);
    view = kept.view;
    const [from, to] = view.signal("box_x") ?? [];
    ends = from === to ? null : []; /* a box that stood on it goes */
    const now = inks(), size = seen.clientWidth + " " + seen.clientHeight;
    for (const name of Object.keys(NAMES)) if (view.signal(name) !== now[name]) view.signal(name, now[name]);
    if (kept.size !== size) dispatchEvent(new Event("resize"));
    kept.size = size;
  };
  const again = async (made) => { /* the same form: only what stands on it differs */
    /* no box any more; before the axes move, or the box would move with them */
    if (ends) await view.signal("box_x", [0, 0]).signal("box_y", [0, 0]).runAsync();
    for (const { name, value } of made.spec.params) if (!(name in NAMES)) view.signal(name, value);
    for (const name of data) view.data(name, made.spec.datasets[name]);
    await view.runAsync();
  };
  const draw = async (made) => {
    const names = Object.keys(made.points), columns = Object.values(made.points);
    rows = made.points.n.map((_, at) => {
      const row = {};
      for (let which = 0; which < names.length; which += 1) row[names[which]] = columns[which][at];
      return row;
    });
    made.spec.datasets.points = rows;
    units = made.units;
    if (!rows.length) { seen.hidden = true; document.documentElement.removeAttribute("data-charted"); return; }
    seen.hidden = false;
    const kept = views.get(made.form);
    if (kept && kept.view !== view) back(kept);
    if (kept) await again(made); else await anew(made);
    unboxed();
    seen.dispatchEvent(new CustomEvent("drawn", { bubbles: true }));
  };

  /* --- Asking ------------------------------------------------------------------------------------- */
  const query = () => new URLSearchParams(new FormData(form)).toString();
  const ask = async (remember = true) => {
    going?.abort();
    const mine = going = new AbortController();
    const asked = query();
    if (remember) history.replaceState(null, "", form.getAttribute("action") + "?" + asked);
    try {
      const answer = await fetch(form.getAttribute("action") + ".json?" + asked, { signal: mine.signal });
      if (answer.ok) await draw(await answer.json());
      if (remember || !answer.ok) await around(asked, mine);
    } catch (wrong) {
      if (wrong.name !== "AbortError") throw wrong;
    }
  };
  /* what stands around the chart: sentences, table, the drawing for paper */
  const around = async (asked, mine) => {
    const answer = await fetch(form.getAttribute("action") + "?" + asked, { signal: mine.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const name of ["chart-wrong", "chart-paper", "chart-said", "chart-table"]) {
      const fresh = find("#" + name, page);
      if (fresh) find("#" + name).replaceChildren(...fresh.childNodes);
    }
  };
  form.addEventListener("change", (event) => {
    if (/^(across|up)/.test(event.target.name)) part.value = "";
    ask();
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
  find("#chart-said").addEventListener("click", (event) => {
    if (!event.target.closest("[data-whole]")) return;
    event.preventDefault();
    part.value = "";
    ask();
  });

  /* --- Pointing ------------------------------------------------------------------------------------ */
  const told = (handler, event, item) => {
    const row = item?.datum;
    tip.hidden = !row?.title;
    if (tip.hidden) return;
    const line = (text, name) => {
      const made = document.createElement(name ?? "div");
      made.textContent = text;
      return made;
    };
    const [up, across] = ["up", "across"].map((name) => {
      const chosen = form.elements[name];
      return chosen.options[chosen.selectedIndex].textContent + ": " + row[name];
    });
    tip.replaceChildren(line(row.title, "strong"), line(row.core + ", " + row.standing), line(up), line(across));
    const around_ = seen.getBoundingClientRect();
    const x = event.clientX - around_.left, y = event.clientY - around_.top;
    tip.style.left = Math.max(0, Math.min(x + 14, around_.width - tip.offsetWidth)) + "px";
    tip.style.top = (y + 18 + tip.offsetHeight > around_.height ? y - tip.offsetHeight - 10 : y + 18) + "px";
  };
  seen.addEventListener("pointerleave", () => { tip.hidden = true; });

  /* --- A box: look at it alone, or line up those in it --------------------------------------------- */
  const unboxed = () => { ends = null; box.hidden = true; };
  const marked = (value) => {
    if (!value.mx || !value.my) return unboxed();
    const between = ([a, b], one) => Math.min(a, b) <= one && one <= Math.max(a, b);
    ends = [...value.mx, ...value.my];
    boxed = rows.filter((row) => between(value.mx, row.mx) && between(value.my, row.my));
    const count = boxed.length;
    find("span", box).textContent = count + (count === 1 ? " point" : " points") + " in the box.";
    find("[data-lineup]", box).hidden = count < 2 || count > 8;
    box.hidden = false;
  };
  find("[data-zoom]", box).addEventListener("click", () => {
    part.value = [units, ...ends.map((one) => Number(one.toPrecision(5)))].join(",");
    ask();
  });
  find("[data-lineup]", box).addEventListener("click", () => {
    location.assign("/lineup?" + new URLSearchParams({ members: boxed.map((row) => row.id).join("; ") }));
  });

  /* --- Film or blueprint by the system's choice --------------------------------------------------- */
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    if (!view) return;
    const now = inks();
    for (const name of Object.keys(NAMES)) view.signal(name, now[name]);
    view.runAsync();
  });

  /* a lettering face is there before it is drawn with: a canvas does not wait for it */
  Promise.all(["13px 'Sheet Lettering'", "14px 'Sheet Text'"].map((face) => document.fonts.load(face))).finally(() => ask(false));
})();
