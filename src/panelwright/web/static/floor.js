/* The clocks of the pots, and what is written while the workshop does not answer. A clock is never
   counted here: it is the moment of the touch, which the shelf keeps, against what time it is. */
"use strict";
(() => {
  const find = (selector, within = document) => within.querySelector(selector);
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const floor = find("#floor");
  if (!floor) return;
  /* by the clock of the workshop, whatever this device's own says */
  const ahead = Number(floor.dataset.now) - Date.now();
  const now = () => Date.now() + ahead;

  /* --- Clocks ---------------------------------------------------------------------------------- */
  const two = (number) => String(number).padStart(2, "0");
  const told = new Map();
  const tell = (clock, words) => {
    if (told.get(clock) === words) return;
    if (told.has(clock)) find("#told").textContent = "Pot " + clock.dataset.pot + ": " + words;
    told.set(clock, words);
  };
  const show = () => {
    for (const clock of all("[data-use-by]")) {
      const rest = Number(clock.dataset.useBy) - now(), gels = Number(clock.dataset.gels) - now();
      const whole = Math.floor(Math.abs(rest) / 1000);
      if (gels <= 0) clock.textContent = "gels: lay no more of it";
      else if (rest <= 0) clock.textContent = "past its time by " + Math.ceil(whole / 60) + " min";
      else clock.textContent = Math.floor(whole / 60) + ":" + two(whole % 60) + " to use it";
      clock.classList.toggle("over", rest <= 0);
      tell(clock, gels <= 0 ? "gels, lay no more of it" : rest <= 0 ? "past its time"
        : rest < 300000 ? "less than 5 minutes" : "keeps");
    }
  };
  show();
  setInterval(show, 1000);
  document.addEventListener("visibilitychange", show);

  /* --- What is written: kept here until the shelf has it ----------------------------------------- */
  const name = "panelwright build " + floor.dataset.piece;
  const waiting = () => {
    try { return JSON.parse(localStorage.getItem(name)) ?? []; } catch { return []; }
  };
  const wait = (list) => {
    if (list.length) localStorage.setItem(name, JSON.stringify(list)); else localStorage.removeItem(name);
  };
  let sending = false;
  const post = async (one, mark) => {
    const body = new URLSearchParams(one.fields);
    body.set("mark", mark);
    return fetch(one.action, { method: "POST", body });
  };
  const send = async () => {
    if (sending || !waiting().length) return;
    sending = true;
    let mark = find("input[name=mark]").value, refused = "";
    try {
      while (waiting().length) {
        const one = waiting()[0];
        let answer = await post(one, mark);
        if (answer.status === 403) { /* the workshop was started anew: a fresh mark, and again */
          const fresh = await fetch(location.href).then((page) => page.text());
          mark = new DOMParser().parseFromString(fresh, "text/html").querySelector("input[name=mark]")?.value ?? mark;
          answer = await post(one, mark);
        }
        if (answer.status >= 500 || answer.status === 403) throw new Error("not taken");
        wait(waiting().slice(1));
        if (!answer.ok) {
          const page = new DOMParser().parseFromString(await answer.text(), "text/html");
          refused = all("[role=alert]:not([hidden])", page).map((part) => part.textContent.trim()).join(" ");
        }
      }
    } catch {
      find("#unsent").hidden = false;
      sending = false;
      return;
    }
    sending = false;
    find("#unsent").hidden = true;
    find("#refused").hidden = !refused;
    find("#refused p").textContent = refused;
    if (!refused) location.replace(location.pathname);
  };
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form[data-kept]");
    if (!form) return;
    event.preventDefault();
    const at = now();
    form.elements.namedItem("at").value = new Date(at).toISOString();
    const fields = new FormData(form, event.submitter);
    fields.delete("mark");
    wait([...waiting(), { action: form.getAttribute("action"), fields: [...fields.entries()] }]);
    if (form.dataset.touch) { /* its clock runs from the touch, whether the workshop answers or not */
      const clock = find("p[data-pot]", form);
      clock.dataset.useBy = at + 1000 * Number(form.dataset.touch);
      clock.dataset.gels = at + 1000 * Number(form.dataset.gels);
      clock.hidden = false;
      event.submitter.disabled = true;
      show();
    }
    send();
  });
  send();
  setInterval(send, 5000);
  addEventListener("online", send);
})();
