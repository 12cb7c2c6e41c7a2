// Fields made from the keys that the program hands out: their words, limits and examples are its own.
import { button, fill, fresh, h } from "./dom";
import type { Fault } from "./program";
import { type Key, type Known, type KnownTable, type Site, type Value, Wrong } from "./site";

/** A key as a person reads it. */
export function spoken(key: string): string {
  const words = key.replace(/[_.]/g, " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A field of the site file. `then` is called once the file says it. */
export function field(site: Site, table: KnownTable, index: number, key: Key, then: () => void): HTMLElement {
  const id = fresh("field");
  const now = site.value(table.table, index, key.key);
  const box = h("div", { class: "field", "data-at": `${table.table}.${index}.${key.key}` });
  const set = async (value: Value | null): Promise<void> => {
    fill(slot);
    input.removeAttribute("aria-invalid");
    try {
      await site.change([{ table: table.table, index, key: key.key, value }]);
      then();
    } catch (why) {
      if (why instanceof Wrong) tellAt(box, why.faults[0]);
      else throw why;
    }
  };
  const input = control(key, id, now, (value) => void set(value));
  const slot = h("div", { class: "fault", id: `${id}-fault`, role: "alert" });
  // The words that a list offers are not told a second time.
  const help = key.words ? key.help?.replace(/(:\s*)?("[^"]+"(,| or|, or)?\s*)+$/, "") : key.help;
  const hints = [help, key.limits].filter(Boolean).join("; ");
  const hint = hints ? h("p", { class: "hint", id: `${id}-hint` }, hints) : undefined;
  input.setAttribute("aria-describedby", `${hint ? hint.id + " " : ""}${slot.id}`);
  box.append(h("label", { for: id }, spoken(key.key)), stepped(key, input, (value) => void set(value)));
  if (hint) box.append(hint);
  box.append(slot);
  (box as HTMLElement & { choose?: (value: string) => void }).choose = (value) => {
    if (input instanceof HTMLInputElement || input instanceof HTMLSelectElement || input instanceof HTMLTextAreaElement) input.value = value;
    void set(value);
  };
  return box;
}

type Control = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

function control(key: Key, id: string, now: Value | undefined, set: (value: Value | null) => void): Control {
  const one = typeof now === "string" ? now : "";
  const choices = key.form === "flag" ? ["true", "false"] : key.words;
  if (choices) {
    const all = one && !choices.includes(one) ? [...choices, one] : choices;
    const select = h("select", { id, onchange: () => set(select.value || null) }, h("option", { value: "" }, "\u2013"), ...all.map((w) => h("option", { value: w }, w)));
    select.value = one;
    return select;
  }
  if (key.form === "texts" || key.form === "shares" || Array.isArray(now)) {
    const lines = [now ?? []].flat();
    const area: HTMLTextAreaElement = h("textarea", { id, rows: Math.max(2, lines.length), onchange: () => {
      const said = area.value.split("\n").map((l) => l.trim()).filter(Boolean);
      set(said.length > 0 ? said : null);
    } });
    area.value = lines.join("\n");
    return area;
  }
  const modes: Partial<Record<Key["form"], string>> = { number: "decimal", count: "numeric" };
  const input = h("input", {
    id,
    type: key.form === "day" ? "date" : "text",
    inputmode: modes[key.form],
    autocomplete: "off",
    autocapitalize: "off",
    spellcheck: "false",
    placeholder: key.form === "day" ? undefined : key.example,
    onchange: () => set(input.value.trim() || null),
  });
  input.value = one;
  return input;
}

/** A figure gets a smaller and a larger beside it, for thumbs. */
function stepped(key: Key, input: Control, set: (value: Value) => void): HTMLElement {
  if (!(input instanceof HTMLInputElement) || !["quantity", "count", "number"].includes(key.form)) return h("div", { class: "row" }, input);
  const step = (way: 1 | -1) => () => {
    const from = input.value || key.example || "";
    const found = /-?\d+(\.\d+)?/.exec(from);
    if (!found) return;
    const value = Number(found[0]);
    const by = key.form === "count" ? 1 : near(Math.abs(value));
    const decimals = Math.max(0, -Math.floor(Math.log10(by)));
    const next = input.value ? (Math.round(value / by) + way) * by : value;
    input.value = from.slice(0, found.index) + next.toFixed(decimals) + from.slice(found.index + found[0].length);
    set(input.value);
  };
  const name = spoken(key.key).toLowerCase();
  return h("div", { class: "row" }, button("\u2212", step(-1), { class: "step", "aria-label": `less ${name}` }), input, button("+", step(1), { class: "step", "aria-label": `more ${name}` }));
}

/** A round step of about a twentieth. */
function near(value: number): number {
  const rough = value / 20 || 0.05;
  const ten = 10 ** Math.floor(Math.log10(rough));
  return ten * (rough / ten < 2 ? 1 : rough / ten < 5 ? 2 : 5);
}

/** A fault in the page: what is wrong, what was found, what was expected, what to do; choices can be taken. */
export function faultBox(fault: Fault, take?: (choice: string) => void): HTMLElement {
  const place = [fault.place.file, fault.place.line && `line ${fault.place.line}`].filter(Boolean).join(", ");
  const lines = (["found", "expected", "do"] as const).filter((k) => fault[k]).map((k) => h("p", {}, h("b", {}, `${k}: `), fault[k] ?? ""));
  const choices = take && fault.choices?.length ? h("p", { class: "choices" }, ...fault.choices.map((c) => button(c, () => take(c)))) : undefined;
  return h("div", { class: "told" }, h("p", {}, h("strong", {}, fault.text), place ? h("small", {}, ` (${place})`) : ""), ...lines, choices);
}

function tellAt(box: HTMLElement, fault: Fault | undefined): void {
  const slot = box.querySelector(".fault");
  if (!slot || !fault) return;
  // The field says by itself which key it is.
  const key = (fault.place.key ?? "").split(".").pop() ?? "";
  const text = fault.text.startsWith(`${key}: `) ? fault.text.slice(key.length + 2) : fault.text;
  slot.append(faultBox({ ...fault, text, place: {} }, (box as HTMLElement & { choose?: (value: string) => void }).choose));
  box.querySelector("input, select, textarea")?.setAttribute("aria-invalid", "true");
  for (let up = box.closest("details"); up; up = up.parentElement?.closest("details") ?? null) up.open = true;
}

/** Shows each fault at the field that caused it; gives back those that have none in this view. */
export function showFaults(root: HTMLElement, site: Site, faults: Fault[]): Fault[] {
  clearFaults(root);
  const homeless: Fault[] = [];
  let first: HTMLElement | undefined;
  for (const fault of faults) {
    const box = fieldOf(root, site, fault);
    if (box) {
      tellAt(box, fault);
      first ??= box;
    } else homeless.push(fault);
  }
  first?.querySelector<HTMLElement>("input, select, textarea")?.focus();
  first?.scrollIntoView({ block: "center" });
  return homeless;
}

export function clearFaults(root: HTMLElement): void {
  for (const slot of root.querySelectorAll(".fault")) fill(slot);
  for (const input of root.querySelectorAll("[aria-invalid]")) input.removeAttribute("aria-invalid");
}

/** Where a fault's key is on the page: the options of the survey are its keys too. */
export function placeOf(site: Site, fault: Fault): { table: string; index: number; key: string } | undefined {
  const path = fault.asks ?? (fault.place.key ?? "").replace(/^--/, "survey.");
  const dot = path.lastIndexOf(".");
  const [table, key] = [path.slice(0, Math.max(dot, 0)), path.slice(dot + 1)];
  if (!key || (!fault.asks && fault.place.file && fault.place.file !== site.record.name)) return undefined;
  const line = fault.asks ? Infinity : (fault.place.line ?? 0);
  const own = site.tables.filter((t) => t.table === table && t.line <= line).pop();
  return { table, index: own?.index ?? 0, key };
}

function fieldOf(root: HTMLElement, site: Site, fault: Fault): HTMLElement | undefined {
  const at = placeOf(site, fault);
  return at && (root.querySelector<HTMLElement>(`[data-at="${CSS.escape(`${at.table}.${at.index}.${at.key}`)}"]`) ?? undefined);
}

/** Every table of the site file that is not shown above, each folded. */
export function more(site: Site, known: Known, shown: Set<string>, then: () => void): HTMLElement {
  const box = h("div", {});
  for (const table of known.tables) box.append(folded(site, table, shown, then));
  return box;
}

function folded(site: Site, table: KnownTable, shown: Set<string>, then: () => void): HTMLElement {
  const body = h("div", { class: "inside" });
  const name = table.table ? spoken(table.table.split(".").pop() ?? "") : "The site";
  const summary = h("summary", {});
  const head = (): void => {
    const n = site.count(table.table);
    fill(summary, name, table.table && n > 0 ? h("small", {}, table.many ? ` ${n}` : " \u2713") : "");
  };
  const draw = (): void => {
    head();
    const n = site.count(table.table);
    const each = Array.from({ length: table.many ? n : 1 }, (_, i) => instance(site, table, i, shown, then, draw));
    const add = table.many && button(`Add: ${name.toLowerCase()}`, () => void site.change([{ table: table.table, add: true }]).then(() => { draw(); then(); }));
    fill(body, table.help && h("p", { class: "hint" }, table.help), ...each, add);
  };
  head();
  const details = h("details", { class: "table", "data-table": table.table, ontoggle: () => {
    if (details.open && !body.hasChildNodes()) draw();
  } }, summary, body);
  (details as HTMLElement & { draw?: () => void }).draw = draw;
  return details;
}

function instance(site: Site, table: KnownTable, index: number, shown: Set<string>, then: () => void, draw: () => void): HTMLElement {
  const keys = table.keys.filter((k) => !shown.has(`${table.table}.${index}.${k.key}`));
  const fields = keys.map((k) => field(site, table, index, k, then));
  if (!table.many) return h("div", {}, ...fields);
  const name = `${spoken(table.table.split(".").pop() ?? "")} ${index + 1}`;
  const gone = button("Remove", () => void site.change([{ table: table.table, index, remove: true }]).then(() => { draw(); then(); }), { "aria-label": `remove ${name}` });
  return h("fieldset", {}, h("legend", {}, name), ...fields, gone);
}

/** Draws the folded table that a fault lies in, so that its field is there. */
export function unfold(root: HTMLElement, site: Site, faults: Fault[]): void {
  for (const fault of faults) {
    const at = placeOf(site, fault);
    const details = at && root.querySelector<HTMLDetailsElement & { draw?: () => void }>(`details[data-table="${CSS.escape(at.table)}"]`);
    if (details && !fieldOf(root, site, fault)) details.draw?.();
  }
}
