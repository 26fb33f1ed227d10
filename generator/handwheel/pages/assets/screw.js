/* What screw is this: ranks threads for a measured diameter and pitch, from the table that the build compiled.

   window.handwheelScrew (module.exports under node):
     identify(data, reading)   {candidates: [{name, probability, at}], none}; lengths in metres
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

  function show(place, data, form) {
    place.textContent = "";
    var found;
    try {
      found = identify(data, read(form, data));
    } catch (error) {
      add(place, "p", error.message);
      return;
    }
    var shown = found.candidates.slice(0, 6);
    if (!shown.length) add(place, "p", "No thread of any series here comes near. Measure again, over more threads.");
    shown.forEach(function (each) {
      candidate(place, data.threads[each.at], each.probability, form.metal.value);
    });
    add(place, "p", "None of the series here: " + percent(found.none) + ".");
    add(place, "p", "Nothing here is certain. Try it by hand in a hole that may be spoilt, and force nothing.");
    add(place, "p", data.assumed);
  }

  function candidate(place, thread, probability, metal) {
    add(place, "h3", thread.told + ": " + words(probability) + ", " + percent(probability));
    var list = add(place, "ul", "");
    add(list, "li", thread.sizes);
    if (!thread.verified) add(list, "li", "Unverified: the thread is known from memory only. Measure more than one screw.");
    thread.beware.forEach(function (line) {
      add(list, "li", "Beware of " + line);
    });
    add(list, "li", thread.blade ? "Blade of a new screw: " + thread.blade : "Blade: measure the slot.");
    add(list, "li", "In " + metal + ": " + thread.gives[metal]);
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

  return { identify: identify, start: start };
});
