// The tools at the pump; each result is a reading or an entry, kept on this phone at once.

import { beginDrops } from "./drops.js";
import { beginPacking } from "./packing.js";
import { beginRecheck } from "./recheck.js";
import { beginSwing } from "./swing.js";
import { beginTouch } from "./touch.js";
import { overlay } from "./overlay.js";
import { onChange } from "./outbox.js";

const round = new URLSearchParams(location.search).get("round");
const tag = document.querySelector("[data-tag]").dataset.tag;
if (round && /^[0-9a-f-]{36}$/.test(round)) {
  for (const sheet of document.querySelectorAll("[data-tag]")) sheet.dataset.round = round;
  const back = document.querySelector("[data-back]");
  back.href = `/round/${round}/${encodeURIComponent(tag)}`;
  back.textContent = "Back to the round";
}

beginDrops();
beginPacking();
beginSwing();
beginTouch();
beginRecheck();
onChange((records) => overlay(records));
