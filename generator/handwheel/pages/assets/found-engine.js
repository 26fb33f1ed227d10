/* A procedure for the machine as found. The build has judged: here masks are tested, and fragments picked and joined.

   window.handwheelFoundEngine(family) (module.exports under node), with the data of assets/found/FAMILY.js:
     within(known)         the machines that agree with {variants, forms}; empty when none does
     some(machines, mask)  whether any of them stands in a mask of the family, by number
     all(machines, mask)   whether all of them do
     verdict(tree, machines)       {out, settled, looks}
     procedure(data, machines)     data of assets/found/FAMILY/PROCEDURE.js:
                                   {out, settled, looks, html, count, minutes, simulated, before, leaves, facts}
     clash(known)          the looks that contradict each other */
(function (root, factory) {
  "use strict";
  if (typeof module === "object" && module.exports) module.exports = factory();
  else root.handwheelFoundEngine = factory();
})(typeof self !== "undefined" ? self : this, function () {
  "use strict";

  var MANY = 5000; /* As in machines/truth.py. */
  var EFFORT_OF_VARIANT = 3;
  var OUT = 0, SETTLED = 1, LOOK = 3;
  /* A compiled step: its HTML, cautions, what it is, and what it needs. */
  var HTML = 0, CAUTIONS = 1, FLAGS = 2, ANCHOR = 3, MINUTES = 4, TOOLS = 5, BLADES = 6, SUPPLIES = 7;
  var MAY_BE_LEFT_OUT = 1, HAS_EFFECTS = 2, POWERED = 4;

  function bytes(text) {
    var raw = atob(text);
    var made = new Uint8Array(raw.length);
    for (var i = 0; i < raw.length; i += 1) made[i] = raw.charCodeAt(i);
    return made;
  }

  function meet(a, b) {
    var made = new Uint8Array(a.length);
    for (var i = 0; i < a.length; i += 1) made[i] = a[i] & b[i];
    return made;
  }

  function join(a, b) {
    for (var i = 0; i < a.length; i += 1) a[i] |= b[i];
  }

  function touches(a, b) {
    for (var i = 0; i < a.length; i += 1) if (a[i] & b[i]) return true;
    return false;
  }

  function without(a, b) {
    for (var i = 0; i < a.length; i += 1) if (a[i] & ~b[i]) return true;
    return false;
  }

  function any(a) {
    return touches(a, a);
  }

  function joined(words) {
    return words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " and " + words[words.length - 1];
  }

  function cut(pieces, fillings) {
    return pieces.map(function (piece, i) {
      return piece + (i < fillings.length ? fillings[i] : "");
    }).join("");
  }

  /* [before, after, joint, last joint] around texts. */
  function lineOf(join, texts) {
    var head = texts.slice(0, -1).join(join[2]);
    return join[0] + (texts.length > 1 ? head + join[3] : "") + texts[texts.length - 1] + join[1];
  }

  // ---- minutes: [low, likely, high], or null where nothing is known; added and said as in Python

  function sum(a, b) {
    if (!a || !b) return a || b;
    return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
  }

  /* The span of alternatives of which one is done; as likely, their mean. */
  function oneOf(each) {
    if (!each.some(Boolean)) return null;
    var full = each.map(function (minutes) {
      return minutes || [0, 0, 0];
    });
    function all(place) {
      return full.map(function (minutes) {
        return minutes[place];
      });
    }
    var likely = all(1).reduce(function (a, b) {
      return a + b;
    }, 0) / full.length;
    return [Math.min.apply(null, all(0)), rounded(likely, 1), Math.max.apply(null, all(2))];
  }

  /* To so many digits, halves to the even one. */
  function rounded(x, digits) {
    var twice = x * Math.pow(2, digits + 1);
    if (Math.floor(twice) !== twice || twice % 2 === 0) return Number(x.toFixed(digits));
    var scale = Math.pow(10, digits);
    var low = Math.floor(x * scale);
    return (low % 2 ? low + 1 : low) / scale;
  }

  /* Whole minutes from ten on, two digits below. */
  function number(x) {
    x = Number(x.toFixed(6));
    var digits = 0;
    if (x && x < 10) for (digits = 1; x * Math.pow(10, digits) < 10; digits += 1);
    return String(rounded(x, digits));
  }

  var HOURS_FROM = 120;

  function whole(x) {
    return rounded(Number(x.toFixed(6)), 0);
  }

  /* Tens of minutes from two hours on. */
  function hours(x) {
    if (whole(x) < HOURS_FROM) return number(x) + " min";
    var tens = 10 * rounded(Number(x.toFixed(6)) / 10, 0);
    var rest = tens % 60;
    return (tens - rest) / 60 + " h" + (rest ? " " + rest + " min" : "");
  }

  function minutesWords(minutes) {
    if (!minutes) return "";
    if (whole(minutes[2]) >= HOURS_FROM) {
      var told = minutes.map(hours);
      return told[0] === told[2] ? told[1] : told[1] + ", " + told[0] + " to " + told[2];
    }
    var likely = number(minutes[1]) + " minute" + (minutes[1] === 1 ? "" : "s");
    return minutes[0] === minutes[2] ? likely : likely + ", " + number(minutes[0]) + " to " + number(minutes[2]);
  }

  /* Every choice of so many of the places, in the order of itertools.combinations. */
  function choices(places, size) {
    if (!size) return [[]];
    var found = [];
    places.forEach(function (place, i) {
      choices(places.slice(i + 1), size - 1).forEach(function (rest) {
        found.push([place].concat(rest));
      });
    });
    return found;
  }

  return function (family) {
    var masks = [];
    var found = new Map();

    function mask(number) {
      if (!masks[number]) masks[number] = bytes(family.masks[number]);
      return masks[number];
    }

    function statesOf(question) {
      return family.questions[question].states;
    }

    function one(question, state) {
      return mask(statesOf(question)[state]);
    }

    function everything() {
      return mask(family.all).slice();
    }

    function among(question, states) {
      var made = new Uint8Array(mask(family.all).length);
      states.forEach(function (state) {
        if (Object.prototype.hasOwnProperty.call(statesOf(question), state)) join(made, one(question, state));
      });
      return made;
    }

    function evidence(known) {
      var made = Object.keys(known.forms).map(function (feature) {
        return [feature, among(feature, known.forms[feature])];
      });
      if (known.variants) made.push(["variant", among("variant", known.variants)]);
      return made;
    }

    function meeting(parts) {
      return parts.reduce(function (here, part) {
        return meet(here, part[1]);
      }, everything());
    }

    function within(known) {
      return meeting(evidence(known));
    }

    /* From a glance to stripping, then in the family's order; the variant last. */
    function place(question) {
      return family.questions[question].effort * 1000 + family.order.indexOf(question);
    }

    function clash(known) {
      var kept = evidence(known).sort(function (a, b) {
        return place(a[0]) - place(b[0]);
      });
      kept.slice().reverse().forEach(function (look) {
        var others = kept.filter(function (each) {
          return each !== look;
        });
        if (!any(meeting(others))) kept = others;
      });
      return kept.map(function (look) {
        return look[0];
      });
    }

    // ---- looks that settle a doubt

    function shown(question) {
      return Object.keys(statesOf(question)).map(function (state) {
        return one(question, state);
      });
    }

    function isOpen(question, here) {
      return shown(question).filter(function (state) {
        return touches(state, here);
      }).length > 1;
    }

    function split(parts, question) {
      var made = [];
      parts.forEach(function (part) {
        shown(question).forEach(function (state) {
          if (touches(part, state)) made.push(meet(part, state));
        });
      });
      return made;
    }

    function settles(looks, holds, here) {
      function doubtful(part) {
        return touches(part, holds) && without(part, holds);
      }
      return !looks.reduce(function (parts, look) {
        return split(parts, look).filter(doubtful);
      }, [here]).some(doubtful);
    }

    function table(looks, holds, here) {
      var parts = [[[], here]];
      looks.forEach(function (look) {
        var next = [];
        parts.forEach(function (part) {
          shown(look).forEach(function (state, number) {
            if (touches(part[1], state)) next.push([part[0].concat([number]), meet(part[1], state)]);
          });
        });
        parts = next;
      });
      var rows = [];
      parts.forEach(function (part) {
        if (touches(part[1], holds)) rows.push([part[0], true]);
        if (without(part[1], holds)) rows.push([part[0], false]);
      });
      return rows;
    }

    function tells(rows, places) {
      var outcomes = new Map();
      return rows.every(function (row) {
        var key = places.map(function (i) {
          return row[0][i];
        }).join();
        if (!outcomes.has(key)) outcomes.set(key, row[1]);
        return outcomes.get(key) === row[1];
      });
    }

    function fewest(looks, holds, here) {
      var answers = looks.reduce(function (count, look) {
        return count * Object.keys(statesOf(look)).length;
      }, 1);
      if (answers > MANY) {
        return looks.slice().reverse().reduce(function (kept, look) {
          var others = kept.filter(function (each) {
            return each !== look;
          });
          return settles(others, holds, here) ? others : kept;
        }, looks);
      }
      var rows = table(looks, holds, here);
      var places = looks.map(function (_, i) {
        return i;
      });
      var spare = places.filter(function (i) {
        return tells(rows, places.filter(function (other) {
          return other !== i;
        }));
      });
      var core = places.filter(function (i) {
        return spare.indexOf(i) < 0;
      });
      for (var size = 0; size < spare.length; size += 1) {
        var best = null;
        choices(spare, size).forEach(function (extra) {
          var few = core.concat(extra);
          var cost = few.reduce(function (sum, i) {
            return sum + Math.pow(4, family.questions[looks[i]].effort);
          }, 0);
          if ((!best || cost < best[0]) && tells(rows, few)) best = [cost, few];
        });
        if (best) {
          return best[1].sort(function (a, b) {
            return a - b;
          }).map(function (i) {
            return looks[i];
          });
        }
      }
      return looks;
    }

    function looksFor(number, machines) {
      var doubt = family.looks[number];
      var here = meet(machines, mask(doubt[0]));
      var holds = meet(here, mask(doubt[1]));
      for (var i = 0; i < doubt[2].length; i += 1) {
        var looks = doubt[2][i].filter(function (look) {
          return isOpen(look, here);
        });
        if (settles(looks, holds, here)) return fewest(looks, holds, here);
      }
      return ["variant"];
    }

    /* A doubt asks for the same looks as long as the machine is the same. */
    function looksOf(number, machines) {
      if (found.machines !== machines) {
        found = new Map();
        found.machines = machines;
      }
      if (!found.has(number)) found.set(number, looksFor(number, machines));
      return found.get(number);
    }

    // ---- trees

    function leaf(tree, machines) {
      while (tree && tree.t !== undefined) tree = holds(tree.t, machines) ? tree.y : tree.n;
      return tree;
    }

    function holds(test, machines) {
      if (typeof test === "number") return touches(machines, mask(test));
      return looksOf(test[0], machines).join() === looksOf(test[1], machines).join();
    }

    function verdict(tree, machines) {
      var value = leaf(tree, machines);
      return { out: value === OUT, settled: value === SETTLED, looks: value >= LOOK ? looksOf(value - LOOK, machines) : [] };
    }

    // ---- one procedure

    function procedure(data, machines) {
      var frames = family.frames;
      var said = {};
      var boxes = {};
      var count = 0;
      var spent = null;
      var shown = [];

      function asks(looks) {
        return looks.map(function (look) {
          return family.words[look][0];
        });
      }

      function listOf(html) {
        return cut(frames.list, [html]);
      }

      function answer(label, html) {
        return html ? cut(frames.answer, [label, html]) : cut(frames.nothing, [label]);
      }

      /* In full, unless whoever comes here has met it in full; what stands in a branch counts in that branch only. */
      function cautions(ids, mayBeLeftOut) {
        return ids.map(function (id) {
          var caution = data.cautions[id];
          if (said[id]) return anchored(caution[1], said[id]);
          boxes[id] = (boxes[id] || 0) + 1;
          var anchor = caution[2] + (boxes[id] > 1 ? "-" + boxes[id] : "");
          if (!mayBeLeftOut) said[id] = anchor;
          return anchored(caution[0], anchor);
        }).join("");
      }

      function anchored(html, anchor) {
        return html.split("\u0002anchor\u0003").join(anchor);
      }

      function apart(list) {
        var before = {};
        for (var id in said) before[id] = said[id];
        var html = items(list);
        said = before;
        return html;
      }

      /* Items and their minutes, which are not yet added to those before. */
      function timed(make) {
        var before = spent;
        spent = null;
        var made = [make(), spent];
        spent = before;
        return made;
      }

      /* What stands beside it is put in when all steps are known. */
      function step(number) {
        if (number < 0) return "";
        var made = data.steps[number];
        count += 1;
        shown.push(made);
        spent = sum(spent, made[MINUTES]);
        return made[HTML].replace(/\u0002(?:(cautions)|look(\d+)|(derived|state))\u0003/g, function (_, what, look, place) {
          if (what) return cautions(made[CAUTIONS], made[FLAGS] & MAY_BE_LEFT_OUT);
          if (place) return "\u0002" + place + " " + made[ANCHOR] + "\u0003";
          return joined(asks(looksOf(Number(look), machines)));
        });
      }

      /* The items' HTML; `ended` hears which end of a repeat's body was come to. */
      function items(list, ended) {
        var html = "";
        for (var i = 0; i < list.length; i += 1) {
          var item = list[i];
          if (item[0] === "e") ended(item[1]);
          else if (item[0] === "s" && item[2]) {
            var picked = leaf(item[1], machines);
            html += step(picked[0]);
            return html + items(item[2][picked[1]], ended);
          } else if (item[0] === "s") html += step(leaf(item[1], machines));
          else if (item[0] === "g") html += fork("", [item[1]], true);
          else if (item[0] === "f") html += fork(item[1], item[2], false);
          else if (item[0] === "r") html += repeat(item);
          else html += reach(item);
        }
        return html;
      }

      function fork(title, arms, alone) {
        var possible = arms.map(function (arm) {
          return [arm, verdict(arm[1], machines)];
        }).filter(function (each) {
          return !each[1].out;
        });
        if (possible.length === 1 && possible[0][1].settled) return items(possible[0][0][3] || possible[0][0][2]);
        var before = count;
        var looks = [];
        var minutes = alone ? [null] : [];
        var answers = possible.map(function (each) {
          each[1].looks.forEach(function (look) {
            if (looks.indexOf(look) < 0) looks.push(look);
          });
          var made = timed(function () {
            return apart(each[0][2]);
          });
          minutes.push(made[1]);
          return answer(each[0][0], made[0]);
        }).join("");
        if (count === before) return "";
        spent = sum(spent, oneOf(minutes));
        if (!looks.length) return cut(frames.block, [alone ? frames.one : title, answers]);
        var where = looks.filter(function (look) {
          return family.words[look].length > 1;
        }).map(function (look) {
          return family.words[look][1];
        }).join(" ");
        return cut(frames.look, [asks(looks).join(" "), where ? cut(frames.where, [where]) : "", answers]);
      }

      function repeat(item) {
        var end = 0;
        var before = count;
        var body = timed(function () {
          return items(item[2], function (number) {
            end = number;
          });
        });
        if (count === before) return "";
        if (body[1]) spent = sum(spent, [body[1][0], body[1][1], body[1][2] * item[4]]);
        var otherwise = timed(function () {
          return apart(item[3][end]);
        })[0];
        return cut(frames.block, [item[1], listOf(body[0]) + (otherwise ? answer(frames.still, otherwise) : "")]);
      }

      function reach(item) {
        var inner = items(item[2]);
        return inner ? cut(frames.block, [item[1], listOf(inner)]) : "";
      }

      // -- beside the steps

      function some(number) {
        return touches(machines, mask(number));
      }

      function shownAny(flag) {
        return shown.some(function (made) {
          return made[FLAGS] & flag;
        });
      }

      /* Texts of the pieces that hold; of one key the last, in the first's place. */
      function texts(pieces, doubts) {
        var found = new Map();
        pieces.forEach(function (number) {
          var piece = data.beside.pieces[number];
          var value = leaf(piece[1], machines);
          if (!value) return;
          found.set(piece[0], data.beside.texts[(value[0] || value) - 1]);
          if (value[1] !== undefined) looksOf(value[1], machines).forEach(function (look) {
            if (doubts.indexOf(look) < 0) doubts.push(look);
          });
        });
        return Array.from(found.values());
      }

      function lookFirst(doubts) {
        return doubts.length ? "Look first: " + asks(doubts).join(" ") : "";
      }

      /* Lines that say something, and at the end the looks that they hang on. */
      function lines(list, joins) {
        var doubts = [];
        var made = [];
        list.forEach(function (line) {
          var found = texts(line[1], doubts);
          if (found.length) made.push(lineOf(joins[line[0]], found));
        });
        var looks = lookFirst(doubts);
        return looks ? made.concat(["<small>" + looks + "</small>"]) : made;
      }

      function listed(list) {
        var pieces = frames.beside.derived;
        return list.length ? pieces[0] + list.join(pieces[1]) + pieces[2] : "";
      }

      /* The state in rows: [what stands in them, the looks that they hang on]. */
      function state(number, plugOut) {
        var made = data.beside.states[number];
        var doubts = [];
        var rows = [];
        made[0].forEach(function (line) {
          var found = texts(line[1], doubts);
          if (found.length) rows.push(frames.beside.rows[line[0]].concat([lineOf(frames.beside.list, found)]));
        });
        if (plugOut) rows.push(frames.beside.power[2]);
        else if (some(family.mains)) rows.push(frames.beside.power[leaf(made[1], machines)]);
        return [rows.map(function (row) {
          return cut([""].concat(frames.beside.row.slice(0, 2)), row);
        }).join(frames.beside.row[2]), lookFirst(doubts)];
      }

      function panel(made, around) {
        if (!made[0]) return around[2];
        if (!made[1]) return around[0] + made[0] + around[1];
        return around[0] + made[0] + frames.beside.hangs[0] + made[1] + frames.beside.hangs[1];
      }

      /* By anchor; a state that has not changed is not said again. */
      function beside(plugOut) {
        var found = {};
        var before = "";
        data.beside.done.forEach(function (done) {
          if (!some(done[1])) return;
          var made = state(done[3], plugOut);
          found[done[0]] = {
            derived: listed(lines(done[2], frames.beside.lines)),
            state: made[0] === before ? "" : panel(made, frames.beside.closed),
          };
          before = made[0];
        });
        return found;
      }

      function needs(plugOut) {
        var given = data.beside.needs;
        var plug = [plugOut || some(given[0]), some(given[1])];
        return frames.beside.plug.filter(function (_, i) {
          return plug[i];
        }).concat(lines(given[2], frames.beside.needs));
      }

      function leaves(plugOut) {
        var found = data.beside.leaves.filter(function (each) {
          return some(each[0]);
        })[0];
        return panel(found ? state(found[1], plugOut) : ["", ""], frames.beside.open);
      }

      /* Tools, blades and supplies, each once, in the order in which they are first needed. */
      function facts() {
        var found = [data.laid[0].slice(), [], []];
        shown.forEach(function (made) {
          found[0] = found[0].concat(made[TOOLS]);
          made[BLADES].forEach(function (each) {
            if (some(each[0])) found[1].push(each[1]);
          });
          found[2] = found[2].concat(made[SUPPLIES]);
        });
        var pieces = frames.beside.facts;
        var pairs = ["Tools", "Blades", "Supplies"].map(function (name, i) {
          return [name, Array.from(new Set(found[i])).map(function (id) {
            return data.laid[i + 1][id];
          }).join(", ")];
        }).filter(function (pair) {
          return pair[1];
        }).map(function (pair) {
          return pair.join(pieces[1]);
        });
        return pairs.length ? pieces[0] + pairs.join(pieces[2]) + pieces[4] : "";
      }

      var made = verdict(data.when, machines);
      var html = made.out ? "" : items(made.settled && data.settled ? data.settled : data.items);
      made.simulated = shownAny(HAS_EFFECTS);
      var plugOut = made.simulated && some(family.mains) && !shownAny(POWERED);
      var there = made.simulated ? beside(plugOut) : {};
      made.html = html.replace(/\u0002(derived|state) ([^\u0003]*)\u0003/g, function (_, place, anchor) {
        return there[anchor] ? there[anchor][place] : "";
      });
      made.count = count;
      made.minutes = minutesWords(spent);
      made.before = made.simulated ? needs(plugOut) : [];
      made.leaves = made.simulated ? leaves(plugOut) : "";
      made.facts = facts();
      return made;
    }

    return {
      within: within,
      any: any,
      clash: clash,
      some: function (machines, number) {
        return touches(machines, mask(number));
      },
      all: function (machines, number) {
        return !without(machines, mask(number));
      },
      isOpen: isOpen,
      verdict: verdict,
      procedure: procedure,
    };
  };
});
