// A reading for the gauge book: the figure, a tap for the state, a tap to keep it; then what the book says.
import { type Gauge, ask, bytes } from "./afield";
import { button, fill, h } from "./dom";
import { keypad } from "./keypad";
import type { Site } from "./site";
import { Task } from "./task";
import type { Page } from "./views";

const two = (n: number): string => String(n).padStart(2, "0");

export function gauging(page: Page, site: Site): HTMLElement {
  const task = new Task();
  const shown = h("div", { class: "shown" });
  const form = h("div", {});
  const body = h("div", { class: "field-view" }, form, task.box, shown);
  const files = () => [site.siteFile, ...site.record.files];
  const begin = async (): Promise<void> => {
    const known = await task.watch(() => ask<Gauge>(["gauge", site.record.name], files()));
    if (!known) return;
    let state = known.last_state && known.states.includes(known.last_state) ? known.last_state : known.states[0] ?? "";
    const pressure: HTMLInputElement = h("input", { id: "pressure", type: "text", inputmode: "none", autocomplete: "off", onfocus: () => pad.give(pressure) });
    const states = known.states.map((name): HTMLButtonElement => {
      const own = button(name, () => {
        state = name;
        for (const other of states) other.setAttribute("aria-pressed", String(other === own));
      }, { "aria-pressed": String(name === state) });
      return own;
    });
    const pad = keypad(() => put.focus());
    const put = button("Keep the reading", () => void keep(), { class: "main" });
    const keep = async (): Promise<void> => {
      if (!pressure.value.trim()) return pressure.focus();
      const now = new Date();
      const date = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`;
      const reading = { date, state, pressure: pressure.value.trim() };
      const added = await task.watch(() => ask<Gauge>(["gauge", site.record.name, "--add", "reading.json"], [...files(), { path: "reading.json", bytes: bytes(JSON.stringify(reading)) }]));
      if (!added?.text) return;
      await site.putFile({ path: added.file, bytes: bytes(added.text) }, added.named ? undefined : { table: "gauge_book", key: "file" });
      pressure.value = "";
      fill(count, `${added.rows}`);
      await look();
    };
    const count = h("output", {}, String(known.rows));
    fill(
      form,
      h("div", { class: "marks", role: "group", "aria-label": "state" }, ...states),
      h("div", { class: "cell" }, h("label", { for: "pressure" }, known.label), pressure),
      h("div", { class: "pad-row" }, pad.element, put),
      h("p", { class: "hint" }, `${known.file}, rows: `, count),
    );
    pressure.focus();
    if (known.rows > 0) await look();
  };
  const look = async (): Promise<void> => {
    const told = await task.watch((stage) => site.log(stage));
    if (!told) return;
    const chart = site.record.results.find((f) => f.path.endsWith("-log-results/gauge.svg"));
    const image = chart && h("img", { class: "chart", alt: told.lines[0] ?? "", src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(new TextDecoder().decode(chart.bytes))}` });
    fill(shown, ...told.lines.slice(1).map((t) => h("p", {}, t)), image && h("div", { class: "wide", role: "region", tabindex: 0, "aria-label": told.lines[0] ?? "" }, image), h("div", { class: "actions" }, button("The report", () => page.go("report/log"), { class: "main" }), button("Keep or share", () => page.go("keep"))));
  };
  void begin();
  return body;
}
