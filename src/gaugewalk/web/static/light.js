// The light of the page, also on a page that is kept on this phone: there it is changed here.

const page = document.documentElement;
const NAME = "gaugewalk-look";
const MEDIA = { night: "(prefers-color-scheme: dark)", strong: "(prefers-contrast: more)" };

function shine(look) {
  for (const old of document.querySelectorAll('link[href*="/look-"]')) old.remove();
  const day = document.querySelector('link[href$="/look.css"]');
  for (const [name, media] of Object.entries(MEDIA)) {
    if (look !== "" && look !== name) continue;
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.href = day.href.replace("/look.css", `/look-${name}.css`);
    if (look === "") link.media = media;
    day.parentElement.append(link);
  }
  for (const button of document.querySelectorAll("button[name=look]")) {
    button.setAttribute("aria-pressed", String(button.value === look));
  }
}

export function beginLight() {
  const kept = "kept" in page.dataset;
  const chosen = localStorage.getItem(NAME);
  if (kept && chosen !== null) shine(chosen);
  document.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (button?.name !== "look") return;
    localStorage.setItem(NAME, button.value);
    if (!kept) return;
    event.preventDefault();
    shine(button.value);
  });
}
