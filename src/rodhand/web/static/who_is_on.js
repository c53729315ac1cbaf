"use strict";
/* Who is on, on this device: kept here, and written into every entry pressed or typed here. Nobody
   named says nothing; a name left standing from a shift before is asked about, not used. */
window.whoIsOn = (() => {
  const ON = "rodhand-on";
  const BEFORE = "rodhand-on-before";
  const LONGEST = 16 * 3600 * 1000; // ms until a shift counts as over
  const KNOWN = 12;
  const read = (name, none) => {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? none;
    } catch {
      return none;
    }
  };
  const write = (name, value) => {
    try {
      localStorage.setItem(name, JSON.stringify(value));
    } catch {
      // a browser that keeps nothing knows nobody
    }
  };
  const told = new EventTarget();
  const plain = (name) => name.replace(/[(),]/g, " ").replace(/\s+/g, " ").trim().slice(0, 40);
  const last = () => read(ON, { people: [], since: 0 });
  const isOver = () => Date.now() - last().since > LONGEST;
  const people = () => (isOver() ? [] : last().people);
  const before = () => read(BEFORE, []);
  const listed = (who) => who.map(({ name, part }) => (part ? `${name} (${part})` : name)).join(", ");
  const same = (one, other) => one.toLowerCase() === other.toLowerCase();

  const keep = (who) => {
    const known = [...who, ...before()].filter((each, place, all) => all.findIndex((other) => same(other.name, each.name)) === place);
    write(BEFORE, known.slice(0, KNOWN));
    write(ON, { people: who, since: Date.now() });
    told.dispatchEvent(new Event("change"));
  };

  /** Puts somebody on. A driller or a locator hand takes over from the one before. */
  const put = (typed, part) => {
    const name = plain(typed);
    if (!name) return;
    keep([...people().filter((each) => !same(each.name, name) && (part === "hand" || each.part !== part)), { name, part }]);
  };
  const off = (name) => {
    const gone = last().people.filter((each) => same(each.name, name));
    write(BEFORE, [...gone, ...before().filter((each) => !same(each.name, name))]);
    keep(people().filter((each) => !same(each.name, name)));
  };

  /** Who takes over by one touch: of those not on, the last who was, in the part he had. */
  const next = () => before().find((each) => !people().some((on) => same(on.name, each.name))) ?? null;
  const handOver = () => {
    const to = next();
    if (!to) return;
    const gone = people().filter((each) => each.part === to.part);
    write(BEFORE, [to, ...gone, ...before().filter((each) => ![to, ...gone].some((one) => same(one.name, each.name)))]);
    put(to.name, to.part);
  };

  const again = () => keep(last().people);

  /** What goes into an entry's "by"; empty where nobody is named. */
  const by = () => listed(people());

  // Forms: a field for the name is filled in where one can see it; a form without one carries it.
  const OWN = /^\/(rig-|check\/|verdict\/|two\/|bore\/[^?]*$|thing\/|old-new\/|marks|load\/|enter\/)/;
  const fill = () => {
    if (!OWN.test(location.pathname) || location.pathname.endsWith("/grid")) return;
    for (const field of document.querySelectorAll('main input[name="by"]:not([type="hidden"])')) {
      if (field.value && field.value !== field.dataset.filled) continue;
      field.value = field.dataset.filled = by();
    }
  };
  document.addEventListener("submit", ({ target: form }) => {
    const name = by();
    if (!name || form.method !== "post" || form.elements.by || !form.closest("main") || !OWN.test(location.pathname)) return;
    const field = document.createElement("input");
    Object.assign(field, { type: "hidden", name: "by", value: name });
    form.append(field);
  }, true);

  // Its line on the pages of a rig.
  const line = document.getElementById("who-on");
  const tell = () => {
    fill();
    if (!line) return;
    const words = line.dataset;
    const shown = (who) => listed(who.map(({ name, part }) => ({ name, part: words[`part${part.replace(/(^|\s)(\w)/g, (_all, _gap, sign) => sign.toUpperCase())}`] ?? part })));
    const old = isOver() ? last().people : [];
    const on = people();
    line.querySelector(".who-told").textContent = on.length
      ? words.on.replace("{who}", shown(on))
      : old.length ? words.old.replace("{who}", shown(old)) : words.none;
    const button = line.querySelector("button");
    const to = on.length ? next() : null;
    button.hidden = !to && !old.length;
    button.dataset.does = old.length && !on.length ? "again" : "over";
    button.textContent = old.length && !on.length ? words.again : to ? words.over.replace("{who}", shown([to])) : "";
  };
  line?.querySelector("button").addEventListener("click", ({ target }) => (target.dataset.does === "again" ? again() : handOver()));
  told.addEventListener("change", tell);
  window.addEventListener("storage", tell);
  window.addEventListener("pageshow", tell);
  tell();
  return { before, by, off, people, put, told };
})();
