// A keypad that fits a thumb: it writes into the field that has the turn, without the phone's own keyboard.
import { button, h } from "./dom";

export interface Pad {
  element: HTMLElement;
  /** Gives the turn to a field. */
  give(input: HTMLInputElement | undefined): void;
}

const KEYS: [string, string][] = [["7", ""], ["8", ""], ["9", ""], ["4", ""], ["5", ""], ["6", ""], ["1", ""], ["2", ""], ["3", ""], [".", "decimal point"], ["0", ""], ["\u2212", "minus"]];

/** `next` is called by the key that goes on. */
export function keypad(next: () => void): Pad {
  let now: HTMLInputElement | undefined;
  const type = (change: (text: string) => string): void => {
    if (!now) return;
    now.value = change(now.value);
    now.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const key = ([sign, name]: [string, string]): HTMLElement =>
    button(sign, () => type((text) => (sign === "\u2212" ? (text.startsWith("-") ? text.slice(1) : "-" + text) : text + sign)), { class: "key", "aria-label": name || undefined });
  const element = h(
    "div",
    { class: "keypad", role: "group", "aria-label": "keypad" },
    ...KEYS.map(key),
    button("\u232b", () => type((text) => text.slice(0, -1)), { class: "key", "aria-label": "delete the last digit" }),
    button("Next field", next, { class: "key wide-key" }),
  );
  return {
    element,
    give: (input) => {
      now?.classList.remove("turn");
      now = input;
      now?.classList.add("turn");
    },
  };
}
