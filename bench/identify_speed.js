// Milliseconds an answer takes in node: `node identify_speed.js CASE.json SCRIPT`; prints JSON.
"use strict";
const fs = require("fs");
const path = require("path");
const engine = require(path.resolve(process.argv[3]));
const data = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));
for (let warm = 0; warm < 5; warm++) data.evidence.forEach(e => engine.identify(data.family, e));
// The least of 25 runs of each: what else the computer does must not count.
const times = data.evidence.map(e => {
  let least = Infinity;
  for (let again = 0; again < 25; again++) {
    const start = process.hrtime.bigint();
    engine.identify(data.family, e);
    least = Math.min(least, Number(process.hrtime.bigint() - start) / 1e6);
  }
  return least;
});
times.sort((a, b) => a - b);
const worst = times[times.length - 1];
process.stdout.write(JSON.stringify({ answers: times.length, median: times[times.length >> 1], worst: worst }));
