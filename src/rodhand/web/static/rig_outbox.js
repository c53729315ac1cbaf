"use strict";
/* The list of what is kept on this device, and its file. */
(() => {
  const list = document.getElementById("outbox-list");
  const words = list.dataset;
  const row = (entry) => {
    const item = document.createElement("li");
    const add = (tag, text, name = "") => {
      const part = document.createElement(tag);
      part.textContent = text;
      part.className = name;
      item.append(part);
      return part;
    };
    const kind = list.querySelector(`template[data-kind="${CSS.escape(entry.kind)}"]`)?.dataset.label ?? entry.kind;
    add("strong", kind);
    add("span", ` ${Object.entries(entry.payload).map(([column, text]) => `${column} ${text}`).join(", ")}`);
    add("p", `${entry.entered.slice(0, 16).replace("T", " ")} ${entry.book === window.outbox.book ? words[entry.state] : words.elsewhere}`, "second");
    for (const why of entry.why) add("p", why, "alarm");
    if (entry.state === "refused") {
      add("p", words.todo, "second");
      const presses = document.createElement("div");
      presses.className = "presses";
      for (const [text, work] of [[words.again, window.outbox.again], [words.drop, window.outbox.drop]]) {
        const button = document.createElement("button");
        button.type = "button";
        button.className = "press";
        button.textContent = text;
        button.addEventListener("click", () => work([entry.id]));
        presses.append(button);
      }
      item.append(presses);
    }
    return item;
  };

  const clock = document.getElementById("outbox-clock");
  let shown = "";
  window.outbox.told.addEventListener("change", ({ detail }) => {
    clock.hidden = !detail.clock;
    if (clock.firstElementChild.textContent !== detail.clock) clock.firstElementChild.textContent = detail.clock;
    const now = JSON.stringify(detail.entries);
    if (now === shown) return; // nothing moves under a finger
    shown = now;
    list.querySelectorAll("li").forEach((each) => each.remove());
    list.append(...detail.entries.map(row));
    document.getElementById("outbox-none").hidden = detail.entries.length > 0;
    document.getElementById("outbox-file").hidden = !detail.entries.some((each) => each.book === window.outbox.book);
  });

  document.getElementById("outbox-download").addEventListener("click", async () => {
    const entries = (await window.outbox.all()).filter((each) => each.book === window.outbox.book);
    const found = { book: window.outbox.book, device: await window.outbox.device(), entries };
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(found, null, 1)], { type: "application/json" }));
    link.download = `rodhand-outbox-${found.device}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  });
})();
