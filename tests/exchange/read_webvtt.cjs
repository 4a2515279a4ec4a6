// SPDX-License-Identifier: GPL-3.0-or-later
// Reads WebVTT files with the W3C's parser (npm package webvtt-parser) and prints one JSON line a file:
// {errors: [...], cues: [[id, start, end, text], ...]}.
const fs = require("fs");
const { WebVTTParser } = require("webvtt-parser");
for (const file of process.argv.slice(2)) {
  const tree = new WebVTTParser().parse(fs.readFileSync(file, "utf8"), "subtitles");
  console.log(JSON.stringify({
    errors: tree.errors.map((e) => `${e.line}:${e.col}: ${e.message}`),
    cues: tree.cues.map((c) => [c.id, c.startTime, c.endTime, c.text]),
  }));
}
