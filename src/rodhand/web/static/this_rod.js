"use strict";
/* Steps on the pitch: they start from the last reading, which counts as typed only once touched.
   Without a signal the page counts on by itself: number, last pitch and room of the next rod. */
(() => {
  const form = document.querySelector("form.this-rod");
  if (!form) return;
  const pitch = document.getElementById("pitch");
  const steps = document.querySelector(".steps");
  steps.hidden = false;
  steps.addEventListener("click", (event) => {
    const step = event.target.dataset.step;
    if (step === undefined) return;
    const from = Number(pitch.value || pitch.dataset.last || 0);
    if (Number.isFinite(from)) pitch.value = (from + Number(step)).toFixed(1).replace(/^-0\.0$/, "0.0");
  });

  const begun = JSON.parse(form.dataset.rod);
  const number = (text) => (/^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : null);
  const radians = (degrees) => (degrees === null ? null : (degrees * Math.PI) / 180);
  const grade = (angle) => `${(100 * Math.tan(angle)).toFixed(1).replace(/^-0\.0$/, "0.0")}\u00a0%`;
  const turn = (angle) => `${((angle * 180) / Math.PI).toFixed(2)}\u00a0°`;

  form.payloadOf = (button) => {
    const typed = Object.fromEntries([...new FormData(form)].map(([name, text]) => [name, text.trim()]));
    const payload = { bore: typed.bore, station: typed.station };
    for (const name of ["pitch_pct", "heading_deg", "push_ft", "push_m", "rotating_min", "remark", "anew"]) {
      if (typed[name]) payload[name] = typed[name];
    }
    const sign = payload.pitch_pct?.replace("−", "-");
    if (button.value === "same") Object.assign(payload, { pitch_pct: pitch.dataset.last, signs: 'pitch_pct "' });
    else if (button.value === "not read") delete payload.pitch_pct;
    else if (sign === undefined || number(sign) === null) return null;
    return payload;
  };

  const shown = (name, text) => {
    const place = document.getElementById(`here-${name}`);
    place.closest("p").hidden = text === null;
    place.textContent = text ?? "";
  };

  const tellRoom = (rows) => {
    const read = rows.map((each) => ({
      station: Number(each.station),
      pitch: each.pitch_pct === undefined ? null : Math.atan(Number(each.pitch_pct.replace("−", "-")) / 100),
      heading: radians(number(each.heading_deg ?? "")),
    }));
    const first = begun.station - 1 - begun.unread;
    const before = begun.station > 1 || begun.pitch !== null ? [{ station: first, pitch: begun.pitch, heading: begun.heading }] : [];
    const unread = Array.from({ length: begun.unread }, (_each, n) => ({ station: first + 1 + n, pitch: null, heading: null }));
    const from = window.roomLeft.start([...before, ...unread, ...read], null);
    const room = from.unread || from.pitch === null ? null : window.roomLeft.after(from.pitch, begun.length, begun.radius);
    document.getElementById("room-told")?.setAttribute("hidden", "");
    document.getElementById("room-here").hidden = false;
    shown("from", room && grade(room.from));
    shown("to", room && grade(room.to));
    shown("last", room && grade(from.pitch));
    shown("sideways", room && from.heading !== null ? turn(room.sideways) : null);
    shown("half", room && from.heading !== null ? turn(room.half_sideways) : null);
    const words = form.dataset;
    shown("note", room ? null : from.unread ? words.notRead.replace("{count}", String(from.unread)) : words.noRoom);
  };

  const countOn = async () => {
    const rows = (await window.outbox.rows(begun.bore)).filter((each) => Number(each.station) >= begun.station);
    if (!rows.length && document.getElementById("room-here").hidden) return;
    const order = [...rows].sort((one, other) => Number(one.station) - Number(other.station));
    const station = order.length ? Number(order.at(-1).station) + 1 : begun.station;
    const last = order.length ? order.at(-1).pitch_pct ?? "" : begun.last;
    form.elements.station.value = String(station);
    pitch.value = "";
    pitch.placeholder = pitch.dataset.last = last;
    form.querySelectorAll("details input").forEach((each) => (each.value = ""));
    const same = form.querySelector('button[value="same"]');
    same.hidden = !last;
    same.textContent = form.dataset.same.replace("{pitch}", last);
    document.querySelector("h1").textContent = form.dataset.title.replace("{station}", String(station));
    document.getElementById("rods-told").textContent = form.dataset.rods;
    tellRoom(order);
  };

  form.addEventListener("kept", () => countOn());
  countOn().catch(() => {}); // a browser that keeps nothing shows the page as it came
})();
