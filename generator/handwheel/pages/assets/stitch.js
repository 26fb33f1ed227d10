/* What does this regulator sew: a sewn sample worked out as engineering/stitch_trials.py does.

   window.handwheelStitch (module.exports under node):
     told(data, sewn, marking, error, wanted)   lines; sewn: [{length, count, position|null, forward}], lengths in metres
     settings(data, sewn, error)                [{position, forward, stretches, value, expanded}]
   The page works without this file: how to measure and the table stand on it. */
(function (root, factory) {
  "use strict";
  var made = factory();
  if (typeof module === "object" && module.exports) module.exports = made;
  else {
    root.handwheelStitch = made;
    made.start(root.document, root.handwheelStitchData);
  }
})(typeof self !== "undefined" ? self : this, function () {
  "use strict";

  var INCH = 0.0254;

  function sum(values) {
    return values.reduce(function (a, b) {
      return a + b;
    }, 0);
  }

  function mean(values) {
    return sum(values) / values.length;
  }

  // Student's distribution: Abramowitz and Stegun 26.7.3 and 26.7.4, inverted by halving.
  function inside(angle, degrees) {
    var cos = Math.cos(angle);
    var odd = degrees % 2;
    var term = odd ? cos : 1;
    var total = degrees === 1 ? 0 : term;
    for (var k = 2 + odd; k < degrees; k += 2) {
      term *= (cos * cos * (k - 1)) / k;
      total += term;
    }
    return odd ? (2 / Math.PI) * (angle + Math.sin(angle) * total) : Math.sin(angle) * total;
  }

  function studentsT(data, degrees) {
    if (degrees === Infinity) return data.normal;
    var whole = Math.min(Math.floor(degrees + 1e-9), data.most);
    var low = 0;
    var high = Math.PI / 2;
    for (var n = 0; n < 60; n++) {
      var angle = (low + high) / 2;
      if (inside(angle, whole) < data.coverage) low = angle;
      else high = angle;
    }
    return Math.sqrt(whole) * Math.tan((low + high) / 2);
  }

  function combine(value, parts) {
    var u = Math.sqrt(sum(parts.map(function (p) { return p.u * p.u; })));
    var shares = u ? sum(parts.map(function (p) { return Math.pow(p.u / u, 4) / p.degrees; })) : 0;
    return { value: value, u: u, degrees: shares ? Math.max(1, 1 / shares) : Infinity };
  }

  function expanded(data, measured) {
    return studentsT(data, measured.degrees) * measured.u;
  }

  function within(value, range, what, scale, unit) {
    if (value >= range[0] && value <= range[1]) return value;
    throw new Error(what + " must be from " + range[0] * scale + " to " + range[1] * scale + " " + unit + ".");
  }

  function stitch(data, each) {
    within(each.length, data.stretch, "A measured length", 1000, "mm");
    if (!(each.count >= data.fewest) || each.count !== Math.floor(each.count))
      throw new Error("Count whole stitches, at least " + data.fewest + ".");
    return within(each.length / each.count, data.stitch, "The stitch length of the sample", 1000, "mm");
  }

  function stitchOf(data, stretches, error) {
    var common = error / Math.sqrt(3);
    var lengths = stretches.map(function (each) { return stitch(data, each); });
    if (lengths.length === 1) return { value: lengths[0], u: common / stretches[0].count, degrees: Infinity };
    var middle = mean(lengths);
    var square = sum(lengths.map(function (x) { return (x - middle) * (x - middle); })) / (lengths.length - 1);
    var count = mean(stretches.map(function (each) { return each.count; }));
    return combine(middle, [
      { u: Math.sqrt(square / lengths.length), degrees: lengths.length - 1 },
      { u: common / count, degrees: Infinity },
    ]);
  }

  function grouped(data, sewn, error) {
    within(error, data.error, "The rule's error", 1000, "mm");
    var groups = [];
    sewn.forEach(function (each) {
      var found = groups.filter(function (g) { return g.position === each.position && g.forward === each.forward; })[0];
      if (!found) groups.push((found = { position: each.position, forward: each.forward, stretches: [] }));
      found.stretches.push(each);
    });
    groups.forEach(function (group) {
      var way = group.forward ? "forward" : "reverse";
      group.length = stitchOf(data, group.stretches, error);
      group.name = group.position === null ? way.charAt(0).toUpperCase() + way.slice(1) : "At " + group.position + ", " + way;
    });
    return groups;
  }

  function settings(data, sewn, error) {
    return grouped(data, sewn, error).map(function (g) {
      return { position: g.position, forward: g.forward, stretches: g.stretches.length, value: g.length.value, expanded: expanded(data, g.length) };
    });
  }

  function mm(value, digits) {
    return (value * 1000).toFixed(digits);
  }

  function signed(value, digits) {
    var text = mm(value, digits);
    return text.charAt(0) === "-" ? text : "+" + text;
  }

  function differs(value, give) {
    return Math.abs(value) > give ? "differs" : "no difference can be told";
  }

  function lengthWords(data, length) {
    var give = expanded(data, length);
    var high = give < length.value ? (INCH / (length.value - give)).toFixed(2) : "no upper end";
    return mm(length.value, 3) + " mm a stitch, give or take " + mm(give, 3) + " mm; " + (INCH / length.value).toFixed(2) +
      " stitches to the inch (" + (INCH / (length.value + give)).toFixed(2) + " to " + high + ").";
  }

  function promised(data, mark, marking) {
    if (marking === "inch") return INCH / within(mark, data.perInch, "Stitches to the inch", 1, "to the inch");
    return within(mark / 1000, data.stitch, "The stitch length marked", 1000, "mm");
  }

  function markWords(data, group, marking) {
    var right = promised(data, group.position, marking);
    var off = group.length.value - right;
    var give = expanded(data, group.length);
    return group.name + ": sews " + mm(group.length.value, 2) + " mm, marked " + mm(right, 2) + " mm: " + signed(off, 2) +
      " mm, known to " + mm(give, 2) + " mm; " + differs(off, give) + ".";
  }

  function bothWays(data, groups) {
    var lines = [];
    groups.forEach(function (each) {
      var other = groups.filter(function (g) { return !g.forward && g.position === each.position; })[0];
      if (!each.forward || !other) return;
      var both = combine(each.length.value - other.length.value, [each.length, other.length]);
      var give = expanded(data, both);
      var at = each.position === null ? "" : " at " + each.position;
      lines.push("Forward less reverse" + at + ": " + signed(both.value, 3) + " mm, known to " + mm(give, 3) + " mm; " + differs(both.value, give) + ".");
    });
    return lines;
  }

  function lineThrough(tried, data) {
    var xs = tried.map(function (t) { return t.position; });
    var ys = tried.map(function (t) { return stitch(data, t); });
    var centre = mean(xs);
    var middle = mean(ys);
    var squares = sum(xs.map(function (x) { return (x - centre) * (x - centre); }));
    var slope = sum(xs.map(function (x, n) { return (x - centre) * (ys[n] - middle); })) / squares;
    var left = sum(xs.map(function (x, n) { return Math.pow(ys[n] - middle - slope * (x - centre), 2); }));
    var at = function (x) { return middle - slope * centre + slope * x; };
    return { slope: slope, squares: squares, centre: centre, at: at, degrees: xs.length - 2, residual: Math.sqrt(left / (xs.length - 2)) };
  }

  function scale(data, tried, error, wanted) {
    var places = tried.map(function (t) { return t.position; }).filter(function (x, n, all) { return all.indexOf(x) === n; });
    places.sort(function (a, b) { return a - b; });
    if (places.length < 3)
      return wanted !== null || places.length ? ["A scale needs stretches sewn forward at three or more positions; two cannot show a bend."] : [];
    var line = lineThrough(tried, data);
    if (line.slope === 0) throw new Error("Every position sews the same length: the regulator does not act.");
    var misfit = Math.max.apply(null, tried.map(function (each) { return Math.abs(stitch(data, each) - line.at(each.position)); }));
    var last = places[places.length - 1];
    var lines = ["Scale of the regulator from " + places[0] + " to " + last + ": " + signed(line.slope, 3) +
      " mm a step; furthest off the line " + mm(misfit, 3) + " mm."];
    if (wanted !== null) lines.push(setTo(data, tried, line, places, error, wanted));
    return lines;
  }

  function setTo(data, tried, line, places, error, wanted) {
    var last = places[places.length - 1];
    var ends = [line.at(places[0]), line.at(last)];
    within(wanted, [Math.min(ends[0], ends[1]), Math.max(ends[0], ends[1])], "The stitch length wanted", 1000, "mm, the lengths it was tried at");
    var x = Math.min(Math.max((wanted - line.at(0)) / line.slope, places[0]), last);
    var fewest = Math.min.apply(null, tried.map(function (t) { return t.count; }));
    var off = x - line.centre;
    var found = combine(line.at(x), [
      { u: line.residual * Math.sqrt(1 / tried.length + (off * off) / line.squares), degrees: line.degrees },
      { u: error / Math.sqrt(3) / fewest, degrees: Infinity },
    ]);
    return "For " + Number((wanted * 1000).toPrecision(6)) + " mm set it to " + x.toFixed(2) + ": " + lengthWords(data, found);
  }

  function told(data, sewn, marking, error, wanted) {
    var groups = grouped(data, sewn, error);
    var lines = [];
    groups.forEach(function (each) {
      lines.push(each.name + ": " + lengthWords(data, each.length));
      if (each.stretches.length === 1)
        lines.push("One stretch shows no spread: the figure holds the rule's error only. Sew and count another.");
      if (marking && each.position !== null) lines.push(markWords(data, each, marking));
    });
    lines = lines.concat(bothWays(data, groups));
    if (marking) return lines;
    var tried = sewn.filter(function (each) { return each.forward && each.position !== null; });
    return lines.concat(scale(data, tried, error, wanted));
  }

  function number(field, what) {
    var text = field.value.trim().replace("−", "-");
    if (/^-?(\d+\.?\d*|\.\d+)$/.test(text)) return Number(text);
    throw new Error(what + " must be a number, written with a point.");
  }

  function optional(field, what) {
    return field.value.trim() === "" ? null : number(field, what);
  }

  function read(form) {
    var unit = form.unit.value === "in" ? INCH : 0.001;
    var sewn = [];
    for (var n = 1; form["over" + n]; n++) {
      if (form["over" + n].value.trim() === "" && form["count" + n].value.trim() === "") continue;
      sewn.push({
        length: number(form["over" + n], "The length of stretch " + n) * unit,
        count: number(form["count" + n], "The stitches of stretch " + n),
        position: optional(form["at" + n], "The mark of stretch " + n),
        forward: form["way" + n].value === "forward",
      });
    }
    if (!sewn.length) throw new Error("Write a length and the stitches counted in it.");
    return sewn;
  }

  function answer(form, data) {
    try {
      var wanted = optional(form.wanted, "The stitch length wanted");
      var marking = form.marking.value === "none" ? null : form.marking.value;
      var error = number(form.error, "The rule's error") / 1000;
      return told(data, read(form), marking, error, wanted === null ? null : wanted / 1000);
    } catch (error) {
      return [error.message];
    }
  }

  function start(document, data) {
    var form = document && document.getElementById("hw-stitch");
    if (!form || !data) return;
    form.hidden = false;
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var place = document.getElementById("hw-stitch-answer");
      place.textContent = "";
      answer(form, data).forEach(function (line) {
        var made = document.createElement("p");
        made.textContent = line;
        place.appendChild(made);
      });
    });
  }

  return { told: told, settings: settings, start: start };
});
