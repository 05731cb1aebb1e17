// What is typed into a form with data-draft is kept on this phone until a page says data-done. A draft of another state
// of the thing (data-state) is put back only by whoever asks for it. Tokens that were sent and not answered go along.
"use strict";
(() => {
  const PREFIX = "partway draft ";
  const OLD = " of before"; // a draft that no longer fits, beside the one that is typed now
  const MOST = 50;
  const read = (key) => {
    try {
      const kept = JSON.parse(localStorage.getItem(PREFIX + key));
      return kept && Array.isArray(kept.fields) && Array.isArray(kept.texts) ? kept : null;
    } catch {
      return null; // one that cannot be read is none
    }
  };
  const names = () => Object.keys(localStorage).filter((name) => name.startsWith(PREFIX)).map((name) => name.slice(PREFIX.length));
  const forget = (key) => {
    try {
      localStorage.removeItem(PREFIX + key);
    } catch {
      // Nothing was kept.
    }
  };
  const write = (key, draft) => {
    try {
      localStorage.setItem(PREFIX + key, JSON.stringify(draft));
      const dated = names().map((name) => [read(name)?.at ?? 0, name]).sort((one, other) => one[0] - other[0]);
      dated.slice(0, -MOST).forEach(([, name]) => forget(name));
      return true;
    } catch {
      return false;
    }
  };

  const done = (key) => {
    try {
      const draft = read(key);
      if (draft?.beside && draft.texts.length) write(key + OLD, { ...draft, sent: undefined });
      names().filter((name) => name === key || name.startsWith(`${key}:`)).forEach(forget);
    } catch {
      // Nothing was kept.
    }
  };
  // What was typed in another form of the page is not done when this one is.
  const beside = (sent) => {
    for (const other of document.querySelectorAll("form[data-draft]:has([data-touched])")) {
      const draft = other !== sent && read(other.dataset.draft);
      if (draft) write(other.dataset.draft, { ...draft, beside: true });
    }
  };

  const LEFT_OUT = ["hidden", "submit", "button", "reset", "image", "file", "password"];
  const isTick = (control) => control.type === "checkbox" || control.type === "radio";
  const controls = (form) => [...form.elements].filter((one) => one.name && "value" in one && !LEFT_OUT.includes(one.type) && one.tagName !== "BUTTON");
  const said = (control) => {
    const words = (one) => (one ? one.textContent.trim().split(/\s{2,}|\n/)[0] : "");
    const own = words(control.labels?.[0]);
    const around = words(control.closest("fieldset")?.querySelector("legend"));
    return around && around !== own ? `${around}, ${own.toLowerCase()}` : own || control.name;
  };
  const typed = (form) => {
    const all = controls(form);
    const texts = all.filter((one) => !isTick(one) && one.tagName !== "SELECT" && one.value.trim());
    return {
      fields: all.filter((one) => !isTick(one) || one.checked).map((one) => [one.name, one.value]),
      ticks: [...new Set(all.filter(isTick).map((one) => one.name))],
      texts: texts.map((one) => [said(one), one.value]),
    };
  };
  const fill = (form, draft, but = []) => {
    const left = new Map();
    for (const [name, value] of draft.fields) left.set(name, [...(left.get(name) || []), value]);
    for (const control of controls(form)) {
      const mine = left.get(control.name);
      if (but.some((one) => one === control || (one.type === "radio" && one.name === control.name))) {
        if (!isTick(control)) mine?.shift();
        continue;
      }
      if (isTick(control)) {
        if (draft.ticks?.includes(control.name)) control.checked = Boolean(mine?.includes(control.value));
      } else if (mine?.length) {
        const value = mine.shift();
        if (control.tagName !== "SELECT" || [...control.options].some((one) => one.value === value)) control.value = value;
      }
    }
  };
  const when = (at) => {
    const then = new Date(at);
    const time = then.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    return then.toDateString() === new Date().toDateString() ? `at ${time}` : `on ${then.toLocaleDateString()} at ${time}`;
  };
  const button = (words, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = words;
    made.addEventListener("click", act);
    return made;
  };
  const notice = (words, texts, ...buttons) => {
    const box = document.createElement("div");
    box.className = "draft-note";
    box.setAttribute("role", "status");
    const line = document.createElement("p");
    line.textContent = words;
    box.append(line);
    if (texts.length) {
      const fold = document.createElement("details");
      const name = document.createElement("summary");
      name.textContent = "What was typed";
      const list = document.createElement("ul");
      for (const [label, value] of texts) {
        const item = document.createElement("li");
        item.textContent = `${label}: ${value}`;
        list.append(item);
      }
      fold.append(name, list);
      box.append(fold);
    }
    box.append(...buttons);
    return box;
  };

  try {
    JSON.parse(localStorage.getItem("partway done"))?.forEach(done); // by early.js; clock.js takes it away
  } catch {
    // Nothing was kept.
  }

  const hidden = (form, name, value) => {
    const made = document.createElement("input");
    Object.assign(made, { type: "hidden", name, value });
    form.append(made);
  };
  const along = (form, draft) => (draft.sent || []).forEach((token) => hidden(form, "sent", token));

  const aside = (key, place, form) => {
    const draft = read(key + OLD);
    if (!draft) return;
    const drop = () => {
      forget(key + OLD);
      box.remove();
    };
    const again = button("Put it back", () => {
      fill(form, draft);
      along(form, draft);
      form.dispatchEvent(new Event("input", { bubbles: true }));
      drop();
    });
    const words = draft.sent
      ? `Typed ${when(draft.at)} and sent, and no answer came. What it is about has changed since, so it may be saved: look first.`
      : `Typed ${when(draft.at)} and not saved. What it is about has changed since.`;
    const box = notice(words, draft.texts, ...(form ? [again] : []), button("Discard", drop));
    place.prepend(box);
  };

  document.querySelectorAll("form[data-draft]").forEach((form) => {
    const key = form.dataset.draft;
    if (!form.elements.draft) hidden(form, "draft", key);
    const token = form.elements.token;
    const state = form.dataset.state || "";
    let draft = read(key);
    if (draft && state && draft.state !== state) {
      if (draft.texts.length) write(key + OLD, draft);
      forget(key);
      draft = null;
    }
    // Answers are drafts of their own; what was sent with them is known with the whole.
    const whole = form.elements.draft.value;
    const said = token && "judged" in token.dataset; // the server said what came of it
    for (const name of said ? new Set([key, whole]) : []) {
      const judged = read(name);
      if (judged?.sent) write(name, { ...judged, sent: undefined });
    }
    if (said && draft) delete draft.sent;
    if (!said && whole !== key) along(form, read(whole) || {});
    aside(key, form, form);
    const early = controls(form).filter((one) => "touched" in one.dataset); // newer than any draft
    if (draft) {
      along(form, draft);
      const before = JSON.stringify(typed(form).fields);
      fill(form, draft, early);
      form.dataset.at = draft.hash || "";
      form.dataset.back = "yes";
      if (JSON.stringify(typed(form).fields) !== before && draft.texts.length) {
        const box = notice(`Put back what you typed ${when(draft.at)}.`, [], button("Discard", () => {
          done(key);
          form.reset();
          form.dispatchEvent(new CustomEvent("partway:discarded"));
          box.remove();
        }));
        form.prepend(box);
      }
    }
    let warned = false;
    const keep = () => {
      const sent = [...form.querySelectorAll("[name=sent]")].map((one) => one.value);
      const now = { at: Date.now(), state, hash: location.hash, ...typed(form), ...(sent.length && { sent }) };
      if (write(key, now) || warned) return;
      warned = true;
      form.prepend(notice("This browser keeps nothing, so what you type is lost if you leave this page.", []));
    };
    form.addEventListener("input", keep);
    form.addEventListener("change", keep);
    if (early.length) keep();
    form.addEventListener("submit", (event) => {
      if (!token || event.defaultPrevented) return;
      beside(form);
      if (![...form.querySelectorAll("[name=sent]")].some((one) => one.value === token.value)) hidden(form, "sent", token.value);
      keep();
      const all = whole !== key && read(whole);
      if (all) write(whole, { ...all, sent: [...(all.sent || []), token.value] });
    });
  });

  document.querySelectorAll("[data-draft-left]").forEach((place) => {
    const key = place.dataset.draftLeft;
    const draft = read(key);
    if (draft?.texts.length) write(key + OLD, draft);
    forget(key);
    aside(key, place, null);
    place.hidden = !place.childElementCount;
  });
})();
