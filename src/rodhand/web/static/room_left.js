"use strict";
/* How far the next rod may be steered: the rule of rodhand.hole.room_left and of the reading error of
   rodhand.hole.readings, for a device without a signal. Angles in rad, lengths in m. Both languages
   of the rule are held to the same vectors by test. */
window.roomLeft = (() => {
  const REPEAT = 0.0025; // grade, one standard deviation; common practice, no source
  const STEP = 0.001; // grade; adds step/sqrt(12)
  const HEADING = (0.5 * Math.PI) / 180;
  const TAKEN_OFF = 1.6448536269514722; // normal, 5 % beyond

  const room = (length, radius, before, after) => {
    if (!(length > 0) || !(radius > 0)) return null;
    const limit = length / radius;
    return { limit, room: Math.max(limit - TAKEN_OFF * Math.hypot(before, after), 0) };
  };

  /** Room in pitch and sideways after a reading; null where length or radius is not above 0. */
  const after = (pitch, length, radius) => {
    const up = Math.hypot(REPEAT, STEP / Math.sqrt(12)) * Math.cos(pitch) ** 2;
    const across = HEADING * Math.cos(pitch);
    const found = room(length, radius, up, up);
    if (found === null) return null;
    const sideways = room(length, radius, across, across);
    const level = Math.max(Math.cos(pitch), 0.1);
    const half = Math.sqrt(Math.max(sideways.room ** 2 - (found.room / 2) ** 2, 0));
    return {
      limit: found.limit, room: found.room, from: pitch - found.room, to: pitch + found.room,
      sideways: sideways.room / level, half_sideways: half / level,
    };
  };

  /** The easier middle: pitches within a radius that is a price and no limit; null as above. */
  const easy = (pitch, length, radius) => {
    const found = room(length, radius, 0, 0);
    return found && { from: pitch - found.limit, to: pitch + found.limit };
  };

  /** The reading the next rod starts from, and how many rods went by since without a pitch.
      Rows are { station, pitch, heading }, null for not read; the station read last counts last, and
      a station left out is no row. Nothing read yet: what the rig's own pitch says, if anything. */
  const start = (rows, rig) => {
    const order = [...rows].sort((one, other) => one.station - other.station);
    const last = order.findLastIndex((each) => each.pitch !== null);
    if (last < 0) return order.length ? { pitch: null, heading: null, unread: order.length } : { pitch: rig, heading: null, unread: 0 };
    return { pitch: order[last].pitch, heading: order[last].heading, unread: order.length - 1 - last };
  };

  return { after, easy, start };
})();
