"use strict";
/* Says which mode the page is in, and has the rig's pages kept on this device where the browser
   allows it: at an address it trusts. All words stand on the page. */
(() => {
  const mode = document.getElementById("mode");
  const shell = document.getElementById("shell");
  if (!mode) return;
  const words = mode.dataset;
  const put = (text, count) => text.replaceAll("{count}", String(count));

  const lines = ({ works, reach, waiting, refused, elsewhere, clock }) => {
    const found = [];
    if (!works) found.push(words.noStore);
    else if (reach === "yes") found.push(waiting ? put(words.sending, waiting) : refused ? "" : words.saved);
    else if (reach === "key") found.push(put(words.key, waiting));
    else if (reach === "other book") found.push(put(words.otherBook, waiting));
    else if (reach === "fault") found.push(put(words.fault, waiting));
    else if (reach === "no") found.push(put(words.noSignal, waiting));
    else if (waiting) found.push(put(words.sending, waiting));
    if (works && refused) found.push(put(words.refused, refused));
    if (works && elsewhere) found.push(put(words.elsewhere, elsewhere));
    if (clock) found.push(clock);
    const kept = document.documentElement.dataset.kept;
    if (kept) found.push(words.asOf.replace("{when}", kept));
    return found;
  };

  let before = "";
  window.outbox.told.addEventListener("change", ({ detail }) => {
    if (before === "no" && detail.reach === "yes") renew(); // what waited is in the book: copies are old
    before = detail.reach;
    const found = lines(detail);
    const text = found.filter(Boolean).join(" ");
    const line = mode.querySelector(".mode-told");
    if (text && line.textContent !== text) line.textContent = text;
    mode.dataset.reach = detail.reach.replace(" ", "-");
    mode.dataset.waiting = detail.waiting;
    mode.dataset.refusals = detail.refused;
    mode.toggleAttribute("data-clock", Boolean(detail.clock));
    mode.querySelector("a.mode-key").hidden = detail.reach !== "key";
  });

  const say = (text) => {
    shell.textContent = text;
    shell.hidden = !text;
  };

  const renew = async () => {
    const worker = window.isSecureContext && (await navigator.serviceWorker?.getRegistration());
    worker?.active?.postMessage({ keep: shell.dataset.rig, anew: true });
  };

  const keep = async () => {
    if (!window.isSecureContext || !navigator.serviceWorker) {
      document.getElementById("not-trusted").hidden = false;
      return;
    }
    await navigator.serviceWorker.register("/rig-worker.js", { scope: "/", updateViaCache: "none" });
    const ready = await navigator.serviceWorker.ready;
    navigator.serviceWorker.addEventListener("message", ({ data }) => {
      if (data.kept) say(shell.dataset.kept);
      else if (data.failed) say(shell.dataset.failed);
    });
    ready.active.postMessage({ keep: shell.dataset.rig });
    navigator.storage?.persist?.();
  };
  keep().catch(() => say(shell.dataset.failed));
})();
