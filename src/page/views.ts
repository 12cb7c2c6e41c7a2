// The three steps, and what stands behind them; each view is one screen of its own.
import { figures, verdict } from "./answer";
import { button, fill, h } from "./dom";
import { chooser } from "./files";
import { field, more } from "./form";
import { classes, pipeLists } from "./pipes";
import { type Site, Wrong, known } from "./site";
import { Task } from "./task";
import type { Try } from "./store";
import type { Named } from "./wire";

/** What a view needs of the page. */
export interface Page {
  site: Site | undefined;
  /** Takes files as a site of their own. */
  take(files: Named[]): void;
  go(view: string): void;
}

const REST_MS = 150;

/** Step 1 with a survey at hand: what it shows by itself. */
export function surveyed(page: Page, site: Site): HTMLElement {
  const task = new Task();
  const shown = h("div", { class: "shown" });
  const asked = h("div", {});
  const body = h("div", {});
  const names = h("ul", { class: "names" });
  const then = (): void => void judge();
  const judge = async (): Promise<void> => {
    fill(names, ...site.surveyFiles().map((f) => h("li", {}, f)));
    const { tables } = await known();
    const survey = tables.find((t) => t.table === "survey");
    // What only the person who walked can say is asked where the program asks for it.
    const keys = survey?.keys.filter((k) => ["taped", "from", "kind"].includes(k.key)) ?? [];
    const told = keys.filter((k) => site.value("survey", 0, k.key) !== undefined);
    if (survey) fill(asked, ...told.map((k) => field(site, survey, 0, k, then)));
    const hidden = h("div", {}, ...(survey ? keys.filter((k) => !told.includes(k)).map((k) => field(site, survey, 0, k, then)) : []));
    hidden.className = "asked";
    asked.append(hidden);
    shown.toggleAttribute("data-stale", true);
    const brief = await task.watch((stage) => site.survey(stage), { root: body, site });
    shown.toggleAttribute("data-stale", false);
    if (brief) fill(shown, verdict(brief), figures(brief));
  };
  fill(
    body,
    h("div", { class: "card" }, names, chooser("Add another walk of the same pipe", (files) => void task.watch(() => site.addPass(files)).then(judge), { class: "quiet" }), asked),
    task.box,
    shown,
    h(
      "div",
      { class: "actions" },
      button("Next: pipe and nozzles", () => page.go("plant"), { class: "main" }),
      button("Report of the survey", () => page.go("report/survey")),
      button("Record another walk", () => page.go("walk")),
      button("Keep a book", () => page.go("book")),
      button("Back to a mark", () => page.go("back")),
      button("Keep or share", () => page.go("keep")),
    ),
  );
  if (site.brief.survey) {
    fill(names, ...site.surveyFiles().map((f) => h("li", {}, f)));
    fill(shown, verdict(site.brief.survey), figures(site.brief.survey));
  } else void judge();
  return body;
}

