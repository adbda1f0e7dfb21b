// Fetches this page anew and puts the given parts of it in place, so that what the server knows now
// (ranking, marks, checks) is shown without a second way to draw it. Which parts is asked when the
// answer is here, because somebody may have gone on typing meanwhile.

export async function refresh(wanted) {
  let text;
  try {
    const answer = await fetch(location.pathname + location.search);
    if (!answer.ok) return;
    text = await answer.text();
  } catch {
    return; // the page stays as it is; the record itself was taken
  }
  const fresh = new DOMParser().parseFromString(text, "text/html");
  document.documentElement.dataset.now = fresh.documentElement.dataset.now;
  delete document.documentElement.dataset.kept;
  for (const selector of wanted()) {
    const old = document.querySelector(selector);
    const made = fresh.querySelector(selector);
    if (old && made) put(old, document.adoptNode(made));
  }
  document.dispatchEvent(new Event("redrawn"));
}

// Puts a part in place of an old one; what was unfolded stays so, and the focus stays where it is.
function put(old, made) {
  const within = (part) => [...part.querySelectorAll("a, button, input, select, textarea, summary")];
  const place = within(old).indexOf(document.activeElement);
  const unfolded = [...old.querySelectorAll("details")];
  [...made.querySelectorAll("details")].forEach((fold, at) => {
    if (unfolded[at]?.open) fold.open = true;
  });
  old.replaceWith(made);
  if (place >= 0) within(made)[place]?.focus({ preventScroll: true });
}
