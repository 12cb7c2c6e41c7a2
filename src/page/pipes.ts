// A pipe as three short lists made from the catalogue; the catalogue is the program's.
import { fill, fresh, h } from "./dom";
import { run } from "./program";
import type { Site } from "./site";

interface Row {
  spec: string;
  standard: string;
  grade: string;
  size: string;
  series: string;
  refused: unknown;
  caution: string | null;
  shown: Record<string, string | null>;
}

const asked = new Map<string, Promise<Row[]>>();

function rows(words: string, units: string): Promise<Row[]> {
  const key = units + "/" + words;
  let own = asked.get(key);
  if (!own) {
    own = run(["pipes", "--json", ...(units ? ["--units", units] : []), "--", ...words.split(" ").filter(Boolean)], []).then((ran) => {
      const all = ran.status === 0 ? (JSON.parse(ran.out) as Row[]) : [];
      return all.filter((r) => !r.refused);
    });
    asked.set(key, own);
    own.catch(() => asked.delete(key));
  }
  return own;
}

const unitsOf = (site: Site): string => {
  const units = site.value("", 0, "units");
  return typeof units === "string" ? units : "";
};

/** The rows that could stand in a pipe's place: of one material and size, each class. */
export async function classes(site: Site, index: number): Promise<{ now: string; all: { spec: string; text: string }[] }> {
  const said = site.value("pipe", index, "spec");
  const [own] = typeof said === "string" ? await rows(said, unitsOf(site)) : [];
  if (!own) return { now: "", all: [] };
  const all = (await rows("", unitsOf(site))).filter((r) => r.grade === own.grade && r.standard === own.standard && r.size === own.size);
  return { now: own.spec, all: all.map((r) => ({ spec: r.spec, text: [r.series, r.shown["allowable"]].filter(Boolean).join(", ") })) };
}

/** Material, class, size. */
export function pipeLists(site: Site, index: number, then: () => void): HTMLElement {
  const box = h("div", { class: "field", "data-at": `pipe.${index}.spec` });
  const slot = h("div", { class: "fault", role: "alert" });
  const about = h("p", { class: "hint", role: "status" });
  const select = (label: string): [HTMLSelectElement, HTMLElement] => {
    const id = fresh("pipe");
    const list = h("select", { id });
    return [list, h("div", { class: "third" }, h("label", { for: id }, label), list)];
  };
  const [material, one] = select("Material");
  const [series, two] = select("Class");
  const [size, three] = select("Size");
  box.append(h("div", { class: "thirds" }, one, two, three), about, slot);
  const options = (list: HTMLSelectElement, words: string[], now: string): void => {
    fill(list, h("option", { value: "" }, "\u2013"), ...[...new Set(words)].map((w) => h("option", { value: w }, w)));
    list.value = words.includes(now) ? now : "";
    list.disabled = words.length === 0;
  };
  const kind = (r: Row): string => `${r.grade}, ${r.standard}`;
  void (async () => {
    const all = await rows("", unitsOf(site));
    const said = site.value("pipe", index, "spec");
    const exact = typeof said === "string" ? (all.find((r) => r.spec === said) ?? (await single(said, unitsOf(site)))) : undefined;
    const draw = (m: string, c: string, s: string): Row | undefined => {
      const ofKind = all.filter((r) => kind(r) === m);
      options(material, all.map(kind), m);
      options(series, ofKind.map((r) => r.series), c);
      const ofClass = ofKind.filter((r) => r.series === series.value);
      options(size, ofClass.map((r) => r.size), s);
      const row = ofClass.find((r) => r.size === size.value);
      const words = row ? Object.entries(row.shown).filter(([, v]) => v).map(([k, v]) => `${k} ${v}`) : [];
      fill(about, words.join(", "), row?.caution ? `; ${row.caution}` : "");
      return row;
    };
    draw(exact ? kind(exact) : "", exact?.series ?? "", exact?.size ?? "");
    if (said !== undefined && !exact) fill(about, String(said));
    const changed = (): void => {
      const row = draw(material.value, series.value, size.value);
      fill(slot);
      if (row) void site.change([{ table: "pipe", index, key: "spec", value: row.spec }]).then(then);
    };
    for (const list of [material, series, size]) list.addEventListener("change", changed);
  })();
  (box as HTMLElement & { choose?: (value: string) => void }).choose = (spec) => {
    void site.change([{ table: "pipe", index, key: "spec", value: spec }]).then(() => {
      box.replaceWith(pipeLists(site, index, then));
      then();
    });
  };
  return box;
}

async function single(words: string, units: string): Promise<Row | undefined> {
  const found = await rows(words, units);
  return found.length === 1 ? found[0] : undefined;
}
