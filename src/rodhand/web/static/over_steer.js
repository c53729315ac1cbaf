"use strict";
/* Whether the rod read last bends past the rods' limit, and which rods stand in that bend: the rule
   of rodhand.hole.bends and of rodhand.book.work.over_limits, for a device without a signal. Angles in
   rad, lengths in m. Both languages of the rule are held to the same vectors by test. */
window.overSteer = (() => {
  const REPEAT = 0.0025; // grade, one standard deviation; common practice, no source
  const STEP = 0.001; // grade; adds step/sqrt(12)
  const HEADING = (0.5 * Math.PI) / 180;
  const SURE = 1.6448536269514722; // normal, 5 % beyond
  const SAME = 1e-9; // m

  const upright = (pitch) => Math.hypot(REPEAT, STEP / Math.sqrt(12)) * Math.cos(pitch) ** 2;
  const across = (pitch) => HEADING * Math.cos(pitch);
  const wrapped = (angle) => Math.atan2(Math.sin(angle), Math.cos(angle));
  const sum = (found, of) => found.reduce((total, each) => total + of(each), 0);

  /** Angle between two directions. */
  const dogleg = (one, other) => {
    const turned = other.heading - one.heading;
    const dot = Math.cos(one.pitch) * Math.cos(other.pitch) * Math.cos(turned) + Math.sin(one.pitch) * Math.sin(other.pitch);
    const rise = other.pitch - one.pitch;
    const chord = Math.sin(rise / 2) ** 2 + Math.cos(one.pitch) * Math.cos(other.pitch) * Math.sin(turned / 2) ** 2;
    return Math.atan2(2 * Math.sqrt(chord * Math.max(1 - chord, 0)), dot);
  };

  /** Bend from one direction to the next; sideways is null where a heading is missing. */
  const bend = (one, other) => {
    const up = other.pitch - one.pitch;
    if (one.heading === null || other.heading === null) return { up, sideways: null };
    const sideways = Math.sqrt(Math.max(dogleg(one, other) ** 2 - up ** 2, 0));
    return { up, sideways: Math.sign(wrapped(other.heading - one.heading)) * sideways };
  };

  /** One standard deviation of a bend between two readings. */
  const spread = ({ up, sideways }, one, other) => {
    const rise = upright(one.pitch) ** 2 + upright(other.pitch) ** 2;
    if (sideways === null) return Math.sqrt(rise);
    const level = across(one.pitch) ** 2 + across(other.pitch) ** 2;
    const size = up ** 2 + sideways ** 2;
    const weight = size > 0 ? up ** 2 / size : 0.5;
    return Math.sqrt(weight * rise + (1 - weight) * level);
  };

  /** A heading left out inside a rod lies between those of the rod's two ends. */
  const filled = (rows) => {
    const ends = new Map(rows.filter((each) => Number.isInteger(each.station)).map((each) => [each.station, each.heading ?? null]));
    return rows.map((each) => {
      const [low, high] = [ends.get(Math.floor(each.station)) ?? null, ends.get(Math.ceil(each.station)) ?? null];
      if (each.heading !== null || Number.isInteger(each.station) || low === null || high === null) return each;
      return { ...each, heading: low + (each.station - Math.floor(each.station)) * wrapped(high - low) };
    });
  };

  /** 0 no, 1 within reading error, 2 likely, 3 over. */
  const rank = (angle, limit, error) => {
    if (error === 0) return angle > limit ? 3 : angle === limit ? 2 : 0;
    const far = (angle - limit) / error;
    return far >= SURE ? 3 : far >= 0 ? 2 : far >= -SURE ? 1 : 0;
  };

  /** Stretches of the hole up to the last reading, in order, each of one rod. */
  const stretches = (rows, length, back) => {
    const at = (each) => (each.station === 0 ? 0 : each.station * length - back);
    const known = filled(rows).filter((each) => each.pitch !== null);
    const start = known.find((each) => each.station === 0);
    const knots = known.filter((each) => each === start || !start || at(each) > SAME);
    const unread = rows.filter((each) => each.pitch === null && Number.isInteger(each.station)).map(at);
    const found = [];
    knots.slice(1).forEach((other, k) => {
      const one = knots[k];
      const [from, to] = [at(one), at(other)];
      const inside = unread.filter((place) => place > from + SAME && place < to - SAME);
      const whole = bend(one, other);
      const error = spread(whole, one, other);
      const edges = [from, ...inside, to];
      edges.slice(1).forEach((end, j) => {
        const share = (end - edges[j]) / (to - from);
        found.push({
          begin: edges[j], end, rod: Math.max(Math.ceil((end + back - SAME) / length), 1), isRead: !inside.length,
          up: whole.up * share, sideways: whole.sideways === null ? null : whole.sideways * share, error: error * share,
          one: j === 0 ? one : null, other: end === to ? other : null,
        });
      });
    });
    return found;
  };

  /** The mean of a rod's stretches, from the first one's beginning to the last one's end. */
  const mean = (of) => {
    const sideways = of.some((each) => each.sideways === null) ? null : sum(of, (each) => each.sideways);
    const whole = { up: sum(of, (each) => each.up), sideways };
    const [one, other] = [of[0].one, of.at(-1).other];
    const summed = Math.hypot(...of.map((each) => each.error));
    return {
      begin: of[0].begin, end: of.at(-1).end, isRead: of.every((each) => each.isRead), isEnd: other !== null,
      angle: Math.hypot(whole.up, sideways ?? 0), error: of.length === 1 || !one || !other ? summed : spread(whole, one, other),
    };
  };

  /** How the rod read last bends against a limit.
      Rows are { station, pitch, heading, push }, null for not read; station 0 is the rig's own
      direction, 4.5 a reading inside rod 5. Null where it is within the limit, or was not read. */
  const last = (rows, { length, radius, back }) => {
    const order = [...rows].sort((one, other) => one.station - other.station);
    const top = order.at(-1);
    if (!top || top.pitch === null || !(length > 0) || !(radius > 0)) return null;
    const found = stretches(order, length, back);
    const number = Math.ceil(top.station);
    const own = found.filter((each) => each.rod === number);
    if (!own.length) return null;
    const held = (each) => ({ ...each, rank: rank(each.angle, (each.end - each.begin) / radius, each.error) });
    const rod = mean(own);
    const told = rod.isRead ? [held(rod)] : [];
    const pushed = Number.isInteger(top.station) ? top.push ?? 0 : 0;
    for (const each of own.length > 1 ? own : []) {
      const isPushed = each === own.at(-1) && pushed > 0 && pushed < each.end - each.begin - SAME; // told by no reading
      if (each.isRead && !isPushed) told.push(held({ ...each, angle: Math.hypot(each.up, each.sideways ?? 0) }));
    }
    if (!rod.isRead) {
      const gap = [rod];
      for (let before = number - 1; ; before--) {
        const of = found.filter((each) => each.rod === before);
        if (!of.length) break;
        const one = mean(of);
        if (one.isRead || one.isEnd) break;
        gap.unshift(one);
      }
      told.push(held({ begin: gap[0].begin, end: rod.end, angle: sum(gap, (each) => each.angle), error: sum(gap, (each) => each.error) }));
    }
    const worst = told.reduce((one, other) => (one && one.rank >= other.rank ? one : other), null);
    if (!worst || worst.rank < 2) return null;
    const size = worst.end - worst.begin;
    return {
      station: number, verdict: worst.rank === 3 ? "over" : "likely", share: (worst.angle * radius) / size,
      length: size, radius: size / worst.angle, begin: worst.begin, end: worst.end,
    };
  };

  /** Places of the string, the rod behind the head first, that passed a bend or stand in it now.
      Every rod behind those will pass. */
  const places = (over, bit, front, length) => {
    const place = (along) => (bit - front - along) / length;
    const first = Math.max(Math.floor(place(over.end) + 1e-6) + 1, 1);
    const behind = Math.max(Math.ceil(place(over.begin) - 1e-6), 0);
    return { passed: first - 1, in_it: Array.from({ length: Math.max(behind - first + 1, 0) }, (_each, n) => first + n) };
  };

  return { last, places };
})();
