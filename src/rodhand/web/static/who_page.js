"use strict";
/* The page on which somebody is put on: one touch on a name, or a name typed. */
(() => {
  const page = document.getElementById("who-page");
  const { whoIsOn } = window;
  const names = JSON.parse(page.dataset.names);

  const draw = () => {
    const known = [...whoIsOn.before().map((each) => each.name), ...names];
    const all = known.filter((name, place) => known.findIndex((other) => other.toLowerCase() === name.toLowerCase()) === place);
    for (const group of page.querySelectorAll("[data-part]")) {
      const shown = [...group.querySelectorAll("button")].map((each) => each.value);
      for (const name of all.filter((each) => !shown.includes(each))) {
        const button = document.createElement("button");
        Object.assign(button, { type: "button", className: "press", value: name, textContent: name });
        button.addEventListener("click", () =>
          button.getAttribute("aria-pressed") === "true" ? whoIsOn.off(name) : whoIsOn.put(name, group.dataset.part));
        group.append(button);
      }
      for (const button of group.querySelectorAll("button")) {
        const on = whoIsOn.people().some((each) => each.name.toLowerCase() === button.value.toLowerCase() && each.part === group.dataset.part);
        button.setAttribute("aria-pressed", String(on));
      }
    }
    page.querySelector("#who-nobody-known").hidden = all.length > 0;
  };

  const typed = page.querySelector("form");
  typed.addEventListener("submit", (event) => {
    event.preventDefault();
    whoIsOn.put(typed.elements.name.value, event.submitter.value);
    typed.reset();
  });
  whoIsOn.told.addEventListener("change", draw);
  const from = document.referrer ? new URL(document.referrer) : null;
  if (from?.origin === location.origin && /^\/(rig-|check\/)/.test(from.pathname) && from.pathname !== location.pathname) {
    page.querySelector("#who-back").href = from.pathname + from.search;
  }
  draw();
})();