/** Step 2: the pipe, the jets, the water; everything else behind "more". */
export function plant(page: Page, site: Site): HTMLElement {
  const task = new Task();
  const body = h("div", {});
  const draw = async (): Promise<void> => {
    const all = await known();
    const above = new Set<string>();
    const pipes = Math.max(1, site.count("pipe"));
    const then = (): void => task.clear();
    const parts: HTMLElement[] = [];
    // What the step is named after stands first; how the survey was made and what it is called, last.
    const order = ["pipe", "turbine", "intake"];
    const last = ["survey", ""];
    const rank = (name: string): number => (order.indexOf(name) + 1 || (last.includes(name) ? 90 : 50));
    for (const table of [...all.tables].sort((a, b) => rank(a.table) - rank(b.table))) {
      const first = table.keys.filter((k) => k.key !== "files" && (k.first || (table.table === "" && k.form === "words")));
      if (first.length === 0) continue;
      if (table.table !== "pipe") {
        for (const key of first) above.add(`${table.table}.0.${key.key}`);
        const legend = table.table ? table.table.charAt(0).toUpperCase() + table.table.slice(1) : undefined;
        parts.push(h("fieldset", { class: "card" }, legend && h("legend", {}, legend), ...first.map((k) => field(site, table, 0, k, then))));
        continue;
      }
      for (let i = 0; i < pipes; i += 1) {
        const ends = pipes > 1 ? table.keys.filter((k) => k.key === "to") : [];
        const keys = [...first.filter((k) => k.key !== "spec"), ...ends];
        for (const key of ["spec", ...keys.map((k) => k.key)]) above.add(`pipe.${i}.${key}`);
        const own = site.value("pipe", i, "material") === undefined;
        parts.push(h("fieldset", { class: "card" }, h("legend", {}, pipes > 1 ? `Pipe ${i + 1}` : "Pipe"), own && pipeLists(site, i, then), ...keys.map((k) => field(site, table, i, k, then))));
      }
    }
    fill(
      body,
      ...parts,
      h("details", { class: "card more" }, h("summary", {}, "More"), more(site, all, above, () => {
        task.clear();
        if (Math.max(1, site.count("pipe")) !== pipes) void draw();
      }), whole(site, task, () => void draw())),
      task.box,
      h("div", { class: "actions" }, button("The answer", () => void answer(), { class: "main" })),
    );
    if (site.wrong.length > 0) task.tell(new Wrong(site.wrong), { root: body, site });
  };
  const answer = async (): Promise<void> => {
    const brief = await task.watch((stage) => site.check(stage), { root: body, site });
    if (brief) page.go("answer");
  };
  void draw();
  return body;
}

/** The site file as it stands, for those who know it. */
function whole(site: Site, task: Task, then: () => void): HTMLElement {
  const area = h("textarea", { id: "whole", rows: 16, spellcheck: "false", autocapitalize: "off" });
  const use = button("Use this text", () => void task.watch(() => site.rewrite(area.value)).then(then));
  const details = h("details", { class: "table", ontoggle: () => (area.value = site.record.text) }, h("summary", {}, "Site file as text"), h("div", { class: "inside" }, h("label", { for: "whole" }, site.record.name), area, use));
  return details;
}

/** Step 3: the answer, with what can be tried beside the figures it changes. */
export function answered(page: Page, site: Site): HTMLElement {
  const task = new Task();
  const shown = h("div", { class: "shown" });
  const tries = h("div", { class: "tries" });
  const vents = h("div", {});
  const body = h("div", {});
  let timer = 0;
  const then = (): void => {
    shown.toggleAttribute("data-stale", true);
    shown.setAttribute("aria-busy", "true");
    clearTimeout(timer);
    timer = window.setTimeout(() => void judge(), REST_MS);
  };
  const judge = async (): Promise<void> => {
    mend.remove();
    const before = site.brief.check;
    const brief = await task.watch((stage) => site.check(stage), { root: body, site });
    if (task.overtaken) return;
    shown.toggleAttribute("data-stale", false);
    shown.removeAttribute("aria-busy");
    if (brief) show(before);
    else if (site.wrong.length > 0) task.box.append(mend);
  };
  const mend = button("Correct it", () => page.go("plant"));
  const show = (before = site.brief.check): void => {
    const brief = site.brief.check;
    if (!brief) return;
    fill(shown, verdict(brief, before), figures(brief, before));
    const focused = vents.contains(document.activeElement) ? (document.activeElement as HTMLElement).dataset.try : undefined;
    const device = (of: Try, on: boolean): HTMLElement => {
      const box: HTMLInputElement = h("input", { type: "checkbox", checked: on, "data-try": of.text, onchange: () => void site.try(of, box.checked).then(then) });
      return h("label", { class: "check" }, box, h("span", {}, of.text, h("small", {}, of.why)));
    };
    const all = [...site.tried().map((t) => device(t, true)), ...brief.tries.map((t) => device(t, false))];
    fill(vents, all.length > 0 && h("p", { class: "label" }, "Try with these devices"), ...all);
    if (focused) vents.querySelector<HTMLElement>(`[data-try="${CSS.escape(focused)}"]`)?.focus();
  };
  const controls = async (): Promise<void> => {
    const { tables } = await known();
    const of = (name: string, key: string, index = 0): HTMLElement | undefined => {
      const table = tables.find((t) => t.table === name);
      const own = table?.keys.find((k) => k.key === key);
      return table && own && site.value(name, index, key) !== undefined ? field(site, table, index, own, then) : undefined;
    };
    const moved = Array.from({ length: site.count("movement") }, (_, i) => {
      const own = of("movement", "over", i);
      const name = site.value("movement", i, "name");
      return own && h("fieldset", {}, h("legend", {}, typeof name === "string" ? name : ""), own);
    });
    const pipes = await Promise.all(Array.from({ length: site.count("pipe") }, (_, i) => classOf(site, i, then)));
    fill(tries, of("turbine", "jets"), of("turbine", "nozzle_diameter"), ...pipes, ...moved, vents);
  };
  fill(
    body,
    task.box,
    h(
      "div",
      { class: "beside" },
      shown,
      h("section", { class: "card", "aria-labelledby": "try" }, h("h2", { id: "try" }, "Try"), tries),
    ),
    h(
      "div",
      { class: "actions" },
      button("The report", () => page.go("report/check"), { class: "main" }),
      button("After the storm", () => page.go("storm")),
      button("Compare sizes", () => page.go("sizes")),
      button("A gauge reading", () => page.go("gauge")),
      button("Back to a mark", () => page.go("back")),
      button("Keep or share", () => page.go("keep")),
    ),
  );
  void controls();
  if (site.brief.check) show();
  else {
    shown.toggleAttribute("data-stale", true);
    void judge();
  }
  return body;
}

