/* The machine on the bench as found: kept on this device, named on every page, its links and its procedures.

   window.handwheelFound:
     read()        {text, family, variants, forms, name} of the chosen machine, or null
     choose(text)  keeps a machine; an Error with words where the text names what there is not
     leave()       forgets it
     href(text)    address of the page of the machine as found
     knows(family) whether machines of the family as found have pages; false where there are too many
   Data: what every page knows stands above this script; the rest is loaded where a machine is chosen. */
(function () {
  "use strict";

  var element = window.handwheelElements.element;
  var link = window.handwheelElements.link;
  var button = window.handwheelElements.button;
  var joined = window.handwheelElements.joined;
  var KEY = "handwheel.machine";
  var SAID = "handwheel.machine.said";
  var OTHERS = ".hw-machine, .hw-here, [data-hw-others]"; /* Links that lead to another machine on purpose. */
  var SHOWN = 6;
  var root = new URL("../", document.currentScript.src).href;
  var data = window.handwheelFoundData || {};
  var index = data[""] || { stamp: "", families: {} };
  var memory = {}; /* What could not be kept on the device lasts as long as the page. */
  var path = location.href.replace(/[?#].*$/, "").slice(root.length);

  // ---- what is kept

  function kept(key) {
    if (key in memory) return memory[key];
    try {
      return localStorage.getItem(key);
    } catch (error) {
      return null;
    }
  }

  function keep(key, text) {
    try {
      if (text === null) localStorage.removeItem(key);
      else localStorage.setItem(key, text);
      delete memory[key];
    } catch (error) {
      memory[key] = text;
    }
  }

  function listIn(text) {
    return text.split(",").filter(Boolean);
  }

  function has(map, key) {
    return Object.prototype.hasOwnProperty.call(map, key);
  }

  function readText(text) {
    var made = { text: text.replace(/^#/, ""), family: "", variants: null, forms: {}, name: "" };
    new URLSearchParams(made.text).forEach(function (value, key) {
      if (key === "m") made.family = value;
      else if (key === "v") made.variants = listIn(value);
      else if (key === "n") made.name = value;
      else if (key.slice(0, 2) === "f." && listIn(value).length) made.forms[key.slice(2)] = listIn(value);
    });
    return made;
  }

  function checked(text) {
    var made = readText(text);
    if (!has(index.families, made.family)) throw new Error("There is no family “" + made.family + "”.");
    var family = index.families[made.family];
    (made.variants || []).forEach(function (variant) {
      if (family.variants.indexOf(variant) < 0) throw new Error("There is no variant “" + variant + "” of " + family.name + ".");
    });
    Object.keys(made.forms).forEach(function (feature) {
      if (!has(family.features, feature)) throw new Error("There is no feature “" + feature + "” of " + family.name + ".");
      made.forms[feature].forEach(function (form) {
        if (family.features[feature].indexOf(form) < 0) throw new Error("“" + feature + "” has no form “" + form + "”.");
      });
    });
    return made;
  }

  function sound(text) {
    try {
      return text ? checked(text) : null;
    } catch (error) {
      return null;
    }
  }

  function read() {
    return (path === "found.html" && sound(location.hash.slice(1))) || sound(kept(KEY));
  }

  function choose(text) {
    keep(KEY, checked(text).text);
  }

  function leave() {
    keep(KEY, null);
    keep(SAID, null);
  }

  function href(text) {
    return root + "found.html#" + text;
  }

  function knows(family) {
    return has(index.families, family);
  }

  window.handwheelFound = { read: read, choose: choose, leave: leave, href: href, knows: knows };

  // ---- loading

  function loaded(file) {
    return new Promise(function (done, failed) {
      var script = document.createElement("script");
      script.src = root + "assets/" + file;
      script.onload = done;
      script.onerror = function () {
        failed(new Error("The file assets/" + file + " cannot be read."));
      };
      document.head.append(script);
    });
  }

  function dataOf(name) {
    if (has(data, name)) return Promise.resolve(data[name]);
    return loaded("found/" + name + ".js").then(function () {
      data = window.handwheelFoundData;
      return data[name];
    });
  }

  var opening = null;

  /* The family's data, what works on them, and the machines that the chosen one can be. */
  function opened(machine) {
    if (!opening) {
      opening = Promise.all([dataOf(machine.family), window.handwheelFoundEngine || loaded("found-engine.js")]).then(function (both) {
        var engine = window.handwheelFoundEngine(both[0]);
        return { family: both[0], engine: engine, here: engine.within(machine) };
      });
    }
    return opening;
  }

  // ---- words

  function plain(html) {
    return new DOMParser().parseFromString(html, "text/html").body.textContent;
  }

  function askOf(open, look) {
    return plain(open.family.words[look][0]);
  }

  function asks(open, looks) {
    return looks.map(function (look) {
      return askOf(open, look);
    }).join(" ");
  }

  /* What is not its own of one part: empty where it may be. */
  function origin(open, part) {
    function here(each) {
      return open.engine.some(open.here, each[each.length - 1]);
    }
    if (open.engine.some(open.here, part.own)) return "";
    if (open.engine.all(open.here, part.missing)) return part.name + " missing";
    var donors = part.from.filter(here).map(function (each) {
      return each[1];
    });
    var outside = part.outside.filter(here).map(function (each) {
      return each[0];
    });
    var ways = donors.length > 2 ? ["from another pattern"] : donors.length ? ["from " + joined(donors, "or")] : [];
    if (outside.length) ways.push("from outside (" + joined(outside, "or") + ")");
    if (open.engine.some(open.here, part.missing)) ways.push("missing");
    return part.name + " " + joined(ways, "or");
  }

  function described(machine, open) {
    var possible = open.family.variants.filter(function (each) {
      return open.engine.some(open.here, each[2]);
    });
    var names = possible.map(function (each) {
      return each[1];
    });
    var whole = possible.filter(function (each) {
      return open.engine.all(open.here, each[3]);
    });
    var what = names.length && names.length < 4 ? joined(names, "or") : open.family.name + ", pattern not settled";
    return {
      text: machine.text,
      stamp: index.stamp,
      clash: open.engine.any(open.here) ? null : asks(open, open.engine.clash(machine)),
      title: machine.name ? machine.name + " (" + what + ")" : what,
      foreign: open.family.parts.map(function (part) {
        return origin(open, part);
      }).filter(Boolean),
      built: whole.length && open.engine.any(open.here) ? whole[0][0] : "",
      out: outOf(open, open.family.procedures, 3),
      jobsOut: outOf(open, open.family.jobs, 2),
    };
  }

  function outOf(open, list, tree) {
    return list.filter(function (each) {
      return open.engine.verdict(each[tree], open.here).out;
    }).map(function (each) {
      return each[0];
    });
  }

  function noteOf(said) {
    if (said.clash !== null) return "no machine shows all this";
    if (said.built) return "as it left the works";
    return "as found: " + (said.foreign.length ? said.foreign.join("; ") : "nothing foreign seen");
  }

  /* What is said of the machine on every page; made once, and again when the site was built anew. */
  function summary(machine) {
    var before = null;
    try {
      before = JSON.parse(kept(SAID) || "null");
    } catch (error) {
      before = null;
    }
    if (before && before.text === machine.text && before.stamp === index.stamp) return Promise.resolve(before);
    return opened(machine).then(function (open) {
      var said = described(machine, open);
      keep(SAID, JSON.stringify(said));
      return said;
    });
  }

  // ---- links

  function addressOf(said, kind, id) {
    var out = kind === "procedures" ? said.out : said.jobsOut;
    if (said.built && out.indexOf(id) < 0) return "on/" + said.built + "/" + (kind === "jobs" ? "job-" : "") + id + ".html";
    return kind + "/" + id + ".html";
  }

  /* Kind, id and variant of a procedure's or a job's page; null for any other page. */
  function workOf(place) {
    var found = /^(procedures|jobs)\/([^/]+)\.html$/.exec(place);
    if (found) return { kind: found[1], id: found[2], variant: "" };
    found = /^on\/([^/]+)\/(job-)?([^/]+)\.html$/.exec(place);
    return found && found[3] !== "watch" ? { kind: found[2] ? "jobs" : "procedures", id: found[3], variant: found[1] } : null;
  }

  function lead(said, machine, a) {
    if (!a || a.closest(OTHERS) || a.href.slice(0, root.length) !== root) return;
    var url = new URL(a.href);
    var work = workOf(a.href.replace(/[?#].*$/, "").slice(root.length));
    var own = index.families[machine.family].variants;
    if (!work || (work.variant && own.indexOf(work.variant) < 0)) return;
    var better = root + addressOf(said, work.kind, work.id) + url.search + url.hash;
    if (better !== a.href) a.href = better;
  }

  function leadAll(said, machine) {
    document.querySelectorAll(".hw-page a[href]").forEach(function (a) {
      lead(said, machine, a);
    });
    ["pointerdown", "focusin", "click", "auxclick"].forEach(function (kind) {
      document.addEventListener(kind, function (event) {
        lead(said, machine, event.target.closest && event.target.closest("a[href]"));
      }, true);
    });
  }

  /* The step that is being read: the first that reaches below the top of the window. */
  function stepInSight() {
    var top = document.querySelector(".hw-step");
    if (!top || (!location.hash && scrollY < 40)) return "";
    var steps = Array.from(document.querySelectorAll(".hw-step[id]"));
    var there = steps.find(function (step) {
      return step.getBoundingClientRect().bottom > 120;
    });
    return there ? there.id : "";
  }

  /* Going to another machine's page keeps the step, or what stands there in its place. */
  function keepStep(event) {
    var a = event.target.closest && event.target.closest(".hw-machine .hw-actions a[href], [data-hw-others] a[href], a[data-hw-keep]");
    if (!a || !workOf(a.href.replace(/[?#].*$/, "").slice(root.length))) return;
    var step = stepInSight();
    var instead = a.dataset.hwSteps ? JSON.parse(a.dataset.hwSteps) : {};
    if (step) a.hash = "#" + (has(instead, step) ? instead[step] : step);
  }

  // ---- the bar

  function bar(said, machine) {
    var made = element("aside", "hw-machine hw-on-bench");
    var line = element("p");
    var acts = element("p", "hw-actions");
    made.setAttribute("aria-label", "Machine on the bench");
    line.append(element("span", "hw-label", "On the bench"), " ", link(said.title, href(machine.text)), " ", element("span", "hw-note", noteOf(said)));
    acts.append(link("Look again", root + "identify.html#" + machine.text, "hw-button"), button("Leave this machine", function () {
      leave();
      if (path === "found.html") history.replaceState(null, "", location.pathname);
      location.reload();
    }));
    made.append(line, acts);
    var other = elsewhere(said);
    if (other) made.append(other);
    return made;
  }

  /* Said on a page of another machine, with the way back to the same place on this one's. */
  function elsewhere(said) {
    var work = workOf(path);
    if (!work || !work.variant || work.variant === said.built) return null;
    var made = element("p", "hw-elsewhere");
    var out = (work.kind === "jobs" ? said.jobsOut : said.out).indexOf(work.id) >= 0;
    made.append(element("b", "", "This page is for another machine."), " ");
    if (out) made.append("The one on the bench does not have this work.");
    else {
      var back = link("The same for the machine on the bench", root + addressOf(said, work.kind, work.id), "hw-button");
      back.dataset.hwKeep = "";
      made.append(back);
    }
    return made;
  }

  function place(made) {
    var page = document.querySelector(".hw-page");
    var crumbs = page && page.querySelector(":scope > .hw-crumbs");
    if (crumbs) crumbs.after(made);
    else if (page) page.prepend(made);
  }

  // ---- pages

  function remark(words) {
    return element("p", "hw-remark", words);
  }

  function look(open, verdict) {
    return verdict.looks.length ? "look first: " + asks(open, verdict.looks) : "";
  }

  function linksTo(open, list, tree, address) {
    var made = element("ul", "hw-links");
    list.forEach(function (each) {
      var verdict = open.engine.verdict(each[tree], open.here);
      if (verdict.out) return;
      var item = element("li");
      var note = look(open, verdict);
      item.append(link(each[1], root + address(each[0])));
      if (note) item.append(" ", element("span", "", note));
      made.append(item);
    });
    return made;
  }

  function contradiction(said) {
    return remark("No machine shows all this. Look again: " + said.clash);
  }

  function showProcedure(said, machine, open, id) {
    var every = document.querySelector("[data-hw-every]");
    if (!every) return null;
    return dataOf(machine.family + "/" + id).then(function (compiled) {
      var section = element("section");
      var heading = element("h2", "", "For the machine on the bench");
      heading.id = "bench";
      section.append(heading);
      section.append.apply(section, said.clash !== null ? [contradiction(said)] : work(open, machine, id, compiled));
      var spot = document.createComment("");
      every.replaceWith(spot);
      (document.getElementById("which") || spot).before(section);
      section.append(everyButton(section, spot, every));
      section.querySelectorAll("[data-hw-ticks]").forEach(window.handwheelTicks || function () {});
      if (window.handwheelStates) window.handwheelStates();
      if (window.handwheelBench) window.handwheelBench.attach(section);
      return section;
    });
  }

  /* One of the two is in the page at a time, since both hold the same steps. */
  function everyButton(section, spot, every) {
    var made = element("p", "hw-actions");
    made.append(button("Show it for every pattern", function () {
      section.remove();
      spot.replaceWith(every);
    }));
    return made;
  }

  function work(open, machine, id, compiled) {
    var made = open.engine.procedure(compiled, open.here);
    var parts = [];
    if (made.out) return [remark("This machine does not have it.")];
    if (!made.count) return [element("p", "", "Nothing to do on this machine.")];
    if (!made.settled) parts.push(element("p", "hw-look-first", made.looks.length ? "Whether the machine has this work is open. Look first: " + asks(open, made.looks) : "Whether the machine needs this work is told by an earlier step."));
    if (made.facts) parts.push(built(made.facts));
    if (!made.simulated) parts.push(remark("Not simulated yet: its steps say what to do, not what they change."));
    if (made.before.length) parts.push(titled("hw-before", "Before you start", "<ul><li>" + made.before.join("</li><li>") + "</li></ul>"));
    var pieces = open.family.frames[made.minutes ? "timed" : "work"];
    var filled = ["", made.count].concat(made.minutes ? [made.minutes] : [], [made.html]);
    var box = built(pieces.map(function (piece, i) {
      return piece + (i < filled.length ? filled[i] : "");
    }).join(""));
    box.dataset.hwTicks = "found/" + machine.text + "/" + id;
    parts.push(box);
    if (made.simulated) parts.push(titled("hw-leaves", "What it leaves open", made.leaves));
    return parts;
  }

  /* The element that a fragment of the build makes. */
  function built(html) {
    var box = element("div");
    box.innerHTML = html;
    return box.firstElementChild;
  }

  function titled(className, words, html) {
    var made = element("section", className);
    made.append(element("h3", "", words), built(html));
    return made;
  }

  function showJob(said, open, id) {
    var order = document.querySelector("[data-hw-order]");
    var job = open.family.jobs.find(function (each) {
      return each[0] === id;
    });
    if (!order || !job) return;
    var made = element("div");
    var verdict = open.engine.verdict(job[2], open.here);
    var steps = job[3].map(function (procedure) {
      return open.family.procedures.find(function (each) {
        return each[0] === procedure;
      });
    }).filter(Boolean);
    made.append(element("h3", "", "For the machine on the bench"));
    if (said.clash !== null) made.append(contradiction(said));
    else if (verdict.out) made.append(remark("This machine does not have this job."));
    else {
      if (look(open, verdict)) made.append(element("p", "", "Whether it has this job is open. Look first: " + asks(open, verdict.looks)));
      made.append(linksTo(open, steps, 3, function (procedure) {
        return addressOf(said, "procedures", procedure);
      }));
    }
    order.replaceWith(made);
  }

  function showFound(said, machine, open) {
    var page = document.querySelector("[data-hw-found]");
    if (!page) return;
    page.replaceChildren(element("h2", "", said.title));
    if (said.clash !== null) page.append(contradiction(said));
    else page.append.apply(page, [].concat(foreignOf(said), openLooks(open, machine), naming(machine), jobsOf(said, open), workAreas(said, open)));
  }

  function foreignOf(said) {
    var list = element("ul");
    said.foreign.forEach(function (each) {
      list.append(element("li", "", each));
    });
    return [element("h3", "", "Not its own"), said.foreign.length ? list : element("p", "", said.built ? "Nothing: it is as it left the works." : "Nothing that was seen is from elsewhere.")];
  }

  function openLooks(open, machine) {
    var looks = open.family.order.filter(function (question) {
      return open.family.questions[question].looked && open.engine.isOpen(question, open.here);
    });
    var list = element("ul");
    var more = element("ul");
    looks.forEach(function (each, number) {
      var item = element("li", "", askOf(open, each) + " ");
      item.append(element("small", "", plain(open.family.words[each][1] || "")));
      (number < SHOWN ? list : more).append(item);
    });
    var parts = [element("h3", "", "Still open")];
    parts.push(looks.length ? list : element("p", "", "Nothing: every look is taken, or follows."));
    if (more.childNodes.length) {
      var fold = element("details", "hw-fold");
      fold.append(element("summary", "", looks.length - SHOWN === 1 ? "1 more look" : looks.length - SHOWN + " more looks"), more);
      parts.push(fold);
    }
    var acts = element("p", "hw-actions");
    acts.append(link("Look again", root + "identify.html#" + machine.text, "hw-button"));
    return looks.length ? parts.concat([acts]) : parts;
  }

  function naming(machine) {
    var box = element("p", "hw-note-field");
    var label = element("label", "", "Name it, if you like");
    var input = element("input");
    input.type = "text";
    input.id = label.htmlFor = "hw-name";
    input.value = machine.name;
    input.maxLength = 80;
    box.append(label, input, button("Keep the name", function () {
      var text = new URLSearchParams(machine.text);
      text.delete("n");
      if (input.value.trim()) text.append("n", input.value.trim());
      choose(text.toString().replace(/%2C/g, ","));
      history.replaceState(null, "", "#" + kept(KEY));
      location.reload();
    }));
    return [box];
  }

  function jobsOf(said, open) {
    var list = linksTo(open, open.family.jobs, 2, function (job) {
      return addressOf(said, "jobs", job);
    });
    return list.childNodes.length ? [element("h3", "", "Whole jobs"), list] : [];
  }

  function workAreas(said, open) {
    var areas = [];
    open.family.procedures.forEach(function (each) {
      if (areas.indexOf(each[2]) < 0) areas.push(each[2]);
    });
    return [].concat.apply([element("h3", "", "Procedures")], areas.map(function (area) {
      var list = linksTo(open, open.family.procedures.filter(function (each) {
        return each[2] === area;
      }), 3, function (procedure) {
        return addressOf(said, "procedures", procedure);
      });
      return list.childNodes.length ? [element("h4", "", area), list] : [];
    }));
  }

  // ---- the page's own start

  function shown(said, machine) {
    var work = workOf(path);
    if (path !== "found.html" && (!work || work.variant)) return Promise.resolve();
    return opened(machine).then(function (open) {
      if (!work) return showFound(said, machine, open);
      return work.kind === "jobs" ? showJob(said, open, work.id) : showProcedure(said, machine, open, work.id);
    });
  }

  function toHash() {
    var target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target && path !== "found.html") target.scrollIntoView();
  }

  function start() {
    var machine = read();
    document.addEventListener("click", keepStep, true);
    document.addEventListener("auxclick", keepStep, true);
    if (path === "found.html") {
      addEventListener("hashchange", function () {
        if (sound(location.hash.slice(1))) location.reload();
      });
      if (machine) choose(machine.text);
    }
    if (!machine) return;
    summary(machine).then(function (said) {
      place(bar(said, machine));
      return shown(said, machine).then(function () {
        leadAll(said, machine);
        if (workOf(path)) toHash();
        document.documentElement.dataset.hwFound = "shown";
      });
    }).catch(function (error) {
      place(remark("The machine on the bench cannot be shown here. " + error.message));
    });
  }

  if (document.querySelector(".hw-page")) start();
  /* That page was drawn before it could offer the machine as found. */
  if (path === "identify.html") dispatchEvent(new HashChangeEvent("hashchange"));
})();
