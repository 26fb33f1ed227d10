/* A page opened from the file system may start no worker, so the theme's search runs in a hidden frame instead. */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  class FrameWorker extends EventTarget {
    constructor(url) {
      super();
      var frame = document.createElement("iframe");
      frame.hidden = true;
      frame.title = "Search";
      document.body.append(frame);
      this.inner = frame.contentWindow;
      this.waiting = [];
      var out = this;
      this.inner.postMessage = function (data) {
        out.dispatchEvent(new MessageEvent("message", { data: data }));
      };
      var script = frame.contentDocument.createElement("script");
      script.src = url;
      script.onload = function () {
        var waiting = out.waiting;
        out.waiting = null;
        waiting.forEach(out.postMessage, out);
      };
      frame.contentDocument.body.append(script);
    }

    postMessage(data) {
      if (this.waiting) this.waiting.push(data);
      else this.inner.dispatchEvent(new MessageEvent("message", { data: data }));
    }

    terminate() {}
  }

  window.IFrameWorker = FrameWorker; /* the name by which the search script knows that it runs in a frame */
  window.Worker = FrameWorker;
})();
