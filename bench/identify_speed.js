// Milliseconds an answer takes in node: `node identify_speed.js CASE.json SCRIPT`; prints JSON.
"use strict";
const fs = require("fs");
const path = require("path");
const engine = require(path.resolve(process.argv[3]));
const data = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));

// Processor time, and the least of 25 runs of each: what else the computer does must not count.
function least(evidence) {
  let shortest = Infinity;
  for (let again = 0; again < 25; again++) {
    const before = process.cpuUsage();
    engine.identify(data.family, evidence);
    const used = process.cpuUsage(before);
    shortest = Math.min(shortest, (used.user + used.system) / 1000);
  }
  return shortest;
}

data.evidence.forEach(evidence => engine.identify(data.family, evidence));
const times = data.evidence.map(least).sort((a, b) => a - b);
const worst = times[times.length - 1];
process.stdout.write(JSON.stringify({ answers: times.length, median: times[times.length >> 1], worst: worst }));
