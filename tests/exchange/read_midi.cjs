// SPDX-License-Identifier: GPL-3.0-or-later
// Reads MIDI files with the npm package midi-file and prints what it found, one JSON line a file:
// {format, division, events: [[tick, track, type, channel, a, b, text], ...]}.
const fs = require("fs");
const { parseMidi } = require("midi-file");
for (const file of process.argv.slice(2)) {
  const midi = parseMidi(fs.readFileSync(file));
  const events = [];
  midi.tracks.forEach((track, number) => {
    let tick = 0;
    for (const e of track) {
      tick += e.deltaTime;
      const channel = e.channel ?? -1;
      // The package gives texts as Latin-1: back to bytes, then UTF-8.
      const text = e.text === undefined ? "" : Buffer.from(e.text, "latin1").toString("utf8");
      const [a, b] =
        e.type === "noteOn" || e.type === "noteOff" ? [e.noteNumber, e.velocity]
        : e.type === "controller" ? [e.controllerType, e.value]
        : e.type === "programChange" ? [e.programNumber, 0]
        : e.type === "pitchBend" ? [e.value, 0] // signed, 0 is the centre
        : e.type === "setTempo" ? [e.microsecondsPerBeat, 0]
        : e.type === "timeSignature" ? [e.numerator, e.denominator]
        : [0, 0];
      events.push([tick, number, e.type, channel, a, b, text]);
    }
  });
  console.log(JSON.stringify({ format: midi.header.format, division: midi.header.ticksPerBeat, events }));
}
