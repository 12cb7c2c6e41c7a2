// Elements. Text is set as text: nothing that comes from a file is ever markup.

type Child = Node | string | undefined | false | null;
type Props = Record<string, unknown>;

/** Makes an element: properties that begin with "on" are listeners, others attributes; absent ones are left out. */
export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === undefined || value === false || value === null) continue;
    if (name.startsWith("on") && typeof value === "function") element.addEventListener(name.slice(2), value as EventListener);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.filter((c): c is Node | string => c !== undefined && c !== false && c !== null));
  return element;
}

/** Puts these in place of all children. */
export function fill(element: Element, ...children: Child[]): void {
  element.replaceChildren(...children.filter((c): c is Node | string => c !== undefined && c !== false && c !== null));
}

let count = 0;

/** A name that no other element has. */
export function fresh(stem: string): string {
  count += 1;
  return `${stem}-${count}`;
}

/** A button. */
export function button(text: string, onclick: () => void, props: Props = {}): HTMLButtonElement {
  return h("button", { type: "button", onclick, ...props }, text);
}
