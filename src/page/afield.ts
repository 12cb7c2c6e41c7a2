// What the program says while somebody walks or books: each answer is one run of it.
import { run } from "./program";
import { type Brief, Wrong } from "./site";
import type { Fault } from "./program";
import type { Fix, Happening, Walk } from "./trail";
import type { Named } from "./wire";

/** The sheets that can be kept, the marks, what a walk goes by. */
export interface Sheets {
  books: { title: string; file: string; help: string[]; columns: { head: string; label: string; words: boolean }[] }[];
  marks: { name: string; shown: string }[];
  gap_s: number;
  stand_s: number;
  stand_at_end_s: number;
  stand: string;
  limits: string[];
  caution: string;
}

/** A walk as the program sees it. */
export interface Track {
  gpx: string;
  fixes: number;
  passes: string[];
  gaps: string[];
  stands: string[];
  marks: { name: string; taps: number }[];
  heights: string | null;
  drawn: { segments: [number, number][][]; marks: { name: string; at: [number, number] }[] };
}

/** What the passes so far show. */
export type Sum = Brief & { said: string[]; walks: number };

/** A book as far as it is kept. */
export interface Carried {
  rows: { line: number; cells: { what: string; shown: string }[] }[];
  check: string | null;
  checks: boolean | null;
  misclosure: { found_m: number; allowed_m: number; holds: boolean } | null;
  open: boolean;
  next: string | null;
  lacking: string | null;
  said: { line: number | null; text: string }[];
  faults: Fault[];
}

/** Where the marks lie from here. */
export interface Places {
  doubt: string;
  places: { name: string; lat: number; lon: number; bearing_deg: number; here: boolean; text: string }[];
}

/** What a reading of the gauge needs, and the book that holds it. */
export interface Gauge {
  file: string;
  named: boolean;
  states: string[];
  /** What the pressure is called, with its unit. */
  label: string;
  last_state: string | null;
  rows: number;
  text?: string;
}

export const bytes = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text) as Uint8Array<ArrayBuffer>;

export async function ask<T>(args: string[], files: Named[]): Promise<T> {
  const ran = await run(["field", ...args], files);
  if (ran.status !== 0) throw new Wrong(ran.faults);
  return JSON.parse(ran.out) as T;
}

const inUnits = (units: string): string[] => (units ? ["--units", units] : []);
const asked = new Map<string, Promise<Sheets>>();

export function sheets(units: string): Promise<Sheets> {
  let own = asked.get(units);
  if (!own) {
    own = ask<Sheets>(["sheets", ...inUnits(units)], []);
    asked.set(units, own);
    own.catch(() => asked.delete(units));
  }
  return own;
}

export const track = (walk: Walk, fixes: Fix[], events: Happening[]): Promise<Track> =>
  ask<Track>(["track", "walk.json"], [{ path: "walk.json", bytes: bytes(JSON.stringify({ title: walk.title, device: walk.device, fixes: fixes.map((f) => f.map((v) => (v === null ? null : String(v)))), events })) }]);

export const sum = (files: Named[], units: string): Promise<Sum> => ask<Sum>(["sum", ...inUnits(units), "--", ...files.map((f) => f.path)], files);

export const carried = (file: string, text: string): Promise<Carried> => ask<Carried>(["book", "--", file], [{ path: file, bytes: bytes(text) }]);

export const places = (files: Named[], lat: number, lon: number, within: number | null, units: string): Promise<Places> =>
  ask<Places>(["places", "--at", `${lat},${lon}`, ...(within ? ["--within", String(within)] : []), ...inUnits(units), "--", ...files.map((f) => f.path)], files);
