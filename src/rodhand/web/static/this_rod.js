"use strict";
/* Steps on the pitch: they start from the last reading, which counts as typed only once touched.
   Without this script the field is typed in. */
(() => {
  const pitch = document.getElementById("pitch");
  const steps = document.querySelector(".steps");
  if (!pitch || !steps) return;
  steps.hidden = false;
  steps.addEventListener("click", (event) => {
    const step = event.target.dataset.step;
    if (step === undefined) return;
    const from = Number(pitch.value || pitch.dataset.last || 0);
    if (Number.isFinite(from)) pitch.value = (from + Number(step)).toFixed(1).replace(/^-0\.0$/, "0.0");
  });
})();
