"use strict";
/* Keypad and steps: they start from the last reading, which counts as typed only once touched.
   Without a signal the page counts on by itself: number, last pitch and room of the next rod. */
(() => {
  const form = document.querySelector("form.this-rod");
  if (!form) return;
  const pitch = document.getElementById("pitch");
  const keep = form.querySelector('button[value="read"]');
  const others = form.querySelectorAll('button[value="same"], button[value="not read"]');
  const fields = form.querySelectorAll(".rod-fields input");
  let field = pitch; // the number the keypad writes into

  /** Only what can be meant now takes a touch: a pitch is kept once it was touched, and said to be
      as before, or not read, only while it was not. So a finger beside its key keeps nothing. */
  const guard = () => {
    keep.setAttribute("aria-disabled", String(!pitch.value));
    keep.dataset.says = `${pitch.value} %`;
    for (const each of others) each.setAttribute("aria-disabled", String(Boolean(pitch.value) || "none" in each.dataset));
  };
  const mark = (chosen) => {
    field = chosen;
    fields.forEach((each) => each.toggleAttribute("data-on", each === field));
  };
  const put = (text) => {
    field.value = text;
    document.getElementById("pitch-told").textContent = `${field.labels[0].textContent} ${text}`;
    guard();
  };
  const keyed = (key, text) => {
    if (key === "back") return text.slice(0, -1);
    if (key === "sign") return text.startsWith("-") ? text.slice(1) : `-${text}`;
    return key === "." && text.includes(".") ? text : text + key;
  };

  const keypad = form.querySelector(".keypad");
  fields.forEach((each) => {
    each.inputMode = "none"; // the keys are on the page; a keyboard types all the same
    each.addEventListener("focus", () => mark(each));
    each.addEventListener("input", guard);
  });
  keypad.addEventListener("click", (event) => {
    const { key, step } = event.target.dataset;
    if (key !== undefined) put(keyed(key, field.value));
    if (step === undefined) return;
    const from = Number((field.value || field.dataset.last || "0").replace("−", "-"));
    if (Number.isFinite(from)) put((from + Number(step)).toFixed(1).replace(/^-0\.0$/, "0.0"));
  });
  form.querySelectorAll("[data-count]").forEach((each) =>
    each.addEventListener("click", () => {
      const number = Number(form.elements.station.value) + Number(each.dataset.count);
      if (number >= 1) form.elements.station.value = String(number);
    }),
  );
  mark(pitch);
  guard();

  // What is told about a press stands in its own place, so that it covers no key and moves nothing.
  const told = document.getElementById("press-told");
  document.querySelector(".rod-slot").append(told);

  const lacks = form.dataset.lacks;
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
    form.dataset.lacks = pitch.value && button.value !== "read" ? form.dataset.touched : lacks;
    if (button.getAttribute("aria-disabled") === "true") return null;
    if (button.value === "same") Object.assign(payload, { pitch_pct: pitch.dataset.last, signs: 'pitch_pct "' });
    else if (button.value === "not read") delete payload.pitch_pct;
    else if (sign === undefined || number(sign) === null) return null;
    return payload;
  };

  const shown = (name, text) => {
    const place = document.getElementById(`here-${name}`);
    const line = place.closest("p");
    if (!line.matches(".scale-ends")) line.hidden = text === null;
    place.textContent = text ?? "";
  };

  /** The easier middle of the straight scale, as a share of the room; none where none is known. */
  const easier = (middle, share) => {
    if (middle === null) return;
    const within = middle.parentNode.querySelector(".within");
    const [left, width] = ["x", "width"].map((name) => Number(within.getAttribute(name)));
    const half = Math.max(0, Math.min(((share ?? 0) * width) / 2, 50));
    middle.setAttribute("x", String(left + width / 2 - half));
    middle.setAttribute("width", String(2 * half));
  };

  const FOOT = 0.3048; // m
  /** Rods as the rules take them: those the book told of when this page was made, and those read here. */
  const known = (rows) => {
    const read = rows.map((each) => ({
      station: Number(each.station),
      pitch: each.pitch_pct === undefined ? null : Math.atan(Number(each.pitch_pct.replace("−", "-")) / 100),
      heading: radians(number(each.heading_deg ?? "")),
      push: number(each.push_m ?? "") ?? (number(each.push_ft ?? "") ?? 0) * FOOT,
    }));
    const first = begun.station - 1 - begun.unread;
    const before = begun.station > 1 || begun.pitch !== null ? [{ station: first, pitch: begun.pitch, heading: begun.heading }] : [];
    const unread = Array.from({ length: begun.unread }, (_each, n) => ({ station: first + 1 + n, pitch: null, heading: null }));
    return [...before, ...unread, ...read];
  };

  const printed = (value, { unit, size, decimals }) =>
    `${(value / size).toLocaleString("en-US", { minimumFractionDigits: decimals, maximumFractionDigits: decimals })}\u00a0${unit}`;
  const filled = (text, values) => Object.entries(values).reduce((told, [name, value]) => told.replace(`{${name}}`, value), text);

  /** An over-steer of the rod read last: how far, which rods it concerns, and what to do first. */
  const tellOver = (rows, easy) => {
    const all = known(rows);
    const inside = begun.inside.map(([station, pitch, heading]) => ({ station, pitch, heading }));
    const rig = begun.pitch === null && begun.rig !== null ? [{ station: 0, pitch: begun.rig, heading: null }] : [];
    const once = [...new Map([...inside, ...all, ...rig].map((each) => [each.station, each])).values()];
    const over = rows.length && window.overSteer.last(once, { length: begun.length, radius: begun.limit_radius, back: begun.back });
    const [place, short] = ["over-here", "over-short-here"].map((name) => document.getElementById(name));
    place.hidden = short.hidden = !over;
    if (!over) return;
    const words = form.dataset;
    const bit = Math.max(...once.map((each) => each.station)) * begun.length;
    const { passed, in_it: inIt } = window.overSteer.places(over, bit, begun.front, begun.length);
    const named = (places) => places.map((each) => begun.names[each - 1] ?? filled(words.atPlace, { place: each })).join(", ");
    const values = {
      station: over.station, share: printed(over.share, begun.print.share),
      length: printed(over.length, begun.print.length), radius: printed(over.radius, begun.print.radius),
    };
    short.querySelector("span").textContent = filled(words[`${over.verdict}Short`], values);
    const rods = [
      passed ? filled(words.passed, { rods: named(Array.from({ length: passed }, (_each, n) => n + 1)) }) : "",
      inIt.length ? filled(words.in, { rods: named(inIt) }) : "",
    ];
    const [first, second] = place.querySelectorAll("p");
    first.textContent = [filled(words[over.verdict], values), ...rods, words.behind].filter(Boolean).join(" ");
    second.textContent = easy ? filled(words.ease, { low: grade(easy.from), high: grade(easy.to) }) : "";
  };

  const tellRoom = (rows) => {
    const from = window.roomLeft.start(known(rows).filter((each) => Number.isInteger(each.station)), null);
    const room = from.unread || from.pitch === null ? null : window.roomLeft.after(from.pitch, begun.length, begun.radius);
    document.querySelectorAll(".room-of-book").forEach((each) => (each.hidden = true));
    for (const name of ["room-here", "more-here"]) document.getElementById(name).hidden = false;
    const drawn = document.querySelector(".room-drawn"); // keeps its height, known or not
    drawn.toggleAttribute("data-unknown", room === null || !drawn.querySelector(".within"));
    drawn.querySelector(".plan")?.remove(); // the plan and what was over are of the rod before
    for (const name of ["plan-told", "over-told", "over-short"]) document.getElementById(name)?.remove();
    const easy = room && window.roomLeft.easy(from.pitch, begun.length, begun.long_radius);
    tellOver(rows, easy);
    easier(drawn.querySelector(".easy"), easy && (easy.to - from.pitch) / room.room);
    document.getElementById("here-scale-sideways").hidden = room === null || from.heading === null || !(room.sideways > 0);
    shown("easy", easy && `${grade(easy.from)} ${form.dataset.and} ${grade(easy.to)}`);
    shown("unknown", room && from.heading === null ? form.dataset.sidewaysUnknown : null);
    shown("from", room && grade(room.from));
    shown("to", room && grade(room.to));
    shown("last", room && grade(from.pitch));
    shown("sideways", room && from.heading !== null ? turn(room.sideways) : null);
    shown("half", room && from.heading !== null ? turn(room.half_sideways) : null);
    const words = form.dataset;
    shown("note", room ? null : from.unread ? words.notRead.replace("{count}", String(from.unread)) : words.noRoom);
  };

  const hole = form.elements.anew?.value ?? ""; // rods of a hole left behind bear the same numbers
  const countOn = async () => {
    const kept = await window.outbox.rows(begun.bore);
    const rows = kept.filter((each) => (each.anew ?? "") === hole && Number(each.station) > begun.station - 1);
    if (!rows.length && document.getElementById("room-here").hidden) return;
    const order = [...rows].sort((one, other) => Number(one.station) - Number(other.station));
    const station = order.length ? Math.floor(Number(order.at(-1).station)) + 1 : begun.station;
    const last = order.length ? order.at(-1).pitch_pct ?? "" : begun.last;
    form.elements.station.value = String(station);
    pitch.placeholder = pitch.dataset.last = last;
    [...fields, form.elements.remark].forEach((each) => (each.value = ""));
    const same = form.querySelector('button[value="same"]');
    same.toggleAttribute("data-none", !last);
    same.textContent = form.dataset.same.replace("{pitch}", last || "–");
    mark(pitch);
    guard();
    document.querySelector("#walking strong").textContent = form.dataset.short.replace("{station}", String(station));
    document.querySelector("h1").textContent = form.dataset.title.replace("{station}", String(station));
    document.getElementById("rods-told").textContent = form.dataset.rods;
    tellRoom(order);
  };

  form.addEventListener("kept", async () => {
    await countOn();
    document.getElementById("over-short-here").scrollIntoView({ block: "nearest" }); // hidden: stays
  });
  countOn().catch(() => {}); // a browser that keeps nothing shows the page as it came
})();