async function classOf(site: Site, index: number, then: () => void): Promise<HTMLElement | undefined> {
  const { now, all } = await classes(site, index);
  if (all.length < 2) return undefined;
  const id = `class-${index}`;
  const list: HTMLSelectElement = h("select", { id, onchange: () => void site.change([{ table: "pipe", index, key: "spec", value: list.value }]).then(then) }, ...all.map((c) => h("option", { value: c.spec }, c.text)));
  list.value = now;
  return h("div", { class: "field" }, h("label", { for: id }, site.count("pipe") > 1 ? `Class of pipe ${index + 1}` : "Class"), list);
}

/** After the storm: the new walk against the old. */
export function storm(page: Page, site: Site): HTMLElement {
  const task = new Task();
  const shown = h("div", { class: "shown" });
  const body = h("div", {});
  const after = h("div", { class: "actions" });
  const show = (): void => {
    const brief = site.brief.compare;
    if (!brief) return;
    fill(shown, verdict(brief), figures(brief));
    fill(after, button("The report", () => page.go("report/compare"), { class: "main" }), button("Keep or share", () => page.go("keep")));
  };
  const judge = (files: Named[] | undefined): void => void task.watch((stage) => site.compare(files, stage)).then((brief) => brief && show());
  fill(body, h("div", { class: "card" }, h("p", {}, "Select the walk or the level book of the survey after the storm."), chooser("Select the new survey", judge, { class: "main" })), task.box, shown, after);
  if (site.brief.compare) show();
  else if (site.record.after.length > 0) judge(undefined);
  return body;
}

/** Sizes side by side. */
export function sizes(_page: Page, site: Site): HTMLElement {
  const task = new Task();
  const shown = h("div", { class: "shown" });
  const show = (): void => {
    const of = site.brief.size;
    if (!of) return;
    const width = of.heads.length;
    const rows = of.rows.flatMap((r) => [
      r.over && h("tr", {}, h("th", { colspan: width, scope: "colgroup" }, r.over)),
      h("tr", { class: r.cells[0] ? "own" : undefined }, ...r.cells.map((c, i) => (i === 1 ? h("th", { scope: "row" }, c) : h("td", {}, c)))),
    ]);
    const table = h("table", {}, h("caption", { class: "hear" }, of.line), h("thead", {}, h("tr", {}, ...of.heads.map((t) => (t ? h("th", { scope: "col" }, t) : h("td", {}))))), h("tbody", {}, ...rows.filter((r): r is HTMLTableRowElement => r instanceof HTMLElement)));
    fill(shown, h("p", {}, of.line), h("div", { class: "wide", role: "region", tabindex: 0, "aria-label": of.line }, table), h("ul", {}, ...of.notes.map((n) => h("li", {}, n))));
  };
  if (site.brief.size) show();
  else void task.watch((stage) => site.size(stage)).then((of) => of && show());
  return h("div", {}, task.box, shown);
}
