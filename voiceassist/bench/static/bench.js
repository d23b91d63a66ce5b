// Puts what the server sends in the place of what stood there. Nothing else happens here.
"use strict";
(() => {
  const address = document.body.dataset.events;
  const told = document.getElementById("connection");
  const patience = 12000; // the server sends something every 5 s
  let stream = null;
  let watch = 0;

  const say = (words) => { if (told && told.textContent !== words) told.textContent = words; };

  const alive = () => {
    clearTimeout(watch);
    watch = setTimeout(() => { say("Connection lost; trying again."); open(); }, patience);
  };

  const put = (parts) => {
    for (const [id, html] of Object.entries(parts)) {
      const place = document.getElementById(id);
      if (place) place.innerHTML = html;
    }
    started = Date.now();
  };

  const close = () => { clearTimeout(watch); if (stream) stream.close(); stream = null; };

  const open = () => {
    close();
    stream = new EventSource(address);
    alive();
    stream.onmessage = (event) => { alive(); say(""); put(JSON.parse(event.data)); };
    stream.addEventListener("beat", () => { alive(); say(""); });
    stream.addEventListener("page", (event) => {
      close();
      setTimeout(() => location.assign(event.data), 4000);
    });
    stream.onerror = () => {
      say("Connection lost; trying again.");
      if (stream && stream.readyState === EventSource.CLOSED) { close(); setTimeout(open, 1000); }
    };
  };

  // A browser keeps few connections to one server: pages that nobody looks at hold none.
  const look = () => { if (document.hidden) close(); else if (!stream) open(); };

  let started = Date.now();
  const two = (number) => String(number).padStart(2, "0");
  const tick = () => {
    for (const each of document.querySelectorAll("[data-elapsed]")) {
      const s = Number(each.dataset.elapsed) + Math.floor((Date.now() - started) / 1000);
      const hours = Math.floor(s / 3600), minutes = Math.floor(s / 60) % 60;
      each.textContent = hours ? `${hours}:${two(minutes)}:${two(s % 60)}` : `${minutes}:${two(s % 60)}`;
    }
  };

  if (address && window.EventSource) {
    document.addEventListener("visibilitychange", look);
    window.addEventListener("pagehide", close);
    window.addEventListener("pageshow", look);
    setInterval(tick, 1000);
    look();
  }
})();
