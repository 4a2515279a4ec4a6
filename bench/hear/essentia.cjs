// SPDX-License-Identifier: GPL-3.0-or-later
//
// Essentia's pitch and onsets of raw sound files: essentia.cjs LIST, a file with a path a line; the sound is float32,
// 48 kHz, one channel. Prints one JSON line a file: {"hop":s,"pitches":[hz,...],"onsets":[s,...]}.
const fs = require('fs');
const { Essentia, EssentiaWASM } = require('essentia.js');

const essentia = new Essentia(EssentiaWASM);
const rate = 48000;
const hop = 256;
const lowest = 120;   // Hz, below low C
const highest = 3400; // Hz, above the top of a high G

const numbers = (vector) => Array.from(essentia.vectorToArray(vector));

/** The line of the loudest voice; Melodia marks what it doubts by a pitch of 0, here as little as it can (1.4). */
function melody(signal) {
  const r = essentia.PredominantPitchMelodia(signal, 10, 3, 2048, false, 0.8, hop, 1, 40, highest, 50, lowest, 20, 0.9, 0.9,
    27.5625, 55, rate, 100, false, 1.4);
  const line = numbers(r.pitch).map((hz) => Math.max(hz, 0));
  r.pitch.delete();
  return line;
}

for (const path of fs.readFileSync(process.argv[2], 'utf8').trim().split('\n')) {
  const bytes = fs.readFileSync(path);
  const samples = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4);
  const signal = essentia.arrayToVector(samples);
  const pitches = melody(signal);
  const flux = essentia.SuperFluxExtractor(signal, 20, 2048, hop, 16, rate, 0.05);
  console.log(JSON.stringify({ hop: hop / rate, pitches, onsets: numbers(flux.onsets) }));
  flux.onsets.delete();
  signal.delete();
}
