// A trial print: a page that is open sets itself anew when the journal has changed. Without this script the page says no
// less; it is then set anew when it is asked for again.
"use strict";

(() => {
  const band = document.querySelector("[data-print]");
  const live = band.querySelector(".trial-live");

  // What is folded away stays so in the next print.
  for (const fold of band.querySelectorAll("details")) {
    const key = `trial ${location.pathname} ${fold.className}`;
    const kept = sessionStorage.getItem(key);
    if (kept !== null && !fold.querySelector(".trial-new")) fold.open = kept === "open";
    fold.addEventListener("toggle", () => sessionStorage.setItem(key, fold.open ? "open" : "shut"));
  }

  // A page that sets itself anew keeps its place: what stood at the head of the window stands there again, though what is above
  // it may have grown, and what was folded out in the sheet is folded out.
  const place = `trial place ${location.pathname}`;
  const folds = () => [...document.querySelectorAll("details")].filter((fold) => !band.contains(fold));
  const leave = () => {
    let mark = null;
    for (const at of document.querySelectorAll("[id]")) {
      const box = at.getBoundingClientRect();
      if (box.height > 0 && box.top <= innerHeight / 3 && (mark === null || box.top >= mark.top)) mark = { id: at.id, top: box.top };
    }
    sessionStorage.setItem(place, JSON.stringify({ mark, x: scrollX, y: scrollY, open: folds().map((fold) => fold.open) }));
    location.reload();
  };
  const back = (was) => {
    const at = was.mark && document.getElementById(was.mark.id);
    scrollTo({ left: was.x, top: at && was.y > 0 ? scrollY + at.getBoundingClientRect().top - was.mark.top : was.y, behavior: "instant" });
  };
  const was = JSON.parse(sessionStorage.getItem(place));
  sessionStorage.removeItem(place);
  history.scrollRestoration = was ? "manual" : "auto";
  if (was) {
    const now = folds();
    if (now.length === was.open.length) now.forEach((fold, i) => { fold.open = was.open[i]; });
    back(was);
    addEventListener("load", () => { back(was); history.scrollRestoration = "auto"; });
  }

  const prints = new EventSource(`/.trial/prints?page=${encodeURIComponent(decodeURI(location.pathname))}`);
  prints.addEventListener("setting", () => { live.textContent = "The journal has changed: the next print is being set."; });
  prints.addEventListener("print", (event) => {
    if (event.data !== band.dataset.print) leave();
    else live.textContent = "";
  });
  prints.addEventListener("error", () => { live.textContent = "Voltwright has stopped: this print stays as it is."; });
  addEventListener("pagehide", () => prints.close());
})();
