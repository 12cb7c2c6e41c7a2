// The site at hand: its text, its files, what the program said of them. The program reads, changes and judges; this only carries.
import { type Fault, type Ran, overtake, run } from "./program";
import { type Kept, type Try, keep, remove } from "./store";
import type { Named } from "./wire";

/** A key of the site file, as the program describes it. */
export interface Key {
  key: string;
  form: "text" | "texts" | "shares" | "quantity" | "number" | "count" | "flag" | "day" | "place" | "words";
  words: string[] | null;
  what: string | null;
  limits: string | null;
  help: string | null;
  example: string | null;
  first: boolean;
}

export interface KnownTable {
  table: string;
  many: boolean;
  help: string | null;
  keys: Key[];
}

export interface Known {
  program: { name: string; version: string };
  caution: string;
  tables: KnownTable[];
}

export type Value = string | string[];

/** A table of the site file at hand. */
export interface Table {
  table: string;
  index: number;
  line: number;
  keys: { key: string; value: Value; other: boolean; line: number }[];
}

export type Change =
  | { table: string; index?: number; key: string; value: Value | null }
  | { table: string; add: true }
  | { table: string; index: number; remove: true };

/** The answer in short. */
export interface Brief {
  title: string;
  class: string;
  line: string;
  found: number;
  first: string[];
  more: number;
  figures: { what: string; shown: string; note: string }[];
  tries: Try[];
}

/** Sizes side by side. */
export interface Sizes {
  line: string;
  heads: string[];
  rows: { over: string | null; cells: string[] }[];
  notes: string[];
}

/** What a run found wrong. */
export class Wrong extends Error {
  constructor(readonly faults: Fault[]) {
    super(faults[0]?.text ?? "");
  }
}

export type Stage = (stage: string) => void;

const bytes = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text) as Uint8Array<ArrayBuffer>;
const text = (of: Uint8Array): string => new TextDecoder().decode(of);

let knownOnce: Promise<Known> | undefined;

/** Every key of the site file, asked once. */
export function known(): Promise<Known> {
  knownOnce ??= run(["fields"], []).then((ran) => JSON.parse(ran.out) as Known);
  knownOnce.catch(() => (knownOnce = undefined));
  return knownOnce;
}

function good(ran: Ran): Ran {
  if (ran.status !== 0) throw new Wrong(ran.faults);
  return ran;
}

/** A name that can stand in a folder. */
function plain(name: string): string {
  return name.replace(/[/\\\u0000-\u001f]/g, "_").replace(/^\.+/, "_") || "file";
}

export class Site {
  tables: Table[] = [];
  /** What the last judgement found wrong, to be shown at its fields. */
  wrong: Fault[] = [];
  brief: { survey?: Brief; check?: Brief; compare?: Brief; size?: Sizes } = {};

  private constructor(readonly record: Kept) {}

  /** A site that was kept, its text read anew. */
  static async of(record: Kept): Promise<Site> {
    const site = new Site(record);
    await site.change([]);
    return site;
  }

  /** A site from files that somebody chose: a zip, a site file with its surveys, or surveys alone. */
  static async from(files: Named[]): Promise<Site> {
    const given = files.map((f) => ({ ...f, path: plain(f.path) }));
    const zip = given.length === 1 && given[0]?.path.toLowerCase().endsWith(".zip") ? given[0] : undefined;
    const toml = given.find((f) => f.path.toLowerCase().endsWith(".toml"));
    const record: Kept = { id: crypto.randomUUID(), title: "", changed: Date.now(), name: "site.toml", text: "", files: [], after: [], results: [] };
    const site = new Site(record);
    if (zip) await site.unzip(zip);
    else if (toml) {
      record.name = toml.path;
      record.text = text(toml.bytes);
      record.files = given.filter((f) => f !== toml);
      await site.change([]);
    } else {
      record.files = distinct(given);
      await site.begin();
    }
    return site;
  }

  /** The site file of surveys alone: it names them and says no more. */
  private async begin(): Promise<void> {
    const top = (await known()).tables.find((t) => t.table === "");
    const format = top?.keys.find((k) => k.key === "format")?.example ?? "";
    const first = this.record.files[0]?.path ?? "";
    await this.change([
      { table: "", key: "format", value: format },
      { table: "", key: "title", value: first.replace(/\.[^.]*$/, "") || first },
      { table: "survey", key: "files", value: this.record.files.map((f) => f.path) },
    ]);
  }

