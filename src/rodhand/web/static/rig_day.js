"use strict";
/* A press while the book cannot be reached: it goes into this device's outbox, where there is one
   (window.outbox.add(kind, payload)), else it is told as not kept. With the book in reach the
   form is sent as it stands, so that every page works without this script too. */
(() => {
  const PATIENCE = 2500; // ms until the book counts as out of reach
  const told = document.getElementById("press-told");
  let passed = null; // the button whose form may go on its own way

  const inReach = async () => {
    try {
      const limit = AbortSignal.timeout(PATIENCE);
      const answer = await fetch("/static/icon.svg", { method: "HEAD", cache: "no-store", signal: limit });
      return answer.ok;
    } catch {
      return false;
    }
  };

  /** Payload of a button; a rod set aside takes its why from the reason touched before it. */
  const payloadOf = (form, button) => {
    const payload = JSON.parse(button.dataset.payload);
    const reasons = form.querySelector("[data-why]");
    const chosen = form.querySelector("[data-why]:checked");
    if (reasons && !chosen) return null;
    return chosen ? { ...payload, why: chosen.dataset.why } : payload;
  };

  const chosenOnce = (form) => form.querySelector("[data-why]") !== null;

  const say = (text, role, more = []) => {
    told.replaceChildren(...[text, ...more].filter(Boolean).map((line) => {
      const paragraph = document.createElement("p");
      paragraph.textContent = line;
      return paragraph;
    }));
    told.className = role === "alert" ? "alarm" : "note";
    told.setAttribute("role", role);
    told.hidden = false;
  };

  const keepHere = async (form, button) => {
    const payload = payloadOf(form, button);
    if (payload === null) return say(told.dataset.reason, "alert");
    if (!window.outbox?.add) return say(told.dataset.lost, "alert");
    try {
      await window.outbox.add(button.dataset.kind, payload);
    } catch {
      return say(told.dataset.lost, "alert");
    }
    if (button.hasAttribute("aria-pressed")) {
      form.querySelectorAll("[aria-pressed]").forEach((each) => each.setAttribute("aria-pressed", String(each === button)));
    } else if (chosenOnce(form)) {
      button.disabled = true; // this rod is aside; the next ones are not touched by it
    }
    return say(told.dataset.kept, "status", [button.dataset.do, button.dataset.names]);
  };

  // A page brought back by the browser's own way back takes presses again.
  window.addEventListener("pageshow", () => {
    passed = null;
    document.querySelectorAll("[data-busy]").forEach((form) => delete form.dataset.busy);
  });

  document.addEventListener("submit", async (event) => {
    const { target: form, submitter: button } = event;
    if (!button?.dataset.kind || button === passed) return;
    event.preventDefault();
    if (form.dataset.busy) return; // a second touch while the first is under way
    form.dataset.busy = "yes";
    if (await inReach()) {
      passed = button;
      form.requestSubmit(button);
    } else {
      await keepHere(form, button);
      delete form.dataset.busy;
    }
  });
})();
