// One step up or down from a number, with the digits of the step.

export function stepped(value, steps, step) {
  const digits = (step.split(".")[1] ?? "").length;
  return (Math.round(Number(value) / Number(step) + steps) * Number(step)).toFixed(digits);
}
