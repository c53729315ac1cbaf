"use strict";
/* A pullback started and ended without a signal: the page goes on by what waits on this device. */
(() => {
  const here = document.getElementById("pull-here");
  const follow = async () => {
    const own = (await window.outbox.standing()).filter(({ kind, payload }) => kind === "pass" && payload.bore === here.dataset.bore);
    const last = own.at(-1)?.payload;
    const isEnded = last?.to_station !== undefined;
    document.getElementById("pull-start").hidden = own.length > 0;
    here.hidden = !own.length || isEnded;
    document.getElementById("pull-ended").hidden = !isEnded;
  };
  document.querySelectorAll("form").forEach((form) => form.addEventListener("kept", follow));
  follow().catch(() => {}); // a browser that keeps nothing shows the page as it came
})();
