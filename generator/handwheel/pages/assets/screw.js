/* What screw is this: ranks threads for a measured diameter and pitch, from the table that the build compiled.

   window.handwheelScrew (module.exports under node):
     identify(data, reading)   {candidates: [{name, probability, at}], none}; lengths in metres
     driven(data, slot)        {blade, bears} for {width, length, depth} in metres, depth may lack; null: no blade fits
     ends(data, thread, metal, driven, clamp)   {low, high, what}; torques in N m, clamp in N or null
   Every page works without this file: the table of threads stands on it. */
(function (root, factory) {
  "use strict";
  var made = factory();
  if (typeof module === "object" && module.exports) module.exports = made;
  else {
    root.handwheelScrew = made;
    made.start(root.document, root.handwheelScrewData);
  }
})(typeof self !== "undefined" ? self : this, function () {
  "use strict";

  // The normal distribution function: a series of positive terms near the middle, a continued fraction in the tails.
  function below(z) {
    var x = Math.abs(z) / Math.SQRT2;
    var tail = x < 3 ? 1 - erf(x) : erfcFar(x);
    return z < 0 ? tail / 2 : 1 - tail / 2;
  }

  function erf(x) {
    var term = x;
    var sum = x;
    for (var n = 1; n < 200 && term > sum * 1e-18; n++) {
      term *= (2 * x * x) / (2 * n + 1);
      sum += term;
    }
    return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
  }

  function erfcFar(x) {
    var f = 0;
    for (var k = 120; k > 0; k--) f = k / 2 / (x + f);
    return Math.exp(-x * x) / Math.sqrt(Math.PI) / (x + f);
  }

  function likelihood(thread, reading, sigmas) {
    var sigma = reading.diameterError / sigmas;
    var spread = reading.pitchError / sigmas;
    var low = below((reading.diameter - thread.low) / sigma);
    var high = below((reading.diameter - thread.diameter) / sigma);
    var off = (reading.pitch - thread.pitch) / spread;
    var onPitch = Math.exp((-off * off) / 2) / (spread * Math.sqrt(2 * Math.PI));
    return (Math.max(0, low - high) / (thread.diameter - thread.low)) * onPitch;
  }

  function identify(data, reading) {
    var each = (1 - data.none) / data.threads.length;
    var masses = data.threads.map(function (thread) {
      return each * likelihood(thread, reading, data.sigmas);
    });
    var total = masses.reduce(function (a, b) {
      return a + b;
    }, data.none / data.field);
    var sum = 0;
    var found = [];
    masses.forEach(function (mass, at) {
      var share = ((data.threads[at].verified ? 1 : data.trust) * mass) / total;
      sum += share;
      if (share > 1e-6) found.push({ name: data.threads[at].name, probability: share, at: at });
    });
    found.sort(function (a, b) {
      return b.probability - a.probability || (a.name < b.name ? -1 : 1);
    });
    return { candidates: found, none: Math.max(0, 1 - sum) };
  }

  // The thickest blade that enters, then the widest that the slot holds; T = s t b^2 / 6 for what the slot bears.
  function driven(data, slot) {
    var fitting = data.blades.filter(function (tip) {
      return tip.thickest <= slot.width + 1e-9 && tip.width <= slot.length + 1e-9;
    });
    fitting.sort(function (a, b) {
      return b.thickness - a.thickness || b.width - a.width;
    });
    if (!fitting.length) return null;
    var breadth = Math.min(fitting[0].width, slot.length);
    return { blade: fitting[0], bears: slot.depth ? (data.bearing * slot.depth * breadth * breadth) / 6 : null };
  }

  function ends(data, thread, metal, drive, clamp) {
    var gives = thread.gives[metal];
    var found = { low: clamp === null ? null : clamp * thread.clamps, high: gives[0], what: gives[1] };
    if (drive && drive.bears !== null && drive.bears < found.high) {
      found.high = drive.bears;
      found.what = "the slot gives way from " + torque(data, drive.bears);
    }
    if (drive && drive.blade.tested < found.high) {
      found.high = drive.blade.tested;
      found.what = "the blade gives way from " + torque(data, drive.blade.tested);
    }
    return found;
  }

  function figures(value) {
    return String(Number(value.toPrecision(3)));
  }

  function force(value) {
    return figures(value) + " N (" + figures(value / 4.4482216152605) + " lbf)";
  }

  function torque(data, value) {
    var both = figures(value) + " N m (" + figures(value / 0.1129848290276167) + " in lbf)";
    return value > data.handle.most ? both : both + ", " + force(value / (data.handle.diameter / 2)) + data.words.rim;
  }

  function percent(p) {
    if (p > 0.99) return "over 99 %";
    return p < 0.01 ? "under 1 %" : Math.round(100 * p) + " %";
  }

  function words(p) {
    return p >= 0.9 ? "very likely" : p >= 0.5 ? "likely" : p >= 0.05 ? "possible" : "unlikely";
  }

  function number(field) {
    var text = field.value.trim().replace("−", "-");
    if (text === "" && field.dataset.hwUsual) text = field.dataset.hwUsual;
    var fraction = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text);
    if (fraction) return Number(fraction[1] || 0) + Number(fraction[2]) / Number(fraction[3]);
    return /^\d*\.?\d+$|^\d+\.$/.test(text) ? Number(text) : NaN;
  }

  function within(value, range, what) {
    if (value >= range[0] && value <= range[1]) return value;
    throw new Error(what + " must be a number from " + range[0] * 1000 + " to " + range[1] * 1000 + " mm, written with a point.");
  }

  function read(form, data) {
    var inch = form.unit.value === "in" ? 0.0254 : 0.001;
    var pitch = number(form.pitch);
    pitch = form.count.value === "tpi" ? 0.0254 / pitch : pitch * 0.001;
    return {
      diameter: within(number(form.diameter) * inch, data.ranges.diameter, "The diameter"),
      pitch: within(pitch, data.ranges.pitch, "The pitch"),
      diameterError: within(number(form.error) * 0.001, data.ranges.diameterError, "The error of the diameter"),
      pitchError: within(number(form.pitchError) * 0.001, data.ranges.pitchError, "The error of the pitch"),
    };
  }

  function add(parent, tag, text) {
    var made = parent.ownerDocument.createElement(tag);
    made.textContent = text;
    parent.appendChild(made);
    return made;
  }

  function told(field) {
    return field.value.trim() !== "";
  }

  // The slot as measured; null where none is told. Width and length go together.
  function slotOf(form, ranges) {
    if (!told(form.slotWidth) && !told(form.slotLength) && !told(form.slotDepth)) return null;
    var depth = told(form.slotDepth);
    return {
      width: within(number(form.slotWidth) * 0.001, ranges.slotWidth, "The width of the slot"),
      length: within(number(form.slotLength) * 0.001, ranges.slotLength, "The length of the slot"),
      depth: depth ? within(number(form.slotDepth) * 0.001, ranges.slotDepth, "The depth of the slot") : null,
    };
  }

  function clampOf(form) {
    if (!told(form.clamp)) return null;
    var value = number(form.clamp);
    if (value > 0 && value <= 1e6) return value;
    throw new Error("The clamp must be a number of newtons, more than 0, written with a point.");
  }

  function show(place, data, form) {
    place.textContent = "";
    var found, slot, clamp;
    try {
      found = identify(data, read(form, data));
      slot = slotOf(form, data.ranges);
      clamp = clampOf(form);
    } catch (error) {
      add(place, "p", error.message);
      return;
    }
    var shown = found.candidates.slice(0, 6);
    if (!shown.length) add(place, "p", "No thread of any series here comes near. Measure again, over more threads.");
    var metal = form.metal.value;
    var drive = slot && driven(data, slot);
    if (slot) add(place, "p", "Blade: " + driveWords(data, drive));
    shown.forEach(function (each) {
      var thread = data.threads[each.at];
      var list = candidate(place, thread, each.probability, !slot);
      add(list, "li", "In " + metal + ": " + windowWords(data, ends(data, thread, metal, drive, clamp), clamp));
    });
    add(place, "p", "None of the series here: " + percent(found.none) + ".");
    add(place, "p", "Nothing here is certain. Try it by hand in a hole that may be spoilt, and force nothing.");
    add(place, "p", data.assumed);
  }

  function driveWords(data, drive) {
    if (!drive) return "none of ISO 2380-1 fits this slot. Grind one for it, or measure the slot again.";
    var blade = drive.blade.name + " fits the slot; " + drive.blade.told;
    if (drive.bears === null) return blade + "; measure the depth of the slot to see what it bears.";
    return blade + "; the slot gives way from " + torque(data, drive.bears) + ", if the blade stands on its ground.";
  }

  function windowWords(data, found, clamp) {
    if (found.low === null) return found.what + ".";
    var below = force(clamp) + " of clamp may take " + torque(data, found.low);
    return (found.low > found.high ? data.words.closed + ": " : "") + below + "; " + found.what + ".";
  }

  function candidate(place, thread, probability, usual) {
    add(place, "h3", thread.told + ": " + words(probability) + ", " + percent(probability));
    var list = add(place, "ul", "");
    add(list, "li", thread.sizes);
    if (!thread.verified) add(list, "li", "Unverified: the thread is known from memory only. Measure more than one screw.");
    thread.beware.forEach(function (line) {
      add(list, "li", "Beware of " + line);
    });
    if (usual) add(list, "li", thread.blade ? "Blade of a new screw: " + thread.blade : "Blade: measure the slot.");
    return list;
  }

  function start(document, data) {
    var form = document && document.getElementById("hw-screw");
    if (!form || !data) return;
    form.hidden = false;
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      show(document.getElementById("hw-screw-answer"), data, form);
    });
  }

  return { identify: identify, driven: driven, ends: ends, start: start };
});