  private async unzip(zip: Named): Promise<void> {
    const ran = good(await run(["fields", zip.path], [zip]));
    const said = JSON.parse(ran.out) as { text: string; site: string; tables: Table[] };
    const { unzipSync } = await import("fflate");
    const folder = said.site.slice(0, said.site.lastIndexOf("/") + 1);
    const inside = Object.entries(unzipSync(zip.bytes))
      .filter(([path]) => path.startsWith(folder) && !path.endsWith("/"))
      .map(([path, of]) => ({ path: path.slice(folder.length), bytes: of as Uint8Array<ArrayBuffer> }));
    const results = inside.filter((f) => /(^|\/)result\.json$/.test(f.path)).map((f) => f.path.slice(0, -"result.json".length));
    const isResult = (f: Named): boolean => results.some((r) => r !== "" && f.path.startsWith(r));
    this.record.name = said.site.slice(folder.length);
    this.record.text = said.text;
    this.record.files = inside.filter((f) => f.path !== this.record.name && !isResult(f));
    this.record.results = inside.filter(isResult);
    const named = [...this.surveyFiles(said.tables), ...this.filesOf("stream", said.tables)];
    this.record.after = this.record.files.map((f) => f.path).filter((path) => !named.includes(path) && /\.(gpx|csv)$/i.test(path));
    this.tables = said.tables;
    this.retitle();
  }

  /** The files that the site file names. */
  surveyFiles(tables: Table[] = this.tables): string[] {
    return this.filesOf("survey", tables);
  }

  /** The files that tables of that name give under `files`. */
  private filesOf(name: string, tables: Table[]): string[] {
    return tables.filter((t) => t.table.startsWith(name)).flatMap((t) => t.keys.filter((k) => k.key === "files").flatMap((k) => k.value));
  }

  get siteFile(): Named {
    return { path: this.record.name, bytes: bytes(this.record.text) };
  }

  /** What a key says. */
  value(table: string, index: number, key: string): Value | undefined {
    return this.tables.find((t) => t.table === table && t.index === index)?.keys.find((k) => k.key === key)?.value;
  }

  /** Where a device that was tried stands in the file; nowhere where it was taken out or changed since. */
  private placeOf(tried: Try): Table | undefined {
    return this.tables.find((t) => t.table === tried.table && Object.entries(tried.keys).every(([key, value]) => this.value(t.table, t.index, key) === value));
  }

  /** The devices that were tried and are there. */
  tried(): Try[] {
    return (this.record.tried ?? []).filter((t) => this.placeOf(t));
  }

  /** Puts a device in that is offered, or takes it out again. */
  async try(of: Try, on: boolean): Promise<void> {
    const { table, keys } = of;
    const there = this.placeOf(of);
    this.record.tried = [...this.tried().filter((t) => t.text !== of.text), ...(on ? [of] : [])];
    if (on) await this.change(Object.entries(keys).map(([key, value]) => ({ table, index: this.count(table), key, value })));
    else if (there) await this.change([{ table, index: there.index, remove: true }]);
  }

  /** How many there are of a table. */
  count(table: string): number {
    return this.tables.filter((t) => t.table === table).length;
  }

  /** Changes the text, letter for letter only where it must, and reads it anew. */
  change(changes: Change[]): Promise<void> {
    overtake();
    // One after the other: each changes what the one before left.
    const own = this.last.then(() => this.changed(changes));
    this.last = own.catch(() => {});
    return own;
  }

  private last: Promise<unknown> = Promise.resolve();

  private async changed(changes: Change[]): Promise<void> {
    const ran = good(await run(["fields", this.record.name, "--changes", "changes.json"], [this.siteFile, { path: "changes.json", bytes: bytes(JSON.stringify(changes)) }]));
    const said = JSON.parse(ran.out) as { text: string; tables: Table[] };
    this.record.text = said.text;
    this.tables = said.tables;
    this.retitle();
    if (changes.length > 0) this.keep();
  }

  /** Puts another text in place of the site file's. */
  async rewrite(whole: string): Promise<void> {
    const before = this.record.text;
    this.record.text = whole;
    try {
      await this.change([]);
      this.keep();
    } catch (why) {
      this.record.text = before;
      throw why;
    }
  }

  private retitle(): void {
    const title = this.value("", 0, "title");
    this.record.title = typeof title === "string" ? title : (this.record.files[0]?.path ?? this.record.name);
  }

  /** Adds another pass of the same kind. */
  async addPass(files: Named[]): Promise<void> {
    const added = distinct(files.map((f) => ({ ...f, path: plain(f.path) })), this.record.files);
    this.record.files.push(...added);
    const before = this.value("survey", 0, "files") ?? [];
    await this.change([{ table: "survey", key: "files", value: [before, added.map((f) => f.path)].flat() }]);
  }

