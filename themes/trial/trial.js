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

  const prints = new EventSource("/.trial/prints");
  prints.addEventListener("setting", () => { live.textContent = "The journal has changed: the next print is being set."; });
  prints.addEventListener("print", (event) => {
    if (event.data !== band.dataset.print) location.reload();
    else live.textContent = "";
  });
  prints.addEventListener("error", () => { live.textContent = "Voltwright has stopped: this print stays as it is."; });
  addEventListener("pagehide", () => prints.close());
})();
