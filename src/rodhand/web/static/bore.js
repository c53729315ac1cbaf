// The slider of a bore. Every figure it shows is fetched for the position asked; none is kept.
"use strict";

(() => {
  const form = document.getElementById("slider");
  const moment = document.getElementById("moment");
  if (!form || !moment) return;
  const range = form.elements.at;
  const wait = 60; // ms between asking while the slider moves
  let timer = 0;
  let asked = 0;

  const address = (suffix) => {
    const query = new URLSearchParams({ pass: form.elements.pass.value, at: range.value });
    if (form.elements.as_of) query.set("as_of", form.elements.as_of.value);
    return `${form.getAttribute("action")}${suffix}?${query}`;
  };

  const show = (text, number) => {
    if (number !== asked) return; // a later question was asked meanwhile
    moment.innerHTML = text;
    const told = moment.querySelector("[data-told]");
    if (told) range.setAttribute("aria-valuetext", told.dataset.told);
    moment.setAttribute("aria-busy", "false");
    moment.dataset.at = range.value;
  };

  const ask = async () => {
    const number = ++asked;
    moment.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(address("/moment"));
      if (!answer.ok) throw new Error(String(answer.status));
      show(await answer.text(), number);
      history.replaceState(null, "", address(""));
    } catch {
      window.location.assign(address("")); // the whole page says what is wrong
    }
  };

  range.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, wait);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    ask();
  });
  for (const name of ["back", "on"]) {
    form.querySelector(`[data-step="${name}"]`).addEventListener("click", (event) => {
      event.preventDefault();
      const rod = Number(form.dataset.rod) * (name === "on" ? 1 : -1);
      range.value = String(Number(range.value) + rod);
      ask();
    });
  }
})();
