"use strict";
/* This device's outbox. A press is on the device's own disk before it is acknowledged; it is sent in
   order until the book answers for its id, and taken out only then. The book takes an id once, so
   sending twice adds nothing. */
window.outbox = (() => {
  const STORE = "entries";
  const META = "meta";
  const PATIENCE = 2500; // ms until the book counts as out of reach, while somebody waits
  const LONG = 30000; // ms for entries that nobody waits for
  const BATCH = 500;
  const SOON = 2000; // ms until the next try, doubled after each failure
  const LATE = 60000;
  const LOOK = 20000; // ms between looks whether the book answers

  const book = document.querySelector("meta[name=book]")?.content ?? "";
  const told = new EventTarget();
  const answers = new Map(); // id -> what the book said of it while this page was open
  let reach = "unknown"; // unknown | yes | no | key | other book | fault
  let failures = 0;
  let timer = 0;
  let sending = null;
  let clock = ""; // what the book says of this device's clock, while it is off

  const asked = (request) =>
    new Promise((done, failed) => {
      request.onsuccess = () => done(request.result);
      request.onerror = () => failed(request.error);
    });

  let opened = null;
  const database = () => {
    opened ??= new Promise((done, failed) => {
      const request = indexedDB.open("rodhand", 1);
      request.onupgradeneeded = () => {
        const store = request.result.createObjectStore(STORE, { keyPath: "counter", autoIncrement: true });
        store.createIndex("id", "id", { unique: true });
        request.result.createObjectStore(META);
      };
      request.onsuccess = () => done(request.result);
      request.onerror = () => failed(request.error);
      request.onblocked = () => failed(request.error);
    });
    opened.catch(() => (opened = null));
    return opened;
  };

  /** Work on the store; done only once it is on disk, as far as the browser can promise it. */
  const stored = async (mode, work) => {
    const db = await database();
    const transaction = db.transaction([STORE, META], mode, { durability: "strict" });
    const kept = new Promise((done, failed) => {
      transaction.oncomplete = () => done();
      transaction.onabort = transaction.onerror = () => failed(transaction.error);
    });
    const result = await work(transaction.objectStore(STORE), transaction.objectStore(META));
    await kept;
    return result;
  };

  const hex = (bytes) =>
    [...crypto.getRandomValues(new Uint8Array(bytes))].map((each) => each.toString(16).padStart(2, "0")).join("");

  const two = (number) => String(number).padStart(2, "0");

  /** This device's clock to the second, with its offset. */
  const stamp = (now = new Date()) => {
    const ahead = -now.getTimezoneOffset();
    const [hours, minutes] = [Math.floor(Math.abs(ahead) / 60), Math.abs(ahead) % 60];
    const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
    const time = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
    return `${day}T${time}${ahead < 0 ? "-" : "+"}${two(hours)}:${two(minutes)}`;
  };

  const deviceKey = async (meta) => {
    const known = await asked(meta.get("device"));
    if (known) return known;
    const made = hex(8);
    await asked(meta.put(made, "device"));
    return made;
  };

  const all = () => stored("readonly", (entries) => asked(entries.getAll()));

  /** Entries of the book this page belongs to that wait, in the order they were pressed. */
  const waiting = async () => (await all()).filter((each) => each.book === book && each.state === "waiting");

  const tell = async () => {
    let kept = [];
    let works = true;
    try {
      kept = await all();
    } catch {
      works = false;
    }
    const own = kept.filter((each) => each.book === book);
    told.dispatchEvent(
      new CustomEvent("change", {
        detail: {
          works,
          reach,
          waiting: own.filter((each) => each.state === "waiting").length,
          refused: own.filter((each) => each.state === "refused").length,
          elsewhere: kept.length - own.length,
          clock,
          entries: kept,
        },
      }),
    );
  };

  const rowsName = (bore) => `rows ${book} ${bore}`;

  /** Rods read here stay known by bore, for a page that is a copy; one taken back is forgotten. */
  const recall = async (meta, { id, kind, payload }) => {
    if (kind === "reading") {
      const known = (await asked(meta.get(rowsName(payload.bore)))) ?? [];
      await asked(meta.put([...known.slice(-999), { id, payload }], rowsName(payload.bore)));
    }
    if (kind !== "strike") return;
    for (const name of await asked(meta.getAllKeys(IDBKeyRange.bound("rows ", "rows!")))) {
      const known = await asked(meta.get(name));
      await asked(meta.put(known.filter((each) => each.id !== payload.entry), name));
    }
  };

  /** Keep one press on this device. Fails if the browser cannot keep it; then nothing is kept. */
  const add = async (kind, payload, named = "") => {
    const by = named || window.whoIsOn?.by() || "";
    const entered = stamp();
    const entry = {
      id: hex(16), book, kind, payload, by, entered,
      happened: entered.slice(0, 16), zone: entered.slice(19), state: "waiting", why: [],
    };
    await stored("readwrite", async (entries, meta) => {
      await deviceKey(meta);
      await recall(meta, entry);
      return asked(entries.add(entry));
    });
    await tell();
    return entry.id;
  };

  const change = (ids, work) =>
    stored("readwrite", async (entries) => {
      for (const id of ids) {
        const entry = await asked(entries.index("id").get(id));
        if (entry) await work(entries, entry);
      }
    });

  const drop = async (ids) => {
    await change(ids, (entries, entry) => asked(entries.delete(entry.counter)));
    await tell();
  };

  /** Send what was refused once more: the book may know by now what it lacked. */
  const again = async (ids) => {
    await change(ids, (entries, entry) => asked(entries.put({ ...entry, state: "waiting", why: [] })));
    return send();
  };

  const settle = (said) =>
    change(said.map((each) => each.id), (entries, entry) => {
      const { state, why } = said.find((each) => each.id === entry.id);
      if (state === "refused") return asked(entries.put({ ...entry, state, why }));
      return asked(entries.delete(entry.counter));
    });

  const bare = ({ id, counter, happened, zone, entered, by, kind, payload }) => ({
    id, counter, happened, zone, entered, by, kind, payload,
  });

  const device = () => stored("readwrite", (_entries, meta) => deviceKey(meta));

  const REACH = { 403: "key", 409: "other book" };

  const post = async (entries, patience) => {
    try {
      const answer = await fetch("/outbox", {
        method: "POST",
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({ book, device: entries.length ? await device() : "0".repeat(16), now: stamp(), entries: entries.map(bare) }),
        cache: "no-store",
        redirect: "error",
        signal: AbortSignal.timeout(patience),
      });
      if (!answer.ok) return { reach: REACH[answer.status] ?? "fault", said: [] };
      const found = await answer.json();
      clock = found.clock?.told ?? "";
      return { reach: "yes", said: found.answers };
    } catch {
      return { reach: "no", said: [] };
    }
  };

  const round = async (patience) => {
    let open = [];
    try {
      open = await waiting();
    } catch {
      // Told as a browser that keeps nothing; the book may still be in reach.
    }
    do {
      const part = open.splice(0, BATCH);
      const { reach: found, said } = await post(part, patience);
      reach = found;
      if (said.length) await settle(said);
      said.forEach((each) => answers.set(each.id, each));
      if (found !== "yes") break;
    } while (open.length);
    failures = reach === "yes" ? 0 : failures + 1;
    await tell();
    plan();
  };

  /** Send what waits, and look whether the book answers. One round at a time. */
  const send = (patience = LONG) => {
    sending ??= round(patience).finally(() => (sending = null));
    return sending;
  };

  const plan = () => {
    clearTimeout(timer);
    const wait = failures ? Math.min(SOON * 2 ** (failures - 1), LATE) : LOOK;
    timer = setTimeout(() => (document.hidden ? plan() : send()), wait * (0.8 + 0.4 * Math.random()));
  };

  /** What the book said of one press; null while it is out of reach. */
  const answerTo = async (id) => {
    const limit = new Promise((done) => setTimeout(done, PATIENCE + 500));
    for (let tries = 0; tries < 2 && !answers.has(id); tries++) {
      await Promise.race([send(PATIENCE), limit]);
      if (reach !== "yes") break;
    }
    return answers.get(id) ?? null;
  };

  /** Entries of this book that wait and were not taken back here, in the order they were pressed. */
  const standing = async () => {
    const open = await waiting();
    const struck = new Set(open.filter((each) => each.kind === "strike").map((each) => each.payload.entry));
    return open.filter((each) => each.kind !== "strike" && !struck.has(each.id));
  };

  /** Payloads of the rods of a bore read here that the page may not know: those that wait; on a
      copy of a page also those the book has by now. In the order they were pressed. */
  const rows = async (bore) => {
    const open = new Set((await standing()).map((each) => each.id));
    const known = (await stored("readonly", (_entries, meta) => asked(meta.get(rowsName(bore))))) ?? [];
    const isCopy = "kept" in document.documentElement.dataset;
    return known.filter((each) => isCopy || open.has(each.id)).map((each) => each.payload);
  };

  /** A payload with the rods this device counted on since the page was made. */
  const counted = async (payload) => {
    const read = await rows(payload.bore).catch(() => []);
    const drilled = Math.max(0, ...read.map((each) => Number(each.station)));
    const name = payload.pass === "pilot" ? "station" : payload.to_station === "0" ? "from_station" : "";
    return Number(payload[name]) < drilled ? { ...payload, [name]: String(drilled) } : payload;
  };

  const begin = () => {
    failures = 0;
    send();
  };
  window.addEventListener("online", begin);
  window.addEventListener("offline", () => ((reach = "no"), tell()));
  window.addEventListener("pageshow", begin);
  document.addEventListener("visibilitychange", () => document.hidden || begin());

  return { add, again, all, answerTo, book, counted, device, drop, reach: () => reach, rows, send, standing, told, waiting };
})();
