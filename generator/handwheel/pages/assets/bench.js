/* Notes at the steps: kept on this device at once, listed and handed out on notes.html. */
(function () {
  "use strict";

  var element = window.handwheelElements.element;
  var button = window.handwheelElements.button;
  var KEY = "handwheel.notes";
  var FORMAT = "handwheel-notes";
  var VERSION = 1;
  var LONGEST = 2000;
  var NUMBER = /^-?\d{1,9}(\.\d{1,9})?$/;
  var count = 0;
  var memory = null; /* What could not be kept on the device. */

  function valid(note) {
    return note && typeof note === "object" && typeof note.step === "string" && typeof note.kind === "string" && typeof note.time === "string";
  }

  function stored() {
    var read = null;
    try {
      read = JSON.parse(localStorage.getItem(KEY) || "[]");
    } catch (error) {
      return null;
    }
    return Array.isArray(read) ? read.filter(valid) : null;
  }

  function all() {
    return memory || stored() || [];
  }

  /* True when the notes are on the device; else they last as long as the page. */
  function keep(notes) {
    try {
      if (notes.length) localStorage.setItem(KEY, JSON.stringify(notes));
      else localStorage.removeItem(KEY);
      memory = null;
      return true;
    } catch (error) {
      memory = notes;
      return false;
    }
  }

  function same(a, b) {
    return a.step === b.step && a.anchor === b.anchor && a.time === b.time && a.machine === b.machine && a.kind === b.kind && a.text === b.text && a.value === b.value;
  }

  function add(note) {
    return keep(all().concat([note]));
  }

  function remove(note) {
    return keep(all().filter(function (each) {
      return !same(each, note);
    }));
  }

  function machine() {
    var bar = document.querySelector(".hw-machine[data-hw-variant]");
    if (bar && bar.dataset.hwVariant) return bar.dataset.hwVariant;
    var found = window.handwheelFound && window.handwheelFound.read();
    return found && found.text ? found.text : "";
  }

  function field(id, words, input) {
    var box = element("p", "hw-note-field");
    var label = element("label", "", words);
    label.htmlFor = input.id = id;
    box.append(label, input);
    return box;
  }

  function says(note) {
    if (note.kind === "reading") return note.reading + ": " + note.value + " " + note.unit;
    return (note.kind === "otherwise" ? "Went otherwise: " : "") + note.text;
  }

  function day(note) {
    return note.time.slice(0, 16).replace("T", " ");
  }

  /* One kept note in a list, with a button that takes it away. */
  function line(note, after) {
    var item = element("li");
    var text = element("span", "", says(note));
    text.dir = "auto";
    var away = button("Remove", function () {
      remove(note);
      after();
    });
    away.setAttribute("aria-label", "Remove: " + says(note));
    item.append(text, " ", element("small", "", day(note)), " ", away);
    return item;
  }

  function bench(step, number) {
    var data = step.dataset;
    var body = step.querySelector(".hw-body");
    var words = step.querySelector(".hw-do span");
    var measures = data.hwMeasures ? JSON.parse(data.hwMeasures) : [];
    var fold = element("details", "hw-bench");
    var summary = element("summary");
    var list = element("ul", "hw-notes");
    var told = element("p", "hw-note-told");
    told.setAttribute("role", "status");
    if (!body || !words) return;

    function mine(note) {
      return note.step === data.hwStep && note.anchor === step.id && note.machine === machine();
    }

    function show() {
      var notes = all().filter(mine);
      summary.textContent = (measures.length ? "Note or reading" : "Note") + (notes.length ? " (" + notes.length + " kept)" : "");
      list.replaceChildren();
      notes.forEach(function (note) {
        list.append(line(note, show));
      });
      list.hidden = !notes.length;
    }

    function taken(note) {
      note.step = data.hwStep;
      note.anchor = step.id;
      note.machine = machine();
      note.digest = data.hwDigest || "";
      note.words = words.textContent.slice(0, LONGEST);
      note.time = new Date().toISOString();
      told.textContent = add(note) ? "Kept on this device." : "This browser cannot keep it: storage is off or full. Hand the notes out before you leave this page.";
      if (memory) told.append(" ", button("Hand the notes out", handOut));
      show();
    }

    function reading(each, place) {
      var input = element("input");
      var row = field("hw-read-" + number + "-" + place, each[1] + " in " + each[2], input);
      input.type = "text";
      input.inputMode = "decimal";
      input.autocomplete = "off";
      row.append(button("Keep the reading", function () {
        var value = input.value.trim().replace(",", ".");
        if (!NUMBER.test(value)) {
          told.textContent = "A number is wanted, such as 0.85.";
          input.setAttribute("aria-invalid", "true");
          input.focus();
          return;
        }
        input.removeAttribute("aria-invalid");
        input.value = "";
        taken({ kind: "reading", reading: each[0], value: value, unit: each[2] });
      }));
      return row;
    }

    function written() {
      var input = element("textarea");
      var row = field("hw-note-" + number, "What you saw or did", input);
      input.rows = 2;
      input.maxLength = LONGEST;
      function take(kind) {
        return function () {
          var text = input.value.trim();
          if (!text) {
            told.textContent = "Write a word first.";
            input.focus();
            return;
          }
          input.value = "";
          taken({ kind: kind, text: text });
        };
      }
      row.append(button("Keep the note", take("note")), " ", button("It went otherwise", take("otherwise")));
      return row;
    }

    fold.append(summary);
    measures.forEach(function (each, place) {
      fold.append(reading(each, place));
    });
    fold.append(written(), told, list);
    show();
    body.append(fold);
  }

  function asDocument() {
    var keys = ["step", "anchor", "machine", "digest", "words", "time", "kind", "text", "reading", "value", "unit"];
    var notes = all().map(function (note) {
      var made = {};
      keys.forEach(function (key) {
        if (typeof note[key] === "string" && note[key]) made[key] = note[key];
      });
      return made;
    });
    return { format: FORMAT, version: VERSION, made: new Date().toISOString(), notes: notes };
  }

  function handOut() {
    var text = JSON.stringify(asDocument(), null, 2) + "\n";
    var link = element("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = "bench-notes-" + new Date().toISOString().slice(0, 10) + ".json";
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(function () {
      URL.revokeObjectURL(link.href);
    }, 1000);
  }

  function listAll(place) {
    var root = place.dataset.hwNotes;
    var handed = false;

    function clear() {
      var sure = button("Yes, clear them", function () {
        keep([]);
        handed = false;
        show();
      });
      actions.append(sure);
      sure.focus();
    }

    var actions = element("p", "hw-actions");

    function group(name, notes) {
      var list = element("ul", "hw-notes");
      notes.forEach(function (note) {
        var item = line(note, show);
        var procedure = note.step.split("/")[0];
        if (/^[a-z0-9.-]+$/.test(note.machine) && /^[a-z0-9.-]+$/.test(procedure)) {
          var link = element("a", "", note.words || note.step);
          link.href = root + "on/" + note.machine + "/" + procedure + ".html#" + encodeURIComponent(note.anchor || "");
          item.prepend(link, " ");
        } else {
          item.prepend(element("i", "", note.words || note.step), " ");
        }
        list.append(item);
      });
      place.append(element("h2", "", name), list);
    }

    function show() {
      var notes = all();
      var groups = new Map();
      notes.forEach(function (note) {
        var name = note.machine || "Machine not said";
        groups.set(name, (groups.get(name) || []).concat([note]));
      });
      place.replaceChildren();
      place.append(element("p", "", notes.length ? notes.length + (notes.length === 1 ? " note" : " notes") + " on this device." : "No notes yet. Open a procedure of a machine and unfold Note at a step."));
      groups.forEach(function (each, name) {
        group(name, each);
      });
      actions.replaceChildren();
      if (notes.length) {
        actions.append(button("Hand out as one file", function () {
          handOut();
          if (!handed) actions.append(button("Clear the notes", clear));
          handed = true;
        }));
        place.append(actions);
      }
    }
    show();
  }

  /* Steps below a place that have no notes yet; for pages that write their steps later. */
  function attach(place) {
    place.querySelectorAll(".hw-step[data-hw-step]").forEach(function (step) {
      if (!step.querySelector(".hw-bench")) bench(step, (count += 1));
    });
  }

  function start() {
    attach(document);
    document.querySelectorAll("[data-hw-notes]").forEach(listAll);
  }

  window.handwheelBench = { attach: attach };
  /* The machine as found is known to a script that comes later. */
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
