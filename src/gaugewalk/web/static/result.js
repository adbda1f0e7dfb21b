// Writes what a tool found as a reading, and shows the verdict below the tool.

import { UnitError } from "./units.js";
import { writeReading } from "./readings.js";

export async function showResult(sheet, point, text, unit) {
  for (const other of sheet.querySelectorAll(".result")) other.hidden = other.dataset.point !== point;
  const place = sheet.querySelector(`.result[data-point="${point}"]`);
  place.querySelector("[data-message]").textContent = "";
  try {
    await writeReading(place, text, unit); // a new one each time: before and after both count
  } catch (error) {
    const words = `This phone could not keep it (${error.message}). Write the number in its field.`;
    place.querySelector("[data-message]").textContent = error instanceof UnitError ? error.message : words;
  }
}
