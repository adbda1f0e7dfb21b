// On every page: countdowns keep counting, and the line under the plate.

import { beginLight } from "./light.js";
import { beginLine } from "./line.js";

function spanOf(seconds) {
  const minutes = Math.max(1, Math.round(seconds / 60));
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 24) return minutes % 60 ? `${hours} h ${minutes % 60} min` : `${hours} h`;
  const days = Math.floor(hours / 24);
  return hours % 24 && days < 7 ? `${days} d ${hours % 24} h` : `${days} d`;
}

function count() {
  for (const place of document.querySelectorAll("[data-due]")) {
    const left = (Date.parse(place.dataset.due) - Date.now()) / 1000;
    const over = place.dataset.over ?? `${spanOf(-left)} overdue`;
    place.textContent = left >= 0 ? `in ${spanOf(left)}` : over;
  }
}

setInterval(count, 30000);

// Who signs out leaves no pages behind; what is not sent yet stays until it is.
document.addEventListener("submit", (event) => {
  if (event.target.getAttribute("action") === "/sign-out") navigator.serviceWorker?.controller?.postMessage({ drop: true });
});

beginLight();
beginLine();
