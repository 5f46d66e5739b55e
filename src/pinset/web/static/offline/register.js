// Over https: let the device keep pages, and keep the ones opened here as they are now.
"use strict";

(function () {
  if (!("serviceWorker" in navigator)) return;
  const script = document.currentScript;
  const main = ["/", "/scan/", "/bench/", "/look/"];
  const person = document.getElementById("waiting").dataset.person;

  const HURRY_MS = 3000;
  const AGAIN_MS = 10000;

  // A keeper of another version takes over by itself once it has its files. Where the one before was
  // busy at that very moment it is asked again, and where its files did not come they are fetched again.
  function follow(registration) {
    let isToFetch = false;
    let since = 0;
    function watch(keeper) {
      if (!keeper) return;
      keeper.addEventListener("statechange", function () {
        if (keeper.state === "redundant" && keeper !== registration.active) { isToFetch = true; since = Date.now(); }
        else isToFetch = false;
      });
    }
    watch(registration.installing);
    registration.addEventListener("updatefound", function () { watch(registration.installing); });
    setInterval(function () {
      if (registration.waiting) registration.waiting.postMessage({ takeOver: true });
      if (!isToFetch || registration.installing || Date.now() - since < AGAIN_MS) return;
      isToFetch = false;
      registration.update().catch(function (problem) { isToFetch = true; since = Date.now(); console.warn(problem); });
    }, HURRY_MS);
  }

  function ask(addresses) {
    navigator.serviceWorker.ready.then(function (registration) {
      registration.active.postMessage({ again: addresses, person: person });
    });
  }

  // A page whose part was exchanged is kept as it is now.
  let timer = 0;
  document.addEventListener("htmx:afterRequest", function (event) {
    if (event.detail.requestConfig.verb !== "post" || !event.detail.successful) return;
    clearTimeout(timer);
    timer = setTimeout(function () { ask([location.pathname + location.search]); }, 400);
  });

  navigator.serviceWorker.register(script.dataset.worker, { scope: "/" }).then(function (registration) {
    follow(registration);
    const isKeptCopy = document.getElementById("asof") && !document.getElementById("asof").hidden;
    if (person && !isKeptCopy) ask([location.pathname + location.search, ...main]);
    if (person && navigator.storage && navigator.storage.persist) return navigator.storage.persist();
    return false;
  }).catch(function (problem) {
    console.warn("This device keeps no pages: it does not trust the farm's certificate.", problem);
  });
})();
