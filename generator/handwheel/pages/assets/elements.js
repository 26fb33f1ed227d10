/* What the other scripts make elements and lists of words with; loaded before them.

   window.handwheelElements (module.exports under node):
     make(tag, attributes, children)    an element; `onclick` is listened to, an attribute of null is left out
     element(tag, className, words)     an element with a class and a text, each if there is one
     link(words, address, className)    a link
     button(words, act, attributes)     a button that acts
     joined(words, last)                "a, b and c", with the last joint given */
(function (root, factory) {
  "use strict";
  if (typeof module === "object" && module.exports) module.exports = factory();
  else root.handwheelElements = factory();
})(typeof self !== "undefined" ? self : this, function () {
  "use strict";

  function make(tag, attributes, children) {
    var made = document.createElement(tag);
    Object.keys(attributes || {}).forEach(function (name) {
      if (name === "onclick") made.addEventListener("click", attributes[name]);
      else if (attributes[name] !== null) made.setAttribute(name, attributes[name]);
    });
    (children || []).forEach(function (child) {
      if (child) made.append(child);
    });
    return made;
  }

  function element(tag, className, words) {
    return make(tag, { class: className || null }, [words]);
  }

  function link(words, address, className) {
    return make("a", { class: className || null, href: address }, [words]);
  }

  function button(words, act, attributes) {
    return make("button", Object.assign({ type: "button", class: "hw-button", onclick: act }, attributes || {}), [words]);
  }

  function joined(words, last) {
    return words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " " + last + " " + words[words.length - 1];
  }

  return { make: make, element: element, link: link, button: button, joined: joined };
});
