// One line that takes longer than its page: asked for once the page stands still, never waited for.
"use strict";

(() => {
  const still = 1500; // ms after the page is there
  const ask = async (slot) => {
    try {
      const answer = await fetch(slot.dataset.later);
      const text = (await answer.text()).trim();
      if (answer.ok && text.startsWith("<span data-line>")) slot.innerHTML = text; // else: no signal
    } catch {
      // without a signal the link beside it stays
    }
  };
  setTimeout(() => {
    if (document.visibilityState === "visible") document.querySelectorAll("[data-later]").forEach(ask);
  }, still);
})();
