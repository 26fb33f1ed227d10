/* Ticks that stay, and state panels that are open where there is room. Every page works without this file. */
(function () {
  "use strict";

  function kept(key) {
    try {
      return JSON.parse(localStorage.getItem(key)) || [];
    } catch (error) {
      return [];
    }
  }

  function keep(key, ids) {
    try {
      if (ids.length) localStorage.setItem(key, JSON.stringify(ids));
      else localStorage.removeItem(key);
    } catch (error) {
      /* Storage is off or full: the ticks last as long as the page. */
    }
  }

  function button(words, act) {
    var made = document.createElement("button");
    made.type = "button";
    made.className = "hw-button";
    made.textContent = words;
    made.addEventListener("click", act);
    return made;
  }

  function ticks(work) {
    var key = "handwheel.ticks." + work.dataset.hwTicks;
    var boxes = Array.from(work.querySelectorAll(".hw-do input"));
    var says = work.querySelector("[data-hw-progress]");
    var again = button("Clear the ticks", function () {
      boxes.forEach(function (box) {
        box.checked = false;
      });
      changed();
      boxes[0].focus();
    });

    function show() {
      var done = boxes.filter(function (box) {
        return box.checked;
      });
      var next = boxes.find(function (box) {
        return !box.checked;
      });
      boxes.forEach(function (box) {
        var step = box.closest(".hw-step");
        step.classList.toggle("hw-done", box.checked);
        if (box === next && done.length) step.setAttribute("aria-current", "step");
        else step.removeAttribute("aria-current");
      });
      if (says) says.textContent = (done.length ? done.length + " of " : "") + boxes.length + (boxes.length === 1 ? " step" : " steps") + (done.length ? " ticked" : "");
      again.hidden = !done.length;
    }

    function changed() {
      keep(key, boxes.filter(function (box) {
        return box.checked;
      }).map(function (box) {
        return box.value;
      }));
      show();
    }

    if (!boxes.length) return;
    var before = kept(key);
    boxes.forEach(function (box) {
      box.checked = before.indexOf(box.value) >= 0;
      box.addEventListener("change", changed);
    });
    if (says) says.parentNode.append(" ", again);
    show();
  }

  /* Sums stay folded until they are asked for, on paper all stand open. */
  function openAll(open, which) {
    document.querySelectorAll(which || ".hw-state:not(.hw-sum)").forEach(function (panel) {
      panel.open = open;
    });
  }

  document.querySelectorAll("[data-hw-ticks]").forEach(ticks);
  window.handwheelTicks = ticks; /* for steps that are put in later */

  var wide = matchMedia("(min-width: 60em)");
  function openIfWide() {
    if (wide.matches) openAll(true);
  }

  openIfWide();
  window.handwheelStates = openIfWide; /* for panels that are put in later */
  wide.addEventListener("change", function () {
    openAll(wide.matches);
  });
  addEventListener("beforeprint", function () {
    openAll(true, ".hw-state");
  });
  addEventListener("afterprint", function () {
    openAll(wide.matches);
  });
})();
