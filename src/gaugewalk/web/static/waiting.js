// The page of what was written on this phone and is not sent: nothing of it goes away by itself.

import { onChange, send } from "./outbox.js";
import { timeOf } from "./line.js";
import { all, remove } from "./store.js";

const list = document.getElementById("waiting-list");
const calm = document.getElementById("waiting-calm");
const WORDS = {
  reading: (fields) => `${fields.text} ${fields.unit ?? ""}`,
  correction: (fields) => `corrected to ${fields.text} ${fields.unit ?? ""}`,
  skip: (fields) => `not taken: ${fields.reason}`,
  observation: (fields) => `${fields.finding}: ${{ true: "seen", false: "not there", null: "could not look" }[fields.present]}`,
  photo: (fields) => `photo: ${fields.text}`,
  recheck: (fields) => `look again in ${fields.in_seconds / 60} min: ${fields.what}`,
  note: (fields) => fields.text,
  action: (fields) => `done: ${fields.do}`,
  event: (fields) => fields.event,
  follow_up: (fields) => `looked again: ${fields.result}`,
  finish: () => "round finished",
};

function lineOf(record) {
  const item = document.getElementById("waiting-line").content.cloneNode(true).firstElementChild;
  const put = (name, text) => {
    item.querySelector(`[data-${name}]`).textContent = text;
  };
  put("when", timeOf(record.said));
  const label = (record.point ?? record.kind).replaceAll("_", " ");
  put("what", [record.tag, label].filter(Boolean).join(" "));
  put("said", WORDS[record.kind](record.fields));
  const refused = record.state === "refused";
  put("why", refused ? `Could not be taken. ${[record.answer.error, record.answer.do].filter(Boolean).join(" ")}` : "Waits for the network.");
  const strike = item.querySelector("button");
  strike.hidden = !refused;
  strike.addEventListener("click", async () => {
    await remove(record.seq);
    await render(await all());
  });
  return item;
}

async function render(records) {
  const open = records.filter((record) => record.state !== "sent" && record.kind in WORDS);
  list.replaceChildren(...open.map(lineOf));
  calm.hidden = open.length > 0;
}

document.getElementById("send-now").addEventListener("click", send);
onChange(render);
render(await all());
