/* Which machine is this: one question at a time, any other on request; the state stands in the address.

   window.handwheelIdentifyPage (module.exports under node):
     readState(text), writeState(state)   the text after `#`, both ways
     evidenceOf(data, state)              what identify.js takes
     inDoubt(data, state, answer)         features seen once that another look would settle
     sentence(data, answer)               the machine so far
   The data of each family come from assets/identify-FAMILY.js; identify.js judges and plans. */
(function (root, factory) {
  "use strict";
  if (typeof module === "object" && module.exports) module.exports = factory(require("./elements.js"));
  else {
    root.handwheelIdentifyPage = factory(root.handwheelElements);
    root.handwheelIdentifyPage.start(root, root.document);
  }
})(typeof self !== "undefined" ? self : this, function (elements) {
  "use strict";

  var make = elements.make;
  var button = elements.button;
  var joined = elements.joined;
  var SHOWN = 12;

  // ---- the state and its text

  function emptyState() {
    return { family: "", forms: {}, again: [], unseen: [], skipped: [], markings: {}, serial: "", mass: "", name: "" };
  }

  function listIn(text) {
    return text.split(",").filter(Boolean);
  }

  function readState(text) {
    var state = emptyState();
    new URLSearchParams(text.replace(/^#/, "")).forEach(function (value, key) {
      if (key === "m") state.family = value;
      else if (key === "c") state.unseen = listIn(value);
      else if (key === "again") state.again = listIn(value);
      else if (key === "skip") state.skipped = listIn(value);
      else if (key === "s") state.serial = value;
      else if (key === "kg") state.mass = value;
      else if (key === "n") state.name = value;
      else if (key.slice(0, 2) === "f." && listIn(value).length) state.forms[key.slice(2)] = listIn(value);
      else if (key.slice(0, 2) === "k.") state.markings[key.slice(2)] = value === "no" ? "no" : "yes";
    });
    state.again = state.again.filter(function (feature, i) {
      return state.forms[feature] && state.again.indexOf(feature) === i;
    });
    return state;
  }

  function writeState(state, variants) {
    var text = new URLSearchParams();
    if (state.family) text.append("m", state.family);
    if (variants && variants.length) text.append("v", variants.join(","));
    Object.keys(state.forms).sort().forEach(function (feature) {
      text.append("f." + feature, state.forms[feature].join(","));
    });
    if (state.again.length) text.append("again", state.again.slice().sort().join(","));
    if (state.unseen.length) text.append("c", state.unseen.slice().sort().join(","));
    Object.keys(state.markings).sort().forEach(function (marking) {
      text.append("k." + marking, state.markings[marking]);
    });
    if (state.serial) text.append("s", state.serial);
    if (state.mass) text.append("kg", state.mass);
    if (state.skipped.length) text.append("skip", state.skipped.join(","));
    if (state.name) text.append("n", state.name);
    return text.toString().replace(/%2C/g, ",");
  }

  function evidenceOf(data, state, engine) {
    var looks = Object.keys(state.forms).map(function (feature) {
      return { feature: feature, forms: state.forms[feature], care: "sure" };
    });
    state.again.forEach(function (feature) {
      looks.push({ feature: feature, forms: state.forms[feature], care: "sure" });
    });
    state.unseen.forEach(function (feature) {
      if (data.looks[feature] && !state.forms[feature]) looks.push({ feature: feature, forms: [], care: "sure" });
    });
    var markings = [];
    Object.keys(state.markings).forEach(function (id) {
      if (!data.markings[id]) throw new Error("unknown marking '" + id + "'");
      if (state.markings[id] === "yes") markings.push(id);
      else if (data.markings[id].trait) looks.push({ feature: data.markings[id].trait, forms: ["not seen"], care: "sure" });
    });
    return {
      looks: looks,
      markings: markings,
      serial: state.serial ? engine.readSerial(state.serial) : null,
      measured: state.mass ? [{ quantity: "mass", value: kilograms(state.mass), error: data.scaleError }] : [],
    };
  }

  /* Seen once, and likely wrong, or a part that never changes hands and is not that of a pattern still in play. */
  function inDoubt(data, state, answer) {
    var doubted = {};
    answer.lookAgain.forEach(function (pair) {
      traitsOf(data, pair[0]).forEach(function (feature) {
        doubted[feature] = true;
      });
    });
    answer.top.forEach(function (one, place) {
      if (place === 0 || one.probability >= 0.05) one.misfits.forEach(function (misfit) {
        if (misfit.neverSwapped) doubted[misfit.feature] = true;
      });
    });
    return Object.keys(state.forms).filter(function (feature) {
      return doubted[feature] && state.again.indexOf(feature) < 0;
    });
  }

  /* What can be seen of a part. */
  function traitsOf(data, carrier) {
    var found = data.engine.carriers.filter(function (each) {
      return each.id === carrier;
    });
    return found.length ? found[0].traits.map(function (number) {
      return data.engine.traits[number].id;
    }) : [];
  }

  /* What was seen of each feature, by all looks at it. */
  function formsSeen(evidence) {
    var seen = {};
    evidence.looks.forEach(function (look) {
      if (look.forms.length) seen[look.feature] = look.forms;
    });
    return seen;
  }

  /* Combinations among what was seen that a variant cannot have. */
  function barsOn(data, evidence, variant) {
    var seen = formsSeen(evidence);
    return data.barred.filter(function (bar) {
      return bar[0].indexOf(variant) >= 0 && bar[1].every(function (pair) {
        return seen[pair[0]] && seen[pair[0]].every(function (form) {
          return pair[1].indexOf(form) >= 0;
        });
      });
    });
  }

  function isOf(bar, feature) {
    return bar[1].some(function (pair) {
      return pair[0] === feature;
    });
  }

  function barWords(data, evidence, variant, bar) {
    var seen = formsSeen(evidence);
    var looks = bar[1].map(function (pair) {
      return featureName(data, pair[0]) + ": " + joined(seen[pair[0]].map(function (form) {
        return formName(data, pair[0], form);
      }), "or");
    });
    return variantName(data, variant) + " cannot have " + joined(looks, "and") + (looks.length > 1 ? " together. " : ". ") + bar[2];
  }

  function kilograms(text) {
    var value = /^\s*\d+([.,]\d+)?\s*$/.test(text) ? Number(text.replace(",", ".")) : NaN;
    if (!(value > 0 && value < 1000)) throw new Error("Write the mass in kilograms, as 12.4.");
    return value;
  }

  // ---- words

  function inHundred(share) {
    if (share > 0.99) return "more than 99 in 100";
    return share < 0.01 ? "less than 1 in 100" : evenRound(share * 100) + " in 100";
  }

  /* Halves go to the even number, as they do where the terminal writes them. */
  function evenRound(x) {
    var low = Math.floor(x);
    if (x - low !== 0.5) return Math.round(x);
    return low % 2 ? low + 1 : low;
  }

  function likely(share) {
    if (share >= 0.9) return "very likely";
    if (share >= 0.5) return "likely";
    return share >= 0.05 ? "possible" : "unlikely";
  }

  function built(years) {
    if (!years) return "";
    return years[0] === years[1] ? ", built " + years[0] : ", built " + years[0] + " to " + years[1];
  }

  function featureName(data, feature) {
    return data.engine.names.features[feature] || feature;
  }

  function formName(data, feature, form) {
    var look = data.looks[feature];
    if (form === "missing") return "missing";
    return look && look.forms[form] ? look.forms[form].name : form;
  }

  function variantName(data, variant) {
    return data.engine.names.variants[variant] || variant;
  }

  function sentence(data, answer) {
    var sure = inHundred(answer.probability);
    var names = joined(answer.inPlay.map(function (v) {
      return variantName(data, data.engine.variants[v]);
    }), "or");
    if (answer.verdict === "nothing seen") return "Nothing was seen yet: it may be any of " + data.engine.variants.length + " patterns, or one not written down.";
    if (answer.verdict === "impossible") return "No machine shows all this: some look must be wrong.";
    if (answer.verdict === "fits none") return "It fits none of the patterns written down here (" + sure + ").";
    if (answer.verdict === "open") {
      var other = "a pattern not written down (" + inHundred(answer.none) + ")";
      return "It may be " + (noneLeads(answer) ? other + ", or " + names + built(answer.years) : names + built(answer.years) + ", or " + other) + ".";
    }
    var together = answer.verdict === "alike" ? " together), and nothing tells these apart" : ")";
    var said = "It is " + names + " (" + sure + together + built(answer.years);
    var changed = answer.top.length ? answer.top[0].changed : [];
    [["; not its own: ", false], ["; missing: ", true]].forEach(function (kind) {
      var names = changed.filter(function (one) {
        return (one.likeliest === "missing") === kind[1];
      }).map(function (one) {
        return featureName(data, one.carrier);
      });
      if (names.length) said += kind[0] + joined(names, "and");
    });
    return said + ".";
  }

  /* Whether a pattern that is not written down is likelier than any one that is; compared as identify.js compares. */
  function noneLeads(answer) {
    return answer.top.every(function (one) {
      return Math.floor(answer.none * 1e9 + 0.5) > Math.floor(one.probability * 1e9 + 0.5);
    });
  }

  function accountWords(data, account) {
    var words = data.words.notOwn[account.likeliest];
    if (account.likeliest === "donor" && account.donors.length) {
      words += ", as on " + joined(account.donors.map(function (id) {
        return variantName(data, id);
      }), "or");
    }
    var share = account.chances[1] + account.chances[2] + account.chances[3] + account.chances[4];
    if (account.likeliest === "missing") return featureName(data, account.carrier) + " is likely missing (" + inHundred(share) + ").";
    return featureName(data, account.carrier) + " is likely not its own: " + words + " (" + inHundred(share) + ").";
  }

  // ---- the page

  function start(window, document) {
    var place = document && document.getElementById("hw-identify");
    var families = window.handwheelIdentifyData;
    var engine = window.handwheelIdentify;
    if (!place || !families || !engine) return;
    var ids = Object.keys(families);
    var open = null;
    var several = null;
    var fillRest = null;
    var moved = false;
    var current = null;

    function drawing(html) {
      var box = make("span", { class: "hw-drawn", "aria-hidden": "true" });
      box.innerHTML = html; // the shop's own drawing, read and put in order by the build
      return html ? box : null;
    }

    function state() {
      var found = readState(window.location.hash);
      if (!found.family && ids.length === 1) found.family = ids[0];
      return found;
    }

    function go(next) {
      open = null;
      several = null;
      moved = true;
      var text = "#" + writeState(next);
      if (window.location.hash === text) show();
      else window.location.hash = text;
    }

    function changed(change) {
      var next = state();
      change(next);
      go(next);
    }

    function forget(next, look) {
      delete next.forms[look];
      [next.again, next.unseen, next.skipped].forEach(function (list) {
        if (list.indexOf(look) >= 0) list.splice(list.indexOf(look), 1);
      });
      if (look === "serial") next.serial = "";
      if (look === "mass") next.mass = "";
    }

    function show() {
      var now = state();
      var data = Object.prototype.hasOwnProperty.call(families, now.family) ? families[now.family] : null;
      place.textContent = "";
      current = null;
      fillRest = null;
      if (!data) {
        live.textContent = "";
        place.append(choice(now));
        focus("[data-hw-focus]");
        return;
      }
      var answer;
      try {
        var evidence = evidenceOf(data, now, engine);
        answer = engine.identify(data.engine, evidence, {}, SHOWN);
      } catch (error) {
        place.append(make("p", { class: "hw-remark", role: "alert" }, ["This address cannot be read: " + error.message + "."]), make("p", {}, [
          button("Begin again", function () {
            go(Object.assign(emptyState(), { family: now.family }));
          }),
        ]));
        return;
      }
      [soFar(data, now, answer), question(data, now, evidence, answer), others(data, now), written(data, now), seen(data, now, evidence, answer), fits(data, evidence, answer), ending(now)].forEach(function (part) {
        if (part) place.append(part);
      });
      focus(current ? "[data-hw-focus]" : ".hw-sofar");
    }

    /* On the question, or at the end on what it is, from where the next key leads on. */
    function focus(where) {
      if (moved) place.querySelector(where).focus();
      moved = false;
    }

    function choice(now) {
      var section = make("section", { class: "hw-one" });
      if (now.family) section.append(make("p", { class: "hw-remark", role: "alert" }, ["No machines called “" + now.family + "” are written down here."]));
      section.append(make("h2", { tabindex: "-1", "data-hw-focus": "" }, ["Which of these does it look like?"]));
      var list = section.appendChild(make("ul", { class: "hw-answers" }));
      ids.forEach(function (id) {
        list.append(make("li", {}, [button(families[id].name, function () {
          go(Object.assign(emptyState(), { family: id }));
        }), make("p", {}, [families[id].about])]));
      });
      return section;
    }

    // the sentence, and where it leads
    function soFar(data, now, answer) {
      var section = make("section", { class: "hw-sofar", tabindex: "-1", "aria-label": "The machine so far" });
      live.textContent = sentence(data, answer);
      section.append(make("p", { class: "hw-label" }, [data.name]), make("p", { class: "hw-sentence" }, [live.textContent]));
      var over = !asked(now, answer);
      if (over) section.append.apply(section, notItsOwn(data, answer));
      if (!answer.stop && (answer.verdict === "settled" || answer.verdict === "alike")) section.append(make("p", {}, ["That is enough to go on with. The looks below confirm it: parts that never change hands may still tell another pattern."]));
      var ends = make("p", { class: "hw-actions" });
      var variants = answer.inPlay.map(function (v) {
        return data.engine.variants[v];
      });
      var found = window.handwheelFound;
      var offered = found && variants.length && answer.verdict !== "nothing seen";
      var few = offered && !found.knows(now.family);
      var stands = answer.inPlay.some(function (v) {
        return answer.possible[v];
      });
      if (few || answer.verdict === "settled" || answer.verdict === "alike" || (over && answer.verdict === "open" && variants.length === 1)) {
        variants.forEach(function (id) {
          ends.append(make("a", { class: "hw-button", href: data.variants[id] }, ["Go to " + variantName(data, id)]));
        });
      }
      if (over && answer.verdict === "open") section.append(make("p", {}, ["The looks do not settle it." + (offered && !few && stands ? " Go on with it as found: a step that hangs on a doubt then says so." : "")]));
      if (few) section.append(make("p", {}, ["Its pages as found cannot be offered: exchanged parts make more machines of this family than can be worked out at once. The pages of a pattern hold for it as it left the works."]));
      else if (offered && !stands) section.append(make("p", {}, ["No machine shows all this, so it cannot be used as found: look again at what is in doubt, or take it back."]));
      else if (offered) {
        if (over && answer.verdict !== "open") section.append(make("p", {}, ["The page of the pattern shows it as it left the works; as found, every page shows the work on this very machine."]));
        ends.append(button("Use this machine as found", function () {
          var text = writeState(now, variants);
          found.choose(text);
          window.location.href = found.href(text);
        }));
      }
      if (ends.childNodes.length) section.append(ends);
      return section;
    }

    /* Of the machine that leads, what came from elsewhere; or that nothing seen did. */
    function notItsOwn(data, answer) {
      if (answer.inPlay.length !== 1 || ["settled", "open"].indexOf(answer.verdict) < 0) return [];
      var leads = answer.top[0];
      if (leads.changed.length) return leads.changed.map(function (account) {
        var words = accountWords(data, account);
        return make("p", {}, [words.charAt(0).toUpperCase() + words.slice(1)]);
      });
      return answer.verdict === "settled" ? [make("p", {}, ["No part that was looked at seems to come from elsewhere."])] : [];
    }

    /* The look that is asked for: the one that was opened, else the next best, unless enough was seen. */
    function asked(now, answer) {
      if (open) return open;
      if (["settled", "alike", "fits none", "impossible"].indexOf(answer.stop) >= 0) return "";
      var left = answer.next.filter(function (worth) {
        return now.skipped.indexOf(worth.id) < 0 && now.unseen.indexOf(worth.id) < 0;
      });
      return left.length ? left[0].id : "";
    }

    // one question
    function question(data, now, evidence, answer) {
      var look = asked(now, answer);
      if (!look) return whatNext(data, now, evidence, answer);
      current = look;
      return data.looks[look] ? formQuestion(data, now, look) : readingQuestion(data, now, look);
    }

    /* When nothing is left to ask: what may still settle it, first what may be wrong, then what was not seen. */
    function whatNext(data, now, evidence, answer) {
      var list = make("ul", { class: "hw-plain hw-rows" });
      var number = numberOfOthers(data, answer);
      inDoubt(data, now, answer).forEach(function (feature) {
        list.append(row([seenWords(data, now, feature), make("small", {}, [doubt(data, evidence, answer, feature)])], [opener("Look again", feature, "Look again: " + featureName(data, feature)), sameAgain(data, now, feature)]));
      });
      if (now.serial && number) list.append(row([number], [opener("Read it again", "serial")]));
      if (["settled", "fits none", "impossible"].indexOf(answer.verdict) < 0) tellingUnseen(data, now).forEach(function (look) {
        list.append(row([lookName(data, look), make("small", {}, ["not seen: it may still tell"])], [opener("Look now", look, "Look now: " + lookName(data, look))]));
      });
      var left = list.childNodes.length > 0;
      return make("section", { class: "hw-one" }, [
        make("h2", {}, [endHeading(answer, left)]),
        answer.stop && answer.stop !== "settled" ? make("p", {}, [data.words.stops[answer.stop]]) : null,
        left ? list : null,
        answer.verdict === "fits none" ? make("p", {}, ["The address at the end of this page holds all that you saw: send it to whoever writes these pages."]) : null,
        make("p", { class: "hw-soft" }, ["Any other look stands under “Look at something else”."]),
        now.skipped.length ? make("p", { class: "hw-actions" }, [button("Ask what was skipped", function () {
          changed(function (next) {
            next.skipped = [];
          });
        })]) : null,
      ]);
    }

    function endHeading(answer, left) {
      if (answer.verdict === "impossible") return "Some look must be wrong";
      if (answer.verdict === "settled") return left ? "Enough was seen; make sure of this" : "Enough was seen";
      return left ? "What to do next" : "Nothing more to ask";
    }

    /* Of the looks that could not be taken the few that would tell most for their time. */
    function tellingUnseen(data, now) {
      var without = evidenceOf(data, Object.assign({}, now, { unseen: [] }), engine);
      return engine.identify(data.engine, without, {}, 1).next.map(function (worth) {
        return worth.id;
      }).filter(function (look) {
        return now.unseen.indexOf(look) >= 0;
      }).slice(0, 3);
    }

    function doubt(data, evidence, answer, feature) {
      var bars = answer.inPlay.length === 1 ? barsOn(data, evidence, answer.top[0].variant) : [];
      var bar = bars.find(function (each) {
        return isOf(each, feature);
      });
      if (bar) return barWords(data, evidence, answer.top[0].variant, bar);
      var share = 0;
      answer.lookAgain.forEach(function (pair) {
        if (traitsOf(data, pair[0]).indexOf(feature) >= 0) share = pair[1];
      });
      return share ? "the look may be wrong (" + inHundred(share) + ")" : "a part that never changes hands: make sure of it";
    }

    /* Whose number it is, where that is another pattern than the one that the rest tells. */
    function numberOfOthers(data, answer) {
      function misses(one) {
        return one.misfits.some(function (misfit) {
          return misfit.reading && misfit.feature === "serial";
        });
      }
      if (!answer.top.length || !misses(answer.top[0])) return "";
      var theirs = answer.top.filter(function (one) {
        return !misses(one);
      }).map(function (one) {
        return variantName(data, one.variant);
      });
      return theirs.length ? "The serial number is one of " + joined(theirs, "or") + "; what was looked at is not" : "The serial number is none of those written down";
    }

    function row(words, buttons) {
      return make("li", {}, [make("span", {}, words), make("span", { class: "hw-actions" }, buttons)]);
    }

    function formQuestion(data, now, feature) {
      var look = data.looks[feature];
      var section = make("section", { class: "hw-one" }, [
        make("h2", { tabindex: "-1", "data-hw-focus": "" }, [look.ask]),
        make("p", { class: "hw-where" }, [look.where + (look.where ? " " : "") + "It takes " + look.effort + "."]),
        look.how ? make("p", {}, [look.how]) : null,
        look.swapped ? make("p", { class: "hw-soft" }, [look.swapped]) : null,
      ]);
      var list = section.appendChild(make("ul", { class: "hw-answers" }));
      look.answers.forEach(function (form, number) {
        var on = several && several.indexOf(form) >= 0;
        list.append(make("li", {}, [make("button", {
          type: "button", class: "hw-button hw-form", "data-hw-form": form, "aria-pressed": several ? String(on) : null,
          onclick: function () {
            pick(feature, form);
          },
        }, [
          form === "missing" ? null : drawing(look.forms[form].figure),
          make("span", {}, [make("small", { "aria-hidden": "true" }, [number + 1 + " "]), form === "missing" ? "The part is missing" : formName(data, feature, form), on ? " (chosen)" : ""]),
        ])]));
      });
      section.append(make("p", { class: "hw-actions" }, [
        several ? button("It is one of these", function () {
          if (several.length) answered(feature, several);
        }) : button("This or that: choose several", function () {
          several = [];
          redraw("[data-hw-form]");
        }),
        several ? button("Choose one after all", function () {
          several = null;
          redraw("[data-hw-form]");
        }) : null,
        button("I cannot see it", function () {
          changed(function (next) {
            forget(next, feature);
            next.unseen.push(feature);
          });
        }),
        skip(feature),
      ]));
      return section;
    }

    function redraw(focus) {
      open = current;
      show();
      place.querySelector(focus).focus();
    }

    function skip(look) {
      return button("Skip for now", function () {
        changed(function (next) {
          if (next.skipped.indexOf(look) < 0) next.skipped.push(look);
        });
      });
    }

    function pick(feature, form) {
      if (!several) return answered(feature, [form]);
      var at = several.indexOf(form);
      if (at >= 0) several.splice(at, 1);
      else several.push(form);
      redraw("[data-hw-form='" + form + "']");
    }

    function answered(feature, forms) {
      var order = families[state().family].looks[feature].answers;
      changed(function (next) {
        forget(next, feature);
        next.forms[feature] = order.filter(function (form) {
          return forms.indexOf(form) >= 0;
        });
      });
    }

    function readingQuestion(data, now, name) {
      var serial = name === "serial";
      var input = make("input", { id: "hw-reading", autocomplete: "off", inputmode: serial ? "text" : "decimal", "aria-describedby": "hw-reading-how hw-reading-wrong" });
      input.value = serial ? now.serial : now.mass;
      var wrong = make("p", { id: "hw-reading-wrong", role: "alert" });
      var form = make("form", { class: "hw-reading" }, [
        make("label", { for: "hw-reading" }, [serial ? "Serial number" : "Mass in kilograms"]), input,
        make("p", { id: "hw-reading-how" }, [serial ? "Write ? for a character that cannot be read, and [38] for a 3 or an 8." : "The bare head on a hanging scale; a twentieth of a kilogram is near enough."]), wrong,
        make("p", { class: "hw-actions" }, [
          make("button", { type: "submit", class: "hw-button" }, ["Use it"]),
          button(serial ? "I cannot read it" : "I cannot weigh it", function () {
            changed(function (next) {
              forget(next, name);
              next.unseen.push(name);
            });
          }),
          skip(name),
        ]),
      ]);
      form.addEventListener("submit", function (event) {
        event.preventDefault();
        var text = input.value.trim();
        try {
          if (serial && text && !/[^? .-]/.test(text)) throw new Error("No character of it could be read: choose “I cannot read it”.");
          if (serial) engine.readSerial(text);
          else kilograms(text);
        } catch (error) {
          wrong.textContent = error.message;
          input.focus();
          return;
        }
        changed(function (next) {
          forget(next, name);
          next[serial ? "serial" : "mass"] = text;
        });
      });
      return make("section", { class: "hw-one" }, [
        make("h2", { tabindex: "-1", "data-hw-focus": "" }, [serial ? "What is its serial number?" : "What does the head weigh?"]),
        serial && data.serialLook ? make("p", { class: "hw-where" }, [data.serialLook]) : null, form,
      ]);
    }

    function lookName(data, look) {
      return data.words.instruments[look] || featureName(data, look);
    }

    function seenWords(data, now, feature) {
      return featureName(data, feature) + ": " + joined(now.forms[feature].map(function (form) {
        return formName(data, feature, form);
      }), "or") + (now.again.indexOf(feature) < 0 ? "" : " (looked twice)");
    }

    function sameAgain(data, now, feature) {
      return button("Looked again, the same", function () {
        changed(function (next) {
          next.again.push(feature);
        });
      }, { "aria-label": "Looked again, the same: " + seenWords(data, now, feature) });
    }

    // what was seen, and taking it back
    function seen(data, now, evidence, answer) {
      var list = make("ul", { class: "hw-plain hw-rows" });
      /* Once nothing is asked any more, what is in doubt stands above. */
      var doubted = asked(now, answer) ? inDoubt(data, now, answer) : [];
      function line(words, look, back) {
        list.append(row([words], [button("Take back", function () {
          changed(back);
        }, { "aria-label": "Take back: " + words }), doubted.indexOf(look) < 0 ? null : sameAgain(data, now, look)]));
      }
      Object.keys(now.forms).forEach(function (feature) {
        line(seenWords(data, now, feature), feature, function (next) {
          forget(next, feature);
        });
      });
      now.unseen.forEach(function (look) {
        line(lookName(data, look) + ": cannot be seen", look, function (next) {
          forget(next, look);
        });
      });
      Object.keys(now.markings).forEach(function (id) {
        line(data.markings[id].name + (now.markings[id] === "yes" ? ": it is there" : ": it is not there"), id, function (next) {
          delete next.markings[id];
        });
      });
      if (now.serial) line("serial number: " + now.serial, "serial", function (next) {
        next.serial = "";
      });
      if (now.mass) line("mass: " + now.mass + " kg", "mass", function (next) {
        next.mass = "";
      });
      if (!list.childNodes.length) return null;
      var section = make("section", {}, [make("h2", {}, ["What you saw"]), list]);
      if (answer.againstAll && answer.verdict !== "impossible") section.append(make("p", { class: "hw-remark" }, ["No machine that can stand here shows all this: a look is wrong, or the pattern is not written down."]));
      engine.sayClashes(data.engine, evidence, answer.clashes).forEach(function (words) {
        section.append(make("p", { class: "hw-remark" }, [words]));
      });
      if (asked(now, answer)) answer.lookAgain.forEach(function (pair) {
        section.append(make("p", {}, ["Look again at " + featureName(data, pair[0]) + ": the look may be wrong (" + inHundred(pair[1]) + ")."]));
      });
      return section;
    }

    // what fits, and why the rest does not
    function fits(data, evidence, answer) {
      if (answer.verdict === "impossible") return null;
      var section = make("section", {}, [make("h2", {}, ["What still fits"])]);
      var still = section.appendChild(make("ul", { class: "hw-plain hw-fits" }));
      var rest = make("ul", { class: "hw-plain" });
      function explain(one) {
        var fitting = one.probability >= 0.05;
        var item = make("li", {}, [
          make("a", { href: data.variants[one.variant] }, [variantName(data, one.variant)]),
          make("span", {}, [": " + likely(one.probability) + ", " + inHundred(one.probability)]),
        ]);
        var lines = one.changed.map(function (account) {
          return accountWords(data, account);
        });
        var bars = barsOn(data, evidence, one.variant);
        if (!fitting || !lines.length) lines = one.misfits.filter(function (misfit) {
          return misfit.neverSwapped || !bars.some(function (bar) {
            return isOf(bar, misfit.feature);
          });
        }).map(function (misfit) {
          return engine.sayMisfit(data.engine, one.variant, misfit);
        });
        lines = lines.concat(bars.map(function (bar) {
          return barWords(data, evidence, one.variant, bar);
        }));
        if (!lines.length && !fitting) lines = ["Nothing seen speaks against it alone; the others fit better."];
        if (lines.length) item.append(make("ul", {}, lines.map(function (words) {
          return make("li", {}, [words]);
        })));
        (fitting ? still : rest).append(item);
      }
      answer.top.forEach(explain);
      still[noneLeads(answer) ? "prepend" : "append"](make("li", {}, ["A pattern not written down here: " + likely(answer.none) + ", " + inHundred(answer.none)]));
      var count = data.engine.variants.length;
      var box = make("details", { class: "hw-fold" }, [make("summary", {}, ["Why not the others"]), rest]);
      /* The first few are told at once; a large family's others only when somebody wants to know. */
      fillRest = function () {
        fillRest = null;
        var all = engine.identify(data.engine, evidence, {}, count).top;
        all.slice(answer.top.length).forEach(explain);
        var told = all.map(function (one) {
          return one.variant;
        });
        data.engine.variants.forEach(function (id) {
          if (told.indexOf(id) < 0) rest.append(make("li", {}, [make("a", { href: data.variants[id] }, [variantName(data, id)]), ": ruled out by what was seen"]));
        });
      };
      if (answer.top.length === count) fillRest = null;
      box.addEventListener("toggle", function () {
        if (box.open && fillRest) fillRest();
      });
      if (rest.childNodes.length || fillRest) section.append(box);
      return section;
    }

    // what is written on it
    function written(data, now) {
      var list = make("ul", { class: "hw-plain" });
      Object.keys(data.markings).forEach(function (id) {
        var mark = data.markings[id];
        list.append(make("li", {}, [
          make("h3", {}, [mark.name + (mark.reads ? ": “" + mark.reads + "”" : "")]),
          make("p", {}, [mark.where]),
          mark.tells ? make("p", {}, [make("b", {}, ["It tells "]), mark.tells]) : null,
          mark.notTold ? make("p", {}, [make("b", {}, ["It does not tell "]), mark.notTold]) : null,
          make("p", { class: "hw-actions" }, [["yes", "It is there"], ["no", "It is not there"]].map(function (pair) {
            return button(pair[1], function () {
              changed(function (next) {
                next.markings[id] = pair[0];
              });
            }, { "aria-pressed": String(now.markings[id] === pair[0]), "aria-label": mark.name + ": " + pair[1] });
          })),
        ]));
      });
      data.instruments.forEach(function (name) {
        list.append(make("li", {}, [opener(data.words.instruments[name], name)]));
      });
      return make("details", { class: "hw-fold" }, [make("summary", {}, ["What is written on it?"]), list]);
    }

    function opener(words, look, label) {
      return button(words, function () {
        open = look;
        several = null;
        moved = true;
        show();
      }, { "aria-label": label || null });
    }

    // any other question
    function others(data, now) {
      var box = make("details", { class: "hw-fold" }, [make("summary", {}, ["Look at something else"])]);
      data.places.forEach(function (place) {
        var list = make("p", { class: "hw-actions" });
        place.looks.forEach(function (feature) {
          list.append(opener(featureName(data, feature) + (now.forms[feature] ? " (seen)" : ""), feature));
        });
        box.append(make("h3", {}, [place.name]), list);
      });
      return box;
    }

    function ending(now) {
      var again = button("Begin again", function () {
        go(Object.assign(emptyState(), { family: ids.length === 1 ? now.family : "" }));
      });
      return make("section", { class: "hw-kept" }, [
        make("p", {}, ["All that you saw stands in the address of this page: keep it, send it, or print it."]),
        make("p", { class: "hw-address" }, [window.location.href]),
        make("p", { class: "hw-actions" }, [again]),
      ]);
    }

    var live = make("p", { class: "hw-live", "aria-live": "polite" });
    place.before(live);
    window.addEventListener("hashchange", function () {
      open = null;
      several = null;
      show();
    });
    document.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.altKey || event.metaKey || /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName)) return;
      var forms = place.querySelectorAll("[data-hw-form]");
      var number = /^[1-9]$/.test(event.key) ? Number(event.key) : 0;
      if (number && number <= forms.length) forms[number - 1].click();
    });
    window.addEventListener("beforeprint", function () {
      if (fillRest) fillRest();
      place.querySelectorAll("section details.hw-fold").forEach(function (box) {
        box.open = true;
      });
    });
    show();
  }

  return { readState: readState, writeState: writeState, evidenceOf: evidenceOf, inDoubt: inDoubt, sentence: sentence, accountWords: accountWords, start: start };
});
