// Keeps a copy of the page on the device, so that it works without a network.

import { by } from "./dom.js";

/** Registers the service worker and says at the foot of the page how far it is. */
export async function keepOffline() {
  const say = (words) => (by("offline").textContent = words);
  if (!navigator.serviceWorker) {
    say("This browser cannot keep the page for offline use (it needs https or localhost).");
    return;
  }
  try {
    let kept = navigator.serviceWorker.controller !== null;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      if (kept) say("A newer version of this page is here. Reload when this tray is done.");
      kept = true;
    });
    await navigator.serviceWorker.register(workerUrl(), { updateViaCache: "none" });
    await navigator.serviceWorker.ready;
    say("Works offline: the page itself, and nothing that you type, is kept on this device.");
  } catch {
    say("Not ready for offline use: the page could not be kept on this device.");
  }
}

/** The page's security policy lets scripts be named by this one policy only. */
function workerUrl() {
  const fixed = { createScriptURL: () => "sw.js" };
  return (globalThis.trustedTypes?.createPolicy("tray-page", fixed) ?? fixed).createScriptURL("");
}
