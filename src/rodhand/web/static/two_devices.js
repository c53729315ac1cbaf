"use strict";
/* Says "this device" where a page names the device it is shown on. */
(async () => {
  const place = document.getElementById("two-devices");
  if (!place || !window.outbox) return;
  const key = await window.outbox.device();
  place.querySelectorAll(`[data-device="${CSS.escape(key)}"]`).forEach((each) => (each.textContent = each.dataset.own));
  place.querySelectorAll("[data-only]").forEach((own) => {
    if (own.dataset.only !== key) return;
    own.hidden = false;
    own.parentElement.querySelector("[data-not]").hidden = true;
  });
})().catch(() => {}); // a browser that keeps nothing has no key
