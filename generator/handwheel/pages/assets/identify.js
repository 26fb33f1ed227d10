/* Which machine is it: adds up what the build compiled for a family. No page is touched here.

   window.handwheelIdentify (module.exports under node):
     identify(family, evidence, plan?, top?)  the whole answer
     readSerial(text)                         a serial as written, to the places that evidence holds
     sayMisfit, sayClash, sayClashes          contradictions as sentences

   family   what identify/compile.py made
   evidence {looks: [{feature, forms: [..], care}], markings: [..], serial: ["A", "38", ..] or null,
             measured: [{quantity, value, error}]}

   Ties: numbers are compared after rounding to nine decimals, halves upwards; of equals the first comes first. */
(function (root, factory) {
  "use strict";
  if (typeof module === "object" && module.exports) module.exports = factory();
  else root.handwheelIdentify = factory();
})(typeof self !== "undefined" ? self : this, function () {
  "use strict";

  var MISSING = "missing";
  var CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

  // ---- small things

  function rounded(x) {
    return Math.floor(x * 1e9 + 0.5);
  }

  function ranked(scores) {
    var keys = Array.from(scores, rounded);
    var order = keys.map(function (_, i) {
      return i;
    });
    return order.sort(function (a, b) {
      return keys[b] - keys[a] || a - b;
    });
  }

  function logOrNever(x) {
    return x > 0 ? Math.log(x) : -Infinity;
  }

  function sum(values) {
    var total = 0;
    for (var i = 0; i < values.length; i++) total += values[i];
    return total;
  }

  function sameArray(length, value) {
    return new Float64Array(length).fill(value);
  }

  // ---- what an answer says

  function answerVector(trait, mask, wrong) {
    var count = trait.answers.length;
    if (!mask) return sameArray(count, wrong);
    if (count === 1) return sameArray(1, 1);
    var hits = 0;
    for (var i = 0; i < count; i++) hits += (mask >> i) & 1;
    var each = wrong / (count - 1);
    var vector = new Float64Array(count);
    for (i = 0; i < count; i++) vector[i] = (mask >> i) & 1 ? 1 - wrong + (hits - 1) * each : hits * each;
    return vector;
  }

  function answerMask(trait, forms) {
    return forms.reduce(function (mask, form) {
      var place = trait.answers.indexOf(form);
      if (place < 0 && form !== MISSING) throw new Error(trait.id + ": unknown form '" + form + "'");
      return place < 0 ? mask : mask | (1 << place);
    }, 0);
  }

  function said(seen, place, vector) {
    var before = seen[place];
    seen[place] = before
      ? vector.map(function (x, i) {
          return before[i] * x;
        })
      : vector;
  }

  /* By trait: likelihood of all that was said, by true answer. `exact`: as if no look could be wrong, markings left out. */
  function answersGiven(family, evidence, exact) {
    var seen = {};
    (evidence.looks || []).forEach(function (look) {
      var place = placeOf(family, look.feature);
      if (!look.forms.length) return;
      var trait = family.traits[place];
      said(seen, place, answerVector(trait, answerMask(trait, look.forms), exact ? 0 : family.wrong[look.care || "sure"]));
    });
    if (exact) return seen;
    (evidence.markings || []).forEach(function (name) {
      var marking = family.markings[name];
      if (!marking) throw new Error("unknown marking '" + name + "'");
      if (marking.trait !== null) said(seen, marking.trait, answerVector(family.traits[marking.trait], 1, family.wrong.sure));
      marking.forms.forEach(function (pair) {
        said(seen, pair[0], answerVector(family.traits[pair[0]], pair[1], family.wrong.sure));
      });
    });
    return seen;
  }

  function placeOf(family, feature) {
    for (var i = 0; i < family.traits.length; i++) if (family.traits[i].id === feature) return i;
    throw new Error("unknown feature '" + feature + "'");
  }

  // ---- one part: likelihood by where it comes from, split into `width` forms that cannot_stand reads

  function rowDot(row, vector) {
    var total = 0;
    for (var i = 0; i < row.length; i++) total += row[i] * vector[i];
    return total;
  }

  /* Likelihood with one distribution a trait; `rowOf` gives it by place. */
  function spread(family, carrier, reads, seen, rowOf, out, at) {
    var factor = 1;
    var vector = null;
    for (var place = 0; place < carrier.traits.length; place++) {
      var number = carrier.traits[place];
      var vectorSaid = seen[number];
      var row = vectorSaid || reads.length ? rowOf(place, number) : null;
      if (reads.indexOf(place) >= 0) vector = widened(vector || [1], row, vectorSaid, family.traits[number].answers.length);
      else if (vectorSaid) factor *= rowDot(row, vectorSaid);
    }
    if (!vector) out[at] = factor;
    else for (var i = 0; i < vector.length; i++) out[at + i] = factor * vector[i];
  }

  function widened(vector, row, vectorSaid, count) {
    var wide = [];
    vector.forEach(function (a) {
      for (var i = 0; i < count; i++) {
        var p = i < row.length ? row[i] : 0;
        wide.push(a * (vectorSaid ? p * vectorSaid[i] : p));
      }
    });
    return wide;
  }

  function widthOf(family, carrier, reads) {
    return reads.reduce(function (width, place) {
      return width * family.traits[carrier.traits[place]].answers.length;
    }, 1);
  }

  function sourcesOf(family, carrier, reads, seen) {
    var width = widthOf(family, carrier, reads);
    function each(patterns) {
      var out = new Float64Array(patterns.length * width);
      patterns.forEach(function (pattern, k) {
        spread(family, carrier, reads, seen, function (place, number) {
          return family.traits[number].rows[pattern[place]];
        }, out, k * width);
      });
      return out;
    }
    function one(rowOf) {
      var out = new Float64Array(width);
      spread(family, carrier, reads, seen, rowOf, out, 0);
      return out;
    }
    return {
      width: width,
      patterns: each(carrier.patterns),
      kin: each(carrier.kin),
      outsiders: each(carrier.outsiders),
      stranger: one(function (_, number) {
        return sameArray(family.traits[number].forms, 1 / family.traits[number].forms);
      }),
      missing: one(function (_, number) {
        var row = new Float64Array(family.traits[number].answers.length);
        row[row.length - 1] = 1;
        return row;
      }),
    };
  }

  /* By pattern: mean over the variants other than the one in hand. */
  function donorsOf(carrier, sources) {
    var width = sources.width;
    var own = sources.patterns;
    var donors = new Float64Array(own.length);
    var others = sum(carrier.counts) - 1;
    if (others < 1) return donors;
    for (var k = 0; k < width; k++) {
      var total = 0;
      for (var p = 0; p < carrier.counts.length; p++) total += carrier.counts[p] * own[p * width + k];
      for (p = 0; p < carrier.counts.length; p++) donors[p * width + k] = Math.max(total - own[p * width + k], 0) / others;
    }
    return donors;
  }

  function outsideOf(sources) {
    var width = sources.width;
    var count = sources.outsiders.length / width;
    var outside = new Float64Array(width);
    for (var i = 0; i < sources.outsiders.length; i++) outside[i % width] += sources.outsiders[i];
    return count
      ? outside.map(function (x) {
          return x / count;
        })
      : outside;
  }

  /* By history: the part as it may stand here, by pattern and form read. */
  function sharesOf(carrier, sources) {
    var width = sources.width;
    var own = sources.patterns;
    var donors = donorsOf(carrier, sources);
    var outside = outsideOf(sources);
    var kin = sources.kin;
    return carrier.mixes.map(function (mix) {
      var shares = new Float64Array(own.length);
      for (var i = 0; i < own.length; i++) {
        var k = i % width;
        shares[i] =
          (kin.length ? mix[5] * kin[i] : 0) +
          mix[0] * own[i] + mix[1] * donors[i] + mix[2] * outside[k] + mix[3] * sources.stranger[k] + mix[4] * sources.missing[k];
      }
      return shares;
    });
  }

  // ---- groups: by history and cell

  function groupGrid(family, group, seen) {
    var parts = group.carriers.map(function (number, i) {
      var carrier = family.carriers[number];
      return sharesOf(carrier, sourcesOf(family, carrier, group.reads[i], seen));
    });
    if (!group.allowed.length) return parts[0];
    var widths = group.carriers.map(function (number, i) {
      return widthOf(family, family.carriers[number], group.reads[i]);
    });
    return family.histories.map(function (_, h) {
      return Float64Array.from(group.cells, function (cell, c) {
        var x = tied(family, group, h, cell, parts, widths);
        return group.scale[h][c] > 0 ? x / group.scale[h][c] : 0;
      });
    });
  }

  function tied(family, group, h, cell, parts, widths) {
    if (family.fitsNone[h]) {
      return parts.reduce(function (product, part, i) {
        return product * sum(part[h].subarray(cell[i] * widths[i], (cell[i] + 1) * widths[i]));
      }, 1);
    }
    return group.allowed[cell[cell.length - 1]].reduce(function (total, combo) {
      var product = 1;
      for (var i = 0; i < combo.length; i++) product *= parts[i][h][cell[i] * widths[i] + combo[i]];
      return total + product;
    }, 0);
  }

  function touches(family, group, seen) {
    return group.carriers.some(function (number) {
      return family.carriers[number].traits.some(function (trait) {
        return seen[trait];
      });
    });
  }

  // ---- serial and measurements

  function readSerial(text) {
    var places = [];
    var rest = text.toUpperCase();
    while (rest) {
      var head = rest[0];
      var length = 1;
      if (head === "?") places.push(CHARACTERS);
      else if (head === "[") {
        length = rest.indexOf("]") + 1;
        var inside = rest.slice(1, length - 1);
        if (length < 3 || !/^[0-9A-Z]+$/.test(inside)) throw new Error("serial '" + text + "': '[' needs letters or digits and a ']' after it");
        places.push(Array.from(new Set(inside)).sort().join(""));
      } else if (CHARACTERS.indexOf(head) >= 0) places.push(head);
      else if (" -.".indexOf(head) < 0) throw new Error("serial '" + text + "': '" + head + "' is neither letter nor digit; write ? for what cannot be read");
      rest = rest.slice(length);
    }
    if (!places.length) throw new Error("serial '" + text + "': holds no character that can be read");
    return places;
  }

  /* By place: likelihood by true character; `below`: of all digits below one. */
  function placesOf(serial, read, wrong) {
    return read.map(function (allowed) {
      var place = Array.from(CHARACTERS, function (truth) {
        return onePlace(serial, truth, allowed, wrong);
      });
      place.below = [0];
      for (var digit = 0; digit < 10; digit++) place.below.push(place.below[digit] + place[digit]);
      return place;
    });
  }

  function onePlace(serial, truth, allowed, wrong) {
    var alike = new Set();
    serial.alikes.forEach(function (pair) {
      if (pair.indexOf(truth) >= 0) alike.add(pair.replace(truth, ""));
    });
    var even = (wrong * (alike.size ? 1 - serial.mixedUp : 1)) / (CHARACTERS.length - 1);
    var each = alike.size ? (wrong * serial.mixedUp) / alike.size : 0;
    var total = 0;
    for (var i = 0; i < allowed.length; i++) {
      total += allowed[i] === truth ? 1 - wrong : even + (alike.has(allowed[i]) ? each : 0);
    }
    return total;
  }

  function blockSum(block, places) {
    var prefix = block[0];
    var suffix = block[3];
    var tail = places.length - suffix.length;
    if (tail - prefix.length < 1) return 0;
    var around = 1;
    for (var i = 0; i < prefix.length; i++) around *= places[i][CHARACTERS.indexOf(prefix[i])];
    for (i = 0; i < suffix.length; i++) around *= places[tail + i][CHARACTERS.indexOf(suffix[i])];
    if (!around) return 0;
    var digits = places.slice(prefix.length, tail);
    var padded = block[1].length === block[2].length;
    var inside = rangeSum(block[1], block[2], padded, digits);
    block[4].forEach(function (gap) {
      inside -= rangeSum(gap[0], gap[1], padded, digits);
    });
    return around * Math.max(inside, 0);
  }

  function rangeSum(first, last, padded, digits) {
    var width = digits.length;
    if (padded && last.length !== width) return 0;
    var low = padded ? +first : Math.max(+first, Math.pow(10, width - 1));
    var high = padded ? +last : Math.min(+last, Math.pow(10, width) - 1);
    if (low > high) return 0;
    return sumTo(high, digits) - (low ? sumTo(low - 1, digits) : 0);
  }

  function sumTo(bound, digits) {
    var text = String(bound).padStart(digits.length, "0");
    var free = [1];
    for (var i = digits.length - 1; i >= 0; i--) free.push(free[free.length - 1] * digits[i].below[10]);
    var total = 0;
    var along = 1;
    for (i = 0; i < digits.length; i++) {
      var digit = +text[i];
      total += along * digits[i].below[digit] * free[digits.length - 1 - i];
      along *= digits[i][digit];
    }
    return total + along;
  }

  function serialLikelihoods(family, read) {
    var serial = family.serial;
    var anywhere = Math.min(
      1,
      read.reduce(function (product, allowed) {
        return product * Math.min(allowed.length, 10);
      }, 1) / serial.universe
    );
    var places = placesOf(serial, read, serial.wrong);
    var byVariant = serial.blocks.map(function (blocks, v) {
      if (!serial.sizes[v]) return anywhere;
      var inside = blocks.reduce(function (total, block) {
        return total + blockSum(block, places);
      }, 0);
      return ((1 - serial.noBlock) * inside) / serial.sizes[v] + serial.noBlock * anywhere;
    });
    var among = 0;
    byVariant.forEach(function (x, v) {
      among += family.priors[v] * x;
    });
    return { byVariant: byVariant, none: serial.likeBlocks * among + (1 - serial.likeBlocks) * anywhere };
  }

  function normal(measured, mean, spreadOf) {
    var error = measured.error || 0;
    var variance = spreadOf * spreadOf + error * error;
    var off = measured.value - mean;
    return Math.exp(-(off * off) / (2 * variance)) / Math.sqrt(2 * Math.PI * variance);
  }

  function measureLikelihoods(family, measured) {
    var known = family.measures[measured.quantity];
    if (!known) throw new Error("no variant has a value for '" + measured.quantity + "'");
    var wild = normal(measured, known.around[0], known.around[1]);
    var byVariant = known.variants.map(function (pair) {
      return (1 - family.wildMeasure) * (pair ? normal(measured, pair[0], pair[1]) : wild) + family.wildMeasure * wild;
    });
    return { byVariant: byVariant, none: wild };
  }

  function apartFromParts(family, evidence) {
    var logs = new Float64Array(family.variants.length);
    var none = 0;
    var readings = evidence.serial ? [serialLikelihoods(family, evidence.serial)] : [];
    readings = readings.concat(
      (evidence.measured || []).map(function (measured) {
        return measureLikelihoods(family, measured);
      })
    );
    readings.forEach(function (reading) {
      reading.byVariant.forEach(function (x, v) {
        logs[v] += logOrNever(x);
      });
      none += logOrNever(reading.none);
    });
    return { logs: logs, none: none };
  }

  // ---- posterior

  function posterior(family, evidence) {
    var seen = answersGiven(family, evidence);
    var grids = family.groups.map(function (group) {
      return touches(family, group, seen) ? groupGrid(family, group, seen) : null;
    });
    var rows = logRows(family, grids, apartFromParts(family, evidence));
    var found = { seen: seen, grids: grids, rows: rows, none: 0, kept: {}, variants: new Float64Array(family.variants.length) };
    found.possible = possibleVariants(family, evidence);
    var highest = rows.reduce(function (top, row) {
      return Math.max(top, Math.max.apply(null, row));
    }, -Infinity);
    found.impossible = highest === -Infinity;
    normalise(family, evidence, found, highest);
    found.ranked = ranked(found.variants);
    found.live = alive(found.variants);
    found.liveRows = found.rows.map(function (row) {
      var some = new Float64Array(found.live.length);
      for (var i = 0; i < some.length; i++) some[i] = row[found.live[i]];
      return some;
    });
    found.entropy = entropyOf(found.variants) + entropyOf([found.none]);
    return found;
  }

  /* Variants that can still matter to what a look is worth; all the others together weigh less than 1e-13. */
  function alive(chances) {
    var live = [];
    for (var v = 0; v < chances.length; v++) if (chances[v] > 1e-16) live.push(v);
    return live;
  }

  function logRows(family, grids, apart) {
    return family.histories.map(function (weight, h) {
      var none = family.fitsNone[h];
      var row = Float64Array.from(family.priors, function (prior, v) {
        return logOrNever(weight * prior) + (none ? apart.none : apart.logs[v]);
      });
      family.groups.forEach(function (group, g) {
        var logs = null;
        if (grids[g]) logs = grids[g][h].map(logOrNever);
        else if (group.scale.length && !none) {
          logs = Float64Array.from(group.scale[h], function (scale) {
            return scale > 0 ? 0 : -Infinity;
          });
        }
        var cells = cellsOf(family, g);
        if (logs) for (var v = 0; v < row.length; v++) row[v] += logs[cells[v]];
      });
      return row;
    });
  }

  /* Sure looks at what never changes hands: feature, weight (a checked one is two), and by variant whether its castings give it. */
  function castingsSeen(family, evidence) {
    var found = [];
    (evidence.looks || []).forEach(function (look) {
      if (!look.forms.length || look.care === "doubtful") return;
      var number = placeOf(family, look.feature);
      var trait = family.traits[number];
      var mask = answerMask(trait, look.forms);
      var carrier = family.carriers.filter(function (one) {
        return one.traits.indexOf(number) >= 0;
      })[0];
      if (!mask || mask >> trait.forms || !carrier.neverSwapped || trait.isMarking) return; // what is lost speaks against none
      var gives = trait.rows.map(function (row) {
        return row.some(function (x, i) {
          return x > 0 && (mask >> i) & 1;
        });
      });
      var place = carrier.traits.indexOf(number);
      var shown = carrier.ofVariant.map(function (pattern) {
        return gives[carrier.patterns[pattern][place]];
      });
      found.push({ feature: look.feature, weight: look.care === "checked" ? 2 : 1, shown: shown });
    });
    return found;
  }

  /* By variant: whether castings contradict it twice, or once and no other look at that casting agrees with it. */
  function doubtedVariants(family, evidence) {
    var seen = castingsSeen(family, evidence);
    return family.variants.map(function (_, v) {
      var against = seen.filter(function (one) {
        return !one.shown[v];
      });
      var count = sum(
        against.map(function (one) {
          return one.weight;
        })
      );
      if (count !== 1) return count > 1;
      return !seen.some(function (one) {
        return one.feature === against[0].feature && one.shown[v];
      });
    });
  }

  /* Another pattern, like a known one but for its castings: where these speak against that, it has its share. */
  function addTwins(family, evidence, rows) {
    var unknown = sum(
      family.histories.filter(function (_, h) {
        return family.fitsNone[h];
      })
    );
    if (!unknown) return;
    doubtedVariants(family, evidence).forEach(function (doubted, v) {
      if (!doubted) return;
      var known = 0;
      rows.forEach(function (row, h) {
        if (!family.fitsNone[h]) known += row[v];
      });
      rows.forEach(function (row, h) {
        if (family.fitsNone[h]) row[v] += (family.twin * known * family.histories[h]) / unknown;
      });
    });
  }

  function normalise(family, evidence, found, highest) {
    var raw = found.rows.map(function (row) {
      return row.map(function (x) {
        return found.impossible ? 0 : Math.exp(x - highest);
      });
    });
    addTwins(family, evidence, raw);
    var total = sum(raw.map(sum)) || 1;
    found.rows = raw.map(function (row) {
      return row.map(function (x) {
        return x / total;
      });
    });
    found.rows.forEach(function (row, h) {
      if (family.fitsNone[h]) found.none += sum(row);
      else for (var v = 0; v < row.length; v++) found.variants[v] += row[v];
    });
  }

  function possibleVariants(family, evidence) {
    var exact = answersGiven(family, evidence, true);
    var masks = family.groups.map(function (group) {
      return groupPossible(family, group, exact);
    });
    return family.variants.map(function (_, v) {
      return family.groups.every(function (group, g) {
        return masks[g][group.ofVariant[v]];
      });
    });
  }

  function groupPossible(family, group, exact) {
    var parts = group.carriers.map(function (number, i) {
      return carrierPossible(family, family.carriers[number], group.reads[i], exact);
    });
    return group.cells.map(function (cell) {
      if (!group.allowed.length) return parts[0](cell[0], 0);
      return group.allowed[cell[cell.length - 1]].some(function (combo) {
        return parts.every(function (part, i) {
          return part(cell[i], combo[i]);
        });
      });
    });
  }

  /* A function of pattern and form read. */
  function carrierPossible(family, carrier, reads, exact) {
    var sources = sourcesOf(family, carrier, reads, exact);
    var width = sources.width;
    if (carrier.neverSwapped) {
      return function (pattern, k) {
        return sources.patterns[pattern * width + k] > 0;
      };
    }
    var anyones = new Array(width).fill(false);
    [sources.patterns, sources.outsiders, carrier.canBeLost ? sources.missing : []].forEach(function (vectors) {
      for (var i = 0; i < vectors.length; i++) if (vectors[i] > 0) anyones[i % width] = true;
    });
    return function (_, k) {
      return anyones[k];
    };
  }

  // ---- what it amounts to

  function credibleSet(found, enough) {
    var wanted = rounded(enough * sum(found.variants));
    var chosen = [];
    var held = 0;
    for (var i = 0; i < found.ranked.length; i++) {
      if (chosen.length && rounded(held) >= wanted) break;
      chosen.push(found.ranked[i]);
      held += found.variants[found.ranked[i]];
    }
    return chosen;
  }

  function together(found, members) {
    return members.reduce(function (total, v) {
      return total + found.variants[v];
    }, 0);
  }

  function isEmpty(evidence) {
    var seen = (evidence.looks || []).some(function (look) {
      return look.forms.length;
    });
    return !(seen || (evidence.markings || []).length || evidence.serial || (evidence.measured || []).length);
  }

  function judge(family, evidence, found, enough) {
    var againstAll = !found.possible.some(Boolean);
    function verdict(name, members, probability) {
      return { verdict: name, inPlay: members, probability: probability, againstAll: againstAll };
    }
    if (found.impossible) return verdict("impossible", [], 0);
    var credible = credibleSet(found, enough);
    if (isEmpty(evidence)) return verdict("nothing seen", credible, together(found, credible));
    if (found.none >= enough) return verdict("fits none", [], found.none);
    for (var i = 0; i < family.alike.length; i++) {
      var members = family.alike[i];
      if (together(found, members) >= enough) {
        return verdict(members.length === 1 ? "settled" : "alike", members, together(found, members));
      }
    }
    return verdict("open", credible, together(found, credible));
  }

  // ---- the next look

  function answerGrids(family, number, seen) {
    var group = family.groups[family.groupOf[number]];
    var trait = family.traits[number];
    var before = seen[number];
    var vectors = trait.answers.map(function (_, answer) {
      var vector = answerVector(trait, 1 << answer, family.wrong.sure);
      return before
        ? vector.map(function (x, i) {
            return x * before[i];
          })
        : vector;
    });
    if (group.allowed.length || before) {
      return vectors.map(function (vector) {
        var more = Object.assign({}, seen);
        more[number] = vector;
        return groupGrid(family, group, more);
      });
    }
    var carrier = family.carriers[group.carriers[0]];
    var sources = sourcesOf(family, carrier, [], seen);
    return vectors.map(function (vector) {
      return sharesOf(carrier, answered(trait, carrier, carrier.traits.indexOf(number), sources, vector));
    });
  }

  function answered(trait, carrier, place, sources, vector) {
    var byRow = trait.rows.map(function (row) {
      return rowDot(row, vector);
    });
    function times(values, patterns) {
      return values.map(function (x, k) {
        return x * byRow[patterns[k][place]];
      });
    }
    return {
      width: 1,
      patterns: times(sources.patterns, carrier.patterns),
      kin: times(sources.kin, carrier.kin),
      outsiders: times(sources.outsiders, carrier.outsiders),
      stranger: [(sources.stranger[0] * sum(vector.subarray(0, trait.forms))) / trait.forms],
      missing: [sources.missing[0] * vector[vector.length - 1]],
    };
  }

  /* By answer: chance of it together with each variant still alive, the last with 'fits none'. */
  function answerChances(family, found, number) {
    var g = family.groupOf[number];
    var shares = kept(found, "groups", g, function () {
      return groupShares(family, found, family.groups[g], g);
    });
    return answerGrids(family, number, found.seen).map(function (after) {
      return jointRow(found, shares, after);
    });
  }

  /* What every look at a group needs: its grid before the look, the cell of each live variant, and by
     history of 'fits none' its chance by cell of the variant that it is near to. */
  function groupShares(family, found, group, g) {
    var all = cellsOf(family, g);
    var cells = new Int32Array(found.live.length);
    for (var i = 0; i < cells.length; i++) cells[i] = all[found.live[i]];
    return {
      before: found.grids[g] || groupGrid(family, group, found.seen),
      cells: cells,
      none: found.liveRows.map(function (row, h) {
        return family.fitsNone[h] ? addedByCell(found.rows[h], all, group.cells.length) : null;
      }),
    };
  }

  function addedByCell(row, cells, count) {
    var byCell = new Float64Array(count);
    for (var v = 0; v < row.length; v++) byCell[cells[v]] += row[v];
    return byCell;
  }

  var typed = new WeakMap();

  /* Cell of each variant in a group, turned once into numbers that the computer reads fast. */
  function cellsOf(family, g) {
    if (!typed.has(family)) {
      typed.set(
        family,
        family.groups.map(function (group) {
          return Int32Array.from(group.ofVariant);
        })
      );
    }
    return typed.get(family)[g];
  }

  function jointRow(found, shares, after) {
    var count = found.live.length;
    var cells = shares.cells;
    var joint = new Float64Array(count + 1);
    for (var h = 0; h < after.length; h++) {
      var ratios = dividedBy(after[h], shares.before[h]);
      var row = found.liveRows[h];
      if (shares.none[h]) joint[count] += rowDot(shares.none[h], ratios);
      else for (var i = 0; i < count; i++) joint[i] += row[i] * ratios[cells[i]];
    }
    return joint;
  }

  function dividedBy(after, before) {
    var ratios = new Float64Array(after.length);
    for (var cell = 0; cell < ratios.length; cell++) ratios[cell] = before[cell] > 0 ? after[cell] / before[cell] : 0;
    return ratios;
  }

  /* In bits; as H(variant) + H(answer) - H(both), so that the first is worked out once. */
  function information(found, joint) {
    var nats = found.entropy;
    for (var k = 0; k < joint.length; k++) nats += entropyOf([sum(joint[k])]) - entropyOf(joint[k]);
    return Math.max(nats, 0) / Math.LN2;
  }

  function entropyOf(shares) {
    var nats = 0;
    for (var i = 0; i < shares.length; i++) if (shares[i] > 0) nats -= shares[i] * Math.log(shares[i]);
    return nats;
  }

  function instrumentBits(found, instrument) {
    var wild = found.none * instrument.wild[found.variants.length];
    var known = found.none * instrument.entropies[found.variants.length];
    found.live.forEach(function (v) {
      wild += found.variants[v] * instrument.wild[v];
      known += found.variants[v] * instrument.entropies[v];
    });
    var bins = Float64Array.from(instrument.background, function (share) {
      return wild * share;
    });
    addShares(bins, found.none, instrument.extra[found.variants.length]);
    found.live.forEach(function (v) {
      addShares(bins, found.variants[v], instrument.extra[v]);
    });
    return Math.max(entropyOf(bins) - known, 0) / Math.LN2;
  }

  function addShares(bins, chance, extra) {
    for (var i = 0; i < extra.length; i++) bins[extra[i][0]] += chance * extra[i][1];
  }

  function nextLooks(family, evidence, found, judgement, plan) {
    if (judgement.verdict === "impossible") return { looks: [], stop: "impossible" };
    var worths = openTraits(family, evidence).map(function (number) {
      var joint = answerChances(family, found, number);
      var trait = family.traits[number];
      var chances = trait.answers.map(function (answer, i) {
        return [answer, sum(joint[i])];
      });
      return { id: trait.id, bits: information(found, joint), seconds: plan.seconds[trait.effort], chances: chances };
    });
    openInstruments(family, evidence).forEach(function (instrument) {
      var seconds = plan.seconds[instrument.effort];
      worths.push({ id: instrument.id, bits: instrumentBits(found, instrument), seconds: seconds, chances: [] });
    });
    var order = ranked(
      worths.map(function (worth) {
        return worth.bits / worth.seconds;
      })
    );
    var looks = order
      .map(function (i) {
        return worths[i];
      })
      .filter(function (worth) {
        return worth.bits >= (confirms(family, worth) ? plan.little / 100 : plan.little);
      });
    return { looks: looks, stop: stopOf(family, judgement, looks) };
  }

  /* A look at a casting for which nothing is taken apart is cheap beside a wrong name for the machine: little tells enough. */
  function confirms(family, worth) {
    return family.carriers.some(function (carrier) {
      return (
        carrier.neverSwapped &&
        carrier.traits.some(function (number) {
          var trait = family.traits[number];
          return trait.id === worth.id && trait.effort !== "strip" && !trait.isMarking;
        })
      );
    });
  }

  /* A variant is not settled while such a look may still say that the library lacks it. */
  function stopOf(family, judgement, looks) {
    var sure = judgement.verdict === "settled" || judgement.verdict === "alike";
    var more = looks.some(function (worth) {
      return confirms(family, worth);
    });
    if (sure && more) return "";
    if (sure || judgement.verdict === "fits none") return judgement.verdict;
    return looks.length ? "" : "nothing left that tells";
  }

  function openTraits(family, evidence) {
    var taken = (evidence.looks || []).map(function (look) {
      return look.feature;
    });
    var open = [];
    family.traits.forEach(function (trait, i) {
      if (!trait.isMarking && taken.indexOf(trait.id) < 0) open.push(i);
    });
    return open;
  }

  function openInstruments(family, evidence) {
    var taken = (evidence.measured || []).map(function (measured) {
      return measured.quantity;
    });
    if (evidence.serial) taken.push("serial");
    return family.instruments.filter(function (instrument) {
      return taken.indexOf(instrument.id) < 0;
    });
  }

  // ---- parts that are not original, looks that are likely wrong

  function accountsOf(family, evidence, found, variant) {
    var exact = answersGiven(family, evidence, true);
    var accounts = [];
    family.carriers.forEach(function (carrier, number) {
      var touched = carrier.traits.some(function (trait) {
        return found.seen[trait];
      });
      if (touched) accounts.push(account(family, found, exact, variant, number));
    });
    return accounts;
  }

  function account(family, found, exact, variant, number) {
    var carrier = family.carriers[number];
    var group = family.groups.filter(function (candidate) {
      return candidate.carriers.indexOf(number) >= 0;
    })[0];
    var chances = [0, 0, 0, 0, 0, 0];
    var weights = found.rows.map(function (row, h) {
      return family.fitsNone[h] ? 0 : row[variant];
    });
    var whole = sum(weights) || 1;
    weights.forEach(function (weight, h) {
      if (!(weight > 0)) return;
      kindsOf(family, found, exact, group, number, variant, h).forEach(function (p, kind) {
        chances[kind] += (weight / whole) * p;
      });
    });
    var sources = kept(found, "exact", number, function () {
      return sourcesOf(family, carrier, [], exact);
    });
    return {
      carrier: carrier.id,
      likeliest: family.kinds[ranked(chances)[0]],
      chances: chances,
      donors: family.variants.filter(function (_, v) {
        return !carrier.neverSwapped && v !== variant && sources.patterns[carrier.ofVariant[v]] > 0;
      }),
      outsiders: carrier.outsiderIds.filter(function (_, k) {
        return sources.outsiders[k] > 0;
      }),
    };
  }

  function kindsOf(family, found, exact, group, number, variant, h) {
    var place = group.carriers.indexOf(number);
    var carrier = family.carriers[number];
    var mix = carrier.mixes[h];
    var rest = restOf(family, found, group, place, variant, h);
    var from = kept(found, "kinds", number, function () {
      return comesFrom(family, found, exact, carrier, group.reads[place]);
    });
    var at = carrier.ofVariant[variant] * from.sources.width;
    function dot(vector, start) {
      return rowDot(rest, vector.subarray(start, start + from.sources.width));
    }
    var own = dot(from.sources.patterns, at);
    var right = Math.min(dot(from.right, at), own);
    var shares = [
      mix[0] * right,
      mix[1] * dot(from.donors, at),
      mix[2] * dot(from.outside, 0),
      mix[3] * dot(from.sources.stranger, 0),
      mix[4] * dot(from.sources.missing, 0),
      mix[0] * (own - right),
    ];
    var whole = sum(shares);
    return shares.map(function (share) {
      return whole > 0 ? share / whole : share;
    });
  }

  function comesFrom(family, found, exact, carrier, reads) {
    var sources = sourcesOf(family, carrier, reads, found.seen);
    return {
      sources: sources,
      right: sourcesOf(family, carrier, reads, rightOnly(found, exact, carrier)).patterns,
      donors: donorsOf(carrier, sources),
      outside: outsideOf(sources),
    };
  }

  /* Worked out once an answer. */
  function kept(found, name, number, make) {
    var store = (found.kept[name] = found.kept[name] || {});
    return store[number] || (store[number] = make());
  }

  function rightOnly(found, exact, carrier) {
    var right = {};
    carrier.traits.forEach(function (trait) {
      if (!found.seen[trait]) return;
      var allowed = exact[trait] || found.seen[trait];
      right[trait] = found.seen[trait].map(function (x, i) {
        return allowed[i] > 0 ? x : 0;
      });
    });
    return right;
  }

  /* What the other parts of a tied group say of each form of this one that is read. */
  function restOf(family, found, group, place, variant, h) {
    if (!group.allowed.length) return [1];
    var cell = group.cells[group.ofVariant[variant]];
    var vectors = group.carriers.map(function (number, i) {
      var carrier = family.carriers[number];
      var sources = sourcesOf(family, carrier, group.reads[i], found.seen);
      return sharesOf(carrier, sources)[h].subarray(cell[i] * sources.width, (cell[i] + 1) * sources.width);
    });
    var rest = new Float64Array(vectors[place].length);
    group.allowed[cell[cell.length - 1]].forEach(function (combo) {
      var product = 1;
      for (var i = 0; i < combo.length; i++) if (i !== place) product *= vectors[i][combo[i]];
      rest[combo[place]] += product;
    });
    return rest;
  }

  function doubtedLooks(family, found, chosen, accounts) {
    var whole = together(found, chosen) + found.none;
    var order = [];
    var doubts = {};
    chosen.forEach(function (v, i) {
      if (!(found.variants[v] > 0)) return;
      accounts[i].forEach(function (one) {
        if (!(one.carrier in doubts)) order.push(one.carrier);
        doubts[one.carrier] = (doubts[one.carrier] || 0) + (one.chances[5] * found.variants[v]) / whole;
      });
    });
    var high = order.filter(function (carrier) {
      return doubts[carrier] >= 0.2;
    });
    var places = ranked(
      high.map(function (carrier) {
        return doubts[carrier];
      })
    );
    return places.map(function (i) {
      return [high[i], doubts[high[i]]];
    });
  }

  // ---- contradictions

  function saysMissing(family, trait, vector) {
    return vector.length > family.traits[trait].forms && vector[vector.length - 1] > 0;
  }

  /* Variants whose own part shows what was seen, as bits; null where nothing tells. */
  function makersOf(family, carrier, exact) {
    var seen = {};
    carrier.traits.forEach(function (trait) {
      if (exact[trait]) seen[trait] = exact[trait];
    });
    var traits = Object.keys(seen);
    if (!traits.length) return null;
    if (
      traits.some(function (trait) {
        return saysMissing(family, trait, seen[trait]);
      })
    ) {
      return null;
    }
    var sources = sourcesOf(family, carrier, [], seen);
    var mask = new Uint32Array(Math.ceil(carrier.ofVariant.length / 32));
    carrier.ofVariant.forEach(function (pattern, v) {
      if (sources.patterns[pattern] > 0) mask[v >> 5] |= 1 << (v & 31);
    });
    return mask;
  }

  function clashesOf(family, evidence) {
    var exact = answersGiven(family, evidence, true);
    var ids = [];
    var masks = [];
    family.carriers.forEach(function (carrier) {
      var makers = makersOf(family, carrier, exact);
      if (makers) {
        ids.push(carrier.id);
        masks.push(makers);
      }
    });
    var read = bearersOf(family, evidence);
    read.masks.forEach(function (mask, i) {
      ids.push("reading:" + read.names[i]);
      masks.push(mask);
    });
    var found = [];
    var all = new Uint32Array(Math.ceil(family.variants.length / 32)).fill(0xffffffff);
    for (var size = 1; size <= family.largest; size++) addClashes(masks, size, 0, [], all, found);
    return found.map(function (chosen) {
      return chosen.map(function (i) {
        return ids[i];
      });
    });
  }

  /* Sets of `size` more parts, from one on, that leave no variant; what a smaller set says already is passed over. */
  function addClashes(masks, size, from, chosen, left, found) {
    for (var i = from; i < masks.length; i++) {
      var both = left.slice();
      var some = 0;
      for (var word = 0; word < both.length; word++) some |= both[word] &= masks[i][word];
      var now = chosen.concat(i);
      if (size > 1 && some) addClashes(masks, size - 1, i + 1, now, both, found);
      else if (size === 1 && !some && !covered(now, found)) found.push(now);
    }
  }

  function covered(chosen, found) {
    return found.some(function (smaller) {
      return smaller.every(function (i) {
        return chosen.indexOf(i) >= 0;
      });
    });
  }

  function misfitsOf(family, evidence, variant) {
    var exact = answersGiven(family, evidence, true);
    var misfits = [];
    family.carriers.forEach(function (carrier) {
      carrier.patterns[carrier.ofVariant[variant]].forEach(function (rowNumber, place) {
        var number = carrier.traits[place];
        var trait = family.traits[number];
        var row = trait.rows[rowNumber];
        if (!exact[number] || rowDot(row, exact[number]) > 0) return;
        var seen = trait.answers.filter(function (_, i) {
          return exact[number][i] > 0;
        });
        misfits.push({
          carrier: carrier.id,
          feature: trait.id,
          seen: seen.length ? seen : [MISSING],
          original: trait.answers.filter(function (_, i) {
            return row[i] > 0;
          }),
          neverSwapped: carrier.neverSwapped,
          reading: false,
        });
      });
    });
    return misfits.concat(readingsAgainst(family, evidence, variant, blankPlaces(evidence, family)));
  }

  // ---- readings: what the serial and what was measured say against a variant

  function blankPlaces(evidence, family) {
    return evidence.serial ? placesOf(family.serial, evidence.serial, 0) : null;
  }

  function holdsSerial(family, variant, places) {
    return family.serial.blocks[variant].some(function (block) {
      return blockSum(block, places) > 0.5;
    });
  }

  function readingsAgainst(family, evidence, variant, places) {
    var found = [];
    function say(name, seen, own) {
      found.push({ carrier: "reading:" + name, feature: name, seen: [seen], original: own, neverSwapped: false, reading: true });
    }
    var blocks = family.serial.blocks[variant];
    if (places && blocks.length && !holdsSerial(family, variant, places)) {
      say("serial", serialText(evidence.serial), blocksText(family, blocks));
    }
    (evidence.measured || []).forEach(function (each) {
      var own = family.measures[each.quantity].variants[variant];
      if (own && isFar(family, own, each)) say(each.quantity, inUnit(family, each.quantity, each.value), [inUnit(family, each.quantity, own[0])]);
    });
    return found;
  }

  function isFar(family, own, measured) {
    var error = measured.error || 0;
    var off = measured.value - own[0];
    return off * off > family.readings.far * family.readings.far * (own[1] * own[1] + error * error);
  }

  function serialText(read) {
    return read
      .map(function (place) {
        if (place.length === CHARACTERS.length) return "?";
        return place.length === 1 ? place : "[" + place + "]";
      })
      .join("");
  }

  function blocksText(family, blocks) {
    var shown = blocks.slice(0, family.readings.shown).map(function (block) {
      return block[0] + block[1] + block[3] + " to " + block[0] + block[2] + block[3];
    });
    var rest = blocks.length - shown.length;
    return rest > 0 ? shown.concat(filled(family.readings.more, { count: rest })) : shown;
  }

  /* Two decimals at most, halves upwards. */
  function inUnit(family, quantity, value) {
    var hundredths = Math.floor(value * 100 + 0.5);
    var whole = Math.floor(hundredths / 100);
    var part = String(hundredths - whole * 100).padStart(2, "0");
    var number = (whole + "." + part).replace(/\.?0+$/, "");
    var unit = family.readings.units[quantity];
    return unit ? number + " " + unit : number;
  }

  /* By name: what was read. */
  function readingsOf(family, evidence) {
    var found = evidence.serial ? [["serial", serialText(evidence.serial)]] : [];
    (evidence.measured || []).forEach(function (each) {
      var text = inUnit(family, each.quantity, each.value);
      var before = found.filter(function (pair) {
        return pair[0] === each.quantity;
      })[0];
      if (before) before[1] = text;
      else found.push([each.quantity, text]);
    });
    return found;
  }

  /* By reading: variants that it does not speak against, as bits. */
  function bearersOf(family, evidence) {
    var places = blankPlaces(evidence, family);
    var names = readingsOf(family, evidence).map(function (pair) {
      return pair[0];
    });
    var masks = names.map(function () {
      return new Uint32Array(Math.ceil(family.variants.length / 32));
    });
    family.variants.forEach(function (_, v) {
      var said = readingsAgainst(family, evidence, v, places).map(function (one) {
        return one.feature;
      });
      names.forEach(function (name, i) {
        if (said.indexOf(name) < 0) masks[i][v >> 5] |= 1 << (v & 31);
      });
    });
    return { names: names, masks: masks };
  }

  function readingName(family, name) {
    return family.readings.names[name] || name;
  }

  function sayReading(family, variant, misfit) {
    return filled(family.words[misfit.feature === "serial" ? "serial" : "measured"], {
      variant: family.names.variants[variant] || variant,
      feature: readingName(family, misfit.feature),
      original: listed(misfit.original, family.words.or),
      seen: misfit.seen[0],
    });
  }

  function filled(template, values) {
    return template.replace(/\{(\w+)\}/g, function (_, name) {
      return values[name];
    });
  }

  function listed(words, last) {
    if (words.length < 2) return words.join("");
    return words.slice(0, -1).join(", ") + last + words[words.length - 1];
  }

  function formName(family, feature, form) {
    var found = family.names.forms.filter(function (entry) {
      return entry[0] === feature && entry[1] === form;
    });
    return found.length ? found[0][2] : form;
  }

  function formsInWords(family, feature, forms) {
    var words = forms.map(function (form) {
      return formName(family, feature, form);
    });
    return listed(words, family.words.or);
  }

  function sayMisfit(family, variant, misfit) {
    if (misfit.reading) return sayReading(family, variant, misfit);
    var kind = misfit.neverSwapped ? "never swapped" : "swapped";
    if (misfit.seen.length === 1 && misfit.seen[0] === MISSING) kind = "missing";
    return filled(family.words[kind], {
      variant: family.names.variants[variant] || variant,
      feature: family.names.features[misfit.feature] || misfit.feature,
      original: formsInWords(family, misfit.feature, misfit.original),
      seen: formsInWords(family, misfit.feature, misfit.seen),
    });
  }

  /* What was seen of each part, and each reading, in words. */
  function looksOf(family, evidence) {
    var exact = answersGiven(family, evidence, true);
    var said = new Map();
    family.carriers.forEach(function (carrier) {
      said.set(carrier.id, []);
      carrier.traits.forEach(function (number) {
        if (!exact[number]) return;
        var trait = family.traits[number];
        var forms = trait.answers.filter(function (_, i) {
          return exact[number][i] > 0;
        });
        said.get(carrier.id).push((family.names.features[trait.id] || trait.id) + ": " + formsInWords(family, trait.id, forms.length ? forms : [MISSING]));
      });
    });
    readingsOf(family, evidence).forEach(function (pair) {
      said.set("reading:" + pair[0], [readingName(family, pair[0]) + ": " + pair[1]]);
    });
    return said;
  }

  function sayClash(family, evidence, clash) {
    var looks = [];
    looksOf(family, evidence).forEach(function (words, carrier) {
      if (clash.indexOf(carrier) >= 0) looks = looks.concat(words);
    });
    return filled(family.words[looks.length > 1 ? "clash" : "alone"], { looks: listed(looks, family.words.and) });
  }

  /* Pairs that share a part are told in one sentence, since that part is the one to look at. */
  function sayClashes(family, evidence, clashes) {
    var said = looksOf(family, evidence);
    function words(carrier) {
      return listed(said.get(carrier), family.words.and);
    }
    function inTwo(clash) {
      return clash.length === 2;
    }
    var pairs = clashes.filter(inTwo);
    var sentences = clashes.filter(function (clash) {
      return !inTwo(clash);
    }).map(function (clash) {
      return sayClash(family, evidence, clash);
    });
    while (pairs.length) {
      var hub = commonest(pairs);
      var others = pairs.filter(function (pair) {
        return pair.indexOf(hub) >= 0;
      }).map(function (pair) {
        return pair[pair[0] === hub ? 1 : 0];
      });
      if (others.length > 1) sentences.push(filled(family.words["clash with each"], { looks: words(hub), others: others.map(words).join(family.words.between) }));
      else sentences.push(sayClash(family, evidence, pairs.find(function (pair) {
        return pair.indexOf(hub) >= 0;
      })));
      pairs = pairs.filter(function (pair) {
        return pair.indexOf(hub) < 0;
      });
    }
    return sentences;
  }

  /* The part in most of the pairs; of equals the one that is named first. */
  function commonest(pairs) {
    var counts = new Map();
    pairs.forEach(function (pair) {
      pair.forEach(function (carrier) {
        counts.set(carrier, (counts.get(carrier) || 0) + 1);
      });
    });
    var most = Math.max.apply(null, Array.from(counts.values()));
    return Array.from(counts.keys()).find(function (carrier) {
      return counts.get(carrier) === most;
    });
  }

  // ---- years

  function around(spans) {
    var known = spans.filter(Boolean);
    if (!known.length || known.length < spans.length) return null;
    return known.reduce(function (all, span) {
      return [Math.min(all[0], span[0]), Math.max(all[1], span[1])];
    });
  }

  function spanOfYears(family, evidence, variants) {
    var places = evidence.serial ? placesOf(family.serial, evidence.serial, 0) : null;
    return around(
      variants.map(function (v) {
        return yearsOf(family, v, evidence, places);
      })
    );
  }

  function yearsOf(family, variant, evidence, places) {
    var own = family.years[variant];
    var cut = own;
    if (places) {
      var fitting = family.serial.blocks[variant].filter(function (block) {
        return blockSum(block, places) > 0.5;
      });
      var block = around(
        fitting.map(function (one) {
          return one[5];
        })
      );
      if (own && block) {
        var both = [Math.max(own[0], block[0]), Math.min(own[1], block[1])];
        cut = both[0] <= both[1] ? both : own;
      } else cut = own || block;
    }
    var first = (evidence.markings || []).reduce(function (latest, name) {
      return Math.max(latest, family.markings[name].notBefore === null ? -Infinity : family.markings[name].notBefore);
    }, -Infinity);
    return cut && first > cut[0] && first <= cut[1] ? [first, cut[1]] : cut;
  }

  // ---- all together

  function identify(family, evidence, plan, top) {
    plan = Object.assign({}, family.plan, plan || {});
    var found = posterior(family, evidence);
    var judgement = judge(family, evidence, found, plan.enough);
    var chosen = found.ranked.slice(0, top === undefined ? 3 : top);
    var accounts = chosen.map(function (v) {
      return found.variants[v] > 0 ? accountsOf(family, evidence, found, v) : [];
    });
    var next = nextLooks(family, evidence, found, judgement, plan);
    return Object.assign(judgement, {
      variants: Array.from(found.variants),
      none: found.none,
      possible: found.possible,
      top: candidates(family, evidence, found, chosen, accounts),
      clashes: clashesOf(family, evidence),
      lookAgain: doubtedLooks(family, found, chosen, accounts),
      next: next.looks,
      stop: next.stop,
      years: spanOfYears(family, evidence, credibleSet(found, plan.enough)),
    });
  }

  function candidates(family, evidence, found, chosen, accounts) {
    var made = chosen.map(function (v, i) {
      return {
        variant: family.variants[v],
        probability: found.variants[v],
        possible: found.possible[v],
        changed: accounts[i].filter(function (one) {
          return one.likeliest !== "original" && one.likeliest !== "wrong look";
        }),
        misfits: misfitsOf(family, evidence, v),
      };
    });
    return made.filter(function (candidate) {
      return candidate.probability > 0;
    });
  }

  return { identify: identify, readSerial: readSerial, sayMisfit: sayMisfit, sayClash: sayClash, sayClashes: sayClashes };
});