  /** The survey alone, with what the site file says of how it was kept. */
  async survey(stage: Stage): Promise<Brief> {
    const said = (key: string): string[] => {
      const value = this.value("survey", 0, key);
      return typeof value === "string" ? [`--${key}`, value] : [];
    };
    const units = this.value("", 0, "units");
    const names = [this.value("survey", 0, "files") ?? []].flat();
    const args = ["survey", ...names, ...["kind", "taped", "from"].flatMap(said), ...(typeof units === "string" ? ["--units", units] : [])];
    return (this.brief.survey = await this.judge<Brief>(args, stage));
  }

  /** The main job. */
  async check(stage: Stage): Promise<Brief> {
    return (this.brief.check = await this.judge<Brief>(["check", this.record.name], stage));
  }

  /** After the storm. */
  async compare(files: Named[] | undefined, stage: Stage): Promise<Brief> {
    if (files) {
      const added = distinct(files.map((f) => ({ ...f, path: plain(f.path) })), this.record.files);
      this.record.files.push(...added);
      this.record.after = added.map((f) => f.path);
    }
    return (this.brief.compare = await this.judge<Brief>(["compare", this.record.name, "--after", ...this.record.after], stage));
  }

  /** Sizes side by side. */
  async size(stage: Stage): Promise<Sizes> {
    const out = this.record.name.replace(/\.[^.]*$/, "") + "-sizes";
    return (this.brief.size = await this.judge<Sizes>(["size", this.record.name, "--out", out], stage));
  }

  /** The gauge book against the line. */
  async log(stage: Stage): Promise<{ lines: string[]; rows: number }> {
    return this.judge<{ lines: string[]; rows: number }>(["log", this.record.name], stage);
  }

  /** Puts a file in place of the one of that name, and names it in the site file where it is not yet. */
  async putFile(file: Named, named?: { table: string; key: string }): Promise<void> {
    this.record.files = [...this.record.files.filter((f) => f.path !== file.path), file];
    if (named) await this.change([{ table: named.table, index: this.count(named.table), key: named.key, value: file.path }]);
    await this.keepNow();
  }

  private async judge<T>(args: string[], stage: Stage): Promise<T> {
    await this.last;
    const handed = [this.siteFile, ...this.record.files];
    const ran = await run([...args, "--brief"], handed, stage);
    this.wrong = ran.faults;
    good(ran);
    // A folder of results is written whole: what it held before goes.
    const folders = new Set(ran.files.map((f) => f.path.split("/")[0]));
    this.record.results = [...this.record.results.filter((f) => !folders.has(f.path.split("/")[0])), ...ran.files];
    this.keep();
    return JSON.parse(ran.out) as T;
  }

  /** Everything of the site in one zip: what `check` reads as it is, and the page opens again. */
  async zip(): Promise<Uint8Array<ArrayBuffer>> {
    const { zipSync } = await import("fflate");
    const all = [this.siteFile, ...this.record.files, ...this.record.results];
    return zipSync(Object.fromEntries(all.map((f) => [f.path, f.bytes]))) as Uint8Array<ArrayBuffer>;
  }

  /** Each report there is. */
  reports(): string[] {
    return this.record.results.filter((f) => f.path.endsWith("/report.html")).map((f) => f.path);
  }

  result(path: string): string | undefined {
    const found = this.record.results.find((f) => f.path === path);
    return found && text(found.bytes);
  }

  private timer = 0;
  private keep(): void {
    this.record.changed = Date.now();
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.keepNow(), 200);
  }

  /** Writes it into the browser's storage; where that is full or shut the page goes on and says so. */
  keepNow(): Promise<boolean> {
    clearTimeout(this.timer);
    if (this.gone) return Promise.resolve(false);
    return keep(this.record).then(
      () => (Site.unkept = false, true),
      () => (Site.unkept = true, false),
    );
  }

  private gone = false;
  /** Removes it from the browser's storage, for good: a run that is still under way does not bring it back. */
  async removed(): Promise<void> {
    this.gone = true;
    clearTimeout(this.timer);
    await remove(this.record.id);
  }

  static unkept = false;
}

/** Files whose names differ from each other and from those that are there. */
function distinct(files: Named[], there: Named[] = []): Named[] {
  const names = new Set(there.map((f) => f.path));
  return files.map((f) => {
    let path = f.path;
    for (let n = 2; names.has(path); n += 1) path = f.path.replace(/(\.[^.]*)?$/, (end) => `-${n}${end}`);
    names.add(path);
    return { path, bytes: f.bytes };
  });
}
