/* Marks on the photo of a cut edge. Each mark is a field of the form: what is dragged is written
   there, and what the marks come to is the server's word. */
"use strict";
(() => {
  const find = (selector, within = document) => within.querySelector(selector);
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const board = find("#board");
  if (!board) return;
  const form = find("#marks"), picture = find("#picture"), drawn = find("#drawn");
  const width = Number(board.dataset.width), height = Number(board.dataset.height);
  const fields = all("input[data-role]", form);
  board.hidden = false;
  find("#still").hidden = true;
  /* with the photo to touch, the numbers need not be seen */
  for (const part of all("details[data-place]", form)) part.open = !!find("[aria-invalid]", part);

  /* --- Fields -------------------------------------------------------------------------------- */
  const read = (field) => {
    const [x, y] = field.value.split(" by ")[0].replace(/px|,/g, " ").trim().split(/\s+/).map(Number);
    return field.value.trim() && Number.isFinite(x) && Number.isFinite(y) ? { x, y } : null;
  };
  const step = () => 1 / (picture.getScreenCTM()?.a || 1); /* px of the photo in one of the screen */
  const write = (field, at) => {
    const x = Math.min(Math.max(at.x, 0), width), y = Math.min(Math.max(at.y, 0), height);
    const fine = Math.max(step(), 0.5), places = fine < 2 ? 1 : 0;
    field.value = `${+x.toFixed(places)} ${+y.toFixed(places)} by ${+fine.toPrecision(2)}`;
    changed();
  };
  const placeOf = (field) => field.name.startsWith("mark") ? field.name.split(" ")[1].split("/")[0] : "";
  const ofPlace = (place) => fields.filter((field) => placeOf(field) === place);
  const places = [...new Set(fields.map(placeOf).filter(Boolean))];

  /* --- What comes next ------------------------------------------------------------------------ */
  let selected = null, wanted = null; /* a field; the place that was asked for */
  const pending = () => {
    const scale = fields.find((field) => field.dataset.role === "scale" && !read(field));
    if (scale) return scale;
    const place = wanted ?? places.find((one) => ofPlace(one).every((field) => !read(field)) && one === places[0]);
    if (!place) return null;
    const of = ofPlace(place), ends = [of[0], of[of.length - 1]];
    return ends.find((field) => !read(field)) ?? null;
  };
  const says = () => {
    const next = pending();
    if (!next && fields.some(proposed)) return "Drag each dashed mark onto its boundary, or take it away where none can be seen.";
    if (!next) return "Drag a mark, or move it with the arrows; then another place.";
    const label = next.dataset.says;
    if (next.dataset.role === "scale") return `Scale: touch ${label[0].toLowerCase()}${label.slice(1)}.`;
    return `Place ${placeOf(next)}: touch the ${label[0].toLowerCase()}${label.slice(1)}.`;
  };
  const set = (at) => {
    const field = pending();
    if (!field) return;
    write(field, at);
    if (field.dataset.role === "mark") {
      wanted = placeOf(field);
      if (!pending()) wanted = null;
    }
    selected = field;
    draw();
    focus(field);
  };
  /* the boundaries between two faces stand dashed where they were predicted: they are no marks
     until somebody has dragged, touched or confirmed them */
  const left = new Set();
  const proposed = (field) => {
    if (field.dataset.role !== "mark" || read(field) || left.has(field)) return null;
    const of = ofPlace(placeOf(field)), a = read(of[0]), b = read(of[of.length - 1]);
    if (!a || !b) return null;
    const depth = Number(field.dataset.depth);
    return { x: a.x + depth * (b.x - a.x), y: a.y + depth * (b.y - a.y) };
  };
  const shown = (field) => read(field) ?? proposed(field);

  /* --- Drawing -------------------------------------------------------------------------------- */
  const view = { x: 0, y: 0, width, height };
  const make = (tag, values, inner = "") => {
    const made = document.createElementNS("http" + "://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(values)) made.setAttribute(name, value);
    if (inner) made.textContent = inner;
    return made;
  };
  const draw = () => {
    const held = document.activeElement?.dataset?.mark;
    picture.setAttribute("viewBox", `${view.x} ${view.y} ${view.width} ${view.height}`);
    const px = step();
    drawn.replaceChildren();
    for (const one of ["", ...places]) {
      const of = fields.filter((field) => placeOf(field) === one).map(read).filter(Boolean);
      if (of.length < 2) continue;
      const points = of.map((at) => `${at.x},${at.y}`).join(" ");
      drawn.append(make("polyline", { points, class: one ? "across" : "scale" }));
    }
    for (const field of fields) {
      const at = shown(field);
      if (!at) continue;
      const place = placeOf(field), label = place ? `${field.name.split("/")[1]}` : field.name.slice(-1);
      const says = `${label}: ${place ? `place ${place}, ` : "scale, "}${field.dataset.says}: ${read(field) ? "" : "not marked yet, "}${Math.round(at.x)}, ${Math.round(at.y)}`;
      const mark = make("g", { class: "mark" + (field === selected ? " selected" : "") + (read(field) ? "" : " proposed"), tabindex: 0, role: "button", "aria-label": says, "data-mark": field.name });
      const arm = 9 * px;
      mark.append(
        make("circle", { cx: at.x, cy: at.y, r: 11 * px }),
        make("path", { d: `M${at.x - arm} ${at.y}H${at.x + arm}M${at.x} ${at.y - arm}V${at.y + arm}` }),
        make("text", { x: at.x + 14 * px, y: at.y + 5 * px, "font-size": 16 * px, "stroke-width": 4 * px }, label),
      );
      drawn.append(mark);
    }
    if (held) find(`[data-mark="${held}"]`, drawn)?.focus({ preventScroll: true });
    find("#next").textContent = says();
    find("[data-do=middle]").disabled = !pending();
    find("[data-do=away]").disabled = !selected || !shown(selected);
    find("[data-do=place]").disabled = !!pending() || !places.some((one) => ofPlace(one).every((field) => !read(field)));
  };
  const focus = (field) => find(`[data-mark="${field.name}"]`, drawn)?.focus({ preventScroll: true });

  /* --- The view ------------------------------------------------------------------------------- */
  const look = (size, centre) => {
    view.width = Math.min(Math.max(size, 40), width);
    view.height = view.width * height / width;
    view.x = Math.min(Math.max(centre.x - view.width / 2, 0), width - view.width);
    view.y = Math.min(Math.max(centre.y - view.height / 2, 0), height - view.height);
    draw();
  };
  const centre = () => ({ x: view.x + view.width / 2, y: view.y + view.height / 2 });
  const nearer = (times) => look(view.width / times, (selected && shown(selected)) || centre());

  /* --- Pointers ------------------------------------------------------------------------------- */
  const at = (event) => {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
    return { x, y };
  };
  const nearest = (to) => {
    let best = null, least = 24 * step();
    for (const field of fields) {
      const mark = shown(field);
      const far = mark ? Math.hypot(mark.x - to.x, mark.y - to.y) : Infinity;
      if (far < least || (far === least && field === selected)) { best = field; least = far; }
    }
    return best;
  };
  let held = null; /* what the pointer does: which mark, from where, whether it moved */
  picture.addEventListener("pointerdown", (event) => {
    if (event.button || held) return;
    event.preventDefault();
    const from = at(event), field = nearest(from);
    picture.setPointerCapture(event.pointerId);
    held = { id: event.pointerId, field, from, start: field ? shown(field) : null, seen: { x: event.clientX, y: event.clientY }, moved: false, view: { ...view } };
    if (field) { selected = field; draw(); focus(field); }
  });
  picture.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    if (!held.moved && Math.hypot(event.clientX - held.seen.x, event.clientY - held.seen.y) < (held.field && event.pointerType === "mouse" ? 1 : 4)) return;
    held.moved = true;
    if (held.field) {
      const to = at(event);
      write(held.field, { x: held.start.x + to.x - held.from.x, y: held.start.y + to.y - held.from.y });
      draw();
    } else if (view.width < width) {
      const px = step();
      look(view.width, { x: held.view.x + held.view.width / 2 - (event.clientX - held.seen.x) * px, y: held.view.y + held.view.height / 2 - (event.clientY - held.seen.y) * px });
    }
  });
  const done = (event) => {
    if (!held || event.pointerId !== held.id) return;
    const { field, moved, from, start } = held;
    held = null;
    /* a touch sets the next mark, also close to another; a drag moves that one */
    const close = field && Math.hypot(start.x - from.x, start.y - from.y) < 6 * step();
    if (event.type !== "pointerup" || moved) return;
    if (!close) set(from);
    else if (!read(field)) confirm(field);
  };
  picture.addEventListener("pointerup", done);
  picture.addEventListener("pointercancel", done);

  /* --- Keys and buttons ----------------------------------------------------------------------- */
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const confirm = (field) => { write(field, proposed(field)); draw(); };
  const away = () => {
    if (!selected) return;
    if (!read(selected)) left.add(selected);
    selected.value = "";
    selected = null;
    changed();
    draw();
  };
  drawn.addEventListener("focusin", (event) => {
    const name = event.target.closest("[data-mark]")?.dataset.mark;
    const field = fields.find((one) => one.name === name);
    if (field && field !== selected) { selected = field; draw(); }
  });
  drawn.addEventListener("keydown", (event) => {
    const field = fields.find((one) => one.name === event.target.closest("[data-mark]")?.dataset.mark);
    if (!field) return;
    if (event.key === "Delete" || event.key === "Backspace") { event.preventDefault(); away(); return; }
    if (event.key === "Enter" && !read(field)) { event.preventDefault(); confirm(field); return; }
    const way = ways[event.key];
    if (!way) return;
    event.preventDefault();
    const mark = shown(field), far = event.shiftKey ? 10 : 1;
    write(field, { x: mark.x + far * way[0], y: mark.y + far * way[1] });
    draw();
  });
  const acts = {
    closer: () => nearer(2),
    farther: () => nearer(0.5),
    whole: () => look(width, centre()),
    middle: () => set(centre()),
    away,
    place: () => {
      wanted = places.find((one) => ofPlace(one).every((field) => !read(field))) ?? null;
      draw();
    },
  };
  board.addEventListener("click", (event) => acts[event.target.closest("[data-do]")?.dataset.do]?.());
  form.addEventListener("input", () => { draw(); soon(); });
  addEventListener("resize", draw);

  /* --- What they come to ---------------------------------------------------------------------- */
  let timer = 0, asked = null;
  const soon = () => { clearTimeout(timer); timer = setTimeout(ask, 150); };
  const changed = soon;
  const ask = async () => {
    asked?.abort();
    const mine = asked = new AbortController();
    try {
      const answer = await fetch(board.dataset.look, { method: "POST", body: new URLSearchParams(new FormData(form)), signal: mine.signal });
      if (!answer.ok) throw new Error(String(answer.status));
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (mine === asked) find("#edge-found").replaceChildren(...page.body.childNodes);
    } catch (wrong) {
      if (wrong.name !== "AbortError") find("#edge-found").textContent = "The workshop does not answer: the marks stay in the form, keep them once it is back.";
    }
  };
  draw();
})();
