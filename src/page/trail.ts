// What is recorded in the field, written to the browser's storage at once: every fix, every tap, every row.
import { open } from "./store";

/** A walk that is recorded, or was. */
export interface Walk {
  id: string;
  title: string;
  began: number;
  device: string;
}

/** Time in ms, latitude, longitude, accuracy, altitude, its accuracy: as the browser gave them. */
export type Fix = [number, number, number, number | null, number | null, number | null];

/** What happened at a time: a mark, the end of a pass, a stop, a hidden page. */
export interface Happening {
  t: number;
  what: "begin" | "end" | "mark" | "pass" | "stand" | "stood" | "hidden" | "shown";
  name?: string;
}

/** A book that is kept row by row; the row that is being typed too. */
export interface Book {
  id: string;
  file: string;
  units: string;
  began: number;
  changed: number;
  rows: string[][];
  draft: string[];
  /** The row that is changed; a new one is typed where none is. */
  changing?: number;
}

interface Step {
  walk: string;
  fix?: Fix;
  event?: Happening;
}

let base: Promise<IDBDatabase> | undefined;

/** One connection for all that is written while somebody walks. */
function connected(): Promise<IDBDatabase> {
  base ??= open().then((opened) => {
    opened.onclose = () => (base = undefined);
    opened.onversionchange = () => {
      opened.close();
      base = undefined;
    };
    return opened;
  });
  base.catch(() => (base = undefined));
  return base;
}

async function work<T>(stores: string[], mode: IDBTransactionMode, ask: (get: (name: string) => IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const opened = await connected();
  return new Promise<T>((done, failed) => {
    // Strict: told as written only once it is on the disk, so that a dead battery takes one fix at most.
    const transaction = opened.transaction(stores, mode, { durability: "strict" });
    const asked = ask((name) => transaction.objectStore(name));
    transaction.oncomplete = () => done(asked.result);
    transaction.onerror = () => failed(transaction.error ?? new Error("not kept"));
    transaction.onabort = () => failed(transaction.error ?? new Error("not kept"));
  });
}

export const keepWalk = (walk: Walk): Promise<unknown> => work(["walks"], "readwrite", (s) => s("walks").put(walk));
export const keepStep = (step: Step): Promise<unknown> => work(["trail"], "readwrite", (s) => s("trail").add(step));
export const walks = async (): Promise<Walk[]> => (await work<Walk[]>(["walks"], "readonly", (s) => s("walks").getAll() as IDBRequest<Walk[]>)).sort((a, b) => b.began - a.began);

/** Everything of a walk, in the order in which it was written. */
export async function stepsOf(walk: string): Promise<{ fixes: Fix[]; events: Happening[] }> {
  const steps = await work<Step[]>(["trail"], "readonly", (s) => s("trail").index("walk").getAll(walk) as IDBRequest<Step[]>);
  return { fixes: steps.flatMap((s) => (s.fix ? [s.fix] : [])), events: steps.flatMap((s) => (s.event ? [s.event] : [])) };
}

/** Removes a walk with its trail. */
export async function removeWalk(id: string): Promise<void> {
  await work(["walks", "trail"], "readwrite", (s) => {
    const cursor = s("trail").index("walk").openCursor(id);
    cursor.onsuccess = () => {
      cursor.result?.delete();
      cursor.result?.continue();
    };
    return s("walks").delete(id);
  });
}

export const keepBook = (book: Book): Promise<unknown> => work(["books"], "readwrite", (s) => s("books").put({ ...book, changed: Date.now() }));
export const removeBook = (id: string): Promise<unknown> => work(["books"], "readwrite", (s) => s("books").delete(id));
export const books = async (): Promise<Book[]> => (await work<Book[]>(["books"], "readonly", (s) => s("books").getAll() as IDBRequest<Book[]>)).sort((a, b) => b.changed - a.changed);
