"use strict";
/* A press is kept on this device first, with an id made here, and sent at once. With the book in
   reach the page that tells of it opens; without, it is told here what was kept and what to do. So
   a reply that got lost, or a second touch, never makes two entries. Without this script, or where
   the browser keeps nothing, the form goes its own way. */
(() => {
  const told = document.getElementById("press-told");
  let passed = null; // the button whose form may go on its own way
  const underWay = new Map(); // of each form the button whose press has no answer yet

  /** Payload of a button; a rod set aside takes its why from the reason touched before it. */
  const payloadOf = async (form, button) => {
    if (form.payloadOf) return form.payloadOf(button);
    const payload = JSON.parse(button.dataset.payload);
    const reasons = form.querySelector("[data-why]");
    const chosen = form.querySelector("[data-why]:checked");
    if (reasons && !chosen) return null;
    return window.outbox.counted(chosen ? { ...payload, why: chosen.dataset.why } : payload);
  };

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

  /** One press takes back what was kept here: a strike follows it, and both go into the book. */
  const takeBack = (id, mark) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = told.dataset.takeBack;
    button.addEventListener("click", async () => {
      button.disabled = true;
      try {
        await window.outbox.add("strike", { entry: id, why: told.dataset.why });
      } catch {
        return say(told.dataset.lost, "alert");
      }
      mark(false);
      document.querySelectorAll("form").forEach((each) => each.dispatchEvent(new Event("kept")));
      window.outbox.send();
      return say(told.dataset.takenBack, "status");
    });
    told.append(button);
  };

  const marks = (form, button) => {
    const before = [...form.querySelectorAll("[aria-pressed]")].map((each) => [each, each.getAttribute("aria-pressed")]);
    return (kept) => {
      if (button.hasAttribute("aria-pressed")) {
        for (const [each, was] of before) each.setAttribute("aria-pressed", kept ? String(each === button) : was);
      } else if (form.querySelector("[data-why]")) {
        button.disabled = kept; // this rod is aside; the next ones are not touched by it
      }
    };
  };

  /** Where to look once the book has it: the form's page, with what the form says to ask there. */
  const lead = (form, button, id) => {
    if (form.dataset.lead) return location.assign(form.dataset.lead);
    const asked = new URLSearchParams({ entry: id });
    const typed = new FormData(form, button);
    for (const each of (form.dataset.ask ?? "").split(" ").filter(Boolean)) {
      const [name, field] = each.split(":");
      asked.set(name, typed.get(field ?? name));
    }
    return location.assign(`${new URL(form.dataset.to ?? form.action).pathname}?${asked}${form.dataset.place ? `#${form.dataset.place}` : ""}`);
  };

  const press = async (form, button) => {
    const payload = await payloadOf(form, button);
    if (payload === null) return say(form.dataset.lacks ?? told.dataset.reason, "alert");
    if (!window.gloves.takes(form, button)) return say(told.dataset.twice, "status");
    let id = "";
    try {
      id = await window.outbox.add(button.dataset.kind, payload, new FormData(form).get("by") ?? "");
    } catch {
      await window.outbox.send();
      if (window.outbox.reach() !== "yes") return say(told.dataset.lost, "alert");
      passed = button;
      return form.requestSubmit(button);
    }
    const answer = await window.outbox.answerTo(id);
    if (answer?.state === "refused") {
      await window.outbox.drop([id]); // told here and now, to the one who pressed
      return say(told.dataset.refused, "alert", answer.why);
    }
    if (answer) return lead(form, button, id);
    const mark = marks(form, button);
    mark(true);
    const same = payload.station === JSON.parse(button.dataset.payload ?? "{}").station;
    say(told.dataset.kept, "status", [button.dataset.do, same ? button.dataset.names : ""]);
    takeBack(id, mark);
    return form.dispatchEvent(new Event("kept"));
  };

  if (location.hash === "#not-kept") say(told.dataset.lost, "alert");

  // A page brought back by the browser's own way back takes presses again.
  window.addEventListener("pageshow", () => {
    passed = null;
    underWay.clear();
  });

  document.addEventListener("submit", async (event) => {
    const { target: form, submitter: button } = event;
    if (!button?.dataset.kind || button === passed) return;
    event.preventDefault();
    const first = underWay.get(form);
    if (first && first !== button) say(told.dataset.wait, "status");
    if (first) return; // the same touched twice is one press
    underWay.set(form, button);
    await press(form, button);
    underWay.delete(form);
  });
})();
